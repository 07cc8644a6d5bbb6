//! Who works in the shop of the demonstration, for whom, and with which gauges. Every name is
//! invented.

use super::super::ShopError;
use super::books::{Books, Worker, written};
use super::calendar::Calendar;
use super::diary::Diary;
use kernel::units::{Length, Mass};
use records::{NewCalibration, NewIntake, Person, Shop, Written};
use std::collections::HashMap;

/// What the shop is called.
pub(super) const SHOP: &str = "Sandmere Engine Works";
/// When one of its builders left, days ago.
pub(super) const LEFT: i64 = 205;

pub(super) const TARN: &str = "Tarn Sprint Team";
pub(super) const FERROW: &str = "Ferrow Boat Club";
pub(super) const MARRICK: &str = "Marrick Harbour Patrol";
pub(super) const SALLOW: &str = "Sallow Hydroplanes";
pub(super) const LINDMOOR: &str = "Lindmoor Air Survey";
pub(super) const HOLM: &str = "Holm Valley Fire Brigade";
pub(super) const GREYWATER: &str = "Greywater Irrigation";
pub(super) const QUERN: &str = "Quern Wells";
const PRIVATE: &str = "Anselm Dorr";

/// Name, how they are reached, what is worth knowing.
const CUSTOMERS: [(&str, &str, &str); 9] = [
    (TARN, "Ruta Fell, race office", "races from April to October; wants it by Friday"),
    (FERROW, "Corin Ashdale, boathouse", "two boats, one engine each and a spare"),
    (MARRICK, "the duty officer", "asks for papers with everything"),
    (SALLOW, "Bettina Lorr", "boosted, and says more boost is always possible"),
    (LINDMOOR, "Hauke Strand, hangar 2", "writes hours in the log to the tenth"),
    (HOLM, "station chief Wenna Pryce", ""),
    (GREYWATER, "Oskar Timm", "has its own spec"),
    (QUERN, "Nella Moy", "pays when the water runs"),
    (PRIVATE, "comes by on Saturdays", ""),
];

/// Names and roles; of the owner, the builders, the machinist and the assembler.
const PEOPLE: [(&str, &str); 5] = [
    ("Maren Holt", "owner"),
    ("Ines Aldow", "builder"),
    ("Odd Brannick", "builder"),
    ("Piet Vassen", "machinist"),
    ("Joan Sorrel", "assembler"),
];

/// Opens the books: the shop's name, its people, its customers.
pub(super) fn open(shop: &Shop, calendar: Calendar) -> Result<Books<'_>, ShopError> {
    shop.set_setting("name", SHOP)?;
    let hire = |(name, role): (&'static str, &str)| -> Result<Worker, ShopError> {
        Ok(Worker { id: shop.add_person(name, role)?, name })
    };
    let [owner, builder, former, machinist, assembler] = PEOPLE;
    let mut books = Books {
        shop,
        calendar,
        owner: hire(owner)?,
        builder: hire(builder)?,
        former: hire(former)?,
        machinist: hire(machinist)?,
        assembler: hire(assembler)?,
        customers: HashMap::new(),
        engines: HashMap::new(),
        specs: HashMap::new(),
        intakes: HashMap::new(),
        builds: HashMap::new(),
        plans: HashMap::new(),
    };
    for (name, contact, note) in CUSTOMERS {
        books.customers.insert(name, shop.add_customer(name, contact, note)?);
    }
    Ok(books)
}

/// A gauge: name, kind, repeat, zero, and its calibrations as days ago and days until the next.
struct Bought {
    name: &'static str,
    kind: &'static str,
    repeat: &'static str,
    zero: Option<&'static str>,
    calibrated: &'static [(i64, i64)],
}

