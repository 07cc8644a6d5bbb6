//! The demonstration as it is served: everybody in it has the same password, which the page for
//! signing in says.

use super::listen::ServeError;
use super::secret;
use crate::ops::Demo;
use records::{Moment, Shop};

/// The password of everybody in it.
pub const DEMONSTRATION_PASSWORD: &str = "demonstration";

/// Opens a demonstration to whoever wants to look: its pages begin with the sprint boat's build.
///
/// # Errors
/// Where its file cannot be written.
pub fn open_demonstration(shop: &Shop, demo: &Demo, now: &Moment) -> Result<(), ServeError> {
    let machine = |error: &dyn std::fmt::Display| ServeError::Machine(error.to_string());
    let hashed = secret::hash_of(DEMONSTRATION_PASSWORD).map_err(|error| machine(&error))?;
    let written = || {
        for person in &demo.people {
            shop.set_password(*person, Some(&hashed))?;
        }
        shop.set_setting("demonstration", DEMONSTRATION_PASSWORD)?;
        shop.set_setting("opens", &format!("/builds/{}", demo.sprint_boat))?;
        shop.set_setting("begun", now.as_str())
    };
    written().map_err(|error| machine(&error))
}
