//! An engine as the computation at speed takes it.

use super::super::film::{Bearing, BearingSizes, Film, FilmError, FilmTable, GivenFilm};
use super::super::gas::{GasInputs, Trace};
use super::super::shaft::ShaftModel;
use super::error::SpeedError;
use super::taught::Taught;
use super::turning::GearModel;
use crate::room::{ColdSizes, MovingRoom};

/// One turn of the shaft, degrees: the step of the motion is one degree.
pub const TURN_DEG: usize = 360;
/// A working cycle of a chamber, three turns.
pub const CYCLE_DEG: usize = 3 * TURN_DEG;

/// A rotor with all that turns and tilts with it.
#[derive(Debug, Clone)]
pub struct EngineRotor {
    /// Its serial.
    pub serial: String,
    /// Its walls, a place for each degree of a cycle.
    pub room: MovingRoom,
    /// Its faces and housing at 20 °C, and the thermal state it runs in.
    pub cold: ColdSizes,
    /// With seals and the oil in it.
    pub mass_kg: f64,
    /// About its axis.
    pub polar_kg_m2: f64,
    /// About a diameter in its mid-plane.
    pub diametral_kg_m2: f64,
    /// Direction of its throw from rotor 1's, whole degrees in the sense of rotation.
    pub throw_deg: usize,
}

/// A plain bearing with its film computed, or given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BearingModel {
    /// Sizes and oil.
    pub sizes: BearingSizes,
    /// Film below which it is said to be thin.
    pub wanted_film_m: f64,
    /// A film that the shop knows, in place of the computed one.
    pub given: Option<GivenFilm>,
}

impl BearingModel {
    /// The film of this bearing, with other sizes where they are drawn; `table` is for its shape.
    ///
    /// # Errors
    /// [`FilmError`] for sizes that make no bearing.
    pub(super) fn film(
        sizes: BearingSizes,
        given: Option<GivenFilm>,
        table: &FilmTable,
    ) -> Result<Film<'_>, FilmError> {
        Ok(match given {
            Some(given) => Film::Given(given),
            None => Film::Computed { bearing: Bearing::new(sizes)?, table },
        })
    }
}

/// What carries a main bearing: housing and seat, in series with the film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Force per displacement.
    pub radial_n_per_m: f64,
    /// Moment per slope.
    pub moment_n_m_per_rad: f64,
}

/// Where the pressure in the chambers comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum GasSource {
    /// Computed; speed and boost are put in for each operating point.
    Computed(Box<GasInputs>),
    /// A trace that was measured at one speed and boost, taken as it is at every speed, its
    /// pressure over the manifold's scaled with the boost.
    Measured {
        /// The mean cycle.
        trace: Trace,
        /// Boost it was measured at.
        boost_pa: f64,
    },
}

/// Pressure behind the exhaust ports: a turbine's goes with the boost it makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BackPressure {
    /// Over the atmosphere, without boost.
    pub still_pa: f64,
    /// More of it per boost.
    pub per_boost: f64,
}

impl Default for BackPressure {
    /// A silencer, and a turbine whose back pressure is a little below its boost: common
    /// practice, no source.
    fn default() -> Self {
        Self { still_pa: 8e3, per_boost: 0.9 }
    }
}

/// How much harder than the mean cycle others are, as peak pressures over the mean one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hardness {
    /// The hard cycle, one of a hundred or so; none: what the burn's usual scatter gives.
    pub hard: Option<f64>,
    /// A knocking cycle.
    pub knocking: Option<f64>,
}

/// Which cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CycleKind {
    /// The cycle that repeats.
    Mean,
    /// One of a hundred or so: it is the one that touches, and the one poses are computed with.
    Hard,
    /// One whose end knocks.
    Knocking,
}

impl CycleKind {
    /// All, mean first.
    pub const ALL: [Self; 3] = [Self::Mean, Self::Hard, Self::Knocking];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Hard => "hard",
            Self::Knocking => "knocking",
        }
    }
}

/// An engine at speed.
#[derive(Debug, Clone)]
pub struct EngineModel {
    /// The shaft, its stations the rotors' mid-planes; supports in the order of `mains`, their
    /// rates put in for each operating point.
    pub shaft: ShaftModel,
    /// Seats of the main bearings.
    pub seats: Vec<Seat>,
    /// Main bearings.
    pub mains: Vec<BearingModel>,
    /// Bearings of the rotors.
    pub rotor_bearings: Vec<BearingModel>,
    /// Rotors, from the front.
    pub rotors: Vec<EngineRotor>,
    /// Generating radius of the bore.
    pub generating_radius_m: f64,
    /// Eccentricity.
    pub eccentricity_m: f64,
    /// Width of a chamber.
    pub width_m: f64,
    /// Greatest over least volume of a chamber.
    pub compression_ratio: f64,
    /// Pressure in the chambers.
    pub gas: GasSource,
    /// Behind the exhaust ports, where the pressure is computed.
    pub back_pressure: BackPressure,
    /// How hard cycles get.
    pub hardness: Hardness,
    /// Absolute pressure inside the crankcase.
    pub crankcase_pa: f64,
    /// Gear, spin and side gas, the same for all rotors.
    pub gear: GearModel,
    /// Share of critical damping in twist.
    pub twist_damping: f64,
    /// What the shop's own engines say of the model; none where they say nothing yet. Its scale of
    /// the lean is put on every computed lean. That of the rises is not: the thermal states that
    /// rotors run in are given with it in them.
    pub taught: Option<Taught>,
}

/// Speed and boost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    /// Speed of the shaft.
    pub omega_rad_s: f64,
    /// Pressure in the manifold over the atmosphere.
    pub boost_pa: f64,
}

impl EngineModel {
    /// What every computed lean is multiplied by.
    pub(super) fn lean(&self) -> f64 {
        self.taught.map_or(1.0, |taught| taught.tilt)
    }

    /// The computed gap below which a tip leaves marks.
    pub(super) fn seen_below_m(&self) -> f64 {
        self.taught.map_or(0.0, |taught| taught.seen_below_m)
    }

    pub(super) fn check(&self) -> Result<(), SpeedError> {
        if self.taught.is_some_and(|taught| !taught.is_sound()) {
            return Err(SpeedError::Taught);
        }
        let n = self.rotors.len();
        for (what, count, wanted) in [
            ("places of rotors on the shaft", self.shaft.stations_m.len(), n.max(1)),
            ("bearings of rotors", self.rotor_bearings.len(), n.max(1)),
            ("main bearings on the shaft", self.shaft.supports.len(), self.mains.len()),
            ("seats of main bearings", self.seats.len(), self.mains.len()),
        ] {
            if count != wanted {
                return Err(SpeedError::Count { what, count, wanted });
            }
        }
        for rotor in &self.rotors {
            let places = rotor.room.places();
            if places != CYCLE_DEG {
                let what = "places of a rotor's room";
                return Err(SpeedError::Count { what, count: places, wanted: CYCLE_DEG });
            }
        }
        Ok(())
    }
}
