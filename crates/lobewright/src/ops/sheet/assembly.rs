//! The assembly sheet of a build of the shop: the readings that stand, each with the gauge it was
//! taken with, beside what the build's file asks.

use super::stations::{SPACER, assembled_table};
use super::{PartSheet, Sheet, standing};
use crate::ops::assembly::{
    Amount, Asks, AssemblyReport, ReadAll, ReadLoad, ReadSize, fit_of, read_of, report, spring_of,
    wanted_words,
};
use crate::ops::inputs::TakenWith;
use kernel::assembly::Said;
use kernel::readings::Verdict;
use kernel::units::{Force, Length};
use records::{Gauge, GaugeId, PartKind, Reading, When};

impl Sheet {
    /// Its assembly sheet.
    #[must_use]
    pub fn assembly(&self) -> AssemblyReport {
        let asks = self.asks_of_assembly();
        report(&self.build.head.name, &asks, &self.read_at_assembly(), self.first)
    }

    /// The verdict on what stands at a station of the shaft or of the seals that are in.
    pub(super) fn verdict_at_assembly(&self, serial: &str, station: &str) -> Option<Verdict> {
        let (list, number) = apart(station);
        if fit_of(list).is_none() && spring_of(list).is_none() {
            return None;
        }
        let report = self.assembly();
        let line = report.lines.iter().find(|line| {
            line.key == list && line.of == number && line.part.as_deref() == Some(serial)
        })?;
        match line.said {
            Said::Judged(verdict) => Some(verdict),
            Said::NotRead | Said::NoLimit => None,
        }
    }

    /// What its file asks, for as many rotors as the engine has.
    fn asks_of_assembly(&self) -> Asks {
        let asks = self.asks.clone().unwrap_or_default();
        let mains = self.lines.iter().filter_map(|line| {
            let rest = line.place.strip_prefix("shaft.main.")?;
            rest.split('.').next()?.parse::<usize>().ok()
        });
        Asks { rotors: self.rotors.unwrap_or(1), mains: mains.max().unwrap_or(0), ..asks }
    }

    /// What is asked of a station that is read at assembly, in words; nothing where nobody asks.
    /// With it, whether a value is within.
    pub(super) fn asked_at_assembly(&self, list: &str, value: Length) -> Option<(String, bool)> {
        let asks = self.asks.as_ref()?;
        let fit = fit_of(list)?;
        let wanted = asks.size(fit)?;
        let end = |end: Option<Length>| end.map(|length| Amount::of(fit, length));
        let words = wanted_words(end(wanted.least()), end(wanted.most()), self.first);
        let below = wanted.least().is_some_and(|least| value < least);
        let above = wanted.most().is_some_and(|most| value > most);
        Some((words, !below && !above))
    }

    fn read_at_assembly(&self) -> ReadAll {
        let mut all = ReadAll::default();
        for kind in [PartKind::Shaft, PartKind::SealsSet] {
            for part in self.of_kind(kind) {
                let serial = Some(part.fitted.serial.clone());
                match kind {
                    PartKind::Shaft => all.shaft = serial,
                    _ => all.seals = serial,
                }
                for reading in standing(&self.readings, part.fitted.part, When::After) {
                    self.put(&mut all, part, reading);
                }
            }
        }
        // A reading that came in from another shop has no gauge of this one; its file names it.
        if let Ok(build) = &self.file.build {
            let of_file = read_of(build);
            for (at, read) in all.sizes.iter_mut().filter(|(_, read)| read.with.is_none()) {
                read.with = of_file.sizes.get(at).and_then(|read| read.with.clone());
            }
        }
        all
    }

    fn put(&self, all: &mut ReadAll, part: &PartSheet, reading: &Reading) {
        let (list, number) = apart(&reading.station);
        let gauge = self.gauge(reading.gauge);
        if let Some(value) = reading.value.value::<Length>() {
            if list == SPACER {
                all.spacer = Some(value);
            } else if let Some(fit) = fit_of(list) {
                let with = gauge.and_then(taken_with);
                all.sizes.insert((fit, number), ReadSize { value, with });
            }
        } else if let (Some(value), Some(spring), Some(number)) =
            (reading.value.value::<Force>(), spring_of(list), number)
        {
            let u = gauge.and_then(load_u_of).or_else(|| self.load_u(part));
            let gauge = gauge.map(|gauge| gauge.name.clone());
            all.loads.insert((spring, number), ReadLoad { value, u, gauge });
        }
    }

