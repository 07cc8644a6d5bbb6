//! What is inspected on a used part: the items, where each is, and what it is called.

use crate::counted::{Journal, WidthStation};
use crate::inspected::count::{Direction, Flank};
use crate::rotor_shape::RotorShape;
use crate::station::SideShape;
use crate::tip::Tip;
use crate::wear_map::WallPoint;
use kernel::geometry::Looks;
use kernel::readings::Face;

/// On a rotor housing. Places around the bore count as stations of its width do: clockwise seen
/// from the front, even around the bore, place 1 at the hot waist.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HousingItem {
    /// The bore's plating, looked at.
    PlatingSeen(WidthStation),
    /// The plating's thickness, by a coating gauge.
    PlatingThickness(WidthStation),
    /// Depth of the wear in the middle of the bore's width, below its unworn edges.
    BoreWear(WidthStation),
    /// Edges of ports and plug holes, looked at.
    Edges,
}

/// With what a side housing's flatness is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlatnessBy {
    /// A straightedge laid in six directions, and feelers.
    Straightedge,
    /// An indicator that is slid over a surface plate, the housing level on three supports.
    Indicator,
}

/// On a face of a side housing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideItem {
    /// How far from flat the face is.
    Flatness(FlatnessBy),
    /// Edges of the ports, looked at.
    Edges,
}

/// Where along an apex seal's groove its width is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroovePlace {
    /// At the end on the gear face.
    GearEnd,
    /// In the middle of the rotor's width.
    Middle,
    /// At the end on the plain face.
    PlainEnd,
}

/// Which size of a side seal's groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrooveSize {
    /// Across it.
    Width,
    /// From the face to its bottom.
    Depth,
}

/// On a rotor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RotorItem {
    /// Width of the apex seal's groove.
    ApexGroove {
        /// Of which tip.
        tip: Tip,
        /// Where along it.
        place: GroovePlace,
    },
    /// Diameter of a corner seal's bore.
    CornerBore {
        /// On which face.
        face: Face,
        /// At which tip.
        tip: Tip,
    },
    /// A size of a side seal's groove.
    SideGroove {
        /// On which face.
        face: Face,
        /// Along which flank.
        flank: Flank,
        /// Which size.
        size: GrooveSize,
    },
    /// Diameter of the bearing bore; in line is the line through the middle of tip 1.
    BearingBore(Direction),
    /// Its internal gear, looked at: teeth, and what holds it.
    Gear,
    /// Cracks, by penetrant or magnetic particles.
    Cracks,
}

/// On an eccentric shaft. Journals count from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShaftItem {
    /// Run-out in the middle, with the outer mains in V-blocks: full movement of the indicator.
    RunOut,
    /// Diameter of a main journal; in line is the line of the throw of rotor 1.
    MainJournal {
        /// Which.
        journal: Journal,
        /// Which way across it.
        direction: Direction,
    },
    /// Diameter of a rotor journal; in line is the line of its own throw.
    RotorJournal {
        /// Which.
        journal: Journal,
        /// Which way across it.
        direction: Direction,
    },
    /// All journals, looked at.
    Journals,
    /// Cracks, by penetrant or magnetic particles.
    Cracks,
}

/// On a stationary gear with its main bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearItem {
    /// Its teeth, looked at.
    Teeth,
    /// Inside diameter of the bearing in it; in line is the line through the dowel or mark that
    /// sets the gear's place.
    BearingInside(Direction),
    /// Press of the bearing in its bore: outside diameter less bore, before it is pressed.
    BearingPress,
    /// The bearing's running surface, looked at.
    Lining,
}

/// On a rotor bearing out of its rotor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BearingItem {
    /// Inside diameter; in line is the line through its mark, lug or oil hole.
    Inside(Direction),
    /// Press: outside diameter less the bore it goes into, before it is pressed.
    Press,
    /// Its running surface, looked at.
    Lining,
}

/// Whose spring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spring {
    /// Of an apex seal.
    Apex,
    /// Of a corner seal.
    Corner,
    /// Of a side seal.
    Side,
    /// Of an oil seal.
    Oil,
}

