//! The command line from outside: what is said, where, and with which exit status. What a plan
//! says of a build is not frozen here, only how it begins.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use serde_json::Value;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");

/// A folder of its own for one test; the command runs in it, so that files have short names.
struct Desk(TempDir);

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lobewright"));
        command.args(words).current_dir(self.0.path()).env("COLUMNS", "80");
        command
    }

    fn run(&self, words: &[&str]) -> Said {
        Said::of(self.command(words).output().unwrap())
    }
}

/// What a call said.
#[derive(Debug)]
struct Said {
    code: i32,
    out: String,
    err: String,
}

impl Said {
    fn of(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    #[track_caller]
    fn is(&self, code: i32, out: &str, err: &str) {
        assert_eq!((self.code, self.out.as_str(), self.err.as_str()), (code, out, err));
    }
}

/// The example with one piece of it replaced.
fn with(from: &str, to: &str) -> String {
    assert_eq!(EXAMPLE.matches(from).count(), 1, "{from}");
    EXAMPLE.replace(from, to)
}

/// A right file whose set has no plan: the lands may not be cut far enough.
fn hopeless() -> String {
    with("land_cut_limit = \"0.15 mm\"", "land_cut_limit = \"0.02 mm\"")
}

fn wrong() -> String {
    with("\"79.922 mm\"", "79.922")
}

const WRONG_SAID: &str = "\
boat.toml:48:28: rotor.R-114.land_width.2: the bare number 79.922 where a unit belongs; expected \
a width from 20 mm to 250 mm, such as \"79.915 mm\"
   |
48 | land_width = [\"79.915 mm\", 79.922, \"79.918 mm\"]      # at tips 1, 2, 3
   |                            ^^^^^^
   |
   = hint: write \"79.922 mm\" if that is meant

1 problem in boat.toml
";

const MISSING_SAID: &str = "lobewright: gone.toml: there is no such file\n";

#[test]
fn check_says_what_a_file_holds() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    desk.run(&["check", "boat.toml"]).is(
        0,
        "boat.toml: Merganser, boat 7\n  2 rotors in 2 housings, spec \"sprint, boosted\"\n  \
         nothing wrong with its form; whether the readings agree is for `lobewright plan`\n",
        "",
    );
    // A file whose set has no plan is still a right file.
    desk.put("boat.toml", &hopeless());
    assert_eq!(desk.run(&["check", "boat.toml"]).code, 0);
}

#[test]
fn check_and_plan_say_the_same_of_a_wrong_file_and_of_none() {
    let desk = Desk::new();
    desk.put("boat.toml", &wrong());
    for words in [&["check", "boat.toml"], &["plan", "boat.toml"]] {
        desk.run(words).is(2, "", WRONG_SAID);
    }
    // A machine that asked for JSON gets JSON, and the same on standard error.
    let said = desk.run(&["plan", "boat.toml", "--json"]);
    assert_eq!((said.code, said.err.as_str()), (2, WRONG_SAID));
    let json: Value = serde_json::from_str(&said.out).unwrap();
    assert!(json["problems"][0].as_str().unwrap().starts_with("48:28: rotor.R-114"));
    for words in [&["check", "gone.toml"], &["plan", "gone.toml"]] {
        desk.run(words).is(2, "", MISSING_SAID);
    }
    // No text at all.
    fs::write(desk.path("boat.toml"), [0xff, 0xfe, 0x00]).unwrap();
    let said = desk.run(&["plan", "boat.toml"]);
    said.is(2, "", "lobewright: boat.toml: it is not text in UTF-8\n");
}

#[test]
fn an_assembly_sheet_says_what_was_read_and_which_spacer_it_takes() {
    const HYDROPLANE: &str = include_str!("../../../examples/shelduck-hydroplane.toml");
    let desk = Desk::new();
    desk.put("boat.toml", HYDROPLANE);
    let said = desk.run(&["assembly", "boat.toml"]);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert!(said.out.starts_with("Assembly sheet: Shelduck, hydroplane\n"), "{}", said.out);
    assert!(said.out.contains("put in the spacer of 5.940 mm"), "{}", said.out);
    let json: Value =
        serde_json::from_str(&desk.run(&["assembly", "boat.toml", "--json"]).out).unwrap();
    assert_eq!(json["verdict"], "does not conform");
    assert_eq!(json["lines"].as_array().unwrap().len(), 22);
    // With that spacer in, and the end play read again.
    let places = ["assembled.shaft.SE-3.spacer", "assembled.shaft.SE-3.end_play"];
    let entered = desk.run(&["enter", "boat.toml", places[0], "5.94 mm", places[1], "57 um"]);
    assert_eq!(entered.code, 0, "{entered:?}");
    let said = desk.run(&["--inch", "assembly", "boat.toml"]);
    assert_eq!(said.code, 0);
    assert!(said.out.contains("reads 2.2 thou (57 \u{b5}m)"), "{}", said.out);
    // A file that asks nothing and has read nothing.
    desk.put("boat.toml", EXAMPLE);
    let said = desk.run(&["assembly", "boat.toml"]);
    assert_eq!(said.code, 0);
    assert!(said.out.contains("not read") && said.out.contains("no limit given"), "{}", said.out);
    desk.put("boat.toml", &wrong());
    desk.run(&["assembly", "boat.toml"]).is(2, "", WRONG_SAID);
    desk.run(&["assembly", "gone.toml"]).is(2, "", MISSING_SAID);
}

#[test]
fn a_plan_begins_with_its_build_and_ends_with_its_status() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    for words in [
        &["plan", "boat.toml"][..],
        &["--inch", "plan", "boat.toml"],
        &["plan", "--inch", "boat.toml"],
    ] {
        let said = desk.run(words);
        assert_eq!((said.code, said.err.as_str()), (0, ""));
        assert!(said.out.starts_with("Merganser, boat 7\n"), "{}", said.out);
    }
    desk.put("boat.toml", &hopeless());
    let said = desk.run(&["plan", "boat.toml"]);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert!(said.out.starts_with("Merganser, boat 7\n"));
    for named in ["land_cut_limit", "R-114", "R-97"] {
        assert!(said.out.contains(named), "{named}: {}", said.out);
    }
}

