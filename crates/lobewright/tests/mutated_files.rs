//! A hundred thousand mutations of two examples, by seed: whatever happens to the text, it is
//! either a build or a list of problems, and never a panic. A build that is read from a mutated
//! file is written and read back the same, and planned: whatever its sizes, it has a plan or says
//! why not, and no number of it is none.

#![expect(clippy::unwrap_used, clippy::expect_used, reason = "in tests a panic is the report")]

mod finite;

use kernel::units::System;
use lobewright::build_file::{Build, MOST_LISTED, read, write};
use lobewright::ops::{InputError, plan};
use lobewright::wire::{PlanJson, Tilts};
use std::collections::HashSet;

/// The one has seals, the other a shaft, a cycle and balance: together nearly all that a file can
/// have.
const EXAMPLES: [&str; 2] = [
    include_str!("../../../examples/sprint-boat.toml"),
    include_str!("../../../examples/shelduck-hydroplane.toml"),
];
const EXAMPLE: &str = EXAMPLES[0];
const CASES: u64 = 100_000;
/// One case in so many has its problems shown with their lines, which costs more than reading.
const SHOWN_EVERY: u64 = 20;

/// Pieces that are put in: what TOML and quantities are made of, and what they are not.
const PIECES: [&str; 46] = [
    "\"",
    "'",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "#",
    "\n",
    "\r",
    "\r\n",
    " ",
    "\\",
    "\"\"\"",
    "\t",
    "\u{0}",
    "\u{b5}",
    "\u{fe0f}",
    "\u{1f6a4}",
    "-",
    "+",
    "1e999",
    "nan",
    "inf",
    "0x",
    "true",
    "1979-05-27T07:32:00Z",
    " mil",
    " thou",
    "\"5 mm\"",
    "[rotor.after]\n",
    "[[rotor]]\n",
    "[[balance.run]]\nspeed = \"900 rpm\"\n",
    "[[shaft.weight]]\n",
    "{ length = \"60 mm\", outer = \"43 mm\" },\n",
    "[balance.front]\n",
    " N/um",
    "0 deg",
    "serial = \"R-97\"\n",
    "99999999999999999999999999",
    "\\u0000",
    "\u{feff}",
];

/// A splitmix64 generator.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % n as u64).unwrap()
    }
}

