//! Teardowns and tilt tests of the shop's file as the calibration takes them.

use super::super::inputs::SpeedCall;
use super::super::plan::plan;
use super::super::sheet::entered;
use super::super::shop::ShopError;
use super::super::speed::engine;
use super::super::teardown::{CameBack, all_that_came_back, face_of};
use kernel::calibration::{BuildSeen, Contact, TiltTest, TipSeen};
use kernel::speed::engine::{Engine, Push};
use kernel::units::{Force, Length, System};
use records::{BuildId, Day, GaugeId, Mark, Shop};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// What there is to learn from.
pub(super) struct Gathered {
    pub(super) builds: Vec<BuildSeen>,
    /// Their numbers.
    pub(super) ids: Vec<BuildId>,
    pub(super) assumed_shafts: usize,
    pub(super) tests: Vec<TiltTest>,
    /// What says nothing, and why.
    pub(super) silent: Vec<(String, String)>,
}

pub(super) fn gathered(shop: &Shop, today: &Day, first: System) -> Result<Gathered, ShopError> {
    let mut found = Gathered {
        builds: Vec::new(),
        ids: Vec::new(),
        assumed_shafts: 0,
        tests: Vec::new(),
        silent: Vec::new(),
    };
    for back in all_that_came_back(shop)? {
        match seen(&back) {
            Ok(seen) => {
                found.builds.push(seen);
                found.ids.push(back.build.id);
                let assumed = back.predicted.is_some_and(|predicted| predicted.assumed_shaft);
                found.assumed_shafts += usize::from(assumed);
            }
            Err(why) => found.silent.push((back.build.head.name.clone(), why)),
        }
    }
    tests(shop, today, first, &mut found)?;
    Ok(found)
}

/// Tips that somebody looked at and that something was predicted for.
fn seen(back: &CameBack) -> Result<BuildSeen, String> {
    let Some(predicted) = &back.predicted else {
        let unsaid = "nothing was predicted that it could be held against";
        return Err(back.unpredicted.clone().unwrap_or_else(|| unsaid.to_owned()));
    };
    let mut shared_m = Vec::with_capacity(back.rotors.len());
    let mut tips = Vec::new();
    for (index, (part, serial)) in back.rotors.iter().enumerate() {
        let mut shared = 0.0;
        for beside in back.tips.iter().filter(|beside| beside.part == *part) {
            let contact = match beside.contact() {
                Mark::NotLookedAt => continue,
                Mark::None => Contact::None,
                Mark::Light => Contact::Light,
                Mark::Heavy => Contact::Heavy,
            };
            let (Ok(tip), face) = (usize::try_from(beside.tip), face_of(beside.face)) else {
                continue;
            };
            let Some((rotor, gaps)) =
                tip.checked_sub(1).and_then(|from_none| predicted.tip(serial, face, from_none))
            else {
                continue;
            };
            shared = rotor.shared_m;
            let own_m = gaps.own_m;
            tips.push(TipSeen { rotor: index, face, tip, gap: gaps.gap, own_m, contact });
        }
        shared_m.push(shared);
    }
    if tips.is_empty() {
        return Err("none of its tips was looked at that has metal opposite".to_owned());
    }
    Ok(BuildSeen { name: back.build.head.name.clone(), shared_m, tips })
}

/// Tilt tests that stand, each predicted by its build's engine.
fn tests(shop: &Shop, today: &Day, first: System, found: &mut Gathered) -> Result<(), ShopError> {
    let repeats: HashMap<GaugeId, f64> = shop
        .gauges()?
        .into_iter()
        .map(|gauge| (gauge.id, gauge.calibration.what.repeat.si()))
        .collect();
    let mut engines: HashMap<BuildId, Result<(Engine, Vec<i64>), String>> = HashMap::new();
    for test in shop.tilt_tests_of_shop()? {
        let told = &test.told;
        let name = format!("tilt test {} of {}", test.id, shop.build(told.build)?.head.name);
        let known = match engines.entry(told.build) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(of_build(shop, told.build, today, first)?),
        };
        let tested = match known {
            Ok((engine, rotors)) => one(told, engine, rotors, &repeats),
            Err(why) => Err(why.clone()),
        };
        match tested {
            Ok(test) => found.tests.push(test),
            Err(why) => found.silent.push((name, why)),
        }
    }
    Ok(())
}

/// A build's engine, and its rotors' parts from the front.
fn of_build(
    shop: &Shop,
    id: BuildId,
    today: &Day,
    first: System,
) -> Result<Result<(Engine, Vec<i64>), String>, ShopError> {
    let sheet = entered(shop, id, today, first)?;
    let mut rotors: Vec<_> = shop
        .fitted(id)?
        .into_iter()
        .filter(|part| part.kind == records::PartKind::Rotor && part.out.is_none())
        .collect();
    rotors.sort_by_key(|part| part.position);
    let build = match &sheet.file.build {
        Ok(build) => build,
        Err(problems) => {
            let why = problems.list().first().map(ToString::to_string).unwrap_or_default();
            return Ok(Err(format!("its build's file is not whole: {why}")));
        }
    };
    let made = plan(build, first).map_err(|error| error.to_string()).and_then(|plan| {
        engine(build, &plan, &SpeedCall::default(), first).map_err(|error| error.to_string())
    });
    Ok(made.map(|(_, engine)| (engine, rotors.iter().map(|part| part.part.0).collect())))
}

fn one(
    told: &records::TiltTold,
    engine: &Engine,
    rotors: &[i64],
    repeats: &HashMap<GaugeId, f64>,
) -> Result<TiltTest, String> {
    let gone = "its rotor is not in the build any more";
    let rotor = rotors.iter().position(|part| *part == told.part.0).ok_or(gone)?;
    let tip = usize::try_from(told.tip - 1).map_err(|_| "its tip is none of three".to_owned())?;
    let loads_n = [told.least.si(), told.most.si()];
    let radius = Length::m(told.radius.si());
    let push = Push { rotor, face: face_of(told.face), tip, radius, loads_n };
    let pushed = engine.pushed(&push).map_err(|error| error.to_string())?;
    if pushed.is_stopped_by_walls() {
        return Err("a wall stops the tip before it has tilted as far as it would".to_owned());
    }
    if loads_n[0] >= pushed.rocks_from_n || loads_n[1] <= pushed.rocks_from_n {
        let force = Force::n(pushed.rocks_from_n);
        return Err(format!(
            "the rotor rocks from {:.1} N on: the small load is to stay below it, the large one above",
            force.to_n()
        ));
    }
    let repeat = repeats.get(&told.gauge).copied().unwrap_or(0.0);
    if repeat <= 0.0 {
        return Err("its gauge has no uncertainty".to_owned());
    }
    // The small load only takes up the float; an error of the large one bends the shaft by more.
    let beyond = loads_n[1] - pushed.rocks_from_n;
    Ok(TiltTest {
        predicted_m: pushed.moved_m(),
        moved_m: told.readings.iter().map(|[least, most]| most.si() - least.si()).collect(),
        u_moved_m: std::f64::consts::SQRT_2 * repeat,
        u_shared_m: pushed.bent_m / beyond * told.load_u.si(),
    })
}
