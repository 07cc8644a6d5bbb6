//! The room against closed forms and symmetries: what can be known without a linear program.

use super::{
    Opening, Outside, RING_POINTS, Room, RoomError, RoomModel, StepNeed, TrackWear, Wall, Widths,
    step_needed, step_needed_hot, step_needed_in,
};
use crate::geometry::{Looks, OutlinePoint};
use crate::heat::{ASSUMED, ThermalState};
use crate::readings::{Face, FaceHeights, Heights};
use crate::units::{Angle, Expansion, Length, System, TemperatureDifference};
use proptest::prelude::*;

const ALL_COLD: [ThermalState; 4] = [ThermalState::COLD; 4];

/// What two computations of the same length may differ by: rounding of sizes near 80 mm.
const SAME_M: f64 = 2e-15;

fn square(land_width: Length, step: Length) -> Heights {
    let face = FaceHeights { land: [land_width / 2.0; 3], tip: [land_width / 2.0 - step; 3] };
    Heights { gear: face, plain: face }
}

/// Clearance `c` per side and step `step`, cold.
pub(crate) fn model(c: Length, step: Length) -> RoomModel {
    let width = Length::mm(80.01);
    RoomModel {
        heights: square(width - c * 2.0, step),
        gear_face_looks: Looks::Rear,
        land_radius: Length::mm(61.0),
        tip_radius: Length::mm(99.0),
        reading_radius: None,
        outside: Outside::Step,
        outline: RoomModel::tips_alone(Length::mm(99.0)),
        generating_radius: Length::mm(101.5),
        eccentricity: Length::mm(14.5),
        parallel_shift: Length::mm(2.5),
        width: Widths { least: width, greatest: width },
        front: Wall::default(),
        rear: Wall::default(),
        rotor_expansion: Expansion::per_k(11.0e-6),
        housing_expansion: Expansion::per_k(21.5e-6),
        states: ALL_COLD,
        orbit_places: 24,
        ring_points: RING_POINTS,
    }
}

fn need(model: &RoomModel) -> StepNeed {
    let track = |wall: &Wall| TrackWear { land: wall.land_wear, tip: wall.tip_wear };
    StepNeed {
        greatest_width: model.width.greatest,
        land_width: model.heights.land_width()[0],
        land_radius: model.land_radius,
        tip_radius: model.tip_radius,
        front: track(&model.front),
        rear: track(&model.rear),
        rotor_expansion: model.rotor_expansion,
        housing_expansion: model.housing_expansion,
    }
}

fn least_m(model: RoomModel, state: usize) -> f64 {
    Room::new(model).unwrap().solve().unwrap().states[state].least().unwrap().gap.to_m()
}

fn um(low: f64, high: f64) -> impl Strategy<Value = Length> {
    (low..high).prop_map(Length::um)
}

fn uneven() -> impl Strategy<Value = Heights> {
    let around = |mm: f64| move |off: [f64; 3]| off.map(|o| Length::mm(mm) + Length::um(o));
    let land = prop::array::uniform3(-8.0..8.0f64).prop_map(around(39.9));
    let tip = prop::array::uniform3(-20.0..20.0f64).prop_map(around(39.8));
    (land.clone(), tip.clone(), land, tip).prop_map(|(a, b, c, d)| Heights {
        gear: FaceHeights { land: a, tip: b },
        plain: FaceHeights { land: c, tip: d },
    })
}

