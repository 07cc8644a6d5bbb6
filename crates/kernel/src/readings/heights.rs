//! Where a rotor's faces are: land and tip heights at the three tips, from the mid-plane.

use crate::units::Length;

/// Number of tips of a rotor.
pub const TIPS: usize = 3;

/// Which side face of a rotor. They stay with the part wherever it is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The face with the internal gear.
    Gear,
    /// The other face.
    Plain,
}

impl Face {
    /// Both, in the order in which everything lists them.
    pub const BOTH: [Self; 2] = [Self::Gear, Self::Plain];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gear => "gear",
            Self::Plain => "plain",
        }
    }

    /// The other face.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Gear => Self::Plain,
            Self::Plain => Self::Gear,
        }
    }
}

/// Heights of one face at tips 1, 2, 3, outwards from the mid-plane.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FaceHeights {
    /// The land, read at its outer radius on the azimuth of each tip.
    pub land: [Length; TIPS],
    /// The tips.
    pub tip: [Length; TIPS],
}

impl FaceHeights {
    /// Step at each tip: land height less tip height, positive with the land proud.
    #[must_use]
    pub fn step(&self) -> [Length; TIPS] {
        std::array::from_fn(|k| self.land[k] - self.tip[k])
    }
}

/// Heights of both faces.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heights {
    /// The gear face.
    pub gear: FaceHeights,
    /// The plain face.
    pub plain: FaceHeights,
}

impl Heights {
    /// One face.
    #[must_use]
    pub const fn face(&self, face: Face) -> &FaceHeights {
        match face {
            Face::Gear => &self.gear,
            Face::Plain => &self.plain,
        }
    }

    /// Land width at each tip.
    #[must_use]
    pub fn land_width(&self) -> [Length; TIPS] {
        std::array::from_fn(|k| self.gear.land[k] + self.plain.land[k])
    }

    /// Tip width at each tip.
    #[must_use]
    pub fn tip_width(&self) -> [Length; TIPS] {
        std::array::from_fn(|k| self.gear.tip[k] + self.plain.tip[k])
    }
}
