//! A planned build on the balancing machine: masses of the rotors and how to match them, bob
//! weights, what the counterweights need, what is permitted, and which holes bring it there.

mod file;
mod pictures;
mod planes;
mod rotors;
mod running;
#[cfg(test)]
mod tests;
mod trial_words;
mod trials;
mod warnings;

use super::inputs::{BalanceError, BalanceInputs, SpeedCall};
use super::plan::PlanReport;
use crate::build_file::Build;
pub use file::{BalanceFileError, Balanced, balance_file};
use kernel::balance::{
    Assembly, Body, Cause, Complex, Convention, Grade, InPlanes, Permitted, ThrownRotor, Together,
    TwoPlanes, bob_tolerance_kg, judge,
};
use kernel::readings::Verdict;
use kernel::units::{Mass, Speed, System};
pub use pictures::balance_pictures;
pub use planes::{Done, PlaceLine, PlaneReport};
pub use rotors::{ItemLine, MassLine, OwnLine, RotorBalance, TakenLine};
pub use running::{Critical, Running};
pub use trials::{SensorLine, SpeedLine, TrialsReport};

/// Share of the tolerance that errors of all bob weights together may take (common practice, no
/// source).
const BOB_SHARE: f64 = 0.1;

/// What the correction rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Masses of rotors and weights, as the file says them.
    Parts,
    /// Trial runs.
    Trials,
    /// What the machine showed with bob weights on.
    Machine,
    /// What it showed after correction.
    After,
    /// What a run after correction showed, by the trial runs before it.
    RunAfter,
}

impl Basis {
    /// In the words of every output.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Parts => "worked out from the parts",
            Self::Trials => "trial runs",
            Self::Machine => "the machine's reading",
            Self::After => "the machine's reading after correction",
            Self::RunAfter => "a run after correction",
        }
    }
}

/// A bob weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BobWeight {
    /// Mass to make it up to.
    pub mass_kg: f64,
    /// What was on the journal, where the file says.
    pub used_kg: Option<f64>,
    /// By how much it may be off.
    pub tolerance_kg: f64,
    /// What a kilogram too much is in the front and the rear correction plane, along its throw.
    pub per_kg_m: [f64; 2],
    /// What a metre that it sits too far to the rear is there.
    pub per_m_kg: [f64; 2],
}

/// What is left of the unbalance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// In the correction planes.
    pub in_planes: InPlanes,
    /// In the tolerance planes.
    pub in_tolerance: InPlanes,
    /// What is said of each tolerance plane.
    pub verdicts: [Verdict; 2],
}

impl Left {
    /// The worse of both planes.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.verdicts[0].max(self.verdicts[1])
    }
}

/// What the machine showed, and will show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnMachine {
    /// What it showed in both planes, heavy side.
    pub shown_kg_m: [Complex<f64>; 2],
    /// What it could not see with the bob weights that were on.
    pub unseen_kg_m: [Complex<f64>; 2],
    /// What it shows after the corrections with the same bob weights.
    pub then_kg_m: [Complex<f64>; 2],
    /// The same with bob weights as asked for.
    pub then_asked_kg_m: [Complex<f64>; 2],
}

