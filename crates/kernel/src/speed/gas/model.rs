//! All that a cycle is computed from, checked together.

use super::super::range::within;
use super::burn::{Burn, Burning, Scatter};
use super::chamber::GasChamber;
use super::error::GasError;
use super::ports::{Port, PortAreas, PortTiming, before, ports};
use super::walls::WallLoss;
use super::working_gas::WorkingGas;

/// Standard atmosphere at sea level, Pa.
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// What the ports lead to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Absolute pressure in the intake manifold, Pa.
    pub manifold_pressure_pa: f64,
    /// Temperature in the intake manifold, K.
    pub manifold_temperature_k: f64,
    /// Absolute back pressure behind the exhaust port, Pa.
    pub exhaust_pressure_pa: f64,
}

impl Supply {
    /// Manifold at atmosphere plus boost (negative for a throttled engine), Pa.
    #[must_use]
    pub fn boosted(
        atmosphere_pa: f64,
        boost_pa: f64,
        manifold_temperature_k: f64,
        exhaust_pressure_pa: f64,
    ) -> Self {
        let manifold_pressure_pa = atmosphere_pa + boost_pa;
        Self { manifold_pressure_pa, manifold_temperature_k, exhaust_pressure_pa }
    }
}

impl Default for Supply {
    /// Wide open without boost: common practice, no source.
    fn default() -> Self {
        Self::boosted(ATMOSPHERE_PA, 0.0, 305.0, ATMOSPHERE_PA + 8e3)
    }
}

/// Heat of a petrol charge, J/kg: 43 MJ/kg, air–fuel ratio 12.5, of which the air burns 82 %.
/// Common practice, no source.
pub const PETROL_CHARGE_J_PER_KG: f64 = 43e6 * 0.82 / 13.5;

/// Inputs of a cycle. Everything but chamber and speed has a default:
/// `GasInputs::usual(chamber, omega_rad_s)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasInputs {
    /// The chamber.
    pub chamber: GasChamber,
    /// Speed of the shaft, rad/s.
    pub omega_rad_s: f64,
    /// Manifold and exhaust.
    pub supply: Supply,
    /// Port timing.
    pub timing: PortTiming,
    /// Port areas.
    pub areas: PortAreas,
    /// The mean cycle's burn.
    pub burn: Burn,
    /// Heat that a kilogram of fresh charge gives when burnt, J/kg.
    pub heat_j_per_kg: f64,
    /// Walls.
    pub walls: WallLoss,
    /// The gas.
    pub gas: WorkingGas,
}

impl GasInputs {
    /// Defaults for everything but chamber and speed.
    #[must_use]
    pub fn usual(chamber: GasChamber, omega_rad_s: f64) -> Self {
        Self {
            chamber,
            omega_rad_s,
            supply: Supply::default(),
            timing: PortTiming::default(),
            areas: PortAreas::default(),
            burn: Burn::default(),
            heat_j_per_kg: PETROL_CHARGE_J_PER_KG,
            walls: WallLoss::default(),
            gas: WorkingGas::default(),
        }
    }
}

/// Inputs that were checked and fit each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasModel {
    pub(super) inputs: GasInputs,
    pub(super) intake: Port,
    pub(super) exhaust: Port,
}

impl GasModel {
    /// Checks inputs.
    ///
    /// # Errors
    /// A value outside its limits, or events in an order that makes no cycle: the burn must begin
    /// after the intake closes and end before the exhaust opens.
    pub fn new(inputs: GasInputs) -> Result<Self, GasError> {
        within("the speed of the shaft", inputs.omega_rad_s, "rad/s", (10.0, 3000.0))?;
        let supply = inputs.supply;
        within("the manifold pressure", supply.manifold_pressure_pa, "Pa", (1e4, 1e6))?;
        within("the manifold temperature", supply.manifold_temperature_k, "K", (200.0, 500.0))?;
        within("the exhaust back pressure", supply.exhaust_pressure_pa, "Pa", (1e4, 1e6))?;
        within("the heat of the charge", inputs.heat_j_per_kg, "J/kg", (0.0, 5e6))?;
        inputs.walls.checked()?;
        let (intake, exhaust) = ports(inputs.timing, inputs.areas)?;
        let model = Self { inputs, intake, exhaust };
        model.burning(Scatter::MEAN)?;
        Ok(model)
    }

    /// What it was made from.
    #[must_use]
    pub const fn inputs(&self) -> &GasInputs {
        &self.inputs
    }

    /// When the intake closes, degrees of the shaft before or after the firing top dead centre
    /// that follows: a cycle is computed from here on.
    pub(super) fn start_deg(&self) -> f64 {
        self.intake.closes_deg - 1080.0
    }

    /// The burn of a cycle, between shut ports.
    pub(super) fn burning(&self, scatter: Scatter) -> Result<Burning, GasError> {
        let burning = Burning::new(self.inputs.burn, scatter)?;
        before("intake closes", self.start_deg(), "ignition", burning.start_deg())?;
        before("the end of the burn", burning.end_deg(), "exhaust opens", self.exhaust.opens_deg)?;
        Ok(burning)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::chamber::ChamberForm;
    use super::*;

    /// An invented two-rotor's chamber: R 105, e 15, b 80 mm.
    pub(in super::super) fn chamber(compression_ratio: f64) -> GasChamber {
        GasChamber::new(ChamberForm {
            generating_radius_m: 0.105,
            eccentricity_m: 0.015,
            width_m: 0.08,
            compression_ratio,
        })
        .unwrap()
    }

    /// The same under 0.9 bar of boost at 9800 r/min.
    pub(in super::super) fn boosted() -> GasInputs {
        GasInputs {
            supply: Supply::boosted(ATMOSPHERE_PA, 0.9e5, 320.0, 1.7e5),
            ..GasInputs::usual(chamber(9.0), 9800.0 * std::f64::consts::PI / 30.0)
        }
    }

    #[test]
    fn a_burn_into_the_open_exhaust_is_refused() {
        let mut inputs = boosted();
        inputs.burn.duration_deg = 240.0;
        let text = GasModel::new(inputs).unwrap_err().to_string();
        assert!(text.contains("the end of the burn at 215 degrees"), "{text}");
        let model = GasModel::new(boosted()).unwrap();
        let slow = Scatter { duration_ratio: 4.0, ..Scatter::MEAN };
        assert!(model.burning(slow).is_err());
    }

    #[test]
    fn every_input_is_checked() {
        let wrong: [fn(&mut GasInputs); 6] = [
            |i| i.omega_rad_s = f64::NAN,
            |i| i.supply.manifold_pressure_pa = -1.0,
            |i| i.supply.manifold_temperature_k = 20.0,
            |i| i.supply.exhaust_pressure_pa = f64::INFINITY,
            |i| i.heat_j_per_kg = 43e6,
            |i| i.walls.factor = -1.0,
        ];
        for change in wrong {
            let mut inputs = boosted();
            change(&mut inputs);
            assert!(GasModel::new(inputs).is_err());
        }
    }
}
