//! The app asked as browsers ask it, through its router.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

mod bench;
mod builds;
mod disk;
mod door;
mod injection;
mod library;
mod people;
mod readings;
