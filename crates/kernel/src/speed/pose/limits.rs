//! The motion in the limits in which its answer is known.

use super::super::spin::RotorInertia;
use super::motion::{Cycle, Motion, MovingRotor, Slope, TiltFilm};
use super::walls::Edges;
use crate::heat::ThermalState;
use crate::room::{HotSizes, MovingRoom, closed_forms::model};
use crate::units::Length;
use std::f64::consts::TAU;

const OMEGA: f64 = 1000.0;
const TURN: usize = 360;

fn room(clearance_um: f64, step_um: f64) -> (MovingRoom, HotSizes) {
    let mut model = model(Length::um(clearance_um), Length::um(step_um));
    model.orbit_places = 3 * TURN;
    model.ring_points = 720;
    let room = MovingRoom::new(model).unwrap();
    let sizes = room.sizes_of_model(ThermalState::COLD);
    (room, sizes)
}

fn film(stiffness: f64, damping: f64) -> [TiltFilm; 1] {
    [TiltFilm {
        stiffness: [[stiffness, 0.0], [0.0, stiffness]],
        damping: [[damping, 0.0], [0.0, damping]],
        edges: None,
    }]
}

/// `amplitude e^{i n θ}` over one turn.
fn turning(amplitude: f64, n: f64) -> Vec<Slope> {
    (0..TURN)
        .map(|i| {
            let angle = n * TAU * i as f64 / TURN as f64;
            [amplitude * angle.cos(), amplitude * angle.sin()]
        })
        .collect()
}

const STILL: [Slope; 1] = [[0.0; 2]];
/// As good as none.
const RIGID: [f64; 4] = [1e-14, 0.0, 0.0, 1e-14];

struct One<'a> {
    room: &'a (MovingRoom, HotSizes),
    film: &'a [TiltFilm],
    moment: &'a [Slope],
    slope: &'a [Slope],
    inertia: [f64; 2],
}

impl<'a> One<'a> {
    fn rotor(&self) -> MovingRotor<'a> {
        MovingRotor {
            room: &self.room.0,
            sizes: &self.room.1,
            ahead: 0,
            polar_kg_m2: self.inertia[0],
            diametral_kg_m2: self.inertia[1],
            moment_n_m: self.moment,
            film: self.film,
            free_slope: self.slope,
        }
    }
}

fn motion<'a>(rotors: Vec<MovingRotor<'a>>, flexibility: &'a [f64]) -> Motion<'a> {
    Motion { rotors, omega_rad_s: OMEGA, flexibility, settled_rad: 5e-7 }
}

/// The part of a rotor's lean that turns `n` times as fast as the shaft.
fn part(cycle: &Cycle, rotor: usize, n: f64) -> (f64, f64) {
    let poses = &cycle.rotors[rotor];
    let mut sum = [0.0; 2];
    for (i, pose) in poses.iter().enumerate() {
        let (sin, cos) = (n * TAU * i as f64 / TURN as f64).sin_cos();
        sum[0] += pose.lean[0] * cos + pose.lean[1] * sin;
        sum[1] += pose.lean[1] * cos - pose.lean[0] * sin;
    }
    (sum[0] / poses.len() as f64, sum[1] / poses.len() as f64)
}

#[test]
fn on_a_rigid_film_the_rotor_leans_as_its_journal() {
    let room = room(400.0, 127.0);
    let slope = turning(0.8e-3, 1.0);
    let film = film(1e12, 0.0);
    let one =
        One { room: &room, film: &film, moment: &STILL, slope: &slope, inertia: [0.02, 0.01] };
    let motion = motion(vec![one.rotor()], &RIGID);
    let cycle = motion.run().unwrap();
    for (place, pose) in cycle.rotors[0].iter().enumerate() {
        let [x, y] = slope[place % TURN];
        assert!((pose.lean[0] - x).abs() < 1e-10 && (pose.lean[1] - y).abs() < 1e-10);
    }
    assert!(cycle.pushes.is_empty());
}

