//! Readings with the gauges that took them, and the walls each rotor sees.

use super::super::assumed::Assumed;
use super::{InputError, RotorInputs, STEP_GAUGE, WIDTH_GAUGE};
use crate::build_file::model::{self, Build, Clamping, Way};
use kernel::geometry::Looks;
use kernel::readings::{Gauge, HousingReadings, HousingState, MeasuredAt, RotorReadings};
use kernel::room::{Opening, Wall};
use kernel::units::{Expansion, Length, System, Temperature};

/// Repeat and zero of a micrometer that no file describes (common practice, no source).
const MICROMETER: [Length; 2] = [Length::um(2.0), Length::um(1.0)];
/// Repeat and zero of an indicator that no file describes (common practice, no source).
const INDICATOR: [Length; 2] = [Length::um(3.0), Length::ZERO];
/// Expansion of a steel gauge (checked range 11 to 12.7e-6 /K).
const GAUGE_EXPANSION: Expansion = Expansion::per_k(11.5e-6);
/// Standard uncertainty of a part's temperature that was given without one.
const TEMPERATURE_U_K: f64 = 0.5;
/// Height of the land's edge from either tilt against the bore (common practice, no source).
const SQUARENESS: Length = Length::um(5.0);
/// Names of gauges to gauges.
pub(super) struct Gauges<'a> {
    pub(super) build: &'a Build,
    /// Which units assumptions are told in first.
    pub(super) first: System,
}

impl Gauges<'_> {
    /// The gauge of a name, or the usual one for its kind of reading.
    fn find(
        &self,
        name: Option<&String>,
        usual: &str,
        [repeat, zero]: [Length; 2],
        assumed: &mut Assumed,
    ) -> Gauge {
        let name = name.map_or(usual, String::as_str);
        let position = self.build.gauges.keys().position(|key| key == name);
        if let (Some(id), Some(gauge)) = (position, self.build.gauges.get(name)) {
            return Gauge {
                id,
                repeat: gauge.repeat,
                zero: gauge.zero.unwrap_or_default(),
                temperature: gauge.temperature.unwrap_or(Temperature::REFERENCE),
                expansion: gauge.expansion.unwrap_or(GAUGE_EXPANSION),
            };
        }
        assumed.note(format!(
            "gauge \"{usual}\": repeat {}, zero {}",
            repeat.as_amount(self.first),
            zero.as_amount(self.first)
        ));
        // Past the declared gauges, one number for each usual name.
        let id = self.build.gauges.len() + usize::from(usual == STEP_GAUGE);
        Gauge { id, repeat, zero, temperature: Temperature::REFERENCE, expansion: GAUGE_EXPANSION }
    }

    pub(super) fn rotor(
        &self,
        index: usize,
        [rotor_expansion, housing_expansion]: [Expansion; 2],
        assumed: &mut Assumed,
    ) -> Result<RotorInputs, InputError> {
        let (rotor, housing) = (&self.build.rotors[index], &self.build.housings[index]);
        let [front, rear] = walls(self.build, index);
        let width_gauge = self.find(rotor.width_gauge.as_ref(), WIDTH_GAUGE, MICROMETER, assumed);
        let step_gauge = self.find(rotor.step_gauge.as_ref(), STEP_GAUGE, INDICATOR, assumed);
        let runout_gauge = self.find(rotor.runout_gauge.as_ref(), STEP_GAUGE, INDICATOR, assumed);
        let housing_gauge = self.find(housing.gauge.as_ref(), WIDTH_GAUGE, MICROMETER, assumed);
        let squareness = rotor.squareness_u.unwrap_or(SQUARENESS);
        let mut readings = |taken: &model::RotorReadings, what: &str| {
            if taken.gear_runout.is_none() && taken.plain_runout.is_none() {
                assumed.note(format!(
                    "lands of {}{what} square to the bore within {} (no run-out read)",
                    rotor.serial,
                    squareness.as_amount(self.first)
                ));
            }
            let measured_at = measured_at(
                index,
                (taken.temperature, taken.temperature_u.map(|u| u.to_k())),
                rotor_expansion,
                &rotor.serial,
                &[&width_gauge, &step_gauge],
                assumed,
            );
            RotorReadings {
                land_width: taken.land_width,
                gear_step: taken.gear_step,
                plain_step: taken.plain_step,
                tip_width: taken.tip_width,
                gear_runout: taken.gear_runout,
                plain_runout: taken.plain_runout,
                width_gauge,
                step_gauge,
                runout_gauge,
                measured_at,
                squareness,
            }
        };
        let before = readings(&rotor.readings, "");
        let after = rotor.after.as_ref().map(|taken| readings(taken, " after cutting"));
        let measured_at = measured_at(
            self.build.rotors.len() + index,
            (housing.temperature, housing.temperature_u.map(|u| u.to_k())),
            housing_expansion,
            &housing.serial,
            &[&housing_gauge],
            assumed,
        );
        let width = HousingReadings {
            width: housing.width.clone(),
            state: match housing.state {
                Clamping::Clamped => HousingState::Clamped,
                Clamping::Free { clamp_up, clamp_up_u } => {
                    HousingState::Free { by: clamp_up, uncertainty: clamp_up_u }
                }
            },
            gauge: housing_gauge,
            measured_at,
        };
        Ok(RotorInputs {
            before,
            after,
            gear_face: match rotor.gear_face {
                Way::Front => Looks::Front,
                Way::Rear => Looks::Rear,
            },
            housing: width.width().ok_or_else(|| InputError::NoWidth(housing.serial.clone()))?,
            housing_gauge,
            front,
            rear,
        })
    }
}

