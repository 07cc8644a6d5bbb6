//! Files that are wrong about balance, each with everything that is said about it, exactly. Every
//! case is the example with one piece of it replaced: what stood there, what stands there now, the
//! problems.

mod measured;
mod planes;
mod rotors;
mod runs;
mod whole;

use lobewright::build_file::read;

const EXAMPLE: &str = include_str!("../../../../examples/shelduck-hydroplane.toml");

/// Everything that is said about a text.
fn said(text: &str) -> String {
    match read(text) {
        Ok(_) => "nothing".to_owned(),
        Err(problems) => problems.in_file("f").to_string(),
    }
}

#[test]
fn each_wrong_file_is_told_what_is_wrong() {
    assert!(read(EXAMPLE).is_ok());
    let pieces = [whole::CASES, rotors::CASES, planes::CASES, measured::CASES].concat();
    let runs = runs::CASES
        .iter()
        .map(|(runs, expected)| (runs::BEFORE, format!("{}{runs}", runs::BEFORE), *expected));
    let cases: Vec<_> = pieces
        .iter()
        .map(|(from, to, said)| (*from, (*to).to_owned(), *said))
        .chain(runs)
        .collect();
    assert!(cases.len() >= 138, "the number of cases only rises");
    let mut different = String::new();
    for (from, to, expected) in cases {
        assert!(EXAMPLE.contains(from), "{from:?} is not in the example");
        let said = said(&EXAMPLE.replacen(from, &to, 1));
        if said != expected {
            different.push_str(&format!("{to}\nexpected:\n{expected}\nsaid:\n{said}\n\n"));
        }
    }
    assert!(different.is_empty(), "{different}");
}

#[test]
fn more_than_anybody_has_is_refused() {
    let run = "[[balance.run]]\nspeed = \"2400 rpm\"\n\
               sensors = [{ name = \"s\", amplitude = \"1 um\", phase = \"0 deg\" }]\n";
    assert_eq!(said(&format!("{EXAMPLE}{}", run.repeat(24))), "nothing");
    assert_eq!(
        said(&format!("{EXAMPLE}{}", run.repeat(25))),
        // The first of the runs follows the example's last line.
        format!("f:{}:1: balance.run: 25 runs; expected at most 24", EXAMPLE.lines().count() + 1)
    );
    let place = "[[balance.front.place]]\nhow = \"added\"\nangles = [\"0 deg\"]\n\
                 radius = \"62 mm\"\nmasses = [\"5 g\"]\n";
    let (before, after) = EXAMPLE.split_once("[balance.rear]").unwrap();
    let with = |count: usize| format!("{before}{}[balance.rear]{after}", place.repeat(count));
    assert_eq!(said(&with(15)), "nothing");
    assert_eq!(said(&with(16)), "f:276:1: balance.front.place: 17 tables; expected at most 16");
}

#[test]
fn without_a_shaft_no_plane_has_its_weight() {
    let (before, rest) = EXAMPLE.split_once("[shaft] ").unwrap();
    let (_, after) = rest.split_once("[bearing.rotor]").unwrap();
    let text = format!("{before}[bearing.rotor]{after}");
    let of = |line: u32, plane: &str| {
        format!(
            "f:{line}:10: balance.{plane}.weight: no [shaft] is there to have the weight \
             \"{plane} counterweight\"; expected a [shaft] with a [[shaft.weight]] of that name\n  \
             hint: leave weight out; at = \"52 mm\" says where the plane is"
        )
    };
    assert_eq!(said(&text), format!("{}\n{}", of(223, "front"), of(242, "rear")));
    let (front, rear) = ("weight = \"front counterweight\"", "weight = \"rear counterweight\"\n");
    let cured = text.replace(front, "at = \"52 mm\"").replace(rear, "");
    assert_eq!(said(&cured), "nothing");
}
