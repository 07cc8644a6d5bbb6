//! Oil films of rotor and main bearings, through the cycle.
//!
//! Plain bearings, laminar, one viscosity, rigid. A film is carried round with the mean speed of
//! both surfaces, so the rotor bearing's with `2/3` of the shaft's and a main bearing's with a
//! half, whatever turns inside what. Under a load that swings several-fold and circles the journal
//! backwards once a turn the film has no time to settle: where the journal is follows from the
//! load's whole course ([`Motion::path`]), and what the film answers to small motions across and
//! in tilt is different at every instant ([`Film::cycle`]).
//!
//! The pressure is solved in two dimensions ([`DirectFilm`]) and kept in a [`FilmTable`], one per
//! length over diameter, which serves every clearance, oil, speed and load. What the table adds
//! in error, against a solution on five times as many lines, is checked in `tests/val_films.rs`:
//!
//! | up to ε | velocity under a load | damping | stiffness | tilt stiffness | tilt damping |
//! | --- | --- | --- | --- | --- | --- |
//! | 0.9 | 0.2 % | 0.5 % | 3 % | 2 % | 4 % |
//! | 0.99 | 0.6 % | 1 % | 8 % | 5 % | 6 % |
//!
//! of each matrix's greatest entry; where the load presses the journal towards the bearing, within
//! 20° of the eccentricity, stiffness is good to 1 %.
//!
//! What is left out, and matters: the bearing gives way under its load, oil thins with pressure's
//! heat, and below half a micrometre surfaces touch at their peaks. The least film is a warning
//! and no measure.

mod band;
mod bearing;
mod coefficients;
mod error;
mod grid;
mod matrix;
mod model;
mod orbit;
mod pressure;
#[cfg(test)]
mod properties;
mod shared;
mod sheet;
mod steady;
mod table;

pub use bearing::{Bearing, BearingSizes, USUAL_CLEARANCE_RATIO, UnusualClearance};
pub use coefficients::Coefficients;
pub use error::FilmError;
pub use grid::Fineness;
pub use matrix::Matrix2;
pub use model::{Film, FilmCycle, GivenFilm, GivenFilmFigures};
pub use orbit::{JournalPath, Motion, PathPoint};
pub use pressure::{DirectFilm, DirectForces, Supply};
pub use steady::{Rest, SteadyLoad};
pub use table::{FilmTable, LENGTH_OVER_DIAMETER, TABLE_FINENESS};
