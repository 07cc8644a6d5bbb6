//! Whoever owns a spec takes what the teardowns teach into it, as its next version.

use super::super::library::{LibraryError, add_spec};
use super::Calibrated;
use kernel::speed::engine::Taught;
use records::{Line, Moment, PersonId, RecordsError, Sha, Shop, SpecId};
use thiserror::Error;

/// The table of a spec that it goes into.
const TABLE: &str = "spec.calibration.";

/// Why it was not taken.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum AcceptError {
    /// Nothing came back yet.
    #[error("nothing has come back yet that could be taken into a spec")]
    Nothing,
    /// Not theirs.
    #[error("{name} is a spec of {owner}; whoever owns a spec takes this into it")]
    NotOwner {
        /// Which spec.
        name: String,
        /// Whose it is.
        owner: String,
    },
    /// Something else was looked at.
    #[error("the teardowns say something else now than when you looked; look at them again")]
    Changed,
    /// A later version is there.
    #[error("{name} has version {version} by now; take it into that one")]
    Older {
        /// Which spec.
        name: String,
        /// Its last version.
        version: i64,
    },
    /// The spec refuses it.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// The shop's file refuses it.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// What would be taken: the lines of a spec, and a word by which it is known that they are the ones
/// that were looked at.
#[must_use]
pub fn offered(calibrated: &Calibrated) -> (Vec<Line>, String) {
    let Taught { tilt, heat, seen_below_m, u, together } = calibrated.posterior.taught();
    let line = |key: &str, value: String| Line { place: format!("{TABLE}{key}"), value };
    let number = |value: f64| format!("{value:.4}");
    let length = |m: f64| format!("\"{:.2} um\"", m * 1e6);
    let from = toml_edit::Value::from(format!("{} of this shop", calibrated.rests_on()));
    let lines = vec![
        line("from", from.to_string()),
        line("tilt", number(tilt)),
        line("tilt_u", number(u[0])),
        line("heat", number(heat)),
        line("heat_u", number(u[1])),
        line("contact_below", length(seen_below_m)),
        line("contact_below_u", length(u[2])),
        line("tilt_heat", number(together[0])),
        line("tilt_contact", number(together[1])),
        line("heat_contact", number(together[2])),
    ];
    let text: String =
        lines.iter().map(|line| format!("{} = {}\n", line.place, line.value)).collect();
    let word = Sha::of(text.as_bytes()).to_string();
    (lines, word)
}

/// Keeps the next version of a spec with it, if whoever asks owns the spec and looked at what is
/// taken; `word` is the one of [`offered`] that they saw.
///
/// # Errors
/// [`AcceptError`]; nothing is kept then.
pub fn accept(
    shop: &Shop,
    id: SpecId,
    calibrated: &Calibrated,
    word: &str,
    (person, at): (PersonId, &Moment),
) -> Result<SpecId, AcceptError> {
    if !calibrated.rests_on_something() {
        return Err(AcceptError::Nothing);
    }
    let specs = shop.specs()?;
    let spec = specs.iter().find(|spec| spec.id == id);
    let spec = spec.ok_or_else(|| RecordsError::NotThere { what: format!("spec {id}") })?;
    let name = || spec.name.clone();
    let versions = specs.iter().filter(|other| other.name == spec.name);
    let last = versions.map(|other| other.version).max().unwrap_or(spec.version);
    if last != spec.version {
        return Err(AcceptError::Older { name: name(), version: last });
    }
    if spec.owner != person {
        let owner = shop.people()?.into_iter().find(|other| other.id == spec.owner);
        let owner = owner.map_or_else(|| "somebody else".to_owned(), |owner| owner.name);
        return Err(AcceptError::NotOwner { name: name(), owner });
    }
    let (taught, now) = offered(calibrated);
    if now != word {
        return Err(AcceptError::Changed);
    }
    let mut lines = shop.spec_lines(id)?;
    lines.retain(|line| !line.place.starts_with(TABLE));
    lines.extend(taught);
    Ok(add_spec(shop, &spec.name, lines, (person, at))?)
}
