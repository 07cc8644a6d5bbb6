//! A film as the rest of the rotor at speed wants it: computed, or as somebody says it is.

use super::super::range::within;
use super::bearing::Bearing;
use super::coefficients::Coefficients;
use super::error::FilmError;
use super::matrix::Matrix2;
use super::orbit::{JournalPath, Motion};
use super::steady::carried;
use super::table::FilmTable;

/// How a bearing's film is had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Film<'t> {
    /// From its sizes and oil, with a table for its shape.
    Computed {
        /// Sizes and oil.
        bearing: Bearing,
        /// For the bearing's length over diameter.
        table: &'t FilmTable,
    },
    /// As given, the same in all directions and at all times.
    Given(GivenFilm),
}

/// Stiffness and damping that somebody gives, the same in all directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GivenFilm {
    radial_stiffness_n_per_m: f64,
    radial_damping_n_s_per_m: f64,
    tilt_stiffness_n_m_per_rad: f64,
    tilt_damping_n_m_s_per_rad: f64,
}

/// Figures for a given film, to be checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GivenFilmFigures {
    /// Force per displacement, N/m, more than nothing.
    pub radial_stiffness_n_per_m: f64,
    /// Force per velocity, N·s/m.
    pub radial_damping_n_s_per_m: f64,
    /// Moment per slope, N·m/rad.
    pub tilt_stiffness_n_m_per_rad: f64,
    /// Moment per rate of slope, N·m·s/rad.
    pub tilt_damping_n_m_s_per_rad: f64,
}

/// Stiffnesses across that are taken, N/m.
const RADIAL_STIFFNESS: (f64, f64) = (1e3, 1e13);
/// Dampings across that are taken, N·s/m.
const RADIAL_DAMPING: (f64, f64) = (0.0, 1e10);
/// Stiffnesses against tilt that are taken, N·m/rad. Nothing: a point support.
const TILT_STIFFNESS: (f64, f64) = (0.0, 1e10);
/// Dampings of tilt that are taken, N·m·s/rad.
const TILT_DAMPING: (f64, f64) = (0.0, 1e8);

impl GivenFilm {
    /// Takes figures that are possible.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`] with the quantity and its limits.
    pub fn new(figures: GivenFilmFigures) -> Result<Self, FilmError> {
        Ok(Self {
            radial_stiffness_n_per_m: within(
                "radial stiffness of the film",
                figures.radial_stiffness_n_per_m,
                "N/m",
                RADIAL_STIFFNESS,
            )?,
            radial_damping_n_s_per_m: within(
                "radial damping of the film",
                figures.radial_damping_n_s_per_m,
                "N s/m",
                RADIAL_DAMPING,
            )?,
            tilt_stiffness_n_m_per_rad: within(
                "stiffness of the film against tilt",
                figures.tilt_stiffness_n_m_per_rad,
                "N m/rad",
                TILT_STIFFNESS,
            )?,
            tilt_damping_n_m_s_per_rad: within(
                "damping of the film against tilt",
                figures.tilt_damping_n_m_s_per_rad,
                "N m s/rad",
                TILT_DAMPING,
            )?,
        })
    }

    /// As coefficients.
    #[must_use]
    pub fn coefficients(&self) -> Coefficients {
        let even = |value: f64| -> Matrix2 { [[value, 0.0], [0.0, value]] };
        Coefficients {
            stiffness_n_per_m: even(self.radial_stiffness_n_per_m),
            damping_n_s_per_m: even(self.radial_damping_n_s_per_m),
            tilt_stiffness_n_m_per_rad: even(self.tilt_stiffness_n_m_per_rad),
            tilt_damping_n_m_s_per_rad: even(self.tilt_damping_n_m_s_per_rad),
        }
    }
}

/// What a film does over a period.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmCycle {
    /// At every instant of the load, about the path.
    pub coefficients: Vec<Coefficients>,
    /// Their mean over the period, for a shaft on springs that do not change.
    pub mean: Coefficients,
    /// Where the journal goes; a given film does not say.
    pub path: Option<JournalPath>,
}

impl Film<'_> {
    /// What the film does over a period of the load.
    ///
    /// # Errors
    /// As [`Motion::path`]; a given film takes any motion of at least one instant and refuses
    /// none with [`FilmError::TooFewInstants`].
    pub fn cycle(&self, motion: &Motion<'_>) -> Result<FilmCycle, FilmError> {
        match self {
            Self::Given(given) => {
                let count = motion.load_n.len();
                if count == 0 {
                    return Err(FilmError::TooFewInstants { count, least: 1 });
                }
                let mean = given.coefficients();
                Ok(FilmCycle { coefficients: vec![mean; count], mean, path: None })
            }
            Self::Computed { bearing, table } => {
                let path = motion.path(bearing, table)?;
                let (journal, shell) = (motion.journal_omega_rad_s, motion.bearing_omega_rad_s);
                let omega_rad_s = carried(bearing, table, journal, shell)?;
                let per_clearance = 1.0 / bearing.radial_clearance_m();
                let coefficients: Vec<Coefficients> = path
                    .points
                    .iter()
                    .zip(motion.load_n)
                    .map(|(point, load)| {
                        let ratio = point.eccentricity_m.map(|part| part * per_clearance);
                        Coefficients::at(bearing, table, omega_rad_s, ratio, *load)
                    })
                    .collect();
                let mean = Coefficients::mean(&coefficients);
                Ok(FilmCycle { coefficients, mean, path: Some(path) })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIGURES: GivenFilmFigures = GivenFilmFigures {
        radial_stiffness_n_per_m: 3e8,
        radial_damping_n_s_per_m: 1e5,
        tilt_stiffness_n_m_per_rad: 4e4,
        tilt_damping_n_m_s_per_rad: 10.0,
    };

    #[test]
    fn a_given_film_is_what_was_given_at_every_instant() {
        let film = Film::Given(GivenFilm::new(FIGURES).unwrap());
        let load_n = [[1e3, 0.0]; 5];
        let motion = Motion {
            journal_omega_rad_s: 1000.0,
            bearing_omega_rad_s: 0.0,
            load_n: &load_n,
            period_s: 0.006,
            wanted_film_m: 1e-6,
        };
        let cycle = film.cycle(&motion).unwrap();
        assert_eq!(cycle.coefficients, vec![cycle.mean; 5]);
        assert_eq!(cycle.mean.tilt_stiffness_n_m_per_rad, [[4e4, 0.0], [0.0, 4e4]]);
        assert!(cycle.path.is_none());
        assert!(film.cycle(&Motion { load_n: &[], ..motion }).is_err());
    }

    #[test]
    fn figures_that_are_none_are_refused_by_name() {
        for (figures, what) in [
            (GivenFilmFigures { radial_stiffness_n_per_m: 0.0, ..FIGURES }, "radial stiffness"),
            (GivenFilmFigures { radial_damping_n_s_per_m: -1.0, ..FIGURES }, "radial damping"),
            (
                GivenFilmFigures { tilt_stiffness_n_m_per_rad: f64::NAN, ..FIGURES },
                "stiffness of the film against tilt",
            ),
            (GivenFilmFigures { tilt_damping_n_m_s_per_rad: 1e9, ..FIGURES }, "damping of the"),
        ] {
            let text = GivenFilm::new(figures).unwrap_err().to_string();
            assert!(text.starts_with(what), "{text}");
        }
    }
}
