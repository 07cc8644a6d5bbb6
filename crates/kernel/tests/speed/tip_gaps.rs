//! Gaps of tips by the scales of lean and heat, against the motion itself.

use crate::engine;
use crate::known::uncertainty;
use kernel::heat::ThermalState;
use kernel::readings::{Face, TIPS};
use kernel::room::{ColdSizes, SIDES};
use kernel::speed::engine::{CYCLE_DEG, CycleKind, Engine, Push, Running, Scales, Taught};
use kernel::units::Length;
use std::f64::consts::PI;

/// How far a table may be from the motion between the scales it was taken at.
const OFF_M: f64 = 2.5e-6;

fn hot(clearance_um: f64, step_um: f64) -> Engine {
    let mut model = engine(2, clearance_um, step_um);
    for rotor in &mut model.rotors {
        rotor.cold.state = ThermalState::STEADY;
    }
    Engine::new(model).unwrap()
}

const AT: Running = Running { omega_rad_s: 8500.0 * PI / 30.0, boost_pa: 4e4 };

#[test]
fn tables_say_what_the_free_motion_leaves_each_tip() {
    let built = hot(260.0, 160.0);
    let cycles = built.cycles(AT).unwrap();
    let loads = built.loads(&cycles, CycleKind::Hard, AT).unwrap();
    let films = built.films(&loads, &Scales::as_modelled(2)).unwrap();
    let all = built.tip_gaps(AT, &uncertainty()).unwrap();
    let (mut looked_at, mut worst_m) = (0, 0.0_f64);
    for (tilt, heat) in [(0.85, 1.0), (1.0, 1.0), (1.15, 0.8), (1.15, 1.2), (1.5, 0.8), (0.55, 1.2)]
    {
        let scales = Scales { lean: tilt, ..Scales::as_modelled(2) };
        let rotors = &built.model().rotors;
        let sizes: Vec<_> = rotors
            .iter()
            .map(|rotor| {
                let state = rotor.cold.state.times(heat);
                rotor.room.sizes(&ColdSizes { state, ..rotor.cold })
            })
            .collect();
        let free = built.poses(&loads, &films, &sizes, &scales).unwrap().free;
        for (index, rotor) in all.iter().enumerate() {
            assert!(free.gaps[index].least_float_m.0 > 0.0, "the lands would hold it");
            for tip in &rotor.tips {
                let at = |side: &usize| rotors[index].room.face_at(*side) == tip.face;
                let side = (0..SIDES).find(at).unwrap();
                let found_m = free.gaps[index].tips[tip.tip][side].unwrap().worst_float_m;
                let off_m = (tip.gap.at(tilt, heat) - found_m).abs();
                worst_m = worst_m.max(off_m);
                looked_at += 1;
                if tilt == 1.0 && heat == 1.0 {
                    assert!(off_m < 1e-9, "{off_m:e}");
                }
            }
        }
    }
    assert!(worst_m < OFF_M, "{worst_m:e}");
    assert_eq!(looked_at, 6 * 2 * 6);
}

#[test]
fn lean_and_heat_take_gap_and_what_is_not_known_has_its_size() {
    for rotor in hot(160.0, 110.0).tip_gaps(AT, &uncertainty()).unwrap() {
        assert!((5e-6..20e-6).contains(&rotor.shared_m), "{:e}", rotor.shared_m);
        assert_eq!(rotor.tips.len(), TIPS * SIDES);
        for tip in &rotor.tips {
            // Upright at 20 degrees a tip at worst float has its step left.
            assert!((tip.gap.at(0.0, 0.0) - 110e-6).abs() < 3e-6, "{tip:?}");
            assert!(tip.gap.at(2.0, 1.0) <= tip.gap.at(1.0, 1.0));
            assert!(tip.gap.at(1.0, 1.0) < tip.gap.at(0.0, 1.0));
            assert!(tip.gap.at(0.0, 2.0) < tip.gap.at(0.0, 1.0));
            // However far it leans, its lands stop it somewhere.
            assert!(tip.gap.at(3.2, 1.0) > tip.gap.at(0.0, 1.0) - 160e-6);
            assert!((1e-6..6e-6).contains(&tip.own_m), "{:e}", tip.own_m);
        }
    }
}

