//! Ways of a cutter as text.

use crate::number::{feed, fine_length, fixed, length};
use crate::titles::{Titles, comment};
use crate::words::modal_words;
use kernel::cutting::{
    Cuts, CuttingError, FaceJob, FinishLeft, HeldBy, Kind, MachineTool, Pace, Paces, Stroke, Units,
    XReads, cuts, finish_left, paces, shoulder_width,
};
use kernel::readings::{Face, TIPS};
use kernel::units::Length;

/// Above the part where the tool is fed down from.
const APPROACH_M: f64 = 1.5e-3;
/// Above part and clamp where the tool goes across; rounded up to the next whole.
const ACROSS_M: f64 = 3e-3;
/// Feed of the dry pass: a watching pace.
const DRY_M_PER_S: f64 = 1.0 / 60.0;

/// Writes the program of a face, unchecked.
pub(crate) fn written(
    job: &FaceJob,
    machine: &MachineTool,
    titles: &Titles,
) -> Result<String, CuttingError> {
    let cuts = cuts(job, machine)?;
    let paces = paces(job, machine)?;
    let (units, tolerance) = (machine.units, job.given().tolerance);
    if units.rounding() > tolerance {
        let (units, decimals, costs) = (units.name(), units.decimals(), units.rounding());
        return Err(CuttingError::Rounding { units, decimals, costs, tolerance });
    }
    let mut writer = Writer { machine, text: String::new(), approach_m: job.top_m() + APPROACH_M };
    writer.line("%");
    for said in header(job, machine, titles, &cuts, &paces) {
        writer.say(&said);
    }
    writer.line(&modal_words(machine).join(" "));
    writer.line("M5");
    writer.say("STOP. CONFIRM ZERO G54, TOOL, CLAMP AND FACE AGAINST THE LINES ABOVE");
    writer.line("M0");
    let across_m = across_m(job, machine);
    writer.line(&format!("G0 Z{}", length(units, across_m)));
    writer.say("DRY PASS 5 MM ABOVE THE PART, SPINDLE AT REST: WATCH THE CLAMP");
    let dry = feed(units, DRY_M_PER_S);
    for stroke in &cuts.dry {
        writer.stroke(stroke, &dry, across_m);
    }
    writer.say("STOP. DRY PASS DONE");
    writer.line("M0");
    if !cuts.rough.is_empty() {
        writer.say("ROUGH PASSES");
        writer.pass(&cuts.rough, paces.rough, across_m);
        for said in to_measure(job, machine) {
            writer.say(&said);
        }
        writer.line("M0");
    } else {
        writer.say("NO ROUGH PASS: THE STOCK IS NO MORE THAN THE FINISHING PASS TAKES");
    }
    writer.say("FINISHING PASS");
    writer.pass(&cuts.finish, paces.finish, across_m);
    writer.line("M9");
    writer.line("M30");
    writer.line("%");
    Ok(writer.text)
}

/// What stands where after the rough passes, by tip. A place that they did not touch is named: a
/// zero that is corrected by it would be wrong.
fn to_measure(job: &FaceJob, machine: &MachineTool) -> Vec<String> {
    let mut said = vec!["STOP. MEASURE, AND CORRECT Z BY WHAT A CUT PLACE DIFFERS".to_owned()];
    let reading_m = job.given().reading_radius.to_m();
    let areas = [
        ("LAND", job.land_is_cut(), job.land_m(), job.given().found.land),
        ("OUTSIDE", job.outside_is_cut(), reading_m, job.given().found.tip),
    ];
    for (name, is_cut, radius_m, found) in areas {
        if !is_cut {
            continue;
        }
        let target_m = if name == "LAND" { 0.0 } else { job.target_m(radius_m) };
        let level_m = target_m + machine.finish.stock.to_m();
        let found_m = found.map(|height| (height - job.zero_height()).to_m());
        let stands = found_m.map(|found_m| fine_length(machine.units, found_m.min(level_m)));
        let radius = length(machine.units, radius_m);
        said.push(format!("{name} AT RADIUS {radius} NOW, TIPS 1 2 3: {}", stands.join(" ")));
        for (tip, _) in found_m.iter().enumerate().filter(|(_, found_m)| **found_m <= level_m) {
            said.push(format!("AT TIP {} IT IS NOT CUT YET: NOT TO BE CORRECTED BY", tip + 1));
        }
    }
    said
}

/// Height at which the tool goes across: whole millimetres or tenths of an inch above all.
fn across_m(job: &FaceJob, machine: &MachineTool) -> f64 {
    let clamp_m = job.land_top_m() + machine.fixture.clamp_height.to_m();
    let whole = match machine.units {
        Units::Mm => Length::mm(1.0),
        Units::Inch => Length::inch(0.1),
    };
    // The dry pass is lower than this too, wherever the clamp ends.
    let least_m = job.top_m().max(clamp_m) + ACROSS_M;
    (least_m.max(job.top_m() + 2.0 * ACROSS_M) / whole.to_m()).ceil() * whole.to_m()
}