/// The walls in front of the place of a rotor and behind it, counted from 0 from the front.
pub(in crate::ops) fn walls(build: &Build, place: usize) -> [Wall; 2] {
    [Way::Front, Way::Rear].map(|side| wall(build, place, side))
}

/// Side housings stand in order from the front, and the one in front of a rotor shows it the face
/// that looks to the rear.
fn wall(build: &Build, rotor: usize, side: Way) -> Wall {
    let plate = match side {
        Way::Front => build.side_housings.get(rotor),
        Way::Rear => build.side_housings.get(rotor + 1),
    };
    let Some(plate) = plate else { return Wall::default() };
    let wear = |wear: model::Wear| match side {
        Way::Front => wear.rear(),
        Way::Rear => wear.front(),
    };
    Wall {
        land_wear: wear(plate.land_wear),
        tip_wear: wear(plate.tip_wear),
        central_bore: plate.central_bore,
        openings: plate
            .ports
            .values()
            .filter(|port| port.face != side)
            .map(|port| Opening {
                radius_from: port.radius_from,
                radius_to: port.radius_to,
                angle_from: port.angle_from,
                angle_to: port.angle_to,
            })
            .collect(),
    }
}

fn measured_at(
    part: usize,
    (temperature, uncertainty_k): (Option<Temperature>, Option<f64>),
    expansion: Expansion,
    serial: &str,
    gauges: &[&Gauge],
    assumed: &mut Assumed,
) -> MeasuredAt {
    let uncertainty_k = match (temperature, uncertainty_k) {
        (_, Some(u)) => u,
        (Some(_), None) => {
            assumed.note(format!("temperature of {serial} known to {TEMPERATURE_U_K} K"));
            TEMPERATURE_U_K
        }
        // Read at 20 degC, as the file says by saying nothing.
        (None, None) => 0.0,
    };
    let temperature = temperature.unwrap_or(Temperature::REFERENCE);
    if temperature != Temperature::REFERENCE
        && gauges.iter().any(|gauge| gauge.temperature == Temperature::REFERENCE)
    {
        assumed.note(format!(
            "gauges whose temperature is not given at 20 degC while {serial} was measured at {:.1} degC; give it if they were as warm",
            temperature.to_deg_c()
        ));
    }
    MeasuredAt { part, temperature, uncertainty_k, expansion }
}
