//! The eccentric shaft as a beam: deflection, slope, critical speeds, bending stress.
