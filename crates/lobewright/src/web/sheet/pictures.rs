//! Pictures inside a sheet, and their data.

use super::super::picture::inline;
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, cards, gathered};
use crate::ops::{Picture, balance_pictures, pictures_as};
use maud::{Markup, html};

/// Before the names of pictures of the plan that readings after the cut gave.
pub(super) const AGAIN: &str = "again-";

/// Those pictures whose names end in one of these, side by side.
pub(super) fn shown(seen: &Seen<'_>, pictures: &[Picture], endings: &[&str]) -> Markup {
    html! {
        div.pictures {
            @for picture in pictures {
                @if endings.iter().any(|ending| picture.name.ends_with(ending)) {
                    (inline(&picture.svg, Some(&seen.at(&format!("pictures/{}.csv", picture.name)))))
                }
            }
        }
    }
}

/// Pictures of the plan that the machinist works from.
pub(super) fn of_cut(seen: &Seen<'_>) -> Vec<Picture> {
    seen.sheet.cutting_plan().map(|plan| pictures_as(plan, "", seen.first)).unwrap_or_default()
}

/// Pictures of what was measured after it.
pub(super) fn of_after(seen: &Seen<'_>) -> Vec<Picture> {
    match (&seen.sheet.first_plan, seen.sheet.planned()) {
        (Some(_), Some(plan)) => pictures_as(plan, AGAIN, seen.first),
        _ => Vec::new(),
    }
}

/// Pictures of the balance.
pub(super) fn of_balance(seen: &Seen<'_>) -> Vec<Picture> {
    let sheet = &seen.sheet;
    match (&sheet.file.build, sheet.planned(), &sheet.balance) {
        (Ok(build), Some(plan), Some(Ok(report))) => {
            balance_pictures(build, plan, report, seen.first)
        }
        _ => Vec::new(),
    }
}

/// The data of one picture.
pub(super) fn csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let mut all = of_cut(&seen);
    all.extend(of_after(&seen));
    all.extend(of_balance(&seen));
    all.extend(cards::platings(&seen));
    as_csv(visit, all)
}

/// The data of the picture that the address names.
pub(super) fn as_csv(visit: &Visit<'_>, all: Vec<Picture>) -> Result<Reply, Wrong> {
    let name = visit.param("name")?.strip_suffix(".csv").ok_or(Wrong::NoPage)?;
    let picture = all.into_iter().find(|picture| picture.name == name).ok_or(Wrong::NoPage)?;
    Ok(Reply::bytes("text/csv; charset=utf-8", picture.csv.into_bytes())
        .file(&format!("{name}.csv")))
}
