//! Models of the rotor at speed: figures of the size an invented two-rotor has, drawn from plain
//! sines, and ugly ones: one rotor and four, tips in the wall, nothing that rubs and a thousand
//! marks that do, sixty stretches, long serials.

use crate::sample::{LONG, Picture, origin};
use drawings::{
    AxisPoint, Contact, CriticalSpeed, GapAtSpeed, GapCause, JamOutline, LeastGap, MainBearing,
    Options, Origin, RotorGaps, RotorStation, ShaftLine, ShaftMass, Slope, SpeedGap, Stretch,
    TiltPath, Tip, TipBudget, Touch, TouchReach, Wall, WallPoint, WearMap,
};
use kernel::readings::Face;
use kernel::units::{Angle, Length, Speed, System};
use std::f64::consts::TAU;

/// Everything that is drawn of the rotor at speed.
pub(crate) fn all() -> Vec<Picture> {
    let metric = Options::default();
    let inch = Options { system: System::Inch, id: Some("inch-first".into()) };
    let mut pictures = Vec::new();
    for (name, model, options) in [
        ("speed-gap", speed_gap(), &metric),
        ("speed-gap-four-rotors-touching", four_rotors(), &inch),
        ("speed-gap-bare", bare_speed_gap(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("tip-budget", tip_budget(), &metric),
        ("tip-budget-touching-ugly", touching_budget(), &inch),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("tilt-path", tilt_path(), &metric),
        ("tilt-path-small-in-its-room", small_path(), &inch),
        ("tilt-path-touching-ugly", touching_path(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("wear-map", wear_map(), &metric),
        ("wear-map-none", no_wear(), &inch),
        ("wear-map-thousand-ugly", thousand_marks(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("shaft-line", shaft_line(), &metric),
        ("shaft-line-sixty-stretches", sixty_stretches(), &inch),
        ("shaft-line-bare", bare_shaft(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    pictures
}

fn rotor_gaps(serial: &str, at_6000_um: f64, fall_um: f64, speeds: usize) -> RotorGaps {
    let points = (0..speeds)
        .map(|n| {
            let rpm = 6000.0 + 250.0 * n as f64;
            let part = (rpm / 10_000.0).powi(2);
            let gap_um = at_6000_um - fall_um * (part - 0.36) - 9.0 * (rpm / 700.0).sin();
            GapAtSpeed {
                speed: Speed::rpm(rpm),
                worst_float: Length::um(gap_um),
                band: Some((Length::um(gap_um - 14.0 * part), Length::um(gap_um + 11.0 * part))),
                centred: Some(Length::um(gap_um + 95.0)),
                chance: Some(1.0 / (1.0 + ((gap_um - 8.0) / 7.0).exp())),
            }
        })
        .collect();
    RotorGaps { serial: serial.into(), points }
}

pub(crate) fn speed_gap() -> SpeedGap {
    SpeedGap {
        origin: origin(),
        assumed_shaft: true,
        duty: Speed::rpm(9000.0),
        critical: vec![
            CriticalSpeed { name: "first bending, backward".into(), speed: Speed::rpm(10_240.0) },
            CriticalSpeed { name: "first bending, forward".into(), speed: Speed::rpm(14_800.0) },
        ],
        allowed_chance: Some(0.05),
        rotors: vec![rotor_gaps("R-114", 72.0, 70.0, 21), rotor_gaps("R-97", 58.0, 62.0, 21)],
        notes: Vec::new(),
    }
}

fn four_rotors() -> SpeedGap {
    let critical = [6900.0, 6910.0, 8990.0, 9000.0, 9040.0, 10_900.0]
        .into_iter()
        .zip(1..)
        .map(|(rpm, n)| CriticalSpeed {
            name: format!("bending mode {n}, with a name that is longer than it need be"),
            speed: Speed::rpm(rpm),
        })
        .collect();
    SpeedGap {
        critical,
        allowed_chance: Some(0.01),
        rotors: (0..4)
            .map(|n| rotor_gaps(&format!("{LONG}-{n}"), 40.0 - 9.0 * f64::from(n), 160.0, 21))
            .collect(),
        notes: vec!["At 8250 rpm there is no figure: the pose did not settle.".into()],
        ..speed_gap()
    }
}

/// One rotor, one speed, and nothing that could be left out.
fn bare_speed_gap() -> SpeedGap {
    let point = GapAtSpeed {
        speed: Speed::rpm(8000.0),
        worst_float: Length::um(31.0),
        band: None,
        centred: None,
        chance: None,
    };
    SpeedGap {
        assumed_shaft: false,
        critical: Vec::new(),
        allowed_chance: None,
        rotors: vec![RotorGaps { serial: "R-114".into(), points: vec![point] }],
        ..speed_gap()
    }
}

fn causes(all: &[(&str, f64)], start_um: f64) -> Vec<GapCause> {
    let mut running = Length::um(start_um);
    all.iter()
        .map(|(label, um)| {
            let change = Length::um(*um);
            running += change;
            GapCause { label: (*label).into(), change, running }
        })
        .collect()
}

pub(crate) fn tip_budget() -> TipBudget {
    TipBudget {
        serial: "R-114".into(),
        origin: origin(),
        assumed_shaft: true,
        tip: Tip::Two,
        face: Face::Gear,
        speed: Speed::rpm(9000.0),
        start_label: "step as cut, at 20 \u{b0}C".into(),
        start: Length::um(127.0),
        causes: causes(
            &[
                ("heat", -35.0),
                ("uneven faces", -6.0),
                ("shaft bent by inertia", -7.5),
                ("shaft bent by gas", -26.0),
                ("oil film of the rotor bearing", -11.0),
                ("gear", 4.0),
                ("gas on the sides", -3.0),
                ("tilt inertia", -2.5),
                ("contact", 0.0),
            ],
            127.0,
        ),
        least: Length::um(40.0),
        pose: "at worst float".into(),
        notes: Vec::new(),
    }
}

fn touching_budget() -> TipBudget {
    TipBudget {
        serial: LONG.into(),
        start: Length::um(50.0),
        causes: causes(
            &[
                ("heat of a cause with a name that nobody would ever want to read aloud", -46.0),
                ("shaft bent by gas", -88.0),
                ("gear", 0.4),
                ("contact", 71.0),
            ],
            50.0,
        ),
        least: Length::um(-31.0),
        pose: "at worst float".into(),
        notes: vec!["The causes do not add up, and this says so.".into()],
        ..tip_budget()
    }
}

fn slope(x_mrad: f64, y_mrad: f64) -> Slope {
    Slope { x: Angle::rad(x_mrad / 1e3), y: Angle::rad(y_mrad / 1e3) }
}

/// One turn of the shaft is one loop; gas and gear make the three differ.
fn loops(mean: f64, swing: f64) -> Vec<Slope> {
    (0..1080)
        .map(|degree| {
            let (a, third) = (f64::from(degree).to_radians(), f64::from(degree).to_radians() / 3.0);
            let r = swing * (1.0 + 0.22 * third.cos() + 0.3 * (2.0 * a).sin());
            slope(mean + 1.2 * r * a.cos() + 0.1 * swing * (5.0 * third).sin(), r * (a - 0.4).sin())
        })
        .collect()
}

fn hexagon(size: f64, turned: f64) -> Vec<Slope> {
    (0..12)
        .map(|n| {
            let r = size * if n % 2 == 0 { 1.0 } else { 0.94 };
            let (sin, cos) = (turned + TAU * f64::from(n) / 12.0).sin_cos();
            slope(1.12 * r * cos, r * sin)
        })
        .collect()
}

fn touching(size: f64, never: impl Fn(i32) -> bool) -> Vec<TouchReach> {
    (0..72)
        .map(|n| TouchReach {
            direction: Angle::deg(5.0 * f64::from(n)),
            tilt: (!never(n))
                .then(|| Angle::rad(size / 1e3 * (1.0 + 0.1 * (TAU * f64::from(n) / 24.0).cos()))),
        })
        .collect()
}

pub(crate) fn tilt_path() -> TiltPath {
    TiltPath {
        serial: "R-114".into(),
        origin: origin(),
        assumed_shaft: true,
        speed: Speed::rpm(9000.0),
        path: loops(0.08, 0.7),
        jams: vec![JamOutline { at: None, corners: hexagon(1.75, 0.1) }],
        touches: touching(1.6, |n| (20..34).contains(&n) || n > 66),
        least: Some(LeastGap { degree: 812, gap: Length::um(40.0) }),
        notes: Vec::new(),
    }
}

fn small_path() -> TiltPath {
    TiltPath {
        assumed_shaft: false,
        path: loops(0.01, 0.12),
        touches: touching(1.0, |n| !(0..24).contains(&n)),
        ..tilt_path()
    }
}

fn touching_path() -> TiltPath {
    let at = |deg: f64| JamOutline { at: Some(Angle::deg(deg)), corners: hexagon(1.3, deg) };
    TiltPath {
        serial: LONG.into(),
        path: loops(-0.2, 0.9),
        jams: vec![at(0.0), at(270.0), at(540.0), at(810.0)],
        touches: touching(0.9, |_| false),
        least: Some(LeastGap { degree: 90, gap: Length::um(-22.0) }),
        notes: vec!["The tilt is held by contact from 60\u{b0} to 120\u{b0}.".into()],
        ..tilt_path()
    }
}

/// A bore of R = 105 and e = 15 and the paths its tips take, from parameter to point [YAMAMOTO].
fn trochoid(radius_mm: f64, points: u32) -> Vec<WallPoint> {
    (0..points)
        .map(|n| {
            let t = TAU * f64::from(n) / f64::from(points);
            let at = |e: f64, r: f64| Length::mm(15.0 * e + radius_mm * r);
            WallPoint { x: at((3.0 * t).cos(), t.cos()), y: at((3.0 * t).sin(), t.sin()) }
        })
        .collect()
}

fn contacts(count: u32, spread_deg: f64) -> Vec<Contact> {
    let mut all: Vec<Contact> = (0..count)
        .map(|n| {
            let part = f64::from(n) / f64::from(count);
            let wave = 0.5 + 0.5 * (TAU * 2.6 * part).sin();
            let tip = n % 3 == 0;
            let radius = if tip { 96.0 + 18.0 * wave } else { 44.0 + 30.0 * wave };
            let (sin, cos) = (spread_deg.to_radians() * (part - 0.4)).sin_cos();
            Contact {
                at: WallPoint { x: Length::mm(radius * cos), y: Length::mm(0.75 * radius * sin) },
                part: if tip { Touch::Tip } else { Touch::Land },
                share: (0.05 + wave).powi(3),
            }
        })
        .collect();
    let sum: f64 = all.iter().map(|c| c.share).sum();
    all.iter_mut().for_each(|c| c.share *= 0.62 / sum);
    all
}

pub(crate) fn wear_map() -> WearMap {
    WearMap {
        serial: "R-114".into(),
        origin: origin(),
        assumed_shaft: true,
        speed: Speed::rpm(9000.0),
        wall: Wall::Rear,
        bore: trochoid(107.0, 240),
        land_track: (Length::mm(34.0), Length::mm(76.0)),
        tip_paths: vec![trochoid(103.0, 180)],
        contacts: contacts(28, 70.0),
        notes: Vec::new(),
    }
}

pub(crate) fn no_wear() -> WearMap {
    WearMap { wall: Wall::Front, contacts: Vec::new(), assumed_shaft: false, ..wear_map() }
}

fn thousand_marks() -> WearMap {
    WearMap {
        serial: LONG.into(),
        wall: Wall::Front,
        contacts: contacts(1000, 355.0),
        notes: vec!["A thousand marks, most of them small.".into()],
        ..wear_map()
    }
}

/// Of the length of the shaft, bent in two half waves and one.
fn bent(length_mm: f64, size_um: f64) -> Vec<AxisPoint> {
    (0..=80)
        .map(|n| {
            let part = f64::from(n) / 80.0;
            let wave = |k: f64| (k * 0.5 * TAU * part).sin();
            AxisPoint {
                z: Length::mm(length_mm * part),
                along: Length::um(size_um * (wave(1.0) + 0.6 * wave(2.0))),
                across: Length::um(-0.3 * size_um * wave(3.0)),
                stress_pa: 1.4e6 * size_um * (wave(1.0) + 0.5 * wave(2.0)).abs(),
            }
        })
        .collect()
}

fn stretch(from: f64, to: f64, outer: f64, inner: f64) -> Stretch {
    let [from, to, outer, inner] = [from, to, outer, inner].map(Length::mm);
    Stretch { from, to, outer, inner }
}

fn station(serial: &str, z_mm: f64, throw_deg: f64) -> RotorStation {
    RotorStation {
        serial: serial.into(),
        z: Length::mm(z_mm),
        width: Length::mm(80.0),
        radius: Length::mm(102.0),
        eccentricity: Length::mm(15.0),
        throw: Angle::deg(throw_deg),
        slope_along: Angle::rad(0.42e-3),
        slope_across: Angle::rad(-0.11e-3),
    }
}

fn mass(name: &str, z_mm: f64, width_mm: f64, diameter_mm: f64) -> ShaftMass {
    let [z, width, diameter] = [z_mm, width_mm, diameter_mm].map(Length::mm);
    ShaftMass { name: name.into(), z, width, diameter }
}

pub(crate) fn shaft_line() -> ShaftLine {
    let main = |name: &str, z: f64| MainBearing { name: name.into(), z: Length::mm(z) };
    ShaftLine {
        origin: origin(),
        assumed_shaft: true,
        speed: Speed::rpm(9000.0),
        angle: Angle::deg(395.0),
        stretches: vec![
            stretch(0.0, 60.0, 34.0, 0.0),
            stretch(60.0, 110.0, 43.0, 14.0),
            stretch(110.0, 190.0, 74.0, 14.0),
            stretch(190.0, 270.0, 52.0, 14.0),
            stretch(270.0, 350.0, 74.0, 14.0),
            stretch(350.0, 410.0, 43.0, 14.0),
            stretch(410.0, 470.0, 38.0, 0.0),
        ],
        mains: vec![main("front", 90.0), main("rear", 385.0)],
        rotors: vec![station("R-114", 150.0, 0.0), station("R-97", 310.0, 180.0)],
        masses: vec![
            mass("front counterweight", 40.0, 22.0, 120.0),
            mass("flywheel", 445.0, 30.0, 230.0),
        ],
        axis: bent(470.0, 62.0),
        notes: Vec::new(),
    }
}

fn sixty_stretches() -> ShaftLine {
    let stretches = (0..60)
        .map(|n| {
            let from = 15.0 * f64::from(n);
            let outer = [74.0, 52.0, 43.0, 60.0][n as usize % 4];
            stretch(from, from + 15.0, outer, if n % 5 == 0 { 0.0 } else { 12.0 })
        })
        .collect();
    ShaftLine {
        origin: Origin { build: "Merganser, boat 7".into(), ..origin() },
        stretches,
        mains: (0..5)
            .map(|n| MainBearing {
                name: format!("between {n} and {}", n + 1),
                z: Length::mm(75.0 + 185.0 * f64::from(n)),
            })
            .collect(),
        rotors: (0..4)
            .map(|n| {
                let throw = 90.0 * f64::from(n);
                station(&format!("{LONG}-{n}"), 170.0 + 185.0 * f64::from(n), throw)
            })
            .collect(),
        masses: vec![
            mass(
                "front counterweight with a name of its own that goes on and on",
                20.0,
                22.0,
                130.0,
            ),
            mass("rear counterweight", 850.0, 24.0, 130.0),
            mass("flywheel", 880.0, 30.0, 260.0),
        ],
        axis: bent(900.0, 240.0),
        notes: vec!["The slopes are those of the journals.".into()],
        ..shaft_line()
    }
}

/// One rotor on a plain bar that is not bent.
fn bare_shaft() -> ShaftLine {
    ShaftLine {
        assumed_shaft: false,
        stretches: vec![stretch(0.0, 160.0, 50.0, 0.0)],
        rotors: vec![station("R-114", 80.0, 0.0)],
        masses: Vec::new(),
        mains: Vec::new(),
        axis: bent(160.0, 0.0),
        ..shaft_line()
    }
}
