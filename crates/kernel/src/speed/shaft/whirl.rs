//! Critical speeds and natural frequencies, forward and backward, without damping.
//!
//! A critical speed is one at which a whirl turns just with the shaft, forward (`n = 1`) or
//! backward (`n = −1`), so that it follows in one go from `K u = ω² (M ∓ G) u`, no map of
//! frequencies against speed being needed. Unbalance excites forward ones, and backward ones only
//! where supports are not isotropic.
//!
//! At a stated speed `K φ = λ² M φ − λω G φ`, positive `λ` forward. With Cholesky factors
//! `K = L Lᴴ`, `M = R Rᴴ` and `x = Lᴴ φ`, `y = λ Rᴴ φ` this is one Hermitian problem for `1 / λ`:
//!
//! `(1/λ) (x, y) = [[−ω L⁻¹ G L⁻ᴴ, L⁻¹ R], [Rᴴ L⁻ᴴ, 0]] (x, y)`.
//!
//! Both are in the inverse form, which keeps the low frequencies exact even beside a support a
//! million million times stiffer than the shaft; it needs a definite `K`, and asks for it.
//!
//! Of a support's stiffness the symmetric part counts: the antisymmetric part, as of an oil film,
//! stores no energy but feeds or takes it, which is damping's business. Where supports are not
//! isotropic both whirls meet ([`super::response`]) and `K` is Hermitian with the conjugate motion
//! as second half.

use super::error::ShaftError;
use super::shaft::Shaft;
use nalgebra::{Cholesky, Complex, ComplexField, DMatrix, SymmetricEigen};

/// Steps allowed to the eigenvalue iteration per unknown; it takes two or three.
const STEPS_PER_UNKNOWN: usize = 50;

/// Eigenvalues of the inverse form below this share of the largest are rounding, not frequencies.
const RESOLVED: f64 = 1e-13;

/// Sense of a whirl.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// With the shaft.
    Forward,
    /// Against it.
    Backward,
}

/// One whirl of the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whirl {
    /// Angular speed of the whirl; at a critical speed that of the shaft as well.
    pub omega_rad_s: f64,
    /// Its sense; where supports are not isotropic the sense of the greater part.
    pub sense: Sense,
    /// Share of kinetic energy that turns forward less the share that turns backward: 1 and −1
    /// with isotropic supports, near 0 for an almost straight swing.
    pub forwardness: f64,
}

impl Whirl {
    /// Revolutions per minute.
    #[must_use]
    pub fn rpm(&self) -> f64 {
        self.omega_rad_s * 30.0 / std::f64::consts::PI
    }

    fn new(omega_rad_s: f64, forwardness: f64) -> Self {
        let sense = if forwardness >= 0.0 { Sense::Forward } else { Sense::Backward };
        Self { omega_rad_s, sense, forwardness }
    }
}

impl Shaft {
    /// Critical speeds from the lowest up, as many as the mesh has: the first few are good.
    ///
    /// # Errors
    /// Supports whose stiffness is not definite; an eigenvalue iteration that does not settle.
    pub fn critical_speeds(&self) -> Result<Vec<Whirl>, ShaftError> {
        let (m, g) = (self.beam.mass.dense(), self.beam.gyroscopic.dense());
        let speed = |mu: f64| 1.0 / mu.sqrt();
        let mut found = Vec::new();
        if self.mixes() {
            let order = self.beam.order();
            let k = self.hermitian();
            let turning = beside(&(&m - &g), &(&m + &g));
            let weight = beside(&m, &m);
            let lower = lower(k)?;
            let (values, vectors) = eigen(between(&lower, &turning, &lower)?)?;
            let shapes = backwards(&lower, &vectors)?;
            for (index, mu) in resolved(&values) {
                if mu > 0.0 {
                    let share = forwardness(&shapes.column(index).into_owned(), &weight, order);
                    found.push(Whirl::new(speed(mu), share));
                }
            }
        } else {
            let lower = lower(self.isotropic())?;
            for (sign, forwardness) in [(-1.0, 1.0), (1.0, -1.0)] {
                let (values, _) = eigen(between(&lower, &(&m + &g * sign), &lower)?)?;
                let positive = resolved(&values).filter(|(_, mu)| *mu > 0.0);
                found.extend(positive.map(|(_, mu)| Whirl::new(speed(mu), forwardness)));
            }
        }
        found.sort_by(|a, b| a.omega_rad_s.total_cmp(&b.omega_rad_s));
        Ok(found)
    }

