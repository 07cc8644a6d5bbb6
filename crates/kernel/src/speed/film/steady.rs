//! Where a journal rests under a load that stays.
//!
//! At rest `ė = 0`, so the squeeze velocity is `−iω̄e`: a quarter turn behind the eccentricity,
//! of size `ω̄e`. For every eccentricity there is one angle of load whose mobility points that
//! way; the size of load there grows with the eccentricity.

use super::super::range::within;
use super::bearing::Bearing;
use super::coefficients::Coefficients;
use super::error::FilmError;
use super::matrix::{seen_by, seen_from};
use super::table::FilmTable;
use std::f64::consts::PI;

/// Halvings of a bracket down to the last bits.
const HALVINGS: usize = 60;
/// Greatest load, N; beyond, a film is no question.
pub(super) const LOAD_N: (f64, f64) = (0.0, 1e7);
/// Speeds that are taken, rad/s.
pub(super) const OMEGA_RAD_S: (f64, f64) = (-1e4, 1e4);
/// `−ln(1 − ε)` beyond the table's last row that is still looked at.
const BEYOND: f64 = 4.0;

/// A steady load on a journal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyLoad {
    /// Load on the journal, N, stationary frame.
    pub load_n: [f64; 2],
    /// Speed of the journal about its own axis, rad/s.
    pub journal_omega_rad_s: f64,
    /// Speed of the bearing about its own axis, rad/s.
    pub bearing_omega_rad_s: f64,
}

/// Where the journal rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Journal's centre from the bearing's, m.
    pub eccentricity_m: [f64; 2],
    /// Over the radial clearance.
    pub eccentricity_ratio: f64,
    /// From the load to the eccentricity, radians, positive the way the film is carried.
    pub attitude_rad: f64,
    /// Least film, m.
    pub least_film_m: f64,
    /// What the film answers to small motions.
    pub coefficients: Coefficients,
}

impl SteadyLoad {
    /// Finds the place of rest.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`] for figures that are none, [`FilmError::OtherTable`],
    /// [`FilmError::NoLoad`], [`FilmError::NotCarried`] where the mean speed is nothing,
    /// [`FilmError::NotConverged`] for a load that no film of a few nanometres carries.
    pub fn rest(&self, bearing: &Bearing, table: &FilmTable) -> Result<Rest, FilmError> {
        let omega_rad_s =
            carried(bearing, table, self.journal_omega_rad_s, self.bearing_omega_rad_s)?;
        let load_n = self.load_n[0].hypot(self.load_n[1]);
        within("load on the journal", load_n, "N", LOAD_N)?;
        if load_n <= 0.0 {
            return Err(FilmError::NoLoad);
        }
        if omega_rad_s == 0.0 {
            return Err(FilmError::NotCarried {
                load_n,
                journal_omega_rad_s: self.journal_omega_rad_s,
                bearing_omega_rad_s: self.bearing_omega_rad_s,
            });
        }
        // Without units: velocity over c|ω̄|, load over S c |ω̄|.
        let clearance_m = bearing.radial_clearance_m();
        let unit_n = bearing.scale_n_s_per_m() * clearance_m * omega_rad_s.abs();
        let wanted = load_n / unit_n;
        let ratio_at = |u: f64| -(-u).exp_m1();
        let load_at = |ratio: f64| {
            let gamma = angle_at_rest(table, ratio);
            let [r, t] = table.velocity(ratio, [gamma.cos(), gamma.sin()]);
            (ratio / r.hypot(t), gamma)
        };
        let (mut low, mut high) = (0.0, FilmTable::thinnest() + BEYOND);
        if load_at(ratio_at(high)).0 < wanted {
            return Err(FilmError::NotConverged {
                what: "the place of rest of the journal",
                steps: 1,
                residual: 1.0 - load_at(ratio_at(high)).0 / wanted,
            });
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if load_at(ratio_at(middle)).0 < wanted { low = middle } else { high = middle }
        }
        let ratio = ratio_at(0.5 * (low + high));
        let attitude_rad = load_at(ratio).1;
        let along_load = self.load_n.map(|f| f / load_n);
        let turn = [attitude_rad.cos(), omega_rad_s.signum() * attitude_rad.sin()];
        let eccentricity_ratio = seen_by(along_load, turn).map(|part| part * ratio);
        Ok(Rest {
            eccentricity_m: eccentricity_ratio.map(|part| part * clearance_m),
            eccentricity_ratio: ratio,
            attitude_rad,
            least_film_m: clearance_m * (1.0 - ratio),
            coefficients: Coefficients::at(
                bearing,
                table,
                omega_rad_s,
                eccentricity_ratio,
                self.load_n,
            ),
        })
    }
}

/// Angle between eccentricity and load at which the squeeze is a quarter turn from the
/// eccentricity, radians in `0..π`: the squeeze turns steadily with the load.
fn angle_at_rest(table: &FilmTable, ratio: f64) -> f64 {
    // In a thin film the angle is of the order √(1−ε): halved in that measure.
    let root = (1.0 - ratio).sqrt();
    let gamma_at = |x: f64| 2.0 * (root * (0.5 * x).sin()).atan2((0.5 * x).cos());
    let (mut low, mut high) = (0.0, PI);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let gamma = gamma_at(middle);
        let velocity = table.velocity(ratio, [gamma.cos(), gamma.sin()]);
        if velocity[0] > 0.0 { low = middle } else { high = middle }
    }
    gamma_at(0.5 * (low + high))
}

/// Speed at which the film is carried: the mean of both surfaces'.
pub(super) fn carried(
    bearing: &Bearing,
    table: &FilmTable,
    journal_omega_rad_s: f64,
    bearing_omega_rad_s: f64,
) -> Result<f64, FilmError> {
    within("speed of the journal", journal_omega_rad_s, "rad/s", OMEGA_RAD_S)?;
    within("speed of the bearing", bearing_omega_rad_s, "rad/s", OMEGA_RAD_S)?;
    let (of_table, of_bearing) = (table.length_over_diameter(), bearing.length_over_diameter());
    if (of_table - of_bearing).abs() > SAME_SHAPE * of_bearing {
        return Err(FilmError::OtherTable { table: of_table, bearing: of_bearing });
    }
    Ok(0.5 * (journal_omega_rad_s + bearing_omega_rad_s))
}

/// Relative difference of length over diameter that makes no difference: below the table's own
/// error by three orders.
const SAME_SHAPE: f64 = 1e-6;

/// The squeeze velocity over the clearance, 1/s, stationary frame, that carries a load.
pub(super) fn squeeze_per_s(
    table: &FilmTable,
    per_load: f64,
    eccentricity_ratio: [f64; 2],
    load_n: [f64; 2],
) -> [f64; 2] {
    let (size, direction) = super::coefficients::polar(eccentricity_ratio, load_n);
    let seen = seen_from(direction, load_n).map(|f| f * per_load);
    seen_by(direction, table.velocity(size, seen))
}
