//! One beam element: stiffness, mass and gyroscopic matrix of a short piece of a stretch.
//!
//! Unknowns in one plane: deflection and slope at the front end, deflection and slope at the
//! rear end. The slope is the turn of the section, what a moment works on; the axis itself
//! leans by the shear angle more, which jumps under a point load. Both planes have the same
//! matrices because slopes, not turns about axes, are the unknowns.
//!
//! The element of [NELSON] for Timoshenko's beam: deflection a cubic, slope a parabola, linked so
//! that the homogeneous static equations hold exactly. Loads at the ends are therefore carried
//! without any error of discretisation. With `Φ = 12 E I / (κ G A l²)`, `ξ = z / l`:
//!
//! - deflection: `(1 − 3ξ² + 2ξ³ + Φ(1 − ξ)) / (1 + Φ)`, `l (ξ − 2ξ² + ξ³ + Φ(ξ − ξ²)/2) / (1 + Φ)`
//!   and their mirror images,
//! - slope: `6(ξ² − ξ) / (l (1 + Φ))`, `(1 − 4ξ + 3ξ² + Φ(1 − ξ)) / (1 + Φ)` and theirs.
//!
//! Mass is `∫ ρA N Nᵀ + ∫ ρI S Sᵀ`; the gyroscopic matrix `∫ 2ρI S Sᵀ`, as the polar inertia of a
//! slice is twice its diametral one. Products have degree six at most, so that Gauss–Legendre
//! with four points is exact.

use super::stretch::Stretch;
use super::theory::Theory;

/// Unknowns of an element in one plane.
pub(super) const UNKNOWNS: usize = 4;

pub(super) type Matrix = [[f64; UNKNOWNS]; UNKNOWNS];

/// Places and weights of Gauss–Legendre with four points on −1..1 [AS] table 25.4.
const GAUSS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    (-0.339_981_043_584_856_26, 0.652_145_154_862_546_2),
    (0.339_981_043_584_856_26, 0.652_145_154_862_546_2),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];

/// A piece of a stretch between two neighbouring nodes.
#[derive(Debug, Clone)]
pub(super) struct Element {
    /// Number of the stretch that it is cut from.
    pub(super) stretch: usize,
    pub(super) stiffness: Matrix,
    pub(super) mass: Matrix,
    /// Symmetric: in the complex coordinate `u_x + i u_y` it acts as `−iω` times this.
    pub(super) gyroscopic: Matrix,
}

impl Element {
    pub(super) fn new(stretch: usize, section: &Stretch, length_m: f64, theory: Theory) -> Self {
        let bending = section.young_pa * section.second_moment_m4();
        let shear = section.shear_coefficient() * section.shear_pa() * section.area_m2();
        let phi =
            if theory.shears() { 12.0 * bending / (shear * length_m * length_m) } else { 0.0 };
        let per_length = section.density_kg_m3 * section.area_m2();
        let turning =
            if theory.turns() { section.density_kg_m3 * section.second_moment_m4() } else { 0.0 };
        let mut mass = [[0.0; UNKNOWNS]; UNKNOWNS];
        let mut gyroscopic = [[0.0; UNKNOWNS]; UNKNOWNS];
        for (place, weight) in GAUSS {
            let (n, s) = shapes(0.5 * (1.0 + place), length_m, phi);
            let weight = 0.5 * weight * length_m;
            for i in 0..UNKNOWNS {
                for j in 0..UNKNOWNS {
                    let slice = weight * turning * s[i] * s[j];
                    mass[i][j] += weight * per_length * n[i] * n[j] + slice;
                    gyroscopic[i][j] += 2.0 * slice;
                }
            }
        }
        Self { stretch, stiffness: stiffness(bending, length_m, phi), mass, gyroscopic }
    }

    /// Forces and moments that the rest exerts on the ends, from the ends' motion `x`, and that
    /// motion weighted with `n² ω²` and `n ω²` harmonic by harmonic.
    pub(super) fn end_forces<T>(&self, x: [T; 4], n2: [T; 4], n1: [T; 4]) -> [T; 4]
    where
        T: Copy + Default + std::ops::Mul<f64, Output = T> + std::ops::AddAssign,
    {
        std::array::from_fn(|i| {
            let mut sum = T::default();
            for j in 0..UNKNOWNS {
                sum += x[j] * self.stiffness[i][j];
                sum += n2[j] * -self.mass[i][j];
                sum += n1[j] * self.gyroscopic[i][j];
            }
            sum
        })
    }
}

