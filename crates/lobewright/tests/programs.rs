//! `program` from outside: what is written and said, and what is not written.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use std::fs;
use std::path::PathBuf;
use std::process::Command;
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../examples/sprint-boat.toml");
const HYDROPLANE: &str = include_str!("../../../examples/shelduck-hydroplane.toml");

/// A folder of its own for one test; the command runs in it.
struct Desk(TempDir);

impl Desk {
    fn with(text: &str) -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        fs::write(desk.path("boat.toml"), text).unwrap();
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names of what stands in a folder.
    fn names(&self, folder: &str) -> Vec<String> {
        let Ok(read) = fs::read_dir(self.path(folder)) else { return Vec::new() };
        let mut names: Vec<String> =
            read.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// `program boat.toml --out nc --grid 0.5mm` with further words: exit status, output, errors.
    fn program(&self, words: &[&str]) -> (i32, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_lobewright"))
            .args(["program", "boat.toml", "--out", "nc"])
            .args(words)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
    }
}

const COARSE: [&str; 2] = ["--grid", "0.5 mm"];

#[test]
fn a_build_gets_its_programs_and_what_is_signed_before_they_run() {
    let desk = Desk::with(BOAT);
    let (code, said, wrong) = desk.program(&COARSE);
    assert_eq!((code, wrong.as_str()), (0, ""));
    assert_eq!(
        desk.names("nc"),
        [
            "1-R-114-gear-set-up.txt",
            "1-R-114-gear.nc",
            "1-R-114-plain-set-up.txt",
            "1-R-114-plain.nc",
            "2-R-97-gear-set-up.txt",
            "2-R-97-gear.nc",
            "2-R-97-plain-set-up.txt",
            "2-R-97-plain.nc",
        ]
    );
    assert!(
        said.contains("nc/1-R-114-gear.nc\n  rotor R-114, gear face up, on west_mill: "),
        "{said}"
    );
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    let program = desk.text("nc/1-R-114-plain.nc");
    assert!(program.starts_with("%\n(ROTOR R-114, PLAIN FACE UP)\n(BUILD MERGANSER, BOAT 7)\n"));
    assert!(program.ends_with("M30\n%\n"));
    let list = desk.text("nc/1-R-114-plain-set-up.txt");
    assert!(
        list.starts_with("Set-up list: rotor R-114, plain face up\nBuild: Merganser, boat 7.\n")
    );
    let flowing = list.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Right face up: the plain face, the one without the gear. Tip 1 carries the mark and lies to +X",
        "tips 1, 2, 3 run counter-clockwise",
        "Held: the part rests on the land of the face that is down, wiped clean, on the ring",
        "nothing stands further from the axis than 34.000 mm (1.3386 in)",
        "the outer edge of the land towards tip 1, and Z set to 0.0645 mm there",
        "Tool and offset measured: 16.000 mm (0.6299 in) over the edges",
        "Dry pass watched from its first move to its end",
        // The planned width, and the stock of the finishing pass above it.
        "with the gear face finished, part at 20 \u{b0}C: 79.818 mm (3.1424 in) at tip 1",
        "signed ____________",
        "licensed practice come first",
    ] {
        assert!(flowing.contains(part), "{part:?} is not in\n{list}");
    }
    assert!(list.lines().all(|line| line.chars().count() <= 80), "{list}");
    // The hash of the file that it was made from, in both.
    let hash =
        |text: &str| text.lines().find_map(|l| Some(l.strip_prefix("(HASH ")?[..12].to_owned()));
    let hash = hash(&program).unwrap();
    assert!(hash.chars().all(|digit| digit.is_ascii_hexdigit()));
    assert!(flowing.contains(&format!("made from plan {}", hash.to_lowercase())), "{list}");
}

#[test]
fn one_rotor_is_enough_and_the_folder_is_of_one_build() {
    let desk = Desk::with(HYDROPLANE);
    let words = [COARSE[0], COARSE[1], "--machine", "long lathe", "--rotor", "SR-22"];
    assert_eq!(desk.program(&words).0, 0);
    let names = [
        "2-SR-22-gear-set-up.txt",
        "2-SR-22-gear.nc",
        "2-SR-22-plain-set-up.txt",
        "2-SR-22-plain.nc",
    ];
    assert_eq!(desk.names("nc"), names);
    let before = desk.text("nc/2-SR-22-gear.nc");
    assert!(before.contains("(X IS A DIAMETER)"));
    // The same build again, planned otherwise: its files are replaced.
    let changed = HYDROPLANE.replacen("= \"10 um\"", "= \"9 um\"", 1);
    fs::write(desk.path("boat.toml"), changed).unwrap();
    assert_eq!(desk.program(&words).0, 0);
    let after = desk.text("nc/2-SR-22-gear.nc");
    assert!(after != before, "another file has another hash");
    // Another build: nothing is written.
    let other = HYDROPLANE.replacen("Shelduck, hydroplane", "Somebody else's", 1);
    fs::write(desk.path("boat.toml"), other).unwrap();
    let (code, said, wrong) = desk.program(&words);
    assert_eq!((code, said.as_str()), (2, ""));
    assert_eq!(
        wrong,
        "lobewright: nc/2-SR-22-gear.nc is there already and is of another build; choose another \
         folder\n"
    );
    assert_eq!(desk.text("nc/2-SR-22-gear.nc"), after);
}

#[test]
fn what_cannot_be_made_is_told_and_nothing_is_written() {
    let without = &BOAT[..BOAT.find("\n[machine_tool.").unwrap()];
    let slow = BOAT.replacen("most_speed = \"4000 rpm\"", "most_speed = \"1000 rpm\"", 1);
    let hopeless = BOAT.replacen("land_cut_limit = \"0.15 mm\"", "land_cut_limit = \"0.02 mm\"", 1);
    for (text, words, code, starts) in [
        (
            BOAT,
            &["--machine", "east_mill"][..],
            2,
            "boat.toml: no machine tool \"east_mill\" in the build file; there are west_mill; did you mean west_mill?\n",
        ),
        (
            without,
            &[],
            2,
            "boat.toml: the build file has no machine tool; add a [machine_tool.NAME] table",
        ),
        (
            BOAT,
            &["--rotor", "R-7"],
            2,
            "boat.toml: no rotor \"R-7\" in this build; there are R-114, R-97\n",
        ),
        (
            BOAT,
            &["--grid", "0.01 mm"],
            2,
            "--grid: \"0.01 mm\" is less than 0.05 mm; expected a distance between nodes",
        ),
        (
            &slow,
            &["--rotor", "R-97"],
            2,
            "boat.toml: rotor R-97, gear face: machine_tool.west_mill.rough.cutting_speed: a cutting speed of 70.0 m/min",
        ),
        (
            &hopeless,
            &[],
            1,
            "boat.toml: the set has no plan: nothing is cut before it has one\nlobewright: ",
        ),
    ] {
        let desk = Desk::with(text);
        let (got, said, wrong) = desk.program(words);
        assert_eq!((got, said.as_str()), (code, ""), "{wrong}");
        assert!(wrong.starts_with(&format!("lobewright: {starts}")), "{wrong}");
        assert!(desk.names("nc").is_empty());
    }
}
