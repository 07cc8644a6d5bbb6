//! Whether each of the eight parts of a build's sheet holds, is due, or is stopped, and by what.

use super::super::phrase;
use super::changes::counts_parts;
use super::papers::CUT_SHEET;
use super::{Fits, Sheet};
use crate::build_file::model::assembly::Fit;
use crate::ops::{
    AssemblyLine, AssemblyReport, BalanceReport, CardReport, CardVerdict, ConditionReport,
    ItemSaid, RotorReport,
};
use kernel::assembly::{Advice, Said};
use kernel::condition::Fate;
use kernel::readings::{Suspicion, Verdict};
use records::{PartKind, Stage, When, WorkKind};

/// How a part of the sheet stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Nothing is left to do in it.
    Holds,
    /// Something is to be done.
    Due,
    /// Something stands in the way.
    Stopped,
}

/// One part of the sheet in a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartState {
    /// Which part.
    pub stage: Stage,
    /// How it stands.
    pub state: State,
    /// What holds, what is due, or what stops it.
    pub words: String,
}

type Line = (State, String);

fn holds(words: impl Into<String>) -> Line {
    (State::Holds, words.into())
}

fn due(words: impl Into<String>) -> Line {
    (State::Due, words.into())
}

fn stopped(words: impl Into<String>) -> Line {
    (State::Stopped, words.into())
}

/// `1 reading`, `2 readings`.
fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

pub(super) fn states(sheet: &Sheet) -> [PartState; 8] {
    let lines = [
        (Stage::Teardown, teardown(sheet)),
        (Stage::Inspection, inspection(sheet)),
        (Stage::Clearances, clearances(sheet)),
        (Stage::Cutting, cutting(sheet)),
        (Stage::ReInspection, re_inspection(sheet)),
        (Stage::Balance, balance(sheet)),
        (Stage::Assembly, assembly(sheet)),
    ]
    .map(|(stage, (state, words))| PartState { stage, state, words });
    let (state, words) = sign_off(sheet, &lines);
    let last = PartState { stage: Stage::SignOff, state, words };
    let [a, b, c, d, e, f, g] = lines;
    [a, b, c, d, e, f, g, last]
}

fn teardown(sheet: &Sheet) -> Line {
    let count = |kind: PartKind| sheet.of_kind(kind).count();
    let (rotors, housings) = (count(PartKind::Rotor), count(PartKind::RotorHousing));
    let Some(wanted) = sheet.rotors else {
        return due("say which engine it is: engine.rotors is not known");
    };
    if rotors > wanted || housings > wanted {
        return stopped(format!(
            "{} and {} are entered, and the engine has {wanted} of each: take some out, or mend \
             engine.rotors",
            counted(rotors, "rotor"),
            counted(housings, "rotor housing")
        ));
    }
    let mut lacking = Vec::new();
    if rotors < wanted {
        lacking.push(counted(wanted - rotors, "rotor"));
    }
    if housings < wanted {
        lacking.push(counted(wanted - housings, "rotor housing"));
    }
    let sides = count(PartKind::SideHousing);
    if sides > 0 && sides < wanted + 1 {
        lacking.push(counted(wanted + 1 - sides, "side housing"));
    }
    if lacking.is_empty() {
        holds(format!(
            "{} and {} are entered",
            counted(rotors, "rotor"),
            counted(housings + sides, "housing")
        ))
    } else {
        due(format!("enter {}", lacking.join(", ")))
    }
}

/// Readings that disagree, in a line; what each of them is off by is said where they stand.
fn disagree(serial: &str, suspicion: &Suspicion) -> String {
    let again = suspicion.suspects.first().map_or(String::new(), |s| s.station.to_string());
    if suspicion.is_found() {
        format!("{serial}: the {again} cannot be right, read it again")
    } else {
        format!("{serial}: readings disagree, read the {again} again first")
    }
}

const READ_BEFORE: [PartKind; 3] = [PartKind::Rotor, PartKind::RotorHousing, PartKind::SideHousing];