const GAUGES: [Bought; 5] = [
    Bought {
        name: "micrometer",
        kind: "outside micrometer, 50 to 100 mm",
        repeat: "2 um",
        zero: Some("1 um"),
        calibrated: &[(372, 183), (190, 183), (8, 183)],
    },
    Bought {
        name: "indicator",
        kind: "dial indicator on a bridge",
        repeat: "3 um",
        zero: None,
        calibrated: &[(371, 365), (12, 365)],
    },
    Bought {
        name: "depth",
        kind: "depth bridge with a dial",
        repeat: "4 um",
        zero: Some("1 um"),
        calibrated: &[(355, 365)],
    },
    Bought {
        name: "bore gauge",
        kind: "two-point bore gauge, 35 to 60 mm",
        repeat: "2 um",
        zero: Some("2 um"),
        calibrated: &[(382, 182), (196, 182)],
    },
    Bought {
        name: "old micrometer",
        kind: "outside micrometer, 50 to 100 mm, dropped",
        repeat: "4 um",
        zero: Some("6 um"),
        calibrated: &[(390, 183)],
    },
];

fn calibration(
    books: &Books<'_>,
    (repeat, zero): (Written, Option<Written>),
    (days_ago, next): (i64, i64),
    number: usize,
) -> Result<NewCalibration, ShopError> {
    Ok(NewCalibration {
        day: Some(books.calendar.day(days_ago)?),
        due: Some(books.calendar.day(days_ago - next)?),
        repeat,
        zero,
        certificate: format!("SE-{number:03}"),
        person: Some(books.owner.id),
    })
}

/// Gauges and their calibrations, each on its day; one was dropped and is out of use.
pub(super) fn gauges(diary: &mut Diary) {
    let mut certificate = 100;
    for gauge in &GAUGES {
        for (nth, entry) in gauge.calibrated.iter().enumerate() {
            certificate += 7;
            diary.on(entry.0, 16 * 60, move |books, _| {
                let zero = gauge.zero.map(written::<Length>).transpose()?;
                let read = (written::<Length>(gauge.repeat)?, zero);
                let new = calibration(books, read, *entry, certificate)?;
                if nth == 0 {
                    books.shop.add_gauge(gauge.name, gauge.kind, &new)?;
                } else {
                    let all = books.shop.gauges()?;
                    for known in all.iter().filter(|known| known.name == gauge.name) {
                        books.shop.calibrate(known.id, &new)?;
                    }
                }
                Ok(())
            });
        }
    }
    diary.on(60, 16 * 60, |books, _| {
        let new = calibration(books, (written::<Mass>("0.1 g")?, None), (60, 365), 99)?;
        books.shop.add_gauge("scale", "bench scale, 6 kg", &new)?;
        Ok(())
    });
    diary.on(150, 9 * 60, |books, _| {
        for gauge in books.shop.gauges()? {
            if gauge.name == "old micrometer" {
                books.shop.set_gauge_active(gauge.id, false)?;
            }
        }
        Ok(())
    });
}

/// Until when the micrometer's calibration held on such a day, as days before today.
pub(super) fn micrometer_due(days_ago: i64) -> i64 {
    let [micrometer, ..] = &GAUGES;
    let held = micrometer.calibrated.iter().rev().find(|(day, _)| *day >= days_ago);
    held.map_or(days_ago, |(day, next)| day - next)
}

/// One of the builders leaves; what he signed stays his.
pub(super) fn leaving(diary: &mut Diary) {
    diary.on(LEFT, 17 * 60, |books, _| {
        let gone: Person = books.shop.person(books.former.id)?;
        Ok(books.shop.change_person(&Person { active: false, ..gone })?)
    });
}

/// What came in and waits for somebody to begin.
pub(super) fn waiting(diary: &mut Diary) {
    let mut wait = |days_ago: i64, customer, came_in, wanted, due: i64| {
        diary.on(days_ago, 15 * 60 + 10, move |books, at| {
            let due = books.calendar.day(due)?;
            books.shop.add_intake(&NewIntake {
                customer: books.customer(customer)?,
                came_in,
                wanted,
                due: Some(&due),
                person: books.assembler.id,
                at,
            })?;
            Ok(())
        });
    };
    wait(4, PRIVATE, "two-rotor of a tender, seized, in a crate", "to know what can be used", -30);
    wait(1, QUERN, "single-rotor pump, runs rough", "rebuilt and balanced", -21);
}