struct Writer<'a> {
    machine: &'a MachineTool,
    text: String,
    approach_m: f64,
}

impl Writer<'_> {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn say(&mut self, text: &str) {
        self.line(&comment(text));
    }

    fn pass(&mut self, strokes: &[Stroke], pace: Pace, across_m: f64) {
        self.line(&format!("S{:.0} M3", pace.rpm));
        let feed = feed(self.machine.units, pace.feed.to_m_per_s());
        for stroke in strokes {
            self.stroke(stroke, &feed, across_m);
        }
        self.line("M5");
    }

    /// Across at rapid, down to just above the part, fed down and along, up at rapid.
    fn stroke(&mut self, stroke: &Stroke, feed: &str, across_m: f64) {
        let Some((first, rest)) = stroke.path_m.split_first() else { return };
        let units = self.machine.units;
        self.line(&format!("G0 {}", self.across(first)));
        if self.approach_m > first[2] {
            self.line(&format!("G0 Z{}", length(units, self.approach_m)));
        }
        self.line(&format!("G1 Z{} F{feed}", length(units, first[2])));
        let mut before = *first;
        for point in rest {
            let across = self.across(point);
            let moved = across != self.across(&before);
            let z = length(units, point[2]);
            let sinks = z != length(units, before[2]);
            match (moved, sinks) {
                (true, true) => self.line(&format!("G1 {across} Z{z}")),
                (true, false) => self.line(&format!("G1 {across}")),
                (false, true) => self.line(&format!("G1 Z{z}")),
                (false, false) => {}
            }
            before = *point;
        }
        self.line(&format!("G0 Z{}", length(units, across_m)));
    }

    fn across(&self, [x_m, y_m, _]: &[f64; 3]) -> String {
        let units = self.machine.units;
        match self.machine.kind {
            Kind::Mill(_) => format!("X{} Y{}", length(units, *x_m), length(units, *y_m)),
            Kind::Lathe(tool) => {
                // The nose's edge towards the axis.
                let edge_m = x_m - tool.nose_radius.to_m();
                let x_m = match tool.x_reads {
                    XReads::Diameter => 2.0 * edge_m,
                    XReads::Radius => edge_m,
                };
                format!("X{}", length(units, x_m))
            }
        }
    }
}

/// What the machinist must know, each a comment.
fn header(
    job: &FaceJob,
    machine: &MachineTool,
    titles: &Titles,
    cuts: &Cuts,
    paces: &Paces,
) -> Vec<String> {
    let units = machine.units;
    let size = |length_: Length| length(units, length_.to_m());
    let fine = |length_: Length| fine_length(units, length_.to_m());
    let given = job.given();
    let kind = match machine.kind {
        Kind::Mill(_) => "VERTICAL MILL",
        Kind::Lathe(_) => "LATHE",
    };
    let mut said = vec![
        format!("ROTOR {}, {} FACE UP", titles.rotor, given.face.name()),
        format!("BUILD {}", titles.build),
        format!("HASH {}", titles.hash),
        format!("MACHINE {}, {kind}", machine.name),
        format!(
            "UNITS {}: {}. ROUNDING COSTS {} OF {} MM IN DEPTH",
            units.name(),
            machine.units_word.text(),
            fixed(units.rounding().to_mm(), 5),
            fixed(given.tolerance.to_mm(), 5),
        ),
        "X ZERO: AXIS OF THE BEARING BORE. Z ZERO: THE FINISHED LAND".to_owned(),
        "+Z OUT OF THE FACE THAT IS UP".to_owned(),
    ];
    if !job.land_is_cut() {
        said.push("THE LAND IS NOT CUT: Z ZERO IS ITS HIGHEST TIP AS FOUND".to_owned());
    }
    said.extend(axes_said(job, machine));
    let at_tips = job.land_at_tips();
    said.push(format!(
        "DATUM: TOUCH THE LAND'S OUTER EDGE AT TIP 1 AND SET Z TO {}",
        fine(at_tips[0])
    ));
    said.push(format!(
        "THEN IT STANDS AT {} AT TIP 2 AND {} AT TIP 3. IF NOT, STOP",
        fine(at_tips[1]),
        fine(at_tips[2])
    ));
    said.push(match machine.fixture.held_by {
        HeldBy::Land => "HELD: RESTS ON THE LAND OF THE OTHER FACE".to_owned(),
        HeldBy::Bore => "HELD: ON A PLUG IN THE BORE, BEARING OUT".to_owned(),
    });
    said.push("NEVER ON A MANDREL IN THE BEARING".to_owned());
    // What is left active from another job would shift every cut, and no check sees it.
    said.push("NO TOOL OR LENGTH OFFSET IS CALLED HERE: CANCEL ANY THAT IS ACTIVE".to_owned());
    said.push("SET ZERO WITH THIS TOOL IN PLACE, NOT TURNING".to_owned());
    if machine.fixture.clamp_radius > Length::ZERO {
        said.push(format!(
            "CLAMP: RADIUS {}, {} ABOVE THE LAND AS FOUND",
            size(machine.fixture.clamp_radius),
            size(machine.fixture.clamp_height)
        ));
    }
    said.extend(tool_said(machine));
    let speeds = |pace: Pace| {
        format!("{:.0} RPM, {} PER MIN", pace.rpm, feed(units, pace.feed.to_m_per_s()))
    };
    let stock = fine(machine.finish.stock);
    said.push(format!("ROUGH: {}, LEAVES {stock}", speeds(paces.rough)));
    said.push(format!("FINISH: {}, TAKES {stock}", speeds(paces.finish)));
    if let Some(step_m) = job.step_m().filter(|_| job.outside_is_cut()) {
        let (at, shoulder) = (given.reading_radius, Length::m(job.shoulder_m()));
        said.push(format!(
            "OUTSIDE: {} BELOW THE LAND AT RADIUS {}",
            fine(Length::m(step_m)),
            size(at)
        ));
        said.push(format!(
            "THE CORNER LEAVES METAL UP TO {} OUTSIDE RADIUS {}",
            size(shoulder_width(job, machine)),
            size(shoulder)
        ));
    }
    if let Some((count, height)) = cuts.terraces {
        said.push(format!("TAPER: {count} TERRACES OF {}", fine(height)));
    }
    said.extend(finish_said(machine, finish_left(machine)));
    said
}

