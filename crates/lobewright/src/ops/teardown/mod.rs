//! What a teardown tells: hours, the highest speed and boost, and what each tip of each face shows,
//! held against what was predicted of the signed build. And tips that were pushed in a clamped
//! housing.

mod back;
mod beside;
mod enter;
mod picture;
mod predicted;
mod told;

#[cfg(test)]
mod tests;

pub use back::{CameBack, all_that_came_back, as_file, came_back, with_prediction};
pub use beside::{Says, TipBeside, beside, counted, face_of, says};
pub use enter::{Entered, Telling, tell, tell_tilt};
pub use picture::{blank_face, face_picture};
pub use predicted::{GapBand, Predicted};
pub use told::TellingError;