/// The balance of a build.
#[derive(Debug, Clone)]
pub struct BalanceReport {
    /// Name of the build.
    pub build: String,
    /// What was assumed, the plan's assumptions not among it.
    pub assumed: Vec<String>,
    /// What to look at before believing it.
    pub warnings: Vec<String>,
    /// Whether the shaft was scaled from the engine's sizes.
    pub assumed_shaft: bool,
    /// Of the whole.
    pub grade: Grade,
    /// Of a rotor about its own bore.
    pub rotor_grade: Grade,
    /// Service speed.
    pub speed: Speed,
    /// Speed of the machine, where the file says.
    pub machine_speed: Option<Speed>,
    /// How the instrument counts.
    pub convention: Convention,
    /// Rotors, from the front.
    pub rotors: Vec<RotorBalance>,
    /// How far masses of the set differ before and after what is to be taken, and may.
    pub spread_kg: [f64; 3],
    /// What is said of that.
    pub set_verdict: Verdict,
    /// Mass of all that spins, and its mass centre from the front end of the shaft.
    pub body: Body,
    /// Whether that mass was weighed.
    pub body_weighed: bool,
    /// What may be left.
    pub permitted: Permitted,
    /// Most in each correction plane that keeps within it however the two lie.
    pub permitted_in_planes_kg_m: [f64; 2],
    /// Where corrections are made.
    pub correction_planes: TwoPlanes,
    /// Where the tolerance holds.
    pub tolerance_planes: TwoPlanes,
    /// What the counterweights need to balance, cause by cause, as unbalances that balance it.
    pub needed: Vec<(Cause, [Complex<f64>; 2])>,
    /// What rotors, oil and journals are together.
    pub together: Together,
    /// The same added up without their directions.
    pub thrown_kg_m: f64,
    /// Bob weights, from the front.
    pub bobs: Vec<BobWeight>,
    /// Trial runs, where there are any.
    pub trials: Option<TrialsReport>,
    /// What the correction rests on.
    pub basis: Basis,
    /// What the machine showed, where it did.
    pub machine: Option<OnMachine>,
    /// What the parts alone would have.
    pub predicted: InPlanes,
    /// What is there before correction.
    pub found: Left,
    /// Front and rear counterweight.
    pub planes: [PlaneReport; 2],
    /// What the corrections leave.
    pub left: Left,
    /// Running off centre in the bearings.
    pub running: Running,
    /// The first critical speed, or why it is not known.
    pub critical: Result<Critical, String>,
}

impl BalanceReport {
    /// What is said of the shaft with all that turns with it: of a reading after correction, or of
    /// what is planned. What was only worked out from the parts proves nothing, and of an assumed
    /// shaft neither does it disprove; nor does what rests on a rotor that was not weighed, or on
    /// trial runs of one plane.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let assumed = self.rotors.iter().any(|rotor| rotor.mass.assumed);
        let unknown = (0..2).any(|plane| !self.is_known(plane));
        let left = self.left.verdict();
        match self.basis {
            _ if unknown => Verdict::NotProven,
            Basis::After | Basis::RunAfter => self.found.verdict(),
            Basis::Parts if self.assumed_shaft => Verdict::NotProven,
            Basis::Parts => left.max(Verdict::NotProven),
            Basis::Trials | Basis::Machine if assumed => left.max(Verdict::NotProven),
            Basis::Trials | Basis::Machine => left,
        }
    }

    /// What is said of the rotors about their own bores, with what is to be taken taken; nothing
    /// where none was read.
    #[must_use]
    pub fn rotors_verdict(&self) -> Option<Verdict> {
        let read = self.rotors.iter().filter_map(|rotor| rotor.own.as_ref());
        let worst = read.map(|own| own.planned).max()?;
        let all = self.rotors.iter().all(|rotor| rotor.own.is_some());
        Some(if all { worst } else { worst.max(Verdict::NotProven) })
    }

    /// The worst of all three.
    #[must_use]
    pub fn worst(&self) -> Verdict {
        let rotors = self.rotors_verdict().unwrap_or(Verdict::Conforms);
        self.verdict().max(rotors).max(self.set_verdict)
    }

    /// Whether anything is known of a plane: of one that was not tried nothing is.
    #[must_use]
    pub fn is_known(&self, plane: usize) -> bool {
        match (&self.basis, &self.trials) {
            (Basis::Trials | Basis::RunAfter, Some(trials)) => trials.planes.contains(&plane),
            _ => true,
        }
    }

    /// Where on the machine's scale a place of the shaft is.
    #[must_use]
    pub fn on_machine_deg(&self, direction: Complex<f64>) -> f64 {
        self.convention.shows_mass(direction).angle_rad.to_degrees()
    }

    /// Whether the verdict is on a reading.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        matches!(self.basis, Basis::After | Basis::RunAfter)
    }
}

/// Balances a planned build.
///
/// # Errors
/// [`BalanceError`] naming what is missing or cannot be computed.
pub fn balance(
    build: &Build,
    plan: &PlanReport,
    call: &SpeedCall,
    first: System,
) -> Result<BalanceReport, BalanceError> {
    let critical = running::critical(build, plan, call, first);
    balance_with(build, plan, critical, first)
}

/// The same without the first critical speed, which takes the oil films of the whole shaft and a
/// second of work where nothing else takes hundredths.
///
/// # Errors
/// As [`balance`].
pub fn balance_without_critical(
    build: &Build,
    plan: &PlanReport,
    first: System,
) -> Result<BalanceReport, BalanceError> {
    balance_with(build, plan, Err("it is not worked out here".to_owned()), first)
}

