//! Lines of a build file as the library keeps them: shown as a table in words, and asked for in
//! forms, one field per line.

use crate::ops::library::{Kept, expected, in_words, line, typed};
use crate::ops::phrase;
use crate::web::fields::Field;
use crate::web::figures;
use crate::web::frame;
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use kernel::units::{Length, Quantity};
use maud::{Markup, html};
use records::Line;
use std::collections::HashMap;

/// What the field of a line is called, before its place.
const AT: &str = "at:";
/// Rows for lines that are not there yet.
const FURTHER: usize = 4;

/// Whether a length was written as a small amount.
pub(super) fn is_small(text: &str) -> bool {
    ["um", "\u{b5}m", "\u{3bc}m", "thou"].iter().any(|unit| text.trim_end().ends_with(unit))
}

/// A length in both systems; nothing of anything else.
fn both(visit: &Visit<'_>, text: &str) -> String {
    match Length::parse(text) {
        Ok(length) if is_small(text) => figures::amount(length, visit.first()),
        Ok(length) => figures::size(length, visit.first()),
        Err(_) => String::new(),
    }
}

/// A place in words, under the head of its table.
fn under(table: &str, place: &str) -> String {
    let words = in_words(place);
    match words.strip_prefix(table).and_then(|rest| rest.strip_prefix(", ")) {
        Some(rest) => rest.to_owned(),
        None => words,
    }
}

fn root(place: &str) -> &str {
    place.split('.').next().unwrap_or(place)
}

/// A table as people read it.
fn called(table: &str) -> String {
    phrase::capitalised(&table.replace('_', " "))
}

/// Lines by the tables they stand in, in the order of their first ones.
fn by_table(lines: &[Line]) -> Vec<(&str, Vec<&Line>)> {
    let mut tables: Vec<(&str, Vec<&Line>)> = Vec::new();
    for line in lines.iter().filter(|line| line.place != "spec.name") {
        let table = root(&line.place);
        match tables.iter_mut().find(|(known, _)| *known == table) {
            Some((_, of_it)) => of_it.push(line),
            None => tables.push((table, vec![line])),
        }
    }
    tables
}

/// All lines in words.
pub(super) fn table(visit: &Visit<'_>, lines: &[Line]) -> Markup {
    let one = |called: &str, lines: &[&Line]| {
        let sizes = lines.iter().any(|line| !both(visit, &typed(line)).is_empty());
        html! {
            table.lines-of {
                caption { (called) }
                thead { tr {
                    th scope="col" { "What" } th scope="col" { "As written" }
                    @if sizes { th scope="col" { "In both units" } }
                } }
                tbody {
                    @for line in lines {
                        @let text = typed(line);
                        tr {
                            th scope="row" { (under(root(&line.place), &line.place)) }
                            td.n { (text) }
                            @if sizes { td.n { (both(visit, &text)) } }
                        }
                    }
                }
            }
        }
    };
    html! {
        @for (table, lines) in by_table(lines) {
            @let called = called(table);
            (frame::wide(&called, one(&called, &lines)))
        }
    }
}

/// A field for each line, rows for further ones, and what each can be.
pub(super) fn fields(kept: Kept, name: &str, lines: &[Line]) -> Markup {
    let expected = expected(kept, name);
    let needed = kept.needed(name);
    let further: Vec<String> = kept
        .known(name)
        .into_iter()
        .filter(|place| lines.iter().all(|line| line.place != *place))
        .collect();
    html! {
        @for (table, lines) in by_table(lines) {
            fieldset {
                legend { (called(table)) }
                @for line in lines { (field(&line.place, &typed(line), &expected, &needed)) }
            }
        }
        @if !further.is_empty() { (further_rows(&further, &expected)) }
    }
}

/// A field for each known place, with nothing in it.
pub(super) fn empty_fields(kept: Kept, name: &str, tables: &[&str]) -> Markup {
    let expected = expected(kept, name);
    let needed = kept.needed(name);
    let known = kept.known(name);
    html! {
        @for table in tables {
            fieldset {
                legend { (called(table)) }
                @for place in known.iter().filter(|place| root(place) == *table) {
                    (field(place, "", &expected, &needed))
                }
            }
        }
    }
}

fn field(
    place: &str,
    value: &str,
    expected: &HashMap<String, String>,
    needed: &[String],
) -> Markup {
    let (name, label) = (format!("{AT}{place}"), phrase::capitalised(&under(root(place), place)));
    let mut field = Field::text(&name, &label).value(value);
    if let Some(expected) = expected.get(place) {
        field = field.hint(phrase::capitalised(expected));
    }
    if needed.iter().any(|known| known == place) {
        field = field.needed();
    }
    html! { (field) }
}

fn further_rows(further: &[String], expected: &HashMap<String, String>) -> Markup {
    html! {
        fieldset {
            legend { "Further lines" }
            @for row in 1..=FURTHER {
                div.pair {
                    div.field {
                        label for=(format!("f-more-{row}")) { "Line " (row) span.may { " (may be empty)" } }
                        select id=(format!("f-more-{row}")) name="more-place" {
                            option value="" { "Nothing further" }
                            @for place in further {
                                option value=(place) { (in_words(place)) }
                            }
                        }
                    }
                    div.field {
                        label for=(format!("f-more-value-{row}")) { "Value of line " (row) }
                        input id=(format!("f-more-value-{row}")) name="more-value" type="text";
                    }
                }
            }
            details {
                summary { "What each of them can be" }
                dl {
                    @for place in further {
                        dt { (in_words(place)) }
                        dd { (expected.get(place).map_or("", String::as_str)) }
                    }
                }
            }
        }
    }
}

/// The lines that a form brought, in its order; an empty one is left out.
pub(super) fn sent(visit: &Visit<'_>) -> Result<Vec<Line>, Wrong> {
    let mut lines = Vec::new();
    for (name, value) in &visit.brought.form {
        if let Some(place) = name.strip_prefix(AT) {
            lines.extend(line(place, value)?);
        }
    }
    for (place, value) in visit.fields("more-place").zip(visit.fields("more-value")) {
        match (place, value) {
            ("", "") => {}
            ("", value) => {
                return Err(Wrong::ask(format!(
                    "a further line has the value {value:?}, and it is not said of what; choose \
                     what it is, or empty it"
                )));
            }
            (place, "") => {
                return Err(Wrong::ask(format!(
                    "{} was chosen as a further line, and has no value; fill it in, or choose \
                     nothing further",
                    in_words(place)
                )));
            }
            (place, value) => lines.extend(line(place, value)?),
        }
    }
    Ok(lines)
}
