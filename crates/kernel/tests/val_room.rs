//! The room of a rotor against SciPy's `linprog` (HiGHS), which solved programs built from the
//! definitions by other code: `reference/room`.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::geometry::{Looks, OutlinePoint};
use kernel::heat::{StateName, ThermalState};
use kernel::readings::{FaceHeights, Heights};
use kernel::room::{Opening, Outside, Room, RoomModel, Wall, Widths};
use kernel::units::{Angle, Expansion, Length, TemperatureDifference};
use std::collections::HashMap;

const VALUES: &str = include_str!("../../../reference/room/values.csv");

/// Number of foreign cases; it only rises.
const CASES: usize = 44;

/// Agreement asked for, in millimetres: far above rounding, far below anything that is cut.
const SAME_MM: f64 = 1e-9;

/// The same at the tip radius of 99 mm, in radians.
const SAME_RAD: f64 = SAME_MM / 99.0;

struct Row(HashMap<&'static str, &'static str>);

impl Row {
    fn text(&self, key: &str) -> &'static str {
        self.0.get(key).unwrap_or_else(|| panic!("no column {key}"))
    }
    fn maybe(&self, key: &str) -> Option<f64> {
        let text = self.text(key);
        (!text.is_empty()).then(|| text.parse().unwrap())
    }
    fn number(&self, key: &str) -> f64 {
        self.maybe(key).unwrap_or_else(|| panic!("{key} is empty"))
    }
    fn count(&self, key: &str) -> usize {
        self.text(key).parse().unwrap()
    }
    fn mm(&self, key: &str) -> Length {
        Length::mm(self.number(key))
    }
    fn maybe_mm(&self, key: &str) -> Option<Length> {
        self.maybe(key).map(Length::mm)
    }
}

fn rows() -> Vec<Row> {
    let mut lines = VALUES.lines();
    let keys: Vec<&str> = lines.next().unwrap().split(',').collect();
    lines
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            assert_eq!(fields.len(), keys.len(), "{line}");
            Row(keys.iter().copied().zip(fields).collect())
        })
        .collect()
}

fn face(row: &Row, name: &str) -> FaceHeights {
    FaceHeights {
        land: [1, 2, 3].map(|k| row.mm(&format!("{name}_land{k}"))),
        tip: [1, 2, 3].map(|k| row.mm(&format!("{name}_tip{k}"))),
    }
}

fn wall(row: &Row, name: &str) -> Wall {
    let opening = row.maybe_mm("opening_from").filter(|_| name == "front").map(|from| Opening {
        radius_from: from,
        radius_to: row.mm("opening_to"),
        angle_from: Angle::deg(row.number("opening_start_deg")),
        angle_to: Angle::deg(row.number("opening_end_deg")),
    });
    Wall {
        land_wear: row.mm(&format!("{name}_land_wear")),
        tip_wear: row.mm(&format!("{name}_tip_wear")),
        central_bore: row.maybe_mm(&format!("{name}_bore")),
        openings: opening.into_iter().collect(),
    }
}

fn model(row: &Row) -> RoomModel {
    let tip_radius = row.mm("tip_radius");
    let outline = row
        .text("outline")
        .split(';')
        .map(|item| {
            let (azimuth, radius) = item.split_once(':').unwrap();
            OutlinePoint {
                azimuth: Angle::deg(azimuth.parse().unwrap()),
                radius: if radius == "tip" {
                    tip_radius
                } else {
                    Length::mm(radius.parse().unwrap())
                },
            }
        })
        .collect();
    let rise = |key: &str| TemperatureDifference::k(row.number(key));
    let state = ThermalState {
        name: StateName::Steady,
        housing: rise("housing_k"),
        hot_arc: rise("hot_arc_k"),
        land: rise("land_k"),
        tip: rise("tip_k"),
    };
    RoomModel {
        heights: Heights { gear: face(row, "gear"), plain: face(row, "plain") },
        gear_face_looks: match row.text("looks") {
            "rear" => Looks::Rear,
            "front" => Looks::Front,
            other => panic!("{other}"),
        },
        land_radius: row.mm("land_radius"),
        tip_radius,
        reading_radius: row.maybe_mm("reading_radius"),
        outside: row
            .maybe_mm("taper_start")
            .map_or(Outside::Step, |start| Outside::Taper { start, root: row.mm("taper_root") }),
        outline,
        generating_radius: row.mm("generating_radius"),
        eccentricity: row.mm("eccentricity"),
        parallel_shift: row.mm("parallel_shift"),
        width: Widths { least: row.mm("width_least"), greatest: row.mm("width_greatest") },
        front: wall(row, "front"),
        rear: wall(row, "rear"),
        rotor_expansion: Expansion::per_k(row.number("rotor_expansion")),
        housing_expansion: Expansion::per_k(row.number("housing_expansion")),
        // The first state is cold on purpose, so that the one asked for starts warm.
        states: [ThermalState::COLD, state, state, state],
        orbit_places: row.count("places"),
        ring_points: row.count("ring_points"),
    }
}

