//! Where a rotor rubs on its two walls.

use super::super::super::picture::origin;
use super::{Drawn, circumstances, speed};
use drawings::{Contact, Touch, Wall, WallPoint, WearMap};
use kernel::geometry::Bore;
use kernel::room::{SIDES, Touching};
use kernel::speed::pose::WearMark;
use kernel::units::{Angle, Length};

/// Marks of one kind nearer than this are drawn as one.
const MERGED_M: f64 = 1e-3;
/// Points of the bore.
const BORE_POINTS: u32 = 180;
/// Shaft angle between two points of the path of the tips, in degrees.
const PATH_DEG: usize = 9;

/// Both walls of a rotor with the names of their files' ends.
pub(super) fn wear_maps(rotor: Drawn<'_>) -> [(&'static str, WearMap); SIDES] {
    [("front", wear_map(rotor, Wall::Front)), ("rear", wear_map(rotor, Wall::Rear))]
}

fn wear_map(rotor: Drawn<'_>, wall: Wall) -> WearMap {
    let Drawn { report, plan, index, planned, at_speed } = rotor;
    let marks = &report.point.poses.real().wear[index];
    let inputs = &plan.inputs;
    let throw = inputs.trochoid.eccentricity();
    let bore = Bore::of(inputs.trochoid);
    let side = match wall {
        Wall::Rear => 0,
        Wall::Front => 1,
    };
    let mut notes = vec![circumstances(report)];
    if !marks.is_empty() {
        notes.push(
            "Wear work is force times way, before a coefficient of friction, which is not known."
                .to_owned(),
        );
    }
    WearMap {
        serial: at_speed.serial.clone(),
        origin: origin(plan, planned),
        assumed_shaft: report.assumed_shaft,
        speed: speed(report),
        wall,
        bore: (0..BORE_POINTS)
            .map(|number| {
                let point =
                    bore.point(Angle::deg(360.0 * f64::from(number) / f64::from(BORE_POINTS)));
                WallPoint { x: point.x, y: point.y }
            })
            .collect(),
        land_track: (
            (inputs.land_inner_radius - throw).max(Length::ZERO),
            inputs.face.land_radius() + throw,
        ),
        tip_paths: vec![tip_path(rotor)],
        contacts: contacts(marks, side),
        notes,
    }
}

/// The path that all three tips take.
fn tip_path(rotor: Drawn<'_>) -> Vec<WallPoint> {
    let room = &rotor.report.engine.model().rotors[rotor.index].room;
    let radius_m = rotor.plan.inputs.face.rotor_tip_radius().to_m();
    (0..room.places())
        .step_by(PATH_DEG)
        .map(|place| {
            let (centre, tip) = (room.centre_m(place), room.tip_direction(place, 0));
            WallPoint {
                x: Length::m(centre[0] + radius_m * tip[0]),
                y: Length::m(centre[1] + radius_m * tip[1]),
            }
        })
        .collect()
}

fn touch(touching: Touching) -> Touch {
    match touching {
        Touching::Land => Touch::Land,
        Touching::Tip(_) => Touch::Tip,
    }
}

/// Marks on one wall, each with its share of the work on both; what is near a larger mark of its
/// kind is one with it, at the place in the middle of their work.
fn contacts(marks: &[WearMark], side: usize) -> Vec<Contact> {
    let whole: f64 = marks.iter().map(|mark| mark.rubbed_n_m).sum();
    let mut here: Vec<&WearMark> =
        marks.iter().filter(|mark| mark.side == side && mark.rubbed_n_m > 0.0).collect();
    here.sort_by(|a, b| b.rubbed_n_m.total_cmp(&a.rubbed_n_m).then(a.place.cmp(&b.place)));
    let mut merged: Vec<Merged> = Vec::new();
    for mark in here {
        let part = touch(mark.touching);
        let near = |m: &&mut Merged| {
            let [x, y] = m.first_m;
            m.part == part && (mark.at_m[0] - x).hypot(mark.at_m[1] - y) < MERGED_M
        };
        match merged.iter_mut().find(near) {
            Some(m) => m.add(mark),
            None => {
                let mut m = Merged { part, first_m: mark.at_m, sum: [0.0; 2], work_n_m: 0.0 };
                m.add(mark);
                merged.push(m);
            }
        }
    }
    merged
        .iter()
        .map(|m| Contact {
            at: WallPoint {
                x: Length::m(m.sum[0] / m.work_n_m),
                y: Length::m(m.sum[1] / m.work_n_m),
            },
            part: m.part,
            share: m.work_n_m / whole,
        })
        .collect()
}

/// Marks drawn as one.
struct Merged {
    part: Touch,
    /// Where the largest of them is.
    first_m: [f64; 2],
    /// Their places times their work.
    sum: [f64; 2],
    work_n_m: f64,
}

impl Merged {
    fn add(&mut self, mark: &WearMark) {
        for (sum, at_m) in self.sum.iter_mut().zip(mark.at_m) {
            *sum += at_m * mark.rubbed_n_m;
        }
        self.work_n_m += mark.rubbed_n_m;
    }
}

#[cfg(test)]
mod tests {
    use super::contacts;
    use drawings::Touch;
    use kernel::room::Touching;
    use kernel::speed::pose::WearMark;

    #[test]
    fn near_marks_of_a_kind_are_one_and_no_work_is_lost() {
        let mark = |side: usize, touching: Touching, x_mm: f64, rubbed_n_m: f64| WearMark {
            side,
            touching,
            at_m: [x_mm * 1e-3, 0.02],
            place: 0,
            rubbed_n_m,
        };
        let marks = [
            mark(0, Touching::Land, 40.0, 1.0),
            mark(0, Touching::Land, 40.8, 3.0),
            mark(0, Touching::Tip(1), 40.7, 2.0),
            mark(0, Touching::Land, 42.0, 1.0),
            mark(0, Touching::Tip(2), 40.6, 0.0),
            mark(1, Touching::Land, 40.8, 3.0),
        ];
        let behind = contacts(&marks, 0);
        let found: Vec<_> =
            behind.iter().map(|c| (c.part, (c.at.x.to_mm() * 100.0).round(), c.share)).collect();
        assert_eq!(
            found,
            [(Touch::Land, 4060.0, 0.4), (Touch::Tip, 4070.0, 0.2), (Touch::Land, 4200.0, 0.1)]
        );
        let in_front = contacts(&marks, 1);
        assert_eq!(in_front.len(), 1);
        let shares: f64 = behind.iter().chain(&in_front).map(|c| c.share).sum();
        assert!((shares - 1.0).abs() < 1e-12);
    }
}
