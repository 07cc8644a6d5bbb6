//! A spec looked at again: for each duty it was built to, where past builds sat in their windows and
//! how they came back, and which limit they came nearest to.

mod back;
mod evidence;
mod picture;
mod sits;

pub use back::Back;
pub use evidence::{Evidence, Lacks, Supports};
pub use picture::review_pictures;
pub use sits::{Bound, Sits, SitsRotor};

use super::phrase;
use super::sheet::{Sheet, sheet};
use super::shop::ShopError;
use crate::build_file::model::{Aim, Duty};
use evidence::Known;
use kernel::units::{Length, System};
use records::{Build, BuildId, BuildListed, BuildSearch, Day, Shop, Spec, SpecId};

/// Most builds that are looked at, the newest of each spec: more would say the same again.
const MOST_BUILDS: usize = 200;
/// Builds that are asked for at a time.
const AT_A_TIME: usize = 500;

/// A spec with all that was built to it, duty by duty.
#[derive(Debug, Clone, PartialEq)]
pub struct SpecReview {
    /// The spec, its last version.
    pub spec: Spec,
    /// Duties, the one with most builds first.
    pub duties: Vec<DutyReview>,
    /// How many signed builds there are beyond those that are looked at.
    pub not_shown: usize,
}

/// What was built for one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyReview {
    /// The duty.
    pub duty: Duty,
    /// Side clearance and step that the spec wanted, each with its tolerance, where all builds were
    /// built to the same.
    pub wanted: Option<Wanted>,
    /// The builds, the newest first.
    pub builds: Vec<PastBuild>,
    /// What is known of the step at this duty; or why nothing can be said.
    pub evidence: Result<Evidence, String>,
}

/// Side clearance and step, each with its tolerance.
type Wanted = ((Length, Length), (Length, Length));

/// A duty in words.
#[must_use]
pub fn duty_words(duty: &Duty) -> String {
    phrase::duty(duty).unwrap_or_else(|| "a duty that is not said".to_owned())
}

/// A signed build.
#[derive(Debug, Clone, PartialEq)]
pub struct PastBuild {
    /// The build.
    pub build: Build,
    /// To which version of the spec.
    pub version: i64,
    /// Whether its rotors were measured after the cut; else they are as they were planned.
    pub measured: bool,
    /// Where each rotor sat in its window, from the front; or why that cannot be said.
    pub sits: Result<Vec<SitsRotor>, String>,
    /// How it came back; nothing while it runs.
    pub back: Option<Back>,
}

/// How often something was the first to be met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MetFirst {
    /// What, in words.
    pub what: String,
    /// Of how many rotors.
    pub rotors: usize,
}

impl DutyReview {
    /// Which limit the rotors sat nearest to, the most frequent first.
    #[must_use]
    pub fn met_first(&self) -> Vec<MetFirst> {
        let mut all: Vec<MetFirst> = Vec::new();
        let rotors = self.builds.iter().filter_map(|past| past.sits.as_ref().ok()).flatten();
        for bound in rotors.filter_map(SitsRotor::nearest) {
            match all.iter_mut().find(|met| met.what == bound.words) {
                Some(met) => met.rotors += 1,
                None => all.push(MetFirst { what: bound.words.clone(), rotors: 1 }),
            }
        }
        all.sort_by(|a, b| b.rotors.cmp(&a.rotors).then_with(|| a.what.cmp(&b.what)));
        all
    }

    /// Of the builds that came back: how many, and on how many any tip had touched.
    #[must_use]
    pub fn came_back(&self) -> (usize, usize) {
        let back = || self.builds.iter().filter_map(|past| past.back.as_ref());
        (back().count(), back().filter(|back| back.touched() > 0).count())
    }
}

