//! One cycle of a chamber's gas, from the closing of the intake to the next.
//!
//! One zone: pressure and temperature are the same everywhere in the chamber. Per degree of the
//! shaft the gas gains the heat of the burn, loses the walls' share and the work `p·dV`, and takes
//! the enthalpy of what comes through the ports, less of what goes. Everything that crosses the
//! boundary is kept in an account beside the state, so that the balance can be looked at anywhere.
//!
//! What comes from the intake is fresh charge at the manifold's temperature; what was pushed back
//! into it before is taken to have mixed away. What comes from the exhaust is burnt gas at the
//! mean temperature of what went out. Seals are taken as tight, and neighbouring chambers as
//! separate while a seal passes a port.

use super::burn::{Burning, Scatter};
use super::error::GasError;
use super::integrate::Follow;
use super::model::GasModel;
use super::ports::{Side, orifice_kg_per_s};
use super::walls::{FIRE, OPEN, SHUT, coefficient_w_per_m2_k};

/// What a state holds: gas, then the account of what crossed its boundary since the start.
pub(super) mod at {
    pub(in super::super) const FRESH_KG: usize = 0;
    pub(in super::super) const BURNT_KG: usize = 1;
    pub(in super::super) const ENERGY_J: usize = 2;
    pub(in super::super) const WORK_J: usize = 3;
    pub(in super::super) const WALLS_J: usize = 4;
    pub(in super::super) const RELEASED_J: usize = 5;
    /// Enthalpy through the intake, in less out.
    pub(in super::super) const INTAKE_J: usize = 6;
    /// Enthalpy through the exhaust, out less in.
    pub(in super::super) const EXHAUST_J: usize = 7;
    /// Mass through the intake, in less out.
    pub(in super::super) const INTAKE_KG: usize = 8;
    /// Mass through the exhaust, out less in.
    pub(in super::super) const EXHAUST_KG: usize = 9;
    /// Fresh charge through the intake, in less out.
    pub(in super::super) const INTAKE_FRESH_KG: usize = 10;
    /// Fresh charge lost through the exhaust.
    pub(in super::super) const EXHAUST_FRESH_KG: usize = 11;
    /// Mass out through the exhaust, not less what came back, and its temperature times mass.
    pub(in super::super) const OUT_KG: usize = 12;
    pub(in super::super) const OUT_KG_K: usize = 13;
    pub(in super::super) const COUNT: usize = 14;
}

pub(super) type GasState = [f64; at::COUNT];

/// Error per step over the gas's own mass and energy: pressures to a few 1e-6 (see
/// `reference/gas`).
pub(super) const FINE: f64 = 5e-8;
/// The same while the search is still far from the cycle that repeats.
pub(super) const ROUGH: f64 = 1e-5;
/// The first step of a cycle, degrees.
const FIRST_STEP_DEG: f64 = 1.0;

/// Gas shut in when the intake closes, and the exhaust it will meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trapped {
    /// Fresh charge, kg.
    pub fresh_kg: f64,
    /// Burnt gas left from before, kg.
    pub burnt_kg: f64,
    /// Its temperature, K.
    pub temperature_k: f64,
    /// Mean temperature of what has gone out through the exhaust, K.
    pub exhaust_temperature_k: f64,
}

/// A cycle's states at whole degrees, in the order in which they were gone through.
pub(super) struct Followed {
    pub(super) whole: Vec<(i64, GasState)>,
    pub(super) end: GasState,
}

/// What stays the same during a cycle.
struct Going<'a> {
    model: &'a GasModel,
    burning: Burning,
    /// Fresh charge that burns.
    fresh_kg: f64,
    /// Woschni's reference, with `C₂` and the swept volume: `w = C₁c + this·(p − p_m)`.
    fire_m_per_s_pa: f64,
    /// Motored pressure is this over `V^γ`.
    motored: f64,
    gamma: f64,
    exhaust_temperature_k: f64,
}

