//! The pictures of how used parts are inspected: every item of every part, with shapes of an
//! engine and without. They have no data; their golden copies stand beside the others.

use crate::legible::clashes_in;
use crate::sample::LONG;
use crate::strokes::{crossed, outside};
use drawings::{
    BearingItem, Direction, Flank, FlatnessBy, GearItem, GroovePlace, GrooveSize, HousingItem,
    Inspected, InspectedAt, Journal, Options, Point, RotorItem, RotorShape, SealItem, ShaftItem,
    SideItem, SideShape, Spring, Tip, WallPoint, WidthStation,
};
use kernel::geometry::{Bore, Flank as KernelFlank, Looks, SideFace, SideFaceSizes, Trochoid};
use kernel::readings::Face;
use kernel::units::{Angle, Length};
use roxmltree::Document;
use std::collections::BTreeSet;

const SPRINGS: [Spring; 4] = [Spring::Apex, Spring::Corner, Spring::Side, Spring::Oil];
const GROOVE: [GroovePlace; 3] = [GroovePlace::GearEnd, GroovePlace::Middle, GroovePlace::PlainEnd];

fn housing(item: HousingItem) -> InspectedAt {
    InspectedAt::RotorHousing { item, bore: None }
}

fn rotor(item: RotorItem) -> InspectedAt {
    InspectedAt::Rotor { item, shape: None }
}

/// Every item at every place, each once.
pub(crate) fn places() -> Vec<InspectedAt> {
    let mut all = Vec::new();
    for of in [1, 2, 3, 8, 24] {
        for place in (1..=of).map(|number| WidthStation::new(number, of).unwrap()) {
            all.push(housing(HousingItem::PlatingSeen(place)));
            all.push(housing(HousingItem::PlatingThickness(place)));
            all.push(housing(HousingItem::BoreWear(place)));
        }
    }
    all.push(housing(HousingItem::Edges));
    for looks in [Looks::Front, Looks::Rear] {
        for item in [
            SideItem::Flatness(FlatnessBy::Straightedge),
            SideItem::Flatness(FlatnessBy::Indicator),
            SideItem::Edges,
        ] {
            all.push(InspectedAt::SideHousing { item, looks, shape: None });
        }
    }
    for tip in Tip::ALL {
        all.extend(GROOVE.map(|place| rotor(RotorItem::ApexGroove { tip, place })));
        all.extend(Face::BOTH.map(|face| rotor(RotorItem::CornerBore { face, tip })));
    }
    for (face, flank) in Face::BOTH.iter().flat_map(|f| Flank::ALL.map(|flank| (*f, flank))) {
        for size in [GrooveSize::Width, GrooveSize::Depth] {
            all.push(rotor(RotorItem::SideGroove { face, flank, size }));
        }
    }
    for direction in Direction::ALL {
        all.push(rotor(RotorItem::BearingBore(direction)));
        all.push(InspectedAt::StationaryGear(GearItem::BearingInside(direction)));
        all.push(InspectedAt::Bearing(BearingItem::Inside(direction)));
        for of in [1, 2, 3, 6, 7] {
            for journal in (1..=of).map(|number| Journal::new(number, of).unwrap()) {
                all.push(InspectedAt::Shaft(ShaftItem::MainJournal { journal, direction }));
                all.push(InspectedAt::Shaft(ShaftItem::RotorJournal { journal, direction }));
            }
        }
    }
    all.extend([RotorItem::Gear, RotorItem::Cracks].map(rotor));
    all.extend([ShaftItem::RunOut, ShaftItem::Journals, ShaftItem::Cracks].map(InspectedAt::Shaft));
    let gear = [GearItem::Teeth, GearItem::BearingPress, GearItem::Lining];
    all.extend(gear.map(InspectedAt::StationaryGear));
    all.extend([BearingItem::Press, BearingItem::Lining].map(InspectedAt::Bearing));
    let seals = [
        SealItem::ApexHeight,
        SealItem::ApexThickness,
        SealItem::ApexLength,
        SealItem::CornerDiameter,
        SealItem::SideHeight,
        SealItem::SideEndGap,
        SealItem::OilLipWidth,
    ];
    all.extend(seals.map(InspectedAt::Seal));
    for spring in SPRINGS {
        all.push(InspectedAt::Seal(SealItem::SpringLoad(spring)));
        all.push(InspectedAt::Seal(SealItem::SpringHeight(spring)));
    }
    all
}

