//! What is refused: programs that were spoiled by hand, each with its reason.

use crate::sample::{given, job, lathe, mill, step, taper, titles};
use kernel::cutting::{FaceGiven, FaceJob, MachineTool};
use kernel::readings::FaceHeights;
use kernel::units::{Length, Speed};
use program::{ProgramError, check, program};

const GRID: Length = Length::mm(1.0);

fn text_of(job: &FaceJob, machine: &MachineTool) -> String {
    program(job, machine, &titles(), GRID).unwrap().text().to_owned()
}

/// Line (from 1) of the `n`th line that begins so, from 0.
fn line_of(text: &str, begins: &str, n: usize) -> usize {
    let found = text.lines().enumerate().filter(|(_, line)| line.starts_with(begins)).nth(n);
    found.unwrap_or_else(|| panic!("no line {n} begins {begins}")).0 + 1
}

fn with_line(text: &str, line: usize, change: impl Fn(&str) -> String) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines[line - 1] = change(&lines[line - 1]);
    lines.join("\n") + "\n"
}

fn refusal(text: &str, job: &FaceJob, machine: &MachineTool) -> program::Refused {
    match check(text, job, machine, GRID) {
        Err(ProgramError::Refused(refused)) => refused,
        other => panic!("not refused: {other:?}"),
    }
}

/// A line that begins so, the `n`th, is changed into another; the refusal names that line (or,
/// with `false`, another one that is worse for it) and says this.
fn spoiled(begins: &str, n: usize, into: &str, named: bool, said: &str) {
    let (job, machine) = (step(), mill());
    let text = text_of(&job, &machine);
    let line = line_of(&text, begins, n);
    let refused = refusal(&with_line(&text, line, |_| into.to_owned()), &job, &machine);
    let message = refused.to_string();
    let says = refused.faults.iter().any(|fault| fault.to_string().contains(said));
    assert!(says, "{begins} to {into}: {message}");
    if named {
        assert!(refused.faults.iter().any(|fault| fault.line == Some(line)), "{message}");
    }
}

#[test]
fn words_and_the_modal_line() {
    spoiled(
        "G17",
        0,
        "G17 G20 G40 G54 G80 G90 G94",
        true,
        "the modal line must be exactly G17 G21",
    );
    spoiled("G17", 0, "G17 G20 G21 G40 G54 G80 G90 G94", true, "the modal line must be exactly");
    spoiled("G17", 0, "G17 G40 G54 G80 G90 G94", true, "the modal line must be exactly");
    spoiled("G17", 0, "M5\nG17 G21 G40 G54 G80 G90 G94", true, "a block stands before the modal");
    spoiled("M5", 0, "M5\nG21", false, "G21 is not one of the words");
    spoiled("M5", 0, "G28 Z0.000", true, "G28 is not one of the words");
    spoiled("M5", 0, "G92 X0.000", true, "G92 is not one");
    spoiled("M5", 0, "G50", true, "G50 is not one");
    spoiled("M5", 0, "T1 M6", true, "T1 is not one");
    spoiled("M5", 0, "M5 M9", true, "M stands twice");
    spoiled("M5", 0, "G96 S100", true, "G96 is not one");
    spoiled("G0 Z22", 0, "G0 Z22", true, "Z22 has no decimal point");
    spoiled("G0 Z22", 0, "G0 Z22.000 A1.000", true, "A1.000 is not one");
    spoiled("G0 Z22", 0, "Z22.000", true, "an axis without G0 or G1");
    spoiled("G0 Z22", 0, "G0", true, "no axis");
    spoiled("G0 Z22", 0, "G0 Z22.000 M0", true, "M0 must stand alone");
    spoiled("G0 Z22", 0, "G0 Z22.000 F100.0", true, "a rapid move has no feed");
    spoiled("G0 Z22", 0, "O100", true, "O100 is not one");
    spoiled("M30", 0, "M30\nG0 Z22.000", false, "a block stands after the end");
    spoiled("M30", 0, "M5", false, "does not end with M5, M9 and M30");
    spoiled("M9", 0, "M5", false, "does not end with M5, M9 and M30");
}

#[test]
fn spindle_and_stops() {
    spoiled("S1392 M3", 0, "S1393 M3", true, "told 1393 rpm; by the record it is 1392 rpm");
    spoiled("S1392 M3", 0, "S1392.0 M3", true, "S1392.0 is not a number");
    spoiled("S1392 M3", 0, "M3", true, "M3 and S belong in one block");
    spoiled("S1392 M3", 0, "M5", false, "with the spindle at rest");
    spoiled("S1790 M3", 0, "M5", false, "with the spindle at rest");
    spoiled("S1790 M3", 0, "S1790 M4", true, "M4 is not one");
    spoiled("S1790 M3", 0, "S1790", true, "S changes only where M3");
    // The stop to measure.
    spoiled("M0", 2, "M9", false, "no stop (M0) with the spindle at rest before it starts here");
    spoiled("M5", 1, "M9", false, "the program stops (M0) while the spindle may turn");
    spoiled("M5", 1, "M9", false, "the spindle starts while it turns already");
    // Lowered before the stop.
    spoiled("M5", 1, "G1 Z0.100\nM5", false, "the tool less than 1 mm above the part");
    spoiled("M5", 2, "M9", false, "does not end with M5");
    spoiled("M5", 2, "M5\nM0\nS1790 M3\nM5", false, "the spindle starts 3 times");
}

