//! Reports as text of 80 columns: what commands print, and what pages show in full below their
//! pictures.

pub(crate) mod assembly;
pub(crate) mod balance;
pub(crate) mod calibration;
pub(crate) mod cards;
pub(crate) mod life;
pub(crate) mod page;
pub(crate) mod plan;
pub(crate) mod program;
pub(crate) mod review;
mod rotor;
pub(crate) mod salvage;
pub(crate) mod shelf;
pub(crate) mod speed;
pub(crate) mod teardown;