/// On seals and their springs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SealItem {
    /// Height of an apex seal, from its crown to its foot.
    ApexHeight,
    /// Thickness of an apex seal, where it fits its groove.
    ApexThickness,
    /// Length of an apex seal, along the shaft.
    ApexLength,
    /// Diameter of a corner seal.
    CornerDiameter,
    /// Height of a side seal, out of its groove.
    SideHeight,
    /// Gap between the end of a side seal and its corner seal.
    SideEndGap,
    /// Width of the lip of an oil seal's ring that runs on the wall.
    OilLipWidth,
    /// Load of a spring at a height.
    SpringLoad(Spring),
    /// Free height of a spring.
    SpringHeight(Spring),
}

/// What is inspected. Where a shape is left out, one like it is drawn, and that is said.
#[derive(Debug, Clone, PartialEq)]
pub enum InspectedAt {
    /// On a rotor housing.
    RotorHousing {
        /// What.
        item: HousingItem,
        /// The bore's outline in the engine's axes, in order around; it is closed by itself.
        bore: Option<Vec<WallPoint>>,
    },
    /// On a side housing.
    SideHousing {
        /// What.
        item: SideItem,
        /// Which way the face looks.
        looks: Looks,
        /// The shape of the face.
        shape: Option<SideShape>,
    },
    /// On a rotor.
    Rotor {
        /// What.
        item: RotorItem,
        /// The rotor's shape.
        shape: Option<RotorShape>,
    },
    /// On an eccentric shaft.
    Shaft(ShaftItem),
    /// On a stationary gear with its main bearing.
    StationaryGear(GearItem),
    /// On a rotor bearing out of its rotor.
    Bearing(BearingItem),
    /// On seals and springs.
    Seal(SealItem),
}

impl HousingItem {
    /// The place around the bore, where it has one.
    pub(super) const fn place(self) -> Option<WidthStation> {
        match self {
            Self::PlatingSeen(place) | Self::PlatingThickness(place) | Self::BoreWear(place) => {
                Some(place)
            }
            Self::Edges => None,
        }
    }

    fn name(self) -> String {
        let at = |what: &str, place: WidthStation| {
            format!("{what} at place {} of {}", place.number(), place.of())
        };
        match self {
            Self::PlatingSeen(place) => at("plating", place),
            Self::PlatingThickness(place) => at("plating thickness", place),
            Self::BoreWear(place) => at("bore wear", place),
            Self::Edges => "edges of ports and plug holes".to_owned(),
        }
    }
}

impl RotorItem {
    /// The face that is looked at: that of the item; the gear face where a face does not matter;
    /// the plain face where the gear is in the way.
    pub(super) const fn seen(self) -> Face {
        match self {
            Self::CornerBore { face, .. } | Self::SideGroove { face, .. } => face,
            Self::ApexGroove { place: GroovePlace::PlainEnd, .. } | Self::BearingBore(_) => {
                Face::Plain
            }
            Self::ApexGroove { .. } | Self::Gear | Self::Cracks => Face::Gear,
        }
    }

    fn name(self) -> String {
        match self {
            Self::ApexGroove { tip, place } => {
                format!("apex-seal groove at tip {}, {}", tip.number(), place.name())
            }
            Self::CornerBore { face, tip } => {
                format!("corner-seal bore at tip {}, {} face", tip.number(), face.name())
            }
            Self::SideGroove { face, flank, size } => {
                let size = match size {
                    GrooveSize::Width => "width",
                    GrooveSize::Depth => "depth",
                };
                let (flank, face) = (flank.number(), face.name());
                format!("side-seal groove {size} at flank {flank}, {face} face")
            }
            Self::BearingBore(direction) => {
                format!("bearing bore, {}", direction.name("with tip 1"))
            }
            Self::Gear => "the rotor's gear and its fastening".to_owned(),
            Self::Cracks => "crack test".to_owned(),
        }
    }
}

impl GroovePlace {
    const fn name(self) -> &'static str {
        match self {
            Self::GearEnd => "gear end",
            Self::Middle => "middle",
            Self::PlainEnd => "plain end",
        }
    }
}