fn inspection(sheet: &Sheet) -> Line {
    for part in sheet.of_kind(PartKind::Rotor) {
        let now = part.alone.as_ref().is_some_and(|alone| !alone.after);
        if let Some(suspicion) = part.suspicions().first().filter(|_| now) {
            return stopped(disagree(&part.fitted.serial, suspicion));
        }
    }
    if sheet.of_kind(PartKind::Rotor).next().is_none() {
        return due("no rotor is entered yet");
    }
    let cards = sheet.condition();
    let on = |fate: Fate| {
        let decided = move |card: &&CardReport| card.verdict == CardVerdict::Decided(fate);
        cards.cards.iter().filter(decided).collect::<Vec<_>>()
    };
    if let Some(card) = on(Fate::Reject).first() {
        return stopped(format!(
            "the {} {} cannot be used: {}; exchange it",
            card.part.words(),
            card.serial,
            why(card, Fate::Reject)
        ));
    }
    let missing = sheet.missing(When::Before, &READ_BEFORE);
    let count: usize = missing.iter().map(|(_, stations)| stations.len()).sum();
    match missing.first() {
        None => {
            if let Some(line) = used_parts(&cards) {
                return line;
            }
            let late = sheet.overdue();
            let words = "every reading that the plan needs is there, and none disagrees";
            match late.first() {
                None => holds(words),
                Some(gauge) => {
                    holds(format!("{words}; the calibration of {} is overdue", gauge.name))
                }
            }
        }
        Some((part, stations)) => due(format!(
            "{} to take, next on {}: {}",
            counted(count, "reading"),
            part.fitted.serial,
            stations.first().map_or("", |station| station.words.as_str())
        )),
    }
}

/// What is found on a card that decides it.
fn why(card: &CardReport, fate: Fate) -> String {
    let item = card.items.iter().find(|item| item.said == ItemSaid::Decided(fate));
    item.map_or_else(String::new, |item| format!("{}, {}", item.item.name, item.note))
}

/// What is still to be done with used parts, none of which is rejected.
fn used_parts(cards: &ConditionReport) -> Option<Line> {
    let to_read = cards.cards.iter().filter_map(|card| match card.verdict {
        CardVerdict::ToRead(count) => Some((card, count)),
        _ => None,
    });
    let to_read: Vec<_> = to_read.collect();
    if let Some((card, _)) = to_read.first() {
        let count: usize = to_read.iter().map(|(_, count)| count).sum();
        let next = card.items.iter().find(|item| matches!(item.said, ItemSaid::ToRead(_)));
        let next = next.map_or("", |item| item.item.name);
        return Some(due(format!(
            "{} of used parts to take, next on {}: {next}",
            counted(count, "reading"),
            card.serial
        )));
    }
    for fate in [Fate::NotProven, Fate::Rework] {
        let decided = |card: &&CardReport| card.verdict == CardVerdict::Decided(fate);
        if let Some(card) = cards.cards.iter().find(decided) {
            let word = if fate == Fate::Rework { "to be reworked" } else { "not proven" };
            return Some(due(format!("{} {word}: {}", card.serial, why(card, fate))));
        }
    }
    None
}

/// Whether a problem of the file is one of readings, which Inspection tells.
fn is_of_parts(place: &str) -> bool {
    ["rotor", "housing", "side_housing"].iter().any(|kind| {
        place.strip_prefix(kind).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', ' ']))
    })
}

fn clearances(sheet: &Sheet) -> Line {
    if let Err(problems) = &sheet.file.build {
        let other = problems
            .list()
            .iter()
            .find(|problem| !is_of_parts(&problem.place) && !counts_parts(problem));
        if let Some(problem) = other {
            return due(problem.to_string());
        }
    }
    let Some(plan) = sheet.cutting_plan() else {
        return match &sheet.plan {
            Some(Err(error)) => stopped(error.clone()),
            _ => due("the windows are known when every reading is there"),
        };
    };
    for rotor in &plan.rotors {
        if let Some(words) = phrase::opens(&rotor.window, sheet.first) {
            return stopped(format!("{}: {words}", rotor.serial));
        }
    }
    holds(format!("spec {:?}; no window is empty", plan.spec_name))
}

/// Rotors that the plan cuts.
fn to_cut(rotors: &[RotorReport]) -> usize {
    rotors.iter().filter(|rotor| rotor.planned && !rotor.plan.cut.is_nothing()).count()
}