/// Deflection and slope at `ξ` for each unknown set to one.
fn shapes(xi: f64, l: f64, phi: f64) -> ([f64; 4], [f64; 4]) {
    let (x2, x3, whole) = (xi * xi, xi * xi * xi, 1.0 + phi);
    let bump = 6.0 * (x2 - xi) / (l * whole);
    (
        [
            (1.0 - 3.0 * x2 + 2.0 * x3 + phi * (1.0 - xi)) / whole,
            l * (xi - 2.0 * x2 + x3 + 0.5 * phi * (xi - x2)) / whole,
            (3.0 * x2 - 2.0 * x3 + phi * xi) / whole,
            l * (x3 - x2 + 0.5 * phi * (x2 - xi)) / whole,
        ],
        [
            bump,
            (1.0 - 4.0 * xi + 3.0 * x2 + phi * (1.0 - xi)) / whole,
            -bump,
            (3.0 * x2 - 2.0 * xi + phi * xi) / whole,
        ],
    )
}

fn stiffness(bending: f64, l: f64, phi: f64) -> Matrix {
    let f = bending / ((1.0 + phi) * l * l * l);
    let (a, b) = (12.0 * f, 6.0 * l * f);
    let (near, far) = ((4.0 + phi) * l * l * f, (2.0 - phi) * l * l * f);
    [[a, b, -a, b], [b, near, -b, far], [-a, -b, a, -b], [b, far, -b, near]]
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAR: Stretch = Stretch {
        length_m: 0.05,
        outer_m: 0.06,
        inner_m: 0.02,
        young_pa: 206e9,
        poisson: 0.3,
        density_kg_m3: 7850.0,
    };

    fn element() -> Element {
        Element::new(0, &BAR, BAR.length_m, Theory::Timoshenko)
    }

    /// Moving or turning the piece as a whole takes no force, and its inertia is that of a body.
    #[test]
    fn a_rigid_motion_strains_nothing_and_weighs_what_the_piece_weighs() {
        let (e, l) = (element(), BAR.length_m);
        let turned = [-l / 2.0, 1.0, l / 2.0, 1.0];
        let moved = [1.0, 0.0, 1.0, 0.0];
        let form = |m: &Matrix, x: [f64; 4], y: [f64; 4]| -> f64 {
            (0..4).map(|i| (0..4).map(|j| x[i] * m[i][j] * y[j]).sum::<f64>()).sum()
        };
        let scale = e.stiffness[0][0];
        for x in [moved, turned] {
            for i in 0..4 {
                let force: f64 = (0..4).map(|j| e.stiffness[i][j] * x[j]).sum();
                assert!(force.abs() < 1e-15 * scale);
            }
        }
        let mass = BAR.mass_kg();
        let diametral = mass * (0.06_f64.powi(2) + 0.02_f64.powi(2)) / 16.0 + mass * l * l / 12.0;
        let polar = mass * (0.06_f64.powi(2) + 0.02_f64.powi(2)) / 8.0;
        assert!((form(&e.mass, moved, moved) / mass - 1.0).abs() < 1e-13);
        assert!(form(&e.mass, moved, turned).abs() < 1e-15);
        assert!((form(&e.mass, turned, turned) / diametral - 1.0).abs() < 1e-13);
        assert!((form(&e.gyroscopic, turned, turned) / polar - 1.0).abs() < 1e-13);
    }

    /// The stiffness from its definition, `∫ EI ψ'² + κGA (u' − ψ)²`, with slopes of the shapes
    /// taken numerically.
    #[test]
    fn stiffness_is_the_strain_energy_of_the_shapes() {
        let e = element();
        let l = BAR.length_m;
        let bending = BAR.young_pa * BAR.second_moment_m4();
        let shear = BAR.shear_coefficient() * BAR.shear_pa() * BAR.area_m2();
        let phi = 12.0 * bending / (shear * l * l);
        let step = 1e-4;
        for i in 0..4 {
            for j in 0..4 {
                let mut sum = 0.0;
                for (place, weight) in GAUSS {
                    let xi = 0.5 * (1.0 + place);
                    let (_, s) = shapes(xi, l, phi);
                    let (up, down) = (shapes(xi + step, l, phi), shapes(xi - step, l, phi));
                    let slope =
                        |a: &[f64; 4], b: &[f64; 4], k: usize| (a[k] - b[k]) / (2.0 * step * l);
                    let bend = slope(&up.1, &down.1, i) * slope(&up.1, &down.1, j);
                    let lean =
                        (slope(&up.0, &down.0, i) - s[i]) * (slope(&up.0, &down.0, j) - s[j]);
                    sum += 0.5 * weight * l * (bending * bend + shear * lean);
                }
                let scale = (e.stiffness[i][i] * e.stiffness[j][j]).sqrt();
                assert!((sum - e.stiffness[i][j]).abs() < 1e-6 * scale, "{i} {j}");
            }
        }
    }
}
