//! The assembly sheet of a file, asked from outside.

use super::*;
use crate::build_file::model::assembly::Fit;
use crate::build_file::{amend_all, read};
use kernel::assembly::Advice;
use kernel::units::{Length, Quantity};

const PLAIN: &str = include_str!("../../../../../examples/sprint-boat.toml");
const EXAMPLE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");

fn sheet(text: &str) -> AssemblyReport {
    assembly(&read(text).unwrap(), System::Metric)
}

fn line<'r>(report: &'r AssemblyReport, key: &str, of: Option<usize>) -> &'r AssemblyLine {
    report.lines.iter().find(|line| line.key == key && line.of == of).unwrap()
}

#[test]
fn every_size_stands_in_the_order_of_assembly_with_its_verdict() {
    let report = sheet(EXAMPLE);
    // One run-out, two mains, two rotor bearings, eight of each rotor (oil spring and lip, corner
    // spring and bore, side gap, apex spring, groove and ends), the end play.
    assert_eq!(report.lines.len(), 1 + 2 + 2 + 2 * 8 + 1);
    assert!((1..).zip(&report.lines).all(|(number, line)| line.number == number));
    assert_eq!(report.lines[0].key, "shaft_runout");
    assert_eq!(report.lines.last().unwrap().key, Fit::EndPlay.key());
    let play = line(&report, "end_play", None);
    assert_eq!(play.said, Said::Judged(Verdict::DoesNotConform));
    assert_eq!(play.part.as_deref(), Some("SE-3"));
    assert_eq!(play.gauge.as_deref(), Some("indicator"));
    assert!(play.note.contains("over the most by 16 \u{b5}m"), "{}", play.note);
    // 97 of at most 100 µm with u = hypot(2, 1): closer than 1.65 u = 3.7 µm.
    let bearing = line(&report, "rotor_bearing_clearance", Some(2));
    assert_eq!(bearing.said, Said::Judged(Verdict::NotProven));
    assert!(bearing.note.contains("within the most by 3 \u{b5}m"), "{}", bearing.note);
    let other = line(&report, "rotor_bearing_clearance", Some(1));
    assert_eq!((other.said, other.note.as_str()), (Said::Judged(Verdict::Conforms), ""));
    // The limit of the apex seals' ends is the spec's, which has none here.
    assert_eq!(line(&report, "apex_end_clearance", Some(1)).said, Said::NoLimit);
    assert_eq!(line(&report, "apex_seal_groove", Some(2)).said, Said::NotRead);
    assert_eq!(
        line(&report, "apex_seal_groove", Some(2)).wanted(System::Metric),
        "35 \u{b5}m (1.4 thou) to 95 \u{b5}m (3.7 thou)"
    );
    assert_eq!(report.worst(), Some(Verdict::DoesNotConform));
    assert_eq!(report.tighten.len(), 3);
    let assumed = report.assumed.sentences();
    assert_eq!(assumed.len(), 1, "{assumed:?}");
}

#[test]
fn the_spacer_is_chosen_and_it_is_said_why() {
    let spacer = sheet(EXAMPLE).spacer.unwrap();
    let Some(Advice::Exchange(fitted)) = spacer.advice else { panic!("{spacer:?}") };
    assert_eq!(fitted.thickness, Length::parse("5.94 mm").unwrap());
    assert!((fitted.play - Length::um(56.0)).abs() < Length::um(1e-6));
    assert!(spacer.sentence.contains("a thicker spacer gives more play"), "{}", spacer.sentence);
    assert!(spacer.sentence.contains("thinner by 40 \u{b5}m"), "{}", spacer.sentence);
    // The other way round.
    let turned = EXAMPLE.replace("\"more play\"", "\"less play\"");
    let Some(Advice::Exchange(fitted)) = sheet(&turned).spacer.unwrap().advice else { panic!() };
    assert_eq!(fitted.thickness, Length::parse("6.02 mm").unwrap());
    // None works.
    let far = amend_all(EXAMPLE, &[("assembled.shaft.SE-3.end_play", "0.4 mm")]).unwrap();
    let spacer = sheet(&far).spacer.unwrap();
    assert!(matches!(spacer.advice, Some(Advice::None(_))));
    assert!(spacer.sentence.contains("best 5.640 mm"), "{}", spacer.sentence);
    // What is lacking is asked for.
    let gone = EXAMPLE.replace("end_play = \"96 um\"\n", "");
    assert!(sheet(&gone).spacer.unwrap().sentence.contains("when the end play is read"));
    let unknown = EXAMPLE.replace("spacer = \"5.98 mm\" ", "# ");
    assert!(sheet(&unknown).spacer.unwrap().sentence.contains("enter how thick"));
    let no_limit = EXAMPLE.replace("end_play = { least", "# { least");
    assert!(sheet(&no_limit).spacer.unwrap().sentence.contains("gives no end play"));
}

#[test]
fn nothing_is_asked_that_nobody_gave() {
    let report = sheet(PLAIN);
    // Oil seals' lip, side seals' gap and apex seals' ends of two rotors, and the end play; the
    // spec has limits of the apex seals' ends.
    assert_eq!(report.lines.len(), 2 * 3 + 1);
    assert!(report.lines.iter().all(|line| line.said == Said::NotRead));
    let given: Vec<_> =
        report.lines.iter().filter(|l| l.least.is_some() || l.most.is_some()).collect();
    assert_eq!(given.len(), 2);
    assert!(given.iter().all(|line| line.key == "apex_end_clearance"));
    let other = line(&report, "end_play", None);
    assert_eq!(other.wanted(System::Metric), "not given");
    assert!(report.spacer.is_none() && report.tighten.is_empty());
    assert!(report.assumed.sentences().is_empty() && report.worst().is_none());
}