fn cutting(sheet: &Sheet) -> Line {
    let Some(plan) = sheet.cutting_plan() else {
        return match &sheet.plan {
            Some(Err(error)) => stopped(error.clone()),
            _ => due("the plan waits for the readings"),
        };
    };
    if !plan.feasible {
        let what = plan.limiting.first().map_or("no plan".to_owned(), |limiting| {
            let whose = limiting.serial.as_deref().unwrap_or("the set");
            format!("no plan; {whose}: {}", limiting.detail)
        });
        return stopped(what);
    }
    let cut = to_cut(&plan.rotors);
    if cut == 0 {
        return holds("nothing to cut: within the spec as it is");
    }
    let measured = sheet.planned().map_or(0, |now| {
        now.rotors
            .iter()
            .zip(&plan.rotors)
            .filter(|(now, was)| now.measured.is_some() && !was.plan.cut.is_nothing())
            .count()
    });
    match sheet.works(WorkKind::Sheet).iter().find(|work| work.title == CUT_SHEET) {
        _ if measured >= cut => holds(format!("{} cut and measured again", counted(cut, "rotor"))),
        _ if measured > 0 => due(format!("{measured} of {cut} rotors measured after the cut")),
        None => due("planned; make the cut sheet"),
        Some(work) if sheet.fits(work) != Fits::Now => {
            due(format!("something changed since cut sheet {} was made: make it again", work.id))
        }
        Some(work) => due(format!("at the machine with cut sheet {}", work.id)),
    }
}

fn re_inspection(sheet: &Sheet) -> Line {
    let nothing =
        sheet.cutting_plan().is_some_and(|plan| plan.feasible && to_cut(&plan.rotors) == 0);
    if nothing && sheet.first_plan.is_none() {
        return holds("nothing was cut");
    }
    for part in sheet.of_kind(PartKind::Rotor) {
        let after = part.alone.as_ref().is_some_and(|alone| alone.after);
        if let Some(suspicion) = part.suspicions().first().filter(|_| after) {
            let words = disagree(&part.fitted.serial, suspicion);
            return stopped(format!("after the cut, {words}"));
        }
    }
    let missing = sheet.missing(When::After, &[PartKind::Rotor]);
    let count: usize = missing.iter().map(|(_, stations)| stations.len()).sum();
    if let Some((part, stations)) = missing.first() {
        if sheet.first_plan.is_none() && !sheet.readings.iter().any(|r| r.when == When::After) {
            return due("waits for the cut");
        }
        let next = stations.first().map_or("", |station| station.words.as_str());
        return due(format!(
            "{} to take after the cut, next on {}: {next}",
            counted(count, "reading"),
            part.fitted.serial
        ));
    }
    let Some(plan) = sheet.planned() else { return due("waits for the cut") };
    if !plan.feasible {
        let what = plan.limiting.first().map_or("no plan".to_owned(), |limiting| {
            let whose = limiting.serial.as_deref().unwrap_or("the set");
            format!("{whose}: {}", limiting.detail)
        });
        return stopped(format!("measured, and not within: {what}"));
    }
    let again = to_cut(&plan.rotors);
    if again > 0 {
        return due(format!("a second cut, {}", counted(again, "rotor")));
    }
    let unproven = plan.rotors.iter().filter(|rotor| rotor.verdict != Verdict::Conforms).count();
    if unproven > 0 {
        return due(format!(
            "measured; of {} not every size is proven",
            counted(unproven, "rotor")
        ));
    }
    holds("measured, conforms")
}

fn balance(sheet: &Sheet) -> Line {
    let started = sheet.lines.iter().any(|line| line.place.starts_with("balance."));
    match &sheet.balance {
        None => due("waits for the plan"),
        Some(Err(error)) => due(error.clone()),
        Some(Ok(report)) => {
            let words = format!("{}: {}", report.basis.words(), report.worst().words());
            match (report.worst(), report.is_measured()) {
                (Verdict::Conforms, true) => holds(words),
                (Verdict::DoesNotConform, true) => stopped(words),
                _ if !started => due("nothing is entered for the balancing machine yet"),
                // Of what is planned it is not said that it conforms.
                _ => due(format!("{}; then enter what the machine shows", to_do(report))),
            }
        }
    }
}

