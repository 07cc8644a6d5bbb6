//! What holds for any bearing and any load.

use super::bearing::{Bearing, BearingSizes};
use super::coefficients::{Coefficients, polar};
use super::matrix::{Matrix2, seen_from, turned};
use super::model::Film;
use super::orbit::{JournalPath, Motion};
use super::pressure::{DirectFilm, Supply};
use super::steady::SteadyLoad;
use super::table::{FilmTable, TABLE_FINENESS};
use proptest::prelude::*;
use std::f64::consts::TAU;
use std::sync::LazyLock;

const SHAPE: f64 = 0.8;
static TABLE: LazyLock<FilmTable> = LazyLock::new(|| FilmTable::new(SHAPE).unwrap());

#[derive(Debug, Clone, Copy)]
struct Case {
    clearance_m: f64,
    viscosity_pa_s: f64,
    omega_rad_s: f64,
    bearing_share: f64,
    thrown_n: f64,
    base_n: f64,
    pulse_n: f64,
    at: f64,
}

impl Case {
    fn bearing(&self) -> Bearing {
        Bearing::new(BearingSizes {
            diameter_m: 0.07,
            length_m: 0.07 * SHAPE,
            radial_clearance_m: self.clearance_m,
            viscosity_pa_s: self.viscosity_pa_s,
        })
        .unwrap()
    }

    /// Turning with the throw, and a pulse that circles backwards.
    fn load(&self, instants: usize) -> Vec<[f64; 2]> {
        (0..instants)
            .map(|k| {
                let theta = TAU * k as f64 / instants as f64;
                let pulse =
                    self.base_n + self.pulse_n * (12.0 * ((theta - self.at).cos() - 1.0)).exp();
                [
                    self.thrown_n * theta.cos() + pulse * theta.cos(),
                    self.thrown_n * theta.sin() - pulse * theta.sin(),
                ]
            })
            .collect()
    }

    fn motion<'a>(&self, load_n: &'a [[f64; 2]]) -> Motion<'a> {
        Motion {
            journal_omega_rad_s: self.omega_rad_s,
            bearing_omega_rad_s: self.bearing_share * self.omega_rad_s,
            load_n,
            period_s: TAU / self.omega_rad_s.abs(),
            wanted_film_m: 1e-6,
        }
    }
}

fn cases() -> impl Strategy<Value = Case> {
    (
        (35e-6..60e-6, 0.005..0.012, 200.0..1100.0, prop::sample::select(vec![0.0, 1.0 / 3.0])),
        (5e3..40e3, 2e3..15e3, 10e3..150e3, 0.0..TAU),
    )
        .prop_map(|((c, mu, omega, share), (thrown, base, pulse, at))| Case {
            clearance_m: c,
            viscosity_pa_s: mu,
            omega_rad_s: omega,
            bearing_share: share,
            thrown_n: thrown,
            base_n: base,
            pulse_n: pulse,
            at,
        })
}

/// Paths that meet themselves within this part of the film are the same.
const SAME: f64 = 2e-3;

/// The same path up to rounding. That can decide whether a step is tried again, and at which
/// instant the path is taken to meet itself, so that it shows as the tolerances of both, parts of
/// the film: of a few steps (2e-4 each) that a thinning film still remembers, and of the period
/// (1e-4), on both sides. Slow journals under sharp pulses come to 5e-4.
const ROUNDED: f64 = 1e-3;

/// What telling the load every degree instead of every half makes of a thin film, at the very
/// most: a pulse as sharp as these has a thousandth cut off between instants, and a film that it
/// presses thin remembers it.
const TOLD: f64 = 2e-2;

fn apart(a: [f64; 2], b: [f64; 2], clearance_m: f64) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]) / (clearance_m - a[0].hypot(a[1]))
}

