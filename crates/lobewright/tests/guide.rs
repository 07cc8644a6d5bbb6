//! The shop's guide: its ten pages, its pictures made again byte for byte, and what it quotes.
//! Rewrite the pictures, then look at what changed, with
//! `GUIDE_REWRITE_PICTURES=1 cargo test -p lobewright --test guide`.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use drawings::{
    Inspected, InspectedAt, Options, Shapes, Tip, Touch, Wanted, WantedAt, WidthStation,
};
use kernel::condition::{Counts, Part};
use kernel::geometry::Looks;
use kernel::readings::{Face, Kind};
use kernel::units::System;
use lobewright::{build_file, ops};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

const SYSTEM: System = System::Metric;
/// The least and the most words of a page.
const WORDS: std::ops::RangeInclusive<usize> = 250..=450;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

fn guide() -> String {
    fs::read_to_string(root().join("docs/GUIDE.md")).unwrap()
}

fn example(name: &str) -> PathBuf {
    root().join("examples").join(name).with_extension("toml")
}

fn read(name: &str) -> build_file::Build {
    build_file::read(&fs::read_to_string(example(name)).unwrap()).unwrap()
}

/// Every picture of the guide, by the name of its file.
static PICTURES: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let mut all = BTreeMap::new();
    for (name, svg) in wanted().into_iter().chain(planned()).chain(at_speed()).chain(balanced()) {
        assert!(all.insert(format!("{name}.svg"), svg).is_none(), "two pictures named {name}");
    }
    all
});

/// The named ones of the pictures of a build.
fn named(of: &str, pictures: Vec<ops::Picture>, names: &[&str]) -> Vec<(String, String)> {
    let found: Vec<(String, String)> = pictures
        .into_iter()
        .filter(|picture| names.contains(&picture.name.as_str()))
        .map(|picture| (format!("{of}-{}", picture.name), picture.svg))
        .collect();
    assert_eq!(found.len(), names.len(), "{of}: not all of {names:?} are drawn");
    found
}

/// How a used rotor of the pilot boat is inspected.
fn inspected() -> (String, String) {
    let rotor = ops::station_shapes(&read("petrel-worn").engine).rotor;
    let shapes = Shapes { rotor, ..Shapes::default() };
    let counts = Counts { rotors: 2, mains: 3 };
    let at = InspectedAt::on_card(Part::Rotor, "apex_groove.middle.1", counts, shapes).unwrap();
    let name = "inspected-apex-groove".to_owned();
    let model = Inspected { serial: "PR-2".to_owned(), at, notes: Vec::new() };
    let svg = model.svg(&Options { system: SYSTEM, id: Some(name.clone()) });
    (name, svg)
}

/// Where readings of the sprint boat and of the survey aircraft are taken.
fn wanted() -> Vec<(String, String)> {
    let shapes = ops::station_shapes(&read("sprint-boat").engine);
    let worn = ops::station_shapes(&read("heron-aircraft").engine);
    let tip = |kind, tip| WantedAt::Tip { kind, tip, shape: shapes.rotor.clone() };
    let side = |looks, track| WantedAt::SideWear { looks, track, shape: worn.side.clone() };
    let station = WidthStation::new(2, 3).unwrap();
    [
        ("mass", "R-114", WantedAt::Mass { shape: shapes.rotor.clone() }),
        ("land-width", "R-114", tip(Kind::LandWidth, Tip::Two)),
        ("tip-width", "R-114", tip(Kind::TipWidth, Tip::Three)),
        ("gear-step", "R-114", tip(Kind::Step(Face::Gear), Tip::Two)),
        ("plain-step", "R-114", tip(Kind::Step(Face::Plain), Tip::Two)),
        ("run-out", "R-114", tip(Kind::Runout(Face::Gear), Tip::One)),
        ("housing-width", "H-31", WantedAt::Width { station, bore: shapes.bore.clone() }),
        ("land-wear", "HS-1", side(Looks::Rear, Touch::Land)),
        ("tip-wear", "HS-1", side(Looks::Rear, Touch::Tip)),
    ]
    .into_iter()
    .map(|(name, serial, at)| {
        let name = format!("wanted-{name}");
        let model = Wanted { serial: serial.to_owned(), at, notes: Vec::new() };
        let options = Options { system: SYSTEM, id: Some(name.clone()) };
        (name, model.svg(&options))
    })
    .chain([inspected()])
    .collect()
}

