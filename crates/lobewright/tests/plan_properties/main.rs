//! What must hold of the plan of any build, whatever its readings: nothing is added, a finished
//! set needs nothing more, names and units and the way things are counted change nothing, and
//! what is promised of sizes is so. Cases are fixed by a seed.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in tests a panic is the report")]

#[path = "../finite/mod.rs"]
mod finite;

mod again;
mod counting;
mod promised;
mod shop;
mod text;
mod units;

use lobewright::build_file::{Build, read};
use lobewright::ops::{PlanReport, plan};
use lobewright::wire::{PlanJson, Tilts};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use serde_json::Value;
use shop::{Shop, Unit};
use std::fmt::Debug;

/// Runs a property on the same cases every time.
fn for_each<S>(cases: u32, seed: u64, any: S, property: impl Fn(S::Value))
where
    S: Strategy,
    S::Value: Debug,
{
    let config = Config {
        cases,
        rng_seed: RngSeed::Fixed(seed),
        failure_persistence: None,
        max_shrink_iters: 150,
        ..Config::default()
    };
    let run = TestRunner::new(config).run(&any, |case| {
        property(case);
        Ok(())
    });
    if let Err(failure) = run {
        panic!("{failure}");
    }
}

/// A plan with what of it is written.
struct Planned {
    build: Build,
    report: PlanReport,
    json: Value,
}

impl Planned {
    fn of(build: Build) -> Self {
        let report = plan(&build, kernel::units::System::Metric).unwrap();
        let written = PlanJson::of(&report, Tilts::Left).unwrap();
        assert_eq!(finite::not_finite(&written), None);
        let text = serde_json::to_string(&written).unwrap();
        let json = serde_json::from_str(&text).unwrap();
        Self { build, report, json }
    }

    fn of_text(text: &str) -> Self {
        Self::of(read(text).unwrap_or_else(|p| panic!("{text}\n{}", p.show(false))))
    }

    fn of_shop(shop: &Shop) -> Self {
        Self::of_text(&shop.file(Unit::Millimetre, Unit::Micrometre))
    }

    fn rotor(&self, index: usize) -> &Value {
        &self.json["rotors"][index]
    }
}

/// A number of the JSON.
fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// The numbers at three tips.
fn three(value: &Value) -> [f64; 3] {
    [0, 1, 2].map(|k| number(&value[k]))
}
