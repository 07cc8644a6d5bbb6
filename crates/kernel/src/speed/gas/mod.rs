//! Pressure in the chambers.
//!
//! One zone per chamber ([`GasModel`]): ports by angles ([`PortTiming`]), Wiebe's burn ([`Burn`]),
//! walls after Woschni ([`WallLoss`]), a gas whose heats vary with temperature ([`WorkingGas`]).
//! The mean cycle is the one that repeats ([`GasModel::mean_cycle`]); the cycles that do harm
//! scatter about it ([`Scatter`]). A cycle's [`Trace`] may as well be measured
//! ([`Trace::read_csv`]). Three traces make the load of a rotor ([`RotorGas`]).

mod burn;
mod chamber;
mod cycle;
mod error;
mod harmonics;
mod integrate;
mod model;
mod periodic;
mod ports;
mod report;
mod rotor_load;
mod trace;
mod trace_csv;
mod walls;
mod working_gas;

pub use burn::{Burn, Knock, Scatter, wiebe};
pub use chamber::{ChamberAt, ChamberError, ChamberForm, GasChamber};
pub use cycle::Trapped;
pub use error::GasError;
pub use harmonics::{CYCLE_DEG, harmonic};
pub use model::{ATMOSPHERE_PA, GasInputs, GasModel, PETROL_CHARGE_J_PER_KG, Supply};
pub use periodic::{ClosedPhase, Cycle};
pub use ports::{NEARLY_EQUAL, PortAreas, PortTiming, Side, orifice_kg_per_s};
pub use report::CycleReport;
pub use rotor_load::{RotorGas, delayed, flank_lag_deg};
pub(crate) use rotor_load::{flank_direction, own_deg};
pub use trace::Trace;
pub use trace_csv::{MOST_GAP_DEG, TraceTextError};
pub use walls::WallLoss;
pub use working_gas::WorkingGas;
