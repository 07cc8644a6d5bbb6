//! What is offered out of a shop's file.

use super::waits::{Shelf, Waits};
use super::{ChoiceError, Said, ToFit, choose, fit_all, from_shop};
use crate::build_file::model::Way;
use crate::ops::sheet::{Fitting, fit, take_out};
use crate::ops::shelf::{TypedReading, read_on_shelf};
use crate::ops::{demo_shop, import};
use kernel::units::{Length, System};
use records::{BuildId, Day, GearFace, Moment, PartId, PartKind, PersonId, ReadingId, Shop};
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");
const AIRCRAFT: &str = include_str!("../../../../../examples/heron-aircraft.toml");
const WORN: &str = include_str!("../../../../../examples/petrel-worn.toml");

fn now() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn offered(shop: &Shop, build: BuildId) -> Result<(Vec<Waits>, Shelf), ChoiceError> {
    from_shop(shop, &[build], &now().day(), System::Metric)
}

struct Bench {
    _folder: TempDir,
    shop: Shop,
    ada: PersonId,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let ada = shop.add_person("Ada", "owner").unwrap();
        Self { _folder: folder, shop, ada }
    }

    fn bring(&self, text: &str) -> BuildId {
        import(&self.shop, text, None, ("Ada", &now())).unwrap().build
    }

    /// Takes a part of a build out, so that it lies on the shelf.
    fn take(&self, build: BuildId, serial: &str) -> PartId {
        let fitted = self.shop.fitted(build).unwrap();
        let fitted = fitted.into_iter().find(|f| f.serial == serial && f.out.is_none()).unwrap();
        take_out(&self.shop, build, fitted.id, (self.ada, &now()), System::Metric).unwrap();
        fitted.part
    }

    fn read(&self, part: PartId, station: &str, value: &str) {
        let seen = self.shop.part_history(part).unwrap().readings.last().map(|r| r.id);
        let typed = TypedReading {
            part,
            station,
            value,
            gauge: None,
            temperature: "",
            seen: seen.unwrap_or(ReadingId(0)),
        };
        read_on_shelf(&self.shop, &typed, (self.ada, &now())).unwrap();
    }
}

#[test]
fn a_part_comes_with_what_it_was_read_to_be_last() {
    let bench = Bench::new();
    let build = bench.bring(BOAT);
    let rotor = bench.take(build, "R-114");
    let housing = bench.take(build, "H-32");
    let (waits, shelf) = offered(&bench.shop, build).unwrap();
    // What is in the build stays in its place.
    let [front, rear] = waits[0].places.as_slice() else { panic!("{:?}", waits[0].places) };
    assert!(front.rotor.is_none() && rear.housing.is_none());
    assert_eq!(rear.rotor.as_ref().unwrap().serial, "R-97");
    assert_eq!(front.housing.as_ref().unwrap().serial, "H-31");
    assert_eq!((front.gear_face, rear.gear_face), (Way::Rear, Way::Rear));
    // The rest is what it was in the file.
    let whole = crate::build_file::read(BOAT).unwrap();
    let read = &shelf.stock.rotors[0];
    assert_eq!(read.readings, whole.rotors[0].readings);
    assert_eq!(shelf.stock.housings[0].width, whole.housings[1].width);
    assert_eq!((shelf.rotors[0].id, shelf.housings[0].id), (Some(rotor), Some(housing)));
    assert_eq!(shelf.rotors[0].engines.as_deref(), Some(&[whole.engine][..]));
    // Weighed again on the shelf: that counts. A width begun anew: it is between two sizes.
    bench.read(rotor, "mass", "4309.5 g");
    let (_, shelf) = offered(&bench.shop, build).unwrap();
    assert_eq!(shelf.stock.rotors[0].readings.mass.unwrap().to_g(), 4309.5);
    bench.read(rotor, "land_width.2", "79.9 mm");
    let (_, shelf) = offered(&bench.shop, build).unwrap();
    assert!(shelf.stock.rotors.is_empty());
    assert_eq!(shelf.left_out[0].serial, "R-114");
    assert_eq!(
        (shelf.left_out[0].why.as_str(), shelf.left_out[0].cure.as_str()),
        (
            "it was begun to be read again on 2026-11-28: its land width is not whole",
            "read the rest"
        )
    );
    for (list, value) in
        [("land_width", "79.9 mm"), ("gear_step", "0.1 mm"), ("plain_step", "0.1 mm")]
    {
        for tip in 1..=3 {
            bench.read(rotor, &format!("{list}.{tip}"), value);
        }
    }
    let (_, shelf) = offered(&bench.shop, build).unwrap();
    assert_eq!(shelf.stock.rotors[0].readings.land_width, [Length::mm(79.9); 3]);
    assert!(shelf.stock.rotors[0].readings.tip_width.is_none(), "of another time");
}

