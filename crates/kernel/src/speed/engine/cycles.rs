//! The mean, the hard and the knocking cycle at one speed and boost.

use super::super::gas::{
    ATMOSPHERE_PA, ChamberForm, CycleReport, GasChamber, GasModel, Knock, RotorGas, Scatter, Trace,
};
use super::error::SpeedError;
use super::model::{CycleKind, EngineModel, GasSource, Hardness, Running};

/// Between the mean cycle (0) and the usual hard one (1), how far a hard cycle is looked for.
const MOST_HARD: f64 = 3.0;
/// Share of the charge that knocks, up to which a knocking cycle is looked for.
const MOST_KNOCK: f64 = 0.5;
/// Halvings until a peak is met.
const HALVINGS: usize = 30;
/// How near to a stated peak is near enough, relative.
const NEAR: f64 = 1e-3;
/// Peak of a hard and of a knocking cycle over the mean one where only a measured mean trace is
/// there and the file does not say: common practice, no source.
const MEASURED_HARD: f64 = 1.15;
const MEASURED_KNOCK: f64 = 1.35;
/// Degrees before and after top dead centre between which a measured trace is made harder.
const BURN_DEG: [f64; 2] = [-60.0, 200.0];

/// Traces of the three cycles, and the report of those that were computed.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycles {
    /// The chamber.
    pub chamber: GasChamber,
    /// Mean, hard, knocking.
    pub traces: [Trace; 3],
    /// What a builder looks at; nothing of measured traces.
    pub reports: [Option<CycleReport>; 3],
    /// Absolute pressure inside the crankcase.
    crankcase_pa: f64,
}

impl Cycles {
    /// At one speed and boost.
    ///
    /// # Errors
    /// [`SpeedError`] for gas that cannot be computed, or a hardness that no cycle has.
    pub fn of(model: &EngineModel, running: Running) -> Result<Self, SpeedError> {
        let chamber = GasChamber::new(ChamberForm {
            generating_radius_m: model.generating_radius_m,
            eccentricity_m: model.eccentricity_m,
            width_m: model.width_m,
            compression_ratio: model.compression_ratio,
        })?;
        let crankcase_pa = model.crankcase_pa;
        match &model.gas {
            GasSource::Computed(inputs) => {
                let mut inputs = **inputs;
                inputs.chamber = chamber;
                inputs.omega_rad_s = running.omega_rad_s;
                let back = model.back_pressure;
                inputs.supply.manifold_pressure_pa = ATMOSPHERE_PA + running.boost_pa;
                inputs.supply.exhaust_pressure_pa =
                    ATMOSPHERE_PA + back.still_pa + back.per_boost * running.boost_pa.max(0.0);
                let gas = GasModel::new(inputs)?;
                let mean = gas.mean_cycle()?;
                let hard_scatter = hard(&gas, &mean, model.hardness)?;
                let hard = gas.scattered(&mean, hard_scatter)?;
                let knocking = knocking(&gas, &mean, hard_scatter, model.hardness)?;
                Ok(Self {
                    chamber,
                    reports: [Some(mean.report), Some(hard.report), Some(knocking.report)],
                    traces: [mean.trace, hard.trace, knocking.trace],
                    crankcase_pa,
                })
            }
            GasSource::Measured { trace, boost_pa } => {
                // The pressure in a closed chamber goes with what was shut in.
                let scale = (ATMOSPHERE_PA + running.boost_pa) / (ATMOSPHERE_PA + boost_pa);
                let harder = |ratio: f64| -> Result<Trace, SpeedError> {
                    let pressure_pa = trace
                        .pressure_pa()
                        .iter()
                        .enumerate()
                        .map(|(degree, p)| scale * p * (1.0 + (ratio - 1.0) * burning(degree)))
                        .collect();
                    Ok(Trace::measured(pressure_pa)?)
                };
                let ratios = [
                    1.0,
                    model.hardness.hard.unwrap_or(MEASURED_HARD),
                    model.hardness.knocking.unwrap_or(MEASURED_KNOCK),
                ];
                let [mean, hard, knocking] = ratios.map(harder);
                Ok(Self {
                    chamber,
                    traces: [mean?, hard?, knocking?],
                    reports: [None; 3],
                    crankcase_pa,
                })
            }
        }
    }