/// Which way the axes point.
fn axes_said(job: &FaceJob, machine: &MachineTool) -> Vec<String> {
    let kind = match machine.kind {
        Kind::Mill(_) => "+X TO TIP 1, Y AS SEEN FROM ABOVE".to_owned(),
        Kind::Lathe(tool) => match tool.x_reads {
            XReads::Diameter => "X IS A DIAMETER".to_owned(),
            XReads::Radius => "X IS A RADIUS".to_owned(),
        },
    };
    let way = match job.given().face {
        Face::Gear => "CLOCKWISE",
        Face::Plain => "COUNTER-CLOCKWISE",
    };
    let mut said = vec![kind, format!("TIPS 1 2 3 RUN {way} SEEN FROM ABOVE")];
    if matches!(machine.kind, Kind::Mill(_)) {
        let side = |tip: usize| if job.tip_direction_rad(tip).sin() > 0.0 { "+Y" } else { "-Y" };
        said.push(format!("TIP 2 LIES TO {}, TIP {TIPS} TO {}", side(1), side(2)));
    }
    said
}

fn tool_said(machine: &MachineTool) -> Vec<String> {
    let units = machine.units;
    let size = |length_: Length| length(units, length_.to_m());
    match machine.kind {
        Kind::Mill(cutter) => vec![
            format!(
                "CUTTER: DIAMETER {}, CORNER {}, TEETH {}, REACH {}",
                size(cutter.diameter),
                size(cutter.corner_radius),
                cutter.teeth,
                size(cutter.reach)
            ),
            "X Y Z ARE OF THE MIDDLE OF ITS END".to_owned(),
        ],
        Kind::Lathe(tool) => vec![
            format!("TOOL: NOSE RADIUS {}, REACH {}", size(tool.nose_radius), size(tool.reach)),
            "X IS OF THE NOSE'S EDGE TOWARDS THE AXIS, Z OF ITS LOWEST POINT".to_owned(),
            "NO NOSE COMPENSATION".to_owned(),
        ],
    }
}

fn finish_said(machine: &MachineTool, left: Option<FinishLeft>) -> Vec<String> {
    let Some(left) = left else {
        return vec!["FINISH OF A SHARP CORNER: NOT FORETOLD".to_owned()];
    };
    let (rt, ra) = (fixed(left.rt.to_um(), 2), fixed(left.ra.to_um(), 2));
    match machine.kind {
        Kind::Lathe(_) => vec![
            format!("FINISH BY FEED AND NOSE ALONE: RT {rt}, RA {ra} MICROMETRE"),
            "MEASURED IT IS 1.2 TO 3 TIMES THAT".to_owned(),
        ],
        Kind::Mill(_) => vec![
            format!("FINISH OF TEETH THAT STAND LEVEL: RT {rt}, RA {ra} MICROMETRE"),
            "TEETH THAT DO NOT AND A HEAD OUT OF SQUARE LEAVE MORE".to_owned(),
        ],
    }
}
