//! Machining programs: written, read back by another reader, and checked.
