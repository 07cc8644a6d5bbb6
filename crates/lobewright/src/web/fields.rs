//! Fields of forms: each with its label, what it is good for, and nothing that hides.

use maud::{Markup, Render, html};

/// One field.
#[derive(Debug, Clone)]
pub(super) struct Field<'a> {
    name: &'a str,
    label: &'a str,
    kind: &'static str,
    value: String,
    hint: Option<String>,
    needed: bool,
    lines: usize,
    autocomplete: Option<&'static str>,
}

impl<'a> Field<'a> {
    fn new(name: &'a str, label: &'a str, kind: &'static str) -> Self {
        Self {
            name,
            label,
            kind,
            value: String::new(),
            hint: None,
            needed: false,
            lines: 1,
            autocomplete: None,
        }
    }

    /// A line of text.
    pub(super) fn text(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, "text")
    }

    /// Several lines.
    pub(super) fn lines(name: &'a str, label: &'a str, lines: usize) -> Self {
        Self { lines, ..Self::new(name, label, "text") }
    }

    /// A password.
    pub(super) fn secret(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, "password")
    }

    /// A day.
    pub(super) fn day(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, "date")
    }

    pub(super) fn value(mut self, value: impl Into<String>) -> Self {
        self.value = value.into();
        self
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    pub(super) const fn needed(mut self) -> Self {
        self.needed = true;
        self
    }

    pub(super) const fn autocomplete(mut self, what: &'static str) -> Self {
        self.autocomplete = Some(what);
        self
    }
}

impl Render for Field<'_> {
    fn render(&self) -> Markup {
        let id = format!("f-{}", self.name.replace(['.', ' ', '"'], "-"));
        let hint_id = self.hint.as_ref().map(|_| format!("{id}-hint"));
        // Off would also mean that a browser forgets what was typed when it goes back to the page
        // from one that refuses it. Passwords are to be forgotten.
        let complete = self.autocomplete.or((self.kind == "password").then_some("off"));
        html! {
            div.field {
                label for=(id) { (self.label) @if !self.needed { span.may { " (may be empty)" } } }
                @if self.lines > 1 {
                    textarea id=(id) name=(self.name) rows=(self.lines) required[self.needed]
                        aria-describedby=[hint_id.as_deref()] { (self.value) }
                } @else {
                    input id=(id) name=(self.name) type=(self.kind) value=(self.value)
                        required[self.needed] autocomplete=[complete]
                        aria-describedby=[hint_id.as_deref()];
                }
                @if let (Some(hint), Some(id)) = (&self.hint, &hint_id) { p.hint id=(id) { (hint) } }
            }
        }
    }
}

/// A form with one button.
pub(super) fn form(action: &str, button: &str, fields: Markup) -> Markup {
    html! {
        form method="post" action=(action) {
            (fields)
            button type="submit" { (button) }
        }
    }
}

/// A form that sends files.
pub(super) fn file_form(action: &str, button: &str, fields: Markup) -> Markup {
    html! {
        form method="post" action=(action) enctype="multipart/form-data" {
            (fields)
            button type="submit" { (button) }
        }
    }
}

/// One of several: the value that is sent, and what it is called.
pub(super) fn choice(
    name: &str,
    label: &str,
    options: &[(String, String)],
    chosen: &str,
) -> Markup {
    let id = format!("f-{}", name.replace(['.', ' '], "-"));
    html! {
        div.field {
            label for=(id) { (label) }
            select id=(id) name=(name) {
                @for (value, called) in options {
                    option value=(value) selected[value == chosen] { (called) }
                }
            }
        }
    }
}
