//! Faces and machines for which a program is given out.

use crate::sample::{given, job, lathe, m_per_min, mill, step, titles};
use kernel::cutting::{
    CuttingError, FaceGiven, FaceJob, Kind, MachineTool, Units, UnitsWord, XReads,
};
use kernel::readings::{Face, FaceHeights};
use kernel::room::Outside;
use kernel::units::Length;
use program::{Checked, ProgramError, program};
use proptest::prelude::{ProptestConfig, Strategy, TestCaseError, any as whatever, prop};
use proptest::test_runner::TestRunner;
use std::cell::Cell;

fn made(given: FaceGiven, machine: &MachineTool) -> Checked {
    program(&job(given), machine, &titles(), Length::mm(1.0)).unwrap()
}

#[test]
fn the_report_says_what_the_program_does() {
    let (job, machine) = (step(), mill());
    let made = program(&job, &machine, &titles(), Length::mm(0.5)).unwrap();
    let report = made.report();
    // 70 and 90 m/min at 16 mm; 3 teeth of 0.08 and 0.05 mm.
    assert_eq!((report.paces.rough.rpm, report.paces.finish.rpm), (1392.0, 1790.0));
    assert!((report.paces.rough.feed.to_mm_per_s() * 60.0 - 1392.0 * 0.24).abs() < 1e-9);
    assert_eq!(report.lines, made.text().lines().count());
    assert_eq!(report.stops, 3);
    assert!(report.cutting.to_s() > 600.0 && report.moving > report.cutting);
    assert!(!report.rapid_assumed);
    // The deepest cut at a tip is 107.5 um, of which 30 are left; the face is a plane through three
    // tips, so the corners of the outline are no higher by much.
    assert!((77.0..80.0).contains(&report.deepest_pass.to_um()), "{report:?}");
    // Three decimals hold these levels exactly.
    assert!(report.off_plan.iter().all(|off| off.abs() < Length::um(0.01)), "{report:?}");
    assert_eq!(report.nodes, 90_162);
    // 0.127 on a corner of 0.4: √(0.4² − 0.273²) and 0.12.
    let expected = (0.4f64.powi(2) - 0.273f64.powi(2)).sqrt() + 0.12;
    assert!((report.shoulder_width.to_mm() - expected).abs() < 1e-6);
    assert!(made.text().starts_with("%\n(ROTOR R-114, GEAR FACE UP)\n"));
    let said = made.text();
    for line in [
        "(HASH 9F2C 41D0 77AB 0E35)",
        "(UNITS MM: G21. ROUNDING COSTS 0.00050 OF 0.00200 MM IN DEPTH)",
        "(DATUM: TOUCH THE LAND'S OUTER EDGE AT TIP 1 AND SET Z TO 0.0625)",
        "(LAND AT RADIUS 61.000 NOW, TIPS 1 2 3: 0.0300 0.0300 0.0300)",
        "(OUTSIDE AT RADIUS 97.000 NOW, TIPS 1 2 3: -0.0970 -0.0970 -0.0970)",
        "(THEN IT STANDS AT 0.0685 AT TIP 2 AND 0.0645 AT TIP 3. IF NOT, STOP)",
        "G17 G21 G40 G54 G80 G90 G94",
    ] {
        assert!(said.lines().any(|l| l == line), "{line}\n{said}");
    }
}

/// On a lathe the time can be told by hand: two ways twice, at feeds per minute.
#[test]
fn the_time_of_a_lathe_by_hand() {
    let made = made(given(), &lathe());
    let fed = |from: f64, to: f64, feed: f64| (from - to).abs() / 2.0 / feed * 60.0;
    // From 1.569 down, then across; X in diameters.
    let ways = |feed: f64, stock: f64| {
        (1.569 - stock) / feed * 60.0
            + fed(124.0, 89.8, feed)
            + (1.569 - stock + 0.127) / feed * 60.0
            + fed(200.0, 121.325, feed)
    };
    let expected = ways(8.9, 0.03) + ways(7.2, 0.0);
    assert!((made.report().cutting.to_s() / expected - 1.0).abs() < 1e-3, "{:?}", made.report());
    assert!(made.report().rapid_assumed);
}