    pub(super) fn gauge(&self, id: Option<GaugeId>) -> Option<&Gauge> {
        self.gauges.iter().find(|gauge| Some(gauge.id) == id)
    }

    /// The uncertainty of the springs' loads, as the file says it.
    fn load_u(&self, part: &PartSheet) -> Option<Force> {
        let table = assembled_table(part.fitted.kind)?;
        let place =
            crate::build_file::places::place(&["assembled", table, &part.fitted.serial, "load_u"]);
        let value = self.value(&place)?.parse::<toml_edit::Value>().ok()?;
        kernel::units::Quantity::parse(value.as_str()?).ok()
    }
}

/// A station's list, and which of it: `end_play` has no number.
fn apart(station: &str) -> (&str, Option<usize>) {
    match station.split_once('.') {
        Some((list, number)) => (list, number.parse().ok()),
        None => (station, None),
    }
}

/// Standard uncertainty of a load that was read with a gauge, where that is one of forces.
pub(super) fn load_u_of(gauge: &Gauge) -> Option<Force> {
    let what = &gauge.calibration.what;
    let repeat = what.repeat.value::<Force>()?;
    let zero = what.zero.as_ref().and_then(|zero| zero.value::<Force>()).unwrap_or_default();
    Some(Force::n(repeat.to_n().hypot(zero.to_n())))
}

/// A gauge whose uncertainty is one of lengths.
pub(super) fn taken_with(gauge: &Gauge) -> Option<TakenWith> {
    let what = &gauge.calibration.what;
    let repeat = what.repeat.value::<Length>()?;
    let zero = what.zero.as_ref().and_then(|zero| zero.value::<Length>()).unwrap_or_default();
    Some(TakenWith { name: gauge.name.clone(), repeat, zero })
}

#[cfg(test)]
mod tests {
    use super::super::{Fitting, Offered, State, Taken, fit, sheet, take, take_out};
    use super::*;
    use crate::build_file::{amend_all, read};
    use crate::ops::{export, import};
    use kernel::assembly::Advice;
    use kernel::units::{Quantity, System};
    use records::{BuildId, Moment, NewCalibration, PersonId, Shop, Written};
    use tempfile::TempDir;

    const EXAMPLE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");

    fn now() -> Moment {
        Moment::new("2026-11-28T09:30:00Z").unwrap()
    }

    /// A shop with the example in it.
    fn brought(text: &str) -> (TempDir, Shop, BuildId, PersonId) {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let build = import(&shop, text, None, ("Ada", &now())).unwrap().build;
        let person = shop.people().unwrap()[0].id;
        (folder, shop, build, person)
    }

    fn gathered(shop: &Shop, build: BuildId) -> Sheet {
        sheet(shop, build, &now().day(), System::Metric).unwrap()
    }

    fn offer(
        shop: &Shop,
        (build, person): (BuildId, PersonId),
        (kind, station, text): (PartKind, &str, &str),
        (gauge, sure): (Option<GaugeId>, bool),
    ) -> Taken {
        let sheet = gathered(shop, build);
        let part = sheet.of_kind(kind).next().unwrap().fitted.part;
        let expected = sheet.reading(part, When::After, station).map(|reading| reading.id);
        let offered = Offered {
            build,
            revision: 1,
            part,
            when: When::After,
            station,
            text,
            unit: "um",
            gauge,
            temperature: "",
            expected,
            sent_as: None,
            sure,
            person,
            at: &now(),
        };
        take(shop, &offered, System::Metric).unwrap()
    }

    #[test]
    fn a_file_comes_in_with_its_assembly_and_goes_out_again() {
        let (_folder, shop, build, _) = brought(EXAMPLE);
        let readings = shop.readings_of(build).unwrap();
        let at_assembly = readings.iter().filter(|reading| reading.when == When::After).count();
        // Run-out, end play, spacer, two mains, two rotor bearings; eight of one rotor's seals
        // and seven of the other's.
        assert_eq!(at_assembly, 7 + 8 + 7);
        let load = readings.iter().find(|r| r.station == "apex_spring_load.2").unwrap();
        assert_eq!(load.value.value::<Force>(), Force::parse("39 N").ok());
        let back = export(&shop, build).unwrap();
        assert!(read(&back).unwrap() == read(EXAMPLE).unwrap());
        // The sheet says what the file says, with the gauges that the file names.
        let ours = gathered(&shop, build).assembly();
        assert_eq!(ours, crate::ops::assembly(&read(EXAMPLE).unwrap(), System::Metric));
        let state = gathered(&shop, build).states()[6].clone();
        assert_eq!(state.state, State::Stopped);
        assert!(state.words.contains("put in the spacer of 5.940 mm"), "{}", state.words);
        shop.audit().unwrap();
    }

