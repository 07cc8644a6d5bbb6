//! Pressure in the chambers.
