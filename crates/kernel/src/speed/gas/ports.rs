//! Ports: when they are open, how far, and what flows through them.
//!
//! Timing is given as the trade gives it, in degrees of the shaft before and after dead centre.
//! A chamber's dead centres follow the firing one by 270 (end of expansion), 540 (between exhaust
//! and intake) and 810 degrees (end of intake). The effective area (flow coefficient included)
//! rises and falls smoothly over the ramp.
//!
//! Flow is that of an ideal gas through an orifice, isentropic from the upstream state, choked
//! below the critical ratio: `ṁ = A·p/√(RT)·ψ(Π)`,
//! `ψ² = 2γ/(γ−1)·(Π^(2/γ) − Π^((γ+1)/γ))` [HEYWOOD] (appendix C, from memory), `γ` taken at the
//! upstream temperature. Near `Π = 1` its slope is without bound; within [`NEARLY_EQUAL`] of equal
//! pressure flow is taken as proportional to the difference, as slow flow is.

use super::super::range::within;
use super::error::GasError;
use super::working_gas::WorkingGas;

/// Share of the upstream pressure below which flow is linear in the difference: 200 Pa at
/// atmosphere.
pub const NEARLY_EQUAL: f64 = 2e-3;

/// When the ports of a chamber open and close, degrees of the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PortTiming {
    /// Intake opens, before top dead centre; negative after it.
    pub intake_opens_before_top_deg: f64,
    /// Intake closes, after bottom dead centre.
    pub intake_closes_after_bottom_deg: f64,
    /// Exhaust opens, before bottom dead centre.
    pub exhaust_opens_before_bottom_deg: f64,
    /// Exhaust closes, after top dead centre.
    pub exhaust_closes_after_top_deg: f64,
    /// From shut to wide open, and back.
    pub ramp_deg: f64,
}

impl Default for PortTiming {
    /// Large ports of an engine for hard use: common practice, no source.
    fn default() -> Self {
        Self {
            intake_opens_before_top_deg: 40.0,
            intake_closes_after_bottom_deg: 70.0,
            exhaust_opens_before_bottom_deg: 75.0,
            exhaust_closes_after_top_deg: 50.0,
            ramp_deg: 60.0,
        }
    }
}

/// Effective areas of the wide-open ports of a chamber, flow coefficient included, m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PortAreas {
    /// Intake.
    pub intake_m2: f64,
    /// Exhaust.
    pub exhaust_m2: f64,
}

impl Default for PortAreas {
    /// A peripheral intake port some 44 mm across and an exhaust port some 42 mm across, flow
    /// coefficient 0.65: common practice, no source.
    fn default() -> Self {
        Self { intake_m2: 1000e-6, exhaust_m2: 900e-6 }
    }
}

/// One port: angles in the chamber's own count, degrees after firing top dead centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Port {
    pub(super) opens_deg: f64,
    pub(super) closes_deg: f64,
    ramp_deg: f64,
    area_m2: f64,
}

impl Port {
    /// Effective area at an angle in the same count.
    pub(super) fn area_m2(&self, theta_deg: f64) -> f64 {
        let in_ramps =
            (theta_deg - self.opens_deg).min(self.closes_deg - theta_deg) / self.ramp_deg;
        let share = in_ramps.clamp(0.0, 1.0);
        self.area_m2 * share * share * (3.0 - 2.0 * share)
    }

    /// Where its area has a corner in its second derivative.
    pub(super) fn events_deg(&self) -> [f64; 4] {
        [
            self.opens_deg,
            self.opens_deg + self.ramp_deg,
            self.closes_deg - self.ramp_deg,
            self.closes_deg,
        ]
    }
}

/// Intake and exhaust port of these timings and areas.
///
/// # Errors
/// An angle or area outside its limits; events in an order that makes no cycle.
pub(super) fn ports(timing: PortTiming, areas: PortAreas) -> Result<(Port, Port), GasError> {
    for (quantity, value, limits) in [
        ("intake opens before top dead centre", timing.intake_opens_before_top_deg, (-60.0, 150.0)),
        (
            "intake closes after bottom dead centre",
            timing.intake_closes_after_bottom_deg,
            (0.0, 150.0),
        ),
        (
            "exhaust opens before bottom dead centre",
            timing.exhaust_opens_before_bottom_deg,
            (0.0, 150.0),
        ),
        (
            "exhaust closes after top dead centre",
            timing.exhaust_closes_after_top_deg,
            (-60.0, 150.0),
        ),
        ("the ramp of a port", timing.ramp_deg, (1.0, 120.0)),
    ] {
        within(quantity, value, "degrees", limits)?;
    }
    for (quantity, value) in [
        ("area of the intake port", areas.intake_m2),
        ("area of the exhaust port", areas.exhaust_m2),
    ] {
        within(quantity, value, "m2", (1e-6, 0.1))?;
    }
    let port = |opens_deg: f64, closes_deg: f64, area_m2: f64| Port {
        opens_deg,
        closes_deg,
        ramp_deg: timing.ramp_deg,
        area_m2,
    };
    let intake = port(
        540.0 - timing.intake_opens_before_top_deg,
        810.0 + timing.intake_closes_after_bottom_deg,
        areas.intake_m2,
    );
    let exhaust = port(
        270.0 - timing.exhaust_opens_before_bottom_deg,
        540.0 + timing.exhaust_closes_after_top_deg,
        areas.exhaust_m2,
    );
    before("exhaust opens", exhaust.opens_deg, "intake opens", intake.opens_deg)?;
    before("exhaust closes", exhaust.closes_deg, "intake closes", intake.closes_deg)?;
    for (opened, shut, port) in [
        ("intake wide open", "intake starts to close", &intake),
        ("exhaust wide open", "exhaust starts to close", &exhaust),
    ] {
        before(opened, port.opens_deg + port.ramp_deg, shut, port.closes_deg - port.ramp_deg)?;
    }
    Ok((intake, exhaust))
}

