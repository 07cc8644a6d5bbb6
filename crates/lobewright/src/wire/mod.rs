//! JSON for machines. The shapes here are the contract; kernel types are converted by hand, so
//! that neither changes the other by accident. Plain millimetres, grams and degrees, the unit in
//! the key; a length is rounded to a picometre, past which there is only arithmetic.

mod assembly;
mod balance;
mod calibration;
mod cards;
mod choice;
mod number;
mod plan;
mod prediction;
mod programs;
mod readings;
mod review;
mod room;
pub(crate) mod shop;
mod speed;

pub use assembly::AssemblyJson;
pub use balance::BalanceJson;
pub use calibration::CalibrationJson;
pub use cards::CardsJson;
pub use choice::ChoiceJson;
pub use plan::{PlanJson, Tilts};
pub(crate) use prediction::{PredictionJson, PredictionRead};
pub(crate) use programs::ProgramsJson;
pub use review::ReviewJson;
pub use speed::SpeedJson;
