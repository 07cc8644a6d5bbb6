//! Pictures of the rotor at speed and of balancing from models at random, of the sizes that occur and far beyond
//! them: always a whole file without a figure that is no number, the same bytes for the same
//! model, a table with all its columns, and, at sizes that occur, no text on another.

use crate::legible::clashes;
use crate::sample::{LONG, Picture, origin};
use drawings::{
    AxisPoint, BalanceArrow, BalanceVectors, Contact, CorrectionPlace, CounterweightFace,
    CriticalSpeed, GapAtSpeed, GapCause, JamOutline, LeastGap, MainBearing, Options, PlaceKind,
    RotorGaps, RotorStation, SeenFrom, ShaftLine, ShaftMass, Slope, SpeedGap, Stretch, Throw,
    TiltPath, Tip, TipBudget, ToleranceCircle, Touch, TouchReach, UnbalanceOf, VectorKind, Wall,
    WallPoint, WearMap, Work,
};
use kernel::readings::Face;
use kernel::units::{Angle, Length, Speed, System};
use roxmltree::Document;

/// Numbers that look random and are the same every time.
struct Dice {
    state: u64,
    /// How far beyond what occurs lengths, angles and speeds go.
    beyond: f64,
}

impl Dice {
    fn roll(&mut self) -> u64 {
        // Weyl's sequence through two multiplications: enough to be without pattern here.
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb) >> 11
    }

    fn part(&mut self) -> f64 {
        self.roll() as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        (low + (high - low) * self.part()) * self.beyond
    }

    fn count(&mut self, most: u64) -> u64 {
        self.roll() % (most + 1)
    }

    fn yes(&mut self) -> bool {
        self.roll().is_multiple_of(2)
    }

    fn mm(&mut self, low: f64, high: f64) -> Length {
        Length::mm(self.between(low, high))
    }

    fn um(&mut self, low: f64, high: f64) -> Length {
        Length::um(self.between(low, high))
    }

    fn mrad(&mut self, most: f64) -> Angle {
        Angle::rad(self.between(-most, most) / 1e3)
    }

    fn words(&mut self) -> String {
        let all =
            ["R-1", "front", LONG, "a name, \"quoted\" & <marked>", "", "\u{1}\u{b5}", "WWWW"];
        all[self.count(6) as usize].to_owned()
    }

    fn notes(&mut self) -> Vec<String> {
        (0..self.count(2)).map(|_| self.words() + " and so on.").collect()
    }

    fn many<T>(&mut self, most: u64, mut make: impl FnMut(&mut Self) -> T) -> Vec<T> {
        (0..self.count(most)).map(|_| make(self)).collect()
    }

    fn speed(&mut self) -> Speed {
        Speed::rpm(self.between(3000.0, 12_000.0))
    }

    fn chance(&mut self) -> Option<f64> {
        self.yes().then(|| self.part())
    }

    fn touch(&mut self) -> Touch {
        if self.yes() { Touch::Land } else { Touch::Tip }
    }
}

fn speed_gap(dice: &mut Dice) -> SpeedGap {
    let rotors = dice.many(5, |dice| {
        let mut points = dice.many(30, |dice| {
            let worst = dice.um(-80.0, 150.0);
            GapAtSpeed {
                speed: dice.speed(),
                worst_float: worst,
                band: dice.yes().then(|| (worst - dice.um(0.0, 30.0), worst + dice.um(0.0, 9.0))),
                centred: dice.yes().then(|| worst + dice.um(0.0, 100.0)),
                chance: dice.chance(),
            }
        });
        points.sort_by(|a, b| a.speed.to_rpm().total_cmp(&b.speed.to_rpm()));
        RotorGaps { serial: dice.words(), points }
    });
    SpeedGap {
        origin: origin(),
        assumed_shaft: dice.yes(),
        duty: dice.speed(),
        critical: dice.many(6, |dice| CriticalSpeed { name: dice.words(), speed: dice.speed() }),
        allowed_chance: dice.chance(),
        rotors,
        notes: dice.notes(),
    }
}

