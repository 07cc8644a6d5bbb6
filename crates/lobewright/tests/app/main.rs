//! The app asked as browsers ask it, through its router.

mod bench;
mod door;
