//! What a build file says of balance, as the kernel takes it. What it leaves out is taken here,
//! each noted as an assumption.

mod counterweight;
mod error;
mod rotors;
mod shaft;

use super::super::assumed::Assumed;
use super::Inputs;
use super::at_speed::masses_kg;
use crate::build_file::Build;
pub(in crate::ops) use counterweight::counterweight;
pub use error::BalanceError;
use kernel::balance::{Convention, Grade, PartUncertainty, PlacedUnbalance, TwoPlanes};
use kernel::units::{Length, Mass, Speed, System, Unbalance};
pub(in crate::ops) use rotors::{CarriedItem, RotorReadingsForBalance, carried_apart, pockets};
use shaft::{ShaftForBalance, shaft};

/// Grade where the file has none (common practice, no source; no table has rotary engines).
const GRADE_MM_PER_S: f64 = 2.5;
/// Most that masses of a set may differ (common practice, no source).
const SPREAD: Mass = Mass::g(2.0);
/// Standard uncertainty of a shop's scale (common practice, no source).
const SCALE_U: Mass = Mass::g(0.3);
/// Standard uncertainty of a mass centre along a rotor's axis (common practice, no source).
const CENTRE_U: Length = Length::mm(0.1);
/// What a balancing machine tells apart, per mass of what spins on it: a displacement of the mass
/// centre (common practice, no source; a good machine is told to have a fifth of it).
const MACHINE_U: Length = Length::um(0.5);
/// And a share of what it shows.
const MACHINE_U_SHARE: f64 = 0.03;
/// Errors below a thousandth of a gram millimetre are none of a machine's.
const LEAST_U_KG_M: f64 = 1e-9;
/// Standard uncertainty of a component of vibration over the largest (common practice, no source).
const VIBRATION_U: f64 = 0.02;

/// All that balancing needs beside the plan.
#[derive(Debug, Clone)]
pub(in crate::ops) struct BalanceInputs {
    pub(in crate::ops) grade: Grade,
    pub(in crate::ops) rotor_grade: Grade,
    pub(in crate::ops) speed: Speed,
    pub(in crate::ops) spread: Mass,
    pub(in crate::ops) spread_assumed: bool,
    pub(in crate::ops) parts_u: PartUncertainty,
    pub(in crate::ops) convention: Convention,
    pub(in crate::ops) vibration_u: f64,
    pub(in crate::ops) machine: MachineU,
    pub(in crate::ops) shaft: ShaftForBalance,
    pub(in crate::ops) planes: TwoPlanes,
    pub(in crate::ops) tolerance: TwoPlanes,
    /// Serial by serial, from the front.
    pub(in crate::ops) rotors: Vec<RotorReadingsForBalance>,
    /// Masses of the rotors as they are now, as weighed or assumed.
    pub(in crate::ops) masses_kg: Vec<f64>,
    pub(in crate::ops) assumed: Assumed,
}

/// How well the balancing machine reads.
#[derive(Debug, Clone, Copy)]
pub(in crate::ops) struct MachineU {
    /// In each plane; nothing: so much of what spins.
    pub(in crate::ops) fixed: Option<Unbalance>,
    /// Of what it shows.
    pub(in crate::ops) share: f64,
}

impl MachineU {
    /// Standard uncertainty of a component of an unbalance that it shows, with this much spinning.
    pub(in crate::ops) fn of_kg_m(&self, shown: Unbalance, spinning_kg: f64) -> f64 {
        let fixed = self.fixed.map_or(MACHINE_U.to_m() * spinning_kg, Unbalance::to_kg_m);
        fixed.hypot(self.share * shown.to_kg_m()).max(LEAST_U_KG_M)
    }
}

