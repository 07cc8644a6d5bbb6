//! What heat does to the room of a rotor: rises above 20 °C, and the sizes that follow.
//!
//! Housing, land and tips grow at their own rates. Four states are looked at: cold, warming up
//! (rotor hot, housing cold, the least clearance), steady, and heat soak after the stop. The side
//! of the housing where combustion happens is hotter than the rest, so that the room between
//! the walls is a wedge.
//!
//! Radii grow as well. They enter only as the ratio of two of them on the same rotor: at 50 K
//! between tip and land and 11e-6 /K the ratio of tip to land radius changes by 0.055 %, which
//! moves the gap at a tip by a tenth of a micrometre at 0.11 mm of clearance per side. The
//! distance from the shaft at which a wear track ends changes by a tenth of a millimetre. Both
//! are left out.

mod state;
mod width;

pub use state::{ASSUMED, STATES, StateName, ThermalState};
pub use width::{HotWidth, grown};
