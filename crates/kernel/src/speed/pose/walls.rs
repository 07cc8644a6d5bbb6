//! Walls and bearing edges as rows of the pose's quadratic program.

use super::motion::{MovingRotor, Slope};
use super::quadratic::{Row, Rows};
use crate::room::{ContactPoint, FloatRange};
use std::f64::consts::TAU;

/// Directions in which the edge of a bearing is looked at.
const EDGE_DIRECTIONS: usize = 360;

/// Where the edges of a bearing touch their journal: with relative slope `r`, half length `L/2`,
/// clearance `c` and eccentricity `e` of the middle, at `|e ± r L/2| = c`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edges {
    /// `2c/L`.
    pub reach_rad: f64,
    /// `2e/L`, of the journal from the bearing.
    pub offset: Slope,
}

impl Edges {
    /// By how much a relative slope is beyond an edge; negative: neither touches.
    fn over_rad(&self, relative: Slope) -> f64 {
        let [x, y] = self.offset;
        let ahead = (x + relative[0]).hypot(y + relative[1]);
        let behind = (x - relative[0]).hypot(y - relative[1]);
        ahead.max(behind) - self.reach_rad
    }
}

/// Rows of all walls and edges at one place.
pub(super) struct Walls<'a, 'b> {
    pub(super) rotors: &'a [MovingRotor<'b>],
    pub(super) place: usize,
}

/// Numbers of rows: rotor, then whether it is an edge, then side, then point.
pub(super) const ROTOR_ID: u64 = 1 << 32;
pub(super) const EDGE_ID: u64 = 1 << 31;
pub(super) const SIDE_ID: u64 = 1 << 24;

impl Walls<'_, '_> {
    fn pose(&self, rotor: usize, x: &[f64]) -> (Slope, Slope, f64) {
        let n = self.rotors.len();
        let lean = [x[2 * rotor], x[2 * rotor + 1]];
        let journal = [x[2 * (n + rotor)], x[2 * (n + rotor) + 1]];
        (lean, journal, x[4 * n + rotor])
    }

    pub(super) fn own_place(&self, rotor: usize) -> usize {
        self.place + self.rotors[rotor].ahead
    }

    fn wall_row(&self, rotor: usize, contact: &ContactPoint) -> Row {
        let n = self.rotors.len();
        let sign = if contact.side == 0 { 1.0 } else { -1.0 };
        let [x, y] = contact.from_centre_m;
        Row {
            id: rotor as u64 * ROTOR_ID + contact.side as u64 * SIDE_ID + contact.point as u64,
            index: [4 * n + rotor, 2 * rotor, 2 * rotor + 1, 2 * rotor],
            value: [sign, -sign * x, -sign * y, 0.0],
            right: contact.upright_m,
        }
    }

    /// Rows of the two edges nearest to where a relative slope takes them.
    fn edge_rows(&self, rotor: usize, relative: Slope) -> [Option<Row>; 2] {
        let n = self.rotors.len();
        let film = &self.rotors[rotor].film;
        let Some(edges) = film[self.place % film.len()].edges else { return [None; 2] };
        // `|o + r| ≤ reach` and `|o − r| ≤ reach`, the second as `|−o + r|`.
        [1.0, -1.0].map(|end: f64| {
            let offset = edges.offset.map(|part| end * part);
            let per_rad = EDGE_DIRECTIONS as f64 / TAU;
            let towards = [offset[0] + relative[0], offset[1] + relative[1]];
            let nearest = (towards[1].atan2(towards[0]) * per_rad).round();
            let (sin, cos) = (nearest / per_rad).sin_cos();
            let number = nearest.rem_euclid(EDGE_DIRECTIONS as f64) as u64;
            let end_id = if end > 0.0 { 0 } else { SIDE_ID };
            Some(Row {
                id: rotor as u64 * ROTOR_ID + EDGE_ID + end_id + number,
                index: [2 * rotor, 2 * rotor + 1, 2 * (n + rotor), 2 * (n + rotor) + 1],
                value: [cos, sin, -cos, -sin],
                right: edges.reach_rad - cos * offset[0] - sin * offset[1],
            })
        })
    }

    /// Whether the leans pass as they are, wherever the rotors float.
    pub(super) fn pass(&self, x: &[f64]) -> bool {
        self.rotors.iter().enumerate().all(|(index, rotor)| {
            let (lean, journal, _) = self.pose(index, x);
            let FloatRange { least_m, most_m } =
                rotor.room.float(rotor.sizes, self.own_place(index), lean);
            let relative = [lean[0] - journal[0], lean[1] - journal[1]];
            let edges = rotor.film[self.place % rotor.film.len()].edges;
            least_m <= most_m && edges.is_none_or(|edges| edges.over_rad(relative) <= 0.0)
        })
    }
}

impl Rows for Walls<'_, '_> {
    fn worst(&self, x: &[f64]) -> Option<Row> {
        let mut worst: Option<(f64, Row)> = None;
        let mut offer = |row: Row| {
            let over = row.dot(x) - row.right;
            if worst.is_none_or(|(most, _)| over > most) {
                worst = Some((over, row));
            }
        };
        for (index, rotor) in self.rotors.iter().enumerate() {
            let (lean, journal, float_m) = self.pose(index, x);
            if let Some(contact) =
                rotor.room.nearest(rotor.sizes, self.own_place(index), float_m, lean)
            {
                offer(self.wall_row(index, &contact));
            }
            let relative = [lean[0] - journal[0], lean[1] - journal[1]];
            self.edge_rows(index, relative).into_iter().flatten().for_each(&mut offer);
        }
        worst.map(|(_, row)| row)
    }
}

#[cfg(test)]
mod tests {
    use super::Edges;

    #[test]
    fn an_edge_touches_where_the_middle_and_half_the_slope_use_up_the_clearance() {
        let (clearance_m, half_m) = (45e-6, 0.03);
        for (ratio, angle) in [(0.0, 0.0), (0.4, 1.0), (0.95, 2.5), (0.999, 0.2), (0.7, 4.0_f64)] {
            let eccentricity_m = ratio * clearance_m;
            let edges =
                Edges { reach_rad: clearance_m / half_m, offset: [eccentricity_m / half_m, 0.0] };
            // By halving: the slope at which an end of the journal meets the bearing.
            let (mut low, mut high) = (0.0, 2.0 * edges.reach_rad);
            for _ in 0..60 {
                let slope = 0.5 * (low + high);
                let end = |side: f64| {
                    let along = side * half_m * slope;
                    (eccentricity_m + along * angle.cos()).hypot(along * angle.sin())
                };
                if end(1.0).max(end(-1.0)) < clearance_m { low = slope } else { high = slope }
            }
            let over = edges.over_rad([low * angle.cos(), low * angle.sin()]);
            assert!(over.abs() < 1e-12 * edges.reach_rad.max(1.0), "{ratio} {angle}: {over}");
            assert!(edges.over_rad([1.01 * low * angle.cos(), 1.01 * low * angle.sin()]) >= 0.0);
        }
    }
}
