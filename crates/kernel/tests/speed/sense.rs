//! What anybody who builds these engines knows without computing, as tests.

use crate::engine;
use kernel::speed::engine::{CycleKind, Engine, EngineModel, Point, Running, Scales};
use kernel::speed::film::{GivenFilm, GivenFilmFigures};
use std::f64::consts::PI;

/// Least gap at worst float over all rotors, of the true motion.
fn least_m(point: &Point) -> f64 {
    let gaps = &point.poses.real().gaps;
    gaps.iter()
        .filter_map(|gaps| gaps.least())
        .map(|(_, _, gap)| gap.worst_float_m)
        .fold(f64::INFINITY, f64::min)
}

fn running(rpm: f64, boost_bar: f64) -> Running {
    Running { omega_rad_s: rpm * PI / 30.0, boost_pa: boost_bar * 1e5 }
}

/// Least gap with shares of gas and inertia, everything else off that is not the shaft.
fn with(engine: &Engine, running: Running, gas: f64, inertia: f64) -> f64 {
    let cycles = engine.cycles(running).unwrap();
    let loads = engine.loads(&cycles, CycleKind::Hard, running).unwrap();
    let n = engine.model().rotors.len();
    let scales = Scales { gas, inertia, mesh: 0.0, side: 0.0, ..Scales::as_modelled(n) };
    let films = engine.films(&loads, &scales).unwrap();
    let poses = engine.poses(&loads, &films, engine.sizes(), &scales).unwrap();
    poses
        .real()
        .gaps
        .iter()
        .filter_map(|gaps| gaps.least())
        .map(|(_, _, gap)| gap.worst_float_m)
        .fold(f64::INFINITY, f64::min)
}

/// Rounding of the motion's settling at a tip.
const SETTLED_M: f64 = 6e-8;

#[test]
fn with_gas_off_more_speed_never_widens_the_least_gap() {
    let engine = Engine::new(engine(2, 110.0, 127.0)).unwrap();
    let mut before = f64::INFINITY;
    for rpm in [2000.0, 4000.0, 6000.0, 8000.0, 10_000.0, 12_000.0] {
        let gap = with(&engine, running(rpm, 0.0), 0.0, 1.0);
        assert!(gap <= before + SETTLED_M, "{rpm}: {gap} after {before}");
        before = gap;
    }
    assert!(before < 126.9e-6, "inertia does something: {before}");
}

#[test]
fn with_inertia_off_more_boost_never_widens_the_least_gap() {
    let engine = Engine::new(engine(2, 110.0, 127.0)).unwrap();
    let mut before = f64::INFINITY;
    for boost in [0.0, 0.2, 0.4, 0.7, 1.0, 1.5] {
        let gap = with(&engine, running(8000.0, boost), 1.0, 0.0);
        assert!(gap <= before + SETTLED_M, "{boost}: {gap} after {before}");
        before = gap;
    }
}

/// The shaft with everything along it moved apart by a factor, and with another modulus, on
/// mains that give no way: on soft ones two opposite forces tilt a longer shaft less.
fn changed(mut model: EngineModel, longer: f64, softer: f64) -> EngineModel {
    for (seat, main) in model.seats.iter_mut().zip(&mut model.mains) {
        seat.radial_n_per_m = 1e12;
        main.given = GivenFilm::new(GivenFilmFigures {
            radial_stiffness_n_per_m: 1e12,
            radial_damping_n_s_per_m: 0.0,
            tilt_stiffness_n_m_per_rad: 1e5,
            tilt_damping_n_m_s_per_rad: 10.0,
        })
        .ok();
    }
    let shaft = &mut model.shaft;
    for stretch in &mut shaft.stretches {
        stretch.length_m *= longer;
        stretch.young_pa /= softer;
    }
    shaft.discs.iter_mut().for_each(|disc| disc.at_m *= longer);
    shaft.unbalances.iter_mut().for_each(|unbalance| unbalance.at_m *= longer);
    shaft.supports.iter_mut().for_each(|support| support.at_m *= longer);
    shaft.stations_m.iter_mut().for_each(|at_m| *at_m *= longer);
    model
}

