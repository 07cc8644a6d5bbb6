//! The machine's record: what its control reads, how the part is held, what cuts and how fast.

use super::error::CuttingError;
use super::nose::Nose;
use crate::units::{Length, Speed, Velocity};

/// What numbers the control reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

impl Units {
    /// As the record says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "inch",
        }
    }

    /// Decimals that every control of these units takes: 0.001 mm, 0.0001 in.
    #[must_use]
    pub const fn decimals(self) -> usize {
        match self {
            Self::Mm => 3,
            Self::Inch => 4,
        }
    }

    /// One of them.
    #[must_use]
    pub const fn unit(self) -> Length {
        match self {
            Self::Mm => Length::mm(1.0),
            Self::Inch => Length::inch(1.0),
        }
    }

    /// Half of the last decimal: how far rounding can take a number.
    #[must_use]
    pub const fn rounding(self) -> Length {
        match self {
            Self::Mm => Length::mm(0.0005),
            Self::Inch => Length::inch(0.000_05),
        }
    }
}

/// The control's own word for its units. RS274/NGC and common practice have G20 and G21
/// [NISTIR-6556], the standard has G70 and G71 [ISO-6983-1], which on many controls are something
/// else: the machine's record decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitsWord {
    /// Inch, RS274/NGC.
    G20,
    /// Millimetre, RS274/NGC.
    G21,
    /// Inch, the standard.
    G70,
    /// Millimetre, the standard.
    G71,
}

impl UnitsWord {
    /// As it stands in a program.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::G20 => "G20",
            Self::G21 => "G21",
            Self::G70 => "G70",
            Self::G71 => "G71",
        }
    }

    /// What it says.
    #[must_use]
    pub const fn units(self) -> Units {
        match self {
            Self::G20 | Self::G70 => Units::Inch,
            Self::G21 | Self::G71 => Units::Mm,
        }
    }
}

/// How a lathe's control counts X.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum XReads {
    /// The distance across.
    Diameter,
    /// The distance from the axis.
    Radius,
}

/// What the part rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBy {
    /// The land of the face that is down.
    Land,
    /// A plug in the bore, bearing out.
    Bore,
}

/// How the part is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixture {
    /// What it rests on.
    pub held_by: HeldBy,
    /// Radius of what stands in the middle of the part above its upper land, zero if nothing does.
    pub clamp_radius: Length,
    /// How far that stands above the upper land as found.
    pub clamp_height: Length,
}

/// A mill's cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MillCutter {
    /// Over its cutting edges.
    pub diameter: Length,
    /// Of its teeth, zero for sharp ones.
    pub corner_radius: Length,
    /// How many.
    pub teeth: u32,
    /// From its end to the holder.
    pub reach: Length,
    /// Of the holder.
    pub holder_diameter: Length,
}

/// A lathe's tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LatheTool {
    /// How the control counts X.
    pub x_reads: XReads,
    /// Of its nose.
    pub nose_radius: Length,
    /// From its end to the holder.
    pub reach: Length,
    /// Of the holder; taken to reach that far to either side of the tip.
    pub holder_width: Length,
}

/// Which kind of machine, with what cuts on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// A mill with a vertical spindle.
    Mill(MillCutter),
    /// A lathe.
    Lathe(LatheTool),
}

/// How the rough passes are taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rough {
    /// At the cutter's edge, or at the largest radius cut on a lathe.
    pub cutting_speed: Velocity,
    /// Per tooth (mill), per turn (lathe).
    pub feed: Length,
    /// Most per pass.
    pub depth: Length,
}

/// How the finishing pass is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finish {
    /// At the cutter's edge, or at the largest radius cut on a lathe.
    pub cutting_speed: Velocity,
    /// Per tooth (mill), per turn (lathe).
    pub feed: Length,
    /// Left proud by the rough passes, taken after the stop to measure.
    pub stock: Length,
}

/// The record of a machine tool.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineTool {
    /// The shop's name for it.
    pub name: String,
    /// What cuts.
    pub kind: Kind,
    /// What numbers its control reads.
    pub units: Units,
    /// The control's word for that.
    pub units_word: UnitsWord,
    /// Most of its spindle.
    pub most_speed: Speed,
    /// Least of its spindle, if it is known.
    pub least_speed: Option<Speed>,
    /// Of its rapid moves, for the time alone.
    pub rapid: Option<Velocity>,
    /// How the part is held.
    pub fixture: Fixture,
    /// The rough passes.
    pub rough: Rough,
    /// The finishing pass.
    pub finish: Finish,
}

