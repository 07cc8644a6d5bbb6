//! The correction as it is done, and what it leaves.

use super::choice::{Pick, Picked, Reach, Wanted};
use super::counterweight::Ways;
use super::error::DrillingError;
use crate::balance::metal::Work;
use nalgebra::Complex;

/// One operation on a counterweight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Operation {
    /// Index of the place.
    pub place: usize,
    /// What is done.
    pub work: Work,
    /// Diameter of the drill, m.
    pub diameter_m: Option<f64>,
    /// Depth to full diameter, or of a flat, m: a whole number of steps.
    pub depth_m: Option<f64>,
    /// Depth to the drill's tip, m.
    pub tip_depth_m: Option<f64>,
    /// Mass taken off, kg; negative where it is put on.
    pub taken_off_kg: f64,
    /// Unbalance that it removes, kg m: what was there less what is left.
    pub removes_kg_m: Complex<f64>,
    /// How far the centre of that mass lies below the face that is drilled, m.
    pub below_face_m: Option<f64>,
}

/// The fewest operations, or those that come nearest.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Whether the permitted residual is reached.
    pub reach: Reach,
    /// What is done, in the order of the places. Nothing where nothing needs doing.
    pub operations: Vec<Operation>,
    /// Unbalance that is left, kg m.
    pub left_kg_m: Complex<f64>,
    /// The same as it was chosen.
    pub picked: Picked,
}

impl Ways {
    /// The fewest operations at whole steps of depth that leave no more than is permitted; of these,
    /// those described at [`super::Choices::fewest`].
    ///
    /// # Errors
    /// As [`super::Choices::fewest`].
    pub fn correct(&self, wanted: &Wanted) -> Result<Correction, DrillingError> {
        let picked = self.choices().fewest(wanted)?;
        let operations: Vec<Operation> =
            picked.picks.iter().map(|pick| self.operation(pick)).collect();
        let removed: Complex<f64> = operations.iter().map(|done| done.removes_kg_m).sum();
        let left_kg_m = wanted.unbalance_kg_m - removed;
        Ok(Correction { reach: picked.reach, operations, left_kg_m, picked })
    }