fn tip_budget(dice: &mut Dice) -> TipBudget {
    TipBudget {
        serial: dice.words(),
        origin: origin(),
        assumed_shaft: dice.yes(),
        tip: Tip::ALL[dice.count(2) as usize],
        face: Face::BOTH[dice.count(1) as usize],
        speed: dice.speed(),
        start_label: "step".into(),
        start: dice.um(-20.0, 200.0),
        causes: dice.many(14, |dice| GapCause {
            label: dice.words(),
            change: dice.um(-60.0, 40.0),
            running: dice.um(-60.0, 200.0),
        }),
        least: dice.um(-90.0, 120.0),
        pose: "at worst float".into(),
        notes: dice.notes(),
    }
}

fn slope(dice: &mut Dice, most: f64) -> Slope {
    Slope { x: dice.mrad(most), y: dice.mrad(most) }
}

/// A closed path of a few harmonics, or a part of one.
fn path(dice: &mut Dice, size: f64) -> Vec<Slope> {
    let harmonics: Vec<_> = (0..7).map(|n| (f64::from(n), slope(dice, size))).collect();
    let points = if dice.yes() { 1080 } else { dice.count(1080) };
    (0..points)
        .map(|degree| {
            let turn = (degree as f64 / 3.0).to_radians();
            let sum = |of: fn(f64) -> f64, axis: fn(&Slope) -> Angle| -> Angle {
                harmonics.iter().map(|(n, s)| axis(s) * of(n * turn)).sum()
            };
            Slope { x: sum(f64::cos, |s| s.x), y: sum(f64::sin, |s| s.y) }
        })
        .collect()
}

fn tilt_path(dice: &mut Dice) -> TiltPath {
    let size = [0.0, 0.05, 0.6, 3.0][dice.count(3) as usize];
    TiltPath {
        serial: dice.words(),
        origin: origin(),
        assumed_shaft: dice.yes(),
        speed: dice.speed(),
        path: path(dice, size),
        jams: dice.many(5, |dice| JamOutline {
            at: dice.yes().then(|| Angle::deg(dice.between(0.0, 1080.0))),
            corners: dice.many(12, |dice| slope(dice, 1.5)),
        }),
        touches: dice.many(72, |dice| TouchReach {
            direction: dice.mrad(3141.0),
            tilt: dice.yes().then(|| dice.mrad(2.0)),
        }),
        least: dice
            .yes()
            .then(|| LeastGap { degree: dice.count(1200) as usize, gap: dice.um(-50.0, 80.0) }),
        notes: dice.notes(),
    }
}

fn wall_point(dice: &mut Dice) -> WallPoint {
    WallPoint { x: dice.mm(-120.0, 120.0), y: dice.mm(-90.0, 90.0) }
}

fn wear_map(dice: &mut Dice) -> WearMap {
    WearMap {
        serial: dice.words(),
        origin: origin(),
        assumed_shaft: dice.yes(),
        speed: dice.speed(),
        wall: if dice.yes() { Wall::Front } else { Wall::Rear },
        bore: dice.many(80, wall_point),
        land_track: (dice.mm(0.0, 40.0), dice.mm(45.0, 80.0)),
        tip_paths: dice.many(3, |dice| dice.many(40, wall_point)),
        contacts: dice.many(60, |dice| Contact {
            at: wall_point(dice),
            part: dice.touch(),
            share: dice.part() * 0.1,
        }),
        notes: dice.notes(),
    }
}

