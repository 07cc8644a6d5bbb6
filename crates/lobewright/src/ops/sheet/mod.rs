//! A build of the shop's file as one sheet: what is in it, how far it has come, what is worked out
//! from it as far as it goes, and in eight parts what holds, is due, or is stopped.

mod as_far;
mod assembly;
mod cards;
mod changes;
mod course;
mod due;
mod fitting;
mod links;
mod many;
mod papers;
mod states;
mod stations;
mod taking;
mod what_if;

pub use as_far::AsFar;
pub use changes::{Beginning, Change, ChangeError, begin, change};
pub use course::{NotThatFar, amend, bring, hand_over};
pub use due::{STOPPED, settle};
pub use fitting::{Fitting, fit, take_out};
pub use many::{ManyError, TakenMany, take_many};
pub(crate) use papers::NO_PLAN_YET;
pub use papers::{BALANCE_SHEET, CUT_SHEET, keep_balance, keep_plan, make_cut_sheet, papers_of};
pub(in crate::ops) use papers::{with_balance_sheet, with_cut_sheets};
pub use states::{PartState, State};
pub use stations::{Asked, Station};
pub use taking::{Offered, Taken, TakingError, take};
pub use what_if::{WhatIf, WouldBe, would_be};

use super::assembly::Asks;
use super::balance::{BalanceReport, balance_without_critical};
use super::plan::{PlanReport, ReadAlone, plan, readings_alone};
use super::shop::ShopError;
use super::teardown::{CameBack, came_back};
use crate::build_file::model::{Build as BuildFile, Condition, Engine as EngineSizes};
use crate::build_file::places::Placed;
pub(super) use as_far::as_far;
use as_far::{alone, engine_alone};
use kernel::condition::Counts;
use kernel::readings::{Face, Kind, Station as At, Suspicion, Verdict};
use kernel::units::System;
use records::{
    Amendment, AttachedTo, Attachment, Build, BuildId, Day, FileLine, Finding, Fitted, Gauge,
    OutWhy, PartId, PartKind, Reading, Seen, Sha, Shop, SignOff, When, Work, WorkKind,
};
pub(super) use stations::{Goes, stations};
use std::collections::HashMap;

/// A part of a build with its readings.
#[derive(Debug, Clone)]
pub struct PartSheet {
    /// The part in its place.
    pub fitted: Fitted,
    /// What is read on it before the cut, or of a part that is not cut.
    pub before: Vec<Station>,
    /// What is read on it after the cut, or when the engine goes together.
    pub after: Vec<Station>,
    /// What is looked at on it for its card.
    pub card: Vec<Station>,
    /// What is said of its readings; nothing where they are not whole yet.
    pub alone: Option<ReadAlone>,
    /// What was found on it at earlier teardowns.
    pub found: Vec<Finding>,
}

impl PartSheet {
    /// Its stations at one time.
    #[must_use]
    pub fn stations(&self, when: When) -> &[Station] {
        match when {
            When::Before => &self.before,
            When::After => &self.after,
        }
    }

    /// One of its stations by its name, those of its card among them: they are of before the cut.
    #[must_use]
    pub fn station(&self, when: When, name: &str) -> Option<&Station> {
        let of_card: &[Station] = if when == When::Before { &self.card } else { &[] };
        self.stations(when).iter().chain(of_card).find(|station| station.name == name)
    }

    /// Whether a station is one of its card.
    #[must_use]
    pub fn is_of_card(&self, station: &Station) -> bool {
        self.card.iter().any(|known| known == station)
    }

    /// Readings of its own that disagree.
    #[must_use]
    pub fn suspicions(&self) -> &[Suspicion] {
        self.alone.as_ref().map_or(&[], |alone| &alone.now.check.suspicions)
    }

    /// Whether a station is among those that disagree.
    #[must_use]
    pub fn is_suspect(&self, when: When, station: &str) -> bool {
        let of_now = self.alone.as_ref().is_some_and(|alone| alone.after == (when == When::After));
        of_now
            && self
                .suspicions()
                .iter()
                .flat_map(|suspicion| &suspicion.suspects)
                .any(|suspect| station_name(suspect.station) == station)
    }
}