    fn operation(&self, pick: &Pick) -> Operation {
        let way = &self.ways[pick.choice];
        let work = way.work;
        let at_m = self.choices().depth_m(pick.steps);
        let depth_m = pick.steps.map(|_| at_m);
        let sign = if work.is_put_on() { -1.0 } else { 1.0 };
        let drill = work.drill();
        Operation {
            place: way.place,
            work,
            diameter_m: drill.map(|drill| drill.diameter_m()),
            depth_m,
            tip_depth_m: drill.map(|drill| at_m + drill.point_m()),
            taken_off_kg: sign * work.mass_kg(at_m),
            removes_kg_m: Complex::from_polar(
                sign * work.amount_kg_m(at_m),
                self.angles_rad[way.place],
            ),
            below_face_m: work.below_face_m(at_m),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::counterweight::{Counterweight, How, LeftOut, Place, Unfit};
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::TAU;

    fn counterweight(places: Vec<Place>) -> Counterweight {
        Counterweight {
            density_kg_m3: 7850.0,
            drills_m: vec![6e-3, 10e-3, 14e-3],
            point_angle_rad: 118f64.to_radians(),
            least_depth_m: 2e-3,
            depth_step_m: 0.25e-3,
            between_m: 2e-3,
            to_edge_m: 3e-3,
            slug_kg_m3: Some(17_500.0),
            places,
        }
    }

    /// Places of all kinds, two of each round the shaft's quarters.
    fn mixed() -> Vec<Place> {
        let (deepest_m, edge_m) = (18e-3, Some(11e-3));
        let kinds = [
            How::FaceHole { deepest_m, edge_m },
            How::RimHole { deepest_m, edge_m },
            How::Slug { deepest_m, edge_m },
            How::Flat { deepest_m: 3e-3, width_m: 20e-3 },
            How::Masses { masses_kg: vec![0.001, 0.002, 0.005] },
        ];
        (0..20)
            .map(|k| Place {
                how: kinds[k % 5].clone(),
                angle_rad: TAU * k as f64 / 20.0,
                radius_m: if k % 5 % 2 == 0 { 60e-3 } else { 80e-3 },
            })
            .collect()
    }

    fn wanted(amount_kg_m: f64, angle_rad: f64, permitted_kg_m: f64) -> Wanted {
        Wanted {
            unbalance_kg_m: Complex::from_polar(amount_kg_m, angle_rad),
            permitted_kg_m,
            most_operations: 5,
        }
    }

    proptest! {
        /// Depths are whole steps within their limits, what is left is permitted and is what was
        /// chosen, whatever was done.
        #[test]
        fn whole_depths_leave_what_is_permitted(
            amount in 0.0..6e-3f64, angle in 0.0..TAU, permitted in 15e-6..80e-6f64,
        ) {
            let ways = counterweight(mixed()).ways().unwrap();
            let found = ways.correct(&wanted(amount, angle, permitted)).unwrap();
            let left = found.left_kg_m.norm();
            prop_assert!((left - found.picked.residual_kg_m).abs() < 1e-15, "{found:?}");
            prop_assert!(found.reach == Reach::Nearest || left <= permitted * (1.0 + 1e-9));
            for (done, pick) in found.operations.iter().zip(&found.picked.picks) {
                let way = ways.all()[pick.choice];
                prop_assert_eq!(way.place, done.place);
                if let (Some(depth_m), Some((least_m, most_m))) = (done.depth_m, way.depths_m) {
                    let steps = depth_m / 0.25e-3;
                    prop_assert!((steps - steps.round()).abs() < 1e-9);
                    prop_assert!((least_m..=most_m).contains(&depth_m));
                }
                prop_assert!(done.tip_depth_m.is_none_or(|tip| tip <= 18e-3 + 1e-12));
                let kg = done.taken_off_kg;
                prop_assert!((kg < 0.0) == done.work.is_put_on() && kg != 0.0);
            }
        }
    }

    #[test]
    fn one_hole_where_the_unbalance_is() {
        let place =
            |deg: f64, how: How| Place { how, angle_rad: deg.to_radians(), radius_m: 60e-3 };
        let hole = How::FaceHole { deepest_m: 18e-3, edge_m: None };
        let ways = counterweight(vec![place(0.0, hole.clone()), place(90.0, hole)]).ways().unwrap();
        let found = ways.correct(&wanted(400e-6, 90f64.to_radians(), 10e-6)).unwrap();
        assert_eq!((found.reach, found.operations.len()), (Reach::Within, 1));
        let done = found.operations[0];
        assert_eq!((done.place, done.diameter_m), (1, Some(10e-3)));
        // 400 g mm at 60 mm are 6.667 g: 10.8 mm of a 10 mm hole, less a third of its 3.0 mm point.
        assert!((done.depth_m.unwrap() - 9.75e-3).abs() < 1e-12, "{done:?}");
        assert!((done.taken_off_kg - 6.63e-3).abs() < 0.01e-3, "{done:?}");
        assert!(done.removes_kg_m.re.abs() < 1e-18 && done.removes_kg_m.im > 0.0);
        assert!((done.below_face_m.unwrap() - 5.4e-3).abs() < 0.01e-3, "{done:?}");
        // A mass goes to the light side instead.
        let mass = place(270.0, How::Masses { masses_kg: vec![400e-6 / 60e-3] });
        let found = counterweight(vec![mass]).ways().unwrap();
        let found = found.correct(&wanted(400e-6, 90f64.to_radians(), 10e-6)).unwrap();
        assert_eq!((found.reach, found.operations.len()), (Reach::Within, 1));
        assert!(found.left_kg_m.norm() < 1e-15 && found.operations[0].taken_off_kg < 0.0);
        assert_eq!((found.operations[0].depth_m, found.operations[0].below_face_m), (None, None));
    }

    #[test]
    fn nothing_is_done_where_nothing_is_wrong_and_the_nearest_is_no_correction() {
        let ways = counterweight(mixed()).ways().unwrap();
        let found = ways.correct(&wanted(20e-6, 1.0, 25e-6)).unwrap();
        assert_eq!((found.reach, found.operations.len()), (Reach::Within, 0));
        let far = ways.correct(&wanted(0.1, 1.0, 25e-6)).unwrap();
        assert_eq!((far.reach, far.operations.len()), (Reach::Nearest, 5));
        assert!(far.left_kg_m.norm() > 0.09);
        let none = counterweight(Vec::new()).ways().unwrap();
        let found = none.correct(&wanted(0.1, 1.0, 25e-6)).unwrap();
        assert_eq!((found.reach, found.operations.len()), (Reach::Nearest, 0));
        assert!((found.picked.residual_kg_m - 0.1).abs() < 1e-15);
    }

    #[test]
    fn drills_that_do_not_fit_are_left_out_by_name() {
        let face = |deepest_m, edge_m| Place {
            how: How::FaceHole { deepest_m, edge_m },
            angle_rad: 0.0,
            radius_m: 60e-3,
        };
        let narrow = Place {
            how: How::RimHole { deepest_m: 20e-3, edge_m: None },
            angle_rad: 1.0,
            radius_m: 6e-3,
        };
        let ways = counterweight(vec![face(6e-3, None), face(20e-3, Some(8.1e-3)), narrow]);
        let ways = ways.ways().unwrap();
        let left = |place, mm: f64, why| LeftOut { place, diameter_m: Some(mm * 1e-3), why };
        assert_eq!(
            ways.left_out(),
            [
                // A 14 mm point is 4.2 mm high: 1.8 mm are left of 6 mm.
                left(0, 14.0, Unfit::TooShallow),
                left(1, 14.0, Unfit::NearEdge),
                left(2, 14.0, Unfit::WiderThanRim),
            ]
        );
        // The 10 mm drill cuts all round from 2.7 mm on, and its 3.0 mm point ends at the axis.
        let (least_m, most_m) = ways.all().last().unwrap().depths_m.unwrap();
        assert!((least_m - 2.75e-3).abs() < 1e-12 && (most_m - 2.75e-3).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_counterweight_is_refused_by_name() {
        let said = |change: &dyn Fn(&mut Counterweight)| {
            let mut given = counterweight(mixed());
            change(&mut given);
            given.ways().unwrap_err().to_string()
        };
        assert_eq!(
            said(&|c| c.places[3].radius_m = 1e-3),
            "place 4: the radius is 1 mm; it lies between 5 and 500 mm"
        );
        assert_eq!(
            said(&|c| c.slug_kg_m3 = None),
            "place 3: a slug of 0 kg/m3 puts nothing on in metal of 7850 kg/m3; give slugs a \
             greater density"
        );
        assert!(said(&|c| c.depth_step_m = f64::NAN).starts_with("the step of depths is NaN mm"));
        assert!(said(&|c| c.drills_m[1] = 0.0).starts_with("the diameter of a drill is 0 mm"));
        let ways = counterweight(mixed()).ways().unwrap();
        assert!(ways.correct(&wanted(f64::NAN, 0.0, 1e-5)).is_err());
        assert!(ways.correct(&wanted(1e-3, 0.0, 0.0)).is_err());
    }
}
