//! This machine's clock: asked at the edges alone, and given to everything inside.

use records::{Moment, TimeError};

/// This moment, to the second, in UTC.
///
/// # Errors
/// Where the machine's clock stands in no year that a file can have.
pub(crate) fn now() -> Result<Moment, TimeError> {
    Moment::new(&jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string())
}
