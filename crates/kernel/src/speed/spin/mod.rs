//! Speed ripple, twist of the shaft, and the force of the phasing gear.
//!
//! The torque of the rotors swings several times about its mean; the shaft answers with ripple
//! and twist ([`TorsionChain`], [`Ripple`]). Each rotor must follow its journal's ripple at a third
//! of it, and its gear sees to that against the drag of its seals ([`PhasingGear`], [`SealDrag`]):
//! beside its bearing, so it tilts the rotor. So does gas that stands on one side face more than
//! on the other ([`SideGas`]); the rotor's own inertia helps the tilt along ([`RotorInertia`]).

mod drag;
mod error;
mod gear;
mod ripple;
mod side_gas;
mod tilt;
mod torsion;

pub use drag::SealDrag;
pub use error::SpinError;
pub use gear::{MeshLoad, PhasingGear, RotorDriven, USUAL_PRESSURE_ANGLE_RAD};
pub use ripple::{Ripple, RippleInputs, TorqueAt, TorsionDamping, USUAL_HIGHEST_ORDER};
pub use side_gas::{SideGas, SideLoad};
pub use tilt::RotorInertia;
pub use torsion::{InertiaAt, ShaftSection, TorsionChain, TorsionMode, rotor_on_shaft_kg_m2};
