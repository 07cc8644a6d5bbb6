//! Balance: from the masses of the rotors to holes in the counterweights.
//!
//! Vectors square to the shaft are complex: the real axis is the throw of rotor 1, the imaginary
//! one a quarter of a turn ahead of it in the sense of rotation. Vectors of a rotor about its own
//! bore have their real axis at tip 1 and the imaginary one a quarter of a turn towards tip 2.

mod grade;

pub use grade::{GRADES_MM_PER_S, Grade, GradeError};
