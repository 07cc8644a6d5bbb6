//! A balance as JSON, format 1.
//!
//! Angles are from the throw of rotor 1, in the sense of rotation, of the heavy side; those of a
//! rotor about its own bore from tip 1 towards tip 2. What stands on the machine's scale says so.

use super::number::rounded;
use crate::ops::{BalanceReport, BobWeight, Done, Left, PlaneReport, RotorBalance, TrialsReport};
use kernel::balance::Complex;
use serde::Serialize;

/// What every output of a balance says.
const CAUTION: &str = "a shaft that spins can hurt: guard closed, everything on it locked, nobody \
                       in the plane of rotation; local rules and licensed practice come first";
/// How its angles are counted.
const ANGLES: &str = "from the throw of rotor 1, in the sense of rotation, heavy side";

/// A balance.
#[derive(Debug, Serialize)]
pub struct BalanceJson {
    format: u32,
    build: String,
    grade: String,
    rpm: f64,
    angles: &'static str,
    assumed_shaft: bool,
    spinning_g: f64,
    mass_centre_mm: f64,
    permissible_gmm: PermissibleJson,
    tolerance_planes_mm: BothJson<f64>,
    correction_planes_mm: BothJson<f64>,
    rotors: Vec<RotorJson>,
    spread_g: SpreadJson,
    counterweights_needed_gmm: Vec<PlaneVectorJson>,
    needed_by_cause_gmm: Vec<CauseJson>,
    resultant_gmm: VectorJson,
    couple_gmm2: VectorJson,
    counterweights_present_gmm: Vec<PlaneVectorJson>,
    counterweights: Vec<CounterweightJson>,
    bob_weights_g: Vec<f64>,
    bob_weights: Vec<BobJson>,
    trial_runs: Option<TrialsJson>,
    basis: &'static str,
    machine: Option<MachineJson>,
    found_gmm: BothJson<Option<VectorJson>>,
    found_uncertainty_gmm: BothJson<Option<f64>>,
    permissible_in_correction_planes_gmm: BothJson<f64>,
    corrections: Vec<CorrectionJson>,
    residual_gmm: BothJson<VectorJson>,
    residual_uncertainty_gmm: BothJson<f64>,
    residual_in_correction_planes_gmm: BothJson<VectorJson>,
    verdict: &'static str,
    verdict_of: &'static str,
    rotors_verdict: Option<&'static str>,
    set_verdict: &'static str,
    off_centre_gmm: OffCentreJson,
    critical_rpm: Option<f64>,
    speed_over_critical: Option<f64>,
    warnings: Vec<String>,
    assumed: Vec<String>,
    caution: &'static str,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct VectorJson {
    amount: f64,
    angle_deg: f64,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct BothJson<T> {
    front: T,
    rear: T,
}

#[derive(Debug, Serialize)]
struct PermissibleJson {
    total: f64,
    front: f64,
    rear: f64,
    overhung: bool,
}

#[derive(Debug, Serialize)]
struct PlaneVectorJson {
    plane: &'static str,
    amount: f64,
    angle_deg: f64,
}

#[derive(Debug, Serialize)]
struct CauseJson {
    cause: &'static str,
    front: VectorJson,
    rear: VectorJson,
}

#[derive(Debug, Serialize)]
struct CounterweightJson {
    plane: &'static str,
    weight: Option<String>,
    too_heavy_gmm: f64,
    ahead_deg: Option<f64>,
    correction_within: bool,
}

#[derive(Debug, Serialize)]
struct SpreadJson {
    before: f64,
    after: f64,
    allowed: f64,
}

#[derive(Debug, Serialize)]
struct RotorJson {
    serial: String,
    weighed_before_cut_g: Option<f64>,
    predicted_after_cut_g: Option<f64>,
    weighed_after_cut_g: Option<f64>,
    used_g: f64,
    carried: Vec<ItemJson>,
    dressed_g: f64,
    mass_centre_mm: f64,
    cut_shifts_own_gmm: VectorJson,
    own: Option<OwnJson>,
    own_permissible_gmm: f64,
    take: Vec<TakeJson>,
    finished_g: f64,
    polar_inertia_change_kgmm2: f64,
    diametral_inertia_change_kgmm2: f64,
}

#[derive(Debug, Serialize)]
struct ItemJson {
    name: String,
    mass_g: f64,
    weighed_with_rotor: bool,
}

#[derive(Debug, Serialize)]
struct OwnJson {
    method: &'static str,
    read_gmm: VectorJson,
    uncertainty_gmm: f64,
    mandrel_gmm: Option<VectorJson>,
    disagrees: bool,
    now_gmm: VectorJson,
    verdict: &'static str,
    after_taking_gmm: VectorJson,
    planned_verdict: &'static str,
}

#[derive(Debug, Serialize)]
struct TakeJson {
    pocket: String,
    grams: f64,
}

#[derive(Debug, Serialize)]
struct BobJson {
    serial: String,
    mass_g: f64,
    used_g: Option<f64>,
    tolerance_g: f64,
    each_gram_gmm: BothJson<f64>,
    each_mm_gmm: BothJson<f64>,
}

#[derive(Debug, Serialize)]
struct CorrectionJson {
    plane: &'static str,
    number: usize,
    how: &'static str,
    angle_deg: f64,
    machine_angle_deg: f64,
    radius_mm: f64,
    diameter_mm: Option<f64>,
    depth_mm: Option<f64>,
    point_depth_mm: Option<f64>,
    removes_g: f64,
    removes_gmm: f64,
}

#[derive(Debug, Serialize)]
struct TrialsJson {
    add_gmm: BothJson<Option<VectorJson>>,
    uncertainty_gmm: BothJson<Option<f64>>,
    condition: f64,
    freedom: usize,
    chance_of_fit: Option<f64>,
    sensors: Vec<SensorJson>,
}

#[derive(Debug, Serialize)]
struct SensorJson {
    rpm: f64,
    name: String,
    unit: &'static str,
    baseline: VectorJson,
    expected: VectorJson,
}

#[derive(Debug, Serialize)]
struct MachineJson {
    showed_gmm: BothJson<VectorJson>,
    cannot_see_gmm: BothJson<VectorJson>,
    then_shows_gmm: BothJson<VectorJson>,
    then_shows_with_asked_bob_weights_gmm: BothJson<VectorJson>,
}

#[derive(Debug, Serialize)]
struct OffCentreJson {
    rotors: Vec<f64>,
    main_bearings: f64,
}

fn g(kg: f64) -> f64 {
    rounded(1e3 * kg)
}

fn gmm(kg_m: f64) -> f64 {
    rounded(1e6 * kg_m)
}

fn mm(m: f64) -> f64 {
    rounded(1e3 * m)
}

/// Amount and angle from 0 to 360°.
fn polar(amount: f64, angle_rad: f64) -> VectorJson {
    let angle_deg = rounded(angle_rad.to_degrees().rem_euclid(360.0));
    VectorJson { amount, angle_deg: if angle_deg >= 360.0 { 0.0 } else { angle_deg } }
}

fn vector(kg_m: Complex<f64>) -> VectorJson {
    polar(gmm(kg_m.norm()), kg_m.arg())
}

fn both<T, U>([front, rear]: [T; 2], of: impl Fn(T) -> U) -> BothJson<U> {
    BothJson { front: of(front), rear: of(rear) }
}

impl BalanceJson {
    /// Converts a report.
    #[must_use]
    pub fn of(report: &BalanceReport) -> Self {
        let needed = report.planes.each_ref();
        let judged: &Left = if report.is_measured() { &report.found } else { &report.left };
        let critical = report.critical.as_ref().ok();
        Self {
            format: 1,
            build: report.build.clone(),
            grade: report.grade.to_string(),
            rpm: rounded(report.speed.to_rpm()),
            angles: ANGLES,
            assumed_shaft: report.assumed_shaft,
            spinning_g: rounded(report.body.mass.to_g()),
            mass_centre_mm: mm(report.body.mass_centre_m),
            permissible_gmm: PermissibleJson {
                total: gmm(report.permitted.total_kg_m),
                front: gmm(report.permitted.planes_kg_m[0]),
                rear: gmm(report.permitted.planes_kg_m[1]),
                overhung: report.permitted.overhung,
            },
            tolerance_planes_mm: both(report.tolerance_planes.at_m(), mm),
            correction_planes_mm: both(report.correction_planes.at_m(), mm),
            rotors: report.rotors.iter().map(rotor).collect(),
            spread_g: {
                let [before, after, allowed] = report.spread_kg.map(g);
                SpreadJson { before, after, allowed }
            },
            counterweights_needed_gmm: needed
                .iter()
                .map(|plane| placed(plane, plane.needed_kg_m))
                .collect(),
            needed_by_cause_gmm: report
                .needed
                .iter()
                .map(|(cause, [front, rear])| CauseJson {
                    cause: cause.name(),
                    front: vector(*front),
                    rear: vector(*rear),
                })
                .collect(),
            resultant_gmm: vector(report.together.resultant_kg_m),
            couple_gmm2: {
                let couple = report.together.couple_kg_m2;
                polar(rounded(1e9 * couple.norm()), couple.arg())
            },
            counterweights_present_gmm: needed
                .iter()
                .map(|plane| placed(plane, plane.present_kg_m))
                .collect(),
            counterweights: needed.iter().map(|plane| counterweight(plane)).collect(),
            bob_weights_g: report.bobs.iter().map(|bob| g(bob.mass_kg)).collect(),
            bob_weights: report
                .bobs
                .iter()
                .zip(&report.rotors)
                .map(|(bob, rotor)| bob_weight(bob, &rotor.serial))
                .collect(),
            trial_runs: report.trials.as_ref().map(trials),
            basis: report.basis.words(),
            machine: report.machine.as_ref().map(|machine| MachineJson {
                showed_gmm: both(machine.shown_kg_m, vector),
                cannot_see_gmm: both(machine.unseen_kg_m, vector),
                then_shows_gmm: both(machine.then_kg_m, vector),
                then_shows_with_asked_bob_weights_gmm: both(machine.then_asked_kg_m, vector),
            }),
            found_gmm: both([0, 1], |k| {
                report.is_known(k).then(|| vector(report.found.in_planes.vectors_kg_m[k]))
            }),
            found_uncertainty_gmm: both([0, 1], |k| {
                report.is_known(k).then(|| gmm(report.found.in_planes.u_kg_m(k)))
            }),
            permissible_in_correction_planes_gmm: both(report.permitted_in_planes_kg_m, gmm),
            corrections: report
                .planes
                .iter()
                .flat_map(|plane| {
                    let done = plane.done.iter().flatten();
                    done.map(|done| correction(report, plane.name, done))
                })
                .collect(),
            residual_gmm: both(judged.in_tolerance.vectors_kg_m, vector),
            residual_uncertainty_gmm: both([0, 1], |k| gmm(judged.in_tolerance.u_kg_m(k))),
            residual_in_correction_planes_gmm: both(judged.in_planes.vectors_kg_m, vector),
            verdict: report.verdict().words(),
            verdict_of: if report.is_measured() { "measured" } else { "planned" },
            rotors_verdict: report.rotors_verdict().map(|verdict| verdict.words()),
            set_verdict: report.set_verdict.words(),
            off_centre_gmm: OffCentreJson {
                rotors: report.running.rotors_kg_m.iter().map(|kg_m| gmm(*kg_m)).collect(),
                main_bearings: gmm(report.running.mains_kg_m),
            },
            critical_rpm: critical.map(|critical| rounded(critical.speed.to_rpm())),
            speed_over_critical: critical.map(|critical| rounded(critical.ratio)),
            warnings: report.warnings.clone(),
            assumed: report.assumed.clone(),
            caution: CAUTION,
        }
    }
}

fn placed(plane: &PlaneReport, kg_m: Complex<f64>) -> PlaneVectorJson {
    let VectorJson { amount, angle_deg } = vector(kg_m);
    PlaneVectorJson { plane: plane.name, amount, angle_deg }
}

fn counterweight(plane: &PlaneReport) -> CounterweightJson {
    CounterweightJson {
        plane: plane.name,
        weight: plane.weight.clone(),
        too_heavy_gmm: gmm(plane.compared.too_much_kg_m),
        ahead_deg: plane.compared.ahead_rad.map(|rad| rounded(rad.to_degrees())),
        correction_within: plane.reached,
    }
}

fn rotor(rotor: &RotorBalance) -> RotorJson {
    RotorJson {
        serial: rotor.serial.clone(),
        weighed_before_cut_g: rotor.mass.before_kg.map(g),
        predicted_after_cut_g: rotor.mass.predicted_kg.map(g),
        weighed_after_cut_g: rotor.mass.after_kg.map(g),
        used_g: g(rotor.mass.used_kg),
        carried: rotor
            .carried
            .iter()
            .map(|item| ItemJson {
                name: item.name.clone(),
                mass_g: g(item.mass_kg),
                weighed_with_rotor: item.with_rotor,
            })
            .collect(),
        dressed_g: g(rotor.dressed.mass_kg),
        mass_centre_mm: mm(rotor.finished.mass_centre_m),
        cut_shifts_own_gmm: vector(rotor.cut_shift_kg_m),
        own: rotor.own.as_ref().map(|own| OwnJson {
            method: if own.on_mandrel { "mandrel" } else { "rollers" },
            read_gmm: vector(own.read.vector_kg_m),
            uncertainty_gmm: gmm(own.read.u_kg_m),
            mandrel_gmm: own.read.mandrel_kg_m.map(vector),
            disagrees: own.read.disagrees,
            now_gmm: vector(own.now_kg_m),
            verdict: own.verdict.words(),
            after_taking_gmm: vector(rotor.finished.unbalance_kg_m),
            planned_verdict: own.planned.words(),
        }),
        own_permissible_gmm: gmm(rotor.own_permitted_kg_m),
        take: rotor
            .take
            .iter()
            .map(|taken| TakeJson { pocket: taken.pocket.clone(), grams: g(taken.mass_kg) })
            .collect(),
        finished_g: g(rotor.finished.mass_kg),
        polar_inertia_change_kgmm2: rounded(1e6 * rotor.finished.polar_change_kg_m2),
        diametral_inertia_change_kgmm2: rounded(1e6 * rotor.finished.diametral_change_kg_m2),
    }
}

fn bob_weight(bob: &BobWeight, serial: &str) -> BobJson {
    BobJson {
        serial: serial.to_owned(),
        mass_g: g(bob.mass_kg),
        used_g: bob.used_kg.map(g),
        tolerance_g: g(bob.tolerance_kg),
        // kg m per kg are g m per g; a thousand of them are g mm per g.
        each_gram_gmm: both(bob.per_kg_m, mm),
        each_mm_gmm: both(bob.per_m_kg, g),
    }
}

fn correction(report: &BalanceReport, plane: &'static str, done: &Done) -> CorrectionJson {
    let operation = &done.operation;
    CorrectionJson {
        plane,
        number: done.number,
        how: done.how.name(),
        angle_deg: polar(0.0, done.angle_rad).angle_deg,
        machine_angle_deg: rounded(report.on_machine_deg(Complex::cis(done.angle_rad))),
        radius_mm: mm(done.radius_m),
        diameter_mm: operation.diameter_m.map(mm),
        depth_mm: operation.depth_m.map(mm),
        point_depth_mm: operation.tip_depth_m.map(mm),
        removes_g: g(operation.taken_off_kg),
        removes_gmm: gmm(operation.taken_off_kg.signum() * operation.removes_kg_m.norm()),
    }
}

fn trials(trials: &TrialsReport) -> TrialsJson {
    let tried = |plane: usize| trials.planes.contains(&plane);
    let sensors = trials.speeds.iter().flat_map(|speed| {
        speed.sensors.iter().map(|sensor| SensorJson {
            rpm: rounded(speed.speed.to_rpm()),
            name: sensor.name.clone(),
            unit: sensor.unit,
            baseline: polar(rounded(sensor.baseline.norm()), sensor.baseline.arg()),
            expected: polar(rounded(sensor.expected.norm()), sensor.expected.arg()),
        })
    });
    TrialsJson {
        add_gmm: both([0, 1], |k| tried(k).then(|| vector(-trials.unbalance.vectors_kg_m[k]))),
        uncertainty_gmm: both([0, 1], |k| tried(k).then(|| gmm(trials.unbalance.u_kg_m(k)))),
        condition: rounded(trials.condition),
        freedom: trials.freedom,
        chance_of_fit: trials.chance.map(rounded),
        sensors: sensors.collect(),
    }
}
