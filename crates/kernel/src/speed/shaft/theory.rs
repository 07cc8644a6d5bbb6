//! How much of a beam's physics an element carries.

/// What the beam theory counts. A build is computed with the first; the others are there because
/// tables in the literature were computed with them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theory {
    /// Bending, shear, mass, rotary inertia and gyroscopic moment of the stretches.
    #[default]
    Timoshenko,
    /// The same without shear.
    Rayleigh,
    /// Bending and mass alone. Discs keep their rotary inertia and gyroscopic moment.
    EulerBernoulli,
}

impl Theory {
    pub(super) fn shears(self) -> bool {
        matches!(self, Self::Timoshenko)
    }

    pub(super) fn turns(self) -> bool {
        !matches!(self, Self::EulerBernoulli)
    }
}

/// How stretches are cut into elements.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mesh {
    /// At every place that the model names, and finer where a piece is longer than
    /// [`LONGEST_ELEMENT`] diameters.
    #[default]
    Fine,
    /// At the places alone: for tables that were computed with a stated number of elements.
    Places,
}

/// Longest element, in outer diameters of its stretch.
///
/// Static answers are exact with any length; what an element misses is inertia between its nodes.
/// Bending between them is missed by `(k l)⁴ / 720` of the stiffness, `k` the wave number, which
/// is nothing here; shear by `(ω l / c)² / 12`, with `c = √(κG/ρ)`, some 3000 m/s in steel, the
/// speed of shear waves: under an even load an element sags in shear by `q l² / 8κGA` between ends
/// that are right. In a journal of 74 mm elements of a quarter diameter miss 1e-4 of the stiffness
/// of motions at 6000 rad/s, six times a shaft speed of 9500 r/min, and less of slower ones. Both
/// orders are shown in `tests/val_beams.rs`.
pub const LONGEST_ELEMENT: f64 = 0.25;
