//! The app asked as browsers and programs ask it, through its router.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

mod api;
mod backups;
mod bench;
mod builds;
mod cards;
mod choose;
mod disk;
mod door;
mod fuzz;
mod injection;
mod labels_and_tables;
mod library;
mod people;
mod programs;
mod readings;
mod refusals;
mod rights;
mod sessions;
mod teardowns;
mod uploads;