fn shaft_line(dice: &mut Dice) -> ShaftLine {
    let z = |dice: &mut Dice| dice.mm(-50.0, 900.0);
    // Two rotors cannot be in one place.
    let mut next = 0.0;
    ShaftLine {
        origin: origin(),
        assumed_shaft: dice.yes(),
        speed: dice.speed(),
        angle: dice.mrad(18_000.0),
        stretches: dice.many(60, |dice| {
            let from = z(dice);
            let to = from + dice.mm(0.0, 90.0);
            Stretch { from, to, outer: dice.mm(20.0, 90.0), inner: dice.mm(0.0, 20.0) }
        }),
        mains: dice.many(6, |dice| MainBearing { name: dice.words(), z: z(dice) }),
        rotors: dice.many(5, |dice| {
            next += 120.0;
            RotorStation {
                serial: dice.words(),
                z: dice.mm(next, next + 30.0),
                width: dice.mm(60.0, 90.0),
                radius: dice.mm(80.0, 120.0),
                eccentricity: dice.mm(0.0, 20.0),
                throw: dice.mrad(6283.0),
                slope_along: dice.mrad(2.0),
                slope_across: dice.mrad(2.0),
            }
        }),
        masses: dice.many(4, |dice| ShaftMass {
            name: dice.words(),
            z: z(dice),
            width: dice.mm(5.0, 40.0),
            diameter: dice.mm(60.0, 300.0),
        }),
        axis: dice.many(90, |dice| AxisPoint {
            z: z(dice),
            along: dice.um(-200.0, 200.0),
            across: dice.um(-50.0, 50.0),
            stress_pa: dice.between(0.0, 4e8),
        }),
        notes: dice.notes(),
    }
}

fn seen_from(dice: &mut Dice) -> SeenFrom {
    if dice.yes() { SeenFrom::Front } else { SeenFrom::Rear }
}

fn balance_vectors(dice: &mut Dice) -> BalanceVectors {
    // Readings beside each other, or amounts of very different size.
    let spread = if dice.yes() { 1.0 } else { 12.0 };
    let vector = |dice: &mut Dice| {
        let size = (spread * (dice.part() - 0.5)).exp();
        (dice.between(-size, size), dice.between(-size, size))
    };
    BalanceVectors {
        title: dice.words() + " plane",
        origin: origin(),
        seen_from: seen_from(dice),
        unit: dice.words(),
        zero_name: dice.words(),
        arrows: dice.many(24, |dice| BalanceArrow {
            kind: VectorKind::ALL[dice.count(6) as usize],
            name: dice.words(),
            from: if dice.yes() { (0.0, 0.0) } else { vector(dice) },
            to: vector(dice),
        }),
        tolerance: dice
            .yes()
            .then(|| ToleranceCircle { name: dice.words(), radius: vector(dice).0 }),
        notes: dice.notes(),
    }
}

fn work(dice: &mut Dice, number: usize) -> Work {
    Work {
        number,
        text: dice.words(),
        diameter_mm: dice.yes().then(|| dice.between(3.0, 16.0)),
        depth_mm: dice.yes().then(|| dice.between(0.5, 25.0)),
        point_depth_mm: dice.yes().then(|| dice.between(0.5, 30.0)),
        mass_g: dice.between(0.1, 60.0),
        machine_deg: dice.yes().then(|| dice.between(-360.0, 720.0)),
    }
}

fn counterweight_face(dice: &mut Dice) -> CounterweightFace {
    const KINDS: [PlaceKind; 5] = [
        PlaceKind::HoleAlong,
        PlaceKind::HoleInRim,
        PlaceKind::Slug,
        PlaceKind::Flat,
        PlaceKind::Added,
    ];
    let unbalance = |dice: &mut Dice, most: f64| {
        dice.yes().then(|| UnbalanceOf {
            amount_g_mm: dice.between(0.0, most),
            angle_deg: dice.between(0.0, 360.0),
        })
    };
    let mut number = 0;
    CounterweightFace {
        plane: dice.words(),
        weight: dice.words(),
        origin: origin(),
        seen_from: seen_from(dice),
        throws: (1..=dice.count(6) as usize)
            .map(|rotor| Throw { rotor, angle_deg: dice.between(0.0, 360.0) })
            .collect(),
        before: unbalance(dice, 40_000.0),
        after: unbalance(dice, 100.0),
        tolerance_g_mm: dice.yes().then(|| dice.between(1.0, 900.0)),
        machine_zero_deg: dice.yes().then(|| dice.between(-360.0, 360.0)),
        places: dice.many(96, |dice| {
            number += 1;
            CorrectionPlace {
                number,
                kind: KINDS[dice.count(4) as usize],
                angle_deg: dice.between(0.0, 360.0),
                radius_mm: dice.between(20.0, 90.0),
                across_mm: dice.between(3.0, 20.0),
                work: (dice.count(3) == 0).then(|| work(dice, number)),
            }
        }),
        caution: dice.yes().then(|| dice.words()),
        notes: dice.notes(),
    }
}

