//! The pictures from outside: what they say, that they can be read, and their golden copies.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

mod any_model;
mod at_speed;
mod at_speed_says;
mod balance;
mod balance_says;
mod dejavu;
mod golden;
mod inspected;
mod legible;
mod marked_face;
mod part_life;
mod past_windows;
mod plating;
mod sample;
mod station;
mod strokes;
