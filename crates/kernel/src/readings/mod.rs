//! From readings to heights: adjustment, uncertainty, misreadings and verdicts.

mod heights;

pub use heights::{Face, FaceHeights, Heights, TIPS};