/// A station of the kernel as the record names it: `gear_step.2`.
#[must_use]
pub fn station_name(at: At) -> String {
    let list = match at.kind {
        Kind::LandWidth => "land_width",
        Kind::Step(Face::Gear) => "gear_step",
        Kind::Step(Face::Plain) => "plain_step",
        Kind::TipWidth => "tip_width",
        Kind::Runout(Face::Gear) => "gear_runout",
        Kind::Runout(Face::Plain) => "plain_runout",
    };
    format!("{list}.{}", at.tip + 1)
}

/// A build as one sheet.
#[derive(Debug)]
pub struct Sheet {
    /// The build.
    pub build: Build,
    /// Whose it is.
    pub customer: Option<String>,
    /// Its engine.
    pub engine: Option<String>,
    /// Its spec and the version.
    pub spec: Option<(String, i64)>,
    /// Who has it.
    pub holder: Option<String>,
    /// How far it had come when it was gathered.
    pub seen: Seen,
    /// Every line of its file.
    pub lines: Vec<FileLine>,
    /// Its parts from the front, kind by kind; those that were exchanged not among them.
    pub parts: Vec<PartSheet>,
    /// Parts that left it.
    pub left: Vec<Fitted>,
    /// Every reading ever taken for it.
    pub readings: Vec<Reading>,
    /// Its file as far as it goes.
    pub file: AsFar,
    /// How many rotors its engine has, where that is said.
    pub rotors: Option<usize>,
    /// The sizes of its engine, where they are whole.
    pub sizes: Option<EngineSizes>,
    /// What used parts may be like, as far as that is said.
    limits: Condition,
    /// How many there are of what is counted from the front.
    counts: Counts,
    /// What its file asks when it goes together, as far as that is said.
    asks: Option<Asks>,
    /// Its plan; with readings after the cut, what is left to do.
    pub plan: Option<Result<Box<PlanReport>, String>>,
    /// The plan from before the cut, where there are readings from after it.
    pub first_plan: Option<Box<PlanReport>>,
    /// Its balance without the first critical speed, or why there is none.
    pub balance: Option<Result<Box<BalanceReport>, String>>,
    /// Plans, sheets and balance runs that were kept, the last first.
    pub works: HashMap<WorkKind, Vec<Work>>,
    /// Signatures, the first first.
    pub sign_offs: Vec<SignOff>,
    /// Amendments, the first first.
    pub amendments: Vec<Amendment>,
    /// What was found when it was torn down.
    pub findings: Vec<Finding>,
    /// What its teardowns told, by revision, beside what was predicted.
    pub came_back: Vec<CameBack>,
    /// Photos and documents.
    pub attachments: Vec<Attachment>,
    /// The shop's gauges.
    pub gauges: Vec<Gauge>,
    /// Names of people, by their numbers.
    pub people: HashMap<records::PersonId, String>,
    /// The day it is.
    pub today: Day,
    /// Which units its sentences put first.
    pub first: System,
}

/// Gathers the sheet of a build.
///
/// # Errors
/// Where there is no such build, or what is kept is no build file.
pub fn sheet(shop: &Shop, id: BuildId, today: &Day, first: System) -> Result<Sheet, ShopError> {
    gathered(shop, id, (today, first), Depth::WorkedOut)
}

/// The same with what was entered alone: for whoever changes it or draws its parts, and needs no plan
/// for that. Nothing is worked out in it.
///
/// # Errors
/// As [`sheet`].
pub fn entered(shop: &Shop, id: BuildId, today: &Day, first: System) -> Result<Sheet, ShopError> {
    gathered(shop, id, (today, first), Depth::Entered)
}

/// How much of a sheet is gathered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Depth {
    /// What somebody entered.
    Entered,
    /// With what follows from it.
    WorkedOut,
}