/// Changes bytes or lines, once to four times; what is no UTF-8 any more is replaced as a reader
/// of files would.
fn mutated(example: &str, chance: &mut Chance) -> String {
    let mut bytes = example.as_bytes().to_vec();
    for _ in 0..1 + chance.below(4) {
        if bytes.is_empty() {
            break;
        }
        let at = chance.below(bytes.len());
        let end = (at + 1 + chance.below(40)).min(bytes.len());
        match chance.below(9) {
            0 => bytes[at] = u8::try_from(chance.below(256)).unwrap(),
            1 => bytes[at] ^= 1 << chance.below(7),
            2 => {
                bytes.remove(at);
            }
            3 => {
                let piece = PIECES[chance.below(PIECES.len())];
                bytes.splice(at..at, piece.bytes());
            }
            4 => {
                let piece = PIECES[chance.below(PIECES.len())];
                bytes.splice(at..end, piece.bytes());
            }
            5 => {
                bytes.drain(at..end);
            }
            6 => {
                let copy = bytes[at..end].to_vec();
                let to = chance.below(bytes.len());
                bytes.splice(to..to, copy);
            }
            line => {
                // Lines swapped, doubled or dropped.
                let mut lines: Vec<Vec<u8>> =
                    bytes.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect();
                let (a, b) = (chance.below(lines.len()), chance.below(lines.len()));
                match (line, chance.below(2)) {
                    (7, _) => lines.swap(a, b),
                    (_, 0) => lines.insert(a, lines[b].clone()),
                    _ => {
                        lines.remove(a);
                    }
                }
                bytes = lines.concat();
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// What became of the cases.
#[derive(Debug, Default)]
struct Counts {
    /// Those that were read, by the example they were made from.
    read: [u64; 2],
    refused: u64,
    planned: u64,
    feasible: u64,
    no_engine: u64,
}

impl Counts {
    fn plan(&mut self, build: &Build, case: u64) {
        match plan(build, System::Metric) {
            Ok(report) => {
                assert_eq!(
                    finite::not_finite(&PlanJson::of(&report, Tilts::Left).unwrap()),
                    None,
                    "case {case}"
                );
                assert_eq!(report.feasible, report.limiting.is_empty(), "case {case}");
                self.planned += 1;
                self.feasible += u64::from(report.feasible);
            }
            Err(error) => {
                // The sizes make no engine: a misprint may do that, a failed computation may not.
                assert!(matches!(error, InputError::Geometry(_)), "case {case}: {error}");
                self.no_engine += 1;
            }
        }
    }
}

/// Reads the cases of one of two threads, and plans those that give a build which this thread has
/// not planned before: most mutations that can be read touch a comment, and the example needs no
/// planning ten thousand times.
fn run(half: u64) -> Counts {
    let mut counts = Counts::default();
    let mut planned = HashSet::new();
    for case in (half..CASES).step_by(2) {
        let which = usize::try_from(case / 2 % 2).unwrap();
        let text = mutated(EXAMPLES[which], &mut Chance(case));
        match read(&text) {
            Ok(build) => {
                let written = write(&build);
                assert_eq!(read(&written).as_ref(), Ok(&build), "case {case}");
                counts.read[which] += 1;
                if planned.insert(written) {
                    counts.plan(&build, case);
                }
            }
            Err(problems) => {
                let list = problems.list();
                assert!((1..=MOST_LISTED).contains(&list.len()), "case {case}");
                for problem in list {
                    assert!(text.is_char_boundary(problem.span.start), "case {case}");
                    let line = text.split('\n').nth(problem.line - 1).expect("its line is there");
                    assert!(problem.column <= line.chars().count() + 1, "case {case}");
                    assert!(!problem.what.is_empty(), "case {case}");
                }
                if case % SHOWN_EVERY == half {
                    assert!(problems.show(false).contains(&list[0].what), "case {case}");
                }
                counts.refused += 1;
            }
        }
    }
    counts
}

#[test]
fn no_mutation_of_a_file_ends_in_a_panic() {
    let halves: Vec<_> = (0..2).map(|half| std::thread::spawn(move || run(half))).collect();
    let mut total = Counts::default();
    for half in halves {
        let counts = half.join().expect("no panic");
        total.read[0] += counts.read[0];
        total.read[1] += counts.read[1];
        total.refused += counts.refused;
        total.planned += counts.planned;
        total.feasible += counts.feasible;
        total.no_engine += counts.no_engine;
    }
    let [one, other] = total.read;
    assert_eq!(one + other + total.refused, CASES);
    // Comments and spare spaces take a fair share of the example: both ways are walked.
    // The second has fewer comments.
    assert!(one > 4_000 && other > 2_500, "{total:?}");
    assert!(total.planned > 700 && total.refused > 50_000, "{total:?}");
}

/// Misprints: digits of the example changed, which a reader often cannot refuse.
const MISPRINTS: u64 = 1_000;

#[test]
fn a_misprinted_digit_gives_a_plan_or_says_why_not() {
    let digits: Vec<usize> = EXAMPLE
        .bytes()
        .enumerate()
        .filter_map(|(at, byte)| byte.is_ascii_digit().then_some(at))
        .collect();
    let mut counts = Counts::default();
    for case in 0..MISPRINTS {
        let mut chance = Chance(case ^ 0xabc_0000);
        let mut bytes = EXAMPLE.as_bytes().to_vec();
        for _ in 0..1 + chance.below(3) {
            bytes[digits[chance.below(digits.len())]] = b"0123456789"[chance.below(10)];
        }
        match read(&String::from_utf8(bytes).unwrap()) {
            Ok(build) => {
                counts.read[0] += 1;
                counts.plan(&build, case);
            }
            Err(_) => counts.refused += 1,
        }
    }
    let read = counts.read[0];
    assert_eq!(read + counts.refused, MISPRINTS);
    assert_eq!(counts.planned + counts.no_engine, read);
    assert!(read > 700 && counts.feasible > 400, "{counts:?}");
    assert!(counts.planned - counts.feasible > 200 && counts.no_engine > 0, "{counts:?}");
}
