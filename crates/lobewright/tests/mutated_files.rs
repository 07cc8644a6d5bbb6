//! A hundred thousand mutations of the example, by seed: whatever happens to the text, it is
//! either a build or a list of problems, and never a panic. A build that is read from a mutated
//! file is written and read back the same.

#![expect(clippy::unwrap_used, clippy::expect_used, reason = "in tests a panic is the report")]

use lobewright::build_file::{MOST_LISTED, read, write};

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");
const CASES: u64 = 100_000;
/// One case in so many has its problems shown with their lines, which costs more than reading.
const SHOWN_EVERY: u64 = 20;

/// Pieces that are put in: what TOML and quantities are made of, and what they are not.
const PIECES: [&str; 40] = [
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
fn mutated(chance: &mut Chance) -> String {
    let mut bytes = EXAMPLE.as_bytes().to_vec();
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

/// Reads the cases of one of two threads.
fn run(half: u64) -> [u64; 2] {
    let mut counts = [0, 0];
    for case in (half..CASES).step_by(2) {
        let text = mutated(&mut Chance(case));
        match read(&text) {
            Ok(build) => {
                let written = write(&build);
                assert_eq!(read(&written).as_ref(), Ok(&build), "case {case}");
                counts[0] += 1;
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
                counts[1] += 1;
            }
        }
    }
    counts
}

#[test]
fn no_mutation_of_a_file_ends_in_a_panic() {
    let halves: Vec<_> = (0..2).map(|half| std::thread::spawn(move || run(half))).collect();
    let mut total = [0, 0];
    for half in halves {
        let counts = half.join().expect("no panic");
        total[0] += counts[0];
        total[1] += counts[1];
    }
    let [read, refused] = total;
    assert_eq!(read + refused, CASES);
    // Comments and spare spaces take a fair share of the example: both ways are walked.
    assert!(read > 2_000 && refused > 50_000, "{read} read, {refused} refused");
}
