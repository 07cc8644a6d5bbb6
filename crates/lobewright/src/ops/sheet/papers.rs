//! What is kept of what was worked out: plans, cut sheets, balance runs. Each is the JSON that the
//! program gave, with its version and the hash of what it was worked out from.

use super::super::balance::BalanceReport;
use super::super::plan::PlanReport;
use super::{ChangeError, Sheet};
use crate::build_file::Build as BuildFile;
use crate::papers::{NamedPaper, Stamp, balance_sheet, cut_sheets};
use crate::wire::{BalanceJson, PlanJson, Tilts};
use records::{Moment, NewWork, PersonId, Sha, Shop, WorkId, WorkKind};
use serde::Deserialize;
use serde_json::json;

/// Where the papers of a document stand, as they were made: one is printed again years later as it
/// was, whatever the program makes of the same figures then.
const PAPERS: &str = "papers";

/// The papers of something that was kept, as they were made; none where none were.
///
/// # Errors
/// Where they are there and cannot be read.
pub fn papers_of(document: &serde_json::Value) -> Result<Vec<NamedPaper>, serde_json::Error> {
    document.get(PAPERS).map_or_else(|| Ok(Vec::new()), Vec::deserialize)
}

/// Said where neither sheet nor program can be made yet.
pub(crate) const NO_PLAN_YET: &str = "there is no plan yet: readings or spec are not whole";

/// What a cut sheet is called; its number follows.
pub const CUT_SHEET: &str = "Cut sheet";
/// What a balance sheet is called; its number follows.
pub const BALANCE_SHEET: &str = "Balance sheet";

/// The program with its version.
fn program() -> String {
    format!("lobewright {}", env!("CARGO_PKG_VERSION"))
}

fn kept(
    shop: &Shop,
    sheet: &Sheet,
    (kind, title): (WorkKind, &str),
    (inputs_hash, document): (Sha, &serde_json::Value),
    (person, at): (PersonId, &Moment),
) -> Result<WorkId, ChangeError> {
    if !sheet.build.open {
        return Err(ChangeError::Refused(format!(
            "build {} is signed: open a new revision to keep papers in it",
            sheet.build.id
        )));
    }
    Ok(shop.add_work(&NewWork {
        kind,
        build: sheet.build.id,
        title,
        program: &program(),
        inputs_hash,
        document: &document.to_string(),
        person,
        at,
    })?)
}

/// The plan that the figures come from: the second one where a second cut is needed.
fn newest(sheet: &Sheet) -> Option<&PlanReport> {
    if sheet.needs_second_cut() { sheet.planned() } else { sheet.cutting_plan() }
}

impl Sheet {
    /// The plan that a machine may cut by now, the second one where a second cut is needed: for
    /// cut sheets and for programs.
    ///
    /// # Errors
    /// Why nobody may cut by any, in a sentence.
    pub fn to_cut_by(&self) -> Result<&PlanReport, String> {
        if let (Some(_), Some(now)) = (&self.first_plan, self.planned()) {
            // What was cut and not measured yet would be cut again by as much.
            if let Some(open) = now.rotors.iter().find(|rotor| rotor.measured.is_none()) {
                return Err(format!(
                    "{} is not measured after the cut yet: measure it first, or what was cut would be \
                     cut again",
                    open.serial
                ));
            }
            if now.feasible && !self.needs_second_cut() {
                return Err(
                    "every rotor is cut and measured, and no second cut is asked for".to_owned()
                );
            }
        }
        let plan = newest(self).ok_or_else(|| NO_PLAN_YET.to_owned())?;
        if plan.feasible {
            return Ok(plan);
        }
        Err("there is no plan for the whole set, so nothing is made to cut by".to_owned())
    }
}

/// A plan as JSON with the sheets to cut by.
pub(in crate::ops) fn with_cut_sheets(
    mut plan: serde_json::Value,
    (build, report): (&BuildFile, &PlanReport),
    stamp: &Stamp,
) -> serde_json::Value {
    plan[PAPERS] = json!(cut_sheets(build, report, stamp));
    plan
}

/// A balance as JSON with the sheet to balance by.
pub(in crate::ops) fn with_balance_sheet(
    (build, plan): (&BuildFile, &PlanReport),
    report: &BalanceReport,
    stamp: &Stamp,
) -> serde_json::Value {
    let mut document = json!(BalanceJson::of(report));
    document[PAPERS] = json!([balance_sheet(build, plan, report, stamp)]);
    document
}

/// The newest plan as JSON.
fn plan_json(sheet: &Sheet) -> Result<serde_json::Value, ChangeError> {
    let plan = newest(sheet).ok_or_else(|| ChangeError::Refused(NO_PLAN_YET.to_owned()))?;
    as_json(plan)
}

fn as_json(plan: &PlanReport) -> Result<serde_json::Value, ChangeError> {
    PlanJson::of(plan, Tilts::Tabled)
        .map(|plan| json!(plan))
        .map_err(|error| ChangeError::Refused(error.to_string()))
}

/// Keeps the plan as it is now.
///
/// # Errors
/// Where there is none, or the shop's file cannot be written.
pub fn keep_plan(
    shop: &Shop,
    sheet: &Sheet,
    by: (PersonId, &Moment),
) -> Result<WorkId, ChangeError> {
    let plan = plan_json(sheet)?;
    kept(shop, sheet, (WorkKind::Plan, "Plan"), (sheet.cut_inputs(), &plan), by)
}

/// Makes a cut sheet of a plan that is one.
///
/// # Errors
/// Where there is no plan to cut by: no sheet is made of it.
pub fn make_cut_sheet(
    shop: &Shop,
    sheet: &Sheet,
    by: (PersonId, &Moment),
) -> Result<WorkId, ChangeError> {
    let report = sheet.to_cut_by().map_err(ChangeError::Refused)?;
    let Ok(build) = &sheet.file.build else {
        return Err(ChangeError::Refused(NO_PLAN_YET.to_owned()));
    };
    let stamp =
        Stamp::of_build(&sheet.build, &sheet.cut_inputs(), by.1.day().as_str(), sheet.first);
    let plan = with_cut_sheets(as_json(report)?, (build, report), &stamp);
    kept(shop, sheet, (WorkKind::Sheet, CUT_SHEET), (sheet.cut_inputs(), &plan), by)
}

/// Keeps the balance as it is now.
///
/// # Errors
/// Where there is none.
pub fn keep_balance(
    shop: &Shop,
    sheet: &Sheet,
    by: (PersonId, &Moment),
) -> Result<WorkId, ChangeError> {
    let report = match &sheet.balance {
        Some(Ok(report)) => report,
        Some(Err(error)) => return Err(ChangeError::Refused(error.clone())),
        None => return Err(ChangeError::Refused("there is no plan yet to balance by".to_owned())),
    };
    let inputs = Sha::of(sheet.file.text.as_bytes());
    let (Ok(build), Some(plan)) = (&sheet.file.build, sheet.planned()) else {
        return Err(ChangeError::Refused("there is no plan yet to balance by".to_owned()));
    };
    let stamp = Stamp::of_build(&sheet.build, &inputs, by.1.day().as_str(), sheet.first);
    let document = with_balance_sheet((build, plan), report, &stamp);
    kept(shop, sheet, (WorkKind::BalanceRun, BALANCE_SHEET), (inputs, &document), by)
}