/// Looks at a spec again, all its versions together.
///
/// # Errors
/// Where there is no such spec, or the shop's file cannot be read.
pub fn review(
    shop: &Shop,
    spec: SpecId,
    today: &Day,
    first: System,
) -> Result<SpecReview, ShopError> {
    let all = shop.specs()?;
    let asked = all.iter().find(|known| known.id == spec).cloned();
    let asked =
        asked.ok_or_else(|| records::RecordsError::NotThere { what: format!("spec {spec}") })?;
    let versions: Vec<&Spec> = all.iter().filter(|known| known.name == asked.name).collect();
    let last = versions.iter().copied().max_by_key(|known| known.version).cloned();
    let version_of = |build: &Build| {
        let of = build.head.spec?;
        versions.iter().find(|known| known.id == of).map(|known| known.version)
    };
    let mut past: Vec<(Build, i64)> = Vec::new();
    for listed in listed(shop)? {
        if let Some(version) = version_of(&listed.build)
            && !shop.sign_offs(listed.build.id)?.is_empty()
        {
            past.push((listed.build, version));
        }
    }
    past.sort_by_key(|(build, _)| std::cmp::Reverse(build.id.0));
    let not_shown = past.len().saturating_sub(MOST_BUILDS);
    past.truncate(MOST_BUILDS);
    // Worked out once, and only where there is something to say it of.
    let known = if past.is_empty() {
        Err("no build refers to it".to_owned())
    } else {
        Known::of(shop, today, first).map_err(|error| error.to_string())
    };
    let mut duties: Vec<DutyReview> = Vec::new();
    for (build, version) in past {
        let LookedAt { sheet, duty, wanted, past } =
            looked_at(shop, (build, version), today, first)?;
        let step = || match (&known, &sheet.file.build, sheet.planned()) {
            (Ok(known), Ok(build), Some(plan)) => known.of_step(build, plan, first),
            (Err(why), ..) => Err(why.clone()),
            _ => Err("its newest build is not whole".to_owned()),
        };
        match duties.iter_mut().find(|other| same(&other.duty, &duty)) {
            Some(of) => {
                of.builds.push(past);
                if of.evidence.is_err() {
                    of.evidence = step();
                }
                of.wanted = of.wanted.filter(|all| Some(*all) == wanted);
            }
            None => duties.push(DutyReview { duty, wanted, builds: vec![past], evidence: step() }),
        }
    }
    duties.sort_by_key(|duty| std::cmp::Reverse(duty.builds.len()));
    Ok(SpecReview { spec: last.unwrap_or(asked), duties, not_shown })
}

/// All builds of the shop.
fn listed(shop: &Shop) -> Result<Vec<BuildListed>, ShopError> {
    let mut all = Vec::new();
    loop {
        let search = BuildSearch { text: "", open: None, most: AT_A_TIME, from: all.len() };
        let found = shop.builds(&search)?;
        let last = found.len() < AT_A_TIME;
        all.extend(found);
        if last {
            return Ok(all);
        }
    }
}

/// Whether two duties ask for the same: speed, boost and hours.
fn same(a: &Duty, b: &Duty) -> bool {
    (a.speed, a.boost, a.running) == (b.speed, b.boost, b.running)
}

/// A build with the duty that it was built for.
struct LookedAt {
    sheet: Sheet,
    duty: Duty,
    wanted: Option<Wanted>,
    past: PastBuild,
}

fn looked_at(
    shop: &Shop,
    (build, version): (Build, i64),
    today: &Day,
    first: System,
) -> Result<LookedAt, ShopError> {
    let sheet = sheet(shop, build.id, today, first)?;
    let file = sheet.file.build.as_ref().ok();
    let duty = file.map(|build| build.duty.clone()).unwrap_or_default();
    let aim = |aim: Aim| (aim.target, aim.tolerance);
    let wanted = file.map(|build| (aim(build.spec.side_clearance), aim(build.spec.step)));
    let sits = match (&sheet.file.build, &sheet.plan) {
        (Ok(_), Some(Ok(plan))) => Ok(sits::rotors(plan)),
        (Ok(_), Some(Err(why))) => Err(why.clone()),
        (Ok(_), None) | (Err(_), _) => Err("its file is not whole".to_owned()),
    };
    let back = back::of(shop, build.id)?;
    let measured = sheet.first_plan.is_some();
    let past = PastBuild { build, version, measured, sits, back };
    Ok(LookedAt { sheet, duty, wanted, past })
}

impl PastBuild {
    /// Its number.
    #[must_use]
    pub fn id(&self) -> BuildId {
        self.build.id
    }
}

#[cfg(test)]
mod tests;
