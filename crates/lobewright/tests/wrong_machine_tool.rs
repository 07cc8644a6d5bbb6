//! Files that are wrong about machine tools, each with everything that is said about it, exactly.
//! Every case is the example of a mill or that of a lathe with one piece of it replaced: what stood
//! there, what stands there now, the problems.

use lobewright::build_file::read;

const MILL: &str = include_str!("../../../examples/sprint-boat.toml");
const LATHE: &str = include_str!("../../../examples/heron-aircraft.toml");

#[rustfmt::skip]
const OF_A_MILL: &[(&str, &str, &str)] = &[
    (
        "[machine_tool.west_mill]  ",
        "[machine_tols.west_mill]  ",
        r#"f:109:2: unknown key "machine_tols"; expected machine_tool
  hint: did you mean machine_tool?"#,
    ),
    (
        r#"kind = "vertical mill""#,
        r#"kind = "mill""#,
        r#"f:110:8: machine_tool.west_mill.kind: "mill"; expected "vertical mill" or "lathe""#,
    ),
    (
        r#"kind = "vertical mill""#,
        r#"kind = "lathe""#,
        r#"f:109:1: machine_tool.west_mill: x_reads is missing; expected x_reads = "diameter" or x_reads = "radius", as its control reads X
f:120:1: machine_tool.west_mill.cutter: holder_width is missing; expected holder_width = "25 mm", along X
f:121:12: machine_tool.west_mill.cutter.diameter: diameter of a lathe; expected diameter only with kind = "vertical mill"
f:123:9: machine_tool.west_mill.cutter.teeth: teeth of a lathe; expected teeth only with kind = "vertical mill"
f:125:19: machine_tool.west_mill.cutter.holder_diameter: holder_diameter of a lathe; expected holder_diameter only with kind = "vertical mill""#,
    ),
    (
        r#"units = "mm""#,
        r#"units = "in""#,
        r#"f:111:9: machine_tool.west_mill.units: "in"; expected "mm" or "inch""#,
    ),
    (
        r#"units = "mm""#,
        r#"units = "inch""#,
        r#"f:112:14: machine_tool.west_mill.units_word: G21 does not make the numbers inch; expected "G20" or "G70", whichever this control has"#,
    ),
    (
        r#"units_word = "G21""#,
        r#"units_word = "G70""#,
        r#"f:112:14: machine_tool.west_mill.units_word: G70 does not make the numbers mm; expected "G21" or "G71", whichever this control has"#,
    ),
    (
        r#"units_word = "G21""#,
        r#"units_word = "g21""#,
        r#"f:112:14: machine_tool.west_mill.units_word: "g21"; expected "G20" or "G21" or "G70" or "G71"
  hint: did you mean "G21"?"#,
    ),
    (
        r#"units_word = "G21"  "#,
        r#"x_reads = "radius"  "#,
        r#"f:109:1: machine_tool.west_mill: units_word is missing; expected units_word = "G20" or units_word = "G21" or units_word = "G70" or units_word = "G71"
f:112:11: machine_tool.west_mill.x_reads: x_reads of a vertical mill; expected x_reads only with kind = "lathe""#,
    ),
    (
        r#"most_speed = "4000 rpm""#,
        r#"most_speed = "40 rpm""#,
        "f:114:15: machine_tool.west_mill.least_speed: 60 rpm is more than most_speed, 40 rpm; expected least_speed not more than most_speed",
    ),
    (
        r#"most_speed = "4000 rpm""#,
        "most_speed = 4000",
        r#"f:113:14: machine_tool.west_mill.most_speed: the bare number 4000 where a unit belongs; expected a spindle speed above 0 rpm, at most 60000 rpm, such as "4000 rpm"
  hint: write "4000 rpm" if that is meant"#,
    ),
    (
        r#"rapid = "5 m/min""#,
        r#"rapid = "5000 m/min""#,
        r#"f:115:9: machine_tool.west_mill.rapid: "5000 m/min" is more than 120 m/min; expected a rapid travel above 0 m/min, at most 120 m/min, such as "5 m/min""#,
    ),
    (
        r#"rapid = "5 m/min""#,
        r#"rapid = "5""#,
        r#"f:115:9: machine_tool.west_mill.rapid: "5" has no unit; expected a rapid travel above 0 m/min, at most 120 m/min, such as "5 m/min"
  hint: write "5 m/min" if that is meant"#,
    ),
    (
        "[machine_tool.west_mill.fixture]",
        "[machine_tool.west_mill.fixtur]",
        r#"f:116:25: machine_tool.west_mill: unknown key "fixtur"; expected fixture
  hint: did you mean fixture?"#,
    ),
    (
        "[machine_tool.west_mill.fixture]",
        "[machine_tool.west_mil.fixture]",
        r#"f:109:1: machine_tool.west_mill: fixture is missing; expected fixture = { held_by = ..., clamp_radius = ..., clamp_height = ... }
f:116:15: machine_tool.west_mil: kind is missing; expected kind = "vertical mill" or kind = "lathe"
f:116:15: machine_tool.west_mil: units is missing; expected units = "mm" or units = "inch"
f:116:15: machine_tool.west_mil: units_word is missing; expected units_word = "G20" or units_word = "G21" or units_word = "G70" or units_word = "G71"
f:116:15: machine_tool.west_mil: most_speed is missing; expected most_speed = "4000 rpm", a spindle speed with its unit
f:116:15: machine_tool.west_mil: cutter is missing; expected cutter = { diameter = ..., corner_radius = ..., teeth = ..., reach = ..., holder_diameter = ..., holder_width = ... }
f:116:15: machine_tool.west_mil: rough is missing; expected rough = { cutting_speed = ..., feed = ..., depth = ... }
f:116:15: machine_tool.west_mil: finish is missing; expected finish = { cutting_speed = ..., feed = ..., stock = ... }"#,
    ),
    (
        r#"held_by = "land""#,
        r#"held_by = "bearing""#,
        r#"f:117:11: machine_tool.west_mill.fixture.held_by: "bearing"; expected "land" or "bore""#,
    ),
    (
        r#"clamp_radius = "34 mm""#,
        r#"clamp_diameter = "68 mm""#,
        r#"f:116:1: machine_tool.west_mill.fixture: clamp_radius is missing; expected clamp_radius = "34 mm", a radius of the clamp with its unit
f:118:1: machine_tool.west_mill.fixture: unknown key "clamp_diameter"; expected one of held_by, clamp_radius, clamp_height"#,
    ),
    (
        r#"clamp_height = "18 mm""#,
        r#"clamp_height = "-1 mm""#,
        r#"f:119:16: machine_tool.west_mill.fixture.clamp_height: "-1 mm" is less than 0 mm; expected a height of the clamp from 0 mm to 300 mm, such as "18 mm""#,
    ),
    (
        r#"diameter = "16 mm""#,
        r#"diameter = "16 in""#,
        r#"f:121:12: machine_tool.west_mill.cutter.diameter: "16 in" is more than 250 mm; expected a diameter of a mill's cutter from 3 mm to 250 mm, such as "16 mm""#,
    ),
    (
        r#"corner_radius = "0.4 mm""#,
        r#"corner_radius = "7.5 mm""#,
        "f:122:17: machine_tool.west_mill.cutter.corner_radius: 7.5 mm on a cutter of 16 mm; expected at most 7 mm: within its corners a cutter has 2 mm of flat",
    ),
    (
        "teeth = 3
",
        r#"teeth = "3"
"#,
        r#"f:123:9: machine_tool.west_mill.cutter.teeth: the text "3"; expected a whole number from 1 to 40, without quotes"#,
    ),
    (
        "teeth = 3
",
        "",
        "f:120:1: machine_tool.west_mill.cutter: teeth is missing; expected teeth = 3",
    ),
    (
        "teeth = 3
",
        "teeth = 0
",
        "f:123:9: machine_tool.west_mill.cutter.teeth: the number 0; expected a whole number from 1 to 40, without quotes",
    ),
    (
        r#"reach = "40 mm""#,
        r#"reach = "40""#,
        r#"f:124:9: machine_tool.west_mill.cutter.reach: "40" has no unit; expected a reach above 0 mm, at most 500 mm, such as "40 mm"
  hint: write "40 mm" or "40 um" or "40 thou", whichever is meant"#,
    ),
    (
        r#"holder_diameter = "40 mm""#,
        r#"holder_width = "40 mm""#,
        r#"f:120:1: machine_tool.west_mill.cutter: holder_diameter is missing; expected holder_diameter = "40 mm"
f:125:16: machine_tool.west_mill.cutter.holder_width: holder_width of a vertical mill; expected holder_width only with kind = "lathe""#,
    ),
    (
        r#"cutting_speed = "70 m/min""#,
        r#"cutting_speed = "70 sfm""#,
        r#"f:127:17: machine_tool.west_mill.rough.cutting_speed: "sfm" can be misread; expected a cutting speed from 1 m/min to 2000 m/min, such as "70 m/min"
  hint: write ft/min"#,
    ),
    (
        r#"cutting_speed = "70 m/min""#,
        r#"cutting_speed = "70 rpm""#,
        r#"f:127:17: machine_tool.west_mill.rough.cutting_speed: "rpm" is no unit known here; expected a cutting speed from 1 m/min to 2000 m/min, such as "70 m/min"
  hint: known are m/min, ft/min, mm/min, in/min, m/s"#,
    ),
    (
        r#"feed = "0.08 mm""#,
        r#"feed = "0 mm""#,
        r#"f:128:8: machine_tool.west_mill.rough.feed: "0 mm" is not above 0 mm; expected a feed above 0 mm, at most 2 mm, such as "0.08 mm""#,
    ),
    (
        r#"depth = "0.3 mm""#,
        r#"depth = "20 um""#,
        "f:130:1: machine_tool.west_mill.finish: a stock of 0.03 mm for the finishing pass; expected at most what a rough pass takes, 0.02 mm",
    ),
    (
        r#"depth = "0.3 mm"  "#,
        r#"stock = "0.3 mm"  "#,
        r#"f:126:1: machine_tool.west_mill.rough: depth is missing; expected depth = "0.3 mm", a depth of a pass with its unit
f:129:1: machine_tool.west_mill.rough: unknown key "stock"; expected one of cutting_speed, feed, depth
  hint: stock belongs in [machine_tool.NAME.finish]"#,
    ),
    (
        r#"stock = "30 um""#,
        r#"stock = "3 mm""#,
        r#"f:133:9: machine_tool.west_mill.finish.stock: "3 mm" is more than 0.5 mm; expected a stock for the finishing pass above 0 mm, at most 0.5 mm, such as "30 um""#,
    ),
];