proptest! {
    /// `δ − c (r_T/r_L − 1)`, worn walls included: the closed form of `need`.
    #[test]
    fn equal_faces(
        c in um(5.0, 200.0), step in um(0.0, 250.0), wear in prop::array::uniform4(0.0..40.0f64),
        turned in any::<bool>(), sixth in 12usize..=120,
    ) {
        let [a, b, d, e] = wear.map(Length::um);
        let model = RoomModel {
            front: Wall { land_wear: a, tip_wear: b, ..Wall::default() },
            rear: Wall { land_wear: d, tip_wear: e, ..Wall::default() },
            gear_face_looks: if turned { Looks::Front } else { Looks::Rear },
            ring_points: 6 * sixth,
            ..model(c, step)
        };
        let expected = step - step_needed(&need(&model));
        let result = Room::new(model).unwrap().solve().unwrap();
        let gap = result.states[0].least().unwrap();
        prop_assert!((gap.gap - expected).abs().to_m() < SAME_M, "{gap:?} {expected:?}");
        prop_assert_eq!(result.states[0].places.len(), 1);
        if expected.abs().to_m() > SAME_M {
            prop_assert_eq!(result.land_touches_first(), expected > Length::ZERO);
        }
    }

    /// Hot with parallel walls the room is the closed form; with a wedge it asks for no more.
    #[test]
    fn hot_equal_faces(c in um(60.0, 200.0), step in um(0.0, 250.0), arc in 0.0..40.0f64) {
        let mut states = ASSUMED;
        let base = model(c, step);
        for parallel in [true, false] {
            for state in &mut states {
                state.hot_arc = TemperatureDifference::k(if parallel { 0.0 } else { arc });
            }
            let model = RoomModel { states, ..base.clone() };
            let need = need(&model);
            let result = Room::new(model.clone()).unwrap().solve().unwrap();
            for (room, state) in result.states.iter().zip(&states) {
                let gap = room.least().unwrap().gap;
                let growth = 1.0 + 11.0e-6 * state.tip.to_k();
                let closed = step * growth - step_needed_in(&need, state);
                if parallel {
                    prop_assert!((gap - closed).abs().to_m() < SAME_M, "{gap:?} {closed:?}");
                } else {
                    prop_assert!((gap - closed).to_m() > -SAME_M);
                    // 80 mm of aluminium, both walls, tilted by the lever, is all it can differ by.
                    prop_assert!((gap - closed).to_um() < 80e3 * 21.5e-6 * arc);
                }
            }
            // The step that the closed form asks for suffices in every state.
            let enough = step_needed_hot(&need, &states).step();
            let heights = square(need.land_width, enough);
            let result = Room::new(RoomModel { heights, ..model }).unwrap().solve().unwrap();
            prop_assert!(result.governing().unwrap().1.gap.to_m() > -SAME_M);
        }
    }

    /// Tip numbers, and which way round the rotor is fitted, do not matter between even walls.
    #[test]
    fn turning_changes_nothing_between_even_walls(heights in uneven()) {
        let turn = |face: FaceHeights| FaceHeights {
            land: [face.land[1], face.land[2], face.land[0]],
            tip: [face.tip[1], face.tip[2], face.tip[0]],
        };
        let first = RoomModel { heights, ..model(Length::um(100.0), Length::ZERO) };
        let renumbered = Heights { gear: turn(heights.gear), plain: turn(heights.plain) };
        let others = [
            RoomModel { heights: renumbered, ..first.clone() },
            RoomModel { gear_face_looks: Looks::Front, ..first.clone() },
        ];
        let ask = |model: RoomModel| {
            let result = Room::new(model).unwrap().solve().unwrap();
            let room = &result.states[0];
            (room.least().copied().unwrap(), room.greatest().copied().unwrap())
        };
        let (least, greatest) = ask(first);
        for (i, other) in others.into_iter().enumerate() {
            let (l, g) = ask(other);
            prop_assert!((l.gap - least.gap).abs().to_m() < SAME_M);
            prop_assert!((g.gap - greatest.gap).abs().to_m() < SAME_M);
            if i == 1 {
                prop_assert_eq!(l.point.face, least.point.face);
                prop_assert_eq!(l.point.tip, least.point.tip);
            }
        }
    }

    /// At the pose of the least gap both lands touch and the gap there is the least gap: worst
    /// float and centred are the same. The walls are worn, holed and a wedge.
    #[test]
    fn the_least_gap_is_where_the_lands_are_jammed(heights in uneven(), place in 0usize..24) {
        let port = Opening {
            radius_from: Length::mm(50.0),
            radius_to: Length::mm(70.0),
            angle_from: Angle::deg(200.0),
            angle_to: Angle::deg(235.0),
        };
        let worn = Wall {
            land_wear: Length::um(12.0),
            tip_wear: Length::um(3.0),
            central_bore: Some(Length::mm(48.0)),
            openings: vec![port],
        };
        let room = Room::new(RoomModel {
            heights, front: worn, states: ASSUMED, ..model(Length::um(100.0), Length::ZERO)
        }).unwrap();
        let result = room.solve().unwrap();
        for (i, state) in result.states.iter().enumerate() {
            let gap = state.places[place].gaps.unwrap().least.unwrap();
            let level = room.at_tilt(i, place, [gap.pose.slope_x, gap.pose.slope_y]).unwrap();
            prop_assert!(level.float.abs().to_m() < 1e-13, "{level:?}");
            // Rounding may leave the float a little below nothing.
            if let (Some(worst), Some(centred)) = (level.worst_float, level.centred) {
                prop_assert!((worst - gap.gap).abs().to_m() < 1e-13);
                prop_assert!((centred - gap.gap).abs().to_m() < 1e-13);
            }
        }
    }
}