#[test]
fn every_kind_of_face_passes_on_either_machine() {
    for machine in [mill(), lathe()] {
        for face in Face::BOTH {
            for shape in [
                Outside::Step,
                Outside::Taper { start: Length::mm(61.0), root: Length::ZERO },
                Outside::Taper { start: Length::mm(63.0), root: Length::um(20.0) },
            ] {
                made(FaceGiven { face, shape, ..given() }, &machine);
            }
        }
        // One area alone.
        made(FaceGiven { land_level: None, ..given() }, &machine);
        made(FaceGiven { outside_level: None, ..given() }, &machine);
        let shape = Outside::Taper { start: Length::mm(63.0), root: Length::um(20.0) };
        made(FaceGiven { land_level: None, shape, ..given() }, &machine);
        made(FaceGiven { outside_level: None, shape, ..given() }, &machine);
        // A face that was flat: the outside stands above the finished land.
        let found = FaceHeights { tip: given().found.land, ..given().found };
        made(FaceGiven { found, ..given() }, &machine);
        // So little that there is no rough pass.
        let land_level = Some(Length::mm(39.94));
        let little = made(FaceGiven { land_level, outside_level: None, ..given() }, &machine);
        assert!(little.text().contains("(NO ROUGH PASS"));
        assert_eq!(little.report().stops, 2);
        // So little on the land that only the outside is roughed: no zero is corrected by the land.
        let land_level = Some(Length::mm(39.93));
        let uneven = made(FaceGiven { land_level, ..given() }, &machine);
        for line in [
            "(LAND AT RADIUS 61.000 NOW, TIPS 1 2 3: 0.0265 0.0300 0.0285)",
            "(AT TIP 1 IT IS NOT CUT YET: NOT TO BE CORRECTED BY)",
            "(AT TIP 3 IT IS NOT CUT YET: NOT TO BE CORRECTED BY)",
        ] {
            assert!(uneven.text().lines().any(|l| l == line), "{line}");
        }
        assert!(!uneven.text().contains("AT TIP 2 IT IS NOT CUT"));
        // Much, in thin passes.
        let mut thin = machine.clone();
        thin.rough.depth = Length::um(40.0);
        assert!(made(given(), &thin).report().deepest_pass <= Length::um(40.5));
        // Nothing stands in the middle.
        let mut open = machine.clone();
        open.fixture.clamp_radius = Length::ZERO;
        made(given(), &open);
    }
    let mut radius = lathe();
    if let Kind::Lathe(tool) = &mut radius.kind {
        tool.x_reads = XReads::Radius;
    }
    let made = made(given(), &radius);
    assert!(made.text().contains("(X IS A RADIUS)") && made.text().contains("G1 X44.900\n"));
}

#[test]
fn a_control_in_inches_gets_inches() {
    let mut machine = mill();
    (machine.units, machine.units_word) = (Units::Inch, UnitsWord::G70);
    let made = made(given(), &machine);
    assert!(made.text().contains("\nG17 G70 G40 G54 G80 G90 G94\n"));
    assert!(made.text().contains("(UNITS INCH: G70. ROUNDING COSTS 0.00127 OF 0.00200 MM"));
    // 0.127 mm is 0.005 in exactly.
    assert!(made.text().contains("G1 Z-0.0050 F10.57\n"), "{}", made.text());
    // What its last decimal does to 0.0625 mm and the like is seen and said.
    assert!(made.report().off_plan[1] < Length::um(1.3));
    let close = FaceGiven { tolerance: Length::um(1.0), ..given() };
    let error = program(&job(close), &machine, &titles(), Length::mm(1.0)).unwrap_err();
    assert!(matches!(error, ProgramError::Cutting(CuttingError::Rounding { .. })), "{error}");
    let said = "numbers in inch with 4 decimals are up to 1.27 um off";
    assert!(error.to_string().contains(said), "{error}");
}