#[test]
fn tilt_inertia_increases_a_lean_that_turns_with_the_shaft() {
    let room = room(800.0, 127.0);
    let (polar, diametral, stiffness) = (0.021, 0.012, 4e5);
    for n in [1.0_f64, -1.0, 2.0, -3.0] {
        let slope = turning(0.5e-3, n);
        let film = film(stiffness, 60.0);
        let one = One {
            room: &room,
            film: &film,
            moment: &STILL,
            slope: &slope,
            inertia: [polar, diametral],
        };
        let cycle = motion(vec![one.rotor()], &RIGID).run_free().unwrap();
        let (re, im) = part(&cycle, 0, n);
        // (K + iωnC) s = (K + iωnC − (n² I_d − n I_p/3) ω²) t.
        let inertia = RotorInertia { mass_kg: 4.3, polar_kg_m2: polar, diametral_kg_m2: diametral };
        let effective = inertia.tilt_n_m_per_rad(n, OMEGA);
        let c = 60.0 * n * OMEGA;
        let (a, b) = (stiffness - effective, c);
        let norm = a * a + b * b;
        let want =
            (0.5e-3 * (stiffness * a + c * b) / norm, 0.5e-3 * (c * a - stiffness * b) / norm);
        // Implicit Euler at 1°: first order in nΔθ.
        let off = (re - want.0).hypot(im - want.1);
        assert!(off < 0.01 * n.abs() * 0.5e-3 * TAU, "{n}: {re} {im} {want:?}");
        if n == 1.0 {
            assert!(re > 0.5e-3 && effective > 0.0, "outwards");
        }
    }
}

#[test]
fn a_moment_bends_the_shaft_and_tilts_the_other_rotor() {
    let room = room(800.0, 127.0);
    let films = film(5e5, 500.0);
    let moment = [[200.0, 0.0]];
    let inertia = [0.02, 0.012];
    let first = One { room: &room, film: &films, moment: &moment, slope: &STILL, inertia };
    let second = One { room: &room, film: &films, moment: &STILL, slope: &STILL, inertia };
    let (own, other) = (1.2e-6, -0.5e-6);
    #[rustfmt::skip]
    let flexibility = [
        own, 0.0, other, 0.0,
        0.0, own, 0.0, other,
        other, 0.0, own, 0.0,
        0.0, other, 0.0, own,
    ];
    let cycle = motion(vec![first.rotor(), second.rotor()], &flexibility).run().unwrap();
    let lean = |rotor: usize| cycle.rotors[rotor][700].lean;
    assert!((lean(0)[0] - 200.0 * (1.0 / 5e5 + own)).abs() < 1e-10);
    assert!((lean(1)[0] - 200.0 * other).abs() < 1e-10);
    assert!(lean(0)[1].abs() < 1e-12 && lean(1)[1].abs() < 1e-12);
}

#[test]
fn without_a_film_the_walls_alone_balance_the_moment() {
    let room = room(110.0, 127.0);
    let films = film(0.0, 0.0);
    let moment = [[150.0, 80.0]];
    let one =
        One { room: &room, film: &films, moment: &moment, slope: &STILL, inertia: [0.02, 0.012] };
    let mut motion = motion(vec![one.rotor()], &RIGID);
    // Nothing but the walls damps the lean's direction, which is a flat bottom.
    motion.settled_rad = 2e-6;
    let cycle = motion.run().unwrap();
    // Over a cycle inertia does nothing: what the walls do is the moment, with the other sign.
    let (mut force, mut against) = (0.0, [0.0; 2]);
    for push in &cycle.pushes {
        assert!(push.force_n >= 0.0);
        // A wall behind pushes to the front.
        let axial_n = if push.at.side == 0 { -push.force_n } else { push.force_n };
        force += axial_n / 1080.0;
        for (against, arm_m) in against.iter_mut().zip(push.at.from_centre_m) {
            *against -= axial_n * arm_m / 1080.0;
        }
    }
    // But for what centres the float, a newton or so.
    assert!(force.abs() < 2.0, "{force}");
    assert!((against[0] + 150.0).hypot(against[1] + 80.0) < 0.15, "{against:?}");
    let gaps = motion.gaps(&cycle);
    let land_m = room.0.model().land_radius.to_m();
    // The edge of the land is a polygon of 720: it lets a rotor lean by 1e-5 of that more, and
    // shakes what presses it from point to point.
    assert!((gaps[0].largest_lean_rad.0 - 110e-6 / land_m).abs() < 3e-8);
    let want_n = 2.0 * 170.0 / (2.0 * land_m);
    assert!((gaps[0].land_force_n / want_n - 1.0).abs() < 0.03, "{}", gaps[0].land_force_n);
    assert!(gaps[0].jammed_share > 0.999 && gaps[0].tip_force_n == 0.0);
    assert!(gaps[0].least_float_m.0.abs() < 1e-9);
}

