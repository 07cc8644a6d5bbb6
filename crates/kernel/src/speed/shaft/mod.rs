//! The eccentric shaft as a beam: deflection, slope, critical speeds, bending stress.
//!
//! A [`ShaftModel`] lists stretches of constant section, the bodies and unbalances that the shaft
//! carries, its main bearings and the stations of interest. [`Shaft::new`] checks it and cuts it
//! into Timoshenko elements, once. The shaft then answers:
//!
//! - [`Shaft::respond`]: the periodic motion under loads given by harmonics of the shaft's speed,
//!   with the supports' reactions, bending moments and stress,
//! - [`Shaft::flexibility`]: how it yields at the stations at rest,
//! - [`Shaft::critical_speeds`], [`Shaft::natural_frequencies`]: its whirls.
//!
//! [`Shaft::with_rates`] sets it on other springs and dampers without assembling it again.
//!
//! Both planes are one complex number, `u_x + i u_y` and for slopes `(du_x/dz) + i (du_y/dz)`, in
//! the stationary frame of `docs/CONVENTIONS.md`; [`into_shaft`] turns it into the shaft's own.
//! Twist is not a matter of this module.
//!
//! Sections are round and concentric: an eccentric enters as the stretch that stiffens alike, its
//! mass off the axis as an unbalance. Slope means the turn of the section; the axis leans by the
//! shear angle more, by as much to one side in front of a point load as to the other behind it.

mod band;
mod beam;
mod bending;
mod element;
mod error;
mod flexibility;
mod harmonics;
mod model;
mod motion;
mod response;
#[cfg(test)]
mod sample;
#[expect(clippy::module_inception, reason = "the shaft is what the module is about")]
mod shaft;
mod stretch;
mod support;
mod theory;
mod whirl;

pub use bending::{Peak, Peaks, SectionForce};
pub use error::ShaftError;
pub use flexibility::Flexibility;
pub use harmonics::{Harmonics, into_shaft};
pub use model::{Disc, ShaftModel, Unbalance};
pub use motion::{Motion, Reaction, Response};
pub use response::Load;
pub use shaft::Shaft;
pub use stretch::Stretch;
pub use support::{Rates, Support};
pub use theory::{LONGEST_ELEMENT, Mesh, Theory};
pub use whirl::{Sense, Whirl};