/// Those that have a golden copy, each with its name.
pub(crate) fn golden() -> Vec<(&'static str, String)> {
    let place = |number| WidthStation::new(number, 8).unwrap();
    let journal = |number| Journal::new(number, 2).unwrap();
    let (in_line, across) = (Direction::InLine, Direction::Across);
    let side = |item, looks| InspectedAt::SideHousing { item, looks, shape: None };
    let groove = |flank, face, size| rotor(RotorItem::SideGroove { face, flank, size });
    let all = [
        ("plating", housing(HousingItem::PlatingSeen(place(3)))),
        ("plating-thickness", housing(HousingItem::PlatingThickness(place(1)))),
        ("bore-wear", housing(HousingItem::BoreWear(place(6)))),
        ("housing-edges", housing(HousingItem::Edges)),
        ("flatness", side(SideItem::Flatness(FlatnessBy::Straightedge), Looks::Rear)),
        ("flatness-indicator", side(SideItem::Flatness(FlatnessBy::Indicator), Looks::Front)),
        ("side-edges", side(SideItem::Edges, Looks::Front)),
        (
            "apex-groove-gear-end",
            rotor(RotorItem::ApexGroove { tip: Tip::Two, place: GroovePlace::GearEnd }),
        ),
        (
            "apex-groove-middle",
            rotor(RotorItem::ApexGroove { tip: Tip::One, place: GroovePlace::Middle }),
        ),
        (
            "apex-groove-plain-end",
            rotor(RotorItem::ApexGroove { tip: Tip::Two, place: GroovePlace::PlainEnd }),
        ),
        ("corner-bore", rotor(RotorItem::CornerBore { face: Face::Gear, tip: Tip::Three })),
        ("corner-bore-plain", rotor(RotorItem::CornerBore { face: Face::Plain, tip: Tip::One })),
        ("side-groove-width", groove(Flank::One, Face::Gear, GrooveSize::Width)),
        ("side-groove-depth", groove(Flank::Two, Face::Plain, GrooveSize::Depth)),
        ("bearing-bore", rotor(RotorItem::BearingBore(in_line))),
        ("bearing-bore-across", rotor(RotorItem::BearingBore(across))),
        ("rotor-gear", rotor(RotorItem::Gear)),
        ("cracks", rotor(RotorItem::Cracks)),
        ("shaft-run-out", InspectedAt::Shaft(ShaftItem::RunOut)),
        (
            "main-journal",
            InspectedAt::Shaft(ShaftItem::MainJournal { journal: journal(1), direction: in_line }),
        ),
        (
            "rotor-journal",
            InspectedAt::Shaft(ShaftItem::RotorJournal { journal: journal(2), direction: across }),
        ),
        (
            "rotor-journal-both",
            InspectedAt::Shaft(ShaftItem::RotorJournal {
                journal: Journal::new(6, 6).unwrap(),
                direction: Direction::Both,
            }),
        ),
        ("stationary-teeth", InspectedAt::StationaryGear(GearItem::Teeth)),
        ("stationary-inside", InspectedAt::StationaryGear(GearItem::BearingInside(in_line))),
        ("stationary-press", InspectedAt::StationaryGear(GearItem::BearingPress)),
        ("bearing-inside", InspectedAt::Bearing(BearingItem::Inside(Direction::Both))),
        ("bearing-press", InspectedAt::Bearing(BearingItem::Press)),
        ("bearing-lining", InspectedAt::Bearing(BearingItem::Lining)),
        ("stationary-lining", InspectedAt::StationaryGear(GearItem::Lining)),
        ("journals", InspectedAt::Shaft(ShaftItem::Journals)),
        ("shaft-cracks", InspectedAt::Shaft(ShaftItem::Cracks)),
        ("apex-height", InspectedAt::Seal(SealItem::ApexHeight)),
        ("apex-thickness", InspectedAt::Seal(SealItem::ApexThickness)),
        ("apex-length", InspectedAt::Seal(SealItem::ApexLength)),
        ("corner-diameter", InspectedAt::Seal(SealItem::CornerDiameter)),
        ("side-height", InspectedAt::Seal(SealItem::SideHeight)),
        ("side-end-gap", InspectedAt::Seal(SealItem::SideEndGap)),
        ("oil-lip", InspectedAt::Seal(SealItem::OilLipWidth)),
        ("main-journal-7", {
            let (journal, direction) = (Journal::new(4, 7).unwrap(), Direction::Both);
            InspectedAt::Shaft(ShaftItem::MainJournal { journal, direction })
        }),
        ("plating-24", {
            let place = WidthStation::new(19, 24).unwrap();
            housing(HousingItem::PlatingSeen(place))
        }),
        ("apex-spring-load", InspectedAt::Seal(SealItem::SpringLoad(Spring::Apex))),
        ("corner-spring-load", InspectedAt::Seal(SealItem::SpringLoad(Spring::Corner))),
        ("side-spring-height", InspectedAt::Seal(SealItem::SpringHeight(Spring::Side))),
        ("oil-spring-height", InspectedAt::Seal(SealItem::SpringHeight(Spring::Oil))),
    ];
    all.into_iter().map(|(name, at)| (name, svg("U-7", at))).collect()
}