fn positive(m: &Matrix2) -> bool {
    m[0][0] > 0.0 && m[1][1] > 0.0 && m[0][0] * m[1][1] > m[0][1] * m[1][0]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// A load turned by an angle turns path and coefficients with it.
    #[test]
    fn turned_load_turned_path(case in cases(), by in 0.0..TAU) {
        let (bearing, load) = (case.bearing(), case.load(360));
        let (s, c) = by.sin_cos();
        let turn = |v: &[f64; 2]| [c * v[0] - s * v[1], s * v[0] + c * v[1]];
        let other: Vec<[f64; 2]> = load.iter().map(turn).collect();
        let film = Film::Computed { bearing, table: &TABLE };
        let [a, b] = [&load, &other].map(|load| film.cycle(&case.motion(load)).unwrap());
        let (path_a, path_b) = (a.path.unwrap(), b.path.unwrap());
        for k in 0..360 {
            let off = apart(
                turn(&path_a.points[k].eccentricity_m),
                path_b.points[k].eccentricity_m,
                case.clearance_m,
            );
            prop_assert!(off < ROUNDED, "{k}: {off}");
            let wanted = turned(&a.coefficients[k].stiffness_n_per_m, [c, s]);
            let got = b.coefficients[k].stiffness_n_per_m;
            let size = wanted.iter().flatten().fold(0.0_f64, |g, x| g.max(x.abs()));
            for (w, g) in wanted.iter().flatten().zip(got.iter().flatten()) {
                prop_assert!((w - g).abs() < 10.0 * ROUNDED * size, "{k}: {wanted:?} {got:?}");
            }
        }
    }

    /// The same seen in a mirror: everything turns the other way.
    #[test]
    fn mirrored_load_mirrored_path(case in cases()) {
        let (bearing, load) = (case.bearing(), case.load(360));
        let other: Vec<[f64; 2]> = load.iter().map(|[x, y]| [*x, -y]).collect();
        let straight = case.motion(&load).path(&bearing, &TABLE).unwrap();
        let back = Case { omega_rad_s: -case.omega_rad_s, ..case };
        let mirrored = back.motion(&other).path(&bearing, &TABLE).unwrap();
        for (a, b) in straight.points.iter().zip(&mirrored.points) {
            let [x, y] = b.eccentricity_m;
            prop_assert!(apart(a.eccentricity_m, [x, -y], case.clearance_m) < ROUNDED);
            prop_assert!((a.friction_torque_n_m + b.friction_torque_n_m).abs()
                < ROUNDED * a.friction_torque_n_m.abs());
        }
    }

    /// Load times clearance squared over viscosity and speed is all that matters.
    #[test]
    fn only_one_number_matters(case in cases(), wider in 0.8..1.25, thicker in 0.5..2.0, slower in 0.5..1.0) {
        let other = Case {
            clearance_m: case.clearance_m * wider,
            viscosity_pa_s: case.viscosity_pa_s * thicker,
            omega_rad_s: case.omega_rad_s * slower,
            ..case
        };
        let load = case.load(360);
        let factor = thicker * slower / (wider * wider);
        let scaled: Vec<[f64; 2]> = load.iter().map(|w| w.map(|x| x * factor)).collect();
        let a = case.motion(&load).path(&case.bearing(), &TABLE).unwrap();
        let b = other.motion(&scaled).path(&other.bearing(), &TABLE).unwrap();
        for (a, b) in a.points.iter().zip(&b.points) {
            let same = b.eccentricity_m.map(|e| e / wider);
            prop_assert!(apart(a.eccentricity_m, same, case.clearance_m) < ROUNDED);
        }
    }

    /// A load that stays leads to the place of rest, where nothing moves.
    #[test]
    fn a_load_that_stays_comes_to_rest(case in cases(), direction in 0.0..TAU, load_n in 1e3..60e3) {
        let bearing = case.bearing();
        let steady = [load_n * direction.cos(), load_n * direction.sin()];
        let load = vec![steady; 72];
        let motion = case.motion(&load);
        let rest = SteadyLoad {
            load_n: steady,
            journal_omega_rad_s: motion.journal_omega_rad_s,
            bearing_omega_rad_s: motion.bearing_omega_rad_s,
        }
        .rest(&bearing, &TABLE)
        .unwrap();
        let path = motion.path(&bearing, &TABLE).unwrap();
        for point in &path.points {
            let off = apart(rest.eccentricity_m, point.eccentricity_m, case.clearance_m);
            prop_assert!(off < SAME, "{off} {rest:?}");
        }
        // It balances the load with the film solved on the spot.
        let carried = 0.5 * (motion.journal_omega_rad_s + motion.bearing_omega_rad_s);
        balance(&bearing, carried, rest.eccentricity_m, [0.0; 2], steady)?;
    }

    /// Pressure solved on the spot, with the velocity of the path, carries the load; no film is
    /// nothing; damping takes work out.
    #[test]
    fn films_carry_their_load(case in cases(), at in 0_usize..360) {
        let (bearing, load) = (case.bearing(), case.load(360));
        let motion = case.motion(&load);
        let cycle = Film::Computed { bearing, table: &TABLE }.cycle(&motion).unwrap();
        let path = cycle.path.unwrap();
        prop_assert!(path.residual < 1e-3 && path.least_film_m > 0.0);
        for (point, one) in path.points.iter().zip(&cycle.coefficients) {
            prop_assert!(point.least_film_m >= path.least_film_m);
            prop_assert!(point.friction_torque_n_m.is_finite());
            prop_assert!(positive(&one.damping_n_s_per_m), "{one:?}");
            prop_assert!(positive(&one.tilt_damping_n_m_s_per_rad), "{one:?}");
        }
        let wanted = motion.wanted_film_m;
        let thin = path.points.iter().filter(|p| p.least_film_m < wanted).count();
        prop_assert_eq!(thin, path.thin_at.len());
        prop_assert_eq!(path.points[path.least_film_at].least_film_m, path.least_film_m);
        let carried = 0.5 * (motion.journal_omega_rad_s + motion.bearing_omega_rad_s);
        let point = path.points[at];
        balance(&bearing, carried, point.eccentricity_m, point.velocity_m_per_s, load[at])?;
    }

    /// A path hardly depends on how finely its load is told: told every degree, a pulse is cut
    /// straight between instants and steps fall elsewhere.
    #[test]
    fn more_instants_agree_better(case in cases()) {
        let bearing = case.bearing();
        let path = |instants| {
            case.motion(&case.load(instants)).path(&bearing, &TABLE).unwrap()
        };
        let [some, more, most] = [360, 720, 1440].map(path);
        let farthest = |few: &JournalPath, many: &JournalPath| {
            let pairs = few.points.iter().zip(many.points.iter().step_by(2));
            pairs
                .map(|(a, b)| apart(a.eccentricity_m, b.eccentricity_m, case.clearance_m))
                .fold(0.0, f64::max)
        };
        let (first, second) = (farthest(&some, &more), farthest(&more, &most));
        // Straight lines between instants: a quarter is left each time; half is enough to see it.
        prop_assert!(first < TOLD && second < 0.5 * first + ROUNDED, "{first} {second}");
    }
}

