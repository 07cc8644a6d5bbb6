//! The path of a journal in its bearing under a load that comes back every period.
//!
//! The journal has no mass here: what it weighs and how it is thrown is part of the load. The
//! film gives the squeeze velocity that carries the load (its mobility), and the journal moves
//! with it and with the film: `ė = iω̄e + v(e, W)`. Since mobility vanishes as the film does, the
//! true path never reaches the bearing. It forgets its start within some turns, so it is followed
//! until it meets the place where it was a period before: from there on it would repeat itself.
//!
//! Followed by the pair of Bogacki and Shampine, third order with a second for the error
//! [BOGACKI]; between instants the load goes straight. The error of a step is held against the
//! film left, not against the clearance: a film of 0.3 μm is to be as right as one of 30 μm.

use super::super::range::within;
use super::bearing::Bearing;
use super::error::FilmError;
use super::matrix::solve;
use super::steady::{LOAD_N, carried, squeeze_per_s};
use super::table::FilmTable;

/// Error of a step, parts of the film left.
const STEP_TOLERANCE: f64 = 1e-4;
/// How closely a path meets itself a period before, parts of the film left.
const PERIOD_TOLERANCE: f64 = 1e-4;
/// Periods that the path is followed before it is helped; a loaded journal needs three.
const PERIODS_OF_ATTEMPT: usize = 12;
/// Times that it is helped before giving up.
const MOST_ATTEMPTS: usize = 12;
/// How far aside a period is begun to see what becomes of it, parts of the film there.
const ASIDE: f64 = 0.01;
/// Steps between two instants before giving up.
const MOST_STEPS: usize = 5000;
/// Where the stages of a step look, parts of it [BOGACKI].
const STAGES: [f64; 4] = [0.0, 0.5, 0.75, 1.0];
/// Weights of the first three for the step.
const THIRD: [f64; 3] = [2.0 / 9.0, 3.0 / 9.0, 4.0 / 9.0];
/// Weights of all for what the step of second order is off.
const OFF: [f64; 4] = [-5.0 / 72.0, 1.0 / 12.0, 1.0 / 9.0, -1.0 / 8.0];
/// Part of the step that its error would just admit, so that few are taken in vain.
const SAFETY: f64 = 0.85;
/// Longest step, instants: no peak of the load is stepped over.
const LONGEST_STEP: f64 = 4.0;
/// Fewest instants in a period; fewer than one in ten degrees lose a peak.
const FEWEST_INSTANTS: usize = 36;
/// Periods that are taken, s.
const PERIOD_S: (f64, f64) = (1e-4, 100.0);
/// Least films that can be asked for, m.
const WANTED_FILM_M: (f64, f64) = (0.0, 1e-3);

/// Speeds and load of a journal over a period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion<'a> {
    /// Speed of the journal about its own axis, rad/s.
    pub journal_omega_rad_s: f64,
    /// Speed of the bearing about its own axis, rad/s.
    pub bearing_omega_rad_s: f64,
    /// Load on the journal, N, stationary frame, at instants that divide the period evenly; the
    /// first one at its start.
    pub load_n: &'a [[f64; 2]],
    /// After which the load comes back, s; the shortest such time. Over several of them a journal
    /// that carries next to nothing may come back to where it was without being where it stays.
    pub period_s: f64,
    /// Film below which it is said that the film is thin, m.
    pub wanted_film_m: f64,
}

/// A journal at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathPoint {
    /// Journal's centre from the bearing's, m, stationary frame.
    pub eccentricity_m: [f64; 2],
    /// How it moves, m/s.
    pub velocity_m_per_s: [f64; 2],
    /// Film where it is thinnest, m.
    pub least_film_m: f64,
    /// Torque that the film brakes the journal with against the bearing's turning, N·m: both
    /// surfaces wet all round, `μR³L(ω_j − ω_b)/c · 2π/√(1 − ε²)`, and half the couple of load
    /// and eccentricity.
    pub friction_torque_n_m: f64,
}

/// The path of a journal over a period.
#[derive(Debug, Clone, PartialEq)]
pub struct JournalPath {
    /// At every instant of the load.
    pub points: Vec<PathPoint>,
    /// Thinnest film of the period, m.
    pub least_film_m: f64,
    /// Instant of it.
    pub least_film_at: usize,
    /// Instants whose film is thinner than was wanted, in order.
    pub thin_at: Vec<usize>,
    /// Mean of the friction torque, N·m.
    pub mean_friction_torque_n_m: f64,
    /// Periods that were followed, the last one in part, until the path met itself.
    pub periods: usize,
    /// How far it met itself from where it was a period before, with all that would follow, parts
    /// of the film there.
    pub residual: f64,
}