fn gathered(
    shop: &Shop,
    id: BuildId,
    (today, first): (&Day, System),
    depth: Depth,
) -> Result<Sheet, ShopError> {
    let works_out = depth == Depth::WorkedOut;
    let build = shop.build(id)?;
    // Asked before anything else: whoever signs what is shown here signs nothing newer.
    let seen = shop.seen(id)?;
    let lines = shop.values(id)?;
    let placed: Vec<Placed> = lines
        .iter()
        .map(|line| Placed { place: line.place.clone(), value: line.value.clone() })
        .collect();
    let places = |source| ShopError::Places { build: id, source };
    let file = as_far(&placed).map_err(places)?;
    let readings = shop.readings_of(id)?;
    let rotors = placed
        .iter()
        .find(|line| line.place == "engine.rotors")
        .and_then(|line| line.value.parse::<usize>().ok());
    let goes = Goes::of(placed.iter().map(|line| (line.place.as_str(), line.value.as_str())));
    // Of an engine that came apart after it was signed, the sheet is still of the parts it had.
    let (here, left): (Vec<Fitted>, Vec<Fitted>) =
        shop.fitted(id)?.into_iter().partition(|fitted| match &fitted.out {
            None => true,
            Some((why, ..)) => !build.open && *why == OutWhy::TornDown,
        });
    let mut parts = Vec::with_capacity(here.len());
    for fitted in here {
        let have = |when: When| standing(&readings, fitted.part, when);
        let of = |when: When| {
            let have: Vec<&str> = have(when).iter().map(|r| r.station.as_str()).collect();
            stations(fitted.kind, &fitted.serial, when, &have, &goes)
        };
        let alone = if works_out && fitted.kind == PartKind::Rotor {
            let alone = alone(&placed, &fitted.serial).map_err(places)?;
            alone
                .build
                .ok()
                .and_then(|build| readings_alone(&build, &fitted.serial, first).ok().flatten())
        } else {
            None
        };
        let mut found = shop.findings_on(fitted.part)?;
        found.retain(|finding| finding.build != id);
        let (before, after) = (of(When::Before), of(When::After));
        let outer = cards::outer_of(&fitted, goes.counts());
        let card = cards::card_stations((fitted.kind, &fitted.serial), outer, &goes);
        parts.push(PartSheet { before, after, card, alone, found, fitted });
    }
    let whole = file.build.as_ref().ok().filter(|_| works_out);
    let plan =
        whole.map(|build| plan(build, first).map(Box::new).map_err(|error| error.to_string()));
    let first_plan = whole.and_then(|build| before_the_cut(build, first));
    let balance = match (whole, &plan) {
        (Some(build), Some(Ok(plan))) => Some(
            balance_without_critical(build, plan, first)
                .map(Box::new)
                .map_err(|error| error.to_string()),
        ),
        _ => None,
    };
    let alone_build = engine_alone(&placed);
    let known = file.build.as_deref().ok().or(alone_build.as_ref());
    let limits = known.map(|build| build.condition.clone()).unwrap_or_default();
    let mut works = HashMap::new();
    for kind in WorkKind::ALL {
        works.insert(*kind, shop.works(id, *kind)?);
    }
    let people: HashMap<_, _> =
        shop.people()?.into_iter().map(|person| (person.id, person.name)).collect();
    let customer = match build.head.customer {
        Some(customer) => Some(shop.customer(customer)?.name),
        None => None,
    };
    let engine = match build.head.engine {
        Some(engine) => {
            shop.engines()?.into_iter().find(|known| known.id == engine).map(|known| known.name)
        }
        None => None,
    };
    let spec = match build.head.spec {
        Some(spec) => shop
            .specs()?
            .into_iter()
            .find(|known| known.id == spec)
            .map(|known| (known.name, known.version)),
        None => None,
    };
    Ok(Sheet {
        customer,
        engine,
        spec,
        holder: build.due.holder.and_then(|holder| people.get(&holder).cloned()),
        seen,
        lines,
        parts,
        asks: file.build.as_deref().ok().or(alone_build.as_ref()).map(Asks::of),
        limits,
        counts: goes.counts(),
        sizes: alone_build.map(|build| build.engine),
        left,
        readings,
        file,
        rotors,
        plan,
        first_plan,
        balance,
        works,
        sign_offs: shop.sign_offs(id)?,
        amendments: shop.amendments(id)?,
        findings: shop.findings_of(id)?,
        came_back: came_back(shop, id)?,
        attachments: shop.attachments(AttachedTo::Build(id))?,
        gauges: shop.gauges()?,
        people,
        today: today.clone(),
        first,
        build,
    })
}

