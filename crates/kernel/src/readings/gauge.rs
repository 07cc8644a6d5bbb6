//! A measuring instrument, the part it measured, and what their errors share.

use crate::units::{Expansion, Length, Temperature};

/// A measuring instrument as used: its two standard uncertainties and its own temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// Which instrument it is: readings with the same number share one zero.
    pub id: usize,
    /// Standard uncertainty of each reading, fresh every time.
    pub repeat: Length,
    /// Standard uncertainty of the instrument's zero, shared by everything it measured.
    pub zero: Length,
    /// Temperature of the instrument. A length standard at the part's own temperature grows with
    /// it, so only the difference of the two expansions is left.
    pub temperature: Temperature,
    /// Expansion of the instrument.
    pub expansion: Expansion,
}

/// The part while it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredAt {
    /// Which part it is: all its readings share one error of its temperature.
    pub part: usize,
    /// Temperature of the part.
    pub temperature: Temperature,
    /// Standard uncertainty of that temperature, as a difference in kelvin.
    pub uncertainty_k: f64,
    /// Expansion of the part.
    pub expansion: Expansion,
}

impl MeasuredAt {
    /// Factor that takes a reading of this part by a gauge to 20 °C [ISO-1]:
    /// `(1 + α_gauge (T_gauge − 20)) · (1 − α_part (T_part − 20))`, to first order in each.
    #[must_use]
    pub fn to_reference(&self, gauge: &Gauge) -> f64 {
        (1.0 + gauge.expansion * gauge.temperature.above_reference())
            * (1.0 - self.expansion * self.temperature.above_reference())
    }
}

/// An error that several readings have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shared {
    /// The zero of the gauge with this number.
    Zero(usize),
    /// The temperature of the part with this number.
    Temperature(usize),
    /// The clamp-up taken off the free width of the housing with this number.
    ClampUp(usize),
}

/// A length with what it owes to fresh errors and to shared ones, so that a shared zero cancels
/// in a difference. All in metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    value_m: f64,
    fresh_variance_m2: f64,
    /// Change of the value for one standard uncertainty of each shared error.
    shared_m: Vec<(Shared, f64)>,
}

impl Estimate {
    /// From its value and the standard uncertainty that it shares with nothing.
    #[must_use]
    pub fn new(value: Length, fresh: Length) -> Self {
        let fresh_m = fresh.to_m();
        Self { value_m: value.to_m(), fresh_variance_m2: fresh_m * fresh_m, shared_m: Vec::new() }
    }

    /// Adds what one standard uncertainty of a shared error does to the value.
    #[must_use]
    pub fn sharing(mut self, source: Shared, effect: Length) -> Self {
        match self.shared_m.iter_mut().find(|(s, _)| *s == source) {
            Some((_, sum)) => *sum += effect.to_m(),
            None => self.shared_m.push((source, effect.to_m())),
        }
        self
    }

    /// The value.
    #[must_use]
    pub const fn value(&self) -> Length {
        Length::m(self.value_m)
    }

    /// Combined standard uncertainty [JCGM-100].
    #[must_use]
    pub fn uncertainty(&self) -> Length {
        let shared: f64 = self.shared_m.iter().map(|(_, effect)| effect * effect).sum();
        Length::m((self.fresh_variance_m2 + shared).sqrt())
    }

    /// Standard uncertainty of what it shares through anything but a gauge's zero: temperature,
    /// clamp-up.
    #[must_use]
    pub fn part_uncertainty(&self) -> Length {
        let of_parts =
            self.shared_m.iter().filter(|(source, _)| !matches!(source, Shared::Zero(_)));
        Length::m(of_parts.map(|(_, effect)| effect * effect).sum::<f64>().sqrt())
    }

    /// `self − other`, with the shared errors taken as one: what both have in full cancels.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        let mut difference = self.clone();
        difference.value_m -= other.value_m;
        difference.fresh_variance_m2 += other.fresh_variance_m2;
        other
            .shared_m
            .iter()
            .fold(difference, |d, (source, effect)| d.sharing(*source, Length::m(-effect)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shared_zero_cancels_in_a_difference() {
        let zero = Length::um(1.0);
        let width =
            Estimate::new(Length::mm(80.008), Length::um(2.0)).sharing(Shared::Zero(0), zero);
        let land =
            Estimate::new(Length::mm(79.788), Length::um(2.0)).sharing(Shared::Zero(0), zero);
        let clearance = width.minus(&land);
        assert!((clearance.value().to_mm() - 0.22).abs() < 1e-12);
        assert!((clearance.uncertainty().to_um() - 8f64.sqrt()).abs() < 1e-9);
        let other =
            Estimate::new(Length::mm(79.788), Length::um(2.0)).sharing(Shared::Zero(1), zero);
        assert!((width.minus(&other).uncertainty().to_um() - 10f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn a_part_and_a_gauge_at_one_temperature_leave_the_difference_of_their_expansions() {
        let gauge = Gauge {
            id: 0,
            repeat: Length::um(2.0),
            zero: Length::ZERO,
            temperature: Temperature::deg_c(28.0),
            expansion: Expansion::per_k(11.5e-6),
        };
        let part = MeasuredAt {
            part: 0,
            temperature: Temperature::deg_c(28.0),
            uncertainty_k: 0.0,
            expansion: Expansion::per_k(11.0e-6),
        };
        let change_um = 80_000.0 * (part.to_reference(&gauge) - 1.0);
        assert!((change_um - 0.32).abs() < 1e-3, "{change_um}");
    }
}