fn balance_with(
    build: &Build,
    plan: &PlanReport,
    critical: Result<Critical, String>,
    first: System,
) -> Result<BalanceReport, BalanceError> {
    let masses: Vec<Option<Mass>> = plan.rotors.iter().map(|rotor| rotor.mass).collect();
    let mut inputs = BalanceInputs::of(build, &plan.inputs, &masses, first)?;
    let e_m = build.engine.eccentricity.to_m();
    let rotors = rotors::rotors(build, plan, &inputs)?;
    let assembly = Assembly {
        shaft_kg: inputs.shaft.mass_kg,
        shaft_centre_m: inputs.shaft.centre_m,
        weights: inputs.shaft.weights.iter().map(|weight| weight.unbalance).collect(),
        rotors: thrown(build, &inputs, &rotors),
        eccentricity_m: e_m,
    };
    let body = Body {
        mass: build.balance.mass.unwrap_or(Mass::kg(assembly.mass_kg())),
        speed: inputs.speed,
        mass_centre_m: assembly.mass_centre_m(),
    };
    let permitted = Permitted::by(inputs.grade, body, &inputs.tolerance);
    let (planes, tolerance) = (inputs.planes, inputs.tolerance);
    let in_planes = planes.within(&tolerance, permitted.planes_kg_m, permitted.planes_kg_m);
    let bobs = bobs(build, &assembly, &planes, in_planes);
    let mut trials = trials::trials(build, &inputs)?;
    let Found { basis, found, machine } = found(build, &inputs, &assembly, &bobs, trials.as_ref());
    let judged = |in_planes: InPlanes| {
        let in_tolerance = in_planes.moved(&planes, &tolerance);
        let verdicts = std::array::from_fn(|k| {
            judge(in_tolerance.vectors_kg_m[k], in_tolerance.u_kg_m(k), permitted.planes_kg_m[k])
        });
        Left { in_planes, in_tolerance, verdicts }
    };
    let found = judged(found);
    let withheld = std::array::from_fn(|plane| {
        let trials = trials.as_ref()?;
        match basis {
            Basis::Trials => trials.withheld(plane),
            Basis::RunAfter => trials.untried(plane),
            Basis::Parts | Basis::Machine | Basis::After => None,
        }
    });
    let planned =
        planes::corrections(build, &mut inputs, &assembly, &found, (in_planes, withheld))?;
    if let Some(trials) = &mut trials {
        trials.expect(found.in_planes.vectors_kg_m, planned.left_kg_m, basis == Basis::Trials);
    }
    let machine = machine.map(|machine| OnMachine {
        then_kg_m: std::array::from_fn(|k| planned.left_kg_m[k] - machine.unseen_kg_m[k]),
        then_asked_kg_m: {
            let asked: Vec<f64> = bobs.iter().map(|bob| bob.mass_kg).collect();
            let unseen = assembly.unseen(&planes, &asked);
            std::array::from_fn(|k| planned.left_kg_m[k] - unseen[k])
        },
        ..machine
    });
    let left = judged(InPlanes { vectors_kg_m: planned.left_kg_m, ..found.in_planes });
    let mut report = BalanceReport {
        build: build.name.clone(),
        assumed: Vec::new(),
        warnings: Vec::new(),
        assumed_shaft: inputs.shaft.assumed,
        grade: inputs.grade,
        rotor_grade: inputs.rotor_grade,
        speed: inputs.speed,
        machine_speed: build.balance.instrument.speed,
        convention: inputs.convention,
        spread_kg: rotors::spread_kg(&rotors, inputs.spread),
        set_verdict: rotors::set_verdict(&rotors, &inputs),
        body,
        body_weighed: build.balance.mass.is_some(),
        permitted,
        permitted_in_planes_kg_m: in_planes,
        correction_planes: planes,
        tolerance_planes: tolerance,
        needed: Cause::ALL
            .iter()
            .map(|cause| (*cause, planes.needed(&assembly.thrown(*cause))))
            .collect(),
        together: assembly.together(),
        thrown_kg_m: assembly.all_thrown().iter().map(|u| u.vector_kg_m.norm()).sum(),
        bobs,
        trials,
        basis,
        machine,
        predicted: assembly.predicted(&planes, &inputs.parts_u),
        found,
        planes: planned.planes,
        left,
        running: running::running(build, &assembly, &mut inputs.assumed, first),
        critical,
        rotors,
    };
    report.warnings = warnings::warnings(build, &report, &inputs);
    report.assumed = inputs.assumed.sentences().to_vec();
    Ok(report)
}

