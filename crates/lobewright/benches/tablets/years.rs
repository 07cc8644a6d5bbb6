//! The shop: some years of it, with open builds for the tablets and for the desks.

use super::Told;
use kernel::units::Length;
use lobewright::ops::import;
use records::{
    BuildId, InRevision, Moment, NewReading, NewSignOff, PartId, PartKind, PersonId, Session, Sha,
    Shop, When, Written,
};
use std::collections::BTreeMap;
use std::path::PathBuf;
use tempfile::TempDir;

/// Engines of one, two and three rotors.
const FILES: [&str; 3] = [
    include_str!("../../../../examples/sprint-boat.toml"),
    include_str!("../../../../examples/cormorant-three.toml"),
    include_str!("../../../../examples/gannet-pump.toml"),
];
/// Readings that one transaction keeps while the shop is made.
const TOGETHER: usize = 2000;
/// Builds of desks beside those of the tablets.
const OF_DESKS: usize = 6;
/// Names and roles of who enters readings.
const PEOPLE: [(&str, &str); 5] = [
    ("Ada Quill", "owner"),
    ("Bram Tolliver", "builder"),
    ("Cleo Marsh", "machinist"),
    ("Dov Hartnell", "builder"),
    ("Edie Sparrow", "machinist"),
];

/// A part on which a tablet reads, with the values that its stations had.
#[derive(Debug)]
pub(crate) struct PartOf {
    pub(crate) id: PartId,
    pub(crate) kind: PartKind,
    pub(crate) values: BTreeMap<String, String>,
}

/// An open build with its parts.
#[derive(Debug)]
pub(crate) struct Open {
    pub(crate) id: BuildId,
    pub(crate) parts: Vec<PartOf>,
    /// Readings that it had before any tablet sent one.
    pub(crate) had: usize,
}

/// The shop.
pub(crate) struct Years {
    _folder: TempDir,
    pub(crate) file: PathBuf,
    pub(crate) seed: u64,
    /// Readings in it.
    pub(crate) readings: usize,
    /// A build for each tablet.
    pub(crate) of_tablets: Vec<Open>,
    /// Builds of the desks.
    pub(crate) of_desks: Vec<BuildId>,
    tokens: Vec<String>,
}

/// This moment: sessions are counted from it.
pub(crate) fn now() -> Moment {
    Moment::new(&jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string()).unwrap()
}

impl Years {
    pub(crate) fn new(told: &Told) -> Self {
        let folder = TempDir::new().unwrap();
        let file = folder.path().join("shop.db");
        let shop = Shop::create(&file).unwrap();
        let now = now();
        let people: Vec<PersonId> =
            PEOPLE.iter().map(|(name, role)| shop.add_person(name, role).unwrap()).collect();
        shop.set_setting("begun", now.as_str()).unwrap();
        for n in 0..300 {
            shop.add_customer(&format!("Customer {n}"), "", "").unwrap();
        }
        let open = told.tablets + OF_DESKS;
        assert!(told.builds >= open, "{open} builds are open, so TABLETS_BUILDS is at least that");
        let each = told.readings / told.builds;
        let mut years = Self {
            file,
            _folder: folder,
            seed: told.seed,
            readings: 0,
            of_tablets: Vec::new(),
            of_desks: Vec::new(),
            tokens: Vec::new(),
        };
        for n in 0..told.builds {
            // The newest builds are the open ones.
            let is_open = n + open >= told.builds;
            let made = build(&shop, people[n % people.len()], n, each, is_open);
            years.readings += made.had;
            match (is_open, years.of_desks.len() < OF_DESKS) {
                (false, _) => {}
                (true, true) => years.of_desks.push(made.id),
                (true, false) => years.of_tablets.push(made),
            }
        }
        // One session for each tablet and the owner's own for all in the office.
        for n in 0..told.tablets + 1 {
            let token = format!("tablet {} of {n}", told.seed);
            let person = people[n % people.len()];
            let person = if n == told.tablets { people[0] } else { person };
            let session = Session { person, until: Moment::new("2999-01-01T00:00:00Z").unwrap() };
            let token = Sha::of(token.as_bytes()).to_hex();
            shop.open_session(Sha::of(token.as_bytes()), &session, &now).unwrap();
            years.tokens.push(token);
        }
        years
    }

    /// The session of a tablet.
    pub(crate) fn token(&self, tablet: usize) -> &str {
        &self.tokens[tablet]
    }

    /// The session of the office.
    pub(crate) fn office(&self) -> &str {
        &self.tokens[self.tokens.len() - 1]
    }
}

/// An example again, of other parts; of a signed one with so many readings.
fn build(shop: &Shop, person: PersonId, n: usize, readings: usize, is_open: bool) -> Open {
    let mut text = FILES[n % FILES.len()].to_owned();
    let name = text.lines().find_map(|line| quoted(line, "name")).unwrap();
    text = text.replacen(&format!("\"{name}\""), &format!("\"{name} of {n}\""), 1);
    let serials: Vec<String> =
        text.lines().filter_map(|line| quoted(line, "serial")).map(str::to_owned).collect();
    for serial in &serials {
        text = text.replace(&format!("\"{serial}\""), &format!("\"{serial}-{n}\""));
    }
    let at = &now();
    let by = shop.person(person).unwrap().name;
    let id = import(shop, &text, None, (&by, at)).unwrap().build;
    if !is_open {
        filled(shop, person, id, readings);
        let seen = shop.seen(id).unwrap();
        let sign = NewSignOff { build: id, seen, person, at, meaning: "built" };
        shop.sign(&sign).unwrap();
    }
    let all = shop.readings_of(id).unwrap();
    let fitted = shop.fitted(id).unwrap();
    let parts = fitted
        .iter()
        .filter(|fitted| matches!(fitted.kind, PartKind::Rotor | PartKind::RotorHousing))
        .map(|fitted| PartOf {
            id: fitted.part,
            kind: fitted.kind,
            values: all
                .iter()
                .filter(|reading| reading.part == fitted.part && reading.when == When::Before)
                .map(|reading| (reading.station.clone(), reading.value.text().to_owned()))
                .collect(),
        })
        .collect();
    Open { id, parts, had: all.len() }
}

/// What stands at a key in quotes, where the line is one of that key.
fn quoted<'t>(line: &'t str, key: &str) -> Option<&'t str> {
    line.strip_prefix(key)?.trim_start().strip_prefix('=')?.split('"').nth(1)
}

/// With readings of many years: so many in all.
fn filled(shop: &Shop, person: PersonId, build: BuildId, readings: usize) {
    let at = &now();
    let part = shop.fitted(build).unwrap()[0].part;
    let value = Written::read::<Length>("80.010 mm").unwrap();
    let have = shop.readings_of(build).unwrap().len();
    let stations: Vec<String> = (have..readings).map(|n| format!("bore.{n}")).collect();
    let new: Vec<NewReading<'_>> = stations
        .iter()
        .map(|station| NewReading {
            part,
            build: Some(InRevision { build, revision: 1 }),
            when: When::Before,
            station,
            value: &value,
            gauge: None,
            person,
            at,
            temperature: None,
            expected: None,
            sent_as: None,
            place: None,
        })
        .collect();
    for together in new.chunks(TOGETHER) {
        shop.add_readings(together).unwrap();
    }
}