fn drawn(seed: u64, beyond: f64) -> Vec<Picture> {
    let dice = &mut Dice { state: seed, beyond };
    let system = if dice.yes() { System::Metric } else { System::Inch };
    let options = Options { system, id: None };
    let mut pictures = Vec::new();
    let mut put = |name, svg, csv| pictures.push(Picture { name, svg, csv });
    let model = speed_gap(dice);
    put("speed-gap", model.svg(&options), model.csv());
    let model = tip_budget(dice);
    put("tip-budget", model.svg(&options), model.csv());
    let model = tilt_path(dice);
    put("tilt-path", model.svg(&options), model.csv());
    let model = wear_map(dice);
    put("wear-map", model.svg(&options), model.csv());
    let model = shaft_line(dice);
    put("shaft-line", model.svg(&options), model.csv());
    let model = balance_vectors(dice);
    put("balance-vectors", model.svg(&options), model.csv());
    let model = counterweight_face(dice);
    put("counterweight-face", model.svg(&options), model.csv());
    pictures
}

/// Fields of a line of a table, quoted ones counted as one.
fn fields(line: &str) -> usize {
    let mut quoted = false;
    let is_end = |c: char| {
        quoted ^= c == '"';
        c == ',' && !quoted
    };
    line.matches(is_end).count() + 1
}

fn is_whole(picture: &Picture, seed: u64) {
    let at = format!("{} of seed {seed}", picture.name);
    let document = Document::parse(&picture.svg).unwrap_or_else(|e| panic!("{at}: {e}"));
    for node in document.descendants() {
        for attribute in node.attributes() {
            let value = attribute.value();
            let is_number = !value.contains("NaN") && !value.contains("inf");
            assert!(is_number, "{at}: {}={value}", attribute.name());
        }
        assert!(!node.text().unwrap_or("").contains("NaN"), "{at}: {:?}", node.text());
    }
    assert!(!picture.csv.contains("NaN"), "{at}");
    let mut lines = picture.csv.split("\r\n").filter(|line| !line.is_empty());
    let columns = fields(lines.next().unwrap());
    assert!(columns >= 6, "{at}: {columns}");
    lines.for_each(|line| assert_eq!(fields(line), columns, "{at}: {line}"));
}

#[test]
fn a_model_of_sizes_that_occur_is_legible() {
    for seed in 0..20 {
        for picture in drawn(seed, 1.0) {
            is_whole(&picture, seed);
            assert_eq!(clashes(&picture), [""; 0], "seed {seed}");
        }
    }
}

#[test]
fn a_model_of_any_finite_numbers_is_a_whole_file() {
    for (seed, beyond) in (100..).zip([0.0, 1e-300, 1e-12, -1.0, 1e6, 1e15, -1e40, 1e100, 1e140]) {
        for picture in drawn(seed, beyond) {
            is_whole(&picture, seed);
        }
    }
}

#[test]
fn the_same_model_gives_the_same_bytes_whatever_it_is() {
    for (a, b) in drawn(7, 1.0).iter().zip(&drawn(7, 1.0)) {
        assert!(a.svg == b.svg && a.csv == b.csv, "{}", a.name);
    }
}
