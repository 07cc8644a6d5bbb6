//! Photos and documents as they were attached.

use crate::web::reply::Reply;
use crate::web::route::{Route, get};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{Attachment, MediaType};

pub(super) const ROUTES: &[Route] = &[get("/attachments/{id}", bytes)];

fn bytes(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let (attachment, bytes) = visit.shop().attachment(visit.id("id")?)?;
    let reply = Reply::bytes(attachment.media_type.word(), bytes).of_others();
    Ok(match attachment.media_type {
        // A PDF can hold more than a picture: the browser keeps it, and another program shows it.
        MediaType::Pdf => reply.file(&attachment.name),
        _ => reply,
    })
}

/// What is attached, pictures as pictures.
pub(super) fn shown(attachments: &[Attachment], by: impl Fn(&Attachment) -> String) -> Markup {
    html! {
        ul.photos {
            @for attachment in attachments {
                @let path = format!("/attachments/{}", attachment.id);
                li {
                    @if attachment.media_type == MediaType::Pdf {
                        a.button.quiet href=(path) { "Save the PDF " (attachment.name) }
                    } @else {
                        a href=(path) { img src=(path) alt=(attachment.name) loading="lazy"; }
                    }
                    p.hint { (attachment.name) ", " (by(attachment)) }
                }
            }
        }
    }
}
