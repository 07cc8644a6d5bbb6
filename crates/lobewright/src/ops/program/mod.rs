//! Machining programs of a planned build: one for each face of each rotor that has stock, each
//! checked before anybody sees it, and the list of what is done at the machine before it runs.

mod choice;
mod failure;
mod file;
mod set_up;
#[cfg(test)]
mod tests;

pub use choice::{NoMachine, choose};
pub use failure::{FaceFailure, ProgramsError};
pub use file::{ProgramFileError, Programmed, program_file};
pub(crate) use set_up::minutes;
pub use set_up::{CAUTION, SetUp, SetUpLine, set_up};

use super::folder::safe_name;
use super::inputs;
use super::phrase;
use super::plan::{PlanReport, RotorReport};
use crate::build_file::model::MachineTool as Record;
use kernel::cutting::{CuttingError, FaceJob, MachineTool};
use kernel::readings::{Face, TIPS};
use kernel::units::Length;
pub use program::USUAL_GRID;
use program::{Checked, ProgramError, Titles, program};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use records::Sha;

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct ProgramAsked<'a> {
    /// This rotor alone, by its serial.
    pub rotor: Option<&'a str>,
    /// This face alone.
    pub face: Option<Face>,
    /// Between nodes of the height map of the check.
    pub grid: Length,
}

impl Default for ProgramAsked<'_> {
    fn default() -> Self {
        Self { rotor: None, face: None, grid: USUAL_GRID }
    }
}

/// A program that passed its check, with what its set-up list needs.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceProgram {
    /// Of which rotor, counted from the front, from 1.
    pub place: usize,
    /// Its serial.
    pub serial: String,
    /// The face that is up.
    pub face: Face,
    /// Digits by which the program can be held against the cut sheet.
    pub hash: String,
    /// The program with what its check found.
    pub checked: Checked,
    /// How far the land as found stands above Z0 at tips 1, 2, 3.
    pub land_at_tips: [Length; TIPS],
    /// Whether the land of this face is cut.
    pub land_is_cut: bool,
    /// What is measured when the spindle stops before the finishing pass, at tips 1, 2, 3.
    pub at_the_stop: AtTheStop,
}

/// What a micrometer or an indicator must read when the spindle stops before the finishing pass,
/// at 20 °C. Nothing at a tip that the rough passes did not reach: a zero that is corrected by what
/// stands there would be wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtTheStop {
    /// The land width, with the gear face cut before the plain one.
    LandWidth([Option<Length>; TIPS]),
    /// Nothing of the land is cut yet: the step.
    Step([Option<Length>; TIPS]),
    /// It does not stop: all the stock there is goes with the finishing pass.
    Nothing,
}

impl FaceProgram {
    /// What its file is called, without an ending.
    #[must_use]
    pub fn name(&self) -> String {
        let serial = safe_name(&self.serial);
        format!("{}-{serial}-{}", self.place, self.face.name())
    }

    /// The line of the text that names the build: files of another build have another.
    #[must_use]
    pub fn build_line(&self) -> &str {
        self.checked.text().lines().find(|line| line.starts_with("(BUILD ")).unwrap_or_default()
    }
}

/// All programs of a build that were asked for.
#[derive(Debug, Clone)]
pub struct Programs {
    /// The machine that they are for.
    pub machine: MachineTool,
    /// What the shop calls the build.
    pub build: String,
    /// The programs, rotor by rotor from the front, gear face first.
    pub made: Vec<FaceProgram>,
    /// Faces without stock, which need none.
    pub nothing_to_cut: Vec<(String, Face)>,
}