/// The plan from before the cut, where anything was read after it.
pub(crate) fn before_the_cut(build: &BuildFile, first: System) -> Option<Box<PlanReport>> {
    if build.rotors.iter().all(|rotor| rotor.after.is_none()) {
        return None;
    }
    let mut before = build.clone();
    for rotor in &mut before.rotors {
        rotor.after = None;
    }
    plan(&before, first).ok().map(Box::new)
}

/// The readings of a part that stand.
fn standing(readings: &[Reading], part: PartId, when: When) -> Vec<&Reading> {
    readings
        .iter()
        .filter(|r| r.part == part && r.when == when && r.superseded_by.is_none())
        .collect()
}

/// Whether a paper that was kept is still one to work by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fits {
    /// It is.
    Now,
    /// It was cut by, and measured after.
    Past,
    /// Something that it was worked out from changed since.
    No,
}

/// Hash of everything that a first cut is planned from: the file without what came after the cut,
/// and without what has no say in it.
pub(super) fn cut_inputs(lines: &[FileLine]) -> Sha {
    planned_from(lines, false)
}

/// The same of a second cut: with what was measured after the first.
pub(super) fn cut_inputs_again(lines: &[FileLine]) -> Sha {
    planned_from(lines, true)
}

fn planned_from(lines: &[FileLine], after: bool) -> Sha {
    let kept: Vec<String> = lines
        .iter()
        .filter(|line| !line.place.ends_with(".calibration_due"))
        .filter(|line| {
            let first = line.place.split('.').next().unwrap_or("");
            let part = matches!(first, "rotor" | "housing" | "side_housing");
            let planned =
                matches!(first, "engine" | "material" | "gauge" | "machine" | "spec" | "seals");
            let heat = line.place.starts_with("build.duty.heat");
            let is_after = line.place.contains(".after.");
            (part && (after || !is_after) && !line.place.ends_with(".mass")) || planned || heat
        })
        .map(|line| format!("{}={}\n", line.place, line.value))
        .collect();
    Sha::of(kept.concat().as_bytes())
}

impl Sheet {
    /// The reading that stands at a station.
    #[must_use]
    pub fn reading(&self, part: PartId, when: When, station: &str) -> Option<&Reading> {
        self.readings.iter().find(|reading| {
            reading.part == part
                && reading.when == when
                && reading.station == station
                && reading.superseded_by.is_none()
        })
    }

    /// How many there are of what is counted from the front.
    #[must_use]
    pub const fn counts(&self) -> Counts {
        self.counts
    }

    /// What stands at a place of its file, as TOML.
    #[must_use]
    pub fn value(&self, place: &str) -> Option<&str> {
        self.lines.iter().find(|line| line.place == place).map(|line| line.value.as_str())
    }

    /// Its parts of a kind, from the front.
    pub fn of_kind(&self, kind: PartKind) -> impl Iterator<Item = &PartSheet> {
        self.parts.iter().filter(move |part| part.fitted.kind == kind)
    }

    /// The stations that have no reading yet, of the parts that have any at that time.
    #[must_use]
    pub fn missing(&self, when: When, kinds: &[PartKind]) -> Vec<(&PartSheet, Vec<&Station>)> {
        self.parts
            .iter()
            .filter(|part| kinds.contains(&part.fitted.kind))
            .map(|part| {
                let have = standing(&self.readings, part.fitted.part, when);
                let have: Vec<&str> = have.iter().map(|r| r.station.as_str()).collect();
                (part, as_far::missing(part.stations(when), &have))
            })
            .filter(|(_, missing)| !missing.is_empty())
            .collect()
    }

