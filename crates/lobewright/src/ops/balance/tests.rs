//! Any build that reads is balanced or refused, and no figure of it is none.

#[path = "../../../tests/finite/mod.rs"]
mod finite;

use super::super::inputs::SpeedCall;
use super::super::plan::plan;
use super::balance;
use crate::build_file::generate::sample;
use crate::wire::BalanceJson;
use kernel::units::{Speed, System};

/// Builds of which a report is looked at; most of the generator's engines are no engines.
const BUILDS: u64 = 250;
/// At least so many of them must be balanced.
const BALANCED: usize = 60;

#[test]
fn any_build_is_balanced_or_refused_and_no_figure_is_none() {
    let mut balanced = 0;
    let mut refusals: Vec<String> = Vec::new();
    for seed in 0..BUILDS {
        let mut build = sample(seed);
        // Half of the builds have no speed, and most have runs that no shop would make.
        build.balance.speed = build.balance.speed.or(Some(Speed::rpm(8000.0)));
        if seed % 4 != 0 {
            build.balance.runs.clear();
        }
        let Ok(planned) = plan(&build, System::Metric) else { continue };
        match balance(&build, &planned, &SpeedCall::default(), System::Metric) {
            Ok(report) => {
                let not_finite = finite::not_finite(&BalanceJson::of(&report));
                assert_eq!(not_finite, None, "seed {seed}");
                balanced += 1;
            }
            Err(error) => {
                let said = error.to_string();
                assert!(!said.contains("NaN") && !said.contains("inf "), "seed {seed}: {said}");
                refusals.push(format!("{seed}: {said}"));
            }
        }
    }
    assert!(balanced >= BALANCED, "{balanced} balanced\n{}", refusals.join("\n"));
}
