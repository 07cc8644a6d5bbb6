//! What the documents promise: source keys resolve, README's commands and picture are true, every
//! example plans as it says.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

fn lobewright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn sources_below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources_below(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Keys in square brackets in the comments of a file: capitals and digits, joined by hyphens.
fn cited(text: &str) -> BTreeSet<String> {
    text.lines()
        .filter_map(|line| line.split_once("//").map(|(_, comment)| comment.to_owned()))
        .flat_map(|comment| {
            comment
                .split('[')
                .skip(1)
                .filter_map(|rest| rest.split_once(']').map(|(inside, _)| inside.to_owned()))
                .collect::<Vec<_>>()
        })
        .flat_map(|inside| inside.split(", ").map(str::to_owned).collect::<Vec<_>>())
        .filter(|key| {
            key.len() > 1
                && key.chars().next().is_some_and(|c| c.is_ascii_uppercase())
                && key.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-')
        })
        .collect()
}

#[test]
fn every_source_key_resolves_and_every_source_is_cited() {
    let table = fs::read_to_string(root().join("docs/SOURCES.md")).unwrap();
    let known: BTreeSet<String> = table
        .lines()
        .filter_map(|line| line.strip_prefix("| "))
        .filter_map(|row| row.split(" |").next())
        .filter(|key| key.chars().next().is_some_and(|c| c.is_ascii_uppercase()))
        .map(str::to_owned)
        .collect();
    let mut files = Vec::new();
    sources_below(&root().join("crates"), &mut files);
    let mut used = BTreeSet::new();
    for file in &files {
        used.extend(cited(&fs::read_to_string(file).unwrap()));
    }
    let unknown: Vec<_> = used.difference(&known).collect();
    assert!(unknown.is_empty(), "cited but not in docs/SOURCES.md: {unknown:?}");
    let idle: Vec<_> = known.difference(&used).collect();
    assert!(idle.is_empty(), "in docs/SOURCES.md but cited nowhere: {idle:?}");
}

/// Ends the process that it holds, whatever becomes of the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn the_first_command_of_the_readme_opens_at_the_address_it_says() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let command =
        readme.lines().find_map(|line| line.strip_prefix("    cargo run --release -- ")).unwrap();
    assert_eq!(command, "demo");
    let help = lobewright(&["demo", "--help"]);
    let help = String::from_utf8(help.stdout).unwrap();
    let port = help.split("[default: ").nth(1).unwrap().split(']').next().unwrap();
    assert!(readme.contains(&format!("http://127.0.0.1:{port}/")), "{port}");
    // A port of its own: the usual one may be taken on a machine that runs tests.
    let mut child = Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args([command, "--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .map(Running)
        .unwrap();
    let said = BufReader::new(child.0.stdout.take().unwrap()).lines().map(Result::unwrap);
    let mut password = String::new();
    let address = said
        .inspect(|line| password.push_str(line))
        .find_map(|line| Some(line.split("http://").nth(1)?.trim_end_matches('/').to_owned()))
        .unwrap();
    assert!(password.contains("the password of everybody in it is demonstration"), "{password}");
    let mut line = TcpStream::connect(&address).unwrap();
    write!(line, "GET /in HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n").unwrap();
    let mut page = String::new();
    line.read_to_string(&mut page).unwrap();
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("This is a demonstration"), "{page}");
}

#[test]
fn the_readmes_picture_is_what_the_example_draws() {
    let folder = tempfile::tempdir().unwrap();
    let example = root().join("examples/sprint-boat.toml");
    let run =
        lobewright(&["plan", example.to_str().unwrap(), "--svg", folder.path().to_str().unwrap()]);
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
    let drawn = fs::read_to_string(folder.path().join("1-R-114-side-gap.svg")).unwrap();
    let shown = fs::read_to_string(root().join("docs/side-gap.svg")).unwrap();
    assert!(
        drawn == shown,
        "docs/side-gap.svg is not what the example draws; copy it again from --svg"
    );
}

#[test]
fn each_example_says_what_the_plan_says() {
    for (example, code, said) in [
        ("sprint-boat", 0, "PLANNED to the spec's own clearance and step."),
        ("shelduck-hydroplane", 0, "PLANNED to the spec's own clearance and step."),
        ("heron-aircraft", 0, "NOTHING LEFT TO CUT: measured, and within the spec."),
        ("cormorant-three", 1, "CR-30: side clearance would be 0.309 mm"),
        ("dipper-pump", 1, "The land width at tip 2 reads 499 \u{b5}m (19.7 thou) too large"),
        ("teal-pump", 1, "and they cannot be told apart"),
    ] {
        let file = format!("examples/{example}.toml");
        let run = lobewright(&["plan", &file]);
        let text = String::from_utf8(run.stdout).unwrap();
        assert_eq!(run.status.code(), Some(code), "{example}: {text}");
        let flowing = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flowing.contains(said), "{example}: {text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{example}: {text}");
        assert_eq!(lobewright(&["check", &file]).status.code(), Some(0));
        assert!(
            fs::read_to_string(root().join("README.md")).unwrap().contains(&file),
            "README.md does not list {file}"
        );
    }
}

/// Every row of docs/SECURITY.md, and every test that it names.
#[test]
fn the_security_table_is_whole_and_every_test_that_it_names_is_there() {
    let text = fs::read_to_string(root().join("docs/SECURITY.md")).unwrap();
    let mut files = Vec::new();
    sources_below(&root().join("crates"), &mut files);
    let source: String = files.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
    let (mut numbers, mut named, mut states) = (Vec::new(), BTreeSet::new(), [0; 3]);
    for line in text.lines().filter(|line| line.starts_with("| ") && line.contains('.')) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let Ok(number) = cells[0].split('.').map(str::parse::<u32>).collect::<Result<Vec<_>, _>>()
        else {
            continue;
        };
        assert_eq!((cells.len(), number.len()), (4, 3), "{line}");
        let state = ["met", "not met", "n/a"].iter().position(|state| *state == cells[2]);
        states[state.unwrap_or_else(|| panic!("{line}"))] += 1;
        assert!(!cells[3].is_empty(), "{line}");
        numbers.push(number);
        for name in cells[3].split('`').skip(1).step_by(2).filter(|name| name.contains('_')) {
            let (before, _) = source
                .split_once(&format!("fn {name}() {{"))
                .unwrap_or_else(|| panic!("{name} of {} is nowhere", cells[0]));
            let above = before.rsplit("\n\n").next().unwrap();
            assert!(above.contains("#[test]"), "{name} of {} is no test", cells[0]);
            named.insert(name.to_owned());
        }
    }
    // The standard's own count of levels 1 and 2, in its own order.
    assert_eq!(numbers.len(), 259);
    assert!(numbers.is_sorted() && numbers.windows(2).all(|two| two[0] != two[1]));
    let told =
        format!("Of 259: {} met, {} not met, {} not applicable", states[0], states[1], states[2]);
    assert!(text.contains(&told), "{told}");
    assert!(named.len() >= 49, "{}", named.len());
}
