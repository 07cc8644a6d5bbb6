//! Invented stock for tests of the shelf, and a search that looks at every set.

pub(crate) mod every;
pub(crate) mod lines;
pub(crate) mod numbers;
pub(crate) mod real;
