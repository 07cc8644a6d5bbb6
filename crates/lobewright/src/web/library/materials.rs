//! Materials of the shop's own.

use super::{lines, owners_own};
use crate::build_file::known::named_places;
use crate::ops::library::{Kept, add_material, change_material, expected, in_words, line};
use crate::ops::phrase;
use crate::web::fields::Field;
use crate::web::frame;
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use maud::{Markup, html};
use records::{Material, MaterialId, RecordsError};

pub(super) const ROUTES: &[Route] = &[
    post(Work::Library, "/materials", add),
    get("/materials/{id}", page),
    post(Work::Library, "/materials/{id}", change),
];

/// A material that has no name yet: what its lines are called does not depend on that.
const UNNAMED: &str = "own";

pub(super) fn add_form() -> Markup {
    let expected = expected(Kept::Material, UNNAMED);
    let needed = Kept::Material.needed(UNNAMED);
    html! {
        form method="post" action="/materials" {
            h3 { "Add a material" }
            (Field::text("material-name", "What the material is called").needed())
            @for place in named_places("material", UNNAMED) {
                @let label = phrase::capitalised(&in_words(&place));
                @let hint = phrase::capitalised(expected.get(&place).map_or("", String::as_str));
                @let field = Field::text(key(&place), &label).hint(hint);
                @if needed.contains(&place) { (field.needed()) } @else { (field) }
            }
            button type="submit" { "Keep the material" }
        }
    }
}

/// What a form calls the field of a place: its last key.
fn key(place: &str) -> &str {
    place.rsplit('.').next().unwrap_or(place)
}

fn found(visit: &Visit<'_>, id: MaterialId) -> Result<Material, Wrong> {
    let material = visit.shop().materials()?.into_iter().find(|material| material.id == id);
    material.ok_or_else(|| RecordsError::NotThere { what: format!("material {id}") }.into())
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let material = found(visit, visit.id("id")?)?;
    let of_it = visit.shop().material_lines(material.id)?;
    let body = html! {
        h1 { (material.name) }
        p { "A material. " a href="/engines" { "All engines and materials" } }
        (lines::table(visit, &of_it))
        h2 { "Change it" }
        (owners_own(visit, "A change", html! {
            form method="post" action=(format!("/materials/{}", material.id)) {
                (lines::fields(Kept::Material, &material.name, &of_it))
                button type="submit" { "Keep these lines" }
            }
        }))
    };
    Ok(frame::page(visit, &material.name, body))
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("material-name", "What the material is called")?;
    let mut sent = Vec::new();
    for place in named_places("material", name) {
        sent.extend(line(&place, visit.field(key(&place)))?);
    }
    let id = add_material(visit.shop(), name, &sent)?;
    Ok(Reply::see(format!("/materials/{id}")))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let material = found(visit, visit.id("id")?)?;
    change_material(visit.shop(), material.id, &lines::sent(visit)?)?;
    Ok(Reply::see(format!("/materials/{}", material.id)))
}