fn planned() -> Vec<(String, String)> {
    let of = |name: &str, pictures: &[&str]| {
        let report = ops::plan(&read(name), SYSTEM).unwrap();
        named(name, ops::pictures(&report, SYSTEM), pictures)
    };
    let boat = ["1-R-114-gear-face", "1-R-114-window", "1-R-114-stock", "1-R-114-side-gap"];
    let mut all = of("sprint-boat", &boat);
    all.extend(of("dipper-pump", &["2-DR-2-gear-face"]));
    all.extend(of("teal-pump", &["1-TR-5-gear-face"]));
    all.extend(of("heron-aircraft", &["1-HR-9-side-gap"]));
    all
}

fn at_speed() -> Vec<(String, String)> {
    let name = "shelduck-hydroplane";
    // As the command asks where nothing else is said.
    let call = ops::SpeedCall { speed: None, boost: None, state: None, trace: None };
    let asked = ops::SpeedAsked { call, draws: 1024, seed: 1, speeds: 40 };
    let mut watch = ops::Watch { drawn: &mut |_| (), swept: &|| (), go_on: &|| true };
    let (plan, report) = ops::speed_file(&example(name), &asked, SYSTEM, &mut watch).unwrap();
    let pictures = ["speed-gap", "1-SR-21-tip-budget", "1-SR-21-wear-front", "1-SR-21-wear-rear"];
    named(name, ops::speed_pictures(&report, &plan, SYSTEM), &pictures)
}

fn balanced() -> Vec<(String, String)> {
    let name = "shelduck-hydroplane";
    let ops::Balanced { build, plan, report } = ops::balance_file(&example(name), SYSTEM).unwrap();
    let pictures = ["balance-front-vectors", "balance-front-counterweight"];
    named(name, ops::balance_pictures(&build, &plan, &report, SYSTEM), &pictures)
}

fn folder() -> PathBuf {
    root().join("docs/guide")
}

#[test]
fn every_picture_is_what_is_drawn_today() {
    let rewrite = std::env::var_os("GUIDE_REWRITE_PICTURES").is_some();
    let mut differ = Vec::new();
    for (name, svg) in PICTURES.iter() {
        let path = folder().join(name);
        if rewrite {
            fs::create_dir_all(folder()).unwrap();
            fs::write(&path, svg).unwrap();
        } else if fs::read_to_string(&path).unwrap_or_default() != *svg {
            differ.push(name);
        }
    }
    assert!(
        differ.is_empty(),
        "docs/guide has other pictures than are drawn: {differ:?}; how to rewrite them is said \
         at the start of this file"
    );
}

#[test]
fn the_folder_has_the_guides_pictures_and_no_others() {
    let drawn: BTreeSet<String> = PICTURES.keys().cloned().collect();
    let there: BTreeSet<String> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(there, drawn);
    let shown: BTreeSet<String> = images(&guide()).into_iter().map(|image| image.file).collect();
    assert_eq!(shown, drawn, "the guide shows every picture, and shows no other");
}

/// Pictures that a page puts into itself keep their names apart.
#[test]
fn no_two_pictures_share_a_name_inside() {
    let mut roots = BTreeSet::new();
    for (name, svg) in PICTURES.iter() {
        let document = roxmltree::Document::parse(svg).unwrap();
        let id = document.root_element().attribute("id").unwrap().to_owned();
        assert!(roots.insert(id.clone()), "{name}: {id}");
    }
}

/// An image of the guide.
struct Image {
    alternative: String,
    file: String,
}

fn images(text: &str) -> Vec<Image> {
    text.split("![")
        .skip(1)
        .map(|rest| {
            let (alternative, rest) = rest.split_once("](guide/").unwrap();
            let (file, _) = rest.split_once(')').unwrap();
            Image { alternative: alternative.to_owned(), file: file.to_owned() }
        })
        .collect()
}

/// Heading and text of every section.
fn sections(text: &str) -> Vec<(&str, &str)> {
    text.split("\n## ").skip(1).map(|part| part.split_once('\n').unwrap()).collect()
}

