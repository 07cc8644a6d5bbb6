//! The guide: the same text as docs/GUIDE.md, a page of it at a time, with its pictures.

use super::frame;
use super::picture::inline;
use super::reply::Reply;
use super::route::{Route, get};
use super::visit::Visit;
use super::wrong::Wrong;
use maud::{Markup, PreEscaped, html};
use pulldown_cmark::{Event, HeadingLevel, Parser, Tag, TagEnd};

pub(super) const ROUTES: &[Route] =
    &[get("/guide", contents).anyone(), get("/guide/{page}", page).anyone()];

const TEXT: &str = include_str!("../../../../docs/GUIDE.md");

/// A picture of the guide, read when the program is built.
macro_rules! picture {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../../docs/guide/", $name)))
    };
}

/// Every picture of the guide, by the name of its file.
const PICTURES: &[(&str, &str)] = &[
    picture!("dipper-pump-2-DR-2-gear-face.svg"),
    picture!("heron-aircraft-1-HR-9-side-gap.svg"),
    picture!("inspected-apex-groove.svg"),
    picture!("shelduck-hydroplane-1-SR-21-tip-budget.svg"),
    picture!("shelduck-hydroplane-1-SR-21-wear-front.svg"),
    picture!("shelduck-hydroplane-1-SR-21-wear-rear.svg"),
    picture!("shelduck-hydroplane-balance-front-counterweight.svg"),
    picture!("shelduck-hydroplane-balance-front-vectors.svg"),
    picture!("shelduck-hydroplane-speed-gap.svg"),
    picture!("sprint-boat-1-R-114-gear-face.svg"),
    picture!("sprint-boat-1-R-114-side-gap.svg"),
    picture!("sprint-boat-1-R-114-stock.svg"),
    picture!("sprint-boat-1-R-114-window.svg"),
    picture!("teal-pump-1-TR-5-gear-face.svg"),
    picture!("wanted-gear-step.svg"),
    picture!("wanted-housing-width.svg"),
    picture!("wanted-land-wear.svg"),
    picture!("wanted-land-width.svg"),
    picture!("wanted-mass.svg"),
    picture!("wanted-plain-step.svg"),
    picture!("wanted-run-out.svg"),
    picture!("wanted-tip-wear.svg"),
    picture!("wanted-tip-width.svg"),
];

/// A page: what it is called, and its events.
struct Page<'t> {
    title: String,
    events: Vec<Event<'t>>,
}

/// What stands before the first page, and the pages.
fn pages() -> (Vec<Event<'static>>, Vec<Page<'static>>) {
    let (mut before, mut pages): (Vec<Event<'_>>, Vec<Page<'_>>) = (Vec::new(), Vec::new());
    let mut in_title = false;
    for event in Parser::new_ext(TEXT, pulldown_cmark::Options::ENABLE_TABLES) {
        match &event {
            Event::Start(Tag::Heading { level: HeadingLevel::H2, .. }) => {
                pages.push(Page { title: String::new(), events: Vec::new() });
                in_title = true;
                continue;
            }
            Event::End(TagEnd::Heading(HeadingLevel::H2)) => {
                in_title = false;
                continue;
            }
            _ => {}
        }
        match pages.last_mut() {
            Some(page) if in_title => {
                if let Event::Text(text) | Event::Code(text) = &event {
                    page.title.push_str(text);
                }
            }
            Some(page) => page.events.push(event),
            None => before.push(event),
        }
    }
    (before, pages)
}

/// Events as a page has them: pictures of the guide inside it, addresses of the guide's own pages.
fn rendered(events: Vec<Event<'static>>) -> Markup {
    let mut out = Vec::with_capacity(events.len());
    let mut picture: Option<String> = None;
    for event in events {
        match event {
            Event::Start(Tag::Image { dest_url, .. }) => {
                picture = Some(dest_url.rsplit('/').next().unwrap_or("").to_owned());
            }
            Event::End(TagEnd::Image) => {
                let name = picture.take().unwrap_or_default();
                if let Some((_, svg)) = PICTURES.iter().find(|(known, _)| *known == name) {
                    out.push(Event::InlineHtml(inline(svg, None).into_string().into()));
                }
            }
            // The picture says in its own title and description what its text in the file says.
            _ if picture.is_some() => {}
            other => out.push(other),
        }
    }
    let mut markup = String::new();
    pulldown_cmark::html::push_html(&mut markup, out.into_iter());
    // The text is this program's own; a figure does not stand inside a paragraph.
    let markup = markup.replace("<p><figure", "<figure").replace("</figure></p>", "</figure>");
    PreEscaped(markup)
}

fn contents(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let (before, pages) = pages();
    let body = html! {
        article.guide { (rendered(before)) }
        nav aria-label="Pages of the guide" { ol.contents { @for (number, page) in (1..).zip(&pages) {
            li { a href=(format!("/guide/{number}")) { (page.title) } }
        } } }
    };
    Ok(frame::page(visit, "Guide", body))
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let number = visit.id::<i64>("page")?;
    let index = usize::try_from(number - 1).map_err(|_| Wrong::NoPage)?;
    let (_, mut pages) = pages();
    if index >= pages.len() {
        return Err(Wrong::NoPage);
    }
    let titles: Vec<String> = pages.iter().map(|page| page.title.clone()).collect();
    let page = pages.swap_remove(index);
    let turn =
        |to: usize| titles.get(to).map(|title| (format!("/guide/{}", to + 1), title.clone()));
    let body = html! {
        p.crumb { a href="/guide" { "Guide" } }
        article.guide { h1 { (page.title) } (rendered(page.events)) }
        nav.row aria-label="Turn the page" {
            @if let Some((to, title)) = index.checked_sub(1).and_then(turn) { a.button.quiet href=(to) { "Before: " (title) } }
            @if let Some((to, title)) = turn(index + 1) { a.button.quiet href=(to) { "Next: " (title) } }
        }
    };
    Ok(frame::page(visit, &page.title, body))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_picture_of_the_text_is_in_the_program() {
        let mut shown = 0;
        for event in Parser::new(TEXT) {
            if let Event::Start(Tag::Image { dest_url, .. }) = event {
                let name = dest_url.rsplit('/').next().unwrap().to_owned();
                assert!(PICTURES.iter().any(|(known, _)| *known == name), "{name}");
                shown += 1;
            }
        }
        assert!(shown >= PICTURES.len() && PICTURES.len() >= 10, "{shown}");
    }

    #[test]
    fn there_are_ten_pages_and_how_to_install_it() {
        let (before, pages) = pages();
        assert!(!before.is_empty());
        assert_eq!(pages.len(), 12);
        for page in pages {
            assert!(!page.title.is_empty());
            let html = rendered(page.events).into_string();
            assert!(!html.contains("<img") && !html.contains("<p><figure"), "{}", page.title);
        }
    }
}
