//! The best choice out of stock against mixed-integer programs solved by HiGHS, SciPy's `milp`:
//! see `reference/shelf/SOURCE.md` [SCIPY].

#[path = "val_shelf_stock/lines.rs"]
mod lines;
#[path = "val_shelf_stock/numbers.rs"]
mod numbers;

use kernel::shelf::{Place, Wanted, choose};
use lines::{LineRotor, Lines};
use numbers::Numbers;

const VALUES: &str = include_str!("../../../reference/shelf/values.csv");
/// The same, of programs that take long: the script makes them when it is asked to.
const LARGER: &str = include_str!("../../../reference/shelf/larger.csv");
/// Values in both files; only rises.
const CASES: usize = 9;
/// Grams: the values of the larger file have six digits.
const SAME_G: f64 = 1e-6;

/// The stock that the script draws from a seed.
fn stock(seed: u64, rotors: usize, housings: usize) -> Lines {
    let mut n = Numbers(seed);
    let mut rotor = |_| LineRotor {
        width_mm: n.between(79.80, 79.95),
        mass_g: n.between(4250.0, 4350.0),
        tips_g: n.between(0.0, 6.0),
        right: false,
    };
    let rotors = (0..rotors).map(&mut rotor).collect();
    Lines {
        rotors,
        housings_mm: (0..housings).map(|_| n.between(79.99, 80.02)).collect(),
        kinds: vec![[0.16, 0.03, 0.008]],
        guard_mm: 0.0,
        g_per_mm: 75.0,
        unfit: 0.0,
        unheld: 0.0,
        slack_g: 0.0,
    }
}

#[test]
fn choices_are_those_of_mixed_integer_programs() {
    let mut seen = 0;
    for line in VALUES.lines().skip(1).chain(LARGER.lines().skip(1)) {
        let cells: Vec<&str> = line.split(',').collect();
        let [name, seed, builds, places, rotors, housings, cost_g] = cells[..] else {
            panic!("{line}")
        };
        let count = |cell: &str| cell.parse::<usize>().unwrap();
        let stock = stock(seed.parse().unwrap(), count(rotors), count(housings));
        let place = Place { kind: 0, rotor: None, housing: None };
        let build = Wanted { places: vec![place; count(places)], by_mass: true };
        let choice = choose(&stock, &vec![build; count(builds)], &|_| true);
        assert!(choice.proven && choice.without.is_empty(), "{name}");
        let (got_g, wanted_g) = (choice.best.unwrap().cost.to_g(), cost_g.parse::<f64>().unwrap());
        assert!((got_g - wanted_g).abs() < SAME_G, "{name}: {got_g} {wanted_g}");
        seen += 1;
    }
    assert_eq!(seen, CASES);
}
