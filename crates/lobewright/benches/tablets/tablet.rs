//! One tablet: goes round the parts of a build as a person does and sends what `bench.js` sends.

use super::chance::Chance;
use super::line::{Answer, Line};
use super::served::Server;
use super::years::{Open, PartOf, Years};
use super::{Times, note};
use records::{BuildId, PartId, PartKind, When};
use std::thread;
use std::time::{Duration, Instant};

/// A number at the bench: gauge on, read, typed.
const LEAST: Duration = Duration::from_secs(2);
const MOST: Duration = Duration::from_secs(4);
/// One reading in so many is taken again.
const AGAIN: f64 = 10.0;
/// One in so many is sent twice, since the line gave no answer.
const TWICE: f64 = 12.0;
/// How long a tablet waits before it sends what was not answered.
const OUT: Duration = Duration::from_millis(500);

/// A reading that the app said it kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    pub(crate) build: BuildId,
    pub(crate) part: PartId,
    pub(crate) when: When,
    pub(crate) station: String,
    pub(crate) text: String,
    pub(crate) word: String,
}

/// A station as the page lists it.
struct Listed {
    name: String,
    expected: String,
}

/// The stations of a list, in its order.
fn listed(html: &str) -> Vec<Listed> {
    let between = |text: &str, from: &str| -> Option<String> {
        Some(text.split_once(from)?.1.split('"').next()?.to_owned())
    };
    html.split("<li ")
        .filter_map(|item| {
            let name = between(item, "data-station=\"")?;
            Some(Listed { name, expected: between(item, "data-expected=\"")? })
        })
        .collect()
}

/// The value of a station read again: a little beside what it was, in the same unit.
fn read_again(text: &str, chance: &mut Chance) -> String {
    let beside = 2.0 * chance.unit() - 1.0;
    let Some((number, unit)) = text.split_once(' ') else { return text.to_owned() };
    let Ok(number) = number.parse::<f64>() else { return text.to_owned() };
    match unit {
        "mm" => format!("{:.4} mm", number + 1e-3 * beside),
        "um" => format!("{:.1} um", number + beside),
        "g" => format!("{:.1} g", number + 0.5 * beside),
        _ => text.to_owned(),
    }
}

struct Tablet<'a> {
    line: Line,
    times: &'a Times,
    number: usize,
    build: &'a Open,
    chance: Chance,
    kept: Vec<Kept>,
    sent: usize,
    due: Instant,
    end: Instant,
}

pub(crate) fn run(
    years: &Years,
    server: &Server,
    times: &Times,
    number: usize,
    (first, end): (Instant, Instant),
) -> Vec<Kept> {
    let mut chance = Chance::new(years.seed, 1 + number as u64);
    let mut tablet = Tablet {
        line: Line::new(&server.address, years.token(number)),
        times,
        number,
        build: &years.of_tablets[number],
        // They do not begin together.
        due: first + MOST.mul_f64(chance.unit()),
        chance,
        kept: Vec::new(),
        sent: 0,
        end,
    };
    while tablet.due < end {
        for part in &tablet.build.parts {
            tablet.round(part, When::Before);
        }
        for part in tablet.build.parts.iter().filter(|part| part.kind == PartKind::Rotor) {
            tablet.round(part, When::After);
        }
    }
    tablet.kept
}

