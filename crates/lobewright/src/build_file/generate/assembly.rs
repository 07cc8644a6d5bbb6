//! What is asked, and what was read, when the engine goes together, for tests.

use super::Maker;
use crate::build_file::limits::{Limit, assembly as limits};
use crate::build_file::model::assembly::{
    Assembled, Assembly, Fit, RotorFits, SealsFits, ShaftFits, Spring, Tighten,
};
use kernel::assembly::{Thicker, Wanted};
use kernel::units::{Length, Quantity};
use std::collections::BTreeMap;

impl Maker {
    pub(super) fn assembly(&mut self) -> Assembly {
        let mut sizes = BTreeMap::new();
        for fit in Fit::ALL.into_iter().filter(|fit| *fit != Fit::ApexEnds) {
            sizes.extend(self.maybe(|m| (fit, m.wanted(limits::of(fit)))));
        }
        let mut loads = BTreeMap::new();
        for spring in Spring::ALL {
            loads.extend(self.maybe(|m| (spring, m.wanted(&limits::SPRING_LOAD))));
        }
        let spacers: Vec<Length> = (0..self.below(5)).map(|_| self.any(&limits::SPACER)).collect();
        let which = if self.below(2) == 0 { Thicker::MorePlay } else { Thicker::LessPlay };
        let thicker_spacer = if spacers.is_empty() { self.maybe(|_| which) } else { Some(which) };
        Assembly {
            sizes,
            loads,
            spacers,
            spacer_u: self.maybe(|m| m.any(&limits::SPACER_U)),
            thicker_spacer,
            tighten: (0..self.below(4)).map(|_| self.tighten()).collect(),
        }
    }

    fn wanted<Q: Quantity>(&mut self, limit: &Limit<Q>) -> Wanted<Q> {
        let (one, other) = (self.any(limit), self.any(limit));
        let (least, most) = if one.si() <= other.si() { (one, other) } else { (other, one) };
        let (least, most) = match self.below(3) {
            0 => (Some(least), None),
            1 => (None, Some(most)),
            _ => (Some(least), Some(most)),
        };
        Wanted::new(least, most).unwrap()
    }

    fn tighten(&mut self) -> Tighten {
        let angle = self.maybe(|m| m.any(&limits::TURN));
        let torque = if angle.is_none() || self.below(2) == 0 {
            Some(self.any(&limits::TIGHTENING))
        } else {
            None
        };
        Tighten { fasteners: self.name(), torque, angle, note: self.maybe(Self::name) }
    }

    pub(super) fn assembled(&mut self, rotors: usize, gauges: &[String]) -> Assembled {
        Assembled {
            shaft: self.maybe(|m| m.shaft_fits(rotors, gauges)),
            seals: self.maybe(|m| m.seals_fits(rotors, gauges)),
        }
    }

    pub(super) fn named(&mut self, gauges: &[String]) -> Option<String> {
        let one = (!gauges.is_empty()).then(|| gauges[self.below(gauges.len() as u64)].clone());
        one.filter(|_| self.below(2) == 0)
    }

    fn some_of(&mut self, count: usize, fit: Fit) -> BTreeMap<usize, Length> {
        let all: Vec<Option<Length>> =
            (0..count).map(|_| self.maybe(|m| m.any(limits::of(fit)))).collect();
        (1..).zip(all).filter_map(|(number, value)| Some((number, value?))).collect()
    }

    fn shaft_fits(&mut self, rotors: usize, gauges: &[String]) -> ShaftFits {
        ShaftFits {
            serial: self.name(),
            shaft_runout: self.maybe(|m| m.any(limits::of(Fit::ShaftRunout))),
            end_play: self.maybe(|m| m.any(limits::of(Fit::EndPlay))),
            spacer: self.maybe(|m| m.any(&limits::SPACER)),
            end_play_gauge: self.named(gauges),
            runout_gauge: self.named(gauges),
            bearing_gauge: self.named(gauges),
            mains: self.some_of(rotors + 1, Fit::MainBearing),
            rotors: self.some_of(rotors, Fit::RotorBearing),
        }
    }

    fn seals_fits(&mut self, rotors: usize, gauges: &[String]) -> SealsFits {
        let mut of_rotors = BTreeMap::new();
        for number in 1..=rotors {
            let mut fits = RotorFits::default();
            for fit in Fit::ALL.into_iter().filter(|fit| fit.is_of_seals()) {
                fits.sizes.extend(self.maybe(|m| (fit, m.any(limits::of(fit)))));
            }
            for spring in Spring::ALL {
                fits.loads.extend(self.maybe(|m| (spring, m.any(&limits::SPRING_LOAD))));
            }
            // A table with nothing in it has no value that could be kept.
            if fits != RotorFits::default() {
                of_rotors.insert(number, fits);
            }
        }
        SealsFits {
            serial: self.name(),
            gap_gauge: self.named(gauges),
            protrusion_gauge: self.named(gauges),
            height_gauge: self.named(gauges),
            load_u: self.maybe(|m| m.any(&limits::LOAD_U)),
            rotors: of_rotors,
        }
    }
}
