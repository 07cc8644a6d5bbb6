//! A small shop to work in.

use kernel::units::{Length, Temperature};
use records::{
    BuildId, Due, Fit, FittedId, GaugeId, GearFace, Head, InRevision, Line, Moment, NewCalibration,
    NewReading, NewSignOff, NewValue, PartId, PartKind, PersonId, ReadingId, RecordsError, Shop,
    SignOff, SpecId, Stage, ValueId, When, Written,
};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

pub(crate) fn moment(text: &str) -> Moment {
    Moment::new(text).unwrap()
}

pub(crate) fn now() -> Moment {
    moment("2026-11-28T09:30:00Z")
}

pub(crate) fn length(text: &str) -> Written {
    Written::read::<Length>(text).unwrap()
}

pub(crate) fn line(place: &str, value: &str) -> Line {
    Line { place: place.to_owned(), value: value.to_owned() }
}

pub(crate) fn due(stage: Stage) -> Due {
    Due { stage, next: "readings of R-114".to_owned(), by: None, holder: None }
}

/// A shop with two people, a gauge, a spec, and a build with a rotor and its housing.
pub(crate) struct Sample {
    pub(crate) folder: TempDir,
    pub(crate) shop: Shop,
    pub(crate) ada: PersonId,
    pub(crate) ben: PersonId,
    pub(crate) gauge: GaugeId,
    pub(crate) spec: SpecId,
    pub(crate) rotor: PartId,
    pub(crate) housing: PartId,
    pub(crate) fitted: FittedId,
    pub(crate) build: BuildId,
}

impl Sample {
    pub(crate) fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let ada = shop.add_person("Ada", "builder").unwrap();
        let ben = shop.add_person("Ben", "machinist").unwrap();
        let gauge = shop.add_gauge("M-3", "micrometer", &calibration(None)).unwrap();
        let by = (ada, &now());
        let rotor = shop.add_part(PartKind::Rotor, "R-114", by).unwrap();
        let housing = shop.add_part(PartKind::RotorHousing, "H-31", by).unwrap();
        let spec = shop.add_spec("sprint", ada, &now(), &[line("spec.match", "\"8 um\"")]).unwrap();
        let head = Head {
            name: "Merganser, boat 7".to_owned(),
            customer: None,
            engine: None,
            spec: Some(spec),
        };
        let build = shop.add_build(&head, None, &due(Stage::Inspection), by).unwrap();
        let of = InRevision { build, revision: 1 };
        let at = &now();
        let fitted = shop
            .fit(&Fit {
                of,
                part: rotor,
                position: 1,
                gear_face: Some(GearFace::Rear),
                person: ada,
                at,
            })
            .unwrap();
        let housed = Fit { of, part: housing, position: 1, gear_face: None, person: ada, at };
        shop.fit(&housed).unwrap();
        Self { folder, shop, ada, ben, gauge, spec, rotor, housing, fitted, build }
    }

    pub(crate) fn file(&self) -> &Path {
        self.shop.file()
    }

    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn of(&self) -> InRevision {
        let revision = self.shop.build(self.build).unwrap().revision;
        InRevision { build: self.build, revision }
    }

    /// Reads a land width of the rotor, in place of what stands there if something does.
    pub(crate) fn read(&self, station: &str, text: &str) -> Result<ReadingId, RecordsError> {
        let standing = self
            .shop
            .readings_at(self.rotor, Some(self.build), When::Before, station)?
            .last()
            .map(|reading| reading.id);
        self.read_expecting(station, text, standing)
    }

    pub(crate) fn read_expecting(
        &self,
        station: &str,
        text: &str,
        expected: Option<ReadingId>,
    ) -> Result<ReadingId, RecordsError> {
        self.shop.add_reading(&NewReading {
            part: self.rotor,
            build: Some(self.of()),
            when: When::Before,
            station,
            value: &length(text),
            gauge: Some(self.gauge),
            person: self.ada,
            at: &now(),
            temperature: Some(&Written::read::<Temperature>("22 degC").unwrap()),
            expected,
            sent_as: None,
            place: Some(&format!("rotor.R-114.{station}")),
        })
    }

    /// Sets a value of the file, whatever stood there.
    pub(crate) fn set(
        &self,
        place: &str,
        value: Option<&str>,
    ) -> Result<Option<ValueId>, RecordsError> {
        let expected = self
            .shop
            .values(self.build)?
            .into_iter()
            .find(|line| line.place == place)
            .map(|line| line.id);
        let (of, person, at) = (self.of(), self.ada, &now());
        self.shop.set_value(&NewValue { of, place, value, person, at, expected })
    }

    pub(crate) fn sign(&self, meaning: &str) -> Result<SignOff, RecordsError> {
        self.shop.sign(&NewSignOff {
            build: self.build,
            seen: self.shop.seen(self.build)?,
            person: self.ada,
            at: &now(),
            meaning,
        })
    }

    pub(crate) fn amend(&self) -> Result<i64, RecordsError> {
        let seen = self.shop.seen(self.build)?;
        self.shop.amend(self.build, &seen, "a width was misread", (self.ben, &now()))
    }

    /// Readings, values, a signature; an amendment with another reading, signed too.
    pub(crate) fn with_history(self) -> Self {
        for (station, text) in
            [("land_width.1", "79.915 mm"), ("land_width.2", "79.952 mm"), ("gear_step.1", "95 um")]
        {
            self.read(station, text).unwrap();
        }
        self.read("land_width.2", "79.922 mm").unwrap();
        self.set("build.name", Some("\"Merganser, boat 7\"")).unwrap();
        self.set("machine.capability", Some("\"2.5 um\"")).unwrap();
        self.set("machine.capability", Some("\"3 um\"")).unwrap();
        self.sign("built and inspected").unwrap();
        self.amend().unwrap();
        self.read("gear_step.1", "96 um").unwrap();
        self.sign("amended").unwrap();
        self
    }
}

pub(crate) fn calibration(due: Option<&str>) -> NewCalibration {
    NewCalibration {
        day: None,
        due: due.map(|day| records::Day::new(day).unwrap()),
        repeat: length("2 um"),
        zero: Some(length("1 um")),
        certificate: "C-1".to_owned(),
        person: None,
    }
}

/// The same file in the hands of somebody without the program.
pub(crate) fn raw(file: &Path) -> rusqlite::Connection {
    rusqlite::Connection::open(file).unwrap()
}