#[test]
fn sizes_that_make_no_engine_are_a_wrong_file() {
    let desk = Desk::new();
    // No mistake in any one figure, but the flanks would meet before the tip.
    desk.put("boat.toml", &with("running_gap = \"0.5 mm\"", "running_gap = \"2.9 mm\""));
    let said = desk.run(&["plan", "boat.toml"]);
    assert_eq!((said.code, said.out.as_str()), (2, ""), "{said:?}");
    assert!(said.err.starts_with("lobewright: boat.toml: engine: "), "{}", said.err);
    assert_eq!(said.err.lines().count(), 1);
}

#[test]
fn json_is_one_value_with_the_status_in_it() {
    let desk = Desk::new();
    for (text, code, feasible) in [(EXAMPLE.to_owned(), 0, true), (hopeless(), 1, false)] {
        desk.put("boat.toml", &text);
        let said = desk.run(&["plan", "boat.toml", "--json"]);
        assert_eq!((said.code, said.err.as_str()), (code, ""));
        let json: Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!(json["format"], 1);
        assert_eq!(json["build"], "Merganser, boat 7");
        assert_eq!(json["feasible"], feasible);
        assert_eq!(json["limiting"].as_array().unwrap().is_empty(), feasible);
        assert_eq!(json["rotors"].as_array().unwrap().len(), 2);
    }
}

