//! Chances: what is missing is enough, and the reduced model against the full one.

use crate::engine;
use crate::known::uncertainty;
use kernel::heat::ThermalState;
use kernel::speed::chance::{Chance, Sampling};
use kernel::speed::engine::{CycleKind, Drawn, Engine, Loads, RotorChance, Running};
use kernel::units::Length;
use std::f64::consts::{PI, SQRT_2};

const ALLOWED: f64 = 0.05;

fn running(rpm: f64, boost_bar: f64) -> Running {
    Running { omega_rad_s: rpm * PI / 30.0, boost_pa: boost_bar * 1e5 }
}

fn loads(engine: &Engine, running: Running) -> Loads {
    let cycles = engine.cycles(running).unwrap();
    engine.loads(&cycles, CycleKind::Hard, running).unwrap()
}

fn drawn(engine: &Engine, running: Running, points: usize, seed: u32) -> Drawn {
    let loads = loads(engine, running);
    let sampling = Sampling { points, seed };
    engine.draw(&loads, &uncertainty(), sampling, |_| true).unwrap()
}

/// Whether a chance is the allowed one as far as two sets of draws can tell: what is missing was
/// found from one of them, with an error of its own. Student's t with 15 degrees of freedom,
/// 99.9 % two-sided.
fn is_allowed(chance: Chance) -> bool {
    (chance.value - ALLOWED).abs() < 4.07 * SQRT_2 * chance.standard_error
}

/// How far the reduced model may be from the full one, as its documentation says: a chance, and
/// the middle of a band in metres.
const REDUCED: (f64, f64) = (0.1, 4e-6);

#[test]
fn the_step_and_the_clearance_that_are_missing_are_enough() {
    let (clearance_um, step_um) = (110.0, 40.0);
    let at = running(8000.0, 0.0);
    let first = drawn(&Engine::new(engine(2, clearance_um, step_um)).unwrap(), at, 512, 1);
    // Of the rotor that is worse off.
    let worst = |drawn: &Drawn, of: fn(&RotorChance) -> Chance| {
        let all: Vec<Chance> = drawn.at_duty().iter().map(of).collect();
        all.into_iter().max_by(|a, b| a.value.total_cmp(&b.value)).unwrap()
    };
    let before = worst(&first, |c| c.contact);
    assert!(before.value > 2.0 * ALLOWED, "{before:?}");
    let more = |of: &dyn Fn(usize) -> Option<f64>| {
        (0..2).map(|index| of(index).unwrap()).fold(f64::NEG_INFINITY, f64::max)
    };
    let step_m = more(&|index| first.step_to_add_m(index, ALLOWED));
    let with_step = engine(2, clearance_um, step_um + 1e6 * step_m);
    // Other draws than those it was found from.
    let after = worst(&drawn(&Engine::new(with_step).unwrap(), at, 512, 2), |c| c.contact);
    assert!(is_allowed(after), "{after:?} with {step_m}");

    let at = running(9800.0, 0.3);
    let tight = drawn(&Engine::new(engine(2, 80.0, 200.0)).unwrap(), at, 512, 1);
    let room_m = more(&|index| tight.clearance_to_add_m(index, ALLOWED));
    assert!(room_m > 0.0);
    let wider = engine(2, 80.0 + 0.5e6 * room_m, 200.0);
    let jam = worst(&drawn(&Engine::new(wider).unwrap(), at, 512, 2), |c| c.jam);
    assert!(is_allowed(jam), "{jam:?} with {room_m}");
}

#[test]
fn at_the_duty_the_reduced_model_is_the_full_one() {
    // A wedge of a housing, and lands that are not square: jams that the closed form does not
    // know.
    let mut jams = false;
    for (clearance_um, step_um) in [(110.0, 80.0), (160.0, 60.0)] {
        let mut model = engine(2, clearance_um, step_um);
        for rotor in &mut model.rotors {
            rotor.cold.state = ThermalState::STEADY;
            rotor.cold.heights.gear.land[1] += Length::um(8.0);
        }
        let engine = Engine::new(model).unwrap();
        let at = running(8500.0, 0.4);
        let here = drawn(&engine, at, 256, 1);
        let reduced = here.reduced(&engine.modelled(&loads(&engine, at)).unwrap());
        for (full, reduced) in here.at_duty().iter().zip(&reduced) {
            jams |= full.jam.value > 0.2 && full.contact.value > 0.0;
            assert_eq!(full.contact, reduced.contact);
            assert_eq!(full.jam, reduced.jam);
        }
    }
    assert!(jams, "nothing was tested that matters");
}

#[test]
fn the_reduced_model_says_what_the_full_one_says_at_other_speeds() {
    let engine = Engine::new(engine(2, 160.0, 60.0)).unwrap();
    let here = drawn(&engine, running(8500.0, 0.0), 512, 1);
    for at in [running(6000.0, 0.0), running(9500.0, 0.0), running(8500.0, 0.15)] {
        let full = drawn(&engine, at, 512, 1).at_duty();
        let reduced = here.reduced(&engine.modelled(&loads(&engine, at)).unwrap());
        for (full, reduced) in full.iter().zip(&reduced) {
            let off = full.contact.value - reduced.contact.value;
            assert!(off.abs() < REDUCED.0, "{at:?}: {full:?} {reduced:?}");
            let off = full.jam.value - reduced.jam.value;
            assert!(off.abs() < REDUCED.0, "{at:?}: {full:?} {reduced:?}");
            let off = full.band_m[1] - reduced.band_m[1];
            assert!(off.abs() < REDUCED.1, "{at:?}: {full:?} {reduced:?}");
        }
    }
}

#[test]
fn a_rotor_faced_flat_touches_for_certain_and_one_at_rest_hardly() {
    let flat = drawn(&Engine::new(engine(2, 110.0, 0.0)).unwrap(), running(8000.0, 0.3), 64, 1);
    assert!(flat.at_duty().iter().all(|c| c.contact.value > 0.95));
    let slow = drawn(&Engine::new(engine(2, 160.0, 127.0)).unwrap(), running(2500.0, -0.6), 64, 1);
    for chances in slow.at_duty() {
        assert_eq!(chances.contact.value, 0.0);
        // Nothing seen is not nothing.
        assert!((chances.contact.standard_error - 1.0 / 66.0).abs() < 2e-3);
    }
    assert_eq!(slow.failed, 0);
}
