//! What a balancing instrument's angles mean, and the one frame that everything here is computed
//! in.
//!
//! # The frame
//! A vector square to the shaft is complex: the real axis is the throw of rotor 1, the imaginary
//! one a quarter of a turn ahead of it in the sense of rotation. An unbalance `u = |u| e^{iφ}` is
//! on its heavy side, at `φ` ahead of that throw. A mass that is put on at `φ` is an unbalance
//! there; what cancels `u` is a mass at the opposite place, `−u`, or metal taken away at `u`.
//!
//! # Angles of masses
//! The instrument's scale has its zero at `zero` from the throw of rotor 1, in the sense of
//! rotation, and counts `α` with or against the rotation: the place is `zero + α` or `zero − α`.
//! An instrument that tells where the light spot is, where mass is to go on, tells the unbalance
//! turned by half a turn. Where a mass was put on is told as it is by either kind.
//!
//! # Vibration
//! Let the shaft have turned by `ωt` since its mark passed the instrument's pick-up. The heavy
//! spot, at `φ` in the shaft, then points to `ωt + φ` from where it would with `φ = 0`, so its
//! force along any fixed direction is the real part of a constant times `|u| e^{i(ωt + φ)}`. The
//! machine answers linearly and without change of frequency: a pick-up gives
//! `v(t) = Re(A u e^{iωt})`, where `A` is the machine's answer to a unit at the throw of rotor 1
//! and depends neither on `u` nor on where the mark is. So with `V` from `v(t) = Re(V e^{iωt})`
//! it holds that `V = A u`, and of several planes that `V` is the sum.
//!
//! An instrument that shows a lag `ψ` says how far the shaft turns from the mark's pulse to the
//! peak: `v = |V| cos(ωt − ψ)`, so `V = |V| e^{−iψ}`. One that shows a lead says how far the
//! shaft turns from the peak to the pulse: `v = |V| cos(ωt + ψ)`, so `V = |V| e^{iψ}`. Taken the
//! wrong way, `V` is mirrored while the masses are not, and no constant `A` holds any more: a
//! first reading and one trial weight would still give a correction, to the wrong side.

use nalgebra::Complex;
use std::f64::consts::TAU;

/// Which end of an unbalance an instrument tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spot {
    /// Where there is mass too much.
    #[default]
    Heavy,
    /// Where there is too little: opposite.
    Light,
}

impl Spot {
    /// In one word or two: as files and papers say it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Heavy => "heavy",
            Self::Light => "light",
        }
    }
}

/// Which way an instrument counts the angles of masses round the shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Counted {
    /// In the sense of rotation: a larger angle passes a fixed point earlier.
    #[default]
    WithRotation,
    /// Against it, as marks appear to count up that pass a fixed pointer: 0 first, then 10, 20.
    AgainstRotation,
}

impl Counted {
    /// In one word or two: as files and papers say it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::WithRotation => "with rotation",
            Self::AgainstRotation => "against rotation",
        }
    }
}

/// What the phase of a vibration is, between the pulse of the shaft's mark and the peak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Phase {
    /// The shaft turns by it from the pulse to the peak.
    #[default]
    Lag,
    /// The shaft turns by it from the peak to the pulse.
    Lead,
}

impl Phase {
    /// In one word or two: as files and papers say it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lag => "lag",
            Self::Lead => "lead",
        }
    }
}

/// How an instrument's figures are to be read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Convention {
    /// Which end of an unbalance it tells.
    pub spot: Spot,
    /// Which way it counts the angles of masses.
    pub angles: Counted,
    /// What its phase is.
    pub phase: Phase,
    /// Where its zero of angles of masses lies, from the throw of rotor 1 in the sense of rotation.
    pub zero_rad: f64,
}

/// What an instrument shows: an amount, in whatever unit, and an angle. Both finite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// Amount, 0 or more.
    pub amount: f64,
    /// Angle; any when given, from 0 to less than a whole turn as an answer, 0 of no amount.
    pub angle_rad: f64,
}