/// The programs of a plan for a machine. `hash` is of what the plan was made from.
///
/// # Errors
/// [`ProgramsError`]: where there is no plan or no such rotor, and every face of which no program
/// can be given out, with reason and place.
pub fn programs(
    plan: &PlanReport,
    (name, record): (&str, &Record),
    asked: &ProgramAsked<'_>,
    hash: Sha,
) -> Result<Programs, ProgramsError> {
    if !plan.feasible {
        return Err(ProgramsError::NoPlan);
    }
    let rotors: Vec<(usize, &RotorReport)> = (1..)
        .zip(&plan.rotors)
        .filter(|(_, rotor)| asked.rotor.is_none_or(|serial| rotor.serial == serial))
        .collect();
    if let (Some(serial), true) = (asked.rotor, rotors.is_empty()) {
        let known = plan.rotors.iter().map(|rotor| rotor.serial.clone()).collect();
        return Err(ProgramsError::NoRotor { serial: serial.to_owned(), known });
    }
    let machine = inputs::machine_tool(name, record);
    let faces: Vec<(usize, &RotorReport, Face)> = rotors
        .into_iter()
        .flat_map(|(place, rotor)| Face::BOTH.map(|face| (place, rotor, face)))
        .filter(|(_, _, face)| asked.face.is_none_or(|only| only == *face))
        .collect();
    // Side by side; the order of the results is that of the faces.
    let worked: Vec<_> = faces
        .into_par_iter()
        .map(|of| {
            let (_, rotor, face) = of;
            face_program(plan, &machine, of, asked.grid, hash)
                .map_err(|source| FaceFailure::new((&rotor.serial, face), &machine, source))
                .map(|program| program.ok_or_else(|| (rotor.serial.clone(), face)))
        })
        .collect();
    let (mut made, mut nothing_to_cut, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    for face in worked {
        match face {
            Ok(Ok(program)) => made.push(program),
            Ok(Err(face)) => nothing_to_cut.push(face),
            Err(failure) => failed.push(failure),
        }
    }
    if failed.is_empty() {
        Ok(Programs { machine, build: plan.build.clone(), made, nothing_to_cut })
    } else {
        Err(ProgramsError::Faces(failed))
    }
}

/// The program of one face; nothing where it has no stock.
fn face_program(
    plan: &PlanReport,
    machine: &MachineTool,
    (place, rotor, face): (usize, &RotorReport, Face),
    grid: Length,
    hash: Sha,
) -> Result<Option<FaceProgram>, failure::Source> {
    let given = inputs::face_given(&plan.inputs, rotor, face)?;
    let job = match FaceJob::new(given) {
        Ok(job) => job,
        Err(CuttingError::NoStock(_)) => return Ok(None),
        Err(error) => return Err(ProgramError::from(error).into()),
    };
    let hash = phrase::hash(&hash);
    let titles =
        Titles { rotor: rotor.serial.clone(), build: plan.build.clone(), hash: hash.clone() };
    let checked = program(&job, machine, &titles, grid)?;
    Ok(Some(FaceProgram {
        place,
        serial: rotor.serial.clone(),
        face,
        hash,
        land_at_tips: job.land_at_tips(),
        land_is_cut: job.land_is_cut(),
        at_the_stop: at_the_stop(&job, machine, rotor, &checked),
        checked,
    }))
}

/// Stops of a program that does not stop to measure: before it starts, and after the dry pass.
const STOPS_WITHOUT_MEASURING: usize = 2;

fn at_the_stop(
    job: &FaceJob,
    machine: &MachineTool,
    rotor: &RotorReport,
    checked: &Checked,
) -> AtTheStop {
    if checked.report().stops <= STOPS_WITHOUT_MEASURING {
        return AtTheStop::Nothing;
    }
    let (face, stock) = (job.given().face, machine.finish.stock);
    let (found, cut) = (job.given().found, rotor.plan.cut.face(face));
    let land = |tip: usize| job.land_is_cut() && cut.land[tip] > stock;
    if (0..TIPS).any(land) {
        let other = match face {
            Face::Gear => rotor.now.heights.plain.land,
            Face::Plain => rotor.plan.finished.gear.land,
        };
        return AtTheStop::LandWidth(std::array::from_fn(|tip| {
            land(tip).then(|| job.zero_height() + stock + other[tip])
        }));
    }
    AtTheStop::Step(std::array::from_fn(|tip| {
        (cut.tip[tip] > stock).then(|| found.land[tip] - (found.tip[tip] - cut.tip[tip] + stock))
    }))
}
