//! Readings as sizes at 20 °C with what is uncertain of each by itself.

use super::super::assumed::Assumed;
use super::super::inputs::expansions;
use super::super::shop::ShopError;
use crate::build_file::Build;
use kernel::readings::{Gauge, MeasuredAt};
use kernel::units::{Expansion, Length, Temperature};
use records::{GaugeId, PartKind, Reading, Shop};
use std::collections::HashMap;

/// Repeat of a gauge that nobody noted (common practice, no source).
const REPEAT: Length = Length::um(3.0);
/// Zero of such a gauge, which is not known to be the same one twice (common practice, no source).
const ZERO: Length = Length::um(2.0);
/// Expansion of a steel gauge, and of parts whose material is not said (checked range 11 to
/// 12.7e-6 /K).
const STEEL: Expansion = Expansion::per_k(11.5e-6);
/// Standard uncertainty of a part's temperature that was noted.
const NOTED_K: f64 = 0.5;

/// A reading as a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sized {
    pub(super) m: f64,
    /// By itself: repeat and temperature.
    pub(super) own_u_m: f64,
    /// Zero of its gauge.
    pub(super) zero_u_m: f64,
    pub(super) gauge: Option<GaugeId>,
}

/// The shop's gauges and the part's expansion.
pub(super) struct Gauges {
    repeats: HashMap<GaugeId, [f64; 2]>,
    expansion: Expansion,
}

impl Gauges {
    pub(super) fn of(shop: &Shop, kind: PartKind, file: Option<&Build>) -> Result<Self, ShopError> {
        let repeats = shop.gauges()?.into_iter().filter_map(|gauge| {
            let what = &gauge.calibration.what;
            let repeat = what.repeat.value::<Length>()?.to_m();
            let zero = what.zero.as_ref().and_then(|zero| zero.value::<Length>());
            Some((gauge.id, [repeat, zero.map_or(0.0, Length::to_m)]))
        });
        let known = file.and_then(expansions);
        let expansion = match (kind, known) {
            (PartKind::Rotor, Some([rotor, _])) => rotor,
            (PartKind::RotorHousing, Some([_, housing])) => housing,
            _ => STEEL,
        };
        Ok(Self { repeats: repeats.collect(), expansion })
    }

    /// A reading as a size; nothing where it is no length.
    pub(super) fn sized(&self, reading: &Reading, assumed: &mut Assumed) -> Option<Sized> {
        let length = reading.value.value::<Length>()?;
        let known = reading.gauge.and_then(|id| self.repeats.get(&id));
        if known.is_none() {
            assumed.note(format!(
                "repeat {:.0} um and zero {:.0} um where no gauge is noted with a reading",
                REPEAT.to_um(),
                ZERO.to_um()
            ));
        }
        let [repeat, zero] = known.copied().unwrap_or([REPEAT.to_m(), ZERO.to_m()]);
        let noted = reading.temperature.as_ref().and_then(|t| t.value::<Temperature>());
        if noted.is_none() {
            // As a build's file says it by saying nothing.
            assumed.note("parts at 20 \u{b0}C where no temperature is noted with a reading");
        }
        let (temperature, u_k) = match noted {
            Some(temperature) => (temperature, NOTED_K),
            None => (Temperature::REFERENCE, 0.0),
        };
        let at = MeasuredAt { part: 0, temperature, uncertainty_k: u_k, expansion: self.expansion };
        let gauge = Gauge {
            id: 0,
            repeat: Length::ZERO,
            zero: Length::ZERO,
            temperature: Temperature::REFERENCE,
            expansion: STEEL,
        };
        let warm_u_m = length.to_m() * self.expansion.to_per_k() * u_k;
        Some(Sized {
            m: length.to_m() * at.to_reference(&gauge),
            own_u_m: repeat.hypot(warm_u_m),
            zero_u_m: zero,
            gauge: reading.gauge.filter(|_| known.is_some()),
        })
    }
}