    #[test]
    fn a_reading_at_the_bench_has_its_place_and_its_gauge() {
        let (_folder, shop, build, person) = brought(EXAMPLE);
        let indicator = NewCalibration {
            day: None,
            due: None,
            repeat: Written::read::<Length>("1 um").unwrap(),
            zero: None,
            certificate: String::new(),
            person: Some(person),
        };
        let gauge = shop.add_gauge("indicator 7", "indicator", &indicator).unwrap();
        let by = (build, person);
        // Outside what the record asks it is asked back; what is sure is kept.
        let asked = offer(&shop, by, (PartKind::Shaft, "end_play", "84"), (Some(gauge), false));
        let Taken::AskedBack { why, .. } = asked else { panic!("{asked:?}") };
        assert!(why.starts_with("the engine's record asks for 40 \u{b5}m"), "{why}");
        let kept = offer(&shop, by, (PartKind::Shaft, "end_play", "84"), (Some(gauge), true));
        let Taken::Kept { mind, .. } = kept else { panic!("{kept:?}") };
        // Another gauge is named there already: that is minded, the reading is kept.
        assert!(mind.unwrap().contains("\"indicator\""));
        let report = gathered(&shop, build).assembly();
        let play = report.lines.last().unwrap();
        assert_eq!(play.gauge.as_deref(), Some("indicator 7"));
        assert_eq!(play.said, Said::Judged(Verdict::DoesNotConform));
        let Some(Advice::Exchange(fitted)) = report.spacer.unwrap().advice else { panic!() };
        assert_eq!(fitted.thickness, Length::parse("5.94 mm").unwrap());
        // With the other spacer in.
        offer(&shop, by, (PartKind::Shaft, "spacer", "5.96 mm"), (None, false));
        offer(&shop, by, (PartKind::Shaft, "end_play", "64"), (Some(gauge), false));
        offer(&shop, by, (PartKind::SealsSet, "apex_seal_groove.2", "63"), (None, false));
        offer(&shop, by, (PartKind::Shaft, "rotor_bearing_clearance.2", "84"), (None, false));
        let sheet = gathered(&shop, build);
        let report = sheet.assembly();
        assert_eq!(report.worst(), Some(Verdict::Conforms));
        // The bench shows it beside the station.
        let at = |station: &str| sheet.verdict("SE-3", station);
        assert_eq!(at("end_play"), Some(Verdict::Conforms));
        assert_eq!((at("spacer"), sheet.verdict("SE-4", "end_play")), (None, None));
        assert!(matches!(report.spacer.unwrap().advice, Some(Advice::Stay)));
        assert_eq!(sheet.states()[6].state, State::Holds, "{:?}", sheet.states()[6]);
        let back = read(&export(&shop, build).unwrap()).unwrap();
        let shaft = back.assembled.shaft.unwrap();
        assert_eq!(shaft.end_play, Length::parse("64 um").ok());
        assert_eq!(shaft.spacer, Length::parse("5.96 mm").ok());
        shop.audit().unwrap();
    }