    /// The trace of a cycle.
    #[must_use]
    pub fn trace(&self, kind: CycleKind) -> &Trace {
        &self.traces[kind as usize]
    }

    /// Peak pressure, absolute, and the degrees after top dead centre where it is.
    #[must_use]
    pub fn peak(&self, kind: CycleKind) -> (f64, f64) {
        self.trace(kind).peak()
    }

    /// The load of a rotor whose three chambers all have this cycle.
    ///
    /// # Errors
    /// [`SpeedError::Gas`] for a pressure in the crankcase that is none.
    pub fn rotor(&self, kind: CycleKind) -> Result<RotorGas, SpeedError> {
        Ok(RotorGas::alike(self.chamber, self.trace(kind), self.crankcase_pa)?)
    }

    /// Indicated mean pressure of a cycle, Pa.
    #[must_use]
    pub fn mean_pressure_pa(&self, kind: CycleKind) -> f64 {
        self.trace(kind).work_j(&self.chamber) / self.chamber.swept_m3()
    }
}

/// How much of the burn's harder pressure is there, 0 to 1, smooth at its ends.
fn burning(degree: usize) -> f64 {
    let degree = degree as f64;
    let degree = if degree > 540.0 { degree - 1080.0 } else { degree };
    let [from, to] = BURN_DEG;
    if degree <= from || degree >= to {
        return 0.0;
    }
    let rise = ((degree - from) / -from).min(1.0);
    let fall = ((to - degree) / (to - 60.0)).min(1.0);
    let smooth = |x: f64| x * x * (3.0 - 2.0 * x);
    smooth(rise) * smooth(fall)
}

/// What is a part of the way from the mean cycle to the usual hard one, or beyond it.
fn between(part: f64) -> Scatter {
    let hard = Scatter::HARD;
    Scatter {
        earlier_deg: part * hard.earlier_deg,
        duration_ratio: hard.duration_ratio.powf(part),
        heat_ratio: 1.0 + part * (hard.heat_ratio - 1.0),
        knock: None,
    }
}

type Computed = super::super::gas::Cycle;

/// The scatter whose peak is `wanted` times the mean one's, by halving.
fn meet(
    gas: &GasModel,
    mean: &Computed,
    wanted: f64,
    most: f64,
    scatter: impl Fn(f64) -> Scatter,
) -> Result<Scatter, SpeedError> {
    let ratio = |part: f64| -> Result<f64, SpeedError> {
        let cycle = gas.scattered(mean, scatter(part))?;
        Ok(cycle.report.peak_pressure_pa / mean.report.peak_pressure_pa)
    };
    let (mut low, mut high) = (0.0, most);
    let reached = ratio(most)?;
    if reached < wanted {
        return Err(SpeedError::Hardness { wanted, reached });
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let now = ratio(middle)?;
        if (now / wanted - 1.0).abs() < NEAR {
            return Ok(scatter(middle));
        }
        if now < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(scatter(0.5 * (low + high)))
}

fn hard(gas: &GasModel, mean: &Computed, hardness: Hardness) -> Result<Scatter, SpeedError> {
    match hardness.hard {
        None => Ok(Scatter::HARD),
        Some(wanted) => meet(gas, mean, wanted, MOST_HARD, between),
    }
}

fn knocking(
    gas: &GasModel,
    mean: &Computed,
    hard: Scatter,
    hardness: Hardness,
) -> Result<Computed, SpeedError> {
    let knocking =
        |share: f64| Scatter { knock: Some(Knock { share, ..Knock::default() }), ..hard };
    let scatter = match hardness.knocking {
        None => knocking(Knock::default().share),
        Some(wanted) => meet(gas, mean, wanted, MOST_KNOCK, knocking)?,
    };
    Ok(gas.scattered(mean, scatter)?)
}
