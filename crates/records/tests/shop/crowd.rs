//! Many benches at once: nothing is lost or doubled.

use crate::sample::{Sample, length, now};
use records::{InRevision, NewReading, RecordsError, Shop, When};
use std::collections::BTreeSet;
use std::thread;

const BENCHES: usize = 6;
/// Those who wait for each other in the file itself do so without turns, so they are fewer.
const PROGRAMS: usize = 3;
const READINGS: usize = 40;

fn enter(shop: &Shop, sample: &Sample, station: &str) -> Result<i64, RecordsError> {
    let (value, at) = (length("79.915 mm"), now());
    shop.add_reading(&NewReading {
        part: sample.rotor,
        build: Some(InRevision { build: sample.build, revision: 1 }),
        when: When::Before,
        station,
        value: &value,
        gauge: None,
        person: sample.ada,
        at: &at,
        temperature: None,
        expected: None,
        sent_as: None,
        place: None,
    })
    .map(|id| id.0)
}

/// Each bench enters its own stations and one that all want.
fn crowd(sample: &Sample, count: usize, shop_of: impl Fn() -> Shops + Sync) {
    let entered: Vec<(Vec<i64>, usize)> = thread::scope(|scope| {
        let benches: Vec<_> = (0..count)
            .map(|bench| {
                let shop_of = &shop_of;
                scope.spawn(move || {
                    let shops = shop_of();
                    let shop = shops.of(sample);
                    let own = (0..READINGS)
                        .map(|n| enter(shop, sample, &format!("own.{bench}.{n}")).unwrap())
                        .collect();
                    let shared = (0..READINGS)
                        .filter(|n| match enter(shop, sample, &format!("shared.{n}")) {
                            Ok(_) => true,
                            Err(RecordsError::Conflict(_)) => false,
                            Err(other) => panic!("{other}"),
                        })
                        .count();
                    assert!(shop.readings_of(sample.build).unwrap().len() >= READINGS);
                    (own, shared)
                })
            })
            .collect();
        benches.into_iter().map(|bench| bench.join().unwrap()).collect()
    });
    let own: BTreeSet<i64> = entered.iter().flat_map(|(own, _)| own.iter().copied()).collect();
    assert_eq!(own.len(), count * READINGS, "a number was given twice");
    let shared: usize = entered.iter().map(|(_, shared)| shared).sum();
    assert_eq!(shared, READINGS, "each shared station has one who was first");
    let kept = sample.shop.readings_of(sample.build).unwrap();
    assert_eq!(kept.len(), count * READINGS + READINGS);
    let stations: BTreeSet<&str> = kept.iter().map(|reading| reading.station.as_str()).collect();
    assert_eq!(stations.len(), kept.len(), "a station was filled twice");
    sample.shop.audit().unwrap();
    sample.shop.check().unwrap();
}

/// The shop that a bench works with: that of the one server, or one that it opened itself.
struct Shops(Option<Shop>);

impl Shops {
    fn of<'s>(&'s self, sample: &'s Sample) -> &'s Shop {
        self.0.as_ref().unwrap_or(&sample.shop)
    }
}

#[test]
fn benches_of_one_server() {
    let sample = Sample::new();
    crowd(&sample, BENCHES, || Shops(None));
}

#[test]
fn programs_that_each_opened_the_file() {
    let sample = Sample::new();
    let file = sample.file().to_owned();
    crowd(&sample, PROGRAMS, || Shops(Some(Shop::open(&file, &now()).unwrap())));
}
