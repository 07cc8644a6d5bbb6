//! The shop itself: its name and rules, its backup, and whether its record holds together.

use super::owners_own;
use crate::ops::backups::{self, BackupError, HOURS, Rule, RuleError, State, back_up};
use crate::ops::gauges::{OVERDUE, REFUSE, WARN, refuses_overdue};
use crate::ops::phrase;
use crate::web::entrance;
use crate::web::fields::{Field, choice, form};
use crate::web::frame::{self, holds_mark, stopped_mark};
use crate::web::reached::reached;
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::secret;
use crate::web::sessions;
use crate::web::visit::Visit;
use crate::web::watch::{self, Event};
use crate::web::wrong::Wrong;
use kernel::units::System;
use maud::{Markup, html};
use records::{RecordsError, Sha};
use std::fs;
use std::path::PathBuf;

pub(super) const ROUTES: &[Route] = &[
    get("/shop", page),
    post(Work::Shop, "/shop", change),
    get("/shop/backup", backup).of(Work::Shop).in_turn(),
    post(Work::Shop, "/shop/backups", change_backups),
    post(Work::Shop, "/shop/backups/now", back_up_now).in_turn(),
    post(Work::Look, "/shop/audit", audit).in_turn(),
];

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.shop().setting("name")?.unwrap_or_default();
    let inch = visit.first() == System::Inch;
    let refuses = refuses_overdue(visit.shop())?;
    let rules = [
        (WARN.to_owned(), "Taken, and the gauge is named as overdue".to_owned()),
        (REFUSE.to_owned(), "Refused until the gauge is calibrated".to_owned()),
    ];
    let mut sessions = Vec::new();
    for rule in [sessions::HOURS, sessions::IDLE] {
        sessions.push((rule, rule.of(visit.shop())?));
    }
    let body = html! {
        h1 { "This shop" }
        @if visit.is_owner() {
            (form("/shop", "Keep", html! {
                (Field::text("name", "What the shop is called").needed().value(name))
                (entrance::units(inch))
                @for (rule, value) in &sessions {
                    (Field::text(rule.key, rule.called).needed().value(value.to_string())
                        .hint(format!("{}, from {} to {}.", phrase::capitalised(rule.unit), rule.least, rule.most)))
                }
                (choice("overdue", "A reading with a gauge whose calibration is overdue is", &rules, if refuses { REFUSE } else { WARN }))
            }))
        } @else {
            dl {
                dt { "What the shop is called" } dd { (name) }
                dt { "Which comes first" } dd { @if inch { "Inches and thou" } @else { "Millimetres and micrometres" } }
                @for (rule, value) in &sessions { dt { (rule.called) } dd { (value) " " (rule.unit) } }
                dt { "A reading with a gauge whose calibration is overdue is" }
                dd { @if refuses { (rules[1].1) } @else { (rules[0].1) } }
            }
            p.hint { "These rules are the owner's to change." }
        }
        (reached(visit))
        h2 { "Backup" }
        p { "Everything is in one file on this machine: " code { (visit.shop().file().display()) }
            ". A backup is a copy of it as it is now, in one file; keep it where this machine is not." }
        (backups_stand(&backups::state(visit.shop(), &visit.now)?))
        (owners_own(visit, "A backup", html! {
            (backup_rule(visit, &backups::rule(visit.shop())?))
            p { a.button.quiet href="/shop/backup" download { "Save a backup from here" } }
            p.hint { "To put one back, stop the program and run " code { "lobewright restore" } "." }
        }))
        h2 { "Whether the record holds together" }
        p { "An audit looks at every reading, value, calibration, photo and signature, and says which \
             is the first that was changed without this program." }
        (form("/shop/audit", "Audit the record", html! {}))
    };
    Ok(frame::page(visit, "This shop", body))
}

/// How it stands with backups.
fn backups_stand(state: &State) -> Markup {
    html! {
        @if let Some(overdue) = &state.overdue {
            div.told role="alert" { (stopped_mark()) p { (overdue) " Make one that is tried: here, each night, or by the command." } }
        }
        @if let Some((at, why)) = &state.trouble {
            div.told role="alert" { (stopped_mark()) p { "The attempt of " (at) " failed: " (why) "." } }
        }
        @match &state.last {
            Some(last) => {
                p { "The last good backup is of " strong { (last.at) } ", with " (last.readings)
                    " readings in " (megabytes(last.size)) " MB. It was restored on trial and its record held together. It lies in "
                    code { (last.file) } "." }
            }
            None => p { "No backup was tried yet." }
        }
    }
}