impl BalanceInputs {
    /// Takes a build; `masses` are the rotors' as they are now, where weighed.
    pub(in crate::ops) fn of(
        build: &Build,
        inputs: &Inputs,
        masses: &[Option<Mass>],
        first: System,
    ) -> Result<Self, BalanceError> {
        let mut assumed = Assumed::default();
        let given = &build.balance;
        let speed = given.speed.or(build.duty.speed).ok_or(BalanceError::NoSpeed)?;
        let grade = match given.grade {
            Some(grade) => grade,
            None => {
                let grade = Grade::mm_per_s(GRADE_MM_PER_S)?;
                assumed.note(format!("grade {grade}; the shop chooses (balance.grade)"));
                grade
            }
        };
        let rotor_grade = given.rotor_grade.unwrap_or_else(|| {
            assumed.note(format!("{grade} for a rotor about its own bore (balance.rotor_grade)"));
            grade
        });
        let spread = given.matching.unwrap_or_else(|| {
            if build.rotors.len() > 1 {
                let grams = SPREAD.to_g();
                assumed.note(format!("rotors of a set within {grams:.0} g (balance.match)"));
            }
            SPREAD
        });
        let scale = given.scale_u.unwrap_or_else(|| {
            let grams = SCALE_U.to_g();
            assumed.note(format!("a scale with a standard uncertainty of {grams} g"));
            SCALE_U
        });
        let masses_kg = masses_kg(build, inputs, masses, &mut assumed);
        let rotors = rotors::readings(build, first, &mut assumed);
        let centres_m = rotors.iter().map(|rotor| rotor.centre_u.to_m()).collect();
        let shaft = shaft(build, &masses_kg, &mut assumed)?;
        let planes = shaft.planes(build, first, &mut assumed)?;
        let tolerance = shaft.tolerance_planes(build, first, &mut assumed)?;
        Ok(Self {
            grade,
            rotor_grade,
            speed,
            spread,
            spread_assumed: given.matching.is_none(),
            parts_u: PartUncertainty { scale_kg: scale.to_kg(), centres_m },
            convention: convention(build, &mut assumed),
            vibration_u: given.instrument.vibration_u.unwrap_or_else(|| {
                if !given.runs.is_empty() {
                    let percent = 100.0 * VIBRATION_U;
                    assumed.note(format!(
                        "vibration known to {percent:.0} % of a sensor's largest, standard \
                         (balance.instrument.vibration_u)"
                    ));
                }
                VIBRATION_U
            }),
            machine: machine_u(build, &mut assumed),
            shaft,
            planes,
            tolerance,
            rotors,
            masses_kg,
            assumed,
        })
    }
}

/// How the instrument counts: what the file says, or heavy spot, with rotation, lag, zero at the
/// throw of rotor 1.
fn convention(build: &Build, assumed: &mut Assumed) -> Convention {
    let given = &build.balance.instrument;
    let shows = build.balance.measured.is_some() || build.balance.after.is_some();
    let runs = !build.balance.runs.is_empty();
    let mut missing = |is_missing: bool, used: bool, sentence: &str| {
        if is_missing && used {
            assumed.note(sentence);
        }
    };
    missing(given.spot.is_none(), shows, "the machine shows the heavy spot (balance.instrument)");
    missing(
        given.angles.is_none(),
        shows || runs,
        "the machine counts angles in the sense of rotation (balance.instrument)",
    );
    missing(
        given.zero.is_none(),
        shows || runs,
        "the machine's zero lies at the throw of rotor 1 (balance.instrument)",
    );
    missing(given.phase.is_none(), runs, "phases are lags (balance.instrument)");
    Convention {
        spot: given.spot.unwrap_or_default(),
        angles: given.angles.unwrap_or_default(),
        phase: given.phase.unwrap_or_default(),
        zero_rad: given.zero.unwrap_or_default().to_rad(),
    }
}

fn machine_u(build: &Build, assumed: &mut Assumed) -> MachineU {
    let given = &build.balance.instrument;
    let reads_rotors = build.balance.rotors.iter().any(|rotor| !rotor.mandrel.is_empty());
    let reads = build.balance.measured.is_some() || build.balance.after.is_some() || reads_rotors;
    if reads && given.u.is_none() {
        assumed.note(format!(
            "a machine that reads to {} g mm per kilogram that spins, standard \
             (balance.instrument.u)",
            MACHINE_U.to_um()
        ));
    }
    if reads && given.u_share.is_none() {
        let percent = 100.0 * MACHINE_U_SHARE;
        assumed
            .note(format!("and to {percent:.0} % of what it shows (balance.instrument.u_share)"));
    }
    MachineU { fixed: given.u, share: given.u_share.unwrap_or(MACHINE_U_SHARE) }
}

/// An unbalance that a weight is said to have.
#[derive(Debug, Clone)]
pub(in crate::ops) struct WeightOnShaft {
    pub(in crate::ops) name: String,
    pub(in crate::ops) unbalance: PlacedUnbalance,
}