    /// Natural frequencies at a stated speed of the shaft, from the lowest up.
    ///
    /// # Errors
    /// A speed that is negative or not finite; supports whose stiffness is not definite; an
    /// eigenvalue iteration that does not settle.
    pub fn natural_frequencies(&self, omega_rad_s: f64) -> Result<Vec<Whirl>, ShaftError> {
        if !(omega_rad_s >= 0.0 && omega_rad_s.is_finite()) {
            return Err(ShaftError::Speed { omega_rad_s });
        }
        let (m, g) = (self.beam.mass.dense(), self.beam.gyroscopic.dense() * omega_rad_s);
        let mut found = Vec::new();
        if self.mixes() {
            let order = self.beam.order();
            let weight = beside(&m, &m);
            let lower = lower(self.hermitian())?;
            let (values, vectors) = eigen(linear(&lower, &beside(&g, &-&g), &weight)?)?;
            let first = vectors.rows(0, 2 * order).into_owned();
            let shapes = backwards(&lower, &first)?;
            // Each whirl is found twice, as itself and as its conjugate with a negative value.
            for (index, mu) in resolved(&values) {
                if mu > 0.0 {
                    let share = forwardness(&shapes.column(index).into_owned(), &weight, order);
                    found.push(Whirl::new(1.0 / mu, share));
                }
            }
        } else {
            let (values, _) = eigen(linear(&lower(self.isotropic())?, &g, &m)?)?;
            found.extend(resolved(&values).map(|(_, mu)| Whirl::new(1.0 / mu.abs(), mu.signum())));
        }
        found.sort_by(|a, b| a.omega_rad_s.total_cmp(&b.omega_rad_s));
        Ok(found)
    }

    /// Stiffness with isotropic supports.
    fn isotropic(&self) -> DMatrix<f64> {
        let mut k = self.beam.stiffness.dense();
        for (node, rates) in self.held() {
            for (offset, [turned, _]) in [rates.radial(), rates.moment()].into_iter().enumerate() {
                k[(2 * node + offset, 2 * node + offset)] += turned.direct.re;
            }
        }
        k
    }

    /// Stiffness against motion and conjugate motion together.
    fn hermitian(&self) -> DMatrix<Complex<f64>> {
        let order = self.beam.order();
        let half = self.isotropic();
        let mut k = beside(&half, &half);
        for (node, rates) in self.held() {
            for (offset, [turned, _]) in [rates.radial(), rates.moment()].into_iter().enumerate() {
                let (u, w) = (2 * node + offset, order + 2 * node + offset);
                k[(u, w)] += turned.mirrored;
                k[(w, u)] += turned.mirrored.conj();
            }
        }
        k
    }
}

/// Two real matrices as the blocks of a complex diagonal.
fn beside(first: &DMatrix<f64>, second: &DMatrix<f64>) -> DMatrix<Complex<f64>> {
    let n = first.nrows();
    let mut both = DMatrix::zeros(2 * n, 2 * n);
    for i in 0..n {
        for j in 0..n {
            both[(i, j)] = Complex::from(first[(i, j)]);
            both[(n + i, n + j)] = Complex::from(second[(i, j)]);
        }
    }
    both
}

/// Cholesky factor.
fn lower<T: ComplexField<RealField = f64>>(k: DMatrix<T>) -> Result<DMatrix<T>, ShaftError> {
    let factor = Cholesky::new(k).ok_or(ShaftError::Indefinite)?.unpack();
    // Of complex numbers a negative one has a root too, and the factors then mean nothing.
    let definite = factor
        .diagonal()
        .iter()
        .all(|d| d.clone().real() > 0.0 && d.clone().imaginary().abs() <= 1e-6 * d.clone().real());
    if definite { Ok(factor) } else { Err(ShaftError::Indefinite) }
}

