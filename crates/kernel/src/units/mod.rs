//! Quantities with their units as types: what a shop writes, exactly, and how it is shown back.
//!
//! A value is kept in SI. What was written in millimetres, thou or inch is converted as an exact
//! decimal before the one rounding to `f64`, so `5 thou` and `0.127 mm` are the same bits.

mod machining;
mod mechanical;
mod quantity;
mod shown;
mod spelling;
mod written;

pub use machining::CuttingSpeed;
pub use mechanical::{
    AngularDamping, AngularStiffness, Damping, ElasticModulus, Force, MomentOfInertia,
    SpecificEnergy, Stiffness, Torque, Unbalance, Velocity, Viscosity,
};
pub use quantity::{
    Angle, Area, Density, Duration, Expansion, GaugePressure, Length, Mass, Speed, Temperature,
    TemperatureDifference, Volume,
};
pub use shown::{Shown, System};
pub use written::{Quantity, QuantityError};
