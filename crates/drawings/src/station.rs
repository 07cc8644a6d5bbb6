//! Where one reading is taken and how its gauge touches: the picture beside the field at the
//! bench where the reading is entered.
//!
//! On the left the part, with the place that is wanted marked by a heavy ring, an arrow and the
//! word; on the right a section in which the gauge touches. It is 480 wide, so that it can be
//! read on a small screen and enlarged on a large one. What each gauge does is the common way of
//! the trade (no source); a shop may have another.

pub(crate) mod face;
mod gauge;
pub(crate) mod housing;
pub(crate) mod shape;

use crate::counted::WidthStation;
use crate::rotor_shape::{self, RotorShape};
pub use shape::SideShape;

use crate::options::Options;
use crate::sheet::Sheet;
use crate::side_gap::Touch;
use crate::tip::Tip;
use crate::wear_map::WallPoint;
use kernel::geometry::Looks;
use kernel::readings::{Face, Kind};

/// Which reading is wanted. Where a shape is left out, one like it is drawn, and that is said.
#[derive(Debug, Clone, PartialEq)]
pub enum WantedAt {
    /// At a tip of a rotor. Widths are shown on the gear face.
    Tip {
        /// What is read.
        kind: Kind,
        /// At which tip.
        tip: Tip,
        /// The rotor's shape.
        shape: Option<RotorShape>,
    },
    /// The mass of a rotor.
    Mass {
        /// The rotor's shape.
        shape: Option<RotorShape>,
    },
    /// The width of a rotor housing.
    Width {
        /// Where.
        station: WidthStation,
        /// The bore's outline in the engine's axes, in order around; it is closed by itself.
        bore: Option<Vec<WallPoint>>,
    },
    /// The wear of a side housing.
    SideWear {
        /// Which way the face looks on which it is read.
        looks: Looks,
        /// Which track: the land's or the tips'.
        track: Touch,
        /// The shape of the tracks.
        shape: Option<SideShape>,
    },
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// The part's serial; empty where it has none yet.
    pub serial: String,
    /// Which reading.
    pub at: WantedAt,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Where the part stands from left to right, and where the section does.
pub(crate) const PART: (f64, f64) = (12.0, 282.0);
pub(crate) const SECTION: (f64, f64) = (292.0, 468.0);
/// Between two sentences under them.
pub(crate) const BETWEEN: f64 = 4.0;

/// Said where a size is read to micrometres: a hair, a burr or a warm hand is more than that.
const CLEAN: &str =
    "Wipe faces and gauge; no burrs. Part, gauge and its standard at one temperature.";

/// The face that is looked at while this is read: that of the gauge; the gear face where a gauge
/// holds both.
const fn seen(kind: Kind) -> Face {
    match kind {
        Kind::Step(face) | Kind::Runout(face) => face,
        Kind::LandWidth | Kind::TipWidth => Face::Gear,
    }
}

const fn track_name(track: Touch) -> &'static str {
    match track {
        Touch::Land => "land's track",
        Touch::Tip => "tips' track",
    }
}

impl WantedAt {
    const fn part(&self) -> &'static str {
        match self {
            Self::Tip { .. } | Self::Mass { .. } => "Rotor",
            Self::Width { .. } => "Rotor housing",
            Self::SideWear { .. } => "Side housing",
        }
    }

    /// What is read and where.
    fn name(&self) -> String {
        match self {
            Self::Tip { kind, tip, .. } => format!("{} at tip {}", kind.name(), tip.number()),
            Self::Mass { .. } => "mass".to_owned(),
            Self::Width { station, .. } => {
                format!("width at station {} of {}", station.number(), station.of())
            }
            Self::SideWear { track, .. } => format!("wear of the {}", track_name(*track)),
        }
    }

    /// Height of the part and of the section.
    const fn high(&self) -> f64 {
        match self {
            Self::Tip { .. } => 300.0,
            Self::Mass { .. } | Self::Width { .. } => 256.0,
            Self::SideWear { .. } => 290.0,
        }
    }

    /// How the picture is looked at.
    fn orientation(&self) -> String {
        match self {
            Self::Tip { kind, .. } => {
                rotor_shape::orientation(seen(*kind)).to_owned() + " Tip 1 carries the mark."
            }
            Self::Mass { .. } => rotor_shape::orientation(Face::Gear).to_owned(),
            Self::Width { .. } => {
                "Seen from the front. Stations count clockwise, 1 at the hot waist.".to_owned()
            }
            Self::SideWear { looks, .. } => {
                let turns = match looks {
                    Looks::Front => "clockwise",
                    Looks::Rear => "anticlockwise",
                };
                format!(
                    "Looking at the face that looks to the {}; the shaft turns {turns} here.",
                    looks.name()
                )
            }
        }
    }

    /// How it is read.
    fn how(&self) -> Vec<String> {
        match self {
            Self::Tip { kind, tip, .. } => tip_how(*kind, *tip),
            Self::Mass { .. } => vec![
                "Clean, dry, without seals and springs; say whether its bearing is in. Level \
                 scale, zeroed empty."
                    .to_owned(),
                "Lift it with both hands under the lands: its edges are sharp.".to_owned(),
            ],
            Self::Width { .. } => vec![
                "Micrometer across both clamping faces, beside the bore and clear of dowels and \
                 bolt holes."
                    .to_owned(),
                "Say whether the housing was clamped or free. Never the mean: each station has \
                 its own field."
                    .to_owned(),
                CLEAN.to_owned(),
            ],
            Self::SideWear { track, .. } => vec![
                format!(
                    "Depth gauge across the clamping face, which does not wear; its stylus in \
                     the {}.",
                    track_name(*track)
                ),
                "Zero it on a flat plate. Go round the track: the deepest place counts, positive."
                    .to_owned(),
                CLEAN.to_owned(),
            ],
        }
    }

    const fn has_shape(&self) -> bool {
        match self {
            Self::Tip { shape, .. } | Self::Mass { shape } => shape.is_some(),
            Self::Width { bore, .. } => bore.is_some(),
            Self::SideWear { shape, .. } => shape.is_some(),
        }
    }
}