impl Convention {
    /// The unbalance, on its heavy side in the shaft, of one that is shown.
    #[must_use]
    pub fn unbalance(&self, shown: Shown) -> Complex<f64> {
        self.spot_of(self.mass(shown))
    }

    /// How the instrument would show an unbalance of the shaft.
    #[must_use]
    pub fn shows_unbalance(&self, unbalance: Complex<f64>) -> Shown {
        self.shows_mass(self.spot_of(unbalance))
    }

    /// The unbalance that a mass put on at a shown angle makes. Which spot the instrument tells
    /// does not matter: this angle is a place on its scale.
    #[must_use]
    pub fn mass(&self, shown: Shown) -> Complex<f64> {
        let angle_rad = match self.angles {
            Counted::WithRotation => self.zero_rad + shown.angle_rad,
            Counted::AgainstRotation => self.zero_rad - shown.angle_rad,
        };
        Complex::from_polar(shown.amount, angle_rad)
    }

    /// Where on the instrument's scale a mass goes on that makes this unbalance.
    #[must_use]
    pub fn shows_mass(&self, unbalance: Complex<f64>) -> Shown {
        let from_zero_rad = unbalance.arg() - self.zero_rad;
        let angle_rad = match self.angles {
            Counted::WithRotation => from_zero_rad,
            Counted::AgainstRotation => -from_zero_rad,
        };
        shown(unbalance.norm(), angle_rad)
    }

    /// The arrow `V` of a vibration `Re(V e^{iωt})` whose amplitude and phase are shown: a lead,
    /// with which `V = A u` holds.
    #[must_use]
    pub fn vibration(&self, shown: Shown) -> Complex<f64> {
        match self.phase {
            Phase::Lag => Complex::from_polar(shown.amount, -shown.angle_rad),
            Phase::Lead => Complex::from_polar(shown.amount, shown.angle_rad),
        }
    }

    /// Amplitude and phase that the instrument would show of a vibration.
    #[must_use]
    pub fn shows_vibration(&self, vibration: Complex<f64>) -> Shown {
        let lead_rad = vibration.arg();
        let angle_rad = match self.phase {
            Phase::Lag => -lead_rad,
            Phase::Lead => lead_rad,
        };
        shown(vibration.norm(), angle_rad)
    }

    /// From the heavy side to the side that the instrument tells, and back.
    fn spot_of(&self, unbalance: Complex<f64>) -> Complex<f64> {
        match self.spot {
            Spot::Heavy => unbalance,
            Spot::Light => -unbalance,
        }
    }
}

/// An amount with its angle brought into the first turn.
fn shown(amount: f64, angle_rad: f64) -> Shown {
    let turned = angle_rad.rem_euclid(TAU);
    // Rounding takes an angle just below 0 to a whole turn.
    let within = amount > 0.0 && turned < TAU;
    Shown { amount, angle_rad: if within { turned } else { 0.0 } }
}

#[cfg(test)]
mod tests {
    use super::super::influence::{Influence, ReadingNoise, Run, TrialRuns};
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    const SPOTS: [Spot; 2] = [Spot::Heavy, Spot::Light];
    const ANGLES: [Counted; 2] = [Counted::WithRotation, Counted::AgainstRotation];
    const PHASES: [Phase; 2] = [Phase::Lag, Phase::Lead];
    /// From the throw of rotor 1: there, a quarter, past the half turn, before it, over a turn.
    const ZEROS_RAD: [f64; 5] = [0.0, FRAC_PI_2, 3.7, -1.1, 8.0];

    fn every_convention() -> Vec<Convention> {
        let mut all = Vec::new();
        for spot in SPOTS {
            for angles in ANGLES {
                for phase in PHASES {
                    all.extend(ZEROS_RAD.map(|zero_rad| Convention {
                        spot,
                        angles,
                        phase,
                        zero_rad,
                    }));
                }
            }
        }
        all
    }

