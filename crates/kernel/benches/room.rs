//! How long the room of a rotor takes: four states round the orbit, both faces, tips and outline.
//!
//! `cargo bench -p kernel --bench room`

#![expect(clippy::unwrap_used, reason = "a bench that cannot run is to stop")]

use divan::Bencher;
use kernel::geometry::{Looks, OutlinePoint};
use kernel::heat::ASSUMED;
use kernel::readings::{FaceHeights, Heights};
use kernel::room::{
    ORBIT_PLACES, Opening, Outside, RING_POINTS, Room, RoomModel, StepNeed, TrackWear, Wall,
    Widths, step_needed_hot,
};
use kernel::units::{Angle, Expansion, Length};

fn main() {
    divan::main();
}

fn face(land_um: [f64; 3], tip_um: [f64; 3]) -> FaceHeights {
    let at = |um: f64| Length::mm(39.9) + Length::um(um);
    FaceHeights { land: land_um.map(at), tip: tip_um.map(at) }
}

/// Uneven faces, worn walls, the three tips and twelve points of the flanks.
fn model(front: Wall) -> RoomModel {
    let tip_radius = Length::mm(99.0);
    let mut outline = RoomModel::tips_alone(tip_radius);
    outline.extend([15.0, 35.0, 60.0, 85.0].into_iter().flat_map(|off| {
        [0.0, 120.0, 240.0].map(|tip| OutlinePoint {
            azimuth: Angle::deg(-tip - off),
            radius: Length::mm(99.0 - 22.0 * (off * 1.5_f64).to_radians().sin()),
        })
    }));
    RoomModel {
        heights: Heights {
            gear: face([0.0, 4.0, -3.0], [-127.0, -118.0, -131.0]),
            plain: face([1.0, -5.0, 2.0], [-122.0, -133.0, -125.0]),
        },
        gear_face_looks: Looks::Rear,
        land_radius: Length::mm(61.0),
        tip_radius,
        reading_radius: None,
        outside: Outside::Step,
        outline,
        generating_radius: Length::mm(101.5),
        eccentricity: Length::mm(14.5),
        parallel_shift: Length::mm(2.5),
        width: Widths { least: Length::mm(80.006), greatest: Length::mm(80.014) },
        front,
        rear: Wall { land_wear: Length::um(12.0), tip_wear: Length::um(3.0), ..Wall::default() },
        rotor_expansion: Expansion::per_k(11.0e-6),
        housing_expansion: Expansion::per_k(21.5e-6),
        states: ASSUMED,
        orbit_places: ORBIT_PLACES,
        ring_points: RING_POINTS,
    }
}

fn ported() -> Wall {
    Wall {
        openings: vec![Opening {
            radius_from: Length::mm(62.0),
            radius_to: Length::mm(92.0),
            angle_from: Angle::deg(150.0),
            angle_to: Angle::deg(195.0),
        }],
        ..Wall::default()
    }
}

#[divan::bench]
fn whole_walls(bencher: Bencher<'_, '_>) {
    let room = Room::new(model(Wall::default())).unwrap();
    bencher.bench(|| room.solve().unwrap());
}

#[divan::bench]
fn an_opening_under_the_land(bencher: Bencher<'_, '_>) {
    let room = Room::new(model(ported())).unwrap();
    bencher.bench(|| room.solve().unwrap());
}

#[divan::bench]
fn taking_the_model(bencher: Bencher<'_, '_>) {
    let model = model(Wall::default());
    bencher.bench(|| Room::new(model.clone()).unwrap());
}

#[divan::bench]
fn tilt_in_24_directions(bencher: Bencher<'_, '_>) {
    let room = Room::new(model(Wall::default())).unwrap();
    bencher.bench(|| room.tilt_limits(2, 0, 24).unwrap());
}

#[divan::bench]
fn step_needed_in_closed_form(bencher: Bencher<'_, '_>) {
    let need = StepNeed {
        greatest_width: Length::mm(80.014),
        land_width: Length::mm(79.788),
        land_radius: Length::mm(61.0),
        tip_radius: Length::mm(99.0),
        front: TrackWear::default(),
        rear: TrackWear::default(),
        rotor_expansion: Expansion::per_k(11.0e-6),
        housing_expansion: Expansion::per_k(21.5e-6),
    };
    bencher.bench(|| step_needed_hot(divan::black_box(&need), &ASSUMED));
}
