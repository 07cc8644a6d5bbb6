//! What a browser asks, and who asks it.

use super::rights::Work;
use super::secret;
use super::server::App;
use super::wrong::Wrong;
use crate::ops::people::Role;
use kernel::units::System;
use records::{Day, Moment, Person, PersonId, Shop};
use std::net::IpAddr;
use std::str::FromStr;

/// A file that was sent with a form.
#[derive(Debug, Clone)]
pub(super) struct Sent {
    /// The field's name.
    pub(super) field: String,
    /// What the file is called; no path.
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

/// What a request brings.
#[derive(Debug, Clone, Default)]
pub(super) struct Brought {
    /// From the address: `{build}`.
    pub(super) params: Vec<(String, String)>,
    /// After the question mark.
    pub(super) query: Vec<(String, String)>,
    /// Fields of a form.
    pub(super) form: Vec<(String, String)>,
    pub(super) files: Vec<Sent>,
    /// What the body says that it is; empty where it says nothing.
    pub(super) kind: String,
    /// A body of JSON.
    pub(super) json: Option<serde_json::Value>,
    /// The path that was asked for.
    pub(super) path: String,
    /// The token of the session, as its cookie or its header brought it.
    pub(super) token: Option<String>,
    /// Whether a browser brought it by itself, as it does with cookies.
    pub(super) by_cookie: bool,
    /// The address it came from, where the server knows it.
    pub(super) from: Option<IpAddr>,
    /// Whether something was sent that is to be done.
    pub(super) posts: bool,
    /// Whether JSON is wanted back, errors too.
    pub(super) wants_json: bool,
}

/// One request, with everything that its answer may depend on.
pub(super) struct Visit<'a> {
    pub(super) app: &'a App,
    pub(super) now: Moment,
    /// Who is signed in.
    pub(super) person: Option<Person>,
    pub(super) brought: Brought,
}

fn find<'v>(fields: &'v [(String, String)], name: &str) -> Option<&'v str> {
    fields.iter().find(|(field, _)| field == name).map(|(_, value)| value.as_str())
}

impl Visit<'_> {
    /// The shop's file.
    pub(super) fn shop(&self) -> &Shop {
        &self.app.shop
    }

    /// Who is signed in.
    ///
    /// # Errors
    /// Where nobody is.
    pub(super) fn who(&self) -> Result<PersonId, Wrong> {
        self.person.as_ref().map(|person| person.id).ok_or(Wrong::NobodyIn)
    }

    /// What the one who is signed in may do here.
    pub(super) fn role(&self) -> Option<Role> {
        self.person.as_ref().map(|person| Role::of(&person.role))
    }

    /// Whether they may do this work.
    pub(super) fn may(&self, work: Work) -> bool {
        self.role().is_some_and(|role| work.roles().contains(&role))
    }

    pub(super) fn is_owner(&self) -> bool {
        self.role() == Some(Role::Owner)
    }

    /// What a form of this session carries: another site may make a browser send its cookie, but
    /// cannot read this.
    pub(super) fn form_token(&self) -> Option<String> {
        let token = self.brought.token.as_deref().filter(|_| self.brought.by_cookie);
        token.filter(|_| self.person.is_some()).map(secret::form_token)
    }

    /// Which units the shop puts first.
    pub(super) fn first(&self) -> System {
        match self.shop().setting("units").ok().flatten().as_deref() {
            Some("inch") => System::Inch,
            _ => System::Metric,
        }
    }

    pub(super) fn today(&self) -> Day {
        self.now.day()
    }

    /// A piece of the address that is a number.
    ///
    /// # Errors
    /// Where there is no such page.
    pub(super) fn id<T: From<i64>>(&self, name: &str) -> Result<T, Wrong> {
        let text = find(&self.brought.params, name).ok_or(Wrong::NoPage)?;
        text.parse::<i64>().map(T::from).map_err(|_| Wrong::NoPage)
    }

    /// A piece of the address as it stands.
    ///
    /// # Errors
    /// Where there is no such page.
    pub(super) fn param(&self, name: &str) -> Result<&str, Wrong> {
        find(&self.brought.params, name).ok_or(Wrong::NoPage)
    }

    /// What stands after the question mark; empty if nothing does.
    pub(super) fn asked(&self, name: &str) -> &str {
        find(&self.brought.query, name).unwrap_or("").trim()
    }

    /// A field of the form without blanks around it; empty if it is not there.
    pub(super) fn field(&self, name: &str) -> &str {
        find(&self.brought.form, name).unwrap_or("").trim()
    }

    /// A field as it was typed: a password may begin with a blank.
    pub(super) fn raw_field(&self, name: &str) -> &str {
        find(&self.brought.form, name).unwrap_or("")
    }

    /// Every value of a field that may be there more than once.
    pub(super) fn fields<'v>(&'v self, name: &'v str) -> impl Iterator<Item = &'v str> {
        self.brought.form.iter().filter(move |(field, _)| field == name).map(|(_, v)| v.trim())
    }

    /// A field that must say something. `called` is what the form calls it.
    ///
    /// # Errors
    /// Where it is empty.
    pub(super) fn needed(&self, name: &str, called: &str) -> Result<&str, Wrong> {
        match self.field(name) {
            "" => Err(Wrong::ask(format!("{called} is empty; fill it in"))),
            value => Ok(value),
        }
    }

    /// A field that is a number, or empty.
    ///
    /// # Errors
    /// Where it is something else.
    pub(super) fn number<T: FromStr>(&self, name: &str, called: &str) -> Result<Option<T>, Wrong> {
        match self.field(name) {
            "" => Ok(None),
            text => text
                .parse()
                .map(Some)
                .map_err(|_| Wrong::ask(format!("{called}: {text:?} is no number that fits"))),
        }
    }

    /// A field that is the number of a row, or empty.
    ///
    /// # Errors
    /// Where it is something else.
    pub(super) fn id_field<T: From<i64>>(
        &self,
        name: &str,
        called: &str,
    ) -> Result<Option<T>, Wrong> {
        Ok(self.number::<i64>(name, called)?.map(T::from))
    }

    /// A field that is a day, or empty.
    ///
    /// # Errors
    /// Where it is something else.
    pub(super) fn day(&self, name: &str, called: &str) -> Result<Option<Day>, Wrong> {
        match self.field(name) {
            "" => Ok(None),
            text => Day::new(text).map(Some).map_err(|_| {
                Wrong::ask(format!("{called}: {text:?} is no day such as 2026-11-28"))
            }),
        }
    }
}
