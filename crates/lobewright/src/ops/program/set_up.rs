//! What is done and signed at the machine before a program runs: what no simulation can see.

use super::{AtTheStop, FaceProgram};
use kernel::cutting::{HeldBy, Kind, MachineTool, Units, XReads};
use kernel::readings::Face;
use kernel::units::{Duration, Length, System};

/// The list of one set-up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetUp {
    /// Its headline.
    pub title: String,
    /// What it belongs to, a sentence each.
    pub of: Vec<String>,
    /// What is done, in the order in which it is done.
    pub lines: Vec<SetUpLine>,
    /// What the program was foretold to do, a sentence each.
    pub foretold: Vec<String>,
}

/// Something that is done and signed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetUpLine {
    /// What.
    pub what: String,
    /// What is written down beside the signature: a name for each figure that is read.
    pub read: Vec<String>,
}

/// What is said below every list.
pub const CAUTION: &str = "The check has read this program's own text and cut a part that is \
    nothing but heights with it. It cannot see a wrong face, offset or tool, chips under the part, \
    or a part that was measured elsewhere than it lies. Iron dust, interrupted cuts and thin walls \
    hurt people and parts: guards closed, dust kept from the lungs, a hand at the stop. The shop's \
    rules, local codes and licensed practice come first.";

fn line(what: impl Into<String>) -> SetUpLine {
    SetUpLine { what: what.into(), read: Vec::new() }
}

fn measured<const N: usize>(what: impl Into<String>, read: [&str; N]) -> SetUpLine {
    SetUpLine { what: what.into(), read: read.map(str::to_owned).to_vec() }
}

/// The set-up list of a program. Lengths stand first in the units that the control reads.
#[must_use]
pub fn set_up(build: &str, machine: &MachineTool, program: &FaceProgram) -> SetUp {
    let first = match machine.units {
        Units::Mm => System::Metric,
        Units::Inch => System::Inch,
    };
    let size = |length: Length| length.as_size(first).to_string();
    let face = program.face.name();
    let mut lines = vec![
        line(format!(
            "The program in the control is the file {}.nc as it was given out; it says ROTOR {}, {} \
             FACE UP, HASH {}.",
            program.name(),
            program.serial.to_uppercase(),
            face.to_uppercase(),
            program.hash.to_uppercase()
        )),
        right_face_up(program.face, machine),
        held(machine),
    ];
    if machine.fixture.clamp_radius > Length::ZERO {
        lines.push(measured(
            format!(
                "Clamp clear: nothing stands further from the axis than {}, or higher above the \
                 land than {}. The tool sweeps in over the land's inner edge: nothing of gear, bearing \
                 or pin stands as high as the land.",
                size(machine.fixture.clamp_radius),
                size(machine.fixture.clamp_height)
            ),
            ["radius", "height"],
        ));
    } else {
        lines.push(line("Clamp clear: nothing stands above the upper land."));
    }
    lines.push(measured(
        "The axis of the bearing bore is zero across: centre and squareness of the bore within the \
         figures of the cut sheet. G54 is this zero; no other zero and no length offset is active, \
         since the program calls none.",
        ["off centre", "along the bore"],
    ));
    lines.extend(datum(program, machine.units));
    lines.push(tool(machine, first));
    lines.push(line(format!(
        "The control reads {}, {} is its word for that{}.",
        match machine.units {
            Units::Mm => "millimetres",
            Units::Inch => "inches",
        },
        machine.units_word.text(),
        match machine.kind {
            Kind::Lathe(tool) if tool.x_reads == XReads::Diameter => ", and X is a diameter",
            Kind::Lathe(_) => ", and X is a radius",
            Kind::Mill(_) => "",
        }
    )));
    lines.push(line(
        "Dry pass watched from its first move to its end, 5 mm above the part, the spindle at rest: \
         tool, holder and slides keep clear of clamp and fixture.",
    ));
    lines.extend(at_the_stop(program, machine, first));
    SetUp {
        title: format!("Set-up list: rotor {}, {face} face up", program.serial),
        of: vec![
            format!("Build: {build}."),
            format!(
                "Machine: {}. Program: {}.nc, made from plan {}.",
                machine.name,
                program.name(),
                program.hash
            ),
        ],
        lines,
        foretold: foretold(program, machine, first),
    }
}

fn right_face_up(face: Face, machine: &MachineTool) -> SetUpLine {
    let which = match face {
        Face::Gear => "the gear face, the one with the internal gear",
        Face::Plain => "the plain face, the one without the gear",
    };
    let round = match face {
        Face::Gear => "clockwise",
        Face::Plain => "counter-clockwise, since the plain face is seen from the other side",
    };
    line(match machine.kind {
        Kind::Mill(_) => format!(
            "Right face up: {which}. Tip 1 carries the mark and lies to +X of the axis; seen from above tips 1, 2, \
             3 run {round}."
        ),
        Kind::Lathe(_) => {
            format!("{which}. Tip 1 carries the mark; seen from the tool tips 1, 2, 3 run {round}.")
        }
    })
}

fn held(machine: &MachineTool) -> SetUpLine {
    line(match machine.fixture.held_by {
        HeldBy::Land => {
            "Held: the part rests on the land of the face that is down, wiped clean, on the ring that \
             the cut sheet names; no feeler goes between, and the gauge reaches the lower land. The \
             bore moves by no more than the cut sheet says when it is clamped. Never a mandrel in the \
             bearing."
        }
        HeldBy::Bore => {
            "Held: on a plug in the bore, with the bearing out. Never a mandrel in the bearing."
        }
    })
}

/// A half that the arithmetic missed by its last bits is a half.
const LAST_BITS: f64 = 1e-6;

