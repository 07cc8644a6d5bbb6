//! The shop of the demonstration while its year goes by: the shop's file, and who and what is in
//! it by the names that the stories use.

use super::super::sheet::{
    BALANCE_SHEET, CUT_SHEET, cut_inputs, cut_inputs_again, with_balance_sheet, with_cut_sheets,
};
use super::super::{BalanceReport, PlanReport, ShopError, export, plan};
use super::calendar::Calendar;
use super::draft::Draft;
use crate::build_file::places::PlacesError;
use crate::build_file::{Build, read};
use crate::papers::Stamp;
use crate::wire::{PlanJson, Tilts};
use kernel::units::{Quantity, System};
use records::{
    BuildId, CustomerId, Due, EngineId, IntakeId, Moment, NewWork, PartId, PartKind, PersonId, Sha,
    Shop, SpecId, Stage, WorkKind, Written,
};
use serde_json::json;
use std::collections::HashMap;
use std::rc::Rc;

/// What worked a plan out.
const PROGRAM: &str = concat!("lobewright ", env!("CARGO_PKG_VERSION"));

/// Somebody who works there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Worker {
    pub(super) id: PersonId,
    pub(super) name: &'static str,
}

/// The shop and what is known by name.
pub(super) struct Books<'s> {
    pub(super) shop: &'s Shop,
    pub(super) calendar: Calendar,
    pub(super) owner: Worker,
    pub(super) builder: Worker,
    /// Who built there in the first months and left.
    pub(super) former: Worker,
    pub(super) machinist: Worker,
    pub(super) assembler: Worker,
    pub(super) customers: HashMap<&'static str, CustomerId>,
    pub(super) engines: HashMap<&'static str, EngineId>,
    pub(super) specs: HashMap<(&'static str, i64), SpecId>,
    pub(super) intakes: HashMap<&'static str, IntakeId>,
    pub(super) builds: HashMap<&'static str, BuildId>,
    /// The last plan of each build: what is planned today is cut tomorrow.
    pub(super) plans: HashMap<String, Rc<Standing>>,
}

/// A build as it stands in the shop, planned.
pub(super) struct Standing {
    pub(super) text: String,
    pub(super) build: Build,
    pub(super) plan: PlanReport,
}

/// What keeps a story from going on.
pub(super) fn stuck(of: impl Into<String>, why: impl ToString) -> ShopError {
    ShopError::Demonstration { of: of.into(), why: why.to_string() }
}

/// A value of the stories.
pub(super) fn written<Q: Quantity>(text: &str) -> Result<Written, ShopError> {
    Written::read::<Q>(text).map_err(|error| stuck(text, error))
}

impl Books<'_> {
    /// A build by its name.
    pub(super) fn build(&self, name: &str) -> Result<BuildId, ShopError> {
        self.builds.get(name).copied().ok_or_else(|| stuck(name, "it was not begun"))
    }

    /// A customer by name.
    pub(super) fn customer(&self, name: &str) -> Result<CustomerId, ShopError> {
        self.customers.get(name).copied().ok_or_else(|| stuck(name, "no such customer"))
    }

    /// The part of this serial, added if the shop does not know it.
    pub(super) fn part(
        &self,
        (kind, serial): (PartKind, &str),
        (by, at): (Worker, &Moment),
    ) -> Result<PartId, ShopError> {
        Ok(match self.shop.part_of(kind, serial)? {
            Some(known) => known.id,
            None => self.shop.add_part(kind, serial, (by.id, at))?,
        })
    }

    /// Says what is due next, and by when.
    pub(super) fn due(
        &self,
        name: &str,
        (stage, next): (Stage, &str),
        wanted: i64,
        holder: Option<Worker>,
    ) -> Result<(), ShopError> {
        let due = Due {
            stage,
            next: next.to_owned(),
            by: Some(self.calendar.day(wanted)?),
            holder: holder.map(|worker| worker.id),
        };
        Ok(self.shop.set_due(self.build(name)?, &due)?)
    }

    /// The file of a build as it stands.
    pub(super) fn draft(&self, name: &str) -> Result<Draft, ShopError> {
        Draft::of(&export(self.shop, self.build(name)?)?)
    }

    /// The text of a file.
    pub(super) fn text(name: &str, draft: &Draft) -> Result<String, ShopError> {
        draft.text().map_err(|error: PlacesError| stuck(name, error))
    }

    /// Plans a build as it stands in the shop.
    pub(super) fn planned(&mut self, name: &str) -> Result<Rc<Standing>, ShopError> {
        let text = export(self.shop, self.build(name)?)?;
        if let Some(last) = self.plans.get(name).filter(|last| last.text == text) {
            return Ok(Rc::clone(last));
        }
        let build = read(&text).map_err(Box::new)?;
        let plan = plan(&build, System::Metric).map_err(|error| stuck(name, error))?;
        let standing = Rc::new(Standing { text, build, plan });
        self.plans.insert(name.to_owned(), Rc::clone(&standing));
        Ok(standing)
    }

    /// Keeps a balance of a build as it stands.
    pub(super) fn keep_balance(
        &self,
        (name, standing): (&str, &Standing),
        report: &BalanceReport,
        by: (Worker, &Moment),
    ) -> Result<(), ShopError> {
        let inputs = Sha::of(standing.text.as_bytes());
        let build = self.shop.build(self.build(name)?)?;
        let stamp = Stamp::of_build(&build, &inputs, by.1.day().as_str(), System::Metric);
        let document = with_balance_sheet((&standing.build, &standing.plan), report, &stamp);
        self.keep(name, (WorkKind::BalanceRun, BALANCE_SHEET), (inputs, &document), by)
    }

    /// Keeps a plan of a build as it stands.
    pub(super) fn keep_plan(
        &self,
        of: (&str, &Standing),
        title: &str,
        by: (Worker, &Moment),
    ) -> Result<(), ShopError> {
        self.keep_planned(of, (WorkKind::Plan, title), by)
    }

    /// Makes the sheet that is cut by.
    pub(super) fn make_cut_sheet(
        &self,
        of: (&str, &Standing),
        by: (Worker, &Moment),
    ) -> Result<(), ShopError> {
        self.keep_planned(of, (WorkKind::Sheet, CUT_SHEET), by)
    }

    fn keep_planned(
        &self,
        (name, standing): (&str, &Standing),
        what: (WorkKind, &str),
        by: (Worker, &Moment),
    ) -> Result<(), ShopError> {
        let document = PlanJson::of(&standing.plan, Tilts::Left);
        let mut document = json!(document.map_err(|error| stuck(name, error))?);
        let build = self.shop.build(self.build(name)?)?;
        let lines = self.shop.values(build.id)?;
        let cut = standing.build.rotors.iter().any(|rotor| rotor.after.is_some());
        let inputs = if cut { cut_inputs_again(&lines) } else { cut_inputs(&lines) };
        if what.0 == WorkKind::Sheet {
            let stamp = Stamp::of_build(&build, &inputs, by.1.day().as_str(), System::Metric);
            document = with_cut_sheets(document, (&standing.build, &standing.plan), &stamp);
        }
        self.keep(name, what, (inputs, &document), by)
    }

    fn keep(
        &self,
        name: &str,
        (kind, title): (WorkKind, &str),
        (inputs_hash, document): (Sha, &serde_json::Value),
        (by, at): (Worker, &Moment),
    ) -> Result<(), ShopError> {
        self.shop.add_work(&NewWork {
            kind,
            build: self.build(name)?,
            title,
            program: PROGRAM,
            inputs_hash,
            document: &document.to_string(),
            person: by.id,
            at,
        })?;
        Ok(())
    }
}