#[test]
fn what_was_read_after_the_cut_is_what_a_part_is_now() {
    let bench = Bench::new();
    let build = bench.bring(AIRCRAFT);
    bench.take(build, "HR-9");
    let (_, shelf) = offered(&bench.shop, build).unwrap();
    let whole = crate::build_file::read(AIRCRAFT).unwrap();
    let after = whole.rotors[0].after.clone().unwrap();
    let read = &shelf.stock.rotors[0];
    assert_eq!(read.readings.land_width, after.land_width);
    assert_eq!(read.readings.mass, after.mass);
    assert_eq!(read.readings.temperature, after.temperature);
    assert!(read.after.is_none());
}

#[test]
fn what_its_card_rejects_is_not_offered() {
    let bench = Bench::new();
    let build = bench.bring(WORN);
    let rejected = crate::ops::condition(&crate::build_file::read(WORN).unwrap(), System::Metric);
    let mut told = 0;
    for card in &rejected.cards {
        let kind = crate::ops::part_of_card(card.part);
        if !matches!(kind, PartKind::Rotor | PartKind::RotorHousing) {
            continue;
        }
        bench.take(build, &card.serial);
        let (_, shelf) = offered(&bench.shop, build).unwrap();
        let out =
            shelf.left_out.iter().any(|out| out.serial == card.serial && out.why.contains("card"));
        let rejects =
            card.verdict == crate::ops::CardVerdict::Decided(kernel::condition::Fate::Reject);
        assert_eq!(out, rejects, "{}", card.serial);
        told += usize::from(rejects);
    }
    assert!(told > 0, "none of them is rejected");
}

#[test]
fn what_cannot_be_worked_on_says_why() {
    let bench = Bench::new();
    let build = bench.bring(BOAT);
    let said = |builds: &[BuildId]| {
        from_shop(&bench.shop, builds, &now().day(), System::Metric).unwrap_err().to_string()
    };
    assert!(said(&[build, build]).contains("named twice"));
    assert!(said(&[BuildId(9)]).contains("9"), "{}", said(&[BuildId(9)]));
    // A part that is in the build and not read: not to be planned around.
    let rotor = bench.take(build, "R-114");
    let serial = "R-500";
    let fitting = Fitting {
        build,
        kind: PartKind::Rotor,
        serial,
        gear_face: None,
        clamp_up: None,
        instead: None,
    };
    fit(&bench.shop, &fitting, (bench.ada, &now()), System::Metric).unwrap();
    let why = said(&[build]);
    assert!(why.contains("R-500 is in it, and no widths and steps are read on it"), "{why}");
    assert_eq!(bench.shop.part(rotor).unwrap().serial, "R-114");
}

