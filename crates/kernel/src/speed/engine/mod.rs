//! The whole engine at one speed and boost, and over many.

mod assumed;
mod budget;
mod chance;
mod cycles;
mod error;
mod loads;
mod model;
mod point;
mod pushed;
mod sweep;
mod taught;
mod tip_gaps;
mod turning;
mod uncertain;

pub use assumed::{
    AssumedShaft, EngineSizes, assumed_shaft, usual_clearance_m, usual_main_bearing_m,
    usual_rotor_bearing_m, usual_throws_deg,
};
pub use budget::{Budget, Cause, Gap};
pub use chance::{DrawResult, Drawn, RotorChance, RotorDraw};
pub use cycles::Cycles;
pub use error::SpeedError;
pub use loads::{Loads, MainReport, RotorLoads};
pub use model::{
    BackPressure, BearingModel, CYCLE_DEG, CycleKind, EngineModel, EngineRotor, GasSource,
    Hardness, Running, Seat, TURN_DEG,
};
pub use point::{Engine, Point, Pose, Poses, RotorFilm, Scales};
pub use pushed::{Push, Pushed};
pub use sweep::{Greatest, Range, SweepPoint};
pub use taught::Taught;
pub use tip_gaps::{GapTable, HEATS, RotorTips, TILTS, TipGaps};
pub use turning::{Drag, GearModel, RotorTurning, Turning};
pub use uncertain::{Draw, LEAST_MODEL_ERROR, RotorUncertainty, Uncertainty, lower_factor};