    #[test]
    fn a_spring_tester_says_how_well_a_load_is_known() {
        let text = EXAMPLE.replace("load_u = \"0.4 N\"", "#");
        let (_folder, shop, build, person) = brought(&text);
        let tester = NewCalibration {
            day: None,
            due: None,
            repeat: Written::read::<Force>("0.3 N").unwrap(),
            zero: Written::read::<Force>("0.4 N").ok(),
            certificate: String::new(),
            person: Some(person),
        };
        let gauge = shop.add_gauge("tester", "spring tester", &tester).unwrap();
        let assumed = |shop: &Shop| {
            let report = gathered(shop, build).assembly();
            report.assumed.sentences().iter().any(|s| s.contains("loads of springs"))
        };
        assert!(assumed(&shop));
        let kept = offer(
            &shop,
            (build, person),
            (PartKind::SealsSet, "apex_spring_load.1", "42 N"),
            (Some(gauge), false),
        );
        assert!(matches!(kept, Taken::Kept { mind: None, .. }), "{kept:?}");
        let report = gathered(&shop, build).assembly();
        let line = report.lines.iter().find(|l| (l.key, l.of) == ("apex_spring_load", Some(1)));
        let line = line.unwrap();
        let u = Amount::Force(Force::n(0.3_f64.hypot(0.4)));
        assert_eq!((line.uncertainty, line.gauge.as_deref()), (Some(u), Some("tester")));
        assert!(!assumed(&shop));
        let file = read(&export(&shop, build).unwrap()).unwrap();
        assert!((file.assembled.seals.unwrap().load_u.unwrap().to_n() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn readings_go_with_their_part_and_come_back_with_it() {
        let (_folder, shop, build, person) = brought(EXAMPLE);
        let by = (person, &now());
        let shaft = |shop: &Shop| {
            let sheet = gathered(shop, build);
            let fitted = sheet.of_kind(PartKind::Shaft).next().map(|p| p.fitted.clone());
            (fitted, sheet.assembly().lines.last().unwrap().said)
        };
        let (there, said) = shaft(&shop);
        assert_eq!(said, Said::Judged(Verdict::DoesNotConform));
        let new = |serial, instead| Fitting {
            build,
            kind: PartKind::Shaft,
            serial,
            gear_face: None,
            clamp_up: None,
            instead,
        };
        let there = there.unwrap();
        fit(&shop, &new("SE-4", Some(there.id)), by, System::Metric).unwrap();
        let (other, said) = shaft(&shop);
        assert_eq!((other.as_ref().unwrap().serial.as_str(), said), ("SE-4", Said::NotRead));
        let file = read(&export(&shop, build).unwrap()).unwrap();
        let fits = file.assembled.shaft.unwrap();
        assert_eq!((fits.serial.as_str(), fits.end_play), ("SE-4", None));
        // The first one again: what was read on it for this build stands again.
        fit(&shop, &new("SE-3", Some(other.unwrap().id)), by, System::Metric).unwrap();
        let (again, said) = shaft(&shop);
        assert_eq!(said, Said::Judged(Verdict::DoesNotConform));
        let file = read(&export(&shop, build).unwrap()).unwrap();
        assert_eq!(file.assembled.shaft.unwrap().mains.len(), 2);
        take_out(&shop, build, again.unwrap().id, by, System::Metric).unwrap();
        let file = read(&export(&shop, build).unwrap()).unwrap();
        assert!(file.assembled.shaft.is_none() && file.assembled.seals.is_some());
        shop.audit().unwrap();
    }

    #[test]
    fn a_part_from_before_files_knew_it_is_read_all_the_same() {
        // A build whose shaft is in the record and not in the file.
        let (head, _) = EXAMPLE.split_once("[[assembled.shaft]]").unwrap();
        let (_folder, shop, build, person) = brought(head);
        let by = (person, &now());
        let part = shop.add_part(PartKind::Shaft, "SE-3", by).unwrap();
        let of = records::InRevision { build, revision: 1 };
        let fit = records::Fit { of, part, position: 1, gear_face: None, person, at: &now() };
        shop.fit(&fit).unwrap();
        offer(&shop, (build, person), (PartKind::Shaft, "end_play", "61"), (None, false));
        let report = gathered(&shop, build).assembly();
        assert_eq!(report.lines.last().unwrap().said, Said::Judged(Verdict::Conforms));
        assert!(read(&export(&shop, build).unwrap()).unwrap().assembled.shaft.is_none());
        shop.audit().unwrap();
    }

    #[test]
    fn not_proven_is_due_and_not_stopped() {
        let near = amend_all(
            EXAMPLE,
            &[
                ("assembled.shaft.SE-3.end_play", "79 um"),
                ("assembled.seals.SS-9.rotor.2.apex_seal_groove", "60 um"),
            ],
        )
        .unwrap();
        let (_folder, shop, build, _) = brought(&near);
        let state = gathered(&shop, build).states()[6].clone();
        assert_eq!(state.state, State::Due);
        // Of the two the one that comes first in the order of assembly.
        assert!(state.words.contains("rotor bearing, rotor 2 reads 97"), "{}", state.words);
        assert!(state.words.starts_with("not proven: "), "{}", state.words);
    }
}
