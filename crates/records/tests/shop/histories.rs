//! Random histories: what was acknowledged is there, corrections never fork, and the audit
//! passes.

use crate::sample::{Sample, now, raw};
use proptest::prelude::*;
use records::{OutWhy, Reading, RecordsError, Shop};
use std::collections::{BTreeMap, HashMap};

/// Something that somebody does.
#[derive(Debug, Clone)]
enum Deed {
    Read { station: u8, um: i64 },
    ReadBlind { station: u8, um: i64 },
    Set { place: u8, value: Option<u8> },
    Sign,
    Amend,
    TakeOut,
    Reopen,
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    let deed = prop_oneof![
        8 => (0u8..6, 79_000i64..81_000).prop_map(|(station, um)| Deed::Read { station, um }),
        3 => (0u8..6, 79_000i64..81_000).prop_map(|(station, um)| Deed::ReadBlind { station, um }),
        4 => (0u8..5, prop::option::of(any::<u8>()))
            .prop_map(|(place, value)| Deed::Set { place, value }),
        2 => Just(Deed::Sign),
        2 => Just(Deed::Amend),
        1 => Just(Deed::TakeOut),
        1 => Just(Deed::Reopen),
    ];
    prop::collection::vec(deed, 1..40)
}

/// What must be there: of each station all readings in their order, and of each place its value.
#[derive(Default)]
struct Told {
    readings: BTreeMap<String, Vec<String>>,
    values: BTreeMap<String, String>,
    open: bool,
    signed: i64,
}

fn live(sample: &mut Sample, deeds: &[Deed]) -> Told {
    let mut told = Told { open: true, ..Told::default() };
    for deed in deeds {
        let done = match deed {
            Deed::Read { station, um } | Deed::ReadBlind { station, um } => {
                let (station, text) = (format!("s.{station}"), format!("{um} um"));
                let blind = matches!(deed, Deed::ReadBlind { .. });
                let done = if blind {
                    sample.read_expecting(&station, &text, None)
                } else {
                    sample.read(&station, &text)
                };
                let free = !told.readings.contains_key(&station);
                assert_eq!(done.is_ok(), told.open && (free || !blind), "{done:?}");
                if done.is_ok() {
                    told.readings.entry(station).or_default().push(text);
                }
                done.map(|_| ())
            }
            Deed::Set { place, value } => {
                let place = format!("p.{place}");
                let value = value.map(|value| value.to_string());
                let done = sample.set(&place, value.as_deref());
                if done.is_ok() {
                    match value {
                        Some(value) => told.values.insert(place, value),
                        None => told.values.remove(&place),
                    };
                }
                done.map(|_| ())
            }
            Deed::Sign => sample.sign("built").map(|_| {
                told.open = false;
                told.signed += 1;
            }),
            Deed::Amend => sample.amend().map(|_| told.open = true),
            Deed::TakeOut => {
                let why = if told.open { OutWhy::Exchanged } else { OutWhy::TornDown };
                sample.shop.take_out(sample.fitted, why, (sample.ben, &now()))
            }
            Deed::Reopen => {
                let file = sample.file().to_owned();
                sample.shop = Shop::open(&file, &now()).unwrap();
                Ok(())
            }
        };
        // What is refused is refused by a rule or to somebody who was slower, never else.
        if let Err(error) = done {
            let known =
                matches!(error, RecordsError::Refused { .. } | RecordsError::Conflict { .. });
            assert!(known, "{error:?}");
        }
    }
    told
}

fn texts_by_station(readings: &[Reading]) -> BTreeMap<String, Vec<String>> {
    let mut texts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for reading in readings {
        texts.entry(reading.station.clone()).or_default().push(reading.value.text().to_owned());
    }
    texts
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn what_was_acknowledged_is_there(deeds in deeds()) {
        let mut sample = Sample::new();
        let told = live(&mut sample, &deeds);
        let file = sample.file().to_owned();
        let shop = Shop::open(&file, &now()).unwrap();
        let readings = shop.readings_of(sample.build).unwrap();
        prop_assert_eq!(texts_by_station(&readings), told.readings);
        let values: BTreeMap<String, String> = shop
            .values(sample.build)
            .unwrap()
            .into_iter()
            .filter(|line| line.place.starts_with("p."))
            .map(|line| (line.place, line.value))
            .collect();
        prop_assert_eq!(values, told.values);

        // Each reading is superseded once at most, by one that says so, of the same station.
        let by_id: HashMap<_, _> = readings.iter().map(|reading| (reading.id, reading)).collect();
        for reading in &readings {
            if let Some(next) = reading.superseded_by {
                prop_assert_eq!(by_id[&next].supersedes, Some(reading.id));
                prop_assert_eq!(&by_id[&next].station, &reading.station);
                prop_assert!(next > reading.id);
            }
        }
        let standing = readings.iter().filter(|reading| reading.superseded_by.is_none()).count();
        prop_assert_eq!(standing, texts_by_station(&readings).len(), "one stands at each station");

        shop.check().unwrap();
        prop_assert_eq!(shop.audit().unwrap().sign_offs, told.signed);
    }

    /// Any column of any reading or value changed behind the rules: the audit does not pass.
    #[test]
    fn no_change_behind_the_rules_passes(
        deeds in deeds(), which in any::<prop::sample::Index>(), column in 0usize..9
    ) {
        let mut sample = Sample::new();
        live(&mut sample, &deeds);
        let connection = raw(sample.file());
        let (table, columns): (&str, &[&str]) = if column < 5 {
            ("reading", &["station = station || '.'", "value = '1 mm', si = 0.001",
                "person = 2", "at = '2020-01-01T00:00:00Z'", "gauge = NULL"])
        } else {
            ("build_value", &["place = place || '.'", "rank = rank + 1", "person = 2",
                "at = '2020-01-01T00:00:00Z'"])
        };
        let count: i64 = connection
            .query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))
            .unwrap();
        prop_assume!(count > 0);
        let id = which.index(count as usize) as i64 + 1;
        connection.execute_batch(&format!("DROP TRIGGER {table}_update")).unwrap();
        connection
            .execute_batch(&format!("UPDATE {table} SET {} WHERE id = {id}", columns[column % 5]))
            .unwrap();
        let error = sample.shop.audit().unwrap_err();
        let name = if table == "reading" { "reading" } else { "value" };
        prop_assert!(error.to_string().contains(&format!("{name} {id} was changed")), "{error}");
    }
}