impl GasModel {
    /// Follows a cycle, or only its part with shut ports.
    pub(super) fn follow(
        &self,
        trapped: &Trapped,
        scatter: Scatter,
        whole_cycle: bool,
        tolerance: f64,
    ) -> Result<Followed, GasError> {
        let burning = self.burning(scatter)?;
        let start_deg = self.start_deg();
        let end_deg = if whole_cycle { self.intake.closes_deg } else { self.exhaust.opens_deg };
        let gas = &self.inputs.gas;
        let mass_kg = trapped.fresh_kg + trapped.burnt_kg;
        let volume_m3 = self.inputs.chamber.at(start_deg).volume_m3;
        let pressure_pa =
            mass_kg * gas.gas_constant_j_per_kg_k() * trapped.temperature_k / volume_m3;
        let gamma = gas.gamma(trapped.temperature_k);
        let swept_m3 = self.inputs.chamber.swept_m3();
        let going = Going {
            model: self,
            burning,
            fresh_kg: trapped.fresh_kg,
            fire_m_per_s_pa: FIRE * swept_m3 * trapped.temperature_k / (pressure_pa * volume_m3),
            motored: pressure_pa * volume_m3.powf(gamma),
            gamma,
            exhaust_temperature_k: trapped.exhaust_temperature_k,
        };
        let mut state = [0.0; at::COUNT];
        state[at::FRESH_KG] = trapped.fresh_kg;
        state[at::BURNT_KG] = trapped.burnt_kg;
        state[at::ENERGY_J] = mass_kg * gas.energy_j_per_kg(trapped.temperature_k);

        let mut events: Vec<f64> = [
            burning.events_deg(),
            self.exhaust.events_deg(),
            self.intake.events_deg(),
            [0.0, 0.0, 0.0, end_deg],
        ]
        .concat();
        events.retain(|event| *event > start_deg && *event <= end_deg);
        events.sort_by(f64::total_cmp);
        let follow = Follow { tolerance, judged: 3 };
        let scale = |y: &GasState| {
            let mut scale = [1.0; at::COUNT];
            scale[at::FRESH_KG] = y[at::FRESH_KG] + y[at::BURNT_KG];
            scale[at::BURNT_KG] = scale[at::FRESH_KG];
            scale[at::ENERGY_J] = y[at::ENERGY_J];
            scale
        };
        let mut whole = Vec::with_capacity(1080);
        let (mut from, mut step) = (start_deg, FIRST_STEP_DEG);
        for to in events {
            // Events closer together than this are one.
            if to - from < 1e-9 {
                continue;
            }
            // Which side of an event a slope is on is decided by the middle of its stretch.
            let middle = 0.5 * (from + to);
            let slopes = |theta: f64, y: &GasState| going.slopes(middle, theta, y);
            let arrived =
                follow.stretch((from, to), state, step, &slopes, &scale, &mut |d, y| {
                    whole.push((d, *y));
                })?;
            (state, step, from) = (arrived.state, arrived.step_deg, to);
        }
        Ok(Followed { whole, end: state })
    }
}