    fn polar_deg(amount: f64, angle_deg: f64) -> Shown {
        Shown { amount, angle_rad: angle_deg.to_radians() }
    }

    /// A machine in time: two masses on damped springs, unbalances on both turning with the
    /// shaft. Nothing of it is complex; a point of the shaft is where its two coordinates say.
    struct Machine {
        /// Points of mass on each plane of the shaft: kg m towards the throw of rotor 1 and a
        /// quarter of a turn ahead of it.
        planes: [[f64; 2]; 2],
    }

    const OMEGA_RAD_S: f64 = 300.0;
    const MASS_KG: [f64; 2] = [9.0, 12.0];
    const STIFFNESS_N_PER_M: [f64; 3] = [6e5, 4e5, 1.1e6];
    const DAMPING_N_S_PER_M: [f64; 2] = [900.0, 1300.0];
    /// How far the shaft has turned when its mark passes the pick-up; nobody knows.
    const MARK_RAD: f64 = 0.9;
    /// Even, so that the mark's instant is a step; steps of 0.1 degree.
    const STEPS: usize = 3600;
    /// Transients are gone by `e^{−40}`.
    const TURNS: usize = 60;

    impl Machine {
        /// Both pick-ups over the turn that begins with the mark's pulse.
        fn turn(&self) -> [Vec<f64>; 2] {
            let forces = |angle_rad: f64| {
                // A point (a, b) of the turning shaft stands at a cos − b sin along the pick-ups.
                let (sin, cos) = angle_rad.sin_cos();
                self.planes.map(|[a, b]| OMEGA_RAD_S * OMEGA_RAD_S * (a * cos - b * sin))
            };
            let rates = |angle_rad: f64, y: [f64; 4]| {
                let [f1, f2] = forces(angle_rad);
                let between = STIFFNESS_N_PER_M[1] * (y[1] - y[0]);
                let a1 = f1 - STIFFNESS_N_PER_M[0] * y[0] - DAMPING_N_S_PER_M[0] * y[2] + between;
                let a2 = f2 - STIFFNESS_N_PER_M[2] * y[1] - DAMPING_N_S_PER_M[1] * y[3] - between;
                [y[2], y[3], a1 / MASS_KG[0], a2 / MASS_KG[1]]
            };
            let step_rad = TAU / STEPS as f64;
            let step_s = step_rad / OMEGA_RAD_S;
            let ahead = |y: [f64; 4], k: [f64; 4], by_s: f64| -> [f64; 4] {
                std::array::from_fn(|i| y[i] + by_s * k[i])
            };
            let mut y = [0.0; 4];
            let mut seen = [Vec::new(), Vec::new()];
            for step in 0..TURNS * STEPS {
                if step >= (TURNS - 1) * STEPS {
                    seen[0].push(y[0]);
                    seen[1].push(y[1]);
                }
                let angle_rad = MARK_RAD + (step % STEPS) as f64 * step_rad;
                let k1 = rates(angle_rad, y);
                let k2 = rates(angle_rad + step_rad / 2.0, ahead(y, k1, step_s / 2.0));
                let k3 = rates(angle_rad + step_rad / 2.0, ahead(y, k2, step_s / 2.0));
                let k4 = rates(angle_rad + step_rad, ahead(y, k3, step_s));
                for i in 0..4 {
                    y[i] += step_s / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
                }
            }
            seen
        }

        /// Puts a mass on at an angle of the instrument's scale, walking round the shaft from its
        /// zero.
        fn put_on(&mut self, plane: usize, at: Shown, convention: &Convention) {
            let walked_rad = match convention.angles {
                Counted::WithRotation => at.angle_rad,
                Counted::AgainstRotation => -at.angle_rad,
            };
            let (sin, cos) = (convention.zero_rad + walked_rad).sin_cos();
            self.planes[plane][0] += at.amount * cos;
            self.planes[plane][1] += at.amount * sin;
        }
    }

