//! What a shop's teardowns teach, as text: how far they moved what was assumed, build by build, and
//! what was assumed.

use super::page::Page;
use crate::ops::calibration::Calibrated;
use kernel::calibration::{Assumption, LeftOut, Parameter};
use kernel::units::{Length, System};

/// What every calibration says.
pub(crate) const CAUTION: &str = "Nothing of this is applied by itself. Whoever owns a spec takes it \
     into the next version, and builds begun from that have it. A screening estimate all the same: marks \
     say where tips came near, not what a tip bears.";

pub(crate) fn text(report: &Calibrated, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    page.line("What teardowns teach");
    page.say(0, &format!("It rests on {}.", report.rests_on()));
    page.line("");
    report.sentences(first).iter().for_each(|said| page.say(0, said));
    report.alike().iter().chain(&report.fits()).for_each(|said| page.say(0, said));
    page.line("");
    page.line(&format!("{:<16}{:>28}{:>28}", "", "assumed", "by your builds"));
    for (parameter, [assumed, now]) in Parameter::ALL.into_iter().zip(side_by_side(report, first)) {
        page.line(&format!("{:<16}{assumed:>28}{now:>28}", parameter.name()));
    }
    if !report.checked.builds.is_empty() {
        page.line("");
        page.line("Marks of each build: expected as assumed, by the other builds, with it; seen");
        for left in &report.checked.builds {
            page.say(2, &of_build(left));
        }
    }
    if !report.silent.is_empty() {
        page.line("");
        page.line("What says nothing");
        for (what, why) in &report.silent {
            page.say(2, &format!("{what}: {why}"));
        }
    }
    page.line("");
    page.line("Assumed before any build came apart");
    for row in report.posterior.priors().table() {
        page.say(2, &assumption(&row, first));
    }
    page.line("");
    page.say(0, &settled(report));
    page.say(0, CAUTION);
    page.text
}

/// How sure the sum is.
pub(crate) fn settled(report: &Calibrated) -> String {
    format!(
        "Summed over {} places; medians and ends of intervals are good to {:.1} % of a standard \
         deviation.",
        report.posterior.points(),
        100.0 * report.posterior.accuracy()
    )
}

/// Each unknown with its interval of nine in ten, as assumed and now.
pub(crate) fn side_by_side(report: &Calibrated, first: System) -> [[String; 2]; 3] {
    let table = report.posterior.priors().table();
    Parameter::ALL.map(|parameter| {
        let now = report.posterior.marginal(parameter);
        let row = &table[match parameter {
            Parameter::Tilt => 0,
            Parameter::Heat => 1,
            Parameter::Margin => 2,
        }];
        let shown = |[low, middle, high]: [f64; 3]| match parameter {
            Parameter::Tilt | Parameter::Heat => format!("{middle:.2} ({low:.2} to {high:.2})"),
            Parameter::Margin => format!(
                "{} ({} to {})",
                small(middle, first),
                small(low, first),
                small(high, first)
            ),
        };
        [
            shown([row.between[0], row.middle, row.between[1]]),
            shown([now.low, now.median, now.high]),
        ]
    })
}

/// A small length in the first system alone.
fn small(m: f64, first: System) -> String {
    match first {
        System::Metric => format!("{:.0} µm", m * 1e6 + 0.0),
        System::Inch => format!("{:.1} thou", Length::m(m).to_inch() * 1e3 + 0.0),
    }
}

/// One build's marks.
pub(crate) fn of_build(left: &LeftOut) -> String {
    let fits = if left.fits { "" } else { "; does not fit the others" };
    format!(
        "{}: {:.1}, {:.1}, {:.1}; {} seen of {} tips, {} of them heavy{fits}",
        left.name, left.before, left.without, left.after, left.seen, left.tips, left.seen_heavy
    )
}

/// One row of what is assumed, with its reason.
pub(crate) fn assumption(row: &Assumption, first: System) -> String {
    let shown = |value: f64| {
        if row.length { small(value, first) } else { format!("{value:.2}") }
    };
    let [low, high] = row.between;
    let between = if low < high {
        format!(" ({} to {} in nine of ten)", shown(low), shown(high))
    } else {
        String::new()
    };
    format!("{}: {}{between}: {}", row.what, shown(row.middle), row.why)
}