impl Motion<'_> {
    /// Follows the journal until its path closes.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`], [`FilmError::TooFewInstants`], [`FilmError::OtherTable`] and
    /// [`FilmError::NoLoad`] for what was given; [`FilmError::Lost`] and
    /// [`FilmError::NotPeriodic`] if it is not found.
    pub fn path(&self, bearing: &Bearing, table: &FilmTable) -> Result<JournalPath, FilmError> {
        let course = Course::new(self, bearing, table)?;
        let count = self.load_n.len();
        let mut start = course.start();
        let mut residual = f64::INFINITY;
        for attempt in 0..MOST_ATTEMPTS {
            let (mut points, mut moves) = (vec![start; count], vec![0.0; count]);
            let mut walk = Walk::from(&course, start);
            for met in 1..=PERIODS_OF_ATTEMPT * count {
                let now = walk.place_at(&course, met)?;
                if met >= count {
                    let moved = away(now, points[met % count]);
                    if met == count {
                        moves.fill(moved);
                    }
                    // Helped, it stands where nothing moves; else what moves shrinks from period
                    // to period, and this is the sum of all that is to come.
                    let before = moves[met % count];
                    residual = if attempt > 0 || moved <= 0.0 {
                        moved
                    } else if moved < before {
                        moved / (1.0 - moved / before)
                    } else {
                        f64::INFINITY
                    };
                    moves[met % count] = moved;
                }
                points[met % count] = now;
                if residual <= PERIOD_TOLERANCE {
                    let periods = attempt * PERIODS_OF_ATTEMPT + met / count + 1;
                    return Ok(self.report(&course, bearing, &points, periods, residual));
                }
            }
            start = course.closer(points[0])?;
        }
        let periods = MOST_ATTEMPTS * PERIODS_OF_ATTEMPT;
        Err(FilmError::NotPeriodic { periods, residual })
    }

    fn report(
        &self,
        course: &Course<'_>,
        bearing: &Bearing,
        places: &[[f64; 2]],
        periods: usize,
        residual: f64,
    ) -> JournalPath {
        let clearance_m = bearing.radial_clearance_m();
        let shear_n_m = std::f64::consts::TAU
            * bearing.viscosity_pa_s()
            * bearing.radius_m().powi(3)
            * bearing.length_m()
            * (self.journal_omega_rad_s - self.bearing_omega_rad_s)
            / clearance_m;
        let points: Vec<PathPoint> = places
            .iter()
            .zip(self.load_n)
            .map(|(ratio, load)| {
                let rate = course.rate(*ratio, *load);
                let film = 1.0 - ratio[0].hypot(ratio[1]);
                // e · (i W), half of it on either surface.
                let couple = 0.5 * clearance_m * (ratio[1] * load[0] - ratio[0] * load[1]);
                PathPoint {
                    eccentricity_m: ratio.map(|part| part * clearance_m),
                    velocity_m_per_s: rate.map(|part| part * clearance_m),
                    least_film_m: film * clearance_m,
                    friction_torque_n_m: shear_n_m / (film * (2.0 - film)).sqrt() + couple,
                }
            })
            .collect();
        let (least_film_at, least_film_m) = points
            .iter()
            .map(|p| p.least_film_m)
            .enumerate()
            .fold((0, f64::INFINITY), |best, now| if now.1 < best.1 { now } else { best });
        let thin_at =
            (0..points.len()).filter(|at| points[*at].least_film_m < self.wanted_film_m).collect();
        let friction: f64 = points.iter().map(|p| p.friction_torque_n_m).sum();
        JournalPath {
            mean_friction_torque_n_m: friction / points.len() as f64,
            points,
            least_film_m,
            least_film_at,
            thin_at,
            periods,
            residual,
        }
    }
}

/// Distance between two places of the journal, parts of the film at the first one.
fn away(here: [f64; 2], there: [f64; 2]) -> f64 {
    (here[0] - there[0]).hypot(here[1] - there[1]) / (1.0 - here[0].hypot(here[1]))
}