#[test]
fn with_either_alone_a_longer_or_a_softer_shaft_never_widens_it() {
    // Gas at a low speed: the harmonics that matter stay below the backward critical speed, beyond
    // which part of the load is answered the other way.
    for (gas, inertia, rpm) in [(1.0, 0.0, 2500.0), (0.0, 1.0, 7000.0)] {
        for longer in [true, false] {
            let mut before = f64::INFINITY;
            for factor in [1.0, 1.08, 1.16, 1.25] {
                let by = if longer { [factor, 1.0] } else { [1.0, factor] };
                let model = changed(engine(2, 160.0, 127.0), by[0], by[1]);
                let engine = Engine::new(model).unwrap();
                let gap = with(&engine, running(rpm, 0.0), gas, inertia);
                assert!(gap <= before + SETTLED_M, "{rpm} {longer} {factor}: {gap} after {before}");
                before = gap;
            }
        }
    }
}

#[test]
fn gas_and_inertia_together_may_oppose_each_other() {
    let mut model = engine(2, 160.0, 127.0);
    // Without counterweights inertia bends the shaft as much as gas does.
    model.shaft.unbalances.clear();
    let engine = Engine::new(model).unwrap();
    let opposed: Vec<f64> = [4000.0, 6000.0, 8000.0]
        .into_iter()
        .filter(|rpm| {
            let at = running(*rpm, 0.0);
            with(&engine, at, 1.0, 1.0) > with(&engine, at, 1.0, 0.0) + SETTLED_M
        })
        .collect();
    assert!(!opposed.is_empty(), "nowhere");
}

#[test]
fn clearance_alone_does_not_help_the_tip_at_worst_float() {
    // The lands hold the rotor: with more room it leans further, and its tips come nearer.
    let mut before = f64::INFINITY;
    for clearance_um in [70.0, 90.0, 110.0, 130.0] {
        let engine = Engine::new(engine(2, clearance_um, 127.0)).unwrap();
        let point = engine.point(running(9800.0, 1.2)).unwrap();
        let gap = least_m(&point);
        assert!(gap <= before + SETTLED_M, "{clearance_um}: {gap} after {before}");
        before = gap;
    }
    // The step does.
    let gap = |step_um: f64| {
        least_m(
            &Engine::new(engine(2, 110.0, step_um)).unwrap().point(running(9800.0, 1.2)).unwrap(),
        )
    };
    assert!((gap(147.0) - gap(127.0) - 20e-6).abs() < 1e-7);
}

#[test]
fn a_rotor_faced_flat_touches_at_its_tips_first_and_one_with_a_full_step_on_its_land() {
    for (step_um, at_tips) in [(0.0, true), (127.0, false)] {
        let engine = Engine::new(engine(2, 110.0, step_um)).unwrap();
        let point = engine.point(running(9800.0, 1.2)).unwrap();
        for gaps in &point.poses.real().gaps {
            assert_eq!(gaps.tip_force_n > 0.0, at_tips, "{gaps:?}");
            assert_eq!(gaps.least().unwrap().2.worst_float_m < 0.0, at_tips);
            assert!(gaps.land_force_n > 0.0);
        }
        assert!(point.poses.real().cycle.pushes.iter().all(|push| push.force_n >= 0.0));
    }
}

#[test]
fn the_budget_adds_up_to_the_gap_that_is_left() {
    let engine = Engine::new(engine(2, 110.0, 127.0)).unwrap();
    for boost in [0.0, 1.0] {
        let point = engine.point(running(9800.0, boost)).unwrap();
        for index in 0..2 {
            let budget = engine.budget(&point, index).unwrap().unwrap();
            let (_, _, least) = point.poses.real().gaps[index].least().unwrap();
            let last = budget.causes.last().unwrap().1;
            assert!((last.worst_float_m - least.worst_float_m).abs() < 2e-8, "{budget:?}");
            assert!((budget.start.worst_float_m - 127e-6).abs() < 1e-8);
            // The lands let the tip no nearer than this, whatever else happens.
            assert!(last.worst_float_m > 127e-6 - 0.63 * 110e-6);
        }
    }
}

#[test]
fn one_two_three_and_four_rotors_run() {
    for rotors in 1..=4 {
        let engine = Engine::new(engine(rotors, 110.0, 127.0)).unwrap();
        let point = engine.point(running(7000.0, 0.4)).unwrap();
        assert_eq!(point.poses.real().gaps.len(), rotors);
        let criticals = engine.critical_speeds(&point.loads).unwrap();
        assert!(criticals.len() >= 4 && criticals[0].omega_rad_s > 500.0);
        for gaps in &point.poses.real().gaps {
            let lean = gaps.largest_lean_rad.0;
            assert!(lean > 1e-4 && lean < 2e-3, "{rotors}: {lean}");
        }
    }
}
