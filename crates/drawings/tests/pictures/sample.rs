//! Models of an invented sprint boat, boosted, with two rotors; and ugly ones: long serials,
//! nothing to cut, tips inside the wall, no window, six rotors.

use drawings::{
    AtSpeed, ClearanceWindow, Doubt, FaceStock, Lean, Options, Origin, Planned, PlannedStep, Point,
    Reading, Relief, RotorFace, RotorShape, SealLimit, Section, SetUp, SideGap, SpecFigure, Stage,
    StepWindow, Stock, Take, Tip, TipGap, TipReadings, Touch, Tracks, Wear, When, Window,
};
use kernel::readings::{Face, FaceHeights, Heights, TIPS};
use kernel::units::{Angle, Length, System};
use std::sync::LazyLock;

pub(crate) const LONG: &str = "MERGANSER-7-SPARE-R-0114";

pub(crate) fn origin() -> Origin {
    Origin {
        build: "Merganser, boat 7".into(),
        housing: "H-31".into(),
        spec: "sprint, boosted, version 3".into(),
    }
}

/// A picture, its data, and what it is called.
pub(crate) struct Picture {
    pub(crate) name: &'static str,
    pub(crate) svg: String,
    pub(crate) csv: String,
}

/// Everything that is drawn in the tests.
pub(crate) fn every() -> &'static [Picture] {
    static EVERY: LazyLock<Vec<Picture>> = LazyLock::new(|| {
        let mut pictures = all();
        pictures.extend(crate::at_speed::all());
        pictures.extend(crate::balance::all());
        pictures.extend(crate::plating::all());
        pictures.extend(crate::part_life::all());
        pictures.extend(crate::past_windows::all());
        pictures.extend(crate::marked_face::all());
        pictures
    });
    &EVERY
}