/// Compares two values that may both be nothing.
fn same(case: &str, key: &str, got: Option<f64>, row: &Row, within: f64) {
    match (got, row.maybe(key)) {
        (Some(got), Some(want)) => {
            assert!((got - want).abs() < within, "{case}: {key} {got} instead of {want}");
        }
        (None, None) => {}
        (got, want) => panic!("{case}: {key} {got:?} instead of {want:?}"),
    }
}

#[test]
fn gaps_tilts_and_jamming_agree_with_scipy() {
    let rows = rows();
    assert_eq!(rows.len(), CASES);
    for row in &rows {
        let case = row.text("case");
        let room = Room::new(model(row)).unwrap();
        let result = room.solve().unwrap();
        let state = &result.states[1];
        let mm = |gap: &kernel::room::Gap| gap.gap.to_mm();
        same(case, "least", state.least().map(mm), row, SAME_MM);
        same(case, "greatest", state.greatest().map(mm), row, SAME_MM);
        let jammed = state.places.iter().any(|place| place.jammed);
        assert_eq!(jammed, row.count("jammed") == 1, "{case}");

        let place = row.count("place");
        let (direction, directions) = (row.count("direction"), row.count("directions"));
        let limits = room.tilt_limits(1, place, directions).unwrap();
        let limit = limits.all[direction];
        let rad = |angle: Angle| angle.to_rad();
        same(case, "jam_rad", Some(limit.jam.to_rad()), row, SAME_RAD);
        same(case, "worst_rad", limit.worst_float.map(rad), row, SAME_RAD);
        same(case, "centred_rad", limit.centred.map(rad), row, SAME_RAD);

        let tilt = row.number("tilt_rad");
        let (sin, cos) = limit.direction.to_rad().sin_cos();
        for (t, keys) in [
            (0.0, ["float", "worst_float", "centred"]),
            (tilt, ["float_tilted", "worst_tilted", "centred_tilted"]),
        ] {
            let slopes = [Angle::rad(t * cos), Angle::rad(t * sin)];
            let level = room.at_tilt(1, place, slopes).unwrap();
            same(case, keys[0], Some(level.float.to_mm()), row, SAME_MM);
            same(case, keys[1], level.worst_float.map(Length::to_mm), row, SAME_MM);
            same(case, keys[2], level.centred.map(Length::to_mm), row, SAME_MM);
        }
        // One place stands for all only where SciPy, going all round, found the same.
        if state.places.len() > 1 {
            let level = state.places[place].level;
            same(case, "float", Some(level.float.to_mm()), row, SAME_MM);
        }
    }
}

/// The values are a spread of what happens, not one thing many times.
#[test]
fn the_cases_cover_what_they_are_to_cover() {
    let rows = rows();
    let count = |of: &dyn Fn(&Row) -> bool| rows.iter().filter(|row| of(row)).count();
    assert!(count(&|row| row.count("jammed") == 1) >= 3);
    assert!(count(&|row| row.maybe("least").is_none()) >= 1);
    assert!(count(&|row| row.maybe("least").is_some_and(|gap| gap < 0.0)) >= 10);
    assert!(count(&|row| row.maybe("least").is_some_and(|gap| gap > 0.0)) >= 10);
    assert!(count(&|row| row.text("looks") == "front") >= 10);
    assert!(count(&|row| row.maybe("taper_start").is_some()) >= 4);
    assert!(count(&|row| row.maybe("front_bore").is_some()) >= 4);
    assert!(count(&|row| row.maybe("opening_from").is_some()) >= 4);
    assert!(count(&|row| row.number("hot_arc_k") > 0.0) >= 10);
    assert!(count(&|row| row.number("rear_land_wear") > 0.0) >= 15);
    assert!(count(&|row| row.maybe("worst_rad").is_some()) >= 5);
    assert!(count(&|row| row.maybe("centred_rad").is_some()) >= 1);
}
