//! The mean cycle: the one that follows itself; and the cycles that scatter about it.

use super::super::range::within;
use super::burn::Scatter;
use super::cycle::{FINE, Followed, GasState, ROUGH, Trapped, at};
use super::error::GasError;
use super::model::GasModel;
use super::report::CycleReport;
use super::trace::Trace;
use super::working_gas::WorkingGas;

/// Largest relative change of the trapped gas from one mean cycle to the next.
const PERIODIC: f64 = 3e-7;
/// After this many cycles a change that the steps' own accuracy explains is accepted: where the
/// ports are stiff it does not get smaller.
const PATIENT_CYCLES: usize = 20;
/// That change.
const EXPLAINED: f64 = 3e-6;
/// From this change on cycles are followed with full accuracy.
const NEAR: f64 = 1e-3;
/// And after this many in any case: rough cycles may differ by more than that for ever.
const ROUGH_CYCLES: usize = 5;
/// From here on steps are finer still: what does not repeat by now is the steps' own noise, which
/// stiff ports and a small flow out make large.
const FINER_CYCLES: usize = 40;
/// By how much.
const FINER: f64 = 0.1;
/// Gas of which more than this is burnt does not fire: inputs that lead there make no engine that
/// runs.
const MOST_BURNT: f64 = 0.9;
/// Cycles before giving up. The trapped gas remembers a few per cent of the gas before it, so
/// four to eight suffice; an engine that hardly breathes against its exhaust needs many more.
const MOST_CYCLES: usize = 200;
/// Where the search begins: what goes out through the exhaust, K.
const FIRST_EXHAUST_K: f64 = 1100.0;

/// A cycle, whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// Pressure, temperature and mass at each degree.
    pub trace: Trace,
    /// What a builder looks at.
    pub report: CycleReport,
    /// The gas it began with when the intake closed.
    pub trapped: Trapped,
    /// Largest error of the energy account at any degree over the heat released, or over the
    /// energy of the trapped gas where that is more.
    pub energy_error: f64,
    /// Largest error of the account of masses at any degree over the trapped mass.
    pub mass_error: f64,
}

/// A chamber's gas between shut ports, from the closing of the intake to the opening of the
/// exhaust.
#[derive(Debug, Clone, PartialEq)]
pub struct ClosedPhase {
    /// Whole degrees of the shaft after the firing top dead centre, with absolute pressure, Pa.
    pub pressure_pa: Vec<(i64, f64)>,
    /// Work on the rotor, J.
    pub work_j: f64,
    /// Heat released, J.
    pub released_j: f64,
    /// Heat to the walls, J.
    pub walls_j: f64,
}

impl GasModel {
    /// The mean cycle, found by going through cycles until the trapped gas repeats.
    ///
    /// # Errors
    /// A cycle that cannot be followed, that does not repeat after many, that hardly takes fresh
    /// charge, or whose gas gets hotter or colder than its properties are known for.
    pub fn mean_cycle(&self) -> Result<Cycle, GasError> {
        let supply = self.inputs.supply;
        let mut trapped = Trapped {
            fresh_kg: supply.manifold_pressure_pa
                * self.inputs.chamber.at(self.start_deg()).volume_m3
                / (self.inputs.gas.gas_constant_j_per_kg_k() * supply.manifold_temperature_k),
            burnt_kg: 0.0,
            temperature_k: supply.manifold_temperature_k,
            exhaust_temperature_k: FIRST_EXHAUST_K,
        };
        let mut residual = f64::INFINITY;
        for cycle in 0..MOST_CYCLES {
            let wanted = if cycle < PATIENT_CYCLES { PERIODIC } else { EXPLAINED };
            let rough = residual > NEAR && cycle < ROUGH_CYCLES;
            let tolerance = match cycle {
                _ if rough => ROUGH,
                FINER_CYCLES.. => FINER * FINE,
                _ => FINE,
            };
            let followed = self.follow(&trapped, Scatter::MEAN, true, tolerance)?;
            let next = self.trapped_at(&trapped, &followed);
            let mass_kg = trapped.fresh_kg + trapped.burnt_kg;
            residual = ((next.fresh_kg - trapped.fresh_kg) / mass_kg)
                .abs()
                .max(((next.burnt_kg - trapped.burnt_kg) / mass_kg).abs())
                .max((next.temperature_k / trapped.temperature_k - 1.0).abs())
                .max((next.exhaust_temperature_k / trapped.exhaust_temperature_k - 1.0).abs());
            if residual < wanted && !rough {
                return self.finished(&trapped, &followed);
            }
            trapped = next;
        }
        Err(GasError::NotPeriodic { cycles: MOST_CYCLES, residual, wanted: EXPLAINED })
    }

