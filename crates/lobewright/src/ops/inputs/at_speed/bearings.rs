//! Bearings of rotors and shaft, and their oil.

use super::super::super::assumed::Assumed;
use crate::build_file::Build;
use crate::build_file::model::Bearing;
use kernel::speed::engine::{
    BearingModel, EngineSizes, usual_clearance_m, usual_main_bearing_m, usual_rotor_bearing_m,
};
use kernel::speed::film::{BearingSizes, FilmError, GivenFilm, GivenFilmFigures};
use kernel::units::{Length, System, Viscosity};

/// Hot oil for hard use (common practice, no source).
const VISCOSITY: Viscosity = Viscosity::mpa_s(9.0);
/// A film below this is named (common practice, no source).
const LEAST_FILM: Length = Length::um(1.0);
/// Standard uncertainty of a clearance that is given without one, or assumed; relative.
const CLEARANCE_U: f64 = 0.1;

/// Bearings of the engine.
pub(super) struct Bearings {
    /// Of a rotor.
    pub(super) rotor: BearingModel,
    /// Of the shaft.
    pub(super) main: BearingModel,
    /// Of a rotor bearing's clearance, relative.
    pub(super) clearance_u: f64,
}

pub(super) fn bearings(
    build: &Build,
    sizes: &EngineSizes,
    first: System,
    assumed: &mut Assumed,
) -> Result<Bearings, FilmError> {
    let given = &build.at_speed;
    let viscosity = given.oil.viscosity.unwrap_or_else(|| {
        assumed.note(format!("oil of {} mPa s in the bearings", VISCOSITY.to_mpa_s()));
        VISCOSITY
    });
    let wanted = [&given.rotor_bearing, &given.main_bearing]
        .map(|bearing| bearing.as_ref().and_then(|bearing| bearing.least_film));
    if wanted.iter().any(Option::is_none) {
        assumed.note(format!("oil films down to {} wanted", LEAST_FILM.as_amount(first)));
    }
    let mut model = |called: &str,
                     bearing: Option<&Bearing>,
                     usual_m: [f64; 2]|
     -> Result<BearingModel, FilmError> {
        let [diameter_m, length_m] =
            bearing.map_or(usual_m, |b| [b.diameter.to_m(), b.length.to_m()]);
        let clearance_m =
            bearing.map_or_else(|| usual_clearance_m(diameter_m), |b| b.clearance.to_m());
        if bearing.is_none() {
            assumed.note(format!(
                "{called} bearings {} by {}, clearance {} on the diameter",
                Length::m(diameter_m).as_size(first),
                Length::m(length_m).as_size(first),
                Length::m(clearance_m).as_amount(first)
            ));
        }
        let film = bearing.and_then(|b| b.film).map(|film| {
            GivenFilm::new(GivenFilmFigures {
                radial_stiffness_n_per_m: film.radial_stiffness.to_n_per_m(),
                radial_damping_n_s_per_m: film.radial_damping.to_n_s_per_m(),
                tilt_stiffness_n_m_per_rad: film.tilt_stiffness.to_n_m_per_rad(),
                tilt_damping_n_m_s_per_rad: film.tilt_damping.to_n_m_s_per_rad(),
            })
        });
        Ok(BearingModel {
            sizes: BearingSizes {
                diameter_m,
                length_m,
                radial_clearance_m: 0.5 * clearance_m,
                viscosity_pa_s: viscosity.to_pa_s(),
            },
            wanted_film_m: bearing.and_then(|b| b.least_film).unwrap_or(LEAST_FILM).to_m(),
            given: film.transpose()?,
        })
    };
    let rotor = model("rotor", given.rotor_bearing.as_ref(), usual_rotor_bearing_m(sizes))?;
    let main = model("main", given.main_bearing.as_ref(), usual_main_bearing_m(sizes))?;
    assumed.note("clearance of main bearings as it is given, without uncertainty");
    let known = given.rotor_bearing.as_ref().and_then(|b| Some((b.clearance_u?, b.clearance)));
    let clearance_u = known.map_or_else(
        || {
            let percent = 100.0 * CLEARANCE_U;
            assumed.note(format!("clearance of rotor bearings known to {percent:.0} %"));
            CLEARANCE_U
        },
        |(u, clearance)| u / clearance,
    );
    Ok(Bearings { rotor, main, clearance_u })
}
