//! The shaft without its supports: nodes, elements, and the assembled matrices.
//!
//! Assembled once; every speed, harmonic and stiffness of the supports reuses it. Unknown `2 k` is
//! the deflection of node `k`, `2 k + 1` its slope.

use super::element::Element;
use super::model::{SAME_PLACE_M, ShaftModel};
use super::theory::{LONGEST_ELEMENT, Mesh};
use nalgebra::{Complex, DMatrix};

/// Width of a row of the upper half: an unknown meets those of its own node and of the next one.
const UPPER: usize = 4;

/// A symmetric band matrix, upper half by rows.
#[derive(Debug, Clone)]
pub(super) struct Symmetric {
    rows: Vec<[f64; UPPER]>,
}

impl Symmetric {
    fn zeros(order: usize) -> Self {
        Self { rows: vec![[0.0; UPPER]; order] }
    }

    fn add(&mut self, row: usize, column: usize, value: f64) {
        if column >= row {
            self.rows[row][column - row] += value;
        }
    }

    /// Entry `step` places right of the diagonal.
    pub(super) fn right(&self, row: usize, step: usize) -> f64 {
        self.rows[row][step]
    }

    pub(super) fn dense(&self) -> DMatrix<f64> {
        let order = self.rows.len();
        DMatrix::from_fn(order, order, |i, j| {
            let (row, column) = (i.min(j), i.max(j));
            if column - row < UPPER { self.rows[row][column - row] } else { 0.0 }
        })
    }
}

/// The free shaft.
#[derive(Debug)]
pub(super) struct Beam {
    pub(super) model: ShaftModel,
    /// Places of the nodes, front to rear.
    pub(super) nodes_m: Vec<f64>,
    /// Element `k` lies between nodes `k` and `k + 1`.
    pub(super) elements: Vec<Element>,
    pub(super) stiffness: Symmetric,
    pub(super) mass: Symmetric,
    pub(super) gyroscopic: Symmetric,
    pub(super) support_nodes: Vec<usize>,
    pub(super) station_nodes: Vec<usize>,
    /// Node, and amount times direction in the shaft.
    pub(super) unbalances: Vec<(usize, Complex<f64>)>,
}

impl Beam {
    /// Of a model that has been checked.
    pub(super) fn new(model: ShaftModel) -> Self {
        let (nodes_m, stretch_of) = mesh(&model);
        let order = 2 * nodes_m.len();
        let mut stiffness = Symmetric::zeros(order);
        let mut mass = Symmetric::zeros(order);
        let mut gyroscopic = Symmetric::zeros(order);
        let mut elements = Vec::with_capacity(stretch_of.len());
        for (k, stretch) in stretch_of.into_iter().enumerate() {
            let length_m = nodes_m[k + 1] - nodes_m[k];
            let element = Element::new(stretch, &model.stretches[stretch], length_m, model.theory);
            for i in 0..4 {
                for j in 0..4 {
                    stiffness.add(2 * k + i, 2 * k + j, element.stiffness[i][j]);
                    mass.add(2 * k + i, 2 * k + j, element.mass[i][j]);
                    gyroscopic.add(2 * k + i, 2 * k + j, element.gyroscopic[i][j]);
                }
            }
            elements.push(element);
        }
        let node = |at_m: f64| nearest(&nodes_m, at_m);
        for disc in &model.discs {
            let k = 2 * node(disc.at_m);
            mass.add(k, k, disc.mass_kg);
            mass.add(k + 1, k + 1, disc.diametral_kg_m2);
            gyroscopic.add(k + 1, k + 1, disc.polar_kg_m2);
        }
        let unbalances = model
            .unbalances
            .iter()
            .map(|u| (node(u.at_m), Complex::from_polar(u.amount_kg_m, u.angle_rad)))
            .collect();
        let support_nodes = model.supports.iter().map(|support| node(support.at_m)).collect();
        let station_nodes = model.stations_m.iter().map(|at_m| node(*at_m)).collect();
        Self {
            model,
            nodes_m,
            elements,
            stiffness,
            mass,
            gyroscopic,
            support_nodes,
            station_nodes,
            unbalances,
        }
    }

    /// Number of unknowns in one plane.
    pub(super) fn order(&self) -> usize {
        2 * self.nodes_m.len()
    }

    /// Entries of a row of the upper half: to the slope of the next node, which the last has not.
    pub(super) fn reach(&self, row: usize) -> usize {
        (UPPER - row % 2).min(self.order() - row)
    }