    /// Amplitude and phase as the instrument takes them: the peak of the signal, and how far the
    /// shaft turns between it and the pulse.
    fn instrument_reads(signal: &[f64], phase: Phase) -> Shown {
        let peak = (0..STEPS).max_by(|a, b| signal[*a].total_cmp(&signal[*b])).unwrap();
        let before = signal[(peak + STEPS - 1) % STEPS];
        let behind = signal[(peak + 1) % STEPS];
        // A parabola through three samples of a cosine.
        let bend = before - 2.0 * signal[peak] + behind;
        let beyond = 0.5 * (before - behind) / bend;
        let to_peak_rad = TAU * (peak as f64 + beyond) / STEPS as f64;
        let angle_rad = match phase {
            Phase::Lag => to_peak_rad,
            Phase::Lead => TAU - to_peak_rad,
        };
        Shown { amount: signal[peak] - 0.25 * (before - behind) * beyond, angle_rad }
    }

    /// What the instrument is told and tells of an unbalance in the shaft, by coordinates along
    /// its zero and a quarter further the way it counts.
    fn instrument_tells(point: [f64; 2], convention: &Convention) -> Shown {
        let side = if convention.spot == Spot::Heavy { 1.0 } else { -1.0 };
        let way = if convention.angles == Counted::WithRotation { 1.0 } else { -1.0 };
        let (sin, cos) = convention.zero_rad.sin_cos();
        let along = side * (point[0] * cos + point[1] * sin);
        let across = side * way * (point[1] * cos - point[0] * sin);
        Shown { amount: along.hypot(across), angle_rad: across.atan2(along) }
    }

    const UNBALANCE_KG_M: [[f64; 2]; 2] = [[3.1e-4, -1.2e-4], [-0.7e-4, 2.6e-4]];
    const TRIALS: [(f64, f64); 2] = [(2e-4, 40.0), (3e-4, 255.0)];
    /// Of the first vibration, after the correction: what reading the peak by a parabola leaves
    /// (a cube of the step, 5e-9, over 30), magnified by the two planes' solution.
    const CANCELLED_WITHIN: f64 = 1e-7;

    /// The largest share of the first vibration that is left when an instrument of one convention
    /// is read by another.
    fn left(instrument: &Convention, read: &Convention) -> f64 {
        let amplitude =
            |machine: &Machine| machine.turn().map(|s| instrument_reads(&s, instrument.phase));
        let run = |trials: &[(usize, Shown)]| {
            let mut machine = Machine { planes: UNBALANCE_KG_M };
            let mut weights_kg_m = vec![Complex::new(0.0, 0.0); 2];
            for (plane, at) in trials {
                machine.put_on(*plane, *at, instrument);
                weights_kg_m[*plane] += read.mass(*at);
            }
            let readings = amplitude(&machine).map(|shown| read.vibration(shown)).to_vec();
            Run { speed: 0, trial_weights_kg_m: weights_kg_m, readings }
        };
        let trial = |plane: usize| (plane, polar_deg(TRIALS[plane].0, TRIALS[plane].1));
        let runs = vec![run(&[]), run(&[trial(0)]), run(&[trial(0), trial(1)])];
        let noise = ReadingNoise::PerSensor(vec![1e-9; 2]);
        let influence = Influence::of(&TrialRuns { planes: 2, runs, noise }).unwrap();
        let correction = influence.correction().unwrap();
        let mut machine = Machine { planes: UNBALANCE_KG_M };
        let before = amplitude(&machine);
        for (plane, weight) in correction.weights.iter().enumerate() {
            machine.put_on(plane, read.shows_mass(weight.value_kg_m), instrument);
        }
        let after = amplitude(&machine);
        (0..2).map(|i| after[i].amount / before[i].amount).fold(0.0, f64::max)
    }

