//! What is kept of what was worked out: plans, cut sheets, balance runs. Each is the JSON that the
//! program gave, with its version and the hash of what it was worked out from.

use super::{ChangeError, Sheet};
use crate::wire::{BalanceJson, PlanJson, Tilts};
use records::{Moment, NewWork, PersonId, Sha, Shop, WorkId, WorkKind};
use serde_json::json;

/// What a cut sheet is called; its number follows.
pub const CUT_SHEET: &str = "Cut sheet";

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

/// The plan that the machinist works from, as JSON: the second one where a second cut is needed.
fn plan_json(sheet: &Sheet) -> Result<serde_json::Value, ChangeError> {
    let plan = if sheet.needs_second_cut() { sheet.planned() } else { sheet.cutting_plan() };
    let Some(plan) = plan else {
        return Err(ChangeError::Refused(
            "there is no plan yet: readings or spec are not whole".to_owned(),
        ));
    };
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
    if let (Some(_), Some(now)) = (&sheet.first_plan, sheet.planned()) {
        // What was cut and not measured yet would be cut again by as much.
        if let Some(open) = now.rotors.iter().find(|rotor| rotor.measured.is_none()) {
            return Err(ChangeError::Refused(format!(
                "{} is not measured after the cut yet: measure it, then make the sheet",
                open.serial
            )));
        }
        if now.feasible && !sheet.needs_second_cut() {
            return Err(ChangeError::Refused(
                "every rotor is cut and measured, and no second cut is asked for".to_owned(),
            ));
        }
    }
    let plan = plan_json(sheet)?;
    if plan["feasible"] != json!(true) {
        return Err(ChangeError::Refused(
            "there is no plan for the whole set, so no sheet is made to cut by".to_owned(),
        ));
    }
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
    kept(
        shop,
        sheet,
        (WorkKind::BalanceRun, "Balance run"),
        (inputs, &json!(BalanceJson::of(report))),
        by,
    )
}