/// What is to be done at the balancing machine and to the rotors.
fn to_do(report: &BalanceReport) -> String {
    let mut all: Vec<String> = report
        .rotors
        .iter()
        .filter(|rotor| !rotor.take.is_empty())
        .map(|rotor| {
            let grams = 1e3 * (rotor.dressed.mass_kg - rotor.finished.mass_kg);
            format!("take {grams:.1} g from {}", rotor.serial)
        })
        .collect();
    for plane in &report.planes {
        match plane.done.as_deref() {
            Some([]) => {}
            Some(done) => {
                all.push(format!("correct the {} ({})", plane.name, counted(done.len(), "place")));
            }
            None => all.push(format!("enter where metal may come off the {}", plane.name)),
        }
    }
    if all.is_empty() { "spin it again".to_owned() } else { all.join(", ") }
}

/// A size of the assembly sheet with what is wanted; of the end play with the spacer that gives it.
fn size_and_wanted(sheet: &Sheet, report: &AssemblyReport, line: &AssemblyLine) -> String {
    let first = sheet.first;
    let reads = line.measured.map_or(String::new(), |measured| measured.text(first));
    let spacer = report.spacer.as_ref().filter(|_| line.key == Fit::EndPlay.key());
    let spacer = match spacer.and_then(|spacer| spacer.advice) {
        Some(Advice::Exchange(other)) => {
            format!("; put in the spacer of {}", other.thickness.as_size(first))
        }
        Some(Advice::None(_)) => "; no spacer of the stock gives it".to_owned(),
        Some(Advice::Stay) | None => String::new(),
    };
    let who = if line.key == Fit::ApexEnds.key() { "the spec" } else { "the engine's record" };
    format!("{} reads {reads}, {who} asks for {}{spacer}", line.what, line.wanted(first))
}

fn assembly(sheet: &Sheet) -> Line {
    let report = sheet.assembly();
    let judged = |verdict: Verdict| report.of(Said::Judged(verdict)).next();
    if let Some(line) = judged(Verdict::DoesNotConform) {
        return stopped(size_and_wanted(sheet, &report, line));
    }
    if let Some(plan) = sheet.planned() {
        for rotor in &plan.rotors {
            if let Some(line) = rotor.seals.iter().find(|line| line.holds() == Some(false)) {
                return stopped(format!(
                    "{}: {}",
                    rotor.serial,
                    phrase::seal_line(line, sheet.first)
                ));
            }
        }
    }
    let mut lacking = Vec::new();
    for (kind, words) in [(PartKind::Shaft, "the shaft"), (PartKind::SealsSet, "the seals set")] {
        if sheet.of_kind(kind).next().is_none() {
            lacking.push(words);
        }
    }
    if !lacking.is_empty() {
        return due(format!("enter {}", lacking.join(" and ")));
    }
    let missing = sheet.missing(When::After, &[PartKind::Shaft, PartKind::SealsSet]);
    match missing.iter().flat_map(|(_, stations)| stations).next() {
        Some(station) => due(format!(
            "{} to take, next: {}",
            counted(missing.iter().map(|(_, s)| s.len()).sum(), "reading"),
            station.words
        )),
        None => match (judged(Verdict::NotProven), report.of(Said::NoLimit).next()) {
            (Some(line), _) => {
                due(format!("not proven: {}", size_and_wanted(sheet, &report, line)))
            }
            (None, None) => holds("every size that is read at assembly conforms"),
            (None, Some(_)) => holds(
                "end play and seal gaps are read; where no limit is given for one, the builder judges it",
            ),
        },
    }
}

fn sign_off(sheet: &Sheet, before: &[PartState; 7]) -> Line {
    let signed = sheet.sign_offs.iter().rev().find(|s| s.revision == sheet.build.revision);
    if let (Some(signed), false) = (signed, sheet.build.open) {
        return holds(format!("signed by {} on {}", signed.person_name, signed.at.day()));
    }
    let open: Vec<&PartState> = before.iter().filter(|part| part.state != State::Holds).collect();
    match open.as_slice() {
        [] => due("everything holds: sign it"),
        [one] => due(format!("one section above is open: {}", one.stage)),
        several => {
            due(format!("{} sections above are open, first {}", several.len(), several[0].stage))
        }
    }
}
