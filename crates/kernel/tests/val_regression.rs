//! Linear regressions against certified values, digit by digit [STRD]: `reference/regression`.
//!
//! Digits are `−log₁₀` of the relative difference, fifteen at most, and where nothing is certified
//! `−log₁₀` of what was found over the largest coefficient.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]
#![expect(clippy::print_stdout, reason = "how many digits were reached is a figure to be read")]

use kernel::wear::{Fit, fit};

const DATA: &str = include_str!("../../../reference/regression/data.csv");
const CERTIFIED: &str = include_str!("../../../reference/regression/certified.csv");

/// Certified figures checked by this file. Only rises.
const FOREIGN_CASES: usize = 121;

/// Most digits that a comparison with fifteen can show.
const MOST: f64 = 15.0;

/// Digits that are asserted: of coefficients, of their standard deviations, of the residual one.
/// What Filip lacks is lost before the fit begins, in the powers of x, rounded to sixteen digits.
const SETS: [(&str, [f64; 3]); 11] = [
    ("Norris", [13.5, 13.5, 13.5]),
    ("Pontius", [13.0, 13.5, 13.5]),
    ("NoInt1", [14.0, 14.0, 14.0]),
    ("NoInt2", [14.0, 14.0, 14.0]),
    ("Filip", [7.0, 7.0, 8.5]),
    ("Longley", [14.0, 12.0, 14.0]),
    ("Wampler1", [14.0, 14.0, 14.0]),
    ("Wampler2", [13.0, 14.0, 14.0]),
    ("Wampler3", [14.0, 13.5, 14.0]),
    ("Wampler4", [14.0, 13.5, 14.0]),
    ("Wampler5", [14.0, 13.5, 14.0]),
];

/// Rows of one set, cells of a row.
fn rows<'a>(table: &'a str, set: &str) -> Vec<Vec<&'a str>> {
    let rows = table.lines().map(|line| line.split(',').collect::<Vec<_>>());
    rows.filter(|row| row[0] == set).collect()
}

fn figure(cell: &str) -> f64 {
    cell.parse().unwrap()
}

fn columns(model: &str, data: &[Vec<&str>]) -> Vec<Vec<f64>> {
    let predictor = |j: usize| data.iter().map(|row| figure(row[1 + j])).collect::<Vec<f64>>();
    let ones = vec![1.0; data.len()];
    match model {
        "through the origin" => vec![predictor(1)],
        "line" => vec![ones, predictor(1)],
        "columns" => std::iter::once(ones).chain((1..=6).map(predictor)).collect(),
        powers => {
            let most = powers.rsplit(' ').next().unwrap().parse().unwrap();
            (0..=most).map(|n| predictor(1).iter().map(|x| x.powi(n)).collect()).collect()
        }
    }
}

fn digits(found: f64, certified: f64, largest: f64) -> f64 {
    let scale = if certified == 0.0 { largest } else { certified };
    let off = ((found - certified) / scale).abs();
    if off == 0.0 { MOST } else { (-off.log10()).min(MOST) }
}

#[test]
fn certified_digits() {
    let mut cases = 0;
    for (set, wanted) in SETS {
        let (data, certified) = (rows(DATA, set), rows(CERTIFIED, set));
        let observed: Vec<f64> = data.iter().map(|row| figure(row[1])).collect();
        let Fit { coefficients, standard_deviations, residual_sd, .. } =
            fit(&columns(certified[0][1], &data), &observed).unwrap();
        let deviations = standard_deviations.unwrap();
        let largest = coefficients.iter().fold(0.0, |most: f64, b| most.max(b.abs()));
        let (residual, of_coefficients) = certified.split_last().unwrap();
        assert_eq!(of_coefficients.len(), coefficients.len(), "{set}");
        let mut least = [MOST; 3];
        for (i, row) in of_coefficients.iter().enumerate() {
            least[0] = least[0].min(digits(coefficients[i], figure(row[3]), largest));
            least[1] = least[1].min(digits(deviations[i], figure(row[4]), largest));
            cases += 2;
        }
        least[2] = digits(residual_sd.unwrap(), figure(residual[3]), largest);
        cases += 1;
        println!("{set}: {:.1} {:.1} {:.1} digits", least[0], least[1], least[2]);
        for (what, (least, wanted)) in least.iter().zip(wanted).enumerate() {
            assert!(*least >= wanted, "{set}, {what}: {least} digits, not {wanted}");
        }
    }
    assert_eq!(cases, FOREIGN_CASES);
}
