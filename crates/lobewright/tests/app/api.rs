//! The interface for programs: against its document, from an empty shop to a signed build, and
//! against what nobody should send.

mod boat;
mod contract;
mod covered;
mod document;
mod hostile;
mod page;
mod program;
mod whole;