#[test]
fn pictures_are_whole_and_have_their_data() {
    let desk = Desk::new();
    // Names of a shop's own must not break a file's name or its markup.
    desk.put(
        "boat.toml",
        &EXAMPLE.replace("R-114", "R<1>&\\\"/../x").replace("H-31", "H 3\u{b5}'"),
    );
    let said = desk.run(&["plan", "boat.toml", "--svg", "new/pictures"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""));
    let folder = desk.path("new/pictures");
    let mut names: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let (svg, csv): (Vec<&String>, Vec<&String>) = names.iter().partition(|n| n.ends_with(".svg"));
    assert!(
        said.out.ends_with(&format!("\n{} pictures with their data in new/pictures\n", svg.len()))
    );
    assert!(svg.len() >= 4 && svg.len() == csv.len(), "{names:?}");
    for name in svg {
        let text = fs::read_to_string(folder.join(name)).unwrap();
        let document = roxmltree::Document::parse(&text).unwrap();
        assert_eq!(document.root_element().tag_name().name(), "svg", "{name}");
        let data = fs::read_to_string(folder.join(name.replace(".svg", ".csv"))).unwrap();
        assert!(data.lines().count() > 1, "{name}");
        assert!(!text.contains("NaN") && !data.contains("NaN"), "{name}");
    }
    // Only in that folder.
    let mut here: Vec<_> =
        fs::read_dir(desk.0.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    here.sort();
    assert_eq!(here, ["boat.toml", "new"]);
}

#[test]
fn pictures_that_cannot_be_written_are_a_wrong_call() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    desk.put("taken", "");
    let said = desk.run(&["plan", "boat.toml", "--svg", "taken"]);
    said.is(2, "", "lobewright: taken: File exists (os error 17)\n");
    let said = desk.run(&["plan", "boat.toml", "boat.toml", "--svg", "pictures"]);
    said.is(2, "", "lobewright: --svg draws one build; name its file alone\n");
}

#[test]
fn cards_say_by_their_status_whether_a_part_is_rejected() {
    let desk = Desk::new();
    desk.put("worn.toml", include_str!("../../../examples/petrel-worn.toml"));
    desk.put("boat.toml", EXAMPLE);
    desk.put("wrong.toml", &wrong());
    let said = desk.run(&["cards", "worn.toml"]);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert!(
        said.out.starts_with("Cards of the used parts: Petrel, pilot boat 2\n"),
        "{}",
        said.out
    );
    let said = desk.run(&["cards", "worn.toml", "--json"]);
    let json: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!((said.code, json["cards"].as_array().unwrap().len()), (1, 13));
    assert_eq!(desk.run(&["cards", "boat.toml"]).code, 0);
    let said = desk.run(&["cards", "wrong.toml", "--json"]);
    assert_eq!(said.code, 2);
    let json: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(json["file"], "wrong.toml");
    let none = desk.run(&["cards", "none.toml"]);
    none.is(2, "", "lobewright: none.toml: there is no such file\n");
}

#[test]
fn a_folder_is_listed_by_name_and_the_worst_counts() {
    let desk = Desk::new();
    let none = desk.run(&["plan", "."]);
    none.is(2, "", "lobewright: no build file there; they end in .toml\n");
    desk.put("c right.toml", EXAMPLE);
    desk.put("notes.txt", "not a build");
    assert_eq!(desk.run(&["plan", "."]).code, 0);
    desk.put("b hopeless.toml", &hopeless());
    assert_eq!(desk.run(&["plan", "."]).code, 1);
    desk.put("a wrong.toml", &wrong());
    let said = desk.run(&["plan", "."]);
    assert_eq!((said.code, said.err.as_str()), (2, ""));
    let lines: Vec<&str> = said.out.lines().collect();
    assert_eq!(lines.len(), 5);
    assert_eq!(lines[0], "a wrong.toml                 not read: 1 problem, first at line 48");
    assert!(
        lines[1].starts_with("b hopeless.toml              no plan: R-114: too much off a land")
    );
    assert!(lines[2].starts_with("c right.toml                 planned to the spec's figures, "));
    assert_eq!(&lines[3..], ["", "3 builds: 1 planned, 1 without a plan, 1 not read"]);
    assert!(lines.iter().all(|line| line.chars().count() <= 80));

    let said = desk.run(&["plan", ".", "--json"]);
    assert_eq!((said.code, said.err.as_str()), (2, ""));
    let json: Value = serde_json::from_str(&said.out).unwrap();
    let list = json.as_array().unwrap();
    assert_eq!(list.len(), 3);
    assert_eq!(list[0]["file"], "./a wrong.toml");
    let problem = list[0]["problems"][0].as_str().unwrap();
    assert!(problem.starts_with("48:28: "), "{problem}");
    assert_eq!(list[1]["plan"]["feasible"], false);
    assert_eq!(list[2]["plan"]["feasible"], true);
}