    /// Entry of the dynamic stiffness of the free shaft, `K − n²ω² M + nω² G`, from the two
    /// factors `n²ω²` and `nω²`.
    pub(super) fn dynamic(&self, row: usize, step: usize, n2: f64, n1: f64) -> f64 {
        self.stiffness.right(row, step) - n2 * self.mass.right(row, step)
            + n1 * self.gyroscopic.right(row, step)
    }
}

fn nearest(nodes_m: &[f64], at_m: f64) -> usize {
    let after = nodes_m.partition_point(|node_m| *node_m < at_m).min(nodes_m.len() - 1);
    if after > 0 && at_m - nodes_m[after - 1] < nodes_m[after] - at_m { after - 1 } else { after }
}

/// Places of the nodes, and the stretch between each two.
fn mesh(model: &ShaftModel) -> (Vec<f64>, Vec<usize>) {
    let mut places: Vec<f64> = model
        .discs
        .iter()
        .map(|disc| disc.at_m)
        .chain(model.unbalances.iter().map(|unbalance| unbalance.at_m))
        .chain(model.supports.iter().map(|support| support.at_m))
        .chain(model.stations_m.iter().copied())
        .collect();
    places.sort_by(f64::total_cmp);
    let (mut nodes, mut stretch_of) = (vec![0.0], Vec::new());
    let mut start = 0.0;
    for (index, stretch) in model.stretches.iter().enumerate() {
        let end = start + stretch.length_m;
        let inner = places.iter().copied().filter(|p| *p > start && *p < end - SAME_PLACE_M);
        for place in inner.chain([end]).collect::<Vec<_>>() {
            let from = nodes[nodes.len() - 1];
            let length = place - from;
            if length <= SAME_PLACE_M && place < end {
                continue;
            }
            let pieces = match model.mesh {
                Mesh::Places => 1.0,
                Mesh::Fine => (length / (LONGEST_ELEMENT * stretch.outer_m)).ceil().max(1.0),
            };
            for piece in 1..=pieces as usize {
                nodes.push(from + length * (piece as f64 / pieces));
                stretch_of.push(index);
            }
        }
        start = end;
    }
    (nodes, stretch_of)
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn every_named_place_is_a_node_and_no_element_is_longer_than_allowed() {
        let beam = Beam::new(sample::two_rotor());
        let model = &beam.model;
        let mut edge = 0.0;
        let edges = model.stretches.iter().map(|stretch| {
            edge += stretch.length_m;
            edge
        });
        let named = model.discs.iter().map(|d| d.at_m);
        let named = named.chain(model.supports.iter().map(|s| s.at_m));
        let named = named.chain(model.unbalances.iter().map(|u| u.at_m));
        for place in named.chain(model.stations_m.iter().copied()).chain(edges).chain([0.0]) {
            let node = nearest(&beam.nodes_m, place);
            assert!((beam.nodes_m[node] - place).abs() < SAME_PLACE_M, "{place}");
        }
        for (k, element) in beam.elements.iter().enumerate() {
            let length = beam.nodes_m[k + 1] - beam.nodes_m[k];
            let outer = model.stretches[element.stretch].outer_m;
            assert!(length > SAME_PLACE_M && length <= LONGEST_ELEMENT * outer * 1.000_001);
        }
    }

    /// Moved as a whole the shaft weighs what its parts weigh.
    #[test]
    fn the_assembled_mass_is_that_of_the_parts() {
        let beam = Beam::new(sample::two_rotor());
        let parts: f64 = beam.model.stretches.iter().map(|s| s.mass_kg()).sum::<f64>()
            + beam.model.discs.iter().map(|d| d.mass_kg).sum::<f64>();
        let mass = beam.mass.dense();
        let moved = nalgebra::DVector::from_fn(beam.order(), |i, _| f64::from(i % 2 == 0));
        assert!(((mass * &moved).dot(&moved) / parts - 1.0).abs() < 1e-13);
    }

    #[test]
    fn places_a_rounding_apart_are_one_node() {
        let mut model = sample::two_rotor();
        let nodes = Beam::new(model.clone()).nodes_m.len();
        model.discs[0].at_m += 3e-10;
        model.stations_m[0] -= 3e-10;
        assert_eq!(Beam::new(model).nodes_m.len(), nodes);
    }
}
