//! Films against a solution by other means: `reference/film/values.csv`, finite differences in
//! the stationary frame that know no mobility, no table and no turning axes [SCIPY].
//!
//! Orbits of a rotor bearing, whose load swings several-fold and circles backwards, and of a main
//! bearing, each with two sizes; stiffness and damping, across and in tilt, at twelve states.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use kernel::speed::film::{Bearing, BearingSizes, Coefficients, FilmTable, Matrix2, Motion};
use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Values from outside checked by this file. Only rises.
const FOREIGN_CASES: usize = 4 * 36 + 12 * 9;
/// Instants that a load is given at.
const INSTANTS: usize = 360;

type Row = BTreeMap<String, String>;

fn rows() -> Vec<Row> {
    let text = include_str!("../../../reference/film/values.csv");
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    lines
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            assert_eq!(fields.len(), names.len(), "{line}");
            names.iter().zip(fields).map(|(n, f)| ((*n).to_owned(), f.to_owned())).collect()
        })
        .collect()
}

fn figure(row: &Row, name: &str) -> f64 {
    row[name].parse().unwrap()
}

fn bearing(row: &Row) -> Bearing {
    Bearing::new(BearingSizes {
        diameter_m: figure(row, "D"),
        length_m: figure(row, "L"),
        radial_clearance_m: figure(row, "c"),
        viscosity_pa_s: figure(row, "mu"),
    })
    .unwrap()
}

/// A part that stays, one that turns with the throw, and a pulse that circles backwards.
fn load_n(row: &Row, theta: f64) -> [f64; 2] {
    let of = |name: &str| figure(row, name);
    let pulse = of("base") + of("pulse") * (of("sharp") * ((theta - of("at")).cos() - 1.0)).exp();
    let (thrown, back) = (theta + FRAC_PI_2, -FRAC_PI_2 - theta);
    [
        of("thrown") * thrown.cos() + pulse * back.cos(),
        of("still") + of("thrown") * thrown.sin() + pulse * back.sin(),
    ]
}

/// One table per shape.
struct Tables(Vec<FilmTable>);

impl Tables {
    fn of(rows: &[Row]) -> Self {
        let mut shapes: Vec<f64> = rows.iter().map(|r| bearing(r).length_over_diameter()).collect();
        shapes.sort_by(f64::total_cmp);
        shapes.dedup();
        assert_eq!(shapes.len(), 2);
        Self(shapes.into_iter().map(|shape| FilmTable::new(shape).unwrap()).collect())
    }

    fn for_bearing(&self, bearing: &Bearing) -> &FilmTable {
        let shape = bearing.length_over_diameter();
        self.0.iter().find(|t| (t.length_over_diameter() - shape).abs() < 1e-9).unwrap()
    }
}

#[test]
fn orbits_and_coefficients() {
    let rows = rows();
    assert_eq!(rows.len(), FOREIGN_CASES);
    let tables = Tables::of(&rows);
    let orbits: Vec<&Row> = rows.iter().filter(|row| row["kind"] == "orbit").collect();
    let linear: Vec<&Row> = rows.iter().filter(|row| row["kind"] == "linear").collect();
    assert_eq!(orbits.len() + linear.len(), FOREIGN_CASES);
    for case in orbits.chunk_by(|a, b| a["case"] == b["case"]) {
        orbit(case, &tables);
    }
    for state in linear.chunks_exact(9) {
        coefficients(state, &tables);
    }
}