impl Going<'_> {
    /// Growth of the state per degree of the shaft; `middle_deg` lies in the same stretch
    /// between events as `theta_deg`.
    fn slopes(&self, middle_deg: f64, theta_deg: f64, y: &GasState) -> GasState {
        let inputs = &self.model.inputs;
        let gas = &inputs.gas;
        let mut out = [0.0; at::COUNT];
        let here = inputs.chamber.at(theta_deg);
        let mass_kg = y[at::FRESH_KG] + y[at::BURNT_KG];
        let temperature_k = gas.temperature_k(y[at::ENERGY_J] / mass_kg);
        let pressure_pa = mass_kg * gas.gas_constant_j_per_kg_k() * temperature_k / here.volume_m3;
        let s_per_deg = 1f64.to_radians() / inputs.omega_rad_s;

        out[at::WORK_J] = pressure_pa * here.slope_m3_per_rad * 1f64.to_radians();

        let open = middle_deg > self.model.exhaust.opens_deg;
        if inputs.walls.factor > 0.0 {
            let along_m_per_s =
                inputs.omega_rad_s * inputs.chamber.form().generating_radius_m / 3.0;
            let mut speed_m_per_s = along_m_per_s * if open { OPEN } else { SHUT };
            if !open && middle_deg > self.burning.start_deg() {
                let motored_pa = self.motored / here.volume_m3.powf(self.gamma);
                speed_m_per_s += self.fire_m_per_s_pa * (pressure_pa - motored_pa).max(0.0);
            }
            let alpha = coefficient_w_per_m2_k(
                inputs.chamber.form().width_m,
                pressure_pa,
                temperature_k,
                speed_m_per_s,
            );
            out[at::WALLS_J] = inputs.walls.factor
                * alpha
                * here.walls_m2
                * (temperature_k - inputs.walls.wall_temperature_k)
                * s_per_deg;
        }

        if !open {
            let burnt_kg = self.fresh_kg * self.burning.rate_per_deg(middle_deg, theta_deg);
            out[at::RELEASED_J] = burnt_kg * inputs.heat_j_per_kg * self.burning.heat_ratio;
            out[at::FRESH_KG] = -burnt_kg;
            out[at::BURNT_KG] = burnt_kg;
        } else {
            self.through_ports(middle_deg, theta_deg, y, (pressure_pa, temperature_k), &mut out);
        }
        out[at::ENERGY_J] = out[at::RELEASED_J] - out[at::WALLS_J] - out[at::WORK_J]
            + out[at::INTAKE_J]
            - out[at::EXHAUST_J];
        out
    }

    fn through_ports(
        &self,
        middle_deg: f64,
        theta_deg: f64,
        y: &GasState,
        (pressure_pa, temperature_k): (f64, f64),
        out: &mut GasState,
    ) {
        let inputs = &self.model.inputs;
        let gas = &inputs.gas;
        let s_per_deg = 1f64.to_radians() / inputs.omega_rad_s;
        let chamber = Side { pressure_pa, temperature_k };
        let fresh_share = y[at::FRESH_KG] / (y[at::FRESH_KG] + y[at::BURNT_KG]);
        let own_j_per_kg = gas.enthalpy_j_per_kg(temperature_k);

        let intake = &self.model.intake;
        if middle_deg > intake.opens_deg {
            let manifold = Side {
                pressure_pa: inputs.supply.manifold_pressure_pa,
                temperature_k: inputs.supply.manifold_temperature_k,
            };
            let area_m2 = intake.area_m2(theta_deg);
            let in_kg = s_per_deg * orifice_kg_per_s(gas, area_m2, manifold, chamber);
            let (fresh, j_per_kg) = if in_kg > 0.0 {
                (1.0, gas.enthalpy_j_per_kg(manifold.temperature_k))
            } else {
                (fresh_share, own_j_per_kg)
            };
            out[at::INTAKE_KG] = in_kg;
            out[at::INTAKE_FRESH_KG] = in_kg * fresh;
            out[at::INTAKE_J] = in_kg * j_per_kg;
            out[at::FRESH_KG] += in_kg * fresh;
            out[at::BURNT_KG] += in_kg * (1.0 - fresh);
        }

        let exhaust = &self.model.exhaust;
        if middle_deg < exhaust.closes_deg {
            let outside = Side {
                pressure_pa: inputs.supply.exhaust_pressure_pa,
                temperature_k: self.exhaust_temperature_k,
            };
            let area_m2 = exhaust.area_m2(theta_deg);
            let out_kg = s_per_deg * orifice_kg_per_s(gas, area_m2, chamber, outside);
            let (fresh, j_per_kg) = if out_kg > 0.0 {
                out[at::OUT_KG] = out_kg;
                out[at::OUT_KG_K] = out_kg * temperature_k;
                (fresh_share, own_j_per_kg)
            } else {
                (0.0, gas.enthalpy_j_per_kg(outside.temperature_k))
            };
            out[at::EXHAUST_KG] = out_kg;
            out[at::EXHAUST_FRESH_KG] = out_kg * fresh;
            out[at::EXHAUST_J] = out_kg * j_per_kg;
            out[at::FRESH_KG] -= out_kg * fresh;
            out[at::BURNT_KG] -= out_kg * (1.0 - fresh);
        }
    }
}