pub(super) fn before(
    first: &'static str,
    first_deg: f64,
    second: &'static str,
    second_deg: f64,
) -> Result<(), GasError> {
    if first_deg < second_deg {
        Ok(())
    } else {
        Err(GasError::Order { first, first_deg, second, second_deg })
    }
}

/// State of a gas at rest on one side of an orifice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Absolute pressure, Pa, above nothing.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
}

/// Mass flow through an effective area, kg/s, positive from `from` to `into`.
#[must_use]
pub fn orifice_kg_per_s(gas: &WorkingGas, area_m2: f64, from: Side, into: Side) -> f64 {
    if from.pressure_pa >= into.pressure_pa {
        forward_kg_per_s(gas, area_m2, from, into.pressure_pa)
    } else {
        -forward_kg_per_s(gas, area_m2, into, from.pressure_pa)
    }
}

fn forward_kg_per_s(gas: &WorkingGas, area_m2: f64, from: Side, into_pa: f64) -> f64 {
    let gamma = gas.gamma(from.temperature_k);
    let root = (gas.gas_constant_j_per_kg_k() * from.temperature_k).sqrt();
    let pi = into_pa / from.pressure_pa;
    let psi = if 1.0 - pi < NEARLY_EQUAL {
        psi_subsonic(gamma, 1.0 - NEARLY_EQUAL) * (1.0 - pi) / NEARLY_EQUAL
    } else {
        psi(gamma, pi)
    };
    area_m2 * from.pressure_pa / root * psi
}

/// No gas of `γ` up to 5/3 chokes above this ratio at `γ → 1`, `e^(−1/2)`.
const NEVER_CHOKED_ABOVE: f64 = 0.607;

fn psi(gamma: f64, pi: f64) -> f64 {
    if pi < NEVER_CHOKED_ABOVE {
        let critical = (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0));
        if pi <= critical {
            return psi_subsonic(gamma, critical);
        }
    }
    psi_subsonic(gamma, pi)
}

fn psi_subsonic(gamma: f64, pi: f64) -> f64 {
    let root = (pi.ln() / gamma).exp();
    // Π^((γ+1)/γ) is Π·Π^(1/γ).
    (2.0 * gamma / (gamma - 1.0) * root * (root - pi)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flow(gamma: f64, pressure_pa: f64, into_pa: f64) -> f64 {
        let gas = WorkingGas::constant(287.0, gamma).unwrap();
        let side = |pressure_pa| Side { pressure_pa, temperature_k: 300.0 };
        orifice_kg_per_s(&gas, 1e-4, side(pressure_pa), side(into_pa))
    }

    #[test]
    fn choked_flow_is_the_closed_form_and_does_not_know_what_is_downstream() {
        // ṁ√(RT)/(A·p) = √γ·(2/(γ+1))^((γ+1)/(2(γ−1))); 0.684731 at γ = 1.4 [HEYWOOD].
        let scale = 1e-4 * 2e5 / (287.0f64 * 300.0).sqrt();
        assert!((flow(1.4, 2e5, 1e5) / scale - 0.684_731).abs() < 1e-6);
        assert_eq!(flow(1.4, 2e5, 1e5), flow(1.4, 2e5, 1e3));
    }

    #[test]
    fn slow_flow_is_bernoulli_and_flow_turns_with_the_difference() {
        let density = 1e5 / (287.0 * 300.0);
        let bernoulli = 1e-4 * (2.0 * density * 1000.0f64).sqrt();
        assert!((flow(1.4, 1e5, 0.99e5) / bernoulli - 1.0).abs() < 0.01);
        assert_eq!(flow(1.4, 1e5, 0.9e5), -flow(1.4, 0.9e5, 1e5));
        assert_eq!(flow(1.4, 1e5, 1e5), 0.0);
    }

    #[test]
    fn flow_has_no_jump_where_its_law_changes() {
        for pi in [1.0 - NEARLY_EQUAL, 0.528_281_787_717_174, NEVER_CHOKED_ABOVE] {
            let (less, more) =
                (flow(1.4, 1e5, 1e5 * (pi - 1e-9)), flow(1.4, 1e5, 1e5 * (pi + 1e-9)));
            assert!((less / more - 1.0).abs() < 1e-5, "{pi}");
        }
    }

    #[test]
    fn orders_that_make_no_cycle_are_refused() {
        let late = PortTiming { exhaust_closes_after_top_deg: 149.0, ..PortTiming::default() };
        assert!(ports(late, PortAreas::default()).is_ok());
        let wide = PortTiming { ramp_deg: 400.0, ..PortTiming::default() };
        assert!(ports(wide, PortAreas::default()).is_err());
        let crossed = PortTiming {
            intake_opens_before_top_deg: 150.0,
            exhaust_opens_before_bottom_deg: 0.0,
            ramp_deg: 120.0,
            intake_closes_after_bottom_deg: 0.0,
            exhaust_closes_after_top_deg: -60.0,
        };
        let text = ports(crossed, PortAreas::default()).unwrap_err().to_string();
        assert!(text.contains("exhaust wide open"), "{text}");
    }
}
