//! Models of balancing: trial runs and a correction plane of an invented two-rotor, and ugly ones:
//! a tolerance that is a speck beside what is needed, forty arrows, 96 places, long names, nothing
//! to do.

use crate::sample::{LONG, Picture, origin};
use drawings::{
    BalanceArrow, BalanceVectors, CorrectionPlace, CounterweightFace, Options, PlaceKind, SeenFrom,
    Throw, ToleranceCircle, UnbalanceOf, VectorKind, Work,
};
use kernel::units::System;

/// Everything that is drawn of balancing.
pub(crate) fn all() -> Vec<Picture> {
    let metric = Options::default();
    let inch = Options { system: System::Inch, id: Some("inch-first".into()) };
    let mut pictures = Vec::new();
    for (name, model, options) in [
        ("balance-vectors", vectors(), &metric),
        ("balance-vectors-plane", plane(), &metric),
        ("balance-vectors-forty-ugly", forty_arrows(), &inch),
        ("balance-vectors-rear", rear_sensor(), &metric),
        ("balance-vectors-bare", bare_vectors(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    for (name, model, options) in [
        ("counterweight-face", face(), &metric),
        ("counterweight-face-rim-inch", rim(), &inch),
        ("counterweight-face-96-places-ugly", ninety_six(), &metric),
        ("counterweight-face-all-used-ugly", all_used(), &inch),
        ("counterweight-face-bare", bare_face(), &metric),
    ] {
        pictures.push(Picture { name, svg: model.svg(options), csv: model.csv() });
    }
    pictures
}

fn polar(amount: f64, deg: f64) -> (f64, f64) {
    let (sin, cos) = deg.to_radians().sin_cos();
    (amount * cos, amount * sin)
}

fn arrow(kind: VectorKind, name: &str, from: (f64, f64), to: (f64, f64)) -> BalanceArrow {
    BalanceArrow { kind, name: name.into(), from, to }
}

/// The front sensor in two trial runs, and what the correction does to it.
pub(crate) fn vectors() -> BalanceVectors {
    let zero = (0.0, 0.0);
    let found = polar(8.5, 60.0);
    let (front, rear) = (polar(6.0, 125.0), polar(6.0, 35.0));
    let left = polar(0.9, 310.0);
    BalanceVectors {
        title: "Trial runs: front sensor at 3000 rpm".into(),
        origin: origin(),
        seen_from: SeenFrom::Front,
        unit: "\u{b5}m".into(),
        zero_name: "throw of rotor 1".into(),
        arrows: vec![
            arrow(VectorKind::AsFound, "run 1", zero, found),
            arrow(VectorKind::WithTrial, "run 2, 10.0 g at the front, 270\u{b0}", zero, front),
            arrow(VectorKind::EffectOfTrial, "run 2", found, front),
            arrow(VectorKind::WithTrial, "run 3, 12.0 g at the rear, 180\u{b0}", zero, rear),
            arrow(VectorKind::EffectOfTrial, "run 3", found, rear),
            arrow(VectorKind::Correction, "both planes together", found, left),
            arrow(VectorKind::LeftOver, "as predicted", zero, left),
        ],
        tolerance: Some(ToleranceCircle { name: "permitted at this sensor".into(), radius: 1.8 }),
        notes: vec!["Run 3 is 4 % off what the other sensor says.".into()],
    }
}

/// What a plane needs and has, beside a tolerance that is a speck.
pub(crate) fn plane() -> BalanceVectors {
    let zero = (0.0, 0.0);
    let (needed, present) = (polar(33_000.0, 180.0), polar(32_990.0, 180.03));
    let left = (needed.0 - present.0, needed.1 - present.1);
    BalanceVectors {
        title: "Front plane: what it needs and what it has".into(),
        unit: "g mm".into(),
        arrows: vec![
            arrow(VectorKind::Needed, "two rotors, oil in", zero, needed),
            arrow(VectorKind::Present, "front counterweight as weighed", zero, present),
            arrow(VectorKind::LeftOver, "", zero, left),
            arrow(VectorKind::Correction, "two holes", left, polar(6.0, 40.0)),
        ],
        tolerance: Some(ToleranceCircle { name: "permitted".into(), radius: 10.0 }),
        notes: Vec::new(),
        ..vectors()
    }
}

/// The rear sensor after its correction, nothing small.
pub(crate) fn rear_sensor() -> BalanceVectors {
    let zero = (0.0, 0.0);
    let (found, trial) = (polar(6.5, 205.0), polar(4.5, 230.0));
    BalanceVectors {
        title: "Trial run: rear sensor at 3000 rpm".into(),
        seen_from: SeenFrom::Rear,
        unit: "mm/s".into(),
        arrows: vec![
            arrow(VectorKind::AsFound, "run 1", zero, found),
            arrow(VectorKind::WithTrial, "run 2", zero, trial),
            arrow(VectorKind::EffectOfTrial, "run 2", found, trial),
            arrow(VectorKind::Correction, "as predicted", found, polar(2.1, 140.0)),
            arrow(VectorKind::LeftOver, "as predicted", zero, polar(2.1, 140.0)),
        ],
        tolerance: Some(ToleranceCircle { name: "permitted".into(), radius: 1.8 }),
        notes: Vec::new(),
        ..vectors()
    }
}

fn forty_arrows() -> BalanceVectors {
    let arrows = (0..40)
        .map(|n| {
            let (size, deg) = (0.02 * 1.3_f64.powi(n), 137.5 * f64::from(n));
            let kind = VectorKind::ALL[n as usize % VectorKind::ALL.len()];
            let name =
                if n % 3 == 0 { format!("{LONG} in run {n}, read twice") } else { "b".into() };
            let from = if n % 4 == 0 { polar(0.7 * size, deg + 40.0) } else { (0.0, 0.0) };
            arrow(kind, &name, from, polar(size, deg))
        })
        .collect();
    BalanceVectors {
        title: format!("Trial runs of {LONG}: sensor at the rear main bearing, vertical, 8250 rpm"),
        seen_from: SeenFrom::Rear,
        unit: "thousandths of an inch from peak to peak".into(),
        zero_name: format!("the mark on the flywheel of {LONG} that the light barrier sees"),
        arrows,
        tolerance: Some(ToleranceCircle { name: format!("permitted by {LONG}"), radius: 0.09 }),
        ..vectors()
    }
}

/// Nothing but an arrow without length.
fn bare_vectors() -> BalanceVectors {
    BalanceVectors {
        title: "Rear plane".into(),
        arrows: vec![arrow(VectorKind::AsFound, "", (0.0, 0.0), (0.0, 0.0))],
        tolerance: None,
        notes: Vec::new(),
        ..vectors()
    }
}

fn place(number: usize, kind: PlaceKind, at: (f64, f64), across: f64) -> CorrectionPlace {
    let (angle_deg, radius_mm) = at;
    CorrectionPlace { number, kind, angle_deg, radius_mm, across_mm: across, work: None }
}

fn hole(number: usize, diameter: f64, depth: f64, mass_g: f64, machine: f64) -> Option<Work> {
    Some(Work {
        number,
        text: format!("\u{d8}{diameter} \u{d7} {depth} deep, {mass_g} g"),
        diameter_mm: Some(diameter),
        depth_mm: Some(depth),
        // A drill of 118 degrees.
        point_depth_mm: Some(depth + 0.3 * diameter),
        mass_g,
        machine_deg: Some(machine),
    })
}

/// Eight places along the shaft on the heavy half, two of them used.
pub(crate) fn face() -> CounterweightFace {
    let mut places: Vec<CorrectionPlace> = (0..8_u8)
        .map(|n| {
            let at = (110.0 + 20.0 * f64::from(n), 62.0);
            place(usize::from(n) + 1, PlaceKind::HoleAlong, at, 10.0)
        })
        .collect();
    places[2].work = hole(1, 8.0, 12.4, 4.9, 60.0);
    places[3].work = hole(2, 10.0, 7.1, 4.4, 80.0);
    places.push(place(9, PlaceKind::Slug, (20.0, 40.0), 14.0));
    CounterweightFace {
        plane: "front".into(),
        weight: "CW-12".into(),
        origin: origin(),
        seen_from: SeenFrom::Front,
        throws: vec![Throw { rotor: 1, angle_deg: 0.0 }, Throw { rotor: 2, angle_deg: 180.0 }],
        before: Some(UnbalanceOf { amount_g_mm: 578.0, angle_deg: 159.4 }),
        after: Some(UnbalanceOf { amount_g_mm: 6.1, angle_deg: 31.0 }),
        tolerance_g_mm: Some(10.0),
        machine_zero_deg: Some(90.0),
        places,
        caution: Some("Stop at the depth: 9.0 mm behind the face the bore begins.".into()),
        notes: Vec::new(),
    }
}

/// Every kind of place, seen from the rear, inch first.
pub(crate) fn rim() -> CounterweightFace {
    let mut places = vec![
        place(1, PlaceKind::HoleInRim, (150.0, 74.0), 9.5),
        place(2, PlaceKind::HoleInRim, (170.0, 74.0), 9.5),
        place(3, PlaceKind::Flat, (215.0, 74.0), 30.0),
        place(4, PlaceKind::Flat, (255.0, 74.0), 30.0),
        place(5, PlaceKind::Slug, (190.0, 55.0), 16.0),
        place(6, PlaceKind::Added, (45.0, 60.0), 22.0),
        place(7, PlaceKind::HoleAlong, (130.0, 55.0), 7.0),
    ];
    places[0].work = hole(4, 9.5, 15.0, 8.9, 150.0);
    let plain = |number, text: &str, mass_g| Work {
        number,
        text: text.into(),
        diameter_mm: None,
        depth_mm: None,
        point_depth_mm: None,
        mass_g,
        machine_deg: None,
    };
    places[2].work = Some(Work { depth_mm: Some(1.8), ..plain(3, "flat 30 long, 1.8 deep", 5.2) });
    places[4].work = Some(Work {
        diameter_mm: Some(16.0),
        depth_mm: Some(20.0),
        ..plain(2, "tungsten slug, \u{d8}16 \u{d7} 20", 44.1)
    });
    places[5].work =
        Some(Work { diameter_mm: Some(22.0), ..plain(1, "washer under the screw", 12.0) });
    places[6].work = hole(5, 7.0, 9.0, 2.7, 130.0);
    CounterweightFace {
        plane: "rear".into(),
        seen_from: SeenFrom::Rear,
        throws: (0..4)
            .map(|n| Throw { rotor: n + 1, angle_deg: [0.0, 180.0, 90.0, 270.0][n] })
            .collect(),
        before: Some(UnbalanceOf { amount_g_mm: 420.0, angle_deg: 300.0 }),
        after: Some(UnbalanceOf { amount_g_mm: 130.0, angle_deg: 210.0 }),
        tolerance_g_mm: Some(150.0),
        machine_zero_deg: None,
        places,
        caution: None,
        notes: vec!["The slug is pressed in from the rear.".into()],
        ..face()
    }
}

/// A ring of 96 places of which five are used, beside each other and apart.
pub(crate) fn ninety_six() -> CounterweightFace {
    let mut places: Vec<CorrectionPlace> = (0..96_u8)
        .map(|n| {
            let at = (3.75 * f64::from(n), 78.0);
            place(usize::from(n) + 1, PlaceKind::HoleAlong, at, 4.2)
        })
        .collect();
    for (number, at) in [46, 47, 48, 49, 2].into_iter().enumerate() {
        places[at].work = hole(number + 10, 4.2, 18.0, 1.9, 3.75 * at as f64);
    }
    if let Some(work) = &mut places[48].work {
        work.text = format!("drill with the jig of {LONG}, then ream and deburr, 1.9 g");
    }
    CounterweightFace {
        weight: format!("{LONG} with the ring gear of the starter"),
        throws: (0..6).map(|n| Throw { rotor: n + 1, angle_deg: 60.0 * n as f64 }).collect(),
        before: Some(UnbalanceOf { amount_g_mm: 33_000.0, angle_deg: 178.0 }),
        after: Some(UnbalanceOf { amount_g_mm: 0.4, angle_deg: 12.0 }),
        machine_zero_deg: Some(-3.0),
        places,
        caution: Some(format!("Do not drill into {LONG} where the web is thin; ask first.")),
        ..face()
    }
}

/// Every one of 96 places used.
fn all_used() -> CounterweightFace {
    let mut model = ninety_six();
    for (n, place) in model.places.iter_mut().enumerate() {
        place.radius_mm = if n % 2 == 0 { 78.0 } else { 70.0 };
        place.work = hole(n + 1, 4.2, 10.0, 1.0, 3.75 * n as f64);
    }
    CounterweightFace { seen_from: SeenFrom::Rear, ..model }
}

/// Balanced, with nowhere to correct it.
fn bare_face() -> CounterweightFace {
    CounterweightFace {
        throws: Vec::new(),
        before: Some(UnbalanceOf { amount_g_mm: 0.0, angle_deg: 0.0 }),
        after: None,
        tolerance_g_mm: None,
        machine_zero_deg: None,
        places: Vec::new(),
        caution: None,
        ..face()
    }
}