fn svg(serial: &str, at: InspectedAt) -> String {
    Inspected { serial: serial.into(), at, notes: Vec::new() }.svg(&Options::default())
}

fn texts(svg: &str, tag: &str) -> String {
    let document = Document::parse(svg).unwrap();
    let nodes = document.descendants().filter(|n| n.has_tag_name(tag));
    nodes.filter_map(|n| n.text()).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_item_is_legible() {
    let mut all = Vec::new();
    for (n, at) in places().into_iter().enumerate() {
        // The serial changes the heading alone.
        let serials = if n % 8 == 0 { &["R-114", LONG, ""][..] } else { &[LONG] };
        for serial in serials {
            let svg = svg(serial, at.clone());
            all.extend(clashes_in(&format!("{at:?}"), &svg));
            assert!(svg.contains("viewBox=\"0 0 480 "), "{at:?}");
        }
    }
    assert_eq!(all, [""; 0]);
}

#[test]
fn nothing_reaches_outside_or_goes_through_a_word() {
    for at in places() {
        let picture = svg("R-114", at.clone());
        assert_eq!(outside(&picture), [""; 0], "{at:?}");
        assert_eq!(crossed(&picture), [""; 0], "{at:?}");
    }
}

#[test]
fn different_items_give_different_pictures_and_the_same_one_the_same_bytes() {
    let draw = || -> Vec<String> { places().into_iter().map(|at| svg("R-114", at)).collect() };
    let all = draw();
    assert!(all.len() > 250, "{}", all.len());
    assert_eq!(all, draw());
    // Not by their words alone.
    let drawn = |svg: &str| -> String {
        svg.lines()
            .filter(|line| line.starts_with("<path") || line.starts_with("<circle"))
            .collect()
    };
    let different: BTreeSet<String> = all.iter().map(|svg| drawn(svg)).collect();
    assert_eq!(different.len(), all.len());
}

/// The item is named in title and description, which also tells how it is done.
#[test]
fn the_description_tells_how_it_is_inspected() {
    for at in places() {
        let [done, beware] = at.how();
        let picture = svg("U-7", at.clone());
        let (title, described) = (texts(&picture, "title"), texts(&picture, "desc"));
        let (part, name) = title.split_once(": ").unwrap();
        assert!(part.contains("U-7"), "{title}");
        assert!(described.starts_with(&format!("Marked in the picture: {name}.")), "{described}");
        for said in [done, beware, "not to scale"] {
            assert!(described.contains(said), "{at:?}: {said}");
        }
        // For the card, not in the picture.
        assert!(!texts(&picture, "text").contains(&done[..30]), "{at:?}");
        for sentence in [done, beware] {
            assert!(sentence.len() < 230 && sentence.ends_with('.'), "{sentence}");
            assert!(sentence.starts_with(|c: char| c.is_ascii_uppercase()), "{sentence}");
        }
    }
}

/// Everything that is drawn carries a ring, an arrow and a word in large type.
#[test]
fn every_item_is_marked() {
    for at in places() {
        let picture = svg("U-7", at.clone());
        let rings = ["wanted", "wanted-face"]
            .map(|class| picture.matches(&format!("class=\"{class}\"")).count());
        assert!(rings.iter().sum::<usize>() >= 2, "{at:?}");
        assert!(picture.contains("class=\"ink\""), "{at:?}");
        assert!(picture.matches("class=\"head\"").count() >= 2, "{at:?}");
    }
}

#[test]
fn an_own_shape_is_drawn_and_said_to_be_true() {
    let many = "The part is drawn like many.";
    let mut own = RotorShape::generic();
    own.land_radius = own.land_radius * 0.9;
    let mut side = SideShape::generic();
    side.land_track.0 = side.land_track.0 * 0.9;
    let item = SideItem::Flatness(FlatnessBy::Straightedge);
    let looks = Looks::Front;
    let bore: Vec<_> = SideShape::generic().bore.into_iter().skip(1).collect();
    let seen = HousingItem::PlatingSeen(WidthStation::new(1, 3).unwrap());
    let pairs = [
        (
            rotor(RotorItem::Cracks),
            InspectedAt::Rotor { item: RotorItem::Cracks, shape: Some(own) },
        ),
        (
            InspectedAt::SideHousing { item, looks, shape: None },
            InspectedAt::SideHousing { item, looks, shape: Some(side) },
        ),
        (housing(seen), InspectedAt::RotorHousing { item: seen, bore: Some(bore) }),
    ];
    for (like_many, own) in pairs {
        let (like_many, own) = (svg("U-7", like_many), svg("U-7", own));
        assert!(texts(&like_many, "text").contains(many), "{like_many}");
        assert!(texts(&own, "text").contains("Outline to true shape."), "{own}");
        assert_ne!(like_many, own);
    }
}

#[test]
fn the_plain_face_is_mirrored_and_says_so() {
    let at = |face| {
        svg(
            "U-7",
            rotor(RotorItem::SideGroove { face, flank: Flank::One, size: GrooveSize::Width }),
        )
    };
    let ring = |svg: &str| -> f64 {
        let document = Document::parse(svg).unwrap();
        let ring = document
            .descendants()
            .find(|n| n.has_tag_name("circle") && n.attribute("class") == Some("wanted"));
        ring.unwrap().attribute("cx").unwrap().parse().unwrap()
    };
    let (gear, plain) = (at(Face::Gear), at(Face::Plain));
    assert!(plain.contains("mirrored") && !gear.contains("mirrored"));
    // Flank 1 is on the right of the gear face, on the left of the plain one.
    assert!(ring(&gear) > 160.0 && ring(&plain) < 134.0);
}

#[test]
fn notes_stand_in_the_picture_and_in_the_description() {
    let at = InspectedAt::Shaft(ShaftItem::RunOut);
    let model = Inspected { serial: "E-1".into(), at, notes: vec!["Plugs are out.".into()] };
    let svg = model.svg(&Options::default());
    assert!(texts(&svg, "text").contains("Plugs are out."));
    assert!(texts(&svg, "desc").contains("Plugs are out."));
}

/// Numbers that look random and are the same every time, in lengths that go as far as asked.
struct Dice {
    state: u64,
    beyond: f64,
}

impl Dice {
    fn part(&mut self) -> f64 {
        // Weyl's sequence through two multiplications: enough to be without pattern here.
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb) >> 11;
        mixed as f64 / (1_u64 << 53) as f64
    }

    fn mm(&mut self) -> Length {
        Length::mm((240.0 * self.part() - 120.0) * self.beyond)
    }

    fn points<T>(&mut self, make: impl Fn(Length, Length) -> T) -> Vec<T> {
        let count = (90.0 * self.part().powi(2)) as usize;
        (0..count).map(|_| make(self.mm(), self.mm())).collect()
    }
}

