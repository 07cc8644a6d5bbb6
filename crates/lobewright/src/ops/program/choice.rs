//! Which of a build file's machine tools a program is for.

use crate::build_file::Build;
use crate::build_file::keys;
use crate::build_file::model::MachineTool;
use thiserror::Error;

/// Why no machine tool of a build file is chosen.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum NoMachine {
    /// The file has none.
    #[error(
        "the build file has no machine tool; add a [machine_tool.NAME] table, as \
         examples/sprint-boat.toml has one of a mill"
    )]
    None,
    /// The file has several.
    #[error("the build file has several machine tools; name one with --machine: {}", .known.join(", "))]
    Several {
        /// Their names.
        known: Vec<String>,
    },
    /// None of this name.
    #[error("no machine tool {name:?} in the build file; there are {}{}", .known.join(", "), hint(.name, .known))]
    Unknown {
        /// As asked for.
        name: String,
        /// Those there are.
        known: Vec<String>,
    },
}

fn hint(name: &str, known: &[String]) -> String {
    match keys::nearest(name, known.iter().map(String::as_str)) {
        Some(near) => format!("; did you mean {near}?"),
        None => String::new(),
    }
}

/// The machine tool of this name; without a name the only one.
///
/// # Errors
/// [`NoMachine`], with the names there are.
pub fn choose<'b>(
    build: &'b Build,
    name: Option<&str>,
) -> Result<(&'b str, &'b MachineTool), NoMachine> {
    let machines = &build.machine_tools;
    let known = || machines.keys().cloned().collect();
    let mut all = machines.iter().map(|(name, machine)| (name.as_str(), machine));
    match (all.next(), name) {
        (None, _) => Err(NoMachine::None),
        (Some(only), None) if machines.len() == 1 => Ok(only),
        (Some(_), None) => Err(NoMachine::Several { known: known() }),
        (Some(_), Some(name)) => machines
            .get_key_value(name)
            .map(|(name, machine)| (name.as_str(), machine))
            .ok_or_else(|| NoMachine::Unknown { name: name.to_owned(), known: known() }),
    }
}