#[rustfmt::skip]
const OF_A_LATHE: &[(&str, &str, &str)] = &[
    (
        r#"x_reads = "diameter"  "#,
        "",
        r#"f:97:1: machine_tool.old lathe: x_reads is missing; expected x_reads = "diameter" or x_reads = "radius", as its control reads X"#,
    ),
    (
        r#"x_reads = "diameter""#,
        r#"x_reads = "dia""#,
        r#"f:101:11: machine_tool.old lathe.x_reads: "dia"; expected "diameter" or "radius""#,
    ),
    (
        r#"x_reads = "diameter""#,
        r#"x_reads = "radios""#,
        r#"f:101:11: machine_tool.old lathe.x_reads: "radios"; expected "diameter" or "radius"
  hint: did you mean "radius"?"#,
    ),
    (
        r#"corner_radius = "0.031 in""#,
        r#"corner_radius = "0 in""#,
        r#"f:109:17: machine_tool.old lathe.cutter.corner_radius: "0 in" is not above 0 mm; expected a nose radius above 0 mm, at most 10 mm, such as "0.8 mm""#,
    ),
    (
        r#"corner_radius = "0.031 in"  "#,
        "",
        r#"f:108:1: machine_tool.old lathe.cutter: corner_radius is missing; expected corner_radius = "0.8 mm", a nose radius with its unit"#,
    ),
    (
        r#"holder_width = "0.75 in""#,
        "teeth = 2",
        r#"f:108:1: machine_tool.old lathe.cutter: holder_width is missing; expected holder_width = "25 mm", along X
f:111:9: machine_tool.old lathe.cutter.teeth: teeth of a lathe; expected teeth only with kind = "vertical mill""#,
    ),
    (
        r#"kind = "lathe"
"#,
        "",
        r#"f:97:1: machine_tool.old lathe: kind is missing; expected kind = "vertical mill" or kind = "lathe""#,
    ),
    (
        r#"units = "inch""#,
        r#"units = "mm""#,
        r#"f:100:14: machine_tool.old lathe.units_word: G20 does not make the numbers mm; expected "G21" or "G71", whichever this control has"#,
    ),
];

#[test]
fn each_wrong_file_is_told_what_is_wrong() {
    let cases = OF_A_MILL.iter().map(|case| (MILL, case));
    let cases: Vec<_> = cases.chain(OF_A_LATHE.iter().map(|case| (LATHE, case))).collect();
    assert!(cases.len() >= 38, "the number of cases only rises");
    let mut different = String::new();
    for (example, (from, to, expected)) in cases {
        assert!(example.contains(from), "{from:?} is not in the example");
        let text = example.replacen(from, to, 1);
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
