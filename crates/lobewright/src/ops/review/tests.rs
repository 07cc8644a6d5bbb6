//! Specs looked at again.