#[test]
fn rapid_moves_and_feeds() {
    spoiled("G0 Z22", 0, "G0 X0.000 Y0.000", true, "the first move must be G0 Z alone");
    spoiled("G0 Z22", 0, "G0 Z12.000", true, "the first move must be G0 Z alone");
    spoiled("G0 X", 0, "G0 X0.000 Y0.000 Z25.000", true, "the first move must be");
    spoiled("G0 X", 2, "G0 X0.000 Y80.000 Z25.000", true, "a rapid move of Z together");
    spoiled("G0 Z1.5", 0, "G0 Z0.500", true, "a rapid move down to 0.500 mm");
    spoiled("G0 Z1.5", 0, "G0 Z-1.500", true, "a rapid move down to -1.500 mm");
    spoiled("G0 Z22", 3, "G0 Z10.000", false, "a rapid move down to 10.000 mm; below 19.0");
    spoiled(
        "G1 Z0.030",
        0,
        "G1 Z0.030 F340.0",
        true,
        "feed is 340.00 mm/min; the record allows 334",
    );
    spoiled("G1 Z0.030", 0, "G1 Z0.030", true, "feed is 1000.00 mm/min");
    spoiled("G1 Z0.030", 0, "G1 Z0.030 F0.0", true, "feed is 0.00 mm/min");
    spoiled("G1 Z5.069", 0, "G1 Z5.069", true, "F is missing");
    spoiled("G1 Z5.069", 0, "G1 Z0.569 F1000.0", true, "down to 0.569 mm with the spindle at rest");
}

#[test]
fn depths_are_held_to_the_tenth_of_the_tolerance() {
    // 0.0005 mm is the last decimal's half; the tolerance is 2 um.
    spoiled("G1 Z0.030", 0, "G1 Z0.027 F334.0", false, "too much is cut before the finishing pass");
    spoiled("G1 Z0.030", 0, "G1 Z0.033 F334.0", false, "left standing before the finishing pass");
    spoiled("G1 Z0.000", 0, "G1 Z-0.003 F268.5", false, "1.0 um too much is cut at the end");
    spoiled("G1 Z0.000", 0, "G1 Z0.003 F268.5", false, "1.0 um is left standing at the end");
    spoiled(
        "G1 Z-0.127",
        0,
        "G1 Z-0.130 F268.5",
        true,
        "goes down to -0.1300 mm; the plan's lowest",
    );
    spoiled("G1 Z-0.127", 0, "G1 Z-0.124 F268.5", false, "left standing at the end");
    let (job, machine) = (step(), mill());
    let text = text_of(&job, &machine);
    let line = line_of(&text, "G1 Z-0.127", 0);
    for z in ["-0.126", "-0.128"] {
        let near = with_line(&text, line, |_| format!("G1 Z{z} F268.5"));
        check(&near, &job, &machine, GRID).unwrap();
    }
}

#[test]
fn places_are_held_off_land_and_clamp() {
    let (job, machine) = (step(), mill());
    let text = text_of(&job, &machine);
    // A point of the turn along the land in the finishing pass, moved inward by a tenth.
    let turn = line_of(&text, "G1 Z-0.127", 0) + 20;
    let moved = |by: f64| {
        with_line(&text, turn, |line| {
            let numbers: Vec<f64> =
                line.split(['X', 'Y']).skip(1).map(|n| n.trim().parse().unwrap()).collect();
            let radius = numbers[0].hypot(numbers[1]);
            let scale = (radius + by) / radius;
            format!("G1 X{:.3} Y{:.3}", numbers[0] * scale, numbers[1] * scale)
        })
    };
    let refused = refusal(&moved(-0.1), &job, &machine);
    let gouge = &refused.faults[0];
    let said = gouge.reason.to_string();
    assert!(said.contains("too much is cut at the end"), "{refused}");
    assert!(gouge.line.is_some_and(|line| line == turn || line == turn + 1), "{refused}");
    let [x, y, z] = gouge.place.unwrap();
    // Within a cell of the land's edge.
    assert!((60.8..61.02).contains(&x.to_mm().hypot(y.to_mm())) && z < Length::ZERO, "{refused}");
    // Less than a node of the map sees: an edge that is nicked by hundredths.
    let refused = refusal(&moved(-0.08), &job, &machine);
    assert!(refused.to_string().contains("too much is cut at the end"), "{refused}");
    // Outward it leaves metal beyond what the corner is allowed.
    let refused = refusal(&moved(0.3), &job, &machine);
    assert!(refused.to_string().contains("left standing at the end"), "{refused}");
    let refused = refusal(&moved(-30.0), &job, &machine);
    assert!(refused.to_string().contains("below the clamp's top"), "{refused}");
    check(&moved(0.01), &job, &machine, GRID).unwrap();
}