impl Tablet<'_> {
    /// All stations of a part, from the first to the last, as long as there is time.
    fn round(&mut self, part: &PartOf, when: When) {
        if self.due >= self.end {
            return;
        }
        let word = if when == When::Before { "before" } else { "after" };
        let to = format!("/builds/{}/readings/{}/{word}", self.build.id, part.id);
        let page = self.got(&to, "page of a round");
        assert_eq!(page.status, 200, "{to}: {}", page.text());
        let mut stations = listed(&page.text());
        assert!(!stations.is_empty(), "{to} has no station");
        // What the example has no reading of is not read here either.
        stations.retain(|station| part.values.contains_key(&station.name));
        for station in stations {
            if self.due >= self.end {
                return;
            }
            self.got(&format!("{to}/{}", station.name), "picture of a station");
            let text = &part.values[&station.name];
            let mut expected = station.expected;
            let times = if self.chance.once_in(AGAIN) { 2 } else { 1 };
            for _ in 0..times {
                if self.due >= self.end {
                    return;
                }
                let text = read_again(text, &mut self.chance);
                expected = self.entered((part.id, when, &to), &station.name, &text, &expected);
            }
        }
    }

    fn got(&mut self, path: &str, what: &str) -> Answer {
        let asked = Instant::now();
        let answer = self.line.get(path).unwrap();
        note(self.times, what, asked.elapsed());
        answer
    }

    /// Enters a number when it is due; gives which reading stands there then.
    fn entered(
        &mut self,
        (part, when, to): (PartId, When, &str),
        station: &str,
        text: &str,
        expected: &str,
    ) -> String {
        thread::sleep(self.due.saturating_duration_since(Instant::now()));
        let due = self.due;
        self.due += self.chance.between(LEAST, MOST);
        self.sent += 1;
        let word = format!("tablet {} number {}", self.number, self.sent);
        let (mut sure, mut answers) = (false, 0);
        let list = loop {
            let mut fields = vec![
                ("revision", "1"),
                ("station", station),
                ("value", text),
                ("unit", ""),
                ("gauge", ""),
                ("temperature", ""),
                ("expected", expected),
                ("sent_as", word.as_str()),
            ];
            if sure {
                fields.push(("sure", "yes"));
            }
            // As `bench.js`: what was not answered is sent again, by the same word.
            let answer = loop {
                match self.line.send(to, "application/json", &fields) {
                    Ok(answer) if answer.status < 500 => break answer,
                    Ok(answer) => {
                        note(self.times, &format!("answer {}", answer.status), due.elapsed())
                    }
                    Err(error) => note(self.times, &format!("no answer: {error}"), due.elapsed()),
                }
                thread::sleep(OUT);
            };
            answers += 1;
            let json: serde_json::Value = serde_json::from_slice(&answer.body)
                .unwrap_or_else(|_| panic!("{to}: {}: {}", answer.status, answer.text()));
            match json["state"].as_str() {
                Some("kept") => {
                    if answers == 1 {
                        note(self.times, "ENTRY", due.elapsed());
                    }
                    break json["list"].as_str().unwrap().to_owned();
                }
                Some("asked") if !sure => {
                    note(self.times, "entry that is asked back", due.elapsed());
                    sure = true;
                }
                _ => panic!("{to} {station} {text}: {}", answer.text()),
            }
        };
        self.kept.push(Kept {
            build: self.build.id,
            part,
            when,
            station: station.to_owned(),
            text: text.to_owned(),
            word: word.clone(),
        });
        let stands = listed(&list).into_iter().find(|one| one.name == station).unwrap().expected;
        assert_ne!(stands, expected, "{to} {station}: another reading stands there now");
        if self.chance.once_in(TWICE) {
            self.sent_twice(to, (station, text, expected), &word, sure);
        }
        stands
    }

    fn sent_twice(
        &mut self,
        to: &str,
        (station, text, expected): (&str, &str, &str),
        word: &str,
        sure: bool,
    ) {
        let again = Instant::now();
        let fields = [
            ("revision", "1"),
            ("station", station),
            ("value", text),
            ("expected", expected),
            ("sent_as", word),
            ("sure", if sure { "yes" } else { "" }),
        ];
        let answer = self.line.send(to, "application/json", &fields).unwrap();
        let json: serde_json::Value = serde_json::from_slice(&answer.body).unwrap();
        assert_eq!(json["state"], "kept", "sent twice: {}", answer.text());
        note(self.times, "entry sent twice", again.elapsed());
    }
}
