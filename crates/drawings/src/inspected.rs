//! How one item of a used part is inspected: the picture beside its field at the bench.
//!
//! In the manner of the picture of a wanted reading: on the left the part, with the place marked
//! by a heavy ring, an arrow and the word; on the right a section in which the gauge touches, or
//! the eye with a lens. How it is done is told in words beside the picture, and in the picture's
//! own description; it is the common way of the trade (no source), and a shop may have another.

mod bearing;
mod card;
mod count;
mod housing;
mod how;
mod item;
mod left;
mod rotor;
mod rotor_cut;
mod seal;
mod shaft;
mod side;
mod tools;

pub use card::Shapes;
pub use count::{Direction, Flank};
pub use item::{
    BearingItem, FlatnessBy, GearItem, GroovePlace, GrooveSize, HousingItem, InspectedAt,
    RotorItem, SealItem, ShaftItem, SideItem, Spring,
};

use crate::options::Options;
use crate::places::Area;
use crate::rotor_shape;
use crate::sheet::Sheet;
use crate::station::{BETWEEN, PART, SECTION, capitalised};
use kernel::geometry::Looks;

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspected {
    /// The part's serial; empty where it has none.
    pub serial: String,
    /// What is inspected.
    pub at: InspectedAt,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Where the two halves stand: the part and the section.
#[derive(Debug, Clone, Copy)]
struct Halves {
    part: Area,
    section: Area,
}

impl InspectedAt {
    /// Height of the part and of the section.
    const fn high(&self) -> f64 {
        match self {
            Self::Rotor { .. } | Self::Seal(SealItem::SideEndGap) => 300.0,
            Self::SideHousing { .. } => 290.0,
            _ => 264.0,
        }
    }

    /// How the picture is looked at.
    fn orientation(&self) -> String {
        match self {
            Self::RotorHousing { item, .. } => match item.place() {
                Some(_) => "Seen from the front. Places count clockwise, 1 at the hot waist.",
                None => {
                    "Seen from the front. Ports and plug holes are drawn where many engines have \
                     them; look at all there are."
                }
            }
            .to_owned(),
            Self::SideHousing { item, looks, .. } => {
                let face = format!("Looking at the face that looks to the {}.", looks.name());
                match item {
                    SideItem::Edges => {
                        face + " Ports are drawn where many engines have them; look at all there \
                                are."
                    }
                    SideItem::Flatness(_) => face,
                }
            }
            Self::Rotor { item, .. } => {
                rotor_shape::orientation(item.seen()).to_owned() + " Tip 1 carries the mark."
            }
            Self::Shaft(_) => "Front at the left. Journals count from the front.".to_owned(),
            Self::StationaryGear(_) => {
                "Looking at the teeth's end; the dowel that sets its place is on top.".to_owned()
            }
            Self::Bearing(_) => "Looking along the shaft; its mark is on top.".to_owned(),
            Self::Seal(SealItem::SideEndGap) => {
                rotor_shape::orientation(kernel::readings::Face::Gear).to_owned()
            }
            Self::Seal(SealItem::ApexHeight | SealItem::ApexThickness | SealItem::ApexLength) => {
                "Above from the side, crown up; below looking at the crown.".to_owned()
            }
            Self::Seal(SealItem::SideHeight) => {
                "Above from the side; below looking at the running face.".to_owned()
            }
            Self::Seal(SealItem::CornerDiameter) => "Looking at its face, slot on top.".to_owned(),
            Self::Seal(SealItem::OilLipWidth) => "Looking at the lip.".to_owned(),
            Self::Seal(SealItem::SpringLoad(_) | SealItem::SpringHeight(_)) => {
                "From the side, as it stands free.".to_owned()
            }
        }
    }

    /// Draws part and section.
    fn draw(&self, sheet: &mut Sheet, halves: Halves) {
        match self {
            Self::RotorHousing { item, bore } => {
                housing::rotor_housing(sheet, halves, *item, bore.as_deref());
            }
            Self::SideHousing { item, looks, shape } => {
                side::side_housing(sheet, halves, (*item, *looks), shape.as_ref());
            }
            Self::Rotor { item, shape } => rotor::draw(sheet, halves, *item, shape.as_ref()),
            Self::Shaft(item) => shaft::draw(sheet, halves, *item),
            Self::StationaryGear(item) => bearing::stationary_gear(sheet, halves, *item),
            Self::Bearing(item) => bearing::loose(sheet, halves, *item),
            Self::Seal(item) => seal::draw(sheet, halves, *item),
        }
    }
}

impl Inspected {
    /// The part as the shop calls it.
    fn part(&self) -> String {
        let mut part = self.at.part().to_owned();
        if !self.serial.is_empty() {
            part.push(' ');
            part.push_str(&self.serial);
        }
        if let InspectedAt::SideHousing { looks, .. } = &self.at {
            part.push_str(match looks {
                Looks::Front => ", face to the front",
                Looks::Rear => ", face to the rear",
            });
        }
        part
    }

    fn title(&self) -> String {
        format!("{}: {}", self.part(), self.at.name())
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::narrow("inspected", options);
        let top = sheet.heading(&capitalised(&self.at.name()), &[self.part()]) - 8.0;
        let bottom = top + self.at.high();
        let halves = Halves {
            part: (PART.0, top, PART.1, bottom),
            section: (SECTION.0, top, SECTION.1, bottom),
        };
        self.at.draw(&mut sheet, halves);
        let under: Vec<String> =
            std::iter::once(self.at.orientation()).chain(self.notes.iter().cloned()).collect();
        let mut y = bottom + 24.0;
        for sentence in &under {
            y = sheet.notes(y, std::slice::from_ref(sentence)) + BETWEEN;
        }
        let mut described = vec![format!("Marked in the picture: {}.", self.at.name())];
        described.extend(self.at.how().map(str::to_owned));
        described.extend(under);
        sheet.close_with(y, &self.title(), &described, &[self.scale().to_owned()])
    }

    /// What may not be taken from the picture with a rule.
    const fn scale(&self) -> &'static str {
        if self.at.has_shape() {
            "Outline to true shape. The section and all wear are not to scale."
        } else {
            "The part is drawn like many. The section and all wear are not to scale."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_without_a_serial_has_no_gap_in_its_title() {
        let at = InspectedAt::Shaft(ShaftItem::RunOut);
        let inspected = Inspected { serial: String::new(), at, notes: Vec::new() };
        assert_eq!(inspected.title(), "Eccentric shaft: run-out in the middle");
        let inspected = Inspected { serial: "E-3".into(), ..inspected };
        assert_eq!(inspected.title(), "Eccentric shaft E-3: run-out in the middle");
    }
}