/// `A⁻¹ M B⁻ᴴ` with lower factors.
fn between<T: ComplexField<RealField = f64>>(
    a: &DMatrix<T>,
    m: &DMatrix<T>,
    b: &DMatrix<T>,
) -> Result<DMatrix<T>, ShaftError> {
    let half = a.solve_lower_triangular(m).ok_or(ShaftError::Indefinite)?;
    let turned = b.solve_lower_triangular(&half.adjoint()).ok_or(ShaftError::Indefinite)?;
    Ok(turned.adjoint())
}

/// The linear problem of the module's story.
fn linear<T: ComplexField<RealField = f64>>(
    lower_k: &DMatrix<T>,
    g: &DMatrix<T>,
    m: &DMatrix<T>,
) -> Result<DMatrix<T>, ShaftError> {
    let n = m.nrows();
    let mut all = DMatrix::zeros(2 * n, 2 * n);
    let root = lower(m.clone())?;
    let link = lower_k.solve_lower_triangular(&root).ok_or(ShaftError::Indefinite)?;
    all.view_mut((0, 0), (n, n)).copy_from(&(-between(lower_k, g, lower_k)?));
    all.view_mut((n, 0), (n, n)).copy_from(&link.adjoint());
    all.view_mut((0, n), (n, n)).copy_from(&link);
    Ok(all)
}

/// Eigenvalues and vectors of a Hermitian matrix.
fn eigen<T: ComplexField<RealField = f64>>(
    matrix: DMatrix<T>,
) -> Result<(Vec<f64>, DMatrix<T>), ShaftError> {
    let unknowns = matrix.nrows();
    let steps = STEPS_PER_UNKNOWN * unknowns;
    // Both halves of the matrix, so that rounding in one is not taken for the whole.
    let even = (&matrix + matrix.adjoint()) * T::from_real(0.5);
    SymmetricEigen::try_new(even, f64::EPSILON, steps)
        .map(|eigen| (eigen.eigenvalues.iter().copied().collect(), eigen.eigenvectors))
        .ok_or(ShaftError::NoConvergence { unknowns, steps })
}

/// Eigenvalues that are more than rounding, with their columns.
fn resolved(values: &[f64]) -> impl Iterator<Item = (usize, f64)> + '_ {
    let largest = values.iter().fold(0.0_f64, |most, mu| most.max(mu.abs()));
    values.iter().copied().enumerate().filter(move |(_, mu)| mu.abs() > RESOLVED * largest)
}

/// Shapes `φ = L⁻ᴴ x`.
fn backwards<T: ComplexField<RealField = f64>>(
    lower: &DMatrix<T>,
    x: &DMatrix<T>,
) -> Result<DMatrix<T>, ShaftError> {
    lower.ad_solve_lower_triangular(x).ok_or(ShaftError::Indefinite)
}

/// Kinetic energy of the forward part less that of the backward part, over both.
fn forwardness(
    shape: &nalgebra::DVector<Complex<f64>>,
    weight: &DMatrix<Complex<f64>>,
    order: usize,
) -> f64 {
    let energy = |from: usize| {
        let part = shape.rows(from, order);
        let mass = weight.view((from, from), (order, order));
        part.dotc(&(mass * part)).re
    };
    let (forward, backward) = (energy(0), energy(order));
    (forward - backward) / (forward + backward)
}

#[cfg(test)]
mod tests {
    use super::super::{Rates, Shaft, sample};
    use super::*;

    fn shaft(rates: Rates) -> Shaft {
        let mut model = sample::two_rotor();
        for support in &mut model.supports {
            support.rates = rates;
        }
        Shaft::new(model).unwrap()
    }

    fn leaning(x: f64, y: f64) -> Rates {
        Rates { stiffness_n_per_m: [[x, 0.2e8], [0.2e8, y]], ..Rates::default() }
    }

