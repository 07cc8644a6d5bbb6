//! The rotor at speed and under boost: where its tips are when no gauge can see them.
//!
//! The shaft bends ([`shaft`]) under gas ([`gas`]) and inertia, the rotor follows its journal
//! through an oil film ([`film`]), pushed by its gear ([`spin`]), until a land or a tip touches.
//!
//! Inside this module formulas and the structs that carry their numbers are plain SI: `f64` with
//! the unit last in the name. All of it is a screening estimate until calibrated.
pub mod chance;
pub mod engine;
pub mod film;
pub mod gas;
pub mod pose;
mod range;
pub mod shaft;
pub mod spin;

pub use range::OutOfRange;