impl MachineTool {
    /// Looks at what the record says of itself.
    ///
    /// # Errors
    /// A units word of other units; a size or speed that is not above nothing; a corner as wide as
    /// the cutter; stock for the finishing pass that is more than the depth of one pass.
    pub fn checked(&self) -> Result<(), CuttingError> {
        if self.units_word.units() != self.units {
            let right = match self.units {
                Units::Mm => "G21 (or G71)",
                Units::Inch => "G20 (or G70)",
            };
            let (word, units) = (self.units_word.text(), self.units.name());
            return Err(CuttingError::UnitsWord { word, units, right });
        }
        for (name, speed) in [
            ("most_speed", self.most_speed.to_rad_per_s()),
            ("least_speed", self.least_speed.map_or(1.0, Speed::to_rad_per_s)),
            ("rapid", self.rapid.map_or(1.0, Velocity::to_m_per_s)),
            ("the cutting speed of the rough passes", self.rough.cutting_speed.to_m_per_s()),
            ("the cutting speed of the finishing pass", self.finish.cutting_speed.to_m_per_s()),
        ] {
            if !(speed.is_finite() && speed > 0.0) {
                return Err(CuttingError::NoSpeed { name });
            }
        }
        positive("the feed of the rough passes", self.rough.feed)?;
        positive("the feed of the finishing pass", self.finish.feed)?;
        positive("the depth of a rough pass", self.rough.depth)?;
        positive("the stock of the finishing pass", self.finish.stock)?;
        not_negative("clamp_radius", self.fixture.clamp_radius)?;
        not_negative("clamp_height", self.fixture.clamp_height)?;
        if self.finish.stock > self.rough.depth {
            return Err(CuttingError::Order {
                less: "the stock of the finishing pass",
                less_value: self.finish.stock,
                more: "the depth of a rough pass",
                more_value: self.rough.depth,
            });
        }
        match self.kind {
            Kind::Mill(cutter) => {
                positive("the cutter's diameter", cutter.diameter)?;
                not_negative("the cutter's corner radius", cutter.corner_radius)?;
                positive("the cutter's reach", cutter.reach)?;
                positive("the holder's diameter", cutter.holder_diameter)?;
                if cutter.teeth == 0 {
                    return Err(CuttingError::NoTeeth);
                }
                // A flat of a millimetre, so that turns that overlap exist.
                let least = cutter.corner_radius * 2.0 + Length::mm(2.0);
                if cutter.diameter < least {
                    return Err(CuttingError::Order {
                        less: "twice the corner radius with 2 mm of flat",
                        less_value: least,
                        more: "the cutter's diameter",
                        more_value: cutter.diameter,
                    });
                }
            }
            Kind::Lathe(tool) => {
                positive("the nose radius", tool.nose_radius)?;
                positive("the tool's reach", tool.reach)?;
                positive("the holder's width", tool.holder_width)?;
            }
        }
        Ok(())
    }

    /// The shape of what cuts.
    #[must_use]
    pub const fn nose(&self) -> Nose {
        match self.kind {
            Kind::Mill(cutter) => Nose {
                flat_m: 0.5 * cutter.diameter.to_m() - cutter.corner_radius.to_m(),
                corner_m: cutter.corner_radius.to_m(),
            },
            Kind::Lathe(tool) => Nose { flat_m: 0.0, corner_m: tool.nose_radius.to_m() },
        }
    }
}

pub(super) fn positive(name: &'static str, value: Length) -> Result<f64, CuttingError> {
    if value.is_finite() && value > Length::ZERO {
        Ok(value.to_m())
    } else {
        Err(CuttingError::NotPositive { name, value })
    }
}

pub(super) fn not_negative(name: &'static str, value: Length) -> Result<f64, CuttingError> {
    if value.is_finite() && value >= Length::ZERO {
        Ok(value.to_m())
    } else {
        Err(CuttingError::Negative { name, value })
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in super::super) fn mill() -> MachineTool {
        MachineTool {
            name: "west mill".to_owned(),
            kind: Kind::Mill(MillCutter {
                diameter: Length::mm(16.0),
                corner_radius: Length::mm(0.4),
                teeth: 3,
                reach: Length::mm(40.0),
                holder_diameter: Length::mm(40.0),
            }),
            units: Units::Mm,
            units_word: UnitsWord::G21,
            most_speed: Speed::rpm(4000.0),
            least_speed: Some(Speed::rpm(60.0)),
            rapid: Some(Velocity::m_per_s(5.0 / 60.0)),
            fixture: Fixture {
                held_by: HeldBy::Land,
                clamp_radius: Length::mm(34.0),
                clamp_height: Length::mm(18.0),
            },
            rough: Rough {
                cutting_speed: Velocity::m_per_s(70.0 / 60.0),
                feed: Length::mm(0.08),
                depth: Length::mm(0.3),
            },
            finish: Finish {
                cutting_speed: Velocity::m_per_s(90.0 / 60.0),
                feed: Length::mm(0.05),
                stock: Length::um(30.0),
            },
        }
    }

    pub(in super::super) fn lathe() -> MachineTool {
        MachineTool {
            name: "long lathe".to_owned(),
            kind: Kind::Lathe(LatheTool {
                x_reads: XReads::Diameter,
                nose_radius: Length::mm(0.8),
                reach: Length::mm(30.0),
                holder_width: Length::mm(20.0),
            }),
            most_speed: Speed::rpm(1800.0),
            least_speed: None,
            ..mill()
        }
    }

    #[test]
    fn a_record_that_contradicts_itself_is_refused() {
        assert_eq!(mill().checked(), Ok(()));
        assert_eq!(lathe().checked(), Ok(()));
        let refused = |change: fn(&mut MachineTool), part: &str| {
            let mut machine = mill();
            change(&mut machine);
            let message = machine.checked().unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        };
        refused(|m| m.units_word = UnitsWord::G70, "G70 is not a control's word for mm");
        refused(|m| m.units = Units::Inch, "G21 is not a control's word for inch");
        refused(|m| m.most_speed = Speed::ZERO, "most_speed");
        refused(|m| m.finish.stock = Length::mm(0.4), "must be less than the depth of a rough");
        refused(|m| m.rough.feed = Length::ZERO, "the feed of the rough passes");
        refused(|m| m.fixture.clamp_radius = Length::mm(-1.0), "clamp_radius");
        refused(
            |m| {
                if let Kind::Mill(cutter) = &mut m.kind {
                    cutter.corner_radius = Length::mm(7.5);
                }
            },
            "twice the corner radius",
        );
    }
}