#[test]
fn a_pass_deeper_than_the_records_is_refused() {
    let (job, mut machine) = (step(), mill());
    let text = text_of(&job, &machine);
    machine.rough.depth = Length::um(50.0);
    let refused = refusal(&text, &job, &machine);
    assert!(refused.to_string().contains("um; the record allows 50.0 um"), "{refused}");
    assert!(refused.faults[0].place.is_some());
}

#[test]
fn a_holder_that_meets_the_clamp_is_refused() {
    let (job, mut machine) = (step(), mill());
    let text = text_of(&job, &machine);
    if let kernel::cutting::Kind::Mill(cutter) = &mut machine.kind {
        cutter.reach = Length::mm(10.0);
    }
    let refused = refusal(&text, &job, &machine);
    assert!(refused.to_string().contains("the holder meets the clamp"), "{refused}");
}

#[test]
fn another_machine_or_another_face_is_noticed() {
    let (job_, machine) = (step(), mill());
    let text = text_of(&job_, &machine);
    // The plain face up: stock lies elsewhere, and is proud by other amounts; the plan is the same,
    // so the program is right for it too.
    let other = job(FaceGiven { land_level: Some(Length::mm(39.884)), ..given() });
    assert!(check(&text, &other, &machine, GRID).is_err());
    let mut inch = mill();
    inch.units = kernel::cutting::Units::Inch;
    inch.units_word = kernel::cutting::UnitsWord::G20;
    let said = refusal(&text, &job_, &inch).to_string();
    assert!(said.contains("the modal line must be exactly G17 G20"), "{said}");
    assert!(check(&text, &job_, &lathe(), GRID).is_err());
    assert!(check(&text, &taper(), &machine, GRID).is_err());
    let mut slow = mill();
    slow.most_speed = Speed::rpm(1500.0);
    let said = check(&text, &job_, &slow, GRID).unwrap_err().to_string();
    assert!(said.contains("needs 1790 rpm; the spindle reaches 1500 rpm"), "{said}");
}

#[test]
fn a_lathe_is_held_to_the_same() {
    let (job, machine) = (taper(), lathe());
    let text = text_of(&job, &machine);
    for (begins, n, into, said) in [
        ("G1 X89.800", 2, "G1 X60.800", "comes within"),
        ("G1 X89.800", 2, "G1 X93.000", "left standing at the end"),
        ("G1 X124.821 Z-0.021", 0, "G1 X124.821 Z-0.026", "too much is cut at the end"),
        ("G1 X124.821 Z-0.021", 0, "G1 X124.821 Z-0.016", "left standing at the end"),
        ("G1 X124.821 Z-0.021", 0, "G1 X126.821 Z-0.021", "left standing at the end"),
        ("G1 X124.821 Z-0.021", 0, "G1 X124.821 Y0.000 Z-0.021", "Y0.000 is not one"),
        ("G1 X196.400", 2, "G1 X196.400 Z-0.033", "left standing"),
        ("G18", 0, "G17 G21 G40 G54 G80 G90 G94", "must be exactly G18 G21"),
        ("G0 X200.000", 1, "G0 X-200.000", "the tool crosses the axis"),
    ] {
        let line = line_of(&text, begins, n);
        let refused = refusal(&with_line(&text, line, |_| into.to_owned()), &job, &machine);
        assert!(refused.to_string().contains(said), "{into}: {refused}");
    }
    // Into the land by 0.17 mm.
    let step = step();
    let text_ = text_of(&step, &machine);
    let line = line_of(&text_, "G1 X121.325", 2);
    let refused = refusal(&with_line(&text_, line, |_| "G1 X120.925".to_owned()), &step, &machine);
    assert!(refused.to_string().contains("too much is cut at the end"), "{refused}");
    // A tool that goes in where metal stands outside it: a face that was flat, faced from its middle.
    let found = FaceHeights { tip: given().found.land, ..given().found };
    let flat = crate::sample::job(FaceGiven { found, ..given() });
    let text_ = text_of(&flat, &machine);
    let line = line_of(&text_, "G0 X200.000", 2);
    let refused = refusal(&with_line(&text_, line, |_| "G0 X124.000".to_owned()), &flat, &machine);
    let behind = refused.faults.iter().find(|f| f.to_string().contains("behind its cutting edge"));
    assert!(behind.is_some_and(|fault| fault.line > Some(line)), "{refused}");
}
