//! A build at speed as JSON, format 1.

use super::number::rounded;
use crate::ops::{RotorAtSpeed, SpeedReport};
use kernel::readings::Face;
use kernel::speed::chance::Chance;
use kernel::speed::engine::{Greatest, RotorChance, Running, SweepPoint};
use kernel::speed::pose::{LeastGap, RotorGaps};
use kernel::units::Speed;
use serde::Serialize;

/// What every output says of its figures.
const CAUTION: &str =
    "screening estimate until calibrated; local rules and licensed practice come first";

/// What of the shop's own builds is in the figures.
#[derive(Debug, Serialize)]
struct TaughtJson {
    from: String,
    tilt: f64,
    heat: f64,
    contact_below_mm: f64,
}

/// A build at speed.
#[derive(Debug, Serialize)]
pub struct SpeedJson {
    format: u32,
    build: String,
    assumed_shaft: bool,
    calibration: Option<TaughtJson>,
    state: &'static str,
    duty: PointJson,
    sweep: Vec<PointJson>,
    sweep_stopped: bool,
    draws: Option<DrawsJson>,
    allowed_chance: f64,
    critical_rpm: CriticalJson,
    first_twist_hz: f64,
    speed_ripple: f64,
    peak_pressure_bar: f64,
    torque_nm: f64,
    cycles: Vec<CycleJson>,
    shaft: ShaftJson,
    main_bearings: Vec<BearingJson>,
    rotors: Vec<RotorJson>,
    found: Option<FoundJson>,
    warnings: Vec<String>,
    assumed: Vec<String>,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct PointJson {
    rpm: f64,
    boost_bar: f64,
    rotors: Vec<RotorPointJson>,
}

#[derive(Debug, Serialize)]
struct RotorPointJson {
    serial: String,
    tips: Vec<TipJson>,
    slope_mrad: SlopeJson,
    float_mm: f64,
    land_force_n: f64,
    tip_force_n: f64,
    jammed_share: f64,
    chance_of_contact: Option<f64>,
    standard_error: Option<f64>,
    chance_of_jam: Option<f64>,
    jam_standard_error: Option<f64>,
    band_mm: Option<[Option<f64>; 3]>,
}

#[derive(Debug, Serialize)]
struct TipJson {
    tip: usize,
    face: &'static str,
    least_gap_mm: GapJson,
    at_deg: usize,
}

#[derive(Debug, Serialize)]
struct GapJson {
    worst_float: f64,
    centred: f64,
}

#[derive(Debug, Serialize)]
struct SlopeJson {
    largest: f64,
    at_deg: usize,
}

#[derive(Debug, Serialize)]
struct DrawsJson {
    draws: usize,
    seed: u32,
    failed: usize,
    stopped: bool,
}

#[derive(Debug, Serialize)]
struct CriticalJson {
    forward: Vec<f64>,
    backward: Vec<f64>,
}

#[derive(Debug, Serialize)]
struct CycleJson {
    cycle: &'static str,
    peak_pressure_bar: f64,
    peak_at_deg: f64,
    indicated_mean_pressure_bar: f64,
    torque_nm: f64,
    work_share: Option<f64>,
    wall_share: Option<f64>,
    exhaust_share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ShaftJson {
    peak_stress_mpa: f64,
    stress_at_mm: f64,
    peak_moment_nm: f64,
}

#[derive(Debug, Serialize)]
struct BearingJson {
    peak_load_n: f64,
    least_film_um: Option<f64>,
}

#[derive(Debug, Serialize)]
struct RotorJson {
    serial: String,
    planned: bool,
    budget: Option<BudgetJson>,
    bearing: BearingJson,
    journal_slope_mrad: f64,
    mesh_n: f64,
    least_side_clearance_mm: Option<f64>,
    least_step_mm: Option<f64>,
    step_with_that_clearance_mm: Option<f64>,
    knocking_least_gap_mm: Option<f64>,
    knocking_slope_mrad: f64,
}

#[derive(Debug, Serialize)]
struct BudgetJson {
    tip: usize,
    face: &'static str,
    at_deg: usize,
    start_mm: GapJson,
    causes: Vec<CauseJson>,
}

#[derive(Debug, Serialize)]
struct CauseJson {
    cause: &'static str,
    leaves_mm: GapJson,
}

#[derive(Debug, Serialize)]
struct FoundJson {
    greatest_rpm: GreatestJson,
    greatest_boost_bar: GreatestJson,
}

#[derive(Debug, Serialize)]
struct GreatestJson {
    /// The greatest that is borne, within the range searched; none where not even its least is.
    value: Option<f64>,
    /// Whether the whole range searched is borne.
    beyond: bool,
}

fn rpm(omega_rad_s: f64) -> f64 {
    rounded(Speed::rad_per_s(omega_rad_s).to_rpm())
}

fn mm(m: f64) -> f64 {
    rounded(1e3 * m)
}

fn finite_mm(m: f64) -> Option<f64> {
    m.is_finite().then(|| mm(m))
}

impl SpeedJson {
    /// Converts a report.
    #[must_use]
    pub fn of(report: &SpeedReport) -> Self {
        let faces: Vec<[Face; 2]> = report.rotors.iter().map(|rotor| rotor.faces).collect();
        let serials: Vec<&str> = report.rotors.iter().map(|r| r.serial.as_str()).collect();
        let gaps: Vec<&RotorGaps> = report.rotors.iter().map(|rotor| &rotor.gaps).collect();
        let chances: Vec<Option<RotorChance>> = report.rotors.iter().map(|r| r.chance).collect();
        let [mean, ..] = &report.cycles;
        let stress = &report.peaks.stress;
        Self {
            format: 1,
            build: report.build.clone(),
            assumed_shaft: report.assumed_shaft,
            calibration: report.calibration.as_ref().map(|taught| TaughtJson {
                from: taught.from.clone(),
                tilt: taught.tilt[0],
                heat: taught.heat[0],
                contact_below_mm: rounded(taught.contact_below[0].to_mm()),
            }),
            state: report.state.name(),
            duty: point(report.running, &serials, &faces, &gaps, &chances),
            sweep: report.sweep.iter().map(|at| swept(at, &serials, &faces)).collect(),
            sweep_stopped: report.sweep_stopped,
            draws: report.drawn.map(|how| DrawsJson {
                draws: how.draws,
                seed: how.seed,
                failed: how.failed,
                stopped: how.stopped,
            }),
            allowed_chance: report.allowed_chance,
            critical_rpm: CriticalJson {
                forward: report.critical_rad_s[0].iter().map(|w| rpm(*w)).collect(),
                backward: report.critical_rad_s[1].iter().map(|w| rpm(*w)).collect(),
            },
            first_twist_hz: rounded(report.point.loads.turning.first_twist.frequency_hz()),
            speed_ripple: rounded(report.point.loads.turning.fluctuation[0]),
            peak_pressure_bar: rounded(mean.peak_pa / 1e5),
            torque_nm: rounded(mean.torque_n_m),
            cycles: report
                .cycles
                .iter()
                .map(|line| CycleJson {
                    cycle: line.kind.name(),
                    peak_pressure_bar: rounded(line.peak_pa / 1e5),
                    peak_at_deg: rounded(line.peak_at_deg),
                    indicated_mean_pressure_bar: rounded(line.mean_pressure_pa / 1e5),
                    torque_nm: rounded(line.torque_n_m),
                    work_share: line.report.map(|r| rounded(r.work_share)),
                    wall_share: line.report.map(|r| rounded(r.walls_share)),
                    exhaust_share: line.report.map(|r| rounded(r.exhaust_share)),
                })
                .collect(),
            shaft: ShaftJson {
                peak_stress_mpa: rounded(stress.section.stress_pa / 1e6),
                stress_at_mm: mm(stress.section.at_m),
                peak_moment_nm: rounded(report.peaks.moment.section.moment_n_m.norm()),
            },
            main_bearings: report
                .point
                .loads
                .mains
                .iter()
                .map(|main| bearing(main.peak_load_n, main.least_film_m))
                .collect(),
            rotors: report
                .rotors
                .iter()
                .zip(&report.knocking.gaps)
                .map(|(rotor, knocking)| rotor_json(rotor, knocking))
                .collect(),
            found: report.found.map(|found| FoundJson {
                greatest_rpm: greatest(found.speed, rpm),
                greatest_boost_bar: greatest(found.boost, |pa| rounded(pa / 1e5)),
            }),
            warnings: report.warnings.clone(),
            assumed: report.assumed.clone(),
            caution: CAUTION,
        }
    }
}

fn greatest(found: Greatest, of: impl Fn(f64) -> f64) -> GreatestJson {
    match found {
        Greatest::At(value) => GreatestJson { value: Some(of(value)), beyond: false },
        Greatest::Beyond(value) => GreatestJson { value: Some(of(value)), beyond: true },
        Greatest::Below(_) => GreatestJson { value: None, beyond: false },
    }
}

fn bearing(peak_load_n: f64, least_film_m: Option<f64>) -> BearingJson {
    BearingJson {
        peak_load_n: rounded(peak_load_n),
        least_film_um: least_film_m.map(|film_m| rounded(1e6 * film_m)),
    }
}

fn swept(at: &SweepPoint, serials: &[&str], faces: &[[Face; 2]]) -> PointJson {
    let gaps: Vec<&RotorGaps> = at.gaps.iter().collect();
    let chances: Vec<Option<RotorChance>> = match &at.chances {
        Some(all) => all.iter().copied().map(Some).collect(),
        None => vec![None; gaps.len()],
    };
    point(at.running, serials, faces, &gaps, &chances)
}

fn point(
    running: Running,
    serials: &[&str],
    faces: &[[Face; 2]],
    gaps: &[&RotorGaps],
    chances: &[Option<RotorChance>],
) -> PointJson {
    PointJson {
        rpm: rpm(running.omega_rad_s),
        boost_bar: rounded(running.boost_pa / 1e5),
        rotors: (0..gaps.len())
            .map(|index| {
                let (gaps, chance) = (gaps[index], chances[index]);
                let value = |of: fn(RotorChance) -> Chance| chance.map(|c| rounded(of(c).value));
                let error =
                    |of: fn(RotorChance) -> Chance| chance.map(|c| rounded(of(c).standard_error));
                RotorPointJson {
                    serial: serials[index].to_owned(),
                    tips: tips(gaps, faces[index]),
                    slope_mrad: SlopeJson {
                        largest: rounded(1e3 * gaps.largest_lean_rad.0),
                        at_deg: gaps.largest_lean_rad.1,
                    },
                    float_mm: mm(gaps.least_float_m.0),
                    land_force_n: rounded(gaps.land_force_n),
                    tip_force_n: rounded(gaps.tip_force_n),
                    jammed_share: rounded(gaps.jammed_share),
                    chance_of_contact: value(|c| c.contact),
                    standard_error: error(|c| c.contact),
                    chance_of_jam: value(|c| c.jam),
                    jam_standard_error: error(|c| c.jam),
                    band_mm: chance.map(|c| c.band_m.map(finite_mm)),
                }
            })
            .collect(),
    }
}

/// The tips in their order, the gear face first.
fn tips(gaps: &RotorGaps, faces: [Face; 2]) -> Vec<TipJson> {
    let mut all = Vec::with_capacity(6);
    for (tip, sides) in gaps.tips.iter().enumerate() {
        for face in Face::BOTH {
            let side = usize::from(faces[1] == face);
            if let Some(LeastGap { worst_float_m, at, centred_m, .. }) = sides[side] {
                all.push(TipJson {
                    tip: tip + 1,
                    face: face.name(),
                    least_gap_mm: GapJson {
                        worst_float: mm(worst_float_m),
                        centred: mm(centred_m),
                    },
                    at_deg: at,
                });
            }
        }
    }
    all
}

fn rotor_json(rotor: &RotorAtSpeed, knocking: &RotorGaps) -> RotorJson {
    let gap = |gap: kernel::speed::engine::Gap| GapJson {
        worst_float: mm(gap.worst_float_m),
        centred: mm(gap.centred_m),
    };
    RotorJson {
        serial: rotor.serial.clone(),
        planned: rotor.planned,
        budget: rotor.budget.as_ref().map(|budget| BudgetJson {
            tip: budget.tip + 1,
            face: rotor.faces[budget.side].name(),
            at_deg: budget.at_deg,
            start_mm: gap(budget.start),
            causes: budget
                .causes
                .iter()
                .map(|(cause, left)| CauseJson { cause: cause.name(), leaves_mm: gap(*left) })
                .collect(),
        }),
        bearing: bearing(rotor.bearing_load_n, rotor.least_film_m),
        journal_slope_mrad: rounded(1e3 * rotor.journal_slope_rad),
        mesh_n: rounded(rotor.mesh_n),
        least_side_clearance_mm: rotor.least_clearance_m.map(mm),
        least_step_mm: rotor.least_step_m.map(mm),
        step_with_that_clearance_mm: rotor.step_with_it_m.map(mm),
        knocking_least_gap_mm: knocking.least().map(|(_, _, gap)| mm(gap.worst_float_m)),
        knocking_slope_mrad: rounded(1e3 * knocking.largest_lean_rad.0),
    }
}