/// What the steps need at hand.
struct Course<'a> {
    table: &'a FilmTable,
    load_n: &'a [[f64; 2]],
    /// Time between instants, s.
    between_s: f64,
    omega_rad_s: f64,
    /// Velocity over clearance per load, 1/(N·s), where it is 1 without units.
    per_load: f64,
    clearance_m: f64,
}

impl<'a> Course<'a> {
    fn new(
        motion: &Motion<'a>,
        bearing: &Bearing,
        table: &'a FilmTable,
    ) -> Result<Self, FilmError> {
        let omega_rad_s =
            carried(bearing, table, motion.journal_omega_rad_s, motion.bearing_omega_rad_s)?;
        within("period of the load", motion.period_s, "s", PERIOD_S)?;
        within("film wanted", motion.wanted_film_m, "m", WANTED_FILM_M)?;
        let count = motion.load_n.len();
        if count < FEWEST_INSTANTS {
            return Err(FilmError::TooFewInstants { count, least: FEWEST_INSTANTS });
        }
        let mut greatest = 0.0_f64;
        for load in motion.load_n {
            let size = within("load on the journal", load[0].hypot(load[1]), "N", LOAD_N)?;
            greatest = greatest.max(size);
        }
        if greatest <= 0.0 {
            return Err(FilmError::NoLoad);
        }
        Ok(Self {
            table,
            load_n: motion.load_n,
            between_s: motion.period_s / count as f64,
            omega_rad_s,
            per_load: 1.0 / (bearing.scale_n_s_per_m() * bearing.radial_clearance_m()),
            clearance_m: bearing.radial_clearance_m(),
        })
    }

    /// Half way out under the first load: not far from any path.
    fn start(&self) -> [f64; 2] {
        let first = self.load_n[0];
        let (_, direction) = super::coefficients::polar(first, first);
        direction.map(|part| 0.5 * part)
    }

    fn rate(&self, ratio: [f64; 2], load_n: [f64; 2]) -> [f64; 2] {
        let squeeze = squeeze_per_s(self.table, self.per_load, ratio, load_n);
        let w = self.omega_rad_s;
        [squeeze[0] - w * ratio[1], squeeze[1] + w * ratio[0]]
    }

    /// A place that a period begun there is likelier to end at: Newton's step. A journal that
    /// carries next to nothing whirls with its film and forgets its start in hundreds of turns;
    /// but what is left after one is nearly proportional to what was there before.
    fn closer(&self, start: [f64; 2]) -> Result<[f64; 2], FilmError> {
        let end = |from: [f64; 2]| Walk::from(self, from).place_at(self, self.load_n.len());
        let off = |from: [f64; 2], to: [f64; 2]| [0, 1].map(|i| to[i] - from[i]);
        let reached = end(start)?;
        let here = off(start, reached);
        let small = ASIDE * (1.0 - start[0].hypot(start[1]));
        // Aside towards the centre, so as to stay inside.
        let side = start.map(|part| if part > 0.0 { -small } else { small });
        let (x, y) = ([start[0] + side[0], start[1]], [start[0], start[1] + side[1]]);
        let (by_x, by_y) = (off(x, end(x)?), off(y, end(y)?));
        let m = [0, 1].map(|i| [(by_x[i] - here[i]) / side[0], (by_y[i] - here[i]) / side[1]]);
        let step = solve(&m, here.map(|part| -part));
        let next = step.and_then(|step| inside([start[0] + step[0], start[1] + step[1]]));
        Ok(next.unwrap_or(reached))
    }

    /// Load at a time counted in instants.
    fn load(&self, at: f64) -> [f64; 2] {
        let before = at as usize;
        let (from, to) = (
            self.load_n[before % self.load_n.len()],
            self.load_n[(before + 1) % self.load_n.len()],
        );
        let part = at - before as f64;
        [0, 1].map(|k| from[k] + part * (to[k] - from[k]))
    }
}

/// A journal on its way. Time is counted in instants.
struct Walk {
    /// Where the last step began and ended: time, place, change of place per instant.
    from: (f64, [f64; 2], [f64; 2]),
    to: (f64, [f64; 2], [f64; 2]),
    step: f64,
}

impl Walk {
    fn from(course: &Course<'_>, start: [f64; 2]) -> Self {
        let now = (0.0, start, per_instant(course, start, 0.0));
        Self { from: now, to: now, step: 1.0 }
    }