#[test]
fn several_files_are_listed_in_the_order_of_the_call() {
    let desk = Desk::new();
    desk.put("b.toml", EXAMPLE);
    desk.put("a.toml", EXAMPLE);
    let said = desk.run(&["plan", "b.toml", "a.toml", "gone.toml"]);
    assert_eq!((said.code, said.err.as_str()), (2, ""));
    let names: Vec<&str> = said.out.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert_eq!(names, ["b.toml", "a.toml", "gone.toml", "3"]);
    assert!(said.out.contains("not read: there is no such file"));
    // One after the other gives what all at once give.
    let alone = desk.run(&["plan", "a.toml", "--json"]);
    let both = desk.run(&["plan", "b.toml", "a.toml", "--json"]);
    let (alone, both): (Value, Value) =
        (serde_json::from_str(&alone.out).unwrap(), serde_json::from_str(&both.out).unwrap());
    // A list leaves out the tables of tilt, which take longer than all the rest.
    let mut alone = alone;
    for rotor in alone["rotors"].as_array_mut().unwrap() {
        assert!(rotor["room"]["least_tilt"].is_array());
        rotor["room"]["least_tilt"] = Value::Null;
        rotor["room"]["tilt_at_least_gap"] = Value::Null;
    }
    assert!(both[1]["plan"] == alone);
}

#[test]
fn enter_changes_one_value_and_nothing_else() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    let place = "rotor.R-114.land_width.2";
    desk.run(&["enter", "boat.toml", place, "79.921 mm"]).is(
        0,
        "boat.toml: entered\n  rotor.R-114.land_width.2 = 79.921 mm\n",
        "",
    );
    assert_eq!(desk.text("boat.toml"), with("\"79.922 mm\"", "\"79.921 mm\""));
    assert!(!desk.path("boat.toml.new").exists());
    // Several at once, that need each other.
    let list = r#"["79.788 mm", "79.788 mm", "79.788 mm"]"#;
    let steps = r#"["127 um", "127 um", "127 um"]"#;
    let after = |key: &str| format!("rotor.R-97.after.{key}");
    let (width, gear, plain) = (after("land_width"), after("gear_step"), after("plain_step"));
    let one = desk.run(&["enter", "boat.toml", &width, list]);
    assert_eq!((one.code, one.out.as_str()), (2, ""));
    let all = desk.run(&["enter", "boat.toml", &width, list, &gear, steps, &plain, steps]);
    assert_eq!((all.code, all.err.as_str()), (0, ""));
    let text = desk.text("boat.toml");
    for line in EXAMPLE.lines().filter(|line| line.contains('#') && !line.contains("79.922")) {
        assert!(text.contains(line), "{line}");
    }
    let said = desk.run(&["check", "boat.toml"]);
    assert!(said.out.contains("2 rotors in 2 housings, 1 measured after cutting"), "{}", said.out);
}

#[test]
fn enter_refuses_what_would_be_wrong_and_leaves_the_file() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    let cases: [(&[&str], &str); 5] = [
        (
            &["rotor.R-114.land_width.2", "79.921"],
            "lobewright: boat.toml: the change is refused, for the file would then be wrong:\n",
        ),
        (
            &["rotor.R-115.land_width.2", "79.921 mm"],
            "lobewright: boat.toml: nothing is at rotor.R-115.land_width.2: ",
        ),
        (
            &["spec.step.targe", "5 thou"],
            "lobewright: boat.toml: nothing is at spec.step.targe: no key \"targe\"; did you mean \
             target?\n",
        ),
        (
            &["spec.match", "8 um", "spec.step"],
            "lobewright: spec.step has no value; give a place and its value in turn\n",
        ),
        // The first is right, the second is not: neither is entered.
        (
            &["spec.match", "9 um", "spec.step.target", "5 mil"],
            "lobewright: boat.toml: the change is refused, for the file would then be wrong:\n",
        ),
    ];
    for (words, said) in cases {
        let got = desk.run(&[&["enter", "boat.toml"], words].concat());
        assert_eq!((got.code, got.out.as_str()), (2, ""), "{words:?}");
        assert!(got.err.starts_with(said), "{}", got.err);
        assert_eq!(desk.text("boat.toml"), EXAMPLE);
    }
    desk.run(&["enter", "gone.toml", "spec.match", "8 um"]).is(2, "", MISSING_SAID);
    assert_eq!(fs::read_dir(desk.0.path()).unwrap().count(), 1);
}

