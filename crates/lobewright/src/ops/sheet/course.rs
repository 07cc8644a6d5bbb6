//! A build on its way: brought in from a file, given to somebody, opened again after it was
//! signed; and what is worked out of it, or why that is not possible yet.

use super::Sheet;
use super::changes::ChangeError;
use super::due::settle;
use crate::ops::balance::{BalanceReport, balance};
use crate::ops::inputs::SpeedCall;
use crate::ops::plan::PlanReport;
use crate::ops::shop::{ShopError, import};
use crate::ops::speed::{SpeedAsked, SpeedReport, Watch, speed};
use records::{BroughtIn, BuildId, Day, Due, Moment, Person, PersonId, Seen, Shop};
use thiserror::Error;

/// Why something is not worked out of a build.
#[derive(Debug, Error)]
pub enum NotThatFar {
    /// Its file is not whole yet, or wrong.
    #[error("build {build} is not that far: {}", .lacks.join("; "))]
    Lacks {
        /// Which build.
        build: BuildId,
        /// What is missing or wrong.
        lacks: Vec<String>,
    },
    /// It is whole, and still has no answer.
    #[error("build {build}: {why}")]
    NoAnswer {
        /// Which build.
        build: BuildId,
        /// Why.
        why: String,
    },
}

impl Sheet {
    fn lacks(&self) -> NotThatFar {
        let problems = self.file.build.as_ref().err();
        let lacks = problems.map(|problems| problems.list().iter().map(ToString::to_string));
        NotThatFar::Lacks { build: self.build.id, lacks: lacks.into_iter().flatten().collect() }
    }

    fn no_answer(&self, why: impl ToString) -> NotThatFar {
        NotThatFar::NoAnswer { build: self.build.id, why: why.to_string() }
    }

    /// The plan.
    ///
    /// # Errors
    /// What is missing for it, or why there is none.
    pub fn plan_or_why(&self) -> Result<&PlanReport, NotThatFar> {
        match &self.plan {
            Some(Ok(plan)) => Ok(plan),
            Some(Err(why)) => Err(self.no_answer(why)),
            None => Err(self.lacks()),
        }
    }

    /// The balance, with the first critical speed.
    ///
    /// # Errors
    /// What is missing for it, or why there is none.
    pub fn balance_or_why(&self) -> Result<BalanceReport, NotThatFar> {
        let plan = self.plan_or_why()?;
        let build = self.file.build.as_ref().map_err(|_| self.lacks())?;
        balance(build, plan, &SpeedCall::default(), self.first)
            .map_err(|error| self.no_answer(error))
    }

    /// The planned build at speed.
    ///
    /// # Errors
    /// What is missing for it, or why it cannot be computed.
    pub fn at_speed(
        &self,
        asked: &SpeedAsked,
        watch: &mut Watch<'_>,
    ) -> Result<SpeedReport, NotThatFar> {
        let plan = self.plan_or_why()?;
        let build = self.file.build.as_ref().map_err(|_| self.lacks())?;
        speed(build, plan, asked, self.first, watch).map_err(|error| self.no_answer(error))
    }
}

/// Brings a build file in as [`import`] does, and says what is due next. Whoever brings in a new
/// build has it.
///
/// # Errors
/// As [`import`].
pub fn bring(
    shop: &Shop,
    text: &str,
    over: Option<BuildId>,
    (by, at): (&Person, &Moment),
) -> Result<BroughtIn, ChangeError> {
    let brought = import(shop, text, over, (&by.name, at))?;
    if over.is_none() {
        let due = shop.build(brought.build)?.due;
        shop.set_due(brought.build, &Due { holder: Some(by.id), ..due })?;
    }
    settle(shop, brought.build, &at.day())?;
    Ok(brought)
}

/// Gives a build to somebody, and says by when it is wanted.
///
/// # Errors
/// Where there is no such build or person.
pub fn hand_over(
    shop: &Shop,
    build: BuildId,
    by: Option<Day>,
    holder: Option<PersonId>,
) -> Result<(), ShopError> {
    Ok(shop.hand_over(build, by.as_ref(), holder)?)
}

/// Opens the next revision of a signed build, and says what is due in it.
///
/// # Errors
/// Where it changed since it was looked at, is not signed, or no reason is given.
pub fn amend(
    shop: &Shop,
    build: BuildId,
    seen: &Seen,
    reason: &str,
    (person, at): (PersonId, &Moment),
) -> Result<i64, ChangeError> {
    let revision = shop.amend(build, seen, reason.trim(), (person, at))?;
    settle(shop, build, &at.day())?;
    Ok(revision)
}