    /// The plan, where there is one.
    #[must_use]
    pub fn planned(&self) -> Option<&PlanReport> {
        self.plan.as_ref().and_then(|plan| plan.as_ref().ok()).map(AsRef::as_ref)
    }

    /// The plan that the machinist worked from: the one from before the cut.
    #[must_use]
    pub fn cutting_plan(&self) -> Option<&PlanReport> {
        self.first_plan.as_deref().or_else(|| self.planned())
    }

    /// What is said of a size that was measured after the cut: of a step at its own station, of the
    /// side clearance at the land width that it comes from. The same of a size that is read when
    /// the engine goes together.
    #[must_use]
    pub fn verdict(&self, serial: &str, station: &str) -> Option<Verdict> {
        if let Some(verdict) = self.verdict_at_assembly(serial, station) {
            return Some(verdict);
        }
        let rotor = self.planned()?.rotors.iter().find(|rotor| rotor.serial == serial)?;
        let measured = rotor.measured.as_ref()?;
        let (list, tip) = station.split_once('.')?;
        let face = match list {
            "land_width" => None,
            "gear_step" => Some(Face::Gear),
            "plain_step" => Some(Face::Plain),
            _ => return None,
        };
        let tip = tip.parse::<usize>().ok()?.checked_sub(1)?;
        let size = measured.sizes.iter().find(|size| size.face == face && size.tip == tip)?;
        Some(size.verdict)
    }

    /// Whether what was measured after the cut asks for another.
    #[must_use]
    pub fn needs_second_cut(&self) -> bool {
        self.first_plan.is_some()
            && self.planned().is_some_and(|plan| {
                plan.feasible
                    && plan
                        .rotors
                        .iter()
                        .any(|r| r.measured.is_some() && r.planned && !r.plan.cut.is_nothing())
            })
    }

    /// Hash of everything that a cut was planned from: the file without what came after the cut,
    /// and without what has no say in it.
    #[must_use]
    pub fn cut_inputs(&self) -> Sha {
        if self.needs_second_cut() {
            cut_inputs_again(&self.lines)
        } else {
            cut_inputs(&self.lines)
        }
    }

    /// Whether a plan or a cut sheet is still one to work by.
    #[must_use]
    pub fn fits(&self, work: &Work) -> Fits {
        let measured = self.readings.iter().any(|reading| {
            reading.when == When::After
                && self.of_kind(PartKind::Rotor).any(|part| part.fitted.part == reading.part)
        });
        if work.kind == WorkKind::BalanceRun {
            return Fits::Now;
        }
        match work.inputs_hash {
            hash if measured && hash == cut_inputs_again(&self.lines) => Fits::Now,
            hash if hash == cut_inputs(&self.lines) && measured => Fits::Past,
            hash if hash == cut_inputs(&self.lines) => Fits::Now,
            _ => Fits::No,
        }
    }

    /// What was kept of a kind, the last first.
    #[must_use]
    pub fn works(&self, kind: WorkKind) -> &[Work] {
        self.works.get(&kind).map_or(&[], Vec::as_slice)
    }

    /// Gauges whose calibration was past its day when a reading that stands was taken with them.
    #[must_use]
    pub fn overdue(&self) -> Vec<&Gauge> {
        self.gauges
            .iter()
            .filter(|gauge| {
                self.readings.iter().any(|reading| {
                    let due = gauge.calibration.what.due.as_ref();
                    reading.gauge == Some(gauge.id)
                        && reading.superseded_by.is_none()
                        && due.is_some_and(|due| *due < reading.at.day())
                })
            })
            .collect()
    }

    /// What somebody is called.
    #[must_use]
    pub fn name_of(&self, person: records::PersonId) -> &str {
        self.people.get(&person).map_or("somebody", String::as_str)
    }

    /// The eight parts, in their order.
    #[must_use]
    pub fn states(&self) -> [PartState; 8] {
        states::states(self)
    }
}