#[test]
fn tilt_of_equal_faces() {
    let (c, step) = (Length::um(113.0), Length::um(50.0));
    let (r_l, r_t) = (0.061, 0.099);
    let room = Room::new(model(c, step)).unwrap();
    // At place 0 tip 1 is at 150°, so every direction of twelve is over a tip or opposite one, or
    // half way between; all are on the ring.
    let limits = room.tilt_limits(0, 0, 12).unwrap();
    for limit in &limits.all {
        assert!((limit.jam.to_rad() - c.to_m() / r_l).abs() < 1e-15);
    }
    let tip = limits.least_worst_float().unwrap();
    let expected = step.to_m() / (r_t - r_l);
    assert!((tip.worst_float.unwrap().to_rad() - expected).abs() < 1e-14, "{tip:?}");
    let centred = limits.least_centred().unwrap().centred.unwrap().to_rad();
    assert!((centred - (c + step).to_m() / r_t).abs() < 1e-14);
    let (cos, sin) = (150f64.to_radians().cos(), 150f64.to_radians().sin());
    for t in [0.0, 3e-4, 1.1e-3, 1.8e-3] {
        let level = room.at_tilt(0, 0, [Angle::rad(t * cos), Angle::rad(t * sin)]).unwrap();
        let worst = step.to_m() - (r_t - r_l) * t;
        let centred = (c + step).to_m() - r_t * t;
        assert!((level.worst_float.unwrap().to_m() - worst).abs() < SAME_M);
        assert!((level.float.to_m() - 2.0 * (c.to_m() - r_l * t)).abs() < SAME_M);
        assert!((level.centred.unwrap().to_m() - centred).abs() < SAME_M);
    }
}

#[test]
fn enough_step_and_the_lands_jam_first_in_every_direction() {
    let limits = Room::new(model(Length::um(113.0), Length::um(127.0)))
        .unwrap()
        .tilt_limits(0, 3, 36)
        .unwrap();
    assert!(limits.all.iter().all(|limit| limit.worst_float.is_none() && limit.centred.is_none()));
    assert_eq!(limits.all.len(), 36);
}

#[test]
fn jammed_cold_and_only_while_warming_up() {
    let tight = model(Length::um(-2.0), Length::um(50.0));
    let result = Room::new(tight).unwrap().solve().unwrap();
    assert!(result.states[0].jams());
    assert!(result.states[0].least().is_none());
    assert!(!result.land_touches_first());
    // 30 µm per side: warming up takes 80·(11e-6·80 − 21.5e-6·20) = 36.0 µm of the 60.
    let warm = RoomModel { states: ASSUMED, ..model(Length::um(15.0), Length::um(127.0)) };
    let room = Room::new(warm).unwrap();
    let result = room.solve().unwrap();
    assert!(!result.states[0].jams() && result.states[1].jams() && !result.states[2].jams());
    let left = result.states[1].clearance_left.to_um();
    let expected = 80_010.0 * (1.0 + 21.5e-6 * 20.0) - 79_980.0 * (1.0 + 11.0e-6 * 80.0);
    assert!((left - expected).abs() < 1e-9, "{left}");
    assert_eq!(result.tightest().state.name.name(), "warming");
    let sentence = room.explain("R-114", &result, System::Metric);
    assert_eq!(
        sentence,
        "R-114 jams between its walls while the engine warms up: 6 \u{b5}m (0.2 thou) of side \
         clearance are wanting, which a larger step does not give."
    );
}

/// The lands of a rotor may pass only if it tilts with them.
#[test]
fn lands_that_are_out_of_square_but_parallel_pass() {
    let mut tilted = model(Length::um(3.0), Length::um(100.0));
    let lean = [Length::um(20.0), Length::um(-10.0), Length::um(-10.0)];
    for (tip, &lean) in lean.iter().enumerate() {
        tilted.heights.gear.land[tip] += lean;
        tilted.heights.gear.tip[tip] += lean;
        tilted.heights.plain.land[tip] -= lean;
        tilted.heights.plain.tip[tip] -= lean;
    }
    let place = Room::new(tilted).unwrap().solve().unwrap().states[0].places[0];
    assert!(place.level.float < Length::ZERO && !place.jammed);
    assert!(place.gaps.is_some() && place.level.worst_float.is_none());
}

