//! The app asked as browsers ask it, through its router.

mod bench;
mod builds;
mod disk;
mod door;
mod injection;
mod library;
mod people;
mod readings;