/// A place with a shape by chance; nothing where it has none.
fn with_any_shape(at: InspectedAt, dice: &mut Dice) -> Option<InspectedAt> {
    Some(match at {
        InspectedAt::RotorHousing { item, .. } => {
            let bore = Some(dice.points(|x, y| WallPoint { x, y }));
            InspectedAt::RotorHousing { item, bore }
        }
        InspectedAt::SideHousing { item, looks, .. } => {
            let bore = dice.points(|x, y| WallPoint { x, y });
            let tip_path = dice.points(|x, y| WallPoint { x, y });
            let shape = Some(SideShape { bore, land_track: (dice.mm(), dice.mm()), tip_path });
            InspectedAt::SideHousing { item, looks, shape }
        }
        InspectedAt::Rotor { item, .. } => {
            let outline = dice.points(|x, y| Point { x, y });
            let [land_inner_radius, land_radius, reading_radius, gear_radius] =
                std::array::from_fn(|_| dice.mm());
            let shape = Some(RotorShape {
                outline,
                land_inner_radius,
                land_radius,
                reading_radius,
                gear_radius,
            });
            InspectedAt::Rotor { item, shape }
        }
        _ => return None,
    })
}

/// Shapes of no engine at all, small, huge and turned inside out: always a whole file of finite
/// numbers, nothing outside the sheet.
#[test]
fn any_shape_is_drawn_inside_the_sheet() {
    let scales = [1.0, 0.0, 1e-300, -1.0, 1e6, -1e40, 1e140];
    for (seed, beyond) in (0..).zip(scales) {
        let mut dice = Dice { state: seed, beyond };
        for at in places() {
            let Some(at) = with_any_shape(at, &mut dice) else { continue };
            let picture = svg("U-7", at.clone());
            assert!(!picture.contains("NaN") && !picture.contains("inf"), "{at:?}");
            assert_eq!(outside(&picture), [""; 0], "{beyond} {at:?}");
        }
    }
}

