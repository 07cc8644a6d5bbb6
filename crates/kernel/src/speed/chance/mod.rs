//! How likely it is that a tip touches: everything uncertain drawn at once, many times.

mod sampling;

pub use sampling::{Chance, SCRAMBLINGS, Samples, Sampling, SamplingError, sample};
