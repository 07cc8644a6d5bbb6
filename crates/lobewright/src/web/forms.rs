//! Forms as they leave: no page can forget what every form needs, since it is put in here, once
//! the page is whole.
//!
//! A form carries the token of the session that it is sent from. The pages for the first start and
//! for signing in have no session yet; they are kept from other sites by what the browser says of
//! where a form comes from. What could be forged there is signing a bench in as somebody whose
//! password the forger has, and the bench says on every page who that is.
//!
//! A form that the reader may not send is no form for them: in its place stands whose it is.

use super::route::work_of_form;
use super::visit::Visit;

/// The field with the session's own token.
pub(super) const TOKEN: &str = "form_token";
/// How a form begins in a page. Text of others cannot look like it: the template escapes it.
const BEGINS: &str = "<form ";
const ENDS: &str = "</form>";

/// A page's forms made ready for whoever looks at it.
pub(super) fn ready(visit: &Visit<'_>, page: &str) -> String {
    let mut out = String::with_capacity(page.len() + 256);
    let mut rest = page;
    while let Some(at) = rest.find(BEGINS) {
        let (before, form) = rest.split_at(at);
        out.push_str(before);
        let end = form.find(ENDS).map_or(form.len(), |end| end + ENDS.len());
        let (form, after) = form.split_at(end);
        one(visit, form, &mut out);
        rest = after;
    }
    out.push_str(rest);
    out
}

/// An attribute of a form's tag.
fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    let (_, value) = tag.split_once(&format!(" {name}=\""))?;
    value.split_once('"').map(|(value, _)| value)
}

fn one(visit: &Visit<'_>, form: &str, out: &mut String) {
    let tag = &form[..form.find('>').unwrap_or(form.len())];
    let posts = attribute(tag, "method") == Some("post");
    let action = attribute(tag, "action").unwrap_or_default();
    match work_of_form(action).filter(|_| posts) {
        Some(work) if !visit.may(work) => {
            // A button in a row of a table is left out; a form of its own is explained.
            if !attribute(tag, "class").is_some_and(|class| class.starts_with("bare")) {
                out.push_str("<p class=\"hint\">This is for ");
                out.push_str(work.whose());
                out.push_str(" to do: ");
                out.push_str(work.called());
                out.push_str(".</p>");
            }
        }
        Some(_) => {
            let (tag, fields) = form.split_at(tag.len());
            out.push_str(tag);
            out.push('>');
            if let Some(token) = visit.form_token() {
                out.push_str(&format!(
                    "<input type=\"hidden\" name=\"{TOKEN}\" value=\"{token}\">"
                ));
            }
            out.push_str(fields.strip_prefix('>').unwrap_or(fields));
        }
        None => out.push_str(form),
    }
}
