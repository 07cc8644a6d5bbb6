//! The lines of the assembly sheet in the order of assembly.

use super::read::{Asks, ReadAll};
use super::said::{Amount, fit_words, load_words, of_number};
use super::spacer::spacer;
use super::{AssemblyLine, AssemblyReport};
use crate::build_file::model::assembly::{Fit, Spring};
use crate::ops::assumed::Assumed;
use crate::ops::inputs::{load_u, mains, size_u};
use kernel::assembly::{Said, Wanted, judged};
use kernel::readings::Verdict;
use kernel::units::{Quantity, System};

/// What is read on every engine: its line stands there even where nobody asks for it.
const ALWAYS: [Fit; 4] = [Fit::OilProtrusion, Fit::SideGap, Fit::ApexEnds, Fit::EndPlay];

/// One size of the order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Size {
    Fit(Fit),
    Load(Spring),
}

/// The seals of one rotor in the order in which they go in (common practice, no source): the
/// oil seals first, the apex seals when the rotor is in its housing.
const OF_ROTOR: [Size; 13] = [
    Size::Load(Spring::Oil),
    Size::Fit(Fit::SpringHeight(Spring::Oil)),
    Size::Fit(Fit::OilProtrusion),
    Size::Load(Spring::Corner),
    Size::Fit(Fit::SpringHeight(Spring::Corner)),
    Size::Fit(Fit::CornerBore),
    Size::Load(Spring::Side),
    Size::Fit(Fit::SpringHeight(Spring::Side)),
    Size::Fit(Fit::SideGap),
    Size::Load(Spring::Apex),
    Size::Fit(Fit::SpringHeight(Spring::Apex)),
    Size::Fit(Fit::ApexGroove),
    Size::Fit(Fit::ApexEnds),
];

/// Every size in the order of assembly: the shaft and its bearings, then rotor by rotor from the
/// front, then the end play of the whole (common practice, no source).
fn order(asks: &Asks, read: &ReadAll) -> Vec<(Size, Option<usize>)> {
    let most = |fit: Fit, at_least: usize| {
        let numbers = read.sizes.keys().filter(|(of, _)| *of == fit).filter_map(|(_, n)| *n);
        numbers.fold(at_least, usize::max)
    };
    let numbered = |fit: Fit, count: usize| {
        (1..=most(fit, count)).map(move |number| (Size::Fit(fit), Some(number)))
    };
    let rotors = (1..=asks.rotors).flat_map(|rotor| OF_ROTOR.map(|size| (size, Some(rotor))));
    [(Size::Fit(Fit::ShaftRunout), None)]
        .into_iter()
        .chain(numbered(Fit::MainBearing, mains(asks.mains)))
        .chain(numbered(Fit::RotorBearing, asks.rotors))
        .chain(rotors)
        .chain([(Size::Fit(Fit::EndPlay), None)])
        .collect()
}

/// The sheet from what is asked and what was read.
pub(in crate::ops) fn report(
    name: &str,
    asks: &Asks,
    read: &ReadAll,
    first: System,
) -> AssemblyReport {
    let mut assumed = Assumed::default();
    let mut lines: Vec<AssemblyLine> = order(asks, read)
        .into_iter()
        .filter_map(|(size, of)| match size {
            Size::Fit(fit) => size_line((fit, of), asks, read, (first, &mut assumed)),
            Size::Load(spring) => load_line((spring, of?), asks, read, (first, &mut assumed)),
        })
        .collect();
    for (number, line) in (1..).zip(&mut lines) {
        line.number = number;
    }
    let spacer = spacer(asks, read, (first, &mut assumed));
    AssemblyReport {
        name: name.to_owned(),
        lines,
        spacer,
        tighten: asks.assembly.tighten.clone(),
        assumed,
        first,
    }
}

