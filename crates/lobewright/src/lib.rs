//! The product: build files in and out, one operation per use case, and the command line.
//!
//! A command reads its words (`cli`), calls one function in [`ops`], and presents what comes back:
//! as text for people, as JSON ([`wire`]) for machines, as pictures through the `drawings` crate, on paper ([`papers`]) through the
//! `paper` crate.

pub mod build_file;
pub mod cli;
mod clock;
pub mod ops;
pub mod papers;
mod text;
pub mod web;
pub mod wire;
