//! A program that passed its check, and the check.

use crate::fault::{Fault, Reason, Refused};
use crate::map::{Mapped, mapped};
use crate::modal::{Move, Moves, moves};
use crate::proof::{Cutting, faults};
use crate::read::blocks;
use crate::region::Wanted;
use crate::sweep::Sweep;
use crate::titles::Titles;
use crate::write::written;
use kernel::cutting::{
    CuttingError, FaceJob, FinishLeft, Kind, MachineTool, Paces, finish_left, paces, shoulder_width,
};
use kernel::units::{Duration, Length, Velocity};
use thiserror::Error;

/// Between nodes of the map, if nobody asks for another.
pub const USUAL_GRID: Length = Length::mm(0.1);
/// The closest and the widest that a map is made.
const GRIDS: [Length; 2] = [Length::mm(0.05), Length::mm(2.0)];
/// Rapid of a machine whose record does not say it.
const ASSUMED_RAPID: Velocity = Velocity::m_per_s(5.0 / 60.0);

/// A machining program that passed its check: the only way to have its text.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    text: String,
    report: Report,
}

impl Checked {
    /// The program, as it goes to the control.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What its check found.
    #[must_use]
    pub const fn report(&self) -> &Report {
        &self.report
    }
}

/// What a program does, by what was read back of its text.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Lines of the text.
    pub lines: usize,
    /// Turns and feeds.
    pub paces: Paces,
    /// Time in which it feeds with the spindle turning.
    pub cutting: Duration,
    /// Time of all moves: dry pass, approaches and rapid moves too. Stops and set-up are not in it.
    pub moving: Duration,
    /// Whether the speed of rapid moves had to be assumed (5 m/min).
    pub rapid_assumed: bool,
    /// How often it stops.
    pub stops: usize,
    /// The deepest of its passes.
    pub deepest_pass: Length,
    /// What feed and corner alone leave; nothing for a sharp one.
    pub finish: Option<FinishLeft>,
    /// Height of the finished part less the plan's, least and greatest over the nodes off the
    /// shoulder's ring: rounding, and half a terrace of a taper.
    pub off_plan: [Length; 2],
    /// Ring outside the shoulder in which the cutter's corner may leave metal, no higher than the
    /// finished land.
    pub shoulder_width: Length,
    /// What rounding to the control's decimals can cost in depth.
    pub rounding: Length,
    /// Between nodes of the map.
    pub grid: Length,
    /// Nodes that were compared with the plan.
    pub nodes: usize,
}

/// Why there is no program.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ProgramError {
    /// The face cannot be machined as asked.
    #[error(transparent)]
    Cutting(#[from] CuttingError),
    /// A program was made and did not pass.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// A map that would be too large or too coarse.
    #[error(
        "a map with {:.3} mm between its nodes; it is made from {:.2} mm to {:.0} mm",
        .0.to_mm(), GRIDS[0].to_mm(), GRIDS[1].to_mm()
    )]
    Grid(Length),
}

/// Writes the program of a face for a machine, and checks that very text.
///
/// # Errors
/// What stands in the way of machining the face so; or, of a program that does not pass, reason and
/// place.
pub fn program(
    job: &FaceJob,
    machine: &MachineTool,
    titles: &Titles,
    grid: Length,
) -> Result<Checked, ProgramError> {
    let text = written(job, machine, titles)?;
    let report = check(&text, job, machine, grid)?;
    Ok(Checked { text, report })
}

/// Checks a text: what it would do on a machine to a face.
///
/// # Errors
/// A record that contradicts itself or does not fit the face; a grid that is too close or too wide;
/// everything that is wrong with the program.
pub fn check(
    text: &str,
    job: &FaceJob,
    machine: &MachineTool,
    grid: Length,
) -> Result<Report, ProgramError> {
    machine.checked()?;
    if !(grid >= GRIDS[0] && grid <= GRIDS[1]) {
        return Err(ProgramError::Grid(grid));
    }
    let paces = paces(job, machine)?;
    let blocks = blocks(text).map_err(Refused::new)?;
    let read = moves(&blocks, job, machine, &paces).map_err(Refused::new)?;
    let map = cut(job, machine, &read, grid)?;
    let rapid = machine.rapid.unwrap_or(ASSUMED_RAPID);
    let seconds = |which: fn(&Move) -> bool| -> f64 {
        read.moves.iter().filter(|step| which(step)).map(|step| seconds(step, rapid)).sum()
    };
    Ok(Report {
        lines: text.lines().count(),
        paces,
        cutting: Duration::s(seconds(|step| step.spindle_on && !step.rapid)),
        moving: Duration::s(seconds(|_| true)),
        rapid_assumed: machine.rapid.is_none(),
        stops: read.stops,
        deepest_pass: Length::m(map.deepest_m),
        finish: finish_left(machine),
        off_plan: map.off_m.map(Length::m),
        shoulder_width: shoulder_width(job, machine),
        rounding: machine.units.rounding(),
        grid,
        nodes: map.nodes,
    })
}

/// Lets it cut: at the stop to measure and at the end, all over; then in order, on a map.
fn cut(
    job: &FaceJob,
    machine: &MachineTool,
    read: &Moves,
    grid: Length,
) -> Result<Mapped, Refused> {
    let (nose, turning) = (machine.nose(), matches!(machine.kind, Kind::Lathe(_)));
    // What stays above all metal touches nothing.
    let low = |moves: &[Move]| -> Vec<Sweep> {
        moves.iter().filter_map(Sweep::of).filter(|sweep| sweep.lowest_m() < job.top_m()).collect()
    };
    let mut found: Vec<Fault> = Vec::new();
    let rough = low(&read.moves[..read.finishing_from]);
    let cutting = Cutting { sweeps: &rough, nose, turning };
    found.extend(faults(job, cutting, &Wanted::at_the_stop(job, machine)));
    let all = low(&read.moves);
    let cutting = Cutting { sweeps: &all, nose, turning };
    found.extend(faults(job, cutting, &Wanted::finished(job, machine)));
    let map = mapped(job, machine, &read.moves, grid);
    if found.is_empty() {
        // The map cannot be worse than what was proven all over, but for the depth of passes.
        let left = map.clone().into_faults();
        if left.is_empty() { Ok(map) } else { Err(Refused::new(left)) }
    } else {
        found.extend(map.into_faults().into_iter().filter(|fault| {
            !matches!(fault.reason, Reason::Gouge { .. } | Reason::Standing { .. })
        }));
        Err(Refused::new(found))
    }
}

fn seconds(step: &Move, rapid: Velocity) -> f64 {
    let Some(from_m) = step.from_m else { return 0.0 };
    let length_m: f64 =
        (0..3).map(|axis| (step.to_m[axis] - from_m[axis]).powi(2)).sum::<f64>().sqrt();
    length_m / if step.rapid { rapid.to_m_per_s() } else { step.feed_m_per_s }
}
