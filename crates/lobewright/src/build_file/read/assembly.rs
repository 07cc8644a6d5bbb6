//! Reads what is asked, and what was read, when the engine goes together. Every key may be left
//! out; a limit says least, most or both.

use super::MOST_ROTORS;
use crate::build_file::checks::assembly as checks;
use crate::build_file::limits::{Limit, assembly as limits};
use crate::build_file::model::assembly::{
    Assembled, Assembly, Fit, RotorFits, SealsFits, ShaftFits, Spring, Tighten,
};
use crate::build_file::walk::Walk;
use kernel::assembly::{Thicker, Wanted};
use kernel::units::{Length, Quantity};
use std::collections::BTreeMap;

/// Most spacers of one engine.
const MOST_SPACERS: usize = 60;
/// Most steps of tightening.
const MOST_STEPS: usize = 60;

pub(super) fn assembly(file: &Walk<'_, '_>) -> Option<Assembly> {
    let Some(t) = file.table_if("assembly") else { return Some(Assembly::default()) };
    let sizes = Fit::ALL
        .into_iter()
        .filter(|fit| *fit != Fit::ApexEnds)
        .filter_map(|fit| Some((fit, wanted(&t, fit.key(), limits::of(fit))?)))
        .collect();
    let loads = Spring::ALL
        .into_iter()
        .filter_map(|spring| Some((spring, wanted(&t, spring.load(), &limits::SPRING_LOAD)?)))
        .collect();
    let of_spacers = ("spacer", "the thicknesses that the shop stocks");
    let spacers = t.list_if("spacers", &limits::SPACER, 1..MOST_SPACERS + 1, of_spacers);
    let spacer_u = t.quantity_if("spacer_u", &limits::SPACER_U);
    let thicker = t.choice_if("thicker_spacer", &["more play", "less play"]);
    checks::spacers(&t);
    let steps: Vec<_> = t.each("tighten").iter().map(tighten).collect();
    checks::steps(&t, MOST_STEPS);
    Some(Assembly {
        sizes,
        loads,
        spacers: spacers.unwrap_or_default(),
        spacer_u,
        thicker_spacer: thicker.map(|i| if i == 0 { Thicker::MorePlay } else { Thicker::LessPlay }),
        tighten: steps.into_iter().collect::<Option<_>>()?,
    })
}

/// A least, a most, or both.
fn wanted<Q: Quantity>(t: &Walk<'_, '_>, key: &str, limit: &Limit<Q>) -> Option<Wanted<Q>> {
    let t = t.table_if(key)?;
    let [least, most] = ["least", "most"].map(|key| t.quantity_if(key, limit));
    checks::wanted(&t, least, most, limit);
    Wanted::new(least, most).ok()
}

fn tighten(t: &Walk<'_, '_>) -> Option<Tighten> {
    let fasteners = t.name("fasteners", "tension bolts, from the middle outwards");
    let torque = t.quantity_if("torque", &limits::TIGHTENING);
    let angle = t.quantity_if("angle", &limits::TURN);
    checks::step(t);
    let note = t.name_if("note");
    Some(Tighten { fasteners: fasteners?, torque, angle, note })
}

/// Reads what was read; `rotors` is how many the engine has, where that is known.
pub(super) fn assembled(
    file: &Walk<'_, '_>,
    rotors: Option<i64>,
    gauges: &BTreeMap<String, Walk<'_, '_>>,
) -> Option<Assembled> {
    let Some(t) = file.table_if("assembled") else { return Some(Assembled::default()) };
    let rotors = rotors.and_then(|n| usize::try_from(n).ok()).unwrap_or(MOST_ROTORS);
    let (shafts, sets) = (t.each("shaft"), t.each("seals"));
    checks::only_one(&shafts, "shaft");
    checks::only_one(&sets, "set of seals");
    let shafts: Vec<_> = shafts.iter().map(|t| shaft(t, rotors, gauges)).collect();
    let sets: Vec<_> = sets.iter().map(|t| seals(t, rotors, gauges)).collect();
    let shafts: Vec<ShaftFits> = shafts.into_iter().collect::<Option<_>>()?;
    let sets: Vec<SealsFits> = sets.into_iter().collect::<Option<_>>()?;
    Some(Assembled { shaft: shafts.into_iter().next(), seals: sets.into_iter().next() })
}

fn shaft(
    t: &Walk<'_, '_>,
    rotors: usize,
    gauges: &BTreeMap<String, Walk<'_, '_>>,
) -> Option<ShaftFits> {
    let serial = t.name("serial", "ES-5");
    let size = |key: &str, fit: Fit| t.quantity_if(key, limits::of(fit));
    let shaft_runout = size("shaft_runout", Fit::ShaftRunout);
    let end_play = size("end_play", Fit::EndPlay);
    let spacer = t.quantity_if("spacer", &limits::SPACER);
    let [end_play_gauge, runout_gauge, bearing_gauge] =
        ["end_play_gauge", "runout_gauge", "bearing_gauge"]
            .map(|key| checks::gauge(t, key, gauges));
    let bearings = |key: &str, most: usize, fit: Fit| {
        numbered(t, key, most, |t| t.quantity("clearance", limits::of(fit)))
    };
    let mains = bearings("main", checks::MOST_MAINS, Fit::MainBearing);
    let of_rotors = bearings("rotor", rotors, Fit::RotorBearing);
    Some(ShaftFits {
        serial: serial?,
        shaft_runout,
        end_play,
        spacer,
        end_play_gauge,
        runout_gauge,
        bearing_gauge,
        mains: mains?,
        rotors: of_rotors?,
    })
}

fn seals(
    t: &Walk<'_, '_>,
    rotors: usize,
    gauges: &BTreeMap<String, Walk<'_, '_>>,
) -> Option<SealsFits> {
    let serial = t.name("serial", "SS-12");
    let [gap_gauge, protrusion_gauge, height_gauge] =
        ["gap_gauge", "protrusion_gauge", "height_gauge"].map(|key| checks::gauge(t, key, gauges));
    let load_u = t.quantity_if("load_u", &limits::LOAD_U);
    let of_rotors = numbered(t, "rotor", rotors, |t| Some(rotor(t)));
    Some(SealsFits {
        serial: serial?,
        gap_gauge,
        protrusion_gauge,
        height_gauge,
        load_u,
        rotors: of_rotors?,
    })
}

fn rotor(t: &Walk<'_, '_>) -> RotorFits {
    let size = |fit: Fit| -> Option<(Fit, Length)> {
        Some((fit, t.quantity_if(fit.key(), limits::of(fit))?))
    };
    RotorFits {
        sizes: Fit::ALL.into_iter().filter(|fit| fit.is_of_seals()).filter_map(size).collect(),
        loads: Spring::ALL
            .into_iter()
            .filter_map(|spring| {
                Some((spring, t.quantity_if(spring.load(), &limits::SPRING_LOAD)?))
            })
            .collect(),
    }
}

/// Tables that are named by a number from the front.
fn numbered<T>(
    t: &Walk<'_, '_>,
    key: &str,
    most: usize,
    each: impl Fn(&Walk<'_, '_>) -> Option<T>,
) -> Option<BTreeMap<usize, T>> {
    let all: Vec<_> = t
        .by_name(key)
        .into_iter()
        .map(|(name, inner)| {
            let number = checks::number(t, key, &name, most);
            let value = each(&inner);
            Some((number?, value?))
        })
        .collect();
    all.into_iter().collect()
}