    /// The two ways of finding a critical speed are different problems.
    #[test]
    fn at_a_critical_speed_a_whirl_turns_with_the_shaft() {
        for rates in [Rates::isotropic(2e8, 0.0, 2e4, 0.0), leaning(1.5e8, 2.5e8)] {
            let shaft = shaft(rates);
            for critical in shaft.critical_speeds().unwrap().iter().take(5) {
                let found = shaft.natural_frequencies(critical.omega_rad_s).unwrap();
                let nearest = found
                    .iter()
                    .map(|whirl| (whirl.omega_rad_s / critical.omega_rad_s - 1.0).abs())
                    .fold(f64::INFINITY, f64::min);
                assert!(nearest < 1e-9, "{critical:?}: {nearest}");
            }
        }
    }

    /// A hair of anisotropy takes the other way through the code to the same answer.
    #[test]
    fn both_ways_meet_where_supports_are_almost_isotropic() {
        let even = shaft(Rates::isotropic(2e8, 0.0, 0.0, 0.0));
        let mut rates = Rates::isotropic(2e8, 0.0, 0.0, 0.0);
        rates.stiffness_n_per_m[0][0] *= 1.0 + 1e-11;
        let uneven = shaft(rates);
        assert!(uneven.mixes() && !even.mixes());
        for (one, other) in [
            (even.critical_speeds(), uneven.critical_speeds()),
            (even.natural_frequencies(700.0), uneven.natural_frequencies(700.0)),
        ] {
            for (a, b) in one.unwrap().iter().zip(&other.unwrap()).take(8) {
                assert!((a.omega_rad_s / b.omega_rad_s - 1.0).abs() < 1e-9);
                assert_eq!(a.sense, b.sense);
                assert!((b.forwardness - a.forwardness).abs() < 1e-6);
            }
        }
    }

    /// At rest planes that do not mix swing straight: each is that of an isotropic shaft.
    #[test]
    fn at_rest_each_plane_swings_by_itself() {
        let rates = Rates { stiffness_n_per_m: [[1e8, 0.0], [0.0, 3e8]], ..Rates::default() };
        let found = shaft(rates).natural_frequencies(0.0).unwrap();
        for stiffness in [1e8, 3e8] {
            let plane = shaft(Rates::isotropic(stiffness, 0.0, 0.0, 0.0));
            for want in plane.natural_frequencies(0.0).unwrap().iter().take(6) {
                let got = found
                    .iter()
                    .find(|whirl| (whirl.omega_rad_s / want.omega_rad_s - 1.0).abs() < 1e-9)
                    .unwrap();
                assert!(got.forwardness.abs() < 1e-6);
            }
        }
    }

    #[test]
    fn softer_supports_lower_every_critical_speed() {
        let hard = shaft(leaning(2e8, 2.5e8)).critical_speeds().unwrap();
        let soft = shaft(leaning(1e8, 2.5e8)).critical_speeds().unwrap();
        for (soft, hard) in soft.iter().zip(&hard).take(6) {
            assert!(soft.omega_rad_s <= hard.omega_rad_s * (1.0 + 1e-12));
        }
    }

    #[test]
    fn supports_that_push_away_are_refused() {
        for rates in [
            Rates::isotropic(-2e8, 0.0, 0.0, 0.0),
            leaning(-2e8, 3e8),
            Rates { stiffness_n_per_m: [[1e8, 9e8], [9e8, 1e8]], ..Rates::default() },
        ] {
            let shaft = shaft(rates);
            assert_eq!(shaft.critical_speeds(), Err(ShaftError::Indefinite));
            assert_eq!(shaft.natural_frequencies(100.0), Err(ShaftError::Indefinite));
        }
    }

    #[test]
    fn a_speed_that_is_none_is_refused() {
        let shaft = shaft(Rates::isotropic(2e8, 0.0, 0.0, 0.0));
        for omega_rad_s in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(shaft.natural_frequencies(omega_rad_s).is_err());
        }
    }
}
