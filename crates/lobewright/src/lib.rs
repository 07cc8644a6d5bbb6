//! The product: build files in and out, one operation per use case, and the command line.

pub mod build_file;