/// The tolerance is a part of the film left, so that a thin film is held as closely as a thick
/// one; lines 1.5° apart leave the other solution that much where the film is thinnest.
fn orbit(case: &[&Row], tables: &Tables) {
    let first = case[0];
    let bearing = bearing(first);
    let load: Vec<[f64; 2]> =
        (0..INSTANTS).map(|k| load_n(first, TAU * k as f64 / INSTANTS as f64)).collect();
    let omega = figure(first, "omega");
    let motion = Motion {
        journal_omega_rad_s: omega,
        bearing_omega_rad_s: figure(first, "omega_b"),
        load_n: &load,
        period_s: TAU / omega,
        wanted_film_m: 0.0,
    };
    let path = motion.path(&bearing, tables.for_bearing(&bearing)).unwrap();
    for row in case {
        let at = figure(row, "what") as usize;
        let got = path.points[at].eccentricity_m.map(|e| e / bearing.radial_clearance_m());
        let wanted = [figure(row, "x"), figure(row, "y")];
        let left = 1.0 - wanted[0].hypot(wanted[1]);
        let off = (got[0] - wanted[0]).hypot(got[1] - wanted[1]) / left;
        assert!(
            off <= figure(row, "tolerance"),
            "{} at {at}: {got:?} is not {wanted:?}, {off} of the film off",
            row["case"]
        );
    }
}

/// A load that makes the state, its coefficients, and rows of the four matrices.
fn coefficients(state: &[&Row], tables: &Tables) {
    let first = state[0];
    let bearing = bearing(first);
    let table = tables.for_bearing(&bearing);
    let turn = figure(first, "direction").to_radians();
    let ratio = figure(first, "ratio");
    let e = [ratio * turn.cos(), ratio * turn.sin()];
    let load = [figure(first, "x"), figure(first, "y")];
    let [omega, omega_b] = ["omega", "omega_b"].map(|name| figure(first, name));

    // The load that the other solution found is carried with the velocity it was given.
    let rate = table_rate(&bearing, table, 0.5 * (omega + omega_b), e, load);
    let squeeze = figure(first, "squeeze");
    let given = [squeeze * turn.cos(), squeeze * turn.sin()];
    let off = (rate[0] - given[0]).hypot(rate[1] - given[1]);
    let speed = 0.5 * (omega + omega_b) * ratio + squeeze;
    assert!(off <= figure(first, "tolerance") * speed, "{ratio}: {rate:?} is not {given:?}");

    let got = Coefficients::about(&bearing, table, [omega, omega_b], e, load).unwrap();
    let matrices: [(&str, Matrix2); 4] = [
        ("stiffness", got.stiffness_n_per_m),
        ("tilt_stiffness", got.tilt_stiffness_n_m_per_rad),
        ("damping", got.damping_n_s_per_m),
        ("tilt_damping", got.tilt_damping_n_m_s_per_rad),
    ];
    for (k, (name, matrix)) in matrices.iter().enumerate() {
        let lines = &state[1 + 2 * k..3 + 2 * k];
        let wanted: Vec<f64> =
            lines.iter().flat_map(|row| [figure(row, "x"), figure(row, "y")]).collect();
        let greatest = wanted.iter().fold(0.0_f64, |g, w| g.max(w.abs()));
        for (at, (wanted, got)) in wanted.iter().zip(matrix.iter().flatten()).enumerate() {
            let row = lines[at / 2];
            assert_eq!(row["what"], format!("{name} {}", ["x", "y"][at / 2]));
            let off = (got - wanted).abs() / greatest;
            assert!(
                off <= figure(row, "tolerance"),
                "L {} ε {ratio} squeeze {squeeze} {name}: {matrix:?} is not {wanted:?}",
                row["L"]
            );
        }
    }
}

/// Change of the eccentricity ratio, 1/s, that carries a load.
fn table_rate(
    bearing: &Bearing,
    table: &FilmTable,
    carried_rad_s: f64,
    e: [f64; 2],
    load: [f64; 2],
) -> [f64; 2] {
    let (r, c) = (bearing.radius_m(), bearing.radial_clearance_m());
    let scale = 12.0 * bearing.viscosity_pa_s() * bearing.length_m() * (r / c).powi(3) * c;
    let ratio = e[0].hypot(e[1]);
    let d = e.map(|part| part / ratio);
    let seen = [d[0] * load[0] + d[1] * load[1], d[0] * load[1] - d[1] * load[0]];
    let v = table.velocity(ratio, seen.map(|f| f / scale));
    let squeeze = [d[0] * v[0] - d[1] * v[1], d[1] * v[0] + d[0] * v[1]];
    [squeeze[0] - carried_rad_s * e[1], squeeze[1] + carried_rad_s * e[0]]
}
