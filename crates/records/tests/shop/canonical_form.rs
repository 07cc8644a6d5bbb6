//! The canonical forms of `docs/RECORDS.md`, put together again here from its words alone, and
//! the worked example in it. To write the example anew after the text around it changed:
//! `RECORDS_REWRITE_EXAMPLE=1 cargo test -p records canonical_form`.

use crate::sample::{Sample, raw};
use records::{Fitted, Head, Line, Reading, Sha, Shows};
use std::fs;
use std::path::{Path, PathBuf};

/// Where the example stands in the document.
const BEGIN: &str = "<!-- the example begins -->\n";
const END: &str = "<!-- the example ends -->";

/// A form: its fields in their order, absent ones among them.
#[derive(Default)]
struct Fields(Vec<Option<String>>);

impl Fields {
    fn of(name: &str) -> Self {
        Self(vec![Some(name.to_owned())])
    }

    fn and(mut self, field: impl ToString) -> Self {
        self.0.push(Some(field.to_string()));
        self
    }

    fn and_if(mut self, field: Option<impl ToString>) -> Self {
        self.0.push(field.map(|field| field.to_string()));
        self
    }

    fn bytes(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        for field in &self.0 {
            match field {
                Some(text) => {
                    bytes.extend_from_slice(&(text.len() as u64).to_be_bytes());
                    bytes.extend_from_slice(text.as_bytes());
                }
                None => bytes.extend_from_slice(&[0xFF; 8]),
            }
        }
        bytes
    }

    fn sha(&self) -> Sha {
        Sha::of(&self.bytes())
    }

    /// As the document shows it: a field per line behind its length.
    fn shown(&self, title: &str) -> String {
        let mut text = format!("{title}:\n\n```text\n");
        for field in &self.0 {
            match field {
                Some(field) => text.push_str(&format!("{:>3} {field}", field.len())),
                None => text.push_str("  -"),
            }
            text.push('\n');
        }
        text.push_str(&format!(
            "```\n\n{} bytes, SHA-256 `{}`\n\n",
            self.bytes().len(),
            self.sha()
        ));
        text
    }
}

fn bits(number: f64) -> String {
    format!("{:016x}", number.to_bits())
}

fn reading(form: Fields, reading: &Reading) -> Fields {
    form.and(reading.id)
        .and(reading.part)
        .and_if(reading.build)
        .and_if(reading.revision)
        .and(reading.when)
        .and(&reading.station)
        .and(reading.value.text())
        .and(reading.value.quantity())
        .and(bits(reading.value.si()))
        .and_if(reading.gauge)
        .and(reading.person)
        .and(&reading.at)
        .and_if(reading.temperature.as_ref().map(|t| t.text()))
        .and_if(reading.temperature.as_ref().map(|t| bits(t.si())))
        .and_if(reading.sent_as.as_ref())
        .and_if(reading.supersedes)
}

/// A value of which this test knows everything but what it shows.
struct Value {
    id: i64,
    place: &'static str,
    rank: i64,
    shows: Shows,
    supersedes: Option<i64>,
}

fn value(form: Fields, value: &Value) -> Fields {
    let form = form.and(value.id).and(1).and(1).and(value.place).and(value.rank);
    let form = match &value.shows {
        Shows::Text(text) => form.and("text").and(text),
        Shows::Reading { part, when, station } => {
            form.and("reading").and(part).and(when).and(station)
        }
        Shows::Nothing => form.and("nothing"),
    };
    form.and(1).and("2026-11-28T09:30:00Z").and_if(value.supersedes)
}

fn parts(fitted: &[Fitted]) -> Fields {
    fitted.iter().fold(Fields::of("lobewright parts 1").and(fitted.len()), |form, part| {
        form.and(part.kind)
            .and(part.position)
            .and(&part.serial)
            .and_if(part.gear_face)
            .and(part.part)
            .and(part.revision)
            .and(part.person)
            .and(&part.at)
    })
}

fn head(head: &Head, (name, version): (&str, i64), lines: &[Line]) -> Fields {
    let form = Fields::of("lobewright head 1")
        .and(1)
        .and(1)
        .and(&head.name)
        .and_if(head.customer)
        .and_if(head.engine)
        .and_if(head.spec)
        .and(name)
        .and(version)
        .and(lines.len());
    lines.iter().fold(form, |form, line| form.and(&line.place).and(&line.value))
}