/// The demonstration's shelf has parts that are ready and one that is not.
#[test]
fn the_demonstration_has_a_build_that_waits() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop.db");
    let today = Day::new("2026-11-28").unwrap();
    demo_shop(&file, &today).unwrap();
    let shop = Shop::open(&file, &now()).unwrap();
    let search = records::BuildSearch { text: "Merganser, boat 8", open: None, from: 0, most: 9 };
    let build = shop.builds(&search).unwrap()[0].build.id;
    let (waits, shelf) = from_shop(&shop, &[build], &today, System::Metric).unwrap();
    assert!(waits[0].places.iter().all(|place| place.rotor.is_none() && place.housing.is_none()));
    assert!(shelf.stock.rotors.len() >= 5 && shelf.stock.housings.len() >= 3);
    let out: Vec<_> =
        shelf.left_out.iter().map(|out| (out.serial.as_str(), out.cure.as_str())).collect();
    assert_eq!(out, [("R-126", "take its readings on its page")]);
    let report = choose(&waits, &shelf, System::Metric, &|_| true).unwrap();
    assert!(report.feasible() && report.proven, "{:?}", report.cost);
    // Rotors of other engines lie there too, and were in none: their sizes say that they do not fit.
    let said =
        |serial: &str| &report.others.iter().find(|other| other.serial == serial).unwrap().said;
    assert!(matches!(said("DR-7"), Said::Fails { .. }), "{:?}", said("DR-7"));
    let set = report.builds[0].set.as_ref().unwrap();
    for place in &set.places {
        assert!(place.rotor.read.is_some() && place.rotor.id.is_some() && !place.rotor.is_in);
        let mind =
            format!("{} was in no build yet: see that it is of this engine", place.rotor.serial);
        assert!(set.mind.contains(&mind), "{:?}", set.mind);
    }
}

/// A part that was in an engine is of that engine.
#[test]
fn what_is_of_another_engine_goes_into_none() {
    let bench = Bench::new();
    let (boat, aircraft) = (bench.bring(BOAT), bench.bring(AIRCRAFT));
    bench.take(boat, "R-97");
    bench.take(boat, "R-114");
    bench.take(aircraft, "HR-9");
    let (waits, shelf) = offered(&bench.shop, boat).unwrap();
    assert_eq!(shelf.stock.rotors.len(), 3);
    let report = choose(&waits, &shelf, System::Metric, &|_| true).unwrap();
    let other = report.others.iter().find(|other| other.serial == "HR-9").unwrap();
    let Said::LeftOut { why, .. } = &other.said else { panic!("{:?}", other.said) };
    assert!(why.starts_with("it is of another engine: generating radius "), "{why}");
    // Both of its own go back in, and nothing is assumed of their engine.
    let set = report.builds[0].set.as_ref().unwrap();
    assert!(set.places.iter().all(|place| place.rotor.serial.starts_with("R-")));
    assert!(set.mind.iter().all(|sentence| !sentence.contains("no build yet")), "{:?}", set.mind);
}

/// How a housing stood when it was read goes with it.
#[test]
fn a_housing_that_was_read_loose_is_put_in_loose() {
    let bench = Bench::new();
    let loose = BOAT.replacen(
        "state = \"clamped\"                     # or \"free\", then with clamp_up and clamp_up_u",
        "state = \"free\"\nclamp_up = \"25 um\"\nclamp_up_u = \"4 um\"",
        1,
    );
    assert_ne!(loose, BOAT);
    let widths = |list: &str| format!("width = [{list}]");
    let loose = loose.replace(
        &widths("\"80.010 mm\", \"80.014 mm\", \"80.008 mm\""),
        &widths("\"80.035 mm\", \"80.039 mm\", \"80.033 mm\""),
    );
    let build = bench.bring(&loose);
    let part = bench.take(build, "H-31");
    let (waits, shelf) = offered(&bench.shop, build).unwrap();
    let report = choose(&waits, &shelf, System::Metric, &|_| true).unwrap();
    assert!(report.feasible(), "{:?} {:?}", report.builds[0].none, report.others);
    let set = report.builds[0].set.as_ref().unwrap();
    let place = &set.places[0];
    assert_eq!(place.clamp_up, Some([Length::um(25.0), Length::um(4.0)]));
    let fit = ToFit { build, part, gear_face: GearFace::Rear, clamp_up: place.clamp_up };
    fit_all(&bench.shop, &[fit], (bench.ada, &now()), System::Metric).unwrap();
    let lines = bench.shop.values(build).unwrap();
    let value =
        |place: &str| lines.iter().find(|line| line.place == place).map(|line| line.value.as_str());
    assert_eq!(value("housing.H-31.state"), Some("\"free\""));
    assert!(value("housing.H-31.clamp_up").is_some_and(|value| value.contains("25")));
}
