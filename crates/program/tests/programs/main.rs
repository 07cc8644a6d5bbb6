//! Programs from outside: what is given out, what is refused, and why.

mod golden;
mod passing;
mod refused;
mod sample;