fn seals(file: &Path, table: &str) -> Vec<Sha> {
    raw(file)
        .prepare(&format!("SELECT seal FROM {table} ORDER BY id"))
        .unwrap()
        .query_map([], |row| row.get::<_, [u8; 32]>(0))
        .unwrap()
        .map(|seal| Sha(seal.unwrap()))
        .collect()
}

fn document() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/RECORDS.md")
}

#[test]
fn the_worked_example_is_true() {
    let sample = Sample::new();
    sample.read("land_width.1", "79.915 mm").unwrap();
    sample.read("land_width.1", "3.1463 in").unwrap();
    sample.set("format", Some("1")).unwrap();
    let signed = sample.sign("built and inspected").unwrap();
    let mut shown = String::new();

    let readings = sample.shop.readings_of(sample.build).unwrap();
    let first = reading(Fields::of("lobewright reading 1").and(Sha::NONE), &readings[0]);
    let second = reading(Fields::of("lobewright reading 1").and(first.sha()), &readings[1]);
    assert_eq!(seals(sample.file(), "reading"), [first.sha(), second.sha()]);
    shown.push_str(&first.shown("Seal of reading 1"));
    shown.push_str(&second.shown("Seal of reading 2, which supersedes it"));

    let room = 1i64 << 32;
    let values = [
        Value {
            id: 1,
            place: "rotor.R-114.land_width.1",
            rank: room,
            shows: Shows::Reading {
                part: sample.rotor,
                when: records::When::Before,
                station: "land_width.1".to_owned(),
            },
            supersedes: None,
        },
        Value {
            id: 2,
            place: "format",
            rank: 2 * room,
            shows: Shows::Text("1".to_owned()),
            supersedes: None,
        },
    ];
    let first_value = value(Fields::of("lobewright value 1").and(Sha::NONE), &values[0]);
    let last_value = value(Fields::of("lobewright value 1").and(first_value.sha()), &values[1]);
    assert_eq!(seals(sample.file(), "build_value"), [first_value.sha(), last_value.sha()]);
    shown.push_str(&first_value.shown("Seal of value 1"));
    shown.push_str(&last_value.shown("Seal of value 2"));

    let build = sample.shop.build(sample.build).unwrap();
    let lines = sample.shop.spec_lines(sample.spec).unwrap();
    let head = head(&build.head, ("sprint", 1), &lines);
    let parts = parts(&sample.shop.fitted(sample.build).unwrap());
    let standing = reading(Fields::of("lobewright readings 1").and(1), &readings[1]);
    let in_file = values.iter().fold(Fields::of("lobewright values 1").and(2), value);
    let content = Fields::of("lobewright content 1")
        .and(head.sha())
        .and(parts.sha())
        .and(standing.sha())
        .and(in_file.sha());
    assert_eq!(signed.content_hash, content.sha());
    shown.push_str(&head.shown("Head of build 1"));
    shown.push_str(&parts.shown("Its parts"));
    shown.push_str(&standing.shown("Its readings that stand"));
    shown.push_str(&in_file.shown("Its values that stand"));
    shown.push_str(&content.shown("Its content"));

    let sign_off = Fields::of("lobewright sign-off 1")
        .and(Sha::NONE)
        .and(1)
        .and(1)
        .and(1)
        .and(1)
        .and("Ada")
        .and("2026-11-28T09:30:00Z")
        .and("built and inspected")
        .and(2)
        .and(second.sha())
        .and(2)
        .and(last_value.sha())
        .and(content.sha());
    assert_eq!(signed.hash, sign_off.sha());
    shown.push_str(&sign_off.shown("Sign-off 1"));

    let text = fs::read_to_string(document()).unwrap();
    let (before, rest) = text.split_once(BEGIN).unwrap();
    let (example, after) = rest.split_once(END).unwrap();
    if std::env::var_os("RECORDS_REWRITE_EXAMPLE").is_some() {
        fs::write(document(), format!("{before}{BEGIN}\n{shown}{END}{after}")).unwrap();
    } else {
        assert_eq!(example.trim(), shown.trim(), "docs/RECORDS.md has another example");
    }
}

#[test]
fn every_table_is_in_the_document() {
    let sample = Sample::new();
    let text = fs::read_to_string(document()).unwrap();
    let tables: Vec<String> = raw(sample.file())
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    assert!(tables.len() > 20);
    let missing: Vec<_> =
        tables.iter().filter(|table| !text.contains(&format!("| `{table}` |"))).collect();
    assert!(missing.is_empty(), "not in docs/RECORDS.md: {missing:?}");
}
