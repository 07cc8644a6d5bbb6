//! Files that are wrong about the rotor at speed, each with everything that is said about it,
//! exactly. Every case is the example with one piece of it replaced: what stood there, what
//! stands there now, the problems.

mod others;
mod shaft;

use lobewright::build_file::read;

const EXAMPLE: &str = include_str!("../../../../examples/shelduck-hydroplane.toml");

#[test]
fn each_wrong_file_is_told_what_is_wrong() {
    assert!(read(EXAMPLE).is_ok());
    let cases: Vec<_> = shaft::CASES.iter().chain(others::CASES).collect();
    assert!(cases.len() >= 93, "the number of cases only rises");
    let mut different = String::new();
    for (from, to, expected) in cases {
        assert!(EXAMPLE.contains(from), "{from:?} is not in the example");
        let text = EXAMPLE.replacen(from, to, 1);
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
