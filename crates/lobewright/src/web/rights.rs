//! Who may do what: one table. Every row of the router names the work that it is part of, and this
//! table says which roles may do that work.

use crate::ops::people::Role;
use maud::{Markup, html};

/// A kind of work, as far as rights go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Work {
    /// Looking at anything; papers and tables made from what is there.
    Look,
    /// One's own password and session.
    Own,
    /// Readings of parts, and photos.
    Readings,
    /// What a machine is run by, and what was done there.
    Machine,
    /// Builds: begun, brought in, given parts and values, torn down.
    Builds,
    /// Signatures and amendments.
    SignOff,
    /// Parts of the shelf: added, retired.
    Parts,
    /// Gauges and their calibrations.
    Gauges,
    /// Customers, and what they bring.
    Customers,
    /// Specs, engines, materials, machine tools.
    Library,
    /// People: who they are, what they may do, their passwords and sessions.
    People,
    /// The shop's name and rules, and its backup.
    Shop,
}

/// One row: the work, what it is called, and the roles that may do it.
struct Row {
    work: Work,
    called: &'static str,
    roles: &'static [Role],
}

const EVERYBODY: &[Role] = &[Role::Machinist, Role::Builder, Role::Owner];
const BUILDERS: &[Role] = &[Role::Builder, Role::Owner];
const OWNERS: &[Role] = &[Role::Owner];

const fn row(work: Work, called: &'static str, roles: &'static [Role]) -> Row {
    Row { work, called, roles }
}

/// The table.
const ROWS: &[Row] = &[
    row(Work::Look, "looking at everything, and printing it", EVERYBODY),
    row(Work::Own, "changing one's own password, and signing out", EVERYBODY),
    row(Work::Readings, "entering readings and attaching photos", EVERYBODY),
    row(
        Work::Machine,
        "making programs, cut sheets and balance sheets, and writing down what was done to a part",
        EVERYBODY,
    ),
    row(
        Work::Builds,
        "beginning and bringing in builds, their parts, values, teardowns and findings",
        BUILDERS,
    ),
    row(Work::SignOff, "signing builds off, and amending them", BUILDERS),
    row(Work::Parts, "adding parts to the shelf, and retiring them", BUILDERS),
    row(Work::Gauges, "gauges and their calibrations", BUILDERS),
    row(Work::Customers, "customers, and taking in what they bring", BUILDERS),
    row(Work::Library, "changing specs, engines, materials and machine tools", OWNERS),
    row(Work::People, "adding and changing people, and ending their sessions", OWNERS),
    row(Work::Shop, "changing the shop's rules, and saving a backup", OWNERS),
];

impl Work {
    fn row(self) -> Option<&'static Row> {
        ROWS.iter().find(|row| row.work == self)
    }

    /// Which roles may do it. Work without a row is nobody's.
    pub(super) fn roles(self) -> &'static [Role] {
        self.row().map_or(&[], |row| row.roles)
    }

    /// What it is called within a sentence.
    pub(super) fn called(self) -> &'static str {
        self.row().map_or("this", |row| row.called)
    }

    /// Whose it is to do, within a sentence.
    pub(super) fn whose(self) -> &'static str {
        if self.roles().contains(&Role::Builder) { "a builder or the owner" } else { "the owner" }
    }
}

/// The table as people read it.
pub(super) fn table() -> Markup {
    let roles = [Role::Machinist, Role::Builder, Role::Owner];
    html! {
        table {
            thead { tr {
                th scope="col" { "What" }
                @for role in roles { th scope="col" { (crate::ops::phrase::capitalised(role.word())) } }
            } }
            tbody {
                @for row in ROWS {
                    tr {
                        th scope="row" { (crate::ops::phrase::capitalised(row.called)) }
                        @for role in roles { td { @if row.roles.contains(&role) { "yes" } @else { "no" } } }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_work_has_one_row_and_the_owner_may_do_all_of_it() {
        for work in super::super::route::all().filter_map(|route| route.who.work()) {
            assert_eq!(ROWS.iter().filter(|row| row.work == work).count(), 1, "{work:?}");
        }
        for row in ROWS {
            assert!(row.roles.contains(&Role::Owner), "{}", row.called);
            // Whoever may do a machinist's work may do a builder's: `whose` names the least.
            assert!(row.roles.contains(&Role::Builder) || !row.roles.contains(&Role::Machinist));
        }
    }

    #[test]
    fn the_guide_has_the_table() {
        let guide = include_str!("../../../../docs/GUIDE.md");
        for row in ROWS {
            let yes = |role| if row.roles.contains(&role) { "yes" } else { "no" };
            let line = format!(
                "| {} | {} | {} | {} |",
                crate::ops::phrase::capitalised(row.called),
                yes(Role::Machinist),
                yes(Role::Builder),
                yes(Role::Owner)
            );
            assert!(guide.contains(&line), "docs/GUIDE.md lacks {line}");
        }
    }
}
