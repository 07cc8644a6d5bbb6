//! Amounts of the assembly sheet, and what it calls its sizes.

use crate::build_file::model::assembly::{Fit, Spring};
use kernel::units::{Angle, Force, Length, System, Torque};

/// A length or a force, with the way it is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// A gap, play or clearance: micrometres and thou.
    Small(Length),
    /// A size: millimetres and inches.
    Size(Length),
    /// A load.
    Force(Force),
}

impl Amount {
    /// In both systems, the shop's first one first.
    #[must_use]
    pub fn text(self, first: System) -> String {
        match self {
            Self::Small(length) => length.as_amount(first).to_string(),
            Self::Size(length) => length.as_size(first).to_string(),
            Self::Force(force) => force_text(force, first),
        }
    }

    /// Of a length that is read at assembly.
    pub(in crate::ops) const fn of(fit: Fit, length: Length) -> Self {
        match fit {
            Fit::SpringHeight(_) => Self::Size(length),
            _ => Self::Small(length),
        }
    }
}

/// A force in both systems.
fn force_text(force: Force, first: System) -> String {
    both(format!("{:.1} N", force.to_n()), format!("{:.1} lbf", force.to_lbf()), first)
}

/// A torque in both systems.
#[must_use]
pub(crate) fn torque_text(torque: Torque, first: System) -> String {
    let metric = format!("{:.1} N\u{b7}m", torque.to_n_m());
    both(metric, format!("{:.1} lbf\u{b7}ft", torque.to_lbf_ft()), first)
}

/// An angle of tightening.
#[must_use]
pub(crate) fn angle_text(angle: Angle) -> String {
    let text = format!("{:.1}", angle.to_deg());
    format!("{} deg", text.trim_end_matches(".0"))
}

fn both(metric: String, inch: String, first: System) -> String {
    match first {
        System::Metric => format!("{metric} ({inch})"),
        System::Inch => format!("{inch} ({metric})"),
    }
}

/// What is wanted, in words: a least, a most, both, or that it is not given.
#[must_use]
pub(crate) fn wanted_words(least: Option<Amount>, most: Option<Amount>, first: System) -> String {
    let text = |amount: Amount| amount.text(first);
    match (least, most) {
        (Some(least), Some(most)) => format!("{} to {}", text(least), text(most)),
        (Some(least), None) => format!("at least {}", text(least)),
        (None, Some(most)) => format!("at most {}", text(most)),
        (None, None) => "not given".to_owned(),
    }
}

/// The length of this key, if there is one.
pub(in crate::ops) fn fit_of(key: &str) -> Option<Fit> {
    Fit::ALL.into_iter().find(|fit| fit.key() == key)
}

/// The spring whose load has this key, if there is one.
pub(in crate::ops) fn spring_of(key: &str) -> Option<Spring> {
    Spring::ALL.into_iter().find(|spring| spring.load() == key)
}

/// What a builder calls a length.
pub(in crate::ops) fn fit_words(fit: Fit) -> String {
    match fit {
        Fit::ShaftRunout => "run-out of the shaft".to_owned(),
        Fit::MainBearing => "clearance of the main bearing".to_owned(),
        Fit::RotorBearing => "clearance of the rotor bearing".to_owned(),
        Fit::SpringHeight(spring) => {
            format!("free height of the springs of the {}", spring.seals())
        }
        Fit::OilProtrusion => "protrusion of the oil seals".to_owned(),
        Fit::CornerBore => "clearance of the corner seals in their bores".to_owned(),
        Fit::SideGap => "gap of the side seals to the corner seals".to_owned(),
        Fit::ApexGroove => "clearance of the apex seals in their grooves".to_owned(),
        Fit::ApexEnds => "end clearance of the apex seals".to_owned(),
        Fit::EndPlay => "end play of the shaft".to_owned(),
    }
}

/// What a builder calls the load of a spring.
pub(in crate::ops) fn load_words(spring: Spring) -> String {
    format!("load of the springs of the {}", spring.seals())
}

/// The same of one of several.
pub(in crate::ops) fn of_number(words: &str, fit: Option<Fit>, number: Option<usize>) -> String {
    match (fit, number) {
        (_, None) => words.to_owned(),
        (Some(Fit::MainBearing), Some(number)) => format!("{words} {number}"),
        (_, Some(number)) => format!("{words}, rotor {number}"),
    }
}