/// The rotors as the shaft carries them: with what is to be taken from them taken.
fn thrown(build: &Build, inputs: &BalanceInputs, rotors: &[RotorBalance]) -> Vec<ThrownRotor> {
    let oil = build.balance.oil;
    rotors
        .iter()
        .enumerate()
        .map(|(index, rotor)| {
            let to_rear = inputs.rotors[index].to_rear;
            let oil_kg_m = oil.map_or(Complex::new(0.0, 0.0), |oil| {
                let angle_rad = oil.angle.unwrap_or_default().to_rad();
                Complex::from_polar(oil.amount.to_kg_m(), angle_rad)
            });
            let oil_at = oil.and_then(|oil| oil.offset).unwrap_or_default();
            ThrownRotor {
                at_m: inputs.shaft.stations_m[index],
                throw_rad: inputs.shaft.throws_rad[index],
                mass_kg: rotor.finished.mass_kg,
                mass_centre_m: to_rear * rotor.finished.mass_centre_m,
                oil_kg_m,
                oil_at_m: to_rear * oil_at.to_m(),
                journal_kg_m: inputs.shaft.journals_kg_m[index],
            }
        })
        .collect()
}

fn bobs(
    build: &Build,
    assembly: &Assembly,
    planes: &TwoPlanes,
    permitted_kg_m: [f64; 2],
) -> Vec<BobWeight> {
    let e_m = assembly.eccentricity_m;
    let tolerance_kg = bob_tolerance_kg(&assembly.rotors, planes, e_m, (permitted_kg_m, BOB_SHARE));
    let used = build.balance.bob_weights.as_ref();
    assembly
        .rotors
        .iter()
        .enumerate()
        .map(|(index, rotor)| {
            let mass_kg = rotor.bob_weight_kg(e_m);
            BobWeight {
                mass_kg,
                used_kg: used.and_then(|used| used.get(index)).map(|mass| mass.to_kg()),
                tolerance_kg,
                per_kg_m: rotor.per_kg_m(planes, e_m),
                per_m_kg: rotor.per_m_kg(mass_kg, planes, e_m),
            }
        })
        .collect()
}

/// What is there, what that rests on, and what the machine showed of it.
struct Found {
    basis: Basis,
    found: InPlanes,
    machine: Option<OnMachine>,
}

/// The newest and surest that is known of the unbalance: a reading after correction, a reading
/// before it, trial runs, the parts.
fn found(
    build: &Build,
    inputs: &BalanceInputs,
    assembly: &Assembly,
    bobs: &[BobWeight],
    trials: Option<&TrialsReport>,
) -> Found {
    let given = &build.balance;
    if given.after.is_none()
        && let Some(left) = trials.and_then(|trials| trials.left)
    {
        return Found { basis: Basis::RunAfter, found: left, machine: None };
    }
    let shown = match (&given.after, &given.measured) {
        (Some(after), _) => Some((Basis::After, after)),
        (None, Some(measured)) => Some((Basis::Machine, measured)),
        (None, None) => None,
    };
    if let Some((basis, shown)) = shown {
        let both = [shown.front, shown.rear];
        let spinning_kg = assembly.mass_kg();
        let shown = InPlanes::apart(
            both.map(|shown| inputs.convention.unbalance(trials::shown(&shown))),
            both.map(|shown| inputs.machine.of_kg_m(shown.amount, spinning_kg)),
        );
        let on: Vec<f64> = bobs.iter().map(|bob| bob.used_kg.unwrap_or(bob.mass_kg)).collect();
        let found = assembly.measured(&inputs.planes, &shown, &on, &inputs.parts_u);
        let machine = OnMachine {
            shown_kg_m: shown.vectors_kg_m,
            unseen_kg_m: assembly.unseen(&inputs.planes, &on),
            then_kg_m: shown.vectors_kg_m,
            then_asked_kg_m: shown.vectors_kg_m,
        };
        return Found { basis, found, machine: Some(machine) };
    }
    if let Some(trials) = trials {
        return Found { basis: Basis::Trials, found: trials.unbalance, machine: None };
    }
    let found = assembly.predicted(&inputs.planes, &inputs.parts_u);
    Found { basis: Basis::Parts, found, machine: None }
}