impl ShaftItem {
    fn name(self) -> String {
        let which = |name: &str, journal: Journal, direction: Direction, line: &str| {
            let (number, of) = (journal.number(), journal.of());
            format!("{name} journal {number} of {of}, {}", direction.name(line))
        };
        match self {
            Self::RunOut => "run-out in the middle".to_owned(),
            Self::MainJournal { journal, direction } => {
                which("main", journal, direction, "with throw 1")
            }
            Self::RotorJournal { journal, direction } => {
                which("rotor", journal, direction, "with its throw")
            }
            Self::Journals => "surfaces of the journals".to_owned(),
            Self::Cracks => "crack test".to_owned(),
        }
    }
}

impl Spring {
    /// Whose.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Apex => "apex-seal spring",
            Self::Corner => "corner-seal spring",
            Self::Side => "side-seal spring",
            Self::Oil => "oil-seal spring",
        }
    }
}

impl SealItem {
    /// What the part is called.
    pub(super) const fn part(self) -> &'static str {
        match self {
            Self::ApexHeight | Self::ApexThickness | Self::ApexLength => "Apex seal",
            Self::CornerDiameter => "Corner seal",
            Self::SideHeight | Self::SideEndGap => "Side seal",
            Self::OilLipWidth => "Oil seal",
            Self::SpringLoad(_) | Self::SpringHeight(_) => "Spring",
        }
    }

    fn name(self) -> String {
        match self {
            Self::ApexHeight => "apex-seal height".to_owned(),
            Self::ApexThickness => "apex-seal thickness".to_owned(),
            Self::ApexLength => "apex-seal length".to_owned(),
            Self::CornerDiameter => "corner-seal diameter".to_owned(),
            Self::SideHeight => "side-seal height".to_owned(),
            Self::SideEndGap => "side-seal end gap".to_owned(),
            Self::OilLipWidth => "oil-seal lip width".to_owned(),
            Self::SpringLoad(spring) => format!("{}: load at a height", spring.name()),
            Self::SpringHeight(spring) => format!("{}: free height", spring.name()),
        }
    }
}

impl InspectedAt {
    /// What the part is called.
    pub(super) const fn part(&self) -> &'static str {
        match self {
            Self::RotorHousing { .. } => "Rotor housing",
            Self::SideHousing { .. } => "Side housing",
            Self::Rotor { .. } => "Rotor",
            Self::Shaft(_) => "Eccentric shaft",
            Self::StationaryGear(_) => "Stationary gear",
            Self::Bearing(_) => "Rotor bearing",
            Self::Seal(item) => item.part(),
        }
    }

    /// What is inspected and where.
    pub(super) fn name(&self) -> String {
        match self {
            Self::RotorHousing { item, .. } => item.name(),
            Self::SideHousing { item, .. } => match item {
                SideItem::Flatness(FlatnessBy::Straightedge) => "flatness by straightedge",
                SideItem::Flatness(FlatnessBy::Indicator) => "flatness by indicator",
                SideItem::Edges => "edges of the ports",
            }
            .to_owned(),
            Self::Rotor { item, .. } => item.name(),
            Self::Shaft(item) => item.name(),
            Self::StationaryGear(GearItem::Teeth) => "teeth of the stationary gear".to_owned(),
            Self::StationaryGear(GearItem::BearingInside(direction)) => {
                format!("bearing's inside, {}", direction.name("with the dowel"))
            }
            Self::Bearing(BearingItem::Inside(direction)) => {
                format!("inside diameter, {}", direction.name("with its mark"))
            }
            Self::StationaryGear(GearItem::BearingPress) | Self::Bearing(BearingItem::Press) => {
                "press of the bearing in its bore".to_owned()
            }
            Self::StationaryGear(GearItem::Lining) => "lining of the main bearing".to_owned(),
            Self::Bearing(BearingItem::Lining) => "lining".to_owned(),
            Self::Seal(item) => item.name(),
        }
    }

    /// Whether the part that is drawn has a shape of its own.
    pub(super) const fn has_shape(&self) -> bool {
        match self {
            Self::RotorHousing { bore, .. } => bore.is_some(),
            Self::SideHousing { shape, .. } => shape.is_some(),
            Self::Rotor { shape, .. } => shape.is_some(),
            Self::Shaft(_) | Self::StationaryGear(_) | Self::Bearing(_) | Self::Seal(_) => false,
        }
    }
}