/// Solves the pressure for a state and compares its force with the load.
fn balance(
    bearing: &Bearing,
    carried_rad_s: f64,
    eccentricity_m: [f64; 2],
    velocity_m_per_s: [f64; 2],
    load_n: [f64; 2],
) -> Result<(), TestCaseError> {
    let [x, y] = eccentricity_m;
    let squeeze =
        [velocity_m_per_s[0] + carried_rad_s * y, velocity_m_per_s[1] - carried_rad_s * x];
    let ratio = eccentricity_m.map(|e| e / bearing.radial_clearance_m());
    let (size, direction) = polar(ratio, load_n);
    let film =
        DirectFilm { length_over_diameter: SHAPE, fineness: TABLE_FINENESS, supply: Supply::Free };
    let forces = film.forces(size, seen_from(direction, squeeze)).unwrap();
    let wanted = seen_from(direction, load_n);
    let got = forces.force.map(|f| f * bearing.scale_n_s_per_m());
    let off = (got[0] - wanted[0]).hypot(got[1] - wanted[1]) / wanted[0].hypot(wanted[1]);
    prop_assert!(off < 0.02, "ε {size}: {got:?} {wanted:?}");
    Ok(())
}

/// A journal that carries next to nothing whirls for hundreds of turns before it is where it stays.
#[test]
fn a_journal_that_carries_next_to_nothing_is_found_too() {
    for (thrown_n, base_n, pulse_n) in [(0.0, 10.0, 0.0), (3.0, 1.0, 10.0), (0.0, 0.5, 400.0)] {
        let case = Case {
            clearance_m: 40e-6,
            viscosity_pa_s: 0.01,
            omega_rad_s: 1100.0,
            bearing_share: 0.0,
            thrown_n,
            base_n,
            pulse_n,
            at: 0.6,
        };
        let (bearing, load) = (case.bearing(), case.load(360));
        let motion = case.motion(&load);
        let path = motion.path(&bearing, &TABLE).unwrap();
        assert!(path.periods <= 40, "{}", path.periods);
        // Begun with another instant it is the same path: nothing of its start is left.
        let later: Vec<[f64; 2]> = (0..360).map(|k| load[(k + 100) % 360]).collect();
        let again = case.motion(&later).path(&bearing, &TABLE).unwrap();
        for k in 0..360 {
            let [a, b] =
                [path.points[(k + 100) % 360].eccentricity_m, again.points[k].eccentricity_m];
            assert!(apart(a, b, case.clearance_m) < SAME, "{k}: {a:?} {b:?}");
        }
        let steady = SteadyLoad {
            load_n: [0.0, -20.0],
            journal_omega_rad_s: motion.journal_omega_rad_s,
            bearing_omega_rad_s: motion.bearing_omega_rad_s,
        };
        let rest = steady.rest(&bearing, &TABLE).unwrap();
        let still = vec![steady.load_n; 72];
        let path = case.motion(&still).path(&bearing, &TABLE).unwrap();
        for point in path.points {
            assert!(apart(rest.eccentricity_m, point.eccentricity_m, case.clearance_m) < SAME);
        }
    }
}

