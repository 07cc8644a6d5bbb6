//! Files that are wrong about used parts, each with everything that is said about it, exactly. Every
//! case is the example of a worn engine with one piece of it replaced: what stood there, what stands
//! there now, the problems.

use lobewright::build_file::read;

const WORN: &str = include_str!("../../../examples/petrel-worn.toml");

#[rustfmt::skip]
const CASES: &[(&str, &str, &str)] = &[
    (
        r#"[condition.rotor.crack_test]"#,
        r#"[condition.rotor.crack_tst]"#,
        r#"f:144:1: condition.rotor.crack_tst: nothing called "crack_tst" is on the card of the rotor; expected one of apex_groove, apex_groove_bell, corner_bore, side_groove, side_groove_depth, bearing_bore, bearing_bore_round, gear, crack_test
  hint: did you mean crack_test?"#,
    ),
    (
        r#"[condition.rotor.crack_test]"#,
        r#"[condition.rotr.crack_test]"#,
        r#"f:144:12: condition: unknown key "rotr"; expected rotor
  hint: did you mean rotor?"#,
    ),
    (
        r#"[condition.bearing.bore]"#,
        r#"[condition.bearing.flatness]"#,
        r#"f:175:1: condition.bearing.flatness: nothing called "flatness" is on the card of the rotor bearing; expected one of bore, press, lining"#,
    ),
    (
        r#"[condition.side_housing.flatness]
most = "40 um"
"#,
        r#"[condition.side_housing.flatness]
"#,
        r#"f:106:1: condition.side_housing.flatness: neither least nor most is given; expected least, most or both, such as { most = "40 um" }"#,
    ),
    (
        r#"[condition.side_housing.flatness]
most = "40 um"
"#,
        r#"[condition.side_housing.flatness]
most = "40"
"#,
        r#"f:107:8: condition.side_housing.flatness.most: "40" has no unit; expected a wear, gap, press or run-out from -1 mm to 5 mm, such as "40 um"
  hint: write "40 um" or "40 thou", whichever is meant"#,
    ),
    (
        r#"[condition.side_housing.flatness]
most = "40 um"
"#,
        r#"[condition.side_housing.flatness]
most = "40 mm"
"#,
        r#"f:107:8: condition.side_housing.flatness.most: "40 mm" is more than 5 mm; expected a wear, gap, press or run-out from -1 mm to 5 mm, such as "40 um""#,
    ),
    (
        r#"rework_most = "120 um""#,
        r#"rework_most = "20 um""#,
        r#"f:108:15: condition.side_housing.flatness.rework_most: what can be reworked ends before what can be used; expected rework_most above most, or rework_least below least"#,
    ),
    (
        r#"rework_most = "120 um""#,
        r#"rework_most = "40 um""#,
        r#"f:108:15: condition.side_housing.flatness.rework_most: nothing lies between what can be used and what can be reworked; expected rework_most above most, or rework_least below least"#,
    ),
    (
        r#"rework_most = "120 um""#,
        r#"rework_least = "1 um""#,
        r#"f:108:16: condition.side_housing.flatness.rework_least: what can be reworked ends before what can be used; expected rework_most above most, or rework_least below least"#,
    ),
    (
        r#"rework_most = "60 um"
rework = "lap both faces, in pairs""#,
        r#"rework_most = "60 um""#,
        r#"f:98:1: condition.rotor_housing.width_spread: rework is missing; expected how it is reworked, such as rework = "grind flat""#,
    ),
    (
        r#"rework_most = "60 um"
rework = "lap both faces, in pairs""#,
        r#"rework = "lap both faces, in pairs""#,
        r#"f:100:10: condition.rotor_housing.width_spread.rework: nothing says what can be reworked; expected rework_least, rework_most or rework_accept beside it"#,
    ),
    (
        r#"[condition.rotor.crack_test]
accept = "none found""#,
        r#"[condition.rotor.crack_test]
most = "1 um""#,
        r#"f:144:1: condition.rotor.crack_test: accept is missing; expected words with which the part is used, of none found, found
f:145:8: condition.rotor.crack_test.most: most of what is seen and not read; expected no most here"#,
    ),
    (
        r#"[condition.rotor.crack_test]
accept = "none found""#,
        r#"[condition.rotor.crack_test]
accept = "nothing found""#,
        r#"f:145:10: condition.rotor.crack_test.accept: "nothing found"; expected words of none found, found"#,
    ),
    (
        r#"[condition.rotor.crack_test]
accept = "none found""#,
        r#"[condition.rotor.crack_test]
accept = "none found, none found""#,
        r#"f:145:10: condition.rotor.crack_test.accept: "none found" twice; expected each word once"#,
    ),
    (
        r#"[condition.bearing.lining]
accept = "sound, polished""#,
        r#"[condition.bearing.lining]
accept = "sound, polisched""#,
        r#"f:180:10: condition.bearing.lining.accept: "polisched"; expected words of sound, polished, scored, wiped, worn through
  hint: did you mean "polished"?"#,
    ),
    (
        r#"rework_accept = "scored"
rework = "polish, measure again""#,
        r#"rework_accept = "polished"
rework = "polish, measure again""#,
        r#"f:156:17: condition.shaft.journals.rework_accept: "polished" is among those with which the part is used; expected words with which it is reworked"#,
    ),
    (
        r#"[condition.bearing.press]
least = "40 um""#,
        r#"[condition.bearing.press]
least = "40 um"
accept = "sound""#,
        r#"f:179:10: condition.bearing.press.accept: accept of what is read and not seen; expected no accept here"#,
    ),
    (
        r#"[condition.seals.apex_load]
least = "38 N""#,
        r#"[condition.seals.apex_load]
least = "38 um""#,
        r#"f:194:9: condition.seals.apex_load.least: "um" is no unit known here; expected a load of a spring above 0 N, at most 1000 N, such as "42 N"
  hint: known are N, kN, lbf, kgf"#,
    ),
    (
        r#"[condition.rotor.bearing_bore]
least = "74.990 mm"
most = "75.020 mm""#,
        r#"[condition.rotor.bearing_bore]
least = "75.030 mm"
most = "75.020 mm""#,
        r#"f:138:9: condition.rotor.bearing_bore.least: 75.030 mm is more than the most, 75.020 mm; expected least not more than most"#,
    ),
    (
        r#"[[inspected.rotor]]                 # fault 4: a crack
serial = "PR-1""#,
        r#"[[inspected.rotor]]
serial = "PR-3""#,
        r#"f:274:10: inspected.rotor.PR-3.serial: "PR-3" is no rotor of this file; expected one of PR-1, PR-2"#,
    ),
    (
        r#"[[inspected.rotor]]                 # fault 4: a crack
serial = "PR-1"
"#,
        r#"[[inspected.rotor]]
"#,
        r#"f:273:1: inspected.rotor #1: serial is missing; expected serial = "R-114""#,
    ),
    (
        r#"[[inspected.bearing]]
serial = "PB-2""#,
        r#"[[inspected.bearing]]
serial = "PB-1""#,
        r#"f:364:10: inspected.bearing.PB-1.serial: "PB-1" is also the serial of number 1 from the front; expected a serial of its own for each part"#,
    ),
    (
        r#"runout = { value = "45 um", gauge = "indicator" }"#,
        r#"runout = { value = "45 um", gauge = "indicater" }"#,
        r#"f:332:37: inspected.shaft.PE-1.read.runout.gauge: no gauge "indicater" is declared; expected one of coating gauge, indicator, micrometer, small-hole gauge
  hint: did you mean "indicator"?"#,
    ),
    (
        r#"runout = { value = "45 um", gauge = "indicator" }"#,
        r#"runout = { gauge = "indicator" }"#,
        r#"f:332:10: inspected.shaft.PE-1.read.runout: value is missing; expected value = "40 um", a wear, gap, press or run-out with its unit"#,
    ),
    (
        r#"runout = { value = "45 um", gauge = "indicator" }"#,
        r#"runout = { value = "45" }"#,
        r#"f:332:20: inspected.shaft.PE-1.read.runout.value: "45" has no unit; expected a wear, gap, press or run-out from -1 mm to 5 mm, such as "40 um"
  hint: write "45 um" or "45 thou", whichever is meant"#,
    ),
    (
        r#"runout = { value = "45 um", gauge = "indicator" }"#,
        r#"runout = "45 um""#,
        r#"f:332:1: inspected.shaft.PE-1.read: runout = the text "45 um"; expected a table headed [inspected.shaft.read.NAME] for each"#,
    ),
    (
        r#"runout = { value = "45 um", gauge = "indicator" }"#,
        r#"run_out = { value = "45 um" }"#,
        r#"f:332:11: inspected.shaft.PE-1.read.run_out: nothing called "run_out" is on the card of the eccentric shaft; expected a station of runout, main_journal, rotor_journal, journals, crack_test
  hint: did you mean "runout"?"#,
    ),
    (
        r#""flatness.front" = { value = "180 um", gauge = "indicator" }"#,
        r#""flatness.left" = { value = "180 um" }"#,
        r#"f:271:19: inspected.side_housing.PS-3.read.flatness.left: there is no station "flatness.left"; expected "flatness.front" to "flatness.rear""#,
    ),
    (
        r#""plating_seen.6" = { value = "flaking" }"#,
        r#""plating_seen.9" = { value = "flaking" }"#,
        r#"f:236:20: inspected.rotor_housing.PH-2.read.plating_seen.9: there is no station "plating_seen.9"; expected "plating_seen.1" to "plating_seen.8""#,
    ),
    (
        r#""plating_seen.6" = { value = "flaking" }"#,
        r#""plating_seen.6" = { value = "peeling" }"#,
        r#"f:236:30: inspected.rotor_housing.PH-2.read.plating_seen.6.value: "peeling"; expected "sound" or "polished" or "stained" or "scored" or "pitted" or "chipped" or "flaking" or "worn through""#,
    ),
    (
        r#""plating_seen.6" = { value = "flaking" }"#,
        r#""width_spread" = { value = "5 um" }"#,
        r#"f:236:18: inspected.rotor_housing.PH-2.read.width_spread: there is no station "width_spread"; expected no reading: width_spread follows from others, or is read for the plan"#,
    ),
    (
        r#""apex_load.2" = { value = "31 N" }"#,
        r#""apex_load.2" = { value = "31 mm" }"#,
        r#"f:390:27: inspected.seals.PSS-1.read.apex_load.2.value: "mm" is no unit known here; expected a load of a spring above 0 N, at most 1000 N, such as "42 N"
  hint: known are N, kN, lbf, kgf"#,
    ),
    (
        r#""apex_load.2" = { value = "31 N" }"#,
        r#""apex_load.2" = { value = "31 N", colour = "red" }"#,
        r#"f:390:35: inspected.seals.PSS-1.read.apex_load.2: unknown key "colour"; expected one of value, gauge"#,
    ),
    (
        r#"[inspected.shaft.read]"#,
        r#"[inspected.shaft.reads]"#,
        r#"f:331:18: inspected.shaft.PE-1: unknown key "reads"; expected read
  hint: did you mean read?"#,
    ),
];

#[test]
fn each_wrong_file_is_told_what_is_wrong() {
    assert!(read(WORN).is_ok());
    assert!(CASES.len() >= 34, "the number of cases only rises");
    let mut different = String::new();
    for (from, to, expected) in CASES {
        assert!(WORN.contains(from), "{from:?} is not in the example");
        let text = WORN.replacen(from, to, 1);
        let said = match read(&text) {
            Ok(_) => "nothing".to_owned(),
            Err(problems) => problems.in_file("f").to_string(),
        };
        if said != *expected {
            different.push_str(&format!("{to}\nexpected:\n{expected}\nsaid:\n{said}\n\n"));
        }
    }
    assert!(different.is_empty(), "{different}");
}
