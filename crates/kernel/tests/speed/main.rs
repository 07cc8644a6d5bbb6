//! The rotor at speed as a whole: what anybody who builds these engines knows without computing,
//! and what chances must be.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

mod chances;
#[path = "../sample_engine/known.rs"]
mod known;
#[path = "../sample_engine/mod.rs"]
mod sample_engine;
mod sense;
mod tip_gaps;

use kernel::speed::engine::EngineModel;
use kernel::units::Length;

/// The sample with so many rotors, a clearance per side and a step, in micrometres.
fn engine(rotors: usize, clearance_um: f64, step_um: f64) -> EngineModel {
    sample_engine::engine(rotors, Length::um(clearance_um), Length::um(step_um))
}