    #[test]
    fn a_turning_rotor_is_balanced_by_what_an_instrument_of_any_convention_shows() {
        for convention in every_convention() {
            let left = left(&convention, &convention);
            assert!(left < CANCELLED_WITHIN, "{convention:?}: {left}");
        }
    }

    /// So that the test above can fail.
    #[test]
    fn a_rotor_is_not_balanced_when_phase_or_sense_are_taken_the_wrong_way() {
        let right = Convention::default();
        let lead = Convention { phase: Phase::Lead, ..right };
        let against = Convention { angles: Counted::AgainstRotation, ..right };
        for (instrument, read) in [(right, lead), (lead, right), (right, against)] {
            assert!(left(&instrument, &read) > 0.3);
        }
        // Where the zero is counted from and which spot is told do not touch trial runs.
        let light = Convention { spot: Spot::Light, zero_rad: 2.0, ..right };
        assert!(left(&right, &light) < CANCELLED_WITHIN);
    }

    #[test]
    fn an_unbalance_told_is_cancelled_by_a_mass_opposite_to_it() {
        for convention in every_convention() {
            for point in UNBALANCE_KG_M {
                let told = instrument_tells(point, &convention);
                let unbalance = convention.unbalance(told);
                let off = unbalance - Complex::new(point[0], point[1]);
                assert!(off.norm() < 1e-18, "{convention:?}: {off}");
                let mut machine = Machine { planes: [point, [0.0; 2]] };
                machine.put_on(0, convention.shows_mass(-unbalance), &convention);
                assert!(machine.planes[0][0].hypot(machine.planes[0][1]) < 1e-18);
                // A light spot is where the mass goes on.
                let opposite = convention.shows_mass(-unbalance).angle_rad - told.angle_rad;
                let expected = if convention.spot == Spot::Light { 0.0 } else { PI };
                assert!((opposite - expected).cos() > 1.0 - 1e-14, "{convention:?}");
            }
        }
    }

    #[test]
    fn what_is_shown_comes_back_and_lies_in_the_first_turn() {
        for convention in every_convention() {
            for step in 0..48 {
                let vector = Complex::from_polar(2.5, f64::from(step) * TAU / 48.0);
                for (shown, back) in [
                    (
                        convention.shows_unbalance(vector),
                        convention.unbalance(convention.shows_unbalance(vector)),
                    ),
                    (convention.shows_mass(vector), convention.mass(convention.shows_mass(vector))),
                    (
                        convention.shows_vibration(vector),
                        convention.vibration(convention.shows_vibration(vector)),
                    ),
                ] {
                    assert!((0.0..TAU).contains(&shown.angle_rad), "{shown:?}");
                    assert!((back - vector).norm() < 1e-14, "{convention:?} {back}");
                }
            }
            let none = Shown { amount: 0.0, angle_rad: 0.0 };
            assert_eq!(convention.shows_mass(Complex::new(-0.0, -0.0)), none);
        }
        let below = Complex::new(1.0, -1e-300);
        assert_eq!(Convention::default().shows_mass(below).angle_rad, 0.0);
    }

    #[test]
    fn by_hand() {
        // The zero mark a quarter ahead of the throw, counted against the rotation: 30 shown is
        // 60 ahead of the throw.
        let convention = Convention {
            angles: Counted::AgainstRotation,
            zero_rad: FRAC_PI_2,
            ..Convention::default()
        };
        let mass = convention.mass(polar_deg(2.0, 30.0));
        assert!((mass - Complex::from_polar(2.0, PI / 3.0)).norm() < 1e-15);
        let light = Convention { spot: Spot::Light, ..convention };
        assert!((light.unbalance(polar_deg(2.0, 30.0)) + mass).norm() < 1e-15);
        assert_eq!(light.mass(polar_deg(2.0, 30.0)), mass);
        // A lag of a quarter: −i.
        let lag = convention.vibration(polar_deg(1.0, 90.0));
        assert!((lag - Complex::new(0.0, -1.0)).norm() < 1e-15);
    }
}
