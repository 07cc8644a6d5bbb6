//! Machine tools: read, written and amended.

use super::changed;
use crate::build_file::known::named_places;
use crate::build_file::model::machine_tool::{
    ControlUnits, HeldBy, LatheTool, MillCutter, Tool, UnitsWord, XReads,
};
use crate::build_file::{amend, amend_all, read, write};
use kernel::units::{CuttingSpeed, Quantity, Speed};

const MILL: &str = include_str!("../../../../../examples/sprint-boat.toml");
const LATHE: &str = include_str!("../../../../../examples/heron-aircraft.toml");
const NONE: &str = include_str!("../../../../../examples/dipper-pump.toml");

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

#[test]
fn the_examples_are_what_they_say() {
    let build = read(MILL).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let mill = &build.machine_tools["west_mill"];
    assert_eq!((mill.control.units, mill.control.word), (ControlUnits::Mm, UnitsWord::G21));
    assert_eq!(mill.most_speed, q::<Speed>("4000 rpm"));
    assert_eq!(mill.least_speed, Some(q("60 rpm")));
    assert_eq!(mill.rapid, Some(CuttingSpeed::m_per_min(5.0)));
    assert_eq!(mill.fixture.held_by, HeldBy::Land);
    assert_eq!(mill.fixture.clamp_height, q("18 mm"));
    let cutter = MillCutter {
        diameter: q("16 mm"),
        corner_radius: q("0.4 mm"),
        teeth: 3,
        reach: q("40 mm"),
        holder_diameter: q("40 mm"),
    };
    assert_eq!(mill.tool, Tool::Mill(cutter));
    assert_eq!((mill.rough.feed, mill.rough.depth), (q("0.08 mm"), q("0.3 mm")));
    assert_eq!(mill.finish.stock, q("0.03 mm"));

    let build = read(LATHE).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let lathe = &build.machine_tools["old lathe"];
    assert_eq!(lathe.control.units, ControlUnits::Inch);
    assert_eq!((lathe.rapid, lathe.fixture.held_by), (None, HeldBy::Bore));
    let tool = LatheTool {
        x_reads: XReads::Diameter,
        nose_radius: q("0.031 in"),
        reach: q("1.5 in"),
        holder_width: q("0.75 in"),
    };
    assert_eq!(lathe.tool, Tool::Lathe(tool));
    assert_eq!(lathe.rough.cutting_speed, CuttingSpeed::ft_per_min(230.0));
    assert!(read(NONE).unwrap().machine_tools.is_empty());
}

#[test]
fn what_is_written_is_in_the_words_of_the_shop() {
    let text = write(&read(LATHE).unwrap());
    for line in [
        "[machine_tool.\"old lathe\"]\nkind = \"lathe\"\nunits = \"inch\"\nunits_word = \"G20\"\n",
        "[machine_tool.\"old lathe\".finish]\n",
        "x_reads = \"diameter\"\n",
    ] {
        assert!(text.contains(line), "{line:?} is not in\n{text}");
    }
    let text = write(&read(MILL).unwrap());
    assert!(text.contains("cutting_speed = \"70 m/min\"\n") && text.contains("teeth = 3\n"));
}

#[test]
fn one_value_is_changed_and_nothing_else() {
    for (place, value, before, after) in [
        ("machine_tool.west_mill.cutter.teeth", "4", "teeth = 3", "teeth = 4"),
        (
            "machine_tool.west_mill.finish.stock",
            "1 thou",
            "stock = \"30 um\"                       # left by the rough passes, taken after the \
             stop to measure",
            "stock = \"1 thou\"                       # left by the rough passes, taken after the \
             stop to measure",
        ),
    ] {
        let text = amend(MILL, place, value).unwrap();
        assert_eq!(changed(MILL, &text), [(before, after)], "{place}");
    }
    let said = amend(MILL, "machine_tool.est_mill.rapid", "4 m/min").unwrap_err().to_string();
    assert!(said.contains("did you mean west_mill?"), "{said}");
    let turned =
        [("machine_tool.west_mill.units", "inch"), ("machine_tool.west_mill.units_word", "G70")];
    let said = amend(MILL, turned[0].0, turned[0].1).unwrap_err().to_string();
    assert!(said.contains("G21 does not make the numbers inch"), "{said}");
    let build = read(&amend_all(MILL, &turned).unwrap()).unwrap();
    assert_eq!(build.machine_tools["west_mill"].control.word, UnitsWord::G70);
}

#[test]
fn a_kind_that_is_unreadable_makes_nothing_else_wrong() {
    let text = MILL.replace("kind = \"vertical mill\"", "kind = \"mill\"");
    let problems = read(&text).unwrap_err();
    let places: Vec<_> = problems.list().iter().map(|p| p.place.as_str()).collect();
    assert_eq!(places, ["machine_tool.west_mill.kind"]);
}

#[test]
fn every_place_of_a_form_is_known() {
    let places = named_places("machine_tool", "west mill");
    assert_eq!(places.len(), 22);
    assert_eq!(places[0], "machine_tool.\"west mill\".kind");
    assert_eq!(places[21], "machine_tool.\"west mill\".finish.stock");
}