/// Engines slim and round, with and without a parallel shift: legible and inside, with their own
/// shapes.
#[test]
fn shapes_of_engines_are_legible() {
    for (ratio, shift_mm) in [(5.9, 0.0), (6.4, 3.0), (7.0, 2.0), (8.0, 0.0), (9.5, 4.0)] {
        let (radius, shift) = (Length::mm(105.0), Length::mm(shift_mm));
        let throw = radius / ratio;
        let trochoid = Trochoid::new(radius, throw, shift).unwrap();
        let around = |bore: &Bore, inner: f64| {
            (0..180)
                .map(|n| bore.point(Angle::deg(2.0 * f64::from(n))))
                .map(|p| WallPoint { x: p.x * inner, y: p.y * inner })
                .collect::<Vec<_>>()
        };
        let bore = around(&Bore::of(trochoid), 1.0);
        // The land between the gear and the lowest place of the flanks.
        let (inner, lowest) = (throw * 3.1, radius - throw * 2.0);
        let (land_radius, reading_radius) = (inner + (lowest - inner) * 0.8, radius * 0.96);
        let sizes = SideFaceSizes { land_radius, rotor_tip_radius: reading_radius };
        let flank = KernelFlank::new(trochoid, Length::ZERO).unwrap();
        let face = SideFace::new(flank, sizes, &[]).unwrap();
        let outline = face.outline_points(60).unwrap();
        let outline = outline.into_iter().map(|point| point.place());
        let rotor = RotorShape {
            outline: outline.map(|p| Point { x: p.x, y: p.y }).collect(),
            land_inner_radius: inner,
            land_radius,
            reading_radius,
            gear_radius: throw * 3.0,
        };
        let side = SideShape {
            bore: bore.clone(),
            land_track: (inner - throw, land_radius + throw),
            tip_path: around(&Bore::of(trochoid), 0.9),
        };
        for at in places() {
            let at = match at {
                InspectedAt::RotorHousing { item, .. } => {
                    InspectedAt::RotorHousing { item, bore: Some(bore.clone()) }
                }
                InspectedAt::SideHousing { item, looks, .. } => {
                    InspectedAt::SideHousing { item, looks, shape: Some(side.clone()) }
                }
                InspectedAt::Rotor { item, .. } => {
                    InspectedAt::Rotor { item, shape: Some(rotor.clone()) }
                }
                _ => continue,
            };
            let picture = svg("U-7", at.clone());
            assert_eq!(clashes_in(&format!("{ratio} {at:?}"), &picture), [""; 0]);
            assert_eq!(outside(&picture), [""; 0], "{ratio} {at:?}");
            assert_eq!(crossed(&picture), [""; 0], "{ratio} {at:?}");
        }
    }
}
