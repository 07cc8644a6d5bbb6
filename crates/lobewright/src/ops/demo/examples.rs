//! The shipped examples, which every build of the demonstration is made from.

use super::super::ShopError;
use super::draft::Draft;

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Example {
    Boat,
    Hydroplane,
    ThreeRotor,
    Aircraft,
    FirePump,
    SmallPump,
    Irrigation,
}

impl Example {
    pub(super) const ALL: [Self; 7] = [
        Self::Boat,
        Self::Hydroplane,
        Self::ThreeRotor,
        Self::Aircraft,
        Self::FirePump,
        Self::SmallPump,
        Self::Irrigation,
    ];

    const fn text(self) -> &'static str {
        match self {
            Self::Boat => include_str!("../../../../../examples/sprint-boat.toml"),
            Self::Hydroplane => include_str!("../../../../../examples/shelduck-hydroplane.toml"),
            Self::ThreeRotor => include_str!("../../../../../examples/cormorant-three.toml"),
            Self::Aircraft => include_str!("../../../../../examples/heron-aircraft.toml"),
            Self::FirePump => include_str!("../../../../../examples/dipper-pump.toml"),
            Self::SmallPump => include_str!("../../../../../examples/gannet-pump.toml"),
            Self::Irrigation => include_str!("../../../../../examples/teal-pump.toml"),
        }
    }

    /// What the shop's library calls its engine.
    pub(super) const fn engine(self) -> &'static str {
        match self {
            Self::Boat => "sprint, two rotors",
            Self::Hydroplane => "hydroplane, two rotors",
            Self::ThreeRotor => "hydroplane, three rotors",
            Self::Aircraft => "aircraft, one rotor",
            Self::FirePump => "fire pump, two rotors",
            Self::SmallPump => "pump, one rotor",
            Self::Irrigation => "irrigation pump, one rotor",
        }
    }

    /// As it is.
    pub(super) fn draft(self) -> Result<Draft, ShopError> {
        Draft::of(self.text())
    }

    /// With what is wrong in it put right: an example that shows a misread value or a rotor that
    /// is worn out is no pattern for the others.
    pub(super) fn cured(self) -> Result<Draft, ShopError> {
        let mut draft = self.draft()?;
        for (place, value) in self.cures() {
            draft.set(place, &format!("\"{value}\""));
        }
        Ok(draft)
    }

    const fn cures(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::FirePump => &[("rotor.DR-2.land_width.2", "69.929 mm")],
            Self::Irrigation => &[("rotor.TR-5.plain_step.3", "101 um")],
            Self::ThreeRotor => &[
                ("rotor.CR-30.mass", "4608 g"),
                ("rotor.CR-30.land_width.1", "79.891 mm"),
                ("rotor.CR-30.land_width.2", "79.893 mm"),
                ("rotor.CR-30.land_width.3", "79.890 mm"),
                ("rotor.CR-30.gear_step.1", "102 um"),
                ("rotor.CR-30.gear_step.2", "99 um"),
                ("rotor.CR-30.gear_step.3", "101 um"),
                ("rotor.CR-30.plain_step.1", "97 um"),
                ("rotor.CR-30.plain_step.2", "101 um"),
                ("rotor.CR-30.plain_step.3", "99 um"),
                ("rotor.CR-30.tip_width.1", "79.692 mm"),
                ("rotor.CR-30.tip_width.2", "79.693 mm"),
                ("rotor.CR-30.tip_width.3", "79.690 mm"),
            ],
            _ => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::plan;
    use super::*;
    use crate::build_file::read;
    use kernel::units::System;

    #[test]
    fn a_cured_example_has_a_plan() {
        for example in Example::ALL {
            let text = example.cured().unwrap().before_the_cut().text().unwrap();
            let report = plan(&read(&text).unwrap(), System::Metric).unwrap();
            assert!(report.feasible, "{example:?}: {:?}", report.limiting);
        }
    }
}