/// What a face and a machine are made of by chance.
#[derive(Debug, Clone)]
struct Any {
    on_lathe: bool,
    plain: bool,
    taper: Option<(f64, f64)>,
    inch: bool,
    land_um: [f64; 3],
    tip_um: [f64; 3],
    land_cut_um: Option<f64>,
    outside_um: Option<f64>,
    step_um: f64,
    diameter: f64,
    corner: f64,
    clamp: Option<f64>,
    depth_um: f64,
}

fn any() -> impl Strategy<Value = Any> {
    let flags = (whatever::<bool>(), whatever::<bool>(), whatever::<bool>());
    let taper = prop::option::of((61.0..70.0f64, 0.0..40.0f64));
    let heights = prop::array::uniform3(-15.0..15.0f64);
    let cuts = (prop::option::of(0.0..150.0f64), prop::option::weighted(0.8, 40.0..400.0f64));
    let tool = (6.0..80.0f64, 0.0..2.5f64, prop::option::of(20.0..42.0f64), 40.0..300.0f64);
    (flags, taper, heights.clone(), heights, cuts, 50.0..200.0f64, tool).prop_map(
        |((on_lathe, plain, inch), taper, land_um, tip_um, cuts, step_um, tool)| Any {
            on_lathe,
            plain,
            taper,
            inch,
            land_um,
            tip_um,
            land_cut_um: cuts.0,
            outside_um: cuts.1,
            step_um,
            diameter: tool.0,
            corner: tool.1,
            clamp: tool.2,
            depth_um: tool.3,
        },
    )
}

impl Any {
    fn face(&self) -> FaceGiven {
        let mut given = given();
        given.face = if self.plain { Face::Plain } else { Face::Gear };
        let land = Length::mm(39.95);
        given.found = FaceHeights {
            land: self.land_um.map(|um| land + Length::um(um)),
            tip: self.tip_um.map(|um| land + Length::um(um - self.step_um)),
        };
        given.land_level = self.land_cut_um.map(|um| land - Length::um(um));
        let from = given.land_level.unwrap_or(land);
        given.outside_level = self.outside_um.map(|um| from - Length::um(um));
        if let Some((start, root)) = self.taper {
            given.shape = Outside::Taper { start: Length::mm(start), root: Length::um(root) };
        }
        given
    }

    fn machine(&self) -> MachineTool {
        let mut machine = if self.on_lathe { lathe() } else { mill() };
        match &mut machine.kind {
            Kind::Mill(cutter) => {
                cutter.diameter = Length::mm(self.diameter);
                cutter.corner_radius = Length::mm(self.corner.min(0.5 * self.diameter - 1.1));
            }
            Kind::Lathe(tool) => tool.nose_radius = Length::mm(self.corner.max(0.1)),
        }
        if self.inch {
            (machine.units, machine.units_word) = (Units::Inch, UnitsWord::G20);
        }
        machine.rough.cutting_speed = m_per_min(60.0);
        machine.finish.cutting_speed = m_per_min(60.0);
        machine.fixture.clamp_radius = self.clamp.map_or(Length::ZERO, Length::mm);
        machine.rough.depth = Length::um(self.depth_um);
        machine
    }
}

/// What is written passes its own check, whatever the face and the machine; or it is said
/// beforehand what is in the way. Most of them are written.
#[test]
fn what_is_written_passes() {
    let (tried, written) = (Cell::new(0), Cell::new(0));
    let mut runner = TestRunner::new(ProptestConfig::with_cases(48));
    let outcome = runner.run(&any(), |any| {
        tried.set(tried.get() + 1);
        let Ok(job) = FaceJob::new(any.face()) else { return Ok(()) };
        match program(&job, &any.machine(), &titles(), Length::mm(2.0)) {
            Ok(_) => written.set(written.get() + 1),
            Err(ProgramError::Cutting(_)) => {}
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert!(2 * written.get() > tried.get(), "{} of {} written", written.get(), tried.get());
}