fn size_line(
    (fit, of): (Fit, Option<usize>),
    asks: &Asks,
    read: &ReadAll,
    (first, assumed): (System, &mut Assumed),
) -> Option<AssemblyLine> {
    let (wanted, is) = (asks.size(fit), read.sizes.get(&(fit, of)));
    if wanted.is_none() && is.is_none() && !ALWAYS.contains(&fit) {
        return None;
    }
    let value = is.map(|is| (is.value, size_u(is.with.as_ref(), first, assumed)));
    let part = if fit.is_of_seals() { &read.seals } else { &read.shaft };
    Some(AssemblyLine {
        number: 0,
        key: fit.key(),
        of,
        what: of_number(&fit_words(fit), Some(fit), of),
        part: part.clone(),
        gauge: is.and_then(|is| is.with.as_ref()).map(|gauge| gauge.name.clone()),
        ..judged_line(wanted, value, |value| Amount::of(fit, value), first)
    })
}

fn load_line(
    (spring, of): (Spring, usize),
    asks: &Asks,
    read: &ReadAll,
    (first, assumed): (System, &mut Assumed),
) -> Option<AssemblyLine> {
    let (wanted, is) = (asks.load(spring), read.loads.get(&(spring, of)));
    if wanted.is_none() && is.is_none() {
        return None;
    }
    let value = is.map(|is| (is.value, load_u(is.u, assumed)));
    Some(AssemblyLine {
        number: 0,
        key: spring.load(),
        of: Some(of),
        what: of_number(&load_words(spring), None, Some(of)),
        part: read.seals.clone(),
        gauge: is.and_then(|is| is.gauge.clone()),
        ..judged_line(wanted, value, Amount::Force, first)
    })
}

/// What is said of a value; the rest of the line is filled in by whoever knows it.
fn judged_line<Q: Quantity>(
    wanted: Option<&Wanted<Q>>,
    value: Option<(Q, Q)>,
    amount: impl Fn(Q) -> Amount,
    first: System,
) -> AssemblyLine {
    let said = judged(wanted, value);
    let note = match (said, wanted, value) {
        (Said::Judged(verdict), Some(wanted), Some((value, _))) => {
            note(verdict, wanted, value, |q| amount(q).text(first))
        }
        _ => String::new(),
    };
    AssemblyLine {
        number: 0,
        key: "",
        of: None,
        what: String::new(),
        part: None,
        measured: value.map(|(value, _)| amount(value)),
        uncertainty: value.map(|(_, u)| amount(u)),
        least: wanted.and_then(Wanted::least).map(&amount),
        most: wanted.and_then(Wanted::most).map(&amount),
        said,
        gauge: None,
        note,
    }
}

/// By how much it is off, or how near it is to what cannot be told apart.
fn note<Q: Quantity>(
    verdict: Verdict,
    wanted: &Wanted<Q>,
    value: Q,
    text: impl Fn(Q) -> String,
) -> String {
    let over = |end: Option<Q>, sign: f64| end.map(|end| sign * (value.si() - end.si()));
    // Above nothing: outside by that much.
    let (below, above) = (over(wanted.least(), -1.0), over(wanted.most(), 1.0));
    let worst = match (below, above) {
        (Some(below), Some(above)) if below > above => (below, "the least"),
        (_, Some(above)) => (above, "the most"),
        (Some(below), None) => (below, "the least"),
        (None, None) => return String::new(),
    };
    let (by, end) = (text(Q::from_si(worst.0.abs())), worst.1);
    match (verdict, worst.0 > 0.0) {
        (Verdict::Conforms, _) => String::new(),
        (Verdict::DoesNotConform, _) => {
            format!("{} {end} by {by}", if end == "the most" { "over" } else { "under" })
        }
        (Verdict::NotProven, true) => {
            format!("outside {end} by {by}, less than the gauge can tell: read it with a finer one")
        }
        (Verdict::NotProven, false) => {
            format!("within {end} by {by}, less than the gauge can tell: read it with a finer one")
        }
    }
}
