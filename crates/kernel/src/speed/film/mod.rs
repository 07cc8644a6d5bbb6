//! Oil films of rotor and main bearings, through the cycle.