/// Touching the land and looking at the other tips, in the very digits of the program's comments.
fn datum(program: &FaceProgram, units: Units) -> [SetUpLine; 2] {
    let decimals = units.decimals() + 1;
    let [one, two, three] = program.land_at_tips.map(|height| {
        let value = height.to_m() / units.unit().to_m();
        // Rounded as the program's comments are, and nothing is shown as minus zero.
        let scale = 10f64.powi(decimals as i32);
        let rounded = (value * scale + LAST_BITS.copysign(value)).round() / scale + 0.0;
        match units {
            Units::Mm => format!("{rounded:.decimals$} mm"),
            Units::Inch => format!("{rounded:.decimals$} in"),
        }
    });
    let zero = if program.land_is_cut {
        "the finished land is Z0"
    } else {
        "the land is not cut; its highest tip is Z0"
    };
    [
        measured(
            format!(
                "Datum touched with this tool, not turning: the outer edge of the land towards tip 1, and \
                 Z set to {one} there; {zero}. That is for the width on the cut sheet: where it reads \
                 more today, Z is set to as much more, where it reads less to as much less."
            ),
            ["Z at tip 1"],
        ),
        measured(
            format!(
                "The land then stands at {two} towards tip 2 and at {three} towards tip 3. If it differs \
                 by more than the cut sheet lets a land run out, stop: the bore is not square to the \
                 machine, or the wrong face is up."
            ),
            ["Z at tip 2", "Z at tip 3"],
        ),
    ]
}

fn tool(machine: &MachineTool, first: System) -> SetUpLine {
    let size = |length: Length| length.as_size(first).to_string();
    match machine.kind {
        Kind::Mill(cutter) => measured(
            format!(
                "Tool and offset measured: {} over the edges, corner {}, {} teeth, {} from its end \
                 to the holder; what is set to zero is the middle of its end.",
                size(cutter.diameter),
                size(cutter.corner_radius),
                cutter.teeth,
                size(cutter.reach)
            ),
            ["diameter", "reach", "offset"],
        ),
        Kind::Lathe(tool) => measured(
            format!(
                "Tool and offset measured: nose radius {}, {} from its end to the holder; the offset \
                 is of the nose's edge towards the axis and of its lowest point.",
                size(tool.nose_radius),
                size(tool.reach)
            ),
            ["nose radius", "reach", "offset X", "offset Z"],
        ),
    }
}

/// The figures to read before the finishing pass.
fn at_the_stop(program: &FaceProgram, machine: &MachineTool, first: System) -> Vec<SetUpLine> {
    let stock = machine.finish.stock.as_amount(first);
    let (of, figures) = match program.at_the_stop {
        AtTheStop::Nothing => return Vec::new(),
        AtTheStop::LandWidth(widths) => (
            match program.face {
                Face::Gear => "Land width, before the plain face is cut",
                Face::Plain => "Land width, with the gear face finished",
            },
            widths.map(|width| width.map(|width| width.as_size(first).to_string())),
        ),
        AtTheStop::Step(steps) => (
            "Step, the land being as it was found",
            steps.map(|step| step.map(|step| step.as_amount(first).to_string())),
        ),
    };
    let told: Vec<String> = (1..)
        .zip(figures)
        .map(|(tip, figure)| match figure {
            Some(figure) => format!("{figure} at tip {tip}"),
            None => format!("not cut yet at tip {tip}, so that nothing is corrected by it"),
        })
        .collect();
    vec![
        measured(
            format!(
                "At the stop before the finishing pass, the spindle at rest: {stock} is left. {of}, part \
             at 20 \u{b0}C: {}. Reads more: lower Z zero by as much. Reads less: raise it. Tips that \
             differ among themselves by more than a land may run out: do not finish, it lies askew. On \
             the last face of a rotor that is matched to another, the width wanted is the one filled \
             in on the sheet of the set, and {stock} more here.",
                told.join(", ")
            ),
            ["tip 1", "tip 2", "tip 3", "Z zero moved by, up or down"],
        ),
        line(
            "Before it goes on: the cutter stands where it stopped, the changed zero is called again, \
         hands, gauge and rags are out, the door is shut.",
        ),
    ]
}

/// What the check found, in words.
fn foretold(program: &FaceProgram, machine: &MachineTool, first: System) -> Vec<String> {
    let report = program.checked.report();
    let mut said = vec![
        format!(
            "{} lines. {} of cutting, {} with all moves{}; stops and set-up are not in it.",
            report.lines,
            minutes(report.cutting),
            minutes(report.moving),
            if report.rapid_assumed {
                " (rapid travel assumed at 5 m/min: the record does not say it)"
            } else {
                ""
            }
        ),
        format!("Deepest pass {}.", report.deepest_pass.as_amount(first)),
    ];
    if report.shoulder_width > Length::ZERO {
        said.push(format!(
            "Outside the shoulder the tool's corner may leave metal within {}, never above the land.",
            report.shoulder_width.as_size(first)
        ));
    }
    said.push(match (report.finish, machine.kind) {
        (None, _) => "Roughness of a sharp corner is not foretold.".to_owned(),
        (Some(left), Kind::Lathe(_)) => format!(
            "Roughness by feed and nose alone: Ra {:.2} \u{b5}m; measured it is 1.2 to 3 times that.",
            left.ra.to_um()
        ),
        (Some(left), Kind::Mill(_)) => format!(
            "Roughness of teeth that stand level: Ra {:.2} \u{b5}m; teeth that do not, and a head out of \
             square, leave more.",
            left.ra.to_um()
        ),
    });
    said
}

/// A time as somebody waits for it.
pub(crate) fn minutes(time: Duration) -> String {
    let minutes = time.to_s() / 60.0;
    if minutes < 10.0 { format!("{minutes:.1} min") } else { format!("{minutes:.0} min") }
}