/// With a capital at its start, as a heading has it.
pub(crate) fn capitalised(name: &str) -> String {
    let mut rest = name.chars();
    rest.next().map_or_else(String::new, |first| first.to_uppercase().chain(rest).collect())
}

/// How a reading at a tip is taken.
fn tip_how(kind: Kind, tip: Tip) -> Vec<String> {
    let n = tip.number();
    match kind {
        Kind::LandWidth => vec![
            format!(
                "Micrometer across both lands, at their outer edge, on the line from the centre \
                 to tip {n}. Both anvils lie whole on the land."
            ),
            CLEAN.to_owned(),
        ],
        Kind::TipWidth => vec![
            format!(
                "Micrometer across both faces at tip {n}, just inside the edge, clear of the \
                 corner seal's bore and of the grooves."
            ),
            CLEAN.to_owned(),
        ],
        Kind::Step(face) => vec![
            format!(
                "Bridge on the {} land. Zero the stylus on the land, then slide it out to tip {n}.",
                face.name()
            ),
            "The land higher than the tip reads positive.".to_owned(),
        ],
        Kind::Runout(face) => vec![
            format!(
                "Rotor on a close mandrel in its bearing bore; indicator on the {} land at its outer \
                 edge. Turn the rotor until tip {n} is under the stylus.",
                face.name()
            ),
            "Leave the dial's zero alone from tip to tip. Proud metal reads positive.".to_owned(),
        ],
    }
}

impl Wanted {
    /// The part as the shop calls it.
    fn part(&self) -> String {
        let mut part = self.at.part().to_owned();
        if !self.serial.is_empty() {
            part.push(' ');
            part.push_str(&self.serial);
        }
        if let WantedAt::SideWear { looks, .. } = &self.at {
            part.push_str(", face to the ");
            part.push_str(looks.name());
        }
        part
    }

    fn title(&self) -> String {
        format!("{}: {}", self.part(), self.at.name())
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::narrow("wanted", options);
        let top = sheet.heading(&capitalised(&self.at.name()), &[self.part()]) - 8.0;
        let bottom = top + self.at.high();
        let (part, section) = ((PART.0, top, PART.1, bottom), (SECTION.0, top, SECTION.1, bottom));
        match &self.at {
            WantedAt::Tip { kind, tip, shape } => {
                let generic = RotorShape::generic();
                let shape = shape.as_ref().unwrap_or(&generic);
                face::draw(&mut sheet, part, shape, Some((*kind, *tip)));
                gauge::rotor(&mut sheet, section, *kind);
            }
            WantedAt::Mass { shape } => {
                let generic = RotorShape::generic();
                face::draw(&mut sheet, part, shape.as_ref().unwrap_or(&generic), None);
                gauge::scale(&mut sheet, section);
            }
            WantedAt::Width { station, bore } => {
                let generic = shape::generic_bore();
                let bore = bore.as_ref().unwrap_or(&generic);
                let under = format!("station {} of {}", station.number(), station.of());
                housing::draw_width(&mut sheet, part, *station, bore, ("width", &under));
                gauge::width(&mut sheet, section);
            }
            WantedAt::SideWear { looks, track, shape } => {
                let generic = SideShape::generic();
                let shape = shape.as_ref().unwrap_or(&generic);
                housing::draw_side(&mut sheet, part, (*looks, *track), shape);
                gauge::depth(&mut sheet, section, *looks, *track);
            }
        }
        let sentences = self.sentences();
        let mut y = bottom + 24.0;
        for sentence in &sentences {
            y = sheet.notes(y, std::slice::from_ref(sentence)) + BETWEEN;
        }
        let mut described = vec![format!("Marked in the picture: {}.", self.at.name())];
        described.extend(sentences);
        sheet.close_with(y, &self.title(), &described, &[self.scale().to_owned()])
    }

    fn sentences(&self) -> Vec<String> {
        let mut all = self.at.how();
        all.push(self.at.orientation());
        all.extend(self.notes.iter().cloned());
        all
    }

    /// What may not be taken from the picture with a rule.
    const fn scale(&self) -> &'static str {
        match (self.at.has_shape(), &self.at) {
            (true, _) => "Outline to true shape. The section is not to scale.",
            (false, _) => "The outline is not that of this engine. The section is not to scale.",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_station_that_is_not_there_is_refused() {
        assert!(WidthStation::new(0, 3).is_none() && WidthStation::new(4, 3).is_none());
        assert!(WidthStation::new(1, 25).is_none());
        let last = WidthStation::new(24, 24).unwrap();
        assert_eq!((last.number(), last.of()), (24, 24));
    }

    #[test]
    fn a_part_without_a_serial_has_no_gap_in_its_title() {
        let at = WantedAt::Mass { shape: None };
        let wanted = Wanted { serial: String::new(), at, notes: Vec::new() };
        assert_eq!(wanted.title(), "Rotor: mass");
        assert_eq!(Wanted { serial: "R-9".into(), ..wanted }.title(), "Rotor R-9: mass");
    }
}