#[test]
fn a_rotor_faced_flat_touches_at_its_tips_and_one_with_a_step_on_its_land() {
    for (step, tips) in [(0.0, true), (127.0, false)] {
        let room = room(110.0, step);
        let slope = turning(2.4e-3, 1.0);
        let films = film(5e5, 800.0);
        let inertia = [0.02, 0.012];
        let one = One { room: &room, film: &films, moment: &STILL, slope: &slope, inertia };
        let flexibility = [1e-6, 0.0, 0.0, 1e-6];
        let motion = motion(vec![one.rotor()], &flexibility);
        let cycle = motion.run().unwrap();
        let gaps = &motion.gaps(&cycle)[0];
        assert_eq!(gaps.tip_force_n > 100.0, tips, "{gaps:?}");
        // A rotor jams between a tip and the land across from it, or between its two lands.
        assert!(gaps.land_force_n > 100.0 && (gaps.jammed_share > 0.1) != tips, "{gaps:?}");
        assert!(cycle.pushes.iter().all(|push| push.force_n >= 0.0));
    }
}

#[test]
fn a_wall_that_holds_a_rotor_bends_the_shaft_back() {
    let room = room(110.0, 127.0);
    let slope = turning(2.4e-3, 1.0);
    let films = film(5e5, 800.0);
    let inertia = [0.02, 0.012];
    let one = One { room: &room, film: &films, moment: &STILL, slope: &slope, inertia };
    let mut forces = [0.0; 2];
    for (force, flexibility) in forces.iter_mut().zip([[1e-6, 0.0, 0.0, 1e-6], RIGID]) {
        let motion = motion(vec![one.rotor()], &flexibility);
        let cycle = motion.run().unwrap();
        *force = motion.gaps(&cycle)[0].land_force_n;
        // The journal gives way towards the rotor that is held.
        let held = cycle.pushes.iter().map(|push| push.place).max().unwrap();
        let journal = cycle.rotors[0][held].journal;
        let gave = 2.4e-3 - journal[0].hypot(journal[1]);
        assert!(if flexibility[0] > 1e-9 { gave > 1e-5 } else { gave.abs() < 1e-6 }, "{gave}");
    }
    assert!(forces[0] < 0.9 * forces[1], "{forces:?}");
}

#[test]
fn the_edge_of_a_bearing_holds_too() {
    let room = room(800.0, 127.0);
    let mut films = film(2e4, 10.0);
    films[0].edges = Some(Edges { reach_rad: 0.7e-3, offset: [0.0, -0.2e-3] });
    let moment = [[0.0, 100.0]];
    let inertia = [0.02, 0.012];
    let one = One { room: &room, film: &films, moment: &moment, slope: &STILL, inertia };
    let flexibility = [1e-6, 0.0, 0.0, 1e-6];
    let cycle = motion(vec![one.rotor()], &flexibility).run().unwrap();
    let pose = cycle.rotors[0][500];
    // The edge that goes with the slope has 0.9 mrad, the other one 0.5 mrad left. The film carries 2e4 · 0.5e-3 of the 100 N m, the edge the rest; the shaft feels all of it.
    assert!((pose.lean[1] - pose.journal[1] - 0.5e-3).abs() < 1e-9);
    assert!((pose.journal[1] - 100.0 * 1e-6).abs() < 1e-9);
    let edge = cycle.edges.iter().find(|edge| edge.0 == 500).unwrap();
    // What is left of the settling, times I_d/Δ².
    assert!((edge.2 - 90.0).abs() < 1e-3, "{edge:?}");
}
