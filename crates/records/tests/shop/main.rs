//! The shop's file, asked from outside: real files in folders of their own.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "in a test a panic is the report"
)]

mod bringing_in;
mod canonical_form;
mod carrying;
mod crowd;
mod full_disk;
mod histories;
mod injection;
mod killed;
mod opening;
mod queries;
mod restoring;
mod salvaging;
mod sample;
mod signing;
mod small_disk;
mod tampering;
mod triggers;
mod upgrade;
mod whole_files;