#[test]
fn a_taper_is_checked_at_every_radius() {
    // Falls from the land's edge to 100 µm at the tip, 113 µm per side: 70.4 µm needed at the
    // tip; half way out the depth is half and so is the need.
    let taper = |start_mm: f64, root: Length| RoomModel {
        outside: Outside::Taper { start: Length::mm(start_mm), root },
        ..model(Length::um(113.0), Length::um(100.0))
    };
    // No root: the start is the land's edge itself. Depth and need both grow evenly from there, so
    // the innermost point looked at, a quarter of the way out, has a quarter of the tip's margin.
    let gap_m = least_m(taper(61.0, Length::ZERO), 0);
    assert!((gap_m - 0.25 * (100e-6 - 38.0 / 61.0 * 113e-6)).abs() < SAME_M, "{gap_m}");
    // A root: the least margin is there or at the tip.
    let gap_m = least_m(taper(61.0, Length::um(20.0)), 0);
    assert!((gap_m - 20e-6).abs() < SAME_M, "{gap_m}");
    let gap_m = least_m(taper(61.0, Length::um(60.0)), 0);
    assert!((gap_m - (100e-6 - 38.0 / 61.0 * 113e-6)).abs() < SAME_M, "{gap_m}");
    // A later start carries the contact out: the lever is 99/75.
    let gap_m = least_m(taper(75.0, Length::um(100.0)), 0);
    assert!((gap_m - (100e-6 - 24.0 / 75.0 * 113e-6)).abs() < SAME_M, "{gap_m}");
    // Steps read at 92 mm: the same taper goes on to the tip.
    let read =
        RoomModel { reading_radius: Some(Length::mm(80.0)), ..taper(61.0, Length::um(60.0)) };
    let at_tip: f64 = 60e-6 + 40e-6 * 38.0 / 19.0;
    let expected = (at_tip - 38.0 / 61.0 * 113e-6).min(60e-6);
    assert!((least_m(read, 0) - expected).abs() < SAME_M);
}

#[test]
fn the_sentence_says_what_is_needed_and_what_would_make_it_worse() {
    let enough = Room::new(RoomModel {
        states: ASSUMED.map(|s| ThermalState { hot_arc: TemperatureDifference::k(0.0), ..s }),
        ..model(Length::um(113.0), Length::um(127.0))
    })
    .unwrap();
    let sentence = enough.explain("R-114", &enough.solve().unwrap(), System::Metric);
    // (38/61)·c_hot + ½·B·11e-6·50: c_hot = ½(80010·(1+21.5e-6·70) − 79784·(1+11e-6·90)),
    // 133.72 µm; 83.30 + 21.94 = 105.24, over 1 + 11e-6·140.
    assert_eq!(
        sentence,
        "The lands of R-114 stop the tilt before any tip reaches a wall: at the tightest, in the \
         steady heat, the step of 127 \u{b5}m (5.0 thou) leaves 22 \u{b5}m (0.9 thou) at tip 2 of \
         the plain face."
    );
    let mut wanting = model(Length::um(113.0), Length::um(90.0));
    wanting.heights.plain.tip[1] += Length::um(30.0);
    let wanting = Room::new(wanting).unwrap();
    let sentence = wanting.explain("R-97", &wanting.solve().unwrap(), System::Inch);
    assert_eq!(
        sentence,
        "R-97 would touch its wall with tip 2 of the plain face before its lands stop the tilt: \
         cold, the step of 2.4 thou (60 \u{b5}m) is 0.4 thou (10 \u{b5}m) too little; a larger \
         clearance would make it worse, only a larger step helps (facing the whole side flat \
         moves the tips nearer)."
    );
}

/// Facing the whole side flat: land and tip lower by the same, the tips nearer.
#[test]
fn facing_a_side_flat_brings_the_tips_nearer() {
    let before = model(Length::um(90.0), Length::um(80.0));
    let mut after = before.clone();
    for face in [&mut after.heights.gear, &mut after.heights.plain] {
        face.land = face.land.map(|h| h - Length::um(30.0));
        face.tip = face.tip.map(|h| h - Length::um(30.0));
    }
    let nearer = least_m(before, 0) - least_m(after, 0);
    assert!((nearer - 38.0 / 61.0 * 30e-6).abs() < SAME_M);
}