#[test]
fn help_is_said_on_output_and_a_wrong_call_on_error() {
    let desk = Desk::new();
    for (words, first) in [
        (&["--help"][..], "The workbench of people who build rotary engines."),
        (&["check", "--help"], "Read a build file and say everything that is wrong with it"),
        (&["plan", "--help"], "Work out what to cut from each rotor; with readings after cutting,"),
        (&["enter", "--help"], "Put a value into a build file, in place, comments kept"),
    ] {
        let said = desk.run(words);
        assert_eq!((said.code, said.err.as_str()), (0, ""), "{words:?}");
        assert!(said.out.starts_with(first), "{}", said.out);
        assert!(said.out.contains("\nUsage: lobewright "), "{}", said.out);
        for line in said.out.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
    let all = desk.run(&["--help"]).out;
    for command in ["check", "plan", "enter"] {
        assert!(all.contains(&format!("\n  {command} ")), "{command}");
    }
    assert!(all.contains(
        "Exit status: 0 planned, 1 no plan for the set, 2 the file or the call is wrong."
    ));
    desk.run(&["--version"]).is(0, concat!("lobewright ", env!("CARGO_PKG_VERSION"), "\n"), "");
    for (words, first) in [
        (&["frob"][..], "error: unrecognized subcommand 'frob'\n"),
        (&["plan"], "error: the following required arguments were not provided:\n  <PATH>...\n"),
        (&["plan", "x.toml", "--jsn"], "error: unexpected argument '--jsn' found\n"),
        (&[], "The workbench of people who build rotary engines.\n"),
    ] {
        let said = desk.run(words);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words:?}");
        assert!(said.err.starts_with(first), "{}", said.err);
    }
}

/// Reads one line of a call and goes away, as `| head -1` does. Enough is planned that its text
/// is more than a pipe holds, so that the call must meet the closed end.
fn read_one_line(desk: &Desk, words: &[&str]) -> (String, i32, String) {
    let mut child =
        desk.command(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut reader = BufReader::with_capacity(64, child.stdout.take().unwrap());
    let mut line = String::new();
    reader.read_line(&mut line).unwrap();
    drop(reader);
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    (line, child.wait().unwrap().code().unwrap(), err)
}

/// More than a pipe holds on the systems that this runs on.
const PIPE: usize = 65_536;

#[test]
fn a_reader_that_goes_away_is_a_quiet_end() {
    let desk = Desk::new();
    for (text, code) in [(EXAMPLE.to_owned(), 0), (hopeless(), 1)] {
        desk.put("boat.toml", &text);
        let whole = desk.run(&["plan", "boat.toml", "--json"]);
        let words: &[&str] = &["plan", "boat.toml", "boat.toml", "boat.toml", "--json"];
        assert!(whole.out.len() * 3 > PIPE, "{}", whole.out.len());
        assert_eq!(read_one_line(&desk, words), ("[\n".into(), code, String::new()));
        let text = read_one_line(&desk, &["plan", "boat.toml"]);
        assert_eq!(text, ("Merganser, boat 7\n".into(), code, String::new()));
    }
    let help = read_one_line(&desk, &["plan", "--help"]);
    assert_eq!((help.1, help.2.as_str()), (0, ""));
}

#[test]
fn the_example_in_the_repository_is_planned_where_it_lies() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/sprint-boat.toml");
    let said = Desk::new().run(&["plan", example.to_str().unwrap()]);
    assert_eq!((said.code, said.err.as_str()), (0, ""));
}