#[test]
fn what_no_film_can_be_computed_for_is_refused() {
    let case = Case {
        clearance_m: 45e-6,
        viscosity_pa_s: 0.008,
        omega_rad_s: 800.0,
        bearing_share: 0.0,
        thrown_n: 1e4,
        base_n: 5e3,
        pulse_n: 5e4,
        at: 1.0,
    };
    let (bearing, load) = (case.bearing(), case.load(72));
    let motion = case.motion(&load);
    let text = |motion: &Motion<'_>| motion.path(&bearing, &TABLE).unwrap_err().to_string();
    assert!(text(&Motion { load_n: &load[..20], ..motion }).contains("20 instants"));
    assert!(text(&Motion { period_s: f64::NAN, ..motion }).contains("period"));
    assert!(text(&Motion { load_n: &[[0.0; 2]; 72], ..motion }).contains("no load"));
    let mut broken = load.clone();
    broken[7][1] = f64::NAN;
    assert!(text(&Motion { load_n: &broken, ..motion }).contains("load on the journal"));
    let long = FilmTable::new(1.0).unwrap();
    assert!(
        motion.path(&bearing, &long).unwrap_err().to_string().contains("another")
            || motion.path(&bearing, &long).unwrap_err().to_string().contains("table")
    );
    let still =
        SteadyLoad { load_n: [0.0, 1e4], journal_omega_rad_s: 300.0, bearing_omega_rad_s: -300.0 };
    assert!(still.rest(&bearing, &TABLE).unwrap_err().to_string().contains("place of rest"));
    assert!(FilmTable::new(3.0).is_err() && FilmTable::new(f64::NAN).is_err());
    assert!(Coefficients::about(&bearing, &TABLE, [1.0, 1.0], [0.9, 0.9], [1.0, 0.0]).is_err());
}