    /// A cycle that differs from the mean one as told, on the mean cycle's trapped gas. It does
    /// not quite end where it began; its trace jumps by that where the intake closes.
    ///
    /// # Errors
    /// Scatter outside its limits, a burn that runs into an open port, a cycle that cannot be
    /// followed.
    pub fn scattered(&self, mean: &Cycle, scatter: Scatter) -> Result<Cycle, GasError> {
        let followed = self.follow(&mean.trapped, scatter, true, FINE)?;
        self.finished(&mean.trapped, &followed)
    }

    /// Only the part between shut ports, from this gas on.
    ///
    /// # Errors
    /// Gas that is none, or that cannot be followed.
    pub fn closed_phase(
        &self,
        trapped: Trapped,
        scatter: Scatter,
    ) -> Result<ClosedPhase, GasError> {
        within("the trapped fresh charge", trapped.fresh_kg, "kg", (1e-9, 1.0))?;
        within("the trapped burnt gas", trapped.burnt_kg, "kg", (0.0, 1.0))?;
        within("the temperature of the trapped gas", trapped.temperature_k, "K", (200.0, 1500.0))?;
        let followed = self.follow(&trapped, scatter, false, FINE)?;
        Ok(ClosedPhase {
            pressure_pa: followed
                .whole
                .iter()
                .map(|(degree, state)| (*degree, self.pressure_pa(*degree, state).0))
                .collect(),
            work_j: followed.end[at::WORK_J],
            released_j: followed.end[at::RELEASED_J],
            walls_j: followed.end[at::WALLS_J],
        })
    }

    fn trapped_at(&self, before: &Trapped, followed: &Followed) -> Trapped {
        let end = &followed.end;
        let mass_kg = end[at::FRESH_KG] + end[at::BURNT_KG];
        Trapped {
            fresh_kg: end[at::FRESH_KG],
            burnt_kg: end[at::BURNT_KG],
            temperature_k: self.inputs.gas.temperature_k(end[at::ENERGY_J] / mass_kg),
            exhaust_temperature_k: exhaust_k(before, end),
        }
    }

    /// Pressure and temperature of a state.
    #[expect(clippy::cast_precision_loss, reason = "a degree of a few turns")]
    fn pressure_pa(&self, degree: i64, state: &[f64; at::COUNT]) -> (f64, f64) {
        let gas = &self.inputs.gas;
        let mass_kg = state[at::FRESH_KG] + state[at::BURNT_KG];
        let temperature_k = gas.temperature_k(state[at::ENERGY_J] / mass_kg);
        let volume_m3 = self.inputs.chamber.at(degree as f64).volume_m3;
        (mass_kg * gas.gas_constant_j_per_kg_k() * temperature_k / volume_m3, temperature_k)
    }

