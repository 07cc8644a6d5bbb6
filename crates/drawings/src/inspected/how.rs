//! How each item is inspected, in words for the card: with which gauge, what to hold, what spoils
//! the reading and what hurts. Common practice, no source.

use super::item::{
    BearingItem, FlatnessBy, GearItem, GrooveSize, HousingItem, InspectedAt, RotorItem, SealItem,
    ShaftItem, SideItem, Spring,
};

impl InspectedAt {
    /// How it is inspected, as two sentences or pairs of them: how it is done, then what spoils
    /// it or hurts.
    #[must_use]
    pub const fn how(&self) -> [&'static str; 2] {
        match self {
            Self::RotorHousing { item, .. } => housing(*item),
            Self::SideHousing { item, .. } => side(*item),
            Self::Rotor { item, .. } => rotor(*item),
            Self::Shaft(item) => shaft(*item),
            Self::StationaryGear(item) => gear(*item),
            Self::Bearing(item) => bearing(*item),
            Self::Seal(item) => seal(*item),
        }
    }
}

const fn housing(item: HousingItem) -> [&'static str; 2] {
    match item {
        HousingItem::PlatingSeen(_) => [
            "Wash the bore, then look along it with a lamp held low: flakes, bare metal, chatter \
             marks, scores along the shaft's line.",
            "Oil hides flakes. Keep bare fingers off the edge of a flake: it is as sharp as glass.",
        ],
        HousingItem::PlatingThickness(_) => [
            "Coating gauge for this plating on this metal, set on a bare piece and a foil; hold \
             the probe square to the bore and take the mean of three.",
            "A tilted probe, a near edge or a gauge set on other metal spoils the reading.",
        ],
        HousingItem::BoreWear(_) => [
            "Lay a straightedge along the shaft on the unworn edges of the bore; in the middle \
             slide feelers under it, or reach down with a depth gauge.",
            "Carbon on the edges lifts the straightedge: scrape it off with wood, not steel. The \
             edges of the plating cut.",
        ],
        HousingItem::Edges => [
            "Go round every edge of ports and plug holes with a lens and a lamp, plating side \
             first: cracks from plug holes, chips in the plating.",
            "A crack under carbon is not seen: clean first. Do not feel for chips with a bare \
             finger.",
        ],
    }
}

const fn side(item: SideItem) -> [&'static str; 2] {
    match item {
        SideItem::Flatness(FlatnessBy::Straightedge) => [
            "Lay the straightedge on in all six directions; the thickest feeler that goes under \
             it counts. Dowels out, face clean.",
            "Never push a feeler. Sealant, a burr at a bolt hole or a warm housing spoils the \
             reading.",
        ],
        SideItem::Flatness(FlatnessBy::Indicator) => [
            "Set the housing on three supports on a surface plate, level the face at three \
             places, then slide the indicator over all of it: the full movement counts.",
            "A fourth support bends the housing. It is heavy: two people, or a hoist.",
        ],
        SideItem::Edges => [
            "Go round each port's edge with a lens and a lamp: cracks at the corners, chips, a \
             burr that would catch a side or corner seal.",
            "Carbon hides cracks: clean first. Ground port edges cut fingers.",
        ],
    }
}

const fn rotor(item: RotorItem) -> [&'static str; 2] {
    match item {
        RotorItem::ApexGroove { .. } => [
            "Small-hole ball gauge, or gauge blocks, square in the groove at half its depth; read \
             the ball with a micrometer. Worn grooves are widest at their ends.",
            "Carbon in the corners makes it read small. Groove edges cut; a block that is pushed \
             sticks.",
        ],
        RotorItem::CornerBore { .. } => [
            "Small-hole gauge square in the bore, clear of the apex groove, or the largest pin \
             that goes in by its own weight; read the gauge with a micrometer.",
            "Carbon at the bottom tilts pin and gauge. The bore's edge cuts.",
        ],
        RotorItem::SideGroove { size: GrooveSize::Width, .. } => [
            "Build up gauge blocks, or take a blade of known thickness: the thickest that slides \
             freely in the middle of the flank is the width.",
            "Carbon makes it read small; a forced block opens the groove. Groove edges cut.",
        ],
        RotorItem::SideGroove { size: GrooveSize::Depth, .. } => [
            "Depth gauge with a thin blade, its bridge across the groove on the face beside it; \
             zero it on a flat plate.",
            "Carbon at the bottom makes it read small. A bridge on the land or on a burr tilts.",
        ],
        RotorItem::BearingBore(_) => [
            "Bore gauge with two points, set in a ring or a micrometer; rock it along the bore, \
             the least reading counts. Say whether the bearing was in.",
            "A bore just pressed or washed is not at the shop's temperature: wait. Keep clear of \
             oil holes.",
        ],
        RotorItem::Gear => [
            "Wash and dry, then look at both flanks of every tooth with a lens: pits, a worn step, \
             chips, cracks at the root. Try to move the gear by hand.",
            "Nothing may move or click; rust-coloured dust at the seat is a gear that works loose. \
             Do not turn its bolts to try them.",
        ],
        RotorItem::Cracks => [
            "Clean and dry; penetrant, wait, wipe, developer: cracks bleed through. Or magnetic \
             particles, magnetised two ways. Look first at groove roots, web and gear-bolt holes.",
            "Gloves and fresh air: solvents and penetrant harm skin and lungs and burn. Take the \
             magnetism out again.",
        ],
    }
}