#[test]
fn where_there_is_no_metal_nothing_is_touched() {
    // A hole so wide that the lands never meet a wall.
    let gone = Wall { central_bore: Some(Length::mm(90.0)), ..Wall::default() };
    let lost =
        RoomModel { front: gone.clone(), rear: gone, ..model(Length::um(100.0), Length::um(50.0)) };
    assert_eq!(Room::new(lost).unwrap().solve(), Err(RoomError::NothingStops));
    // No wall at all where the tips run: nothing there to touch.
    let all_round = |from: f64, to: f64| Opening {
        radius_from: Length::mm(80.0),
        radius_to: Length::mm(120.0),
        angle_from: Angle::deg(from),
        angle_to: Angle::deg(to),
    };
    let open = Wall {
        openings: vec![all_round(0.0, 180.0), all_round(180.0, 359.999), all_round(359.0, 1.0)],
        ..Wall::default()
    };
    let room = Room::new(RoomModel {
        front: open.clone(),
        rear: open,
        ..model(Length::um(100.0), Length::um(50.0))
    })
    .unwrap();
    let result = room.solve().unwrap();
    assert!(result.governing().is_none());
    assert_eq!(result.states[0].places.len(), 24);
}

#[test]
fn what_does_not_fit_together_is_named() {
    let sound = model(Length::um(100.0), Length::um(50.0));
    let upset: [(RoomModel, &str); 9] = [
        (RoomModel { land_radius: Length::mm(100.0), ..sound.clone() }, "land_radius (100 mm)"),
        (RoomModel { outline: vec![], ..sound.clone() }, "lacks tip 1"),
        (RoomModel { ring_points: 100, ..sound.clone() }, "multiple of 6"),
        (RoomModel { orbit_places: 0, ..sound.clone() }, "orbit places: 0"),
        (RoomModel { parallel_shift: Length::mm(-1.0), ..sound.clone() }, "zero or more"),
        (RoomModel { eccentricity: Length::mm(f64::NAN), ..sound.clone() }, "eccentricity is NaN"),
        (RoomModel { rotor_expansion: Expansion::per_k(1.0), ..sound.clone() }, "rotor"),
        (
            RoomModel {
                outside: Outside::Taper { start: Length::mm(60.0), root: Length::ZERO },
                ..sound.clone()
            },
            "the start of the taper",
        ),
        (
            RoomModel {
                width: Widths { least: Length::mm(80.1), greatest: Length::mm(80.0) },
                ..sound.clone()
            },
            "the least housing width",
        ),
    ];
    for (model, part) in upset {
        let message = Room::new(model).unwrap_err().to_string();
        assert!(message.contains(part), "{message}");
    }
    let mut outline = sound.outline.clone();
    outline.push(OutlinePoint { azimuth: Angle::ZERO, radius: Length::mm(60.0) });
    let message = Room::new(RoomModel { outline, ..sound.clone() }).unwrap_err().to_string();
    assert!(message.contains("point 4"), "{message}");
    let room = Room::new(sound).unwrap();
    assert!(matches!(room.tilt_limits(0, 24, 6), Err(RoomError::NoSuch { index: 24, .. })));
    assert!(matches!(room.tilt_limits(0, 0, 0), Err(RoomError::Count { .. })));
}

/// A flank point with the step of its plane cannot be nearer than the tips, but a worn band can
/// make it so, and then it is found.
#[test]
fn the_outline_counts() {
    let flank = OutlinePoint { azimuth: Angle::deg(-60.0), radius: Length::mm(78.0) };
    let mut with = model(Length::um(113.0), Length::um(80.0));
    with.outline.push(flank);
    let deep = Wall { land_wear: Length::ZERO, tip_wear: Length::um(200.0), ..Wall::default() };
    with.front = deep.clone();
    with.rear = deep;
    let result = Room::new(with).unwrap().solve().unwrap();
    let least = result.states[0].least().unwrap();
    assert_eq!(least.point.tip, None);
    assert!([Face::Gear, Face::Plain].contains(&least.point.face));
    // The flank is on the lands' track at the waist: 80 − (78/61 − 1)·113 µm.
    let expected = 80e-6 - 17.0 / 61.0 * 113e-6;
    assert!((least.gap.to_m() - expected).abs() < 1e-12, "{}", least.gap.to_um());
}
