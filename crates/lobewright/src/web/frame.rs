//! What every page has around it: its head, the ways to the others, and the cautions.

use super::forms;
use super::reply::Reply;
use super::route::{Route, get};
use super::visit::Visit;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use records::Sha;
use std::sync::OnceLock;

pub(super) const ROUTES: &[Route] = &[
    get("/look.css", |_| {
        let sheet = [LOOK, LOOK_LIBRARY, drawings::STYLE, drawings::STYLE_OF_WANTED].concat();
        Ok(Reply::bytes("text/css; charset=utf-8", sheet.into_bytes()).keep())
    })
    .anyone(),
    get("/bench.js", |_| Ok(script(BENCH).keep())).anyone(),
    get("/forms.js", |_| Ok(script(FORMS).keep())).anyone(),
    get("/readings.js", |_| Ok(script(READINGS).keep())).anyone(),
    get("/waits.js", |_| Ok(script(WAITS).keep())).anyone(),
    // Browsers ask for it again and again, to know whether the program is another.
    get("/line.js", |_| Ok(script(LINE))).anyone(),
    get("/favicon.ico", |_| Ok(Reply::bytes("image/svg+xml", ICON.as_bytes().to_vec()).keep()))
        .anyone(),
];

const LOOK: &str = include_str!("look.css");
const LOOK_LIBRARY: &str = include_str!("look-library.css");
const BENCH: &str = include_str!("bench.js");
const FORMS: &str = include_str!("forms.js");
const READINGS: &str = include_str!("readings.js");
const WAITS: &str = include_str!("waits.js");
const LINE: &str = include_str!("line.js");
/// Where the version stands in a script.
const VERSION: &str = "THIS-VERSION";

/// One word for all files that a browser is given: another program's never mix with these.
fn version() -> &'static str {
    static WORD: OnceLock<String> = OnceLock::new();
    WORD.get_or_init(|| {
        let all = [
            LOOK,
            LOOK_LIBRARY,
            drawings::STYLE,
            drawings::STYLE_OF_WANTED,
            BENCH,
            FORMS,
            READINGS,
            WAITS,
            LINE,
            env!("CARGO_PKG_VERSION"),
        ];
        Sha::of(all.concat().as_bytes()).to_string().chars().take(16).collect()
    })
}

fn script(text: &str) -> Reply {
    let text = text.replace(VERSION, version());
    Reply::bytes("text/javascript; charset=utf-8", text.into_bytes())
}

/// A rotor's outline.
const ICON: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 32 32\"><path d=\"M16 2Q27 11 \
                    28 23Q16 29 4 23Q5 11 16 2Z\" fill=\"#0b5a8a\"/><circle cx=\"16\" cy=\"17\" r=\"6\" \
                    fill=\"#fbfaf6\"/></svg>";

/// The pages that every other one leads to.
const WAYS: &[(&str, &str)] = &[
    ("/builds", "Builds"),
    ("/shelf", "Shelf"),
    ("/specs", "Specs"),
    ("/engines", "Engines"),
    ("/gauges", "Gauges"),
    ("/customers", "Customers"),
    ("/people", "People"),
    ("/guide", "Guide"),
];

/// A whole page.
pub(super) fn page(visit: &Visit<'_>, title: &str, body: Markup) -> Reply {
    let shop = visit.shop().setting("name").ok().flatten().unwrap_or_default();
    let here = &visit.brought.path;
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) @if !shop.is_empty() { " · " (shop) } }
                link rel="icon" href="/favicon.ico" type="image/svg+xml";
                link rel="stylesheet" href=(format!("/look.css?as={}", version()));
                script type="module" src=(format!("/bench.js?as={}", version())) {}
            }
            body data-person=[visit.person.as_ref().map(|person| person.id)] data-form-token=[visit.form_token()] {
                a.skip href="#main" { "To the page itself" }
                header.top {
                    p.shop { (if shop.is_empty() { "Lobewright" } else { shop.as_str() }) }
                    @if let Some(person) = &visit.person {
                        nav aria-label="Shop" {
                            @for (path, name) in WAYS {
                                a href=(path) aria-current=[here.starts_with(path).then_some("page")] {
                                    (name)
                                }
                            }
                        }
                        form.out method="post" action="/out" {
                            span { (person.name) }
                            button.quiet type="submit" { "Sign out" }
                        }
                    }
                }
                p #line role="status" aria-live="polite" {}
                main #main { (body) }
                footer {
                    p { "Tilt, heat and gap figures are a screening estimate until calibrated with \
                         engines that came back. Machining and running engines can hurt people: the \
                         shop's own rules, local codes and licensed practice come first." }
                    @if visit.person.is_some() { p { a href="/shop" { "This shop: units, rules, backups" } } }
                }
            }
        }
    };
    Reply::page(PreEscaped(forms::ready(visit, &whole.into_string())))
}

/// A page that nothing is known for: neither the shop nor who asks.
pub(super) fn bare(title: &str, body: Markup) -> Reply {
    Reply::page(html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                link rel="icon" href="/favicon.ico" type="image/svg+xml";
                link rel="stylesheet" href="/look.css";
            }
            body {
                header.top { p.shop { "Lobewright" } }
                main #main { (body) }
            }
        }
    })
}

/// The shape of something that holds: a filled disc.
pub(super) fn holds_mark() -> Markup {
    mark("holds", "<circle cx=\"8\" cy=\"8\" r=\"6.5\"/>")
}

/// The shape of something that is due: an open ring.
pub(super) fn due_mark() -> Markup {
    mark("due", "<circle cx=\"8\" cy=\"8\" r=\"5.5\"/>")
}

/// The shape of something that is stopped: a triangle.
pub(super) fn stopped_mark() -> Markup {
    mark("stopped", "<path d=\"M8 1.2L15.2 14.4H.8Z\"/>")
}

fn mark(class: &str, shape: &str) -> Markup {
    html! {
        (PreEscaped(format!(
            "<svg class=\"mark {class}\" viewBox=\"0 0 16 16\" width=\"16\" height=\"16\" \
             aria-hidden=\"true\">{shape}</svg>"
        )))
    }
}

/// A table that is wider than a tablet moves on its own.
pub(super) fn wide(name: &str, table: Markup) -> Markup {
    html! { div.wide role="region" aria-label=(name) tabindex="0" { (table) } }
}
