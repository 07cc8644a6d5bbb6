//! Programs from outside: what is given out, what is refused, and why.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

mod golden;
mod mutants;
mod mutated;
mod passing;
mod refused;
mod sample;
mod truth;