/// In tenths, rounded up: no file has nothing in it.
fn megabytes(bytes: u64) -> String {
    let tenths = bytes.div_ceil(100_000);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// The rule, to be changed; and one now, where the rule says where to.
fn backup_rule(visit: &Visit<'_>, rule: &Rule) -> Markup {
    let hours: Vec<(String, String)> =
        HOURS.map(|hour| (hour.to_string(), format!("{hour:02}:00 UTC"))).collect();
    let folder = rule.folder.as_ref().map(|folder| folder.display().to_string());
    let now: String = visit.now.as_str().chars().skip(11).take(5).collect();
    html! {
        (form("/shop/backups", "Keep this rule", html! {
            (Field::text("folder", "Folder for a backup each night, on a disk that is not this one").value(folder.clone().unwrap_or_default())
                .hint("From the root of the disk on, such as /mnt/backups. It must be there already. Left empty, the program makes none by itself."))
            (choice("hour", &format!("At which hour (it is {now} UTC now)"), &hours, &rule.hour.to_string()))
            (Field::text("keep", "Which of them stay").needed().value(rule.keep.to_string())
                .hint("The newest of each of the last days, weeks and months that have one. Other files in the folder are left alone."))
            (Field::text("oldest", "Days without a good backup after which it is told").needed().value(rule.oldest_days.to_string()))
        }))
        @if folder.is_some() {
            (form("/shop/backups/now", "Make a backup now, and try it", html! {}))
        }
    }
}

fn change_backups(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let whole = |name, called| -> Result<i64, Wrong> {
        let number = visit.number::<i64>(name, called)?;
        number.ok_or_else(|| Wrong::ask(format!("{called} is empty; fill it in")))
    };
    let hour = whole("hour", "The hour")?;
    let rule = Rule {
        folder: Some(visit.field("folder")).filter(|f| !f.is_empty()).map(PathBuf::from),
        hour: u8::try_from(hour)
            .map_err(|_| Wrong::ask(format!("hour {hour} is none of the day")))?,
        keep: visit
            .needed("keep", "Which of them stay")?
            .parse()
            .map_err(|error: backups::KeepError| Wrong::ask(error.to_string()))?,
        oldest_days: whole("oldest", "The number of days")?,
    };
    backups::set_rule(visit.shop(), &rule).map_err(|error| match error {
        RuleError::Records(error) => error.into(),
        other => Wrong::ask(other.to_string()),
    })?;
    watch::note(visit, Event::RulesChanged, "backups");
    Ok(Reply::see("/shop"))
}

fn back_up_now(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let Rule { folder: Some(folder), keep, .. } = backups::rule(visit.shop())? else {
        return Err(Wrong::ask("no folder for backups is set; set one first"));
    };
    back_up(visit.shop(), &folder, keep, &visit.now).map_err(|error| match error {
        BackupError::Records(error) => error.into(),
        other => Wrong::NotSo(other.to_string()),
    })?;
    watch::note(visit, Event::BackupSaved, "into the folder of the rule");
    Ok(Reply::see("/shop"))
}

fn change(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let name = visit.needed("name", "What the shop is called")?;
    let units = match visit.field("units") {
        units @ ("metric" | "inch") => units,
        _ => return Err(Wrong::ask("it was not said which units come first; choose one")),
    };
    let overdue = match visit.field("overdue") {
        rule @ (WARN | REFUSE) => rule,
        _ => {
            return Err(Wrong::ask(
                "it was not said what becomes of readings with an overdue gauge; choose one",
            ));
        }
    };
    let hours = sessions::HOURS.typed(visit)?.to_string();
    let idle = sessions::IDLE.typed(visit)?.to_string();
    for (key, value) in [
        ("name", name),
        ("units", units),
        (OVERDUE, overdue),
        (sessions::HOURS.key, &hours),
        (sessions::IDLE.key, &idle),
    ] {
        visit.shop().set_setting(key, value)?;
    }
    watch::note(visit, Event::RulesChanged, &format!("{hours} hours, {idle} minutes"));
    Ok(Reply::see("/shop"))
}

fn backup(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let file = visit.shop().file();
    let stem = file.file_stem().map_or_else(|| "shop".into(), |stem| stem.to_string_lossy());
    // Beside the shop's own file, where nobody reads who may not read that.
    let mut copy = file.as_os_str().to_owned();
    copy.push(format!(".part-backup-{}", secret::token()?));
    let copy = PathBuf::from(copy);
    visit.shop().backup(&copy)?;
    let bytes = fs::read(&copy);
    let gone = fs::remove_file(&copy);
    let told = |error: std::io::Error| Wrong::Machine(format!("{}: {error}", copy.display()));
    let bytes = bytes.map_err(told)?;
    gone.map_err(told)?;
    watch::note(visit, Event::BackupSaved, "");
    let name = format!("{stem}-{}.db", visit.today());
    Ok(Reply::bytes("application/vnd.sqlite3", bytes).file(&name))
}

fn audit(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let audited = visit.shop().audit();
    let body = html! {
        h1 { "Audit" }
        @match &audited {
            Ok(audited) => {
                div.told.good-told { (holds_mark()) p { "The record holds together." } }
                dl {
                    dt { "Readings" } dd { (audited.readings) }
                    dt { "Values of builds" } dd { (audited.values) }
                    dt { "Signatures" } dd { (audited.sign_offs) }
                    @if audited.head != Sha::NONE {
                        dt { "Hash of the last signature" } dd { code { (audited.head) } }
                    }
                }
                @if audited.head != Sha::NONE {
                    p { "Compare the hash with the one in the customer's build book: it cannot be \
                         made to fit a record that was rewritten." }
                }
            }
            Err(error @ RecordsError::Audit { .. }) => {
                div.told role="alert" { (stopped_mark()) p { "The record does not hold together: " (error) "." } }
                p { "Somebody or something changed the file without this program. Keep the file as it is, \
                     make a copy of it, and compare it with the last backup that passes its audit." }
            }
            Err(_) => {}
        }
        p { a.button.quiet href="/shop" { "Back to this shop" } }
    };
    match audited {
        Err(error) if !matches!(error, RecordsError::Audit { .. }) => Err(error.into()),
        _ => Ok(frame::page(visit, "Audit", body)),
    }
}