    fn finished(&self, trapped: &Trapped, followed: &Followed) -> Result<Cycle, GasError> {
        let mut pressure_pa = vec![f64::NAN; Trace::COUNT];
        let mut temperature_k = pressure_pa.clone();
        let mut mass_kg = pressure_pa.clone();
        let start_kg = trapped.fresh_kg + trapped.burnt_kg;
        let start_j = start_kg * self.inputs.gas.energy_j_per_kg(trapped.temperature_k);
        let scale_j = followed.end[at::RELEASED_J].max(start_j);
        let residual = trapped.burnt_kg / start_kg;
        within("the share of burnt gas in the trapped charge", residual, "", (-1e-9, MOST_BURNT))?;
        let (mut energy_error, mut mass_error) = (0.0f64, 0.0f64);
        for (degree, state) in &followed.whole {
            let i = degree.rem_euclid(1080) as usize;
            (pressure_pa[i], temperature_k[i]) = self.pressure_pa(*degree, state);
            mass_kg[i] = state[at::FRESH_KG] + state[at::BURNT_KG];
            let known = WorkingGas::TEMPERATURE_K;
            within("the temperature of the gas", temperature_k[i], "K", known)?;
            let account_j =
                start_j + state[at::RELEASED_J] - state[at::WALLS_J] - state[at::WORK_J]
                    + state[at::INTAKE_J]
                    - state[at::EXHAUST_J];
            energy_error = energy_error.max((state[at::ENERGY_J] - account_j).abs() / scale_j);
            let account_kg = start_kg + state[at::INTAKE_KG] - state[at::EXHAUST_KG];
            mass_error = mass_error.max((mass_kg[i] - account_kg).abs() / start_kg);
        }
        let trace = Trace::computed(pressure_pa, temperature_k, mass_kg)?;
        let report = CycleReport::of(&self.inputs, trapped, &trace, &followed.end);
        Ok(Cycle { trace, report, trapped: *trapped, energy_error, mass_error })
    }
}

/// Mean temperature of what went out through the exhaust; what it was before where nothing did.
pub(super) fn exhaust_k(before: &Trapped, end: &GasState) -> f64 {
    if end[at::OUT_KG] > 0.0 {
        end[at::OUT_KG_K] / end[at::OUT_KG]
    } else {
        before.exhaust_temperature_k
    }
}

#[cfg(test)]
mod tests {
    use super::super::model::tests::boosted;
    use super::*;

    #[test]
    fn the_mean_cycle_repeats_and_its_accounts_balance_at_every_degree() {
        let model = GasModel::new(boosted()).unwrap();
        let mean = model.mean_cycle().unwrap();
        assert!(mean.energy_error < 1e-11, "{}", mean.energy_error);
        assert!(mean.mass_error < 1e-12, "{}", mean.mass_error);
        let again = model.scattered(&mean, Scatter::MEAN).unwrap();
        assert_eq!(again.trace, mean.trace);
        // Where the intake closes one cycle ends and the next begins.
        let step = |i: usize| mean.trace.pressure_pa()[i + 1] / mean.trace.pressure_pa()[i];
        assert!((step(879) / step(880) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_hard_cycle_peaks_higher_and_earlier_and_knock_higher_still() {
        let model = GasModel::new(boosted()).unwrap();
        let mean = model.mean_cycle().unwrap();
        let hard = model.scattered(&mean, Scatter::HARD).unwrap();
        let knocking = model.scattered(&mean, Scatter::knocking()).unwrap();
        assert!(hard.report.peak_pressure_pa > 1.1 * mean.report.peak_pressure_pa);
        assert!(hard.report.peak_at_deg < mean.report.peak_at_deg);
        assert!(knocking.report.peak_pressure_pa > hard.report.peak_pressure_pa);
        assert!(knocking.energy_error < 1e-11);
        assert_eq!(hard.trapped, mean.trapped);
    }

    #[test]
    fn an_engine_that_is_only_turned_over_repeats_too() {
        let model =
            GasModel::new(super::super::model::GasInputs { heat_j_per_kg: 0.0, ..boosted() })
                .unwrap();
        let mean = model.mean_cycle().unwrap();
        assert!(mean.report.heat_released_j == 0.0);
        assert!(mean.energy_error < 1e-11);
    }
}
