//! Heights, uncertainties and χ² of rotors against SciPy's `lsq_linear`: see
//! `reference/readings/SOURCE.md` [SCIPY].

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::readings::{Face, Gauge, MeasuredAt, RotorReadings};
use kernel::units::{Expansion, Length, Temperature};

const VALUES: &str = include_str!("../../../reference/readings/values.csv");
/// Rotors in the file; only ever rises.
const CASES: usize = 60;
/// Both ways carry about 1e-13 relative; the file prints 1e-10 mm.
const HEIGHT_MM: f64 = 1e-9;
/// The file prints 1e-7 µm.
const UNCERTAINTY_UM: f64 = 1e-5;
/// χ² is a difference of squares of whitened readings: relative to its own size.
const CHI_SQUARE: f64 = 1e-5;

struct Row<'t>(Vec<&'t str>, &'t [&'t str]);

impl Row<'_> {
    fn number(&self, name: &str) -> Option<f64> {
        let index = self.1.iter().position(|n| *n == name).unwrap();
        self.0[index].parse().ok()
    }

    fn three(&self, name: &str) -> Option<[Length; 3]> {
        let at = |k: usize| self.number(&format!("{name}_{k}")).map(Length::mm);
        Some([at(1)?, at(2)?, at(3)?])
    }

    fn gauge(&self, id: usize, name: &str) -> Gauge {
        let read = |part: &str| {
            let column = format!("{name}_{part}");
            self.1.contains(&column.as_str()).then(|| self.number(&column).unwrap())
        };
        Gauge {
            id,
            repeat: Length::mm(read("repeat").unwrap()),
            zero: Length::mm(read("zero").unwrap_or(0.0)),
            temperature: Temperature::REFERENCE,
            expansion: Expansion::per_k(11.5e-6),
        }
    }
}

#[test]
fn heights_uncertainties_and_chi_square_are_those_of_lsq_linear() {
    let mut lines = VALUES.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut cases = 0;
    for line in lines {
        let row = Row(line.split(',').collect(), &header);
        let adjusted = RotorReadings {
            land_width: row.three("land_width").unwrap(),
            gear_step: row.three("gear_step").unwrap(),
            plain_step: row.three("plain_step").unwrap(),
            tip_width: row.three("tip_width"),
            gear_runout: row.three("gear_runout"),
            plain_runout: row.three("plain_runout"),
            width_gauge: row.gauge(0, "width"),
            step_gauge: row.gauge(1, "step"),
            runout_gauge: row.gauge(2, "runout"),
            measured_at: MeasuredAt {
                part: 0,
                temperature: Temperature::REFERENCE,
                uncertainty_k: 0.0,
                expansion: Expansion::per_k(11e-6),
            },
            squareness: Length::mm(row.number("squareness").unwrap()),
        }
        .adjust()
        .unwrap();
        let heights = adjusted.heights;
        let got: Vec<Length> =
            [heights.gear.land, heights.plain.land, heights.gear.tip, heights.plain.tip].concat();
        let estimates: Vec<Length> = [false, true]
            .into_iter()
            .flat_map(|tip| Face::BOTH.into_iter().map(move |face| (tip, face)))
            .flat_map(|(tip, face)| (0..3).map(move |k| (tip, face, k)))
            .map(|(tip, face, k)| {
                let height =
                    if tip { adjusted.tip_height(face, k) } else { adjusted.land_height(face, k) };
                height.uncertainty()
            })
            .collect();
        for i in 0..12 {
            let expected = row.number(&format!("height_{i}")).unwrap();
            assert!((got[i].to_mm() - expected).abs() < HEIGHT_MM, "{}: height {i}", row.0[0]);
            let expected = row.number(&format!("u_um_{i}")).unwrap();
            let u = estimates[i].to_um();
            assert!((u - expected).abs() < UNCERTAINTY_UM, "{}: u {i}: {u} {expected}", row.0[0]);
        }
        let expected = row.number("chi_square").unwrap();
        let chi = adjusted.check.chi_square;
        assert!(
            (chi - expected).abs() < CHI_SQUARE * expected.max(1.0),
            "{}: {chi} {expected}",
            row.0[0]
        );
        assert_eq!(adjusted.check.freedom as f64, row.number("freedom").unwrap());
        cases += 1;
    }
    assert_eq!(cases, CASES);
}
