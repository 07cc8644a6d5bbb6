//! What a builder looks at to see whether a cycle can be believed.

use super::cycle::{GasState, Trapped, at};
use super::model::GasInputs;
use super::periodic::exhaust_k;
use super::trace::Trace;
use std::f64::consts::TAU;

/// Figures of one cycle of one chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CycleReport {
    /// Largest absolute pressure, Pa.
    pub peak_pressure_pa: f64,
    /// Where it is, degrees of the shaft after the firing top dead centre.
    pub peak_at_deg: f64,
    /// Work on the rotor in a cycle, gas exchange included, J.
    pub work_j: f64,
    /// Work over the swept volume, Pa, of the whole cycle of 1080 degrees.
    pub indicated_mean_pressure_pa: f64,
    /// Mean torque on the shaft from the three chambers of a rotor, N m: each does the work once
    /// in three turns, so one cycle's work is done per turn.
    pub rotor_torque_n_m: f64,
    /// Power of a rotor, W.
    pub rotor_power_w: f64,
    /// Fresh charge shut in, kg.
    pub trapped_fresh_kg: f64,
    /// All gas shut in, kg.
    pub trapped_kg: f64,
    /// Share of burnt gas in it, left from the cycle before.
    pub residual_share: f64,
    /// Fresh charge shut in over what the swept volume would hold at the manifold's state.
    pub volumetric_efficiency: f64,
    /// Share of the fresh charge taken in that leaves through the exhaust, blown through or
    /// unburnt.
    pub lost_charge_share: f64,
    /// Mean temperature of what goes out through the exhaust, K.
    pub exhaust_temperature_k: f64,
    /// Highest temperature, K.
    pub peak_temperature_k: f64,
    /// Heat released, J. What follows is where it goes, as shares of it.
    pub heat_released_j: f64,
    /// Work over heat; 0 where nothing burns, as all shares.
    pub work_share: f64,
    /// To the walls.
    pub walls_share: f64,
    /// With the exhaust, less what came with the intake.
    pub exhaust_share: f64,
    /// Still in the gas at the end: 0 for the mean cycle, which repeats.
    pub kept_share: f64,
}

impl CycleReport {
    pub(super) fn of(inputs: &GasInputs, trapped: &Trapped, trace: &Trace, end: &GasState) -> Self {
        let swept_m3 = inputs.chamber.swept_m3();
        let supply = inputs.supply;
        let density_kg_per_m3 = supply.manifold_pressure_pa
            / (inputs.gas.gas_constant_j_per_kg_k() * supply.manifold_temperature_k);
        let trapped_kg = trapped.fresh_kg + trapped.burnt_kg;
        let (peak_pressure_pa, peak_at_deg) = trace.peak();
        let work_j = end[at::WORK_J];
        let heat_released_j = end[at::RELEASED_J];
        let share = |j: f64| if heat_released_j > 0.0 { j / heat_released_j } else { 0.0 };
        let start_j = trapped_kg * inputs.gas.energy_j_per_kg(trapped.temperature_k);
        Self {
            peak_pressure_pa,
            peak_at_deg,
            work_j,
            indicated_mean_pressure_pa: work_j / swept_m3,
            rotor_torque_n_m: work_j / TAU,
            rotor_power_w: work_j / TAU * inputs.omega_rad_s,
            trapped_fresh_kg: trapped.fresh_kg,
            trapped_kg,
            residual_share: trapped.burnt_kg / trapped_kg,
            volumetric_efficiency: trapped.fresh_kg / (density_kg_per_m3 * swept_m3),
            lost_charge_share: if end[at::INTAKE_FRESH_KG] > 0.0 {
                end[at::EXHAUST_FRESH_KG] / end[at::INTAKE_FRESH_KG]
            } else {
                0.0
            },
            exhaust_temperature_k: exhaust_k(trapped, end),
            peak_temperature_k: trace
                .temperature_k()
                .map_or(0.0, |t| t.iter().copied().fold(0.0, f64::max)),
            heat_released_j,
            work_share: share(work_j),
            walls_share: share(end[at::WALLS_J]),
            exhaust_share: share(end[at::EXHAUST_J] - end[at::INTAKE_J]),
            kept_share: share(end[at::ENERGY_J] - start_j),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::GasModel;
    use super::super::model::tests::boosted;

    #[test]
    fn the_shares_of_the_heat_add_up_and_a_boosted_rotor_is_believable() {
        let report = GasModel::new(boosted()).unwrap().mean_cycle().unwrap().report;
        let sum = report.work_share + report.walls_share + report.exhaust_share + report.kept_share;
        assert!((sum - 1.0).abs() < 1e-11, "{sum}");
        assert!(report.kept_share.abs() < 1e-5);
        // What the trade would believe: common practice, no source.
        let bar = |pa: f64| pa / 1e5;
        assert!((60.0..110.0).contains(&bar(report.peak_pressure_pa)), "{report:?}");
        assert!((20.0..50.0).contains(&report.peak_at_deg), "{report:?}");
        assert!((12.0..24.0).contains(&bar(report.indicated_mean_pressure_pa)), "{report:?}");
        assert!((0.10..0.30).contains(&report.walls_share), "{report:?}");
        assert!((0.8..1.3).contains(&report.volumetric_efficiency), "{report:?}");
        assert!((900.0..1500.0).contains(&report.exhaust_temperature_k), "{report:?}");
    }
}
