//! The `lobewright` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    lobewright::cli::run()
}
