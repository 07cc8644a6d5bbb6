//! The four states and the rises assumed when a duty does not give its own.

use crate::units::TemperatureDifference;

/// Number of thermal states.
pub const STATES: usize = 4;

/// Which state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StateName {
    /// Everything at 20 °C.
    Cold,
    /// Rotor hot, housing still cold.
    Warming,
    /// Hours at the duty.
    Steady,
    /// Stopped hot: the heat of the rotor has gone into the housing.
    Soak,
}

impl StateName {
    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Warming => "warming",
            Self::Steady => "steady",
            Self::Soak => "soak",
        }
    }
}

/// Rises above 20 °C [ISO-1] in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermalState {
    /// Which state.
    pub name: StateName,
    /// The housing on its cold side.
    pub housing: TemperatureDifference,
    /// How much hotter the housing is at the waist where combustion happens (`+y`).
    pub hot_arc: TemperatureDifference,
    /// The rotor through its lands.
    pub land: TemperatureDifference,
    /// The rotor through its tips.
    pub tip: TemperatureDifference,
}

impl ThermalState {
    /// A state with its rises in kelvins: housing, hot arc, land, tip.
    const fn rises(name: StateName, k: [f64; 4]) -> Self {
        Self {
            name,
            housing: TemperatureDifference::k(k[0]),
            hot_arc: TemperatureDifference::k(k[1]),
            land: TemperatureDifference::k(k[2]),
            tip: TemperatureDifference::k(k[3]),
        }
    }

    /// Everything at 20 °C.
    pub const COLD: Self = Self::rises(StateName::Cold, [0.0, 0.0, 0.0, 0.0]);
    /// Warming up. An assumption of this project, no source: to be replaced by a shop's own.
    pub const WARMING: Self = Self::rises(StateName::Warming, [20.0, 10.0, 80.0, 110.0]);
    /// Steady. An assumption of this project, no source: to be replaced by a shop's own.
    pub const STEADY: Self = Self::rises(StateName::Steady, [70.0, 20.0, 90.0, 140.0]);
    /// Heat soak. An assumption of this project, no source: to be replaced by a shop's own.
    pub const SOAK: Self = Self::rises(StateName::Soak, [85.0, 5.0, 90.0, 95.0]);

    /// The state with every rise so many times as large.
    #[must_use]
    pub fn times(&self, by: f64) -> Self {
        let rises = self.named().map(|(_, rise)| by * rise.to_k());
        Self::rises(self.name, rises)
    }

    /// All rises, with what each is called.
    #[must_use]
    pub const fn named(&self) -> [(&'static str, TemperatureDifference); 4] {
        [
            ("housing", self.housing),
            ("hot_arc", self.hot_arc),
            ("land", self.land),
            ("tip", self.tip),
        ]
    }
}

/// Cold and the three assumed hot states. Assumptions, not measurements: every result that rests
/// on them is to say so.
pub const ASSUMED: [ThermalState; STATES] =
    [ThermalState::COLD, ThermalState::WARMING, ThermalState::STEADY, ThermalState::SOAK];
