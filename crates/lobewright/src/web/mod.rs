//! The app of the benches: pages served from the shop's file to the browsers of this machine.
//!
//! A page is a row of a [`route::Route`] table: method, path, who may ask, and a function that
//! takes a [`visit::Visit`], calls one operation in [`crate::ops`] or one question of `records`, and
//! gives a [`reply::Reply`]. `server` puts the rows behind one door: foreign hosts and foreign
//! pages are turned away there, sessions are looked up, and the work is done on a thread that may
//! wait. No formula and no query is in here.

mod api;
mod begin;
mod builds;
mod connections;
mod demonstration;
mod entrance;
mod fields;
mod figures;
mod forms;
mod frame;
mod guesses;
mod guide;
mod headers;
mod kept;
mod labels;
mod library;
mod listen;
mod nights;
mod paper;
mod patient;
mod picture;
mod reached;
mod readings;
mod reply;
mod rights;
mod route;
mod secret;
mod server;
mod sessions;
mod sheet;
mod tables;
mod tls;
mod turned_away;
mod turns;
mod visit;
mod watch;
mod wrong;

pub use demonstration::{DEMONSTRATION_PASSWORD, open_demonstration};
pub use listen::{Called, Listening, NoName, Secured, ServeError};
pub use route::{Address, addresses};
pub use server::{App, Told, router, serve};
pub use tls::{CertificateError, Renewal};