/// Tables are by scales of what is computed, whatever a shop has taught; and what it has taught is
/// on every lean.
#[test]
fn what_was_taught_is_on_every_lean_and_not_in_the_tables() {
    let taught =
        Taught { tilt: 1.4, heat: 1.0, seen_below_m: 0.0, u: [0.1; 3], together: [0.0; 3] };
    let (plain, calibrated) = (hot(160.0, 110.0), {
        let mut model = hot(160.0, 110.0).model().clone();
        model.taught = Some(taught);
        Engine::new(model).unwrap()
    });
    let [before, after] = [&plain, &calibrated].map(|e| e.tip_gaps(AT, &uncertainty()).unwrap());
    for (a, b) in before.iter().zip(&after).flat_map(|(a, b)| a.tips.iter().zip(&b.tips)) {
        assert!((a.gap.at(1.0, 1.0) - b.gap.at(1.0, 1.0)).abs() < 1e-9, "{a:?} {b:?}");
    }
    let leans = |engine: &Engine| {
        let free = engine.point(AT).unwrap().poses.free;
        assert_eq!(free.cycle.rotors[0].len(), CYCLE_DEG);
        free.gaps[0].largest_lean_rad.0
    };
    let ratio = leans(&calibrated) / leans(&plain);
    assert!((ratio - 1.4).abs() < 1e-6, "{ratio}");
}

/// By hand: a rotor of so much weight on a bearing of so much play.
#[test]
fn a_pushed_tip_rocks_by_its_bearings_play_and_then_bends_the_shaft() {
    let built = hot(260.0, 160.0);
    let rotor = &built.model().rotors[0];
    let bearing = built.model().rotor_bearings[0].sizes;
    let land = rotor.room.model().contact_radius();
    let at = |more_mm: f64, loads_n: [f64; 2]| {
        let radius = land + Length::mm(more_mm);
        built.pushed(&Push { rotor: 0, face: Face::Gear, tip: 0, radius, loads_n }).unwrap()
    };
    let pushed = at(38.0, [5.0, 120.0]);
    let play_m = 0.038 * 2.0 * bearing.radial_clearance_m / bearing.length_m;
    assert!((pushed.play_m - play_m).abs() < 1e-12 && play_m > 20e-6, "{pushed:?} {play_m:e}");
    let from_n = rotor.mass_kg * 9.80665 * bearing.length_m / 2.0 / 0.038;
    assert!((pushed.rocks_from_n - from_n).abs() < 1e-9 && (5.0..120.0).contains(&from_n));
    // Of what it moves, the shaft's bending is next to nothing at loads of a hand.
    assert!(pushed.bent_m > 0.0 && pushed.bent_m < 0.01 * pushed.play_m, "{pushed:?}");
    assert!(!pushed.is_stopped_by_walls(), "{pushed:?}");
    let twice = at(76.0, [5.0, 5.0 + 2e3]).bent_m / at(76.0, [5.0, 5.0 + 1e3]).bent_m;
    assert!((1.9..2.2).contains(&twice), "{twice}");
    assert_eq!(at(38.0, [1.0, 2.0]).play_m, 0.0, "so small a load does not rock it");
    // A step that is next to nothing stops the tip at once.
    let tight = hot(260.0, 5.0);
    let radius = land + Length::mm(38.0);
    let push = Push { rotor: 1, face: Face::Plain, tip: 2, radius, loads_n: [5.0, 120.0] };
    assert!(tight.pushed(&push).unwrap().is_stopped_by_walls());
    assert!(built.pushed(&Push { rotor: 2, ..push }).is_err());
    assert!(built.pushed(&Push { radius: land, ..push }).is_err());
}