/// What is drawn of a rotor at rest, whose tables are of lengths at its places.
pub(crate) fn all() -> Vec<Picture> {
    let metric = Options::default();
    let inch = Options { system: System::Inch, id: Some("inch-first".into()) };
    let mut pictures = Vec::new();
    for (name, model, options) in [
        ("rotor-face-gear", rotor_face(), &metric),
        ("rotor-face-plain-ugly", ugly_rotor_face(), &inch),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("side-gap", side_gap(), &metric),
        ("side-gap-tip-in-wall", ugly_side_gap(), &inch),
        ("side-gap-taper", taper(), &metric),
        ("side-gap-plain-face", plain_side_gap(), &metric),
        ("side-gap-worn", worn(), &metric),
        ("side-gap-uncut", uncut(), &inch),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("window", window(), &metric),
        ("window-at-speed", window_at_speed(), &metric),
        ("window-empty-six-rotors", empty_window(), &inch),
        ("window-in-the-negative", negative_window(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("stock", stock(), &metric),
        ("stock-left", left_stock(), &inch),
        ("stock-lopsided", lopsided_stock(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in
        [("set-up", set_up(), &metric), ("set-up-taper-ugly", tapered_set_up(), &inch)]
    {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    pictures
}

fn um(values: [f64; TIPS]) -> [Length; TIPS] {
    values.map(Length::um)
}

fn mm(values: [f64; TIPS]) -> [Length; TIPS] {
    values.map(Length::mm)
}

/// The flank as the inner envelope of the bore, R = 101.5, e = 14.5 (the form in [YAMAMOTO]),
/// turned so that tip 1 lies on x and cut off where the side face ends, at 99.
fn outline() -> Vec<Point> {
    let (r, e) = (101.5_f64, 14.5_f64);
    let mut points = Vec::new();
    for flank in [0, 2, 1] {
        for i in 0..40 {
            let v = std::f64::consts::FRAC_PI_6
                + f64::from(flank) * 2.0 * std::f64::consts::FRAC_PI_3
                + std::f64::consts::FRAC_PI_3 * f64::from(i) / 40.0;
            let side = e * (1.0 - (3.0 * e / r * (3.0 * v).sin()).powi(2)).sqrt();
            let wave = 1.5 * e * e / r;
            let x = r * (2.0 * v).cos() + wave * ((8.0 * v).cos() - (4.0 * v).cos());
            let y = r * (2.0 * v).sin() + wave * ((8.0 * v).sin() + (4.0 * v).sin());
            let (dx, dy) = ((5.0 * v).cos() + v.cos(), (5.0 * v).sin() - v.sin());
            // Of the two envelopes the inner one.
            let (x, y) = [(x + side * dx, y + side * dy), (x - side * dx, y - side * dy)]
                .into_iter()
                .min_by(|a, b| a.0.hypot(a.1).total_cmp(&b.0.hypot(b.1)))
                .unwrap();
            let cut = (99.0 / x.hypot(y)).min(1.0);
            let (x, y) = (x * cut, y * cut);
            let (sin, cos) = (-std::f64::consts::FRAC_PI_3).sin_cos();
            points
                .push(Point { x: Length::mm(x * cos - y * sin), y: Length::mm(x * sin + y * cos) });
        }
    }
    points
}

fn good(value: Length) -> Option<Reading> {
    Some(Reading { value, doubt: Doubt::None })
}

fn shape() -> RotorShape {
    RotorShape {
        outline: outline(),
        land_inner_radius: Length::mm(49.0),
        land_radius: Length::mm(61.0),
        reading_radius: Length::mm(99.0),
        gear_radius: Length::mm(43.5),
    }
}

pub(crate) fn rotor_face() -> RotorFace {
    let land = mm([79.915, 79.922, 79.918]);
    let tip = mm([79.715, 79.735, 79.723]);
    let step = um([95.0, 88.0, 102.0]);
    let runout = um([0.0, 6.0, 2.0]);
    let mut tips = std::array::from_fn(|k| TipReadings {
        land_width: good(land[k]),
        step: good(step[k]),
        runout: good(runout[k]),
        tip_width: good(tip[k]),
    });
    tips[1].step = Some(Reading { value: Length::um(188.0), doubt: Doubt::Misread });
    RotorFace {
        serial: "R-114".into(),
        origin: origin(),
        mark: Some("II".into()),
        face: Face::Gear,
        shape: shape(),
        tips,
        notes: vec!["Read the step at tip 2 again: the rest says 88 \u{b5}m.".into()],
    }
}

/// The gear face of the sprint boat's rotor under the cutter.
fn set_up() -> SetUp {
    let (land, outside) = (um([62.5, 68.5, 64.5]), um([94.5, 107.5, 89.5]));
    SetUp {
        serial: "R-114".into(),
        origin: origin(),
        number: 1,
        face: Face::Gear,
        shape: shape(),
        take: std::array::from_fn(|k| Take { land: land[k], outside: outside[k] }),
        taper_from: None,
    }
}

/// A taper on the plain face of a rotor with a long name, the land as it is.
fn tapered_set_up() -> SetUp {
    let outside = um([94.5, 0.0, 1089.5]);
    SetUp {
        serial: LONG.into(),
        number: 2,
        face: Face::Plain,
        take: outside.map(|outside| Take { land: Length::ZERO, outside }),
        taper_from: Some(Length::mm(70.0)),
        ..set_up()
    }
}

fn ugly_rotor_face() -> RotorFace {
    let mut model = rotor_face();
    for (k, readings) in model.tips.iter_mut().enumerate() {
        let doubt = if k == 1 { Doubt::Misread } else { Doubt::Ambiguous };
        for reading in [&mut readings.land_width, &mut readings.step, &mut readings.tip_width]
            .into_iter()
            .flatten()
        {
            reading.doubt = doubt;
        }
        readings.runout = None;
    }
    model.tips[0].step = Some(Reading { value: Length::um(-12.0), doubt: Doubt::Ambiguous });
    RotorFace {
        serial: LONG.into(),
        mark: Some("N 7-B & <old> stamp, twice".into()),
        face: Face::Plain,
        notes: vec![
            "Nothing checks these readings: with run-outs read on both lands a misread width could be told.".into(),
            "Squareness is assumed.".into(),
        ],
        ..model
    }
}

/// Leaning to the gear face until the land touches there and, opposite, on the plain face.
fn leaning(width: Length, heights: Heights, tip: Tip, relief: Relief) -> Section {
    // Where the land touches: its outer edge, or the start of the taper.
    let r_l = match relief {
        Relief::Step => 61.0,
        Relief::Taper { from } => from.to_mm(),
    };
    let r_t = 99.0;
    let tips = Tip::ALL.map(|tip| {
        let (float, lean) = pose(width, &heights, tip);
        let at_land = width / 2.0 - heights.gear.land[tip.index()] - float - lean;
        let gap = width / 2.0 - heights.gear.tip[tip.index()] - float - lean * (r_t / r_l);
        let first = if gap < at_land { Touch::Tip } else { Touch::Land };
        TipGap { face: Face::Gear, gap, first }
    });
    let (float, lean) = pose(width, &heights, tip);
    let slope = Angle::rad(lean.to_mm() / r_l);
    Section {
        housing_width: width,
        gear_wall: Wear::default(),
        plain_wall: Wear::default(),
        tracks: tracks(tip),
        heights,
        relief,
        lean: Lean { tip, float, slope },
        tips,
    }
}

/// With the throw 60 degrees off tip 1, as it is at top dead centre of its chamber; e = 14.5.
fn tracks(tip: Tip) -> Tracks {
    let off = [60.0_f64, 60.0, 180.0][tip.index()].to_radians();
    Tracks {
        land_to: Length::mm(61.0 + 14.5),
        tip_from: Length::mm(99.0 - 14.5),
        shaft_along: Length::mm(-14.5 * off.cos()),
        shaft_across: Length::mm(14.5 * off.sin()),
    }
}

/// Float, and lift at the land's edge, with both lands touching.
fn pose(width: Length, heights: &Heights, tip: Tip) -> (Length, Length) {
    let k = tip.index();
    let plain = &heights.plain.land;
    let opposite = plain.iter().copied().sum::<Length>() * (2.0 / 3.0) - plain[k];
    let gear = heights.gear.land[k];
    ((opposite - gear) / 2.0, (width - gear - opposite) / 2.0)
}

fn face(land: [f64; TIPS], step_um: [f64; TIPS]) -> FaceHeights {
    let (land, step) = (mm(land), um(step_um));
    FaceHeights { land, tip: std::array::from_fn(|k| land[k] - step[k]) }
}

fn measured() -> Heights {
    Heights {
        gear: face([39.9565, 39.9625, 39.9585], [95.0, 88.0, 102.0]),
        plain: face([39.9585, 39.9595, 39.9595], [105.0, 99.0, 93.0]),
    }
}

fn square(land_mm: f64, step_um: f64) -> Heights {
    let one = face([land_mm / 2.0; TIPS], [step_um; TIPS]);
    Heights { gear: one, plain: one }
}

fn before(section: Section) -> Stage {
    Stage { when: When::Before, section }
}

#[expect(clippy::unnecessary_wraps, reason = "the second section is optional")]
fn after(section: Section) -> Option<Stage> {
    Some(Stage { when: When::After, section })
}

/// Land tracks worn by 25 um on both walls: the same as a housing 50 um wider under the lands,
/// and unworn under the tips.
pub(crate) fn worn() -> SideGap {
    let depth = Length::um(25.0);
    let room = Length::mm(80.008);
    let wide = leaning(room + depth * 2.0, square(79.788, 127.0), Tip::One, Relief::Step);
    let tips = wide.tips.map(|tip| {
        let gap = tip.gap - depth;
        TipGap { gap, first: if gap < Length::ZERO { Touch::Tip } else { Touch::Land }, ..tip }
    });
    let wear = Wear { land: depth, tip: Length::ZERO };
    let section = Section { housing_width: room, gear_wall: wear, plain_wall: wear, tips, ..wide };
    SideGap {
        first: Stage { when: When::AfterFirst, section: section.clone() },
        second: Some(Stage { when: When::AfterSecond, section }),
        ..side_gap()
    }
}

/// Nothing to cut, all tips alike.
pub(crate) fn uncut() -> SideGap {
    let section = leaning(Length::mm(80.008), square(79.788, 127.0), Tip::One, Relief::Step);
    SideGap { first: Stage { when: When::AsItIs, section }, second: None, ..side_gap() }
}

pub(crate) fn side_gap() -> SideGap {
    let room = Length::mm(80.008);
    SideGap {
        serial: "R-114".into(),
        origin: origin(),
        land_inner_radius: Length::mm(49.0),
        land_radius: Length::mm(61.0),
        tip_radius: Length::mm(99.0),
        first: before(leaning(room, measured(), Tip::Two, Relief::Step)),
        second: after(leaning(room, square(79.788, 127.0), Tip::Two, Relief::Step)),
        notes: Vec::new(),
    }
}

fn ugly_side_gap() -> SideGap {
    let room = Length::mm(80.31);
    SideGap {
        serial: LONG.into(),
        origin: Origin { housing: "MERGANSER-7-HOUSING-0031".into(), ..origin() },
        first: before(leaning(room, square(79.80, 25.0), Tip::Three, Relief::Step)),
        second: after(leaning(room, square(79.80, 0.0), Tip::Three, Relief::Step)),
        notes: vec!["Facing the whole side flat brings the tips nearer to the walls.".into()],
        ..side_gap()
    }
}

fn taper() -> SideGap {
    let room = Length::mm(80.008);
    let relief = Relief::Taper { from: Length::mm(66.0) };
    SideGap { second: after(leaning(room, square(79.788, 127.0), Tip::One, relief)), ..side_gap() }
}

/// The same rotor leaning to the other wall, where before the cut a tip has no step.
fn plain_side_gap() -> SideGap {
    let room = Length::mm(80.11);
    let without_step = Heights {
        gear: face([39.96; TIPS], [12.0, 12.0, 14.0]),
        plain: face([39.958; TIPS], [105.0, 99.0, 93.0]),
    };
    let turned = |section: Section| Section {
        heights: Heights { gear: section.heights.plain, plain: section.heights.gear },
        lean: Lean { float: -section.lean.float, slope: -section.lean.slope, ..section.lean },
        tips: section.tips.map(|tip| TipGap { face: Face::Plain, ..tip }),
        ..section
    };
    SideGap {
        first: before(turned(leaning(room, without_step, Tip::Three, Relief::Step))),
        second: after(turned(leaning(room, square(79.788, 127.0), Tip::Three, Relief::Step))),
        ..side_gap()
    }
}

fn seals(corner: f64, side: f64, oil: f64) -> Vec<SealLimit> {
    [("corner seal", corner), ("side seal", side), ("oil seal", oil)]
        .into_iter()
        .map(|(seal, most)| SealLimit { seal: seal.into(), most: Length::um(most) })
        .collect()
}

pub(crate) fn window() -> Window {
    Window {
        origin: origin(),
        clearance: ClearanceWindow {
            jams_cold: Length::um(38.0),
            jams_hot: Length::um(104.0),
            step_protects_to: Length::um(407.0),
            seals: seals(360.0, 420.0, 390.0),
            spec: SpecFigure { target: Length::um(220.0), tolerance: Length::um(20.0) },
            planned: vec![
                Planned { serial: "R-114".into(), when: When::After, clearance: Length::um(220.0) },
                Planned { serial: "R-97".into(), when: When::AsItIs, clearance: Length::um(226.0) },
            ],
        },
        step: StepWindow {
            needed_cold: Length::um(70.4),
            needed_hot: Length::um(112.0),
            seals: seals(210.0, 240.0, 260.0),
            spec: SpecFigure { target: Length::um(127.0), tolerance: Length::um(12.7) },
            planned: vec![PlannedStep {
                serial: "R-114".into(),
                when: When::After,
                least: Length::um(104.0),
                greatest: Length::um(131.0),
            }],
        },
        at_speed: None,
        notes: Vec::new(),
    }
}

/// What speed asks for, as a limit.
fn window_at_speed() -> Window {
    let (step, lands_free_from) = (Length::um(119.0), Length::um(268.0));
    let at_speed = Some(AtSpeed { step, bounds: true, lands_free_from });
    Window { at_speed, ..window() }
}

fn empty_window() -> Window {
    let model = window();
    let planned = (0..6)
        .map(|n| Planned {
            serial: format!("MERGANSER-7-WIDE-WWW-{n:03}"),
            when: When::AfterSecond,
            clearance: Length::um(150.0 + 11.0 * f64::from(n)),
        })
        .collect();
    Window {
        origin: Origin {
            spec: "an endurance spec with a name far longer than anybody would want to read aloud"
                .into(),
            ..origin()
        },
        clearance: ClearanceWindow {
            jams_hot: Length::um(310.0),
            step_protects_to: Length::um(163.0),
            planned,
            seals: vec![SealLimit {
                seal: "corner seal with a long name of its own".into(),
                most: Length::um(240.0),
            }],
            ..model.clearance
        },
        step: StepWindow {
            needed_hot: Length::um(250.0),
            seals: seals(210.0, 240.0, 260.0),
            ..model.step
        },
        at_speed: Some(AtSpeed {
            step: Length::um(262.0),
            bounds: false,
            lands_free_from: Length::um(1574.0),
        }),
        notes: vec![
            "A step of 7 thou, or a housing that runs 40 K cooler, opens the window.".into(),
        ],
    }
}

fn negative_window() -> Window {
    let model = window();
    Window {
        clearance: ClearanceWindow {
            jams_cold: Length::ZERO,
            jams_hot: Length::um(-15.0),
            seals: Vec::new(),
            planned: vec![Planned {
                serial: "R-114".into(),
                when: When::After,
                clearance: Length::um(-40.0),
            }],
            ..model.clearance
        },
        step: StepWindow { seals: Vec::new(), ..model.step },
        ..model
    }
}

pub(crate) fn stock() -> Stock {
    Stock {
        serial: "R-114".into(),
        origin: origin(),
        gear: FaceStock {
            land_cut: um([62.5, 68.5, 64.5]),
            tip_cut: um([94.5, 107.5, 89.5]),
            step: um([127.0; TIPS]),
        },
        plain: FaceStock {
            land_cut: um([64.5, 65.5, 65.5]),
            tip_cut: um([86.5, 93.5, 99.5]),
            step: um([127.0; TIPS]),
        },
        land_width: mm([79.788; TIPS]),
        tip_width: mm([79.534; TIPS]),
        notes: Vec::new(),
    }
}

fn left_stock() -> Stock {
    Stock {
        serial: LONG.into(),
        gear: FaceStock::default(),
        plain: FaceStock::default(),
        ..stock()
    }
}

/// One land only, thin cuts beside thick ones, a step the wrong way.
fn lopsided_stock() -> Stock {
    Stock {
        gear: FaceStock {
            land_cut: um([0.0; TIPS]),
            tip_cut: um([10.0, 0.0, 250.0]),
            step: um([140.0, 152.0, 127.0]),
        },
        plain: FaceStock {
            land_cut: um([150.0, 8.0, 0.0]),
            tip_cut: um([0.0; TIPS]),
            step: um([-30.0, 20.0, 0.0]),
        },
        land_width: mm([79.788, 79.801, 79.792]),
        tip_width: mm([79.678, 79.629, 79.665]),
        ..stock()
    }
}