#[test]
fn there_are_ten_illustrated_pages_and_how_to_install_it() {
    let guide = guide();
    let sections = sections(&guide);
    assert_eq!(sections.len(), 12);
    for (n, (heading, page)) in sections[..10].iter().enumerate() {
        assert!(heading.starts_with(&format!("{} ", n + 1)), "{heading}");
        assert!(!images(page).is_empty(), "{heading}: no picture");
        let prose = page.lines().filter(|line| !line.starts_with("!["));
        let words = prose.flat_map(str::split_whitespace).count();
        assert!(WORDS.contains(&words), "{heading}: {words} words");
    }
    assert_eq!(sections[10].0, "Who may do what");
    assert_eq!(sections[11].0, "Installing it in a shop");
}

#[test]
fn every_picture_is_told_in_words() {
    let mut told = BTreeSet::new();
    for image in images(&guide()) {
        let words = image.alternative.split_whitespace().count();
        assert!(words >= 8, "{}: {}", image.file, image.alternative);
        assert!(told.insert(image.alternative.clone()), "told twice: {}", image.alternative);
    }
}

/// Plain CommonMark, as the app shows it: no HTML, every fence closed, every line of a table with
/// the cells of its head.
#[test]
fn the_guide_is_plain() {
    let guide = guide();
    let mut in_code = false;
    let mut cells = None;
    for line in guide.lines() {
        if line.starts_with("```") {
            in_code = !in_code;
        } else if !in_code {
            assert!(!line.contains('<') && !line.replace("![", "").contains('!'), "{line}");
            let bars = line.starts_with('|').then(|| line.matches('|').count());
            assert!(bars.is_none() || cells.is_none() || cells == bars, "{line}");
            cells = bars;
        }
    }
    assert!(!in_code);
}

/// The lines of fenced blocks of a kind.
fn fenced<'g>(guide: &'g str, kind: &str) -> Vec<&'g str> {
    guide
        .split(&format!("\n```{kind}\n"))
        .skip(1)
        .map(|rest| rest.split_once("\n```").unwrap().0)
        .collect()
}

fn lobewright(words: &[&str]) -> String {
    let run = Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(words)
        .current_dir(root())
        .output()
        .unwrap();
    String::from_utf8(run.stdout).unwrap()
}

fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_the_guide_quotes_is_said_by_the_program() {
    let said: Vec<String> = ["sprint-boat", "dipper-pump", "teal-pump", "heron-aircraft"]
        .map(|name| vec!["plan".to_owned(), format!("examples/{name}.toml")])
        .into_iter()
        .chain([
            vec!["speed".to_owned(), "examples/shelduck-hydroplane.toml".to_owned()],
            vec!["balance".to_owned(), "examples/shelduck-hydroplane.toml".to_owned()],
        ])
        .map(|words| flowing(&lobewright(&words.iter().map(String::as_str).collect::<Vec<_>>())))
        .collect();
    let guide = guide();
    let quotes = fenced(&guide, "text");
    assert!(quotes.len() >= 5, "{quotes:?}");
    for quote in quotes {
        let quote = flowing(quote);
        assert!(said.iter().any(|all| all.contains(&quote)), "nothing says: {quote}");
    }
}

/// Every command that the guide names is one; `serve` has tests of its own.
#[test]
fn commands_of_the_guide_are_known() {
    let help = lobewright(&["--help"]);
    let known: BTreeSet<&str> =
        help.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next()).collect();
    let guide = guide();
    let mut asked = 0;
    for line in fenced(&guide, "sh").into_iter().flat_map(str::lines) {
        let Some(rest) = line.trim().strip_prefix("lobewright ") else { continue };
        let command = rest.split(' ').next().unwrap();
        assert!(known.contains(command) || command == "serve", "{line}");
        asked += 1;
    }
    assert!(asked >= 8, "{asked}");
}

/// What the service files start is a command, with options that it knows.
#[test]
fn services_start_what_there_is() {
    let mut started = 0;
    for file in ["lobewright.service", "lobewright-backup.service"] {
        let text = fs::read_to_string(root().join("install").join(file)).unwrap();
        let words: Vec<&str> = text
            .lines()
            .find_map(|line| line.strip_prefix("ExecStart=/usr/local/bin/lobewright "))
            .unwrap()
            .split(' ')
            .collect();
        let help = lobewright(&[words[0], "--help"]);
        assert!(help.contains("Usage: lobewright"), "{file}: {help}");
        for option in words.iter().filter(|word| word.starts_with("--")) {
            assert!(help.contains(option), "{file}: {option}");
        }
        started += 1;
    }
    assert_eq!(started, 2);
}
