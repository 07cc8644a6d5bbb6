//! The `lobewright` command.

fn main() {}
