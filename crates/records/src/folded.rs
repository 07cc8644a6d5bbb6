//! Search that does not mind capitals, in any alphabet: the database itself knows only ASCII.

use rusqlite::Connection;
use rusqlite::functions::FunctionFlags;

/// Adds `found_in(needle, text)`: whether a text has a needle, folded already, anywhere in it.
pub(crate) fn add_to(connection: &Connection) -> Result<(), rusqlite::Error> {
    connection.create_scalar_function(
        "found_in",
        2,
        FunctionFlags::SQLITE_UTF8
            | FunctionFlags::SQLITE_DETERMINISTIC
            | FunctionFlags::SQLITE_DIRECTONLY,
        |arguments| {
            let needle = arguments.get_raw(0).as_str()?;
            let Some(text) = arguments.get_raw(1).as_str_or_null()? else { return Ok(false) };
            Ok(folded(text).contains(needle))
        },
    )
}

/// In lower case.
pub(crate) fn folded(text: &str) -> String {
    text.to_lowercase()
}
