//! What a film answers to small motions of its journal: stiffness and damping, across and in
//! tilt.
//!
//! Displacement `e` is of the journal's centre against the bearing's, slope `r` of the journal's
//! axis against the bearing's, so that at the place `ζ` along the bearing the displacement is
//! `e + r ζ`; both in the stationary frame. The film's force on the journal changes by
//! `dF = −K de − C dė`, its moment about the mid-plane, conjugate to `r` (work `m·dr`), is
//! `m = −K_t r − C_t ṙ`. Neither couples with the other while the film is the same on both sides
//! of the mid-plane. Stiffness is not symmetric: a film carried round pushes sideways.

use super::super::range::within;
use super::bearing::Bearing;
use super::error::FilmError;
use super::matrix::{Matrix2, behind, sum, turned};
use super::pressure::DirectForces;
use super::steady::{LOAD_N, carried};
use super::table::FilmTable;

/// Greatest eccentricity that coefficients can be asked for, over the radial clearance.
const MOST_ECCENTRIC: f64 = 1.0 - 1e-6;

/// Linear coefficients of a film, stationary frame, rows `x`, `y`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Restoring force per displacement, N/m.
    pub stiffness_n_per_m: Matrix2,
    /// Resisting force per velocity, N·s/m.
    pub damping_n_s_per_m: Matrix2,
    /// Restoring moment per slope, N·m/rad.
    pub tilt_stiffness_n_m_per_rad: Matrix2,
    /// Resisting moment per rate of slope, N·m·s/rad.
    pub tilt_damping_n_m_s_per_rad: Matrix2,
}

impl Coefficients {
    /// All nothing.
    pub const ZERO: Self = Self {
        stiffness_n_per_m: [[0.0; 2]; 2],
        damping_n_s_per_m: [[0.0; 2]; 2],
        tilt_stiffness_n_m_per_rad: [[0.0; 2]; 2],
        tilt_damping_n_m_s_per_rad: [[0.0; 2]; 2],
    };

    /// The mean over instants that follow each other evenly; nothing where there is none.
    #[must_use]
    pub fn mean(of: &[Self]) -> Self {
        let share = 1.0 / of.len().max(1) as f64;
        of.iter().fold(Self::ZERO, |mean, one| Self {
            stiffness_n_per_m: sum(1.0, &mean.stiffness_n_per_m, share, &one.stiffness_n_per_m),
            damping_n_s_per_m: sum(1.0, &mean.damping_n_s_per_m, share, &one.damping_n_s_per_m),
            tilt_stiffness_n_m_per_rad: sum(
                1.0,
                &mean.tilt_stiffness_n_m_per_rad,
                share,
                &one.tilt_stiffness_n_m_per_rad,
            ),
            tilt_damping_n_m_s_per_rad: sum(
                1.0,
                &mean.tilt_damping_n_m_s_per_rad,
                share,
                &one.tilt_damping_n_m_s_per_rad,
            ),
        })
    }

    /// Coefficients of a film at an eccentricity (over the radial clearance, shorter than 1) of
    /// the journal that carries a load, N, stationary frame, whatever motion that takes;
    /// `omega_rad_s` are the speeds of journal and bearing.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`] and [`FilmError::OtherTable`].
    pub fn about(
        bearing: &Bearing,
        table: &FilmTable,
        omega_rad_s: [f64; 2],
        eccentricity_ratio: [f64; 2],
        load_n: [f64; 2],
    ) -> Result<Self, FilmError> {
        let carried_rad_s = carried(bearing, table, omega_rad_s[0], omega_rad_s[1])?;
        let size = eccentricity_ratio[0].hypot(eccentricity_ratio[1]);
        within("eccentricity over the radial clearance", size, "", (0.0, MOST_ECCENTRIC))?;
        within("load on the journal", load_n[0].hypot(load_n[1]), "N", LOAD_N)?;
        Ok(Self::at(bearing, table, carried_rad_s, eccentricity_ratio, load_n))
    }

    /// Coefficients of a film that is carried with `omega_rad_s` (the mean of both surfaces),
    /// at an eccentricity and load of the journal in the stationary frame. Where there is no load
    /// the film is taken as about to be squeezed.
    pub(super) fn at(
        bearing: &Bearing,
        table: &FilmTable,
        omega_rad_s: f64,
        eccentricity_ratio: [f64; 2],
        load_n: [f64; 2],
    ) -> Self {
        let (size, direction) = polar(eccentricity_ratio, load_n);
        let scale = bearing.scale_n_s_per_m();
        let seen = super::matrix::seen_from(direction, load_n).map(|f| f / scale);
        let forces = table.coefficients(size, seen);
        Self::of(bearing, omega_rad_s, direction, &forces)
    }

    /// Puts units to what was solved: with `v = ė − iω̄e` a displacement also squeezes, so
    /// `K = S K_v/c + ω̄ S C J`, `J u = −iu`; in tilt the same with `L²/4` for the lever `L/2` of
    /// the edge and of the moment.
    pub(super) fn of(
        bearing: &Bearing,
        omega_rad_s: f64,
        direction: [f64; 2],
        forces: &DirectForces,
    ) -> Self {
        let scale = bearing.scale_n_s_per_m();
        let per_clearance = scale / bearing.radial_clearance_m();
        let lever_m2 = 0.25 * bearing.length_m().powi(2);
        let both = |stiffness: &Matrix2, damping: &Matrix2, times: f64| {
            let k = sum(
                times * per_clearance,
                stiffness,
                times * scale * omega_rad_s,
                &behind(damping),
            );
            let c = damping.map(|row| row.map(|c| c * times * scale));
            (turned(&k, direction), turned(&c, direction))
        };
        let (stiffness, damping) = both(&forces.stiffness, &forces.damping, 1.0);
        let (tilt_stiffness, tilt_damping) =
            both(&forces.tilt_stiffness, &forces.tilt_damping, lever_m2);
        Self {
            stiffness_n_per_m: stiffness,
            damping_n_s_per_m: damping,
            tilt_stiffness_n_m_per_rad: tilt_stiffness,
            tilt_damping_n_m_s_per_rad: tilt_damping,
        }
    }
}

/// Size and direction of an eccentricity; at the centre the direction of the load.
pub(super) fn polar(eccentricity: [f64; 2], load: [f64; 2]) -> (f64, [f64; 2]) {
    let size = (eccentricity[0] * eccentricity[0] + eccentricity[1] * eccentricity[1]).sqrt();
    if size > 0.0 {
        return (size, eccentricity.map(|e| e / size));
    }
    let load_size = load[0].hypot(load[1]);
    if load_size > 0.0 { (0.0, load.map(|f| f / load_size)) } else { (0.0, [1.0, 0.0]) }
}
