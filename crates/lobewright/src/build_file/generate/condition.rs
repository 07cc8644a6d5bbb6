//! What used parts may be like, and what was found on them, for tests.

use super::Maker;
use crate::build_file::limits::{Limit, assembly::SPRING_LOAD};
use crate::build_file::model::condition::{
    Band, Condition, Found, FoundValue, Inspected, ItemLimit,
};
use crate::build_file::read::condition::row;
use kernel::assembly::Wanted;
use kernel::condition::{Counts, ITEMS, Item, Looks, Part, Sizes, Sort};
use kernel::units::Quantity;

impl Maker {
    pub(super) fn condition(&mut self) -> Condition {
        let mut all = Condition::new();
        for item in ITEMS {
            if self.below(3) == 0 {
                all.insert((item.part, item.key), self.item_limit(item));
            }
        }
        all
    }

    fn item_limit(&mut self, item: &Item) -> ItemLimit {
        let (band, mends) = match item.sort {
            Sort::Look(words) => {
                let use_to = 1 + self.below(words.len() as u64 - 1);
                let mend_to = use_to + self.below((words.len() - use_to) as u64 + 1);
                let looks = Looks {
                    accept: words[..use_to].to_vec(),
                    rework: words[use_to..mend_to].to_vec(),
                };
                let mends = !looks.rework.is_empty();
                (Band::Looks(looks), mends)
            }
            Sort::Load => {
                let sizes = self.sizes(&SPRING_LOAD);
                (Band::Load(sizes), sizes.rework().is_some())
            }
            Sort::Size | Sort::Small => {
                let sizes = self.sizes(row(item));
                (Band::Length(sizes), sizes.rework().is_some())
            }
        };
        let rework = mends.then(|| self.name());
        ItemLimit { band, rework, order: self.maybe(Self::name) }
    }

    fn sizes<Q: Quantity>(&mut self, limit: &Limit<Q>) -> Sizes<Q> {
        let mut four: Vec<Q> = (0..4).map(|_| self.any(limit)).collect();
        four.sort_by(|a, b| a.si().total_cmp(&b.si()));
        let [a, b, c, d] = [four[0], four[1], four[2], four[3]];
        let (within, rework) = match self.below(6) {
            0 => ((Some(b), Some(c)), Some((Some(a), Some(d)))),
            1 => ((Some(b), Some(c)), Some((None, Some(d)))),
            2 => ((None, Some(c)), Some((None, Some(d)))),
            3 => ((Some(b), None), Some((Some(a), None))),
            4 => ((None, Some(c)), None),
            _ => ((Some(b), Some(c)), None),
        };
        let within = Wanted::new(within.0, within.1).unwrap();
        // Two that are the same leave nothing to rework.
        Sizes::new(within, rework).unwrap_or_else(|_| Sizes::new(within, None).unwrap())
    }

    pub(super) fn inspected(
        &mut self,
        of: &[(Part, Vec<String>)],
        counts: Counts,
        gauges: &[String],
    ) -> Vec<Inspected> {
        let mut all = Vec::new();
        for (part, serials) in of {
            for serial in serials {
                if self.below(2) == 0 {
                    continue;
                }
                let mut one = Inspected { part: *part, serial: serial.clone(), read: [].into() };
                for item in Item::of(*part) {
                    for (station, _) in item.stations(counts) {
                        if self.below(3) == 0 {
                            let found =
                                Found { value: self.found(item), gauge: self.named(gauges) };
                            one.read.insert(station, found);
                        }
                    }
                }
                all.push(one);
            }
        }
        all
    }

    fn found(&mut self, item: &Item) -> FoundValue {
        match item.sort {
            Sort::Look(words) => FoundValue::Seen(words[self.below(words.len() as u64)]),
            Sort::Load => FoundValue::Load(self.any(&SPRING_LOAD)),
            Sort::Size | Sort::Small => FoundValue::Length(self.any(row(item))),
        }
    }
}