#[test]
fn a_build_goes_into_the_shops_file_and_comes_back() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    let said = "boat.toml: build 1 of shop.db\n  35 readings taken, 134 places new or changed in \
                its file, 0 taken out\n  4 parts that the shop did not know\n";
    let call = ["import", "shop.db", "boat.toml", "--by", "Ada"];
    desk.run(&call).is(0, &format!("shop.db: a new shop's file\n{said}"), "");
    desk.run(&call).is(
        2,
        "",
        "lobewright: build 1 is called \"Merganser, boat 7\" too; --over 1 puts this file in its \
         place\n",
    );
    desk.put("boat.toml", &with("79.922 mm", "79.923 mm"));
    desk.run(&[&call[..], &["--over", "1"]].concat()).is(
        0,
        "boat.toml: build 1 of shop.db\n  1 reading taken, 0 places new or changed in its file, \
         0 taken out\n",
        "",
    );
    desk.run(&["export", "shop.db"]).is(0, "     1  open    Merganser, boat 7, revision 1\n", "");
    desk.run(&["export", "shop.db", "1", "out"]).is(
        0,
        "out: build 1\n  build.toml\n  readings.csv\n  parts.csv\n  sign-offs.txt\n  findings.csv\n",
        "",
    );
    let plan = |file| desk.run(&["plan", file]);
    assert_eq!(plan("out/build.toml").out, plan("boat.toml").out);
    let readings = desk.text("out/readings.csv");
    let of_two: Vec<_> = readings.lines().filter(|line| line.contains(",land_width.2,")).collect();
    // Two rotors, and the one that was corrected stays beside its correction.
    assert_eq!(of_two.len(), 3, "{readings}");
    desk.run(&["export", "shop.db", "1", "out"]).is(
        2,
        "",
        "lobewright: out: is there already and is not overwritten; choose another name\n",
    );
    desk.run(&["export", "shop.db", "7", "other"]).is(2, "", "lobewright: there is no build 7\n");
    assert!(!desk.path("other").exists());
}

#[test]
fn a_wrong_file_makes_no_shop() {
    let desk = Desk::new();
    desk.put("boat.toml", &wrong());
    let import = |file| desk.run(&["import", "shop.db", file, "--by", "Ada"]);
    import("boat.toml").is(2, "", WRONG_SAID);
    import("gone.toml").is(2, "", MISSING_SAID);
    desk.put("boat.toml", EXAMPLE);
    let nobody = "lobewright: --by: nobody is named; say who brings it in\n";
    desk.run(&["import", "shop.db", "boat.toml", "--by", " "]).is(2, "", nobody);
    assert!(!desk.path("shop.db").exists());
    let gone = "lobewright: there is no file shop.db; make a new shop there, or say where the \
                shop's file is\n";
    desk.run(&["export", "shop.db"]).is(2, "", gone);
    desk.run(&["audit", "shop.db"]).is(2, "", gone);
    desk.run(&["backup", "shop.db", "copy.db"]).is(2, "", gone);
    assert!(!desk.path("shop.db").exists());
}

#[test]
fn a_backup_is_looked_at_before_it_replaces() {
    let desk = Desk::new();
    desk.put("boat.toml", EXAMPLE);
    assert_eq!(desk.run(&["import", "shop.db", "boat.toml", "--by", "Ada"]).code, 0);
    desk.run(&["backup", "shop.db", "copy.db"]).is(0, "copy.db: a copy of shop.db\n", "");
    let counted = "  readings 35, values 134, sign-offs 0; nothing is signed yet\n";
    desk.run(&["audit", "copy.db"]).is(0, &format!("copy.db: every record fits\n{counted}"), "");
    let restored = desk.run(&["restore", "shop.db", "copy.db"]);
    assert_eq!((restored.code, restored.err.as_str()), (0, ""));
    assert!(restored.out.starts_with("shop.db: restored from copy.db\n"), "{}", restored.out);
    assert!(restored.out.ends_with(counted), "{}", restored.out);

    // A digit of a reading, changed on the disk: as long as before, so that the file is whole.
    let mut bytes = fs::read(desk.path("copy.db")).unwrap();
    let places: Vec<_> =
        bytes.windows(9).enumerate().filter(|(_, w)| w == b"79.922 mm").map(|(at, _)| at).collect();
    assert_eq!(places.len(), 1);
    bytes[places[0] + 5] = b'8';
    fs::write(desk.path("copy.db"), bytes).unwrap();
    let audited = desk.run(&["audit", "copy.db"]);
    assert_eq!((audited.code, audited.out.as_str()), (1, ""));
    assert!(audited.err.contains("does not pass its audit: reading "), "{}", audited.err);
    let before = fs::read(desk.path("shop.db")).unwrap();
    let refused = desk.run(&["restore", "shop.db", "copy.db"]);
    assert_eq!((refused.code, &refused.err), (2, &audited.err));
    assert_eq!(fs::read(desk.path("shop.db")).unwrap(), before);
}