    /// Where the journal is at an instant, not before the one asked for last: on a cubic through
    /// both ends of the step that passes it.
    fn place_at(&mut self, course: &Course<'_>, instant: usize) -> Result<[f64; 2], FilmError> {
        let wanted = instant as f64;
        let mut steps = 0;
        while self.to.0 < wanted {
            steps += 1;
            if steps > MOST_STEPS {
                let film_m = (1.0 - self.to.1[0].hypot(self.to.1[1])) * course.clearance_m;
                return Err(FilmError::Lost { instant: instant % course.load_n.len(), film_m });
            }
            self.advance(course);
        }
        let ((t0, p0, k0), (t1, p1, k1)) = (self.from, self.to);
        let h = t1 - t0;
        if h <= 0.0 {
            return Ok(p1);
        }
        let x = (wanted - t0) / h;
        let y = 1.0 - x;
        let place = [0, 1].map(|i| {
            y * y * ((1.0 + 2.0 * x) * p0[i] + x * h * k0[i])
                + x * x * ((1.0 + 2.0 * y) * p1[i] - y * h * k1[i])
        });
        // The cubic could bulge out of the bearing where both ends are inside.
        Ok(inside(place).unwrap_or(p1))
    }

    /// Tries a step; takes it if its error is small, and says how long the next is to be.
    fn advance(&mut self, course: &Course<'_>) {
        let (at, place, k1) = self.to;
        let h = self.step;
        let ahead = |by: f64, k: [f64; 2]| [place[0] + h * by * k[0], place[1] + h * by * k[1]];
        let tried = (|| {
            let k2 = per_instant(course, inside(ahead(STAGES[1], k1))?, at + STAGES[1] * h);
            let k3 = per_instant(course, inside(ahead(STAGES[2], k2))?, at + STAGES[2] * h);
            let mix = [0, 1].map(|i| THIRD[0] * k1[i] + THIRD[1] * k2[i] + THIRD[2] * k3[i]);
            let end = inside(ahead(1.0, mix))?;
            let k4 = per_instant(course, end, at + h);
            let off = [0, 1]
                .map(|i| h * (OFF[0] * k1[i] + OFF[1] * k2[i] + OFF[2] * k3[i] + OFF[3] * k4[i]));
            let film = (1.0 - place[0].hypot(place[1])).min(1.0 - end[0].hypot(end[1]));
            Some((end, k4, off[0].hypot(off[1]) / film))
        })();
        let Some((end, k4, error)) = tried else {
            self.step = 0.25 * h;
            return;
        };
        if error <= STEP_TOLERANCE {
            self.from = self.to;
            self.to = (at + h, end, k4);
        }
        let change = SAFETY * (STEP_TOLERANCE / error.max(f64::MIN_POSITIVE)).cbrt();
        self.step = (h * change.clamp(0.2, 4.0)).min(LONGEST_STEP);
    }
}

/// Change of place in the time between two instants.
fn per_instant(course: &Course<'_>, ratio: [f64; 2], at: f64) -> [f64; 2] {
    course.rate(ratio, course.load(at)).map(|rate| rate * course.between_s)
}

/// A place, if it is inside the bearing.
fn inside(ratio: [f64; 2]) -> Option<[f64; 2]> {
    (ratio[0] * ratio[0] + ratio[1] * ratio[1] < 1.0).then_some(ratio)
}

#[cfg(test)]
mod tests {
    use super::{OFF, STAGES, THIRD};

    /// The conditions of a third order, and of an error that sees the third order alone.
    #[test]
    fn weights_are_of_the_order_they_are_said_to_be() {
        let sum = |weights: &[f64], power: i32| -> f64 {
            weights.iter().zip(STAGES).map(|(w, c)| w * c.powi(power)).sum()
        };
        for (power, wanted) in [(0, 1.0), (1, 0.5), (2, 1.0 / 3.0)] {
            assert!((sum(&THIRD, power) - wanted).abs() < 1e-15, "{power}");
        }
        assert!((THIRD[2] * STAGES[2] * STAGES[1] - 1.0 / 6.0).abs() < 1e-15);
        assert!(sum(&OFF, 0).abs() < 1e-15 && sum(&OFF, 1).abs() < 1e-15);
        assert!(sum(&OFF, 2).abs() > 1e-2);
    }
}