const fn shaft(item: ShaftItem) -> [&'static str; 2] {
    match item {
        ShaftItem::RunOut => [
            "V-blocks under the outer main journals, indicator on the middle; turn the shaft \
             slowly once: the indicator's full movement (TIR) is the reading.",
            "Keep it from creeping along. A nick or an oil hole under a V-block shows as run-out; \
             the shaft is heavy, so mind fingers.",
        ],
        ShaftItem::MainJournal { .. } => [
            "Micrometer square to the journal, in line with the throw of rotor 1 and across it, \
             where the bearing runs; the least counts.",
            "Keep clear of oil holes and edges. A shaft warm from washing reads large.",
        ],
        ShaftItem::RotorJournal { .. } => [
            "Micrometer square to the journal, in line with its throw and across it, where the \
             bearing runs; the least counts.",
            "Keep clear of oil holes and edges. A shaft warm from washing reads large.",
        ],
        ShaftItem::Journals => [
            "Wash and dry, then turn the shaft under a lamp and look at every journal with a lens: \
             scores, blued or browned bands, one edge worn more.",
            "Oil looks like polish. Blued steel was too hot: have it tested for cracks and \
             hardness.",
        ],
        ShaftItem::Cracks => [
            "Clean and dry; magnetic particles, magnetised along and across, or penetrant and \
             developer. Look first at fillets, edges of oil holes, keyways and threads.",
            "Plug the oil holes before. Gloves and fresh air: solvents harm skin and lungs and \
             burn. Take the magnetism out again.",
        ],
    }
}

const fn gear(item: GearItem) -> [&'static str; 2] {
    match item {
        GearItem::Teeth => [
            "Look at both flanks of every tooth with a lens and a lamp: pits, a worn step, chips, \
             cracks at the root.",
            "Oil hides pits and cracks: wash and dry first. Chipped teeth cut.",
        ],
        GearItem::BearingInside(_) => [
            "Bore gauge with two points, set in a ring or a micrometer; in line with the dowel and \
             across; rock it, the least reading counts.",
            "The gear must be as it sits in its housing, bearing pressed in. Keep clear of oil \
             holes; do not scratch the lining.",
        ],
        GearItem::BearingPress => PRESS,
        GearItem::Lining => LINING,
    }
}

/// Of any bearing.
const PRESS: [&str; 2] = [
    "Micrometer across the bearing's outside, bore gauge in the clean bore, both before it is \
     pressed: outside less bore is the press.",
    "A burr on the lead-in or a warm part makes a false press. A thin shell is not round when it \
     is loose: read several ways.",
];

const fn bearing(item: BearingItem) -> [&'static str; 2] {
    match item {
        BearingItem::Inside(_) => [
            "Bore gauge with two points, set in a ring or a micrometer; in line with the mark and \
             across; rock it, the least reading counts.",
            "Loose it is not as it runs: say that it was loose. Do not scratch the lining with \
             the points.",
        ],
        BearingItem::Press => PRESS,
        BearingItem::Lining => LINING,
    }
}

/// Of any bearing.
const LINING: [&str; 2] = [
    "Look at the lining all round with a lens and a lamp held low: scores, bedded dirt, wiped or \
     flaked lining, bare backing, one edge worn more.",
    "Wash, never scrape. Edges of a worn lining cut.",
];

const fn seal(item: SealItem) -> [&'static str; 2] {
    match item {
        SealItem::ApexHeight => [
            "Micrometer from the foot to the crown, at both ends and in the middle; the least \
             counts.",
            "A tilted anvil on the round crown reads large. Seals are brittle: do not drop or \
             clamp them.",
        ],
        SealItem::ApexThickness => [
            "Micrometer across both sides, below the worn crown, at both ends and in the middle.",
            "Carbon and a lip at the crown read large. Edges cut.",
        ],
        SealItem::ApexLength => [
            "Micrometer along the seal from end to end, all of its pieces together as they run.",
            "A seal held bent reads short. Corner pieces slip: hold them against a straight edge.",
        ],
        SealItem::CornerDiameter => [
            "Micrometer across the seal, square to its slot, at both ends of its height.",
            "Across the slot it springs and reads small. A barrel-shaped seal is worn.",
        ],
        SealItem::SideHeight => [
            "Micrometer from the running face to the foot, in the middle and near both ends.",
            "Carbon at the foot reads large. A thin seal bends: hold it lightly.",
        ],
        SealItem::SideEndGap => [
            "Seal and corner seal in their places; push the seal to its other end, then try \
             feelers between seal and corner seal.",
            "Seals swapped between grooves give false gaps: keep each with its groove. A forced \
             feeler moves the corner seal.",
        ],
        SealItem::OilLipWidth => [
            "Look straight down on the lip with a measuring lens: the bright band that ran on the \
             wall is the width; the widest place counts.",
            "Held askew the band reads narrow. Never dress the lip; it nicks easily.",
        ],
        SealItem::SpringLoad(Spring::Oil) => [
            "Lay the whole ring on the spring tester, go down to the stated height, read the \
             load there.",
            "A ring off the middle tilts and reads low. Springs fly: wear glasses.",
        ],
        SealItem::SpringLoad(_) => [
            "Set the spring on the tester as it sits in its groove, go down to the stated height, \
             read the load there.",
            "Take the height from the tester's stop, not by eye. Springs fly: wear glasses, keep \
             the face away.",
        ],
        SealItem::SpringHeight(_) => [
            "Stand it free on a flat plate and bring a height gauge down until it just touches \
             the highest place; nothing presses on it.",
            "A spring that is pressed, or lies on its burr, reads wrong. Springs fly when they \
             are let go: wear glasses.",
        ],
    }
}
