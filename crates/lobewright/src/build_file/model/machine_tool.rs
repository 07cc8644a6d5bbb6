//! A machine tool as the shop knows it, for its machining programs: `[machine_tool.NAME]`.

use kernel::units::{CuttingSpeed, Length, Speed};

/// A machine tool with the tool, the fixture and the figures that rotor faces are cut with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MachineTool {
    /// What its control takes.
    pub control: Control,
    /// Most of the spindle.
    pub most_speed: Speed,
    /// Least of the spindle.
    pub least_speed: Option<Speed>,
    /// How fast it travels where it does not cut, for the time.
    pub rapid: Option<CuttingSpeed>,
    /// How a rotor is held: `[machine_tool.NAME.fixture]`.
    pub fixture: Fixture,
    /// What cuts, by `kind`: `[machine_tool.NAME.cutter]`.
    pub tool: Tool,
    /// `[machine_tool.NAME.rough]`
    pub rough: Rough,
    /// `[machine_tool.NAME.finish]`
    pub finish: Finish,
}

/// The numbers that a control reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Control {
    /// What they are.
    pub units: ControlUnits,
    /// The control's own word for that.
    pub word: UnitsWord,
}

/// What the numbers of a program are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ControlUnits {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

impl ControlUnits {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Mm, Self::Inch];

    /// As the file says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "inch",
        }
    }
}

/// The word of a program that says what its numbers are. G20 and G21 are those of RS274/NGC,
/// G70 and G71 those of ISO 6983-1; on many a control the others are another function.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitsWord {
    /// Inches.
    G20,
    /// Millimetres.
    G21,
    /// Inches.
    G70,
    /// Millimetres.
    G71,
}

impl UnitsWord {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::G20, Self::G21, Self::G70, Self::G71];

    /// As the file says it, and the program.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::G20 => "G20",
            Self::G21 => "G21",
            Self::G70 => "G70",
            Self::G71 => "G71",
        }
    }

    /// What it makes the numbers.
    #[must_use]
    pub const fn units(self) -> ControlUnits {
        match self {
            Self::G20 | Self::G70 => ControlUnits::Inch,
            Self::G21 | Self::G71 => ControlUnits::Mm,
        }
    }
}

/// How a rotor is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixture {
    /// What the rotor is located by.
    pub held_by: HeldBy,
    /// Radius of what stands in the middle of the part above its upper land.
    pub clamp_radius: Length,
    /// How far it stands above that land.
    pub clamp_height: Length,
}

/// What a rotor is located by. Never a mandrel in the bearing: it would mark the overlay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBy {
    /// It rests on the land of its lower face.
    Land,
    /// On a plug in the bore, with the bearing out.
    Bore,
}

impl HeldBy {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Land, Self::Bore];

    /// As the file says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Land => "land",
            Self::Bore => "bore",
        }
    }
}

/// What cuts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tool {
    /// `kind = "vertical mill"`
    Mill(MillCutter),
    /// `kind = "lathe"`
    Lathe(LatheTool),
}

impl Tool {
    /// The kinds, as the file says them.
    pub const KINDS: [&str; 2] = ["vertical mill", "lathe"];

    /// Its kind, as the file says it.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Mill(_) => Self::KINDS[0],
            Self::Lathe(_) => Self::KINDS[1],
        }
    }
}

/// A cutter of a mill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MillCutter {
    /// Over its cutting edges.
    pub diameter: Length,
    /// Of each tooth.
    pub corner_radius: Length,
    /// How many it has.
    pub teeth: u32,
    /// From its end to the holder.
    pub reach: Length,
    /// Of the holder.
    pub holder_diameter: Length,
}

/// A tool of a lathe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LatheTool {
    /// How the control reads X.
    pub x_reads: XReads,
    /// Its nose radius: `corner_radius`.
    pub nose_radius: Length,
    /// From its end to the holder.
    pub reach: Length,
    /// Of the holder, along X.
    pub holder_width: Length,
}

/// How a lathe's control reads X.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum XReads {
    /// As a diameter.
    Diameter,
    /// As a radius.
    Radius,
}

impl XReads {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Diameter, Self::Radius];

    /// As the file says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Diameter => "diameter",
            Self::Radius => "radius",
        }
    }
}

/// Passes that take most of the stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rough {
    /// Of the edge over the work.
    pub cutting_speed: CuttingSpeed,
    /// Per tooth of a mill, per turn of a lathe.
    pub feed: Length,
    /// Most that one pass takes.
    pub depth: Length,
}

/// The last pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finish {
    /// Of the edge over the work.
    pub cutting_speed: CuttingSpeed,
    /// Per tooth of a mill, per turn of a lathe.
    pub feed: Length,
    /// Left proud by the rough passes; taken after the stop to measure.
    pub stock: Length,
}
