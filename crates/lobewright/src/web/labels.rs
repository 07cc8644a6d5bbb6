//! Labels for bags and tags: a page that prints them at their own size, and each as a file.

use super::frame;
use super::reply::Reply;
use super::route::{Route, get};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::labels::{Form, InBuild, label_name, label_of};
use crate::ops::sheet::Sheet;
use maud::{Markup, PreEscaped, html};
use paper::label::{Label, LabelError, Size};
use records::{BuildId, Fitted, PartId};

pub(super) const ROUTES: &[Route] = &[
    get("/builds/{build}/labels", of_build),
    get("/builds/{build}/labels/{part}/{name}", file_of_build).in_turn(),
    get("/shelf/{part}/label", of_part),
    get("/shelf/{part}/label/{name}", file_of_part).in_turn(),
];

impl From<LabelError> for Wrong {
    fn from(error: LabelError) -> Self {
        match error {
            LabelError::Paper(error) => Self::Machine(error.to_string()),
            other => Self::ask(other.to_string()),
        }
    }
}

/// The parts of a build that was signed and came apart are those it had.
fn sheet(visit: &Visit<'_>, build: BuildId) -> Result<Sheet, Wrong> {
    Ok(crate::ops::sheet::sheet(visit.shop(), build, &visit.today(), visit.first())?)
}

fn label<'a>(sheet: &'a Sheet, fitted: &'a Fitted) -> Label<'a> {
    let inside = InBuild {
        name: &sheet.build.head.name,
        number: usize::try_from(fitted.position).unwrap_or(1),
        of: sheet.of_kind(fitted.kind).count(),
        gear_face: fitted.gear_face,
    };
    label_of(fitted.kind, &fitted.serial, Some(inside))
}

/// One part's labels; one that would not be read is told with its reason.
fn shown(label: &Label<'_>, at: &str) -> Markup {
    html! {
        section.label-of {
            h2 { (crate::ops::phrase::capitalised(label.kind.word())) " " (label.serial) }
            div.labels {
                @for size in Size::ALL {
                    @match label.svg(size) {
                        Ok(svg) => figure {
                            (PreEscaped(svg))
                            figcaption {
                                (crate::ops::phrase::capitalised(size.word())) ": "
                                @for (i, form) in Form::ALL.into_iter().enumerate() {
                                    @if i > 0 { " " }
                                    a.touch href=(format!("{at}/{}.{}", size.word(), form.ending()))
                                        aria-label=(format!("{} of {} as {}", size.word(), label.serial, form.ending().to_uppercase())) {
                                        (form.ending().to_uppercase()) }
                                }
                            }
                        },
                        Err(why) => p.told { (frame::stopped_mark()) span { (why) } },
                    }
                }
            }
        }
    }
}

fn hint() -> Markup {
    html! {
        p.hint.not-on-paper { "Print this page at its own size (100 %, nothing fitted to the page): a bag's label is \
            50 by 30 mm, a tag's 25 by 25 mm. A printer of labels takes the PDF, whose page is the label. \
            The code is plain text: a scanner that types it into the search of builds or of the shelf finds the part." }
    }
}

fn of_build(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<BuildId>("build")?;
    let sheet = sheet(visit, id)?;
    let body = html! {
        p.crumb.not-on-paper { a href=(format!("/builds/{id}")) { (sheet.build.head.name) } }
        h1.not-on-paper { "Labels, " (sheet.build.head.name) }
        (hint())
        @if sheet.parts.is_empty() { p { "No part is entered yet." } }
        @for part in &sheet.parts {
            (shown(&label(&sheet, &part.fitted), &format!("/builds/{id}/labels/{}", part.fitted.part)))
        }
    };
    Ok(frame::page(visit, &format!("Labels, {}", sheet.build.head.name), body))
}

/// A label's name in an address, `tag.pdf`, as size and form.
fn named(name: &str) -> Option<(Size, Form)> {
    let (size, form) = name.split_once('.')?;
    Some((
        Size::ALL.into_iter().find(|known| known.word() == size)?,
        Form::ALL.into_iter().find(|known| known.ending() == form)?,
    ))
}

fn file(visit: &Visit<'_>, label: &Label<'_>) -> Result<Reply, Wrong> {
    let (size, form) = named(visit.param("name")?).ok_or(Wrong::NoPage)?;
    let bytes = form.of(label, size, visit.today().as_str())?;
    let media_type = match form {
        Form::Svg => "image/svg+xml",
        Form::Pdf => "application/pdf",
    };
    let name = format!("{}-{}.{}", label_name(label), size.word(), form.ending());
    Ok(Reply::bytes(media_type, bytes).file(&name))
}

fn file_of_build(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let sheet = sheet(visit, visit.id("build")?)?;
    let part = visit.id::<PartId>("part")?;
    let fitted = sheet.parts.iter().map(|part| &part.fitted).find(|fitted| fitted.part == part);
    file(visit, &label(&sheet, fitted.ok_or(Wrong::NoPage)?))
}

/// What is done with the label of one part: as it is in its build, or on the shelf.
fn with_part(
    visit: &Visit<'_>,
    then: impl FnOnce(&Label<'_>) -> Result<Reply, Wrong>,
) -> Result<Reply, Wrong> {
    let id = visit.id::<PartId>("part")?;
    let history = visit.shop().part_history(id)?;
    let inside = history.fitted.iter().find(|(fitted, _)| fitted.out.is_none());
    match inside {
        Some((fitted, _)) => {
            let sheet = sheet(visit, fitted.build)?;
            then(&label(&sheet, fitted))
        }
        None => then(&label_of(history.part.kind, &history.part.serial, None)),
    }
}

fn of_part(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<PartId>("part")?;
    with_part(visit, |label| {
        let body = html! {
            p.crumb.not-on-paper { a href=(format!("/shelf/{id}")) { (label.kind.word()) " " (label.serial) } }
            h1.not-on-paper { "Labels of " (label.serial) }
            (hint())
            (shown(label, &format!("/shelf/{id}/label")))
        };
        Ok(frame::page(visit, &format!("Labels of {}", label.serial), body))
    })
}

fn file_of_part(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    with_part(visit, |label| file(visit, label))
}
