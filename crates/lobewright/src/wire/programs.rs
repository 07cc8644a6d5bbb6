//! Machining programs with their set-up lists.

use super::number::{mm, rounded};
use crate::ops::program::{CAUTION, FaceProgram, Programs, SetUp, SetUpLine, set_up};
use kernel::readings::Face;
use serde::Serialize;

/// The programs of a build for a machine tool.
#[derive(Debug, Serialize)]
pub(crate) struct ProgramsJson {
    machine: String,
    programs: Vec<ProgramJson>,
    nothing_to_cut: Vec<FaceJson>,
}

/// One program.
#[derive(Debug, Serialize)]
struct ProgramJson {
    rotor: String,
    face: &'static str,
    /// What its file is called.
    name: String,
    /// Start of the hash of what it was made from.
    hash: String,
    text: String,
    cutting_s: f64,
    moving_s: f64,
    deepest_pass_mm: f64,
    /// Height of the finished part less the plan's, least and greatest.
    off_plan_mm: [f64; 2],
    set_up: SetUpJson,
}

/// What is done and signed at the machine.
#[derive(Debug, Serialize)]
struct SetUpJson {
    title: String,
    of: Vec<String>,
    lines: Vec<SetUpLineJson>,
    foretold: Vec<String>,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct SetUpLineJson {
    what: String,
    /// Names of the figures that are written down.
    read: Vec<String>,
}

/// A face without stock.
#[derive(Debug, Serialize)]
struct FaceJson {
    rotor: String,
    face: &'static str,
}

impl ProgramsJson {
    pub(crate) fn of(programs: &Programs) -> Self {
        let face =
            |(rotor, face): &(String, Face)| FaceJson { rotor: rotor.clone(), face: face.name() };
        Self {
            machine: programs.machine.name.clone(),
            programs: programs.made.iter().map(|made| program(programs, made)).collect(),
            nothing_to_cut: programs.nothing_to_cut.iter().map(face).collect(),
        }
    }
}

fn program(programs: &Programs, made: &FaceProgram) -> ProgramJson {
    let report = made.checked.report();
    let SetUp { title, of, lines, foretold } = set_up(&programs.build, &programs.machine, made);
    let line = |SetUpLine { what, read }| SetUpLineJson { what, read };
    ProgramJson {
        rotor: made.serial.clone(),
        face: made.face.name(),
        name: format!("{}.nc", made.name()),
        hash: made.hash.clone(),
        text: made.checked.text().to_owned(),
        cutting_s: rounded(report.cutting.to_s()),
        moving_s: rounded(report.moving.to_s()),
        deepest_pass_mm: mm(report.deepest_pass),
        off_plan_mm: report.off_plan.map(mm),
        set_up: SetUpJson {
            title,
            of,
            lines: lines.into_iter().map(line).collect(),
            foretold,
            caution: CAUTION,
        },
    }
}
