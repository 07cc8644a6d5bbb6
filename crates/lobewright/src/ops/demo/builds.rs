//! The builds of the demonstration, the first first. Every boat, aircraft and pump, every name and
//! every number is invented.

use super::examples::Example::{
    Aircraft, Boat, FirePump, Hydroplane, Irrigation, SmallPump, ThreeRotor,
};
use super::library::{ATMOSPHERIC, ENDURANCE, HYDROPLANE, SPRINT, STEADY, THREE_ROTORS};
use super::people::{FERROW, GREYWATER, HOLM, LINDMOOR, MARRICK, QUERN, SALLOW, TARN};
use super::recipe::Reach::{
    Assembly, Balance, Begun, Cut, CutShort, Measuring, Misread, NoPlan, Planned, Signed,
};
use super::recipe::{Found, Recipe, Signed as Again, Then, Told};
use records::Contact::{NotLookedAt, NotSeen, Seen};
use records::PartKind::{Rotor, RotorHousing, SideHousing};

/// The build that the example of a sprint boat is.
pub(super) const SPRINT_BOAT: &str = "Merganser, boat 7";

/// What most of them have in common.
const USUAL: Recipe = Recipe {
    name: "",
    customer: TARN,
    example: Boat,
    seed: None,
    spec: None,
    serials: &[],
    inside: ("", ""),
    earlier: None,
    came_in: "engine, complete",
    wants: "rebuilt for the season",
    begun: 0,
    wanted: None,
    reach: Signed,
    then: Then::Runs,
    slip: None,
    corrected: None,
    stopped: "",
};

/// Those that are not closed by a signature, one kind of engine after the other: the tables of a
/// kind's bearings are made once then.
pub(super) fn open_by_engine() -> Vec<&'static str> {
    let open = |recipe: &&Recipe| {
        let again = matches!(recipe.then, Then::Amended { signed: Again::Wanted(_), .. });
        recipe.reach < Signed || again
    };
    let mut open: Vec<&Recipe> = BUILDS.iter().filter(open).collect();
    open.sort_by_key(|recipe| recipe.example.engine());
    open.into_iter().map(|recipe| recipe.name).collect()
}

/// All of them.
pub(super) const BUILDS: [Recipe; 29] = [
    Recipe {
        name: "Merganser, boat 3",
        seed: Some(11),
        spec: Some((SPRINT, 1)),
        serials: &[("R-114", "R-101"), ("R-97", "R-102"), ("H-31", "H-21"), ("H-32", "H-22")],
        inside: ("ES-11", "SS-41"),
        begun: 352,
        then: Then::TornDown {
            days_ago: 172,
            ran: "11.5 h",
            found: &[
                Found {
                    on: (Rotor, 1),
                    place: "gear face, tip 2",
                    contact: Seen,
                    note: "bright over a third of the tip, no step to feel",
                    drawn: Some(2),
                },
                Found {
                    on: (Rotor, 1),
                    place: "gear face, tip 3",
                    contact: NotSeen,
                    note: "",
                    drawn: None,
                },
                Found {
                    on: (Rotor, 2),
                    place: "plain face, tip 1",
                    contact: Seen,
                    note: "a trace at the trailing edge",
                    drawn: Some(1),
                },
                Found {
                    on: (RotorHousing, 1),
                    place: "bore, below the spark plug",
                    contact: NotSeen,
                    note: "even grey all round",
                    drawn: None,
                },
            ],
            told: Told {
                speed: "9700 rpm",
                boost: "0.9 bar",
                marks: &[
                    [["none", "light", "none"], ["none", "none", "none"]],
                    [["none", "none", "none"], ["light", "none", "none"]],
                ],
                worn: None,
                shelved: false,
            },
        },
        ..USUAL
    },
    Recipe {
        name: "Dipper, fire pump 1",
        customer: HOLM,
        example: FirePump,
        seed: Some(12),
        spec: Some((STEADY, 1)),
        serials: &[("DR-1", "DR-11"), ("DR-2", "DR-12"), ("DH-1", "DH-11"), ("DH-2", "DH-12")],
        inside: ("ES-12", "SS-42"),
        wants: "rebuilt, to stand by all year",
        begun: 330,
        ..USUAL
    },
    Recipe {
        name: "Heron, survey aircraft 1",
        customer: LINDMOOR,
        example: Aircraft,
        seed: Some(13),
        spec: Some((ENDURANCE, 1)),
        serials: &[("HR-9", "HR-7"), ("HH-4", "HH-2"), ("HS-1", "HS-11"), ("HS-2", "HS-12")],
        inside: ("ES-13", "SS-43"),
        came_in: "engine at 600 h",
        wants: "600 h more",
        begun: 320,
        then: Then::TornDown {
            days_ago: 95,
            ran: "412 h",
            found: &[
                Found {
                    on: (Rotor, 1),
                    place: "gear face, all tips",
                    contact: NotSeen,
                    note: "machining marks still there",
                    drawn: None,
                },
                Found {
                    on: (Rotor, 1),
                    place: "plain face, all tips",
                    contact: NotSeen,
                    note: "",
                    drawn: None,
                },
                Found {
                    on: (SideHousing, 1),
                    place: "track of the tips",
                    contact: NotLookedAt,
                    note: "sent to be lapped before anybody looked",
                    drawn: None,
                },
            ],
            told: Told {
                speed: "6150 rpm",
                boost: "0.15 bar",
                marks: &[[["none", "none", "none"], ["none", "none", "none"]]],
                worn: None,
                shelved: false,
            },
        },
        ..USUAL
    },
    Recipe {
        name: "Merganser, boat 5",
        seed: Some(14),
        spec: Some((SPRINT, 1)),
        serials: &[("R-114", "R-103"), ("R-97", "R-104"), ("H-31", "H-23"), ("H-32", "H-24")],
        inside: ("ES-14", "SS-44"),
        begun: 300,
        then: Then::Amended {
            days_ago: 262,
            reason: "the class allows more boost from this season on",
            change: ("build.duty.boost", "\"1.0 bar\""),
            signed: Again::On(261),
        },
        ..USUAL
    },
    Recipe {
        name: "Cormorant, hydroplane 1",
        customer: SALLOW,
        example: ThreeRotor,
        seed: Some(15),
        spec: Some((THREE_ROTORS, 1)),
        serials: &[
            ("CR-28", "CR-11"),
            ("CR-29", "CR-12"),
            ("CR-30", "CR-13"),
            ("CH-1", "CH-11"),
            ("CH-2", "CH-12"),
            ("CH-3", "CH-13"),
        ],
        inside: ("ES-15", "SS-45"),
        begun: 280,
        ..USUAL
    },
    Recipe {
        name: "Teal, irrigation pump 2",
        customer: GREYWATER,
        example: Irrigation,
        seed: Some(16),
        serials: &[("TR-5", "TR-2"), ("TH-7", "TH-3")],
        inside: ("ES-16", "SS-46"),
        wants: "to run unattended, to their own spec",
        begun: 265,
        ..USUAL
    },
    Recipe {
        name: "Smew, boat 2",
        customer: FERROW,
        seed: Some(17),
        spec: Some((SPRINT, 1)),
        serials: &[("R-114", "R-105"), ("R-97", "R-106"), ("H-31", "H-25"), ("H-32", "H-26")],
        inside: ("ES-17", "SS-47"),
        begun: 255,
        then: Then::TornDown {
            days_ago: 22,
            ran: "19 h",
            found: &[
                Found {
                    on: (Rotor, 1),
                    place: "gear face, tip 1",
                    contact: NotSeen,
                    note: "",
                    drawn: None,
                },
                Found {
                    on: (Rotor, 2),
                    place: "gear face, tip 3",
                    contact: Seen,
                    note: "polished, the land beside it is not",
                    drawn: Some(3),
                },
                Found {
                    on: (Rotor, 2),
                    place: "plain face, all tips",
                    contact: NotLookedAt,
                    note: "under burnt oil, cleaned away by mistake",
                    drawn: None,
                },
            ],
            told: Told {
                speed: "9800 rpm",
                boost: "0.85 bar",
                marks: &[
                    [["none", "none", "none"], ["none", "none", "none"]],
                    [
                        ["none", "none", "light"],
                        ["not looked at", "not looked at", "not looked at"],
                    ],
                ],
                worn: None,
                shelved: false,
            },
        },
        ..USUAL
    },
    Recipe {
        name: "Shelduck, hydroplane 2",
        customer: SALLOW,
        example: Hydroplane,
        seed: Some(18),
        spec: Some((HYDROPLANE, 1)),
        serials: &[("SR-21", "SR-11"), ("SR-22", "SR-12"), ("SH-5", "SH-1"), ("SH-6", "SH-2")],
        inside: ("ES-18", "SS-48"),
        begun: 230,
        ..USUAL
    },
    Recipe {
        name: "Merganser, boat 6",
        seed: Some(19),
        spec: Some((SPRINT, 1)),
        serials: &[("R-114", "R-107"), ("R-97", "R-108"), ("H-31", "H-27"), ("H-32", "H-28")],
        inside: ("ES-19", "SS-49"),
        begun: 210,
        corrected: Some(("rotor.R-107.land_width.3", 100)),
        ..USUAL
    },
    Recipe {
        name: "Gannet, fire pump 2",
        customer: HOLM,
        example: SmallPump,
        seed: Some(20),
        spec: Some((ATMOSPHERIC, 1)),
        serials: &[("GR-9", "GR-4"), ("GH-2", "GH-1")],
        inside: ("ES-20", "SS-50"),
        wants: "rebuilt and balanced in its mounts",
        begun: 190,
        ..USUAL
    },
    Recipe {
        name: "Merganser, boat 3, second build",
        seed: Some(21),
        spec: Some((SPRINT, 2)),
        serials: &[("R-114", "R-101"), ("R-97", "R-102"), ("H-31", "H-21"), ("H-32", "H-22")],
        inside: ("ES-11", "SS-51"),
        earlier: Some("Merganser, boat 3"),
        came_in: "the engine of build 1 after its first season",
        wants: "no contact at the tips any more",
        begun: 170,
        then: Then::TornDown {
            days_ago: 48,
            ran: "10.5 h",
            found: &[Found {
                on: (Rotor, 1),
                place: "gear face, all tips",
                contact: NotSeen,
                note: "the season's wear, no more",
                drawn: None,
            }],
            told: Told {
                speed: "9650 rpm",
                boost: "0.9 bar",
                marks: &[
                    [["none", "none", "none"], ["none", "none", "none"]],
                    [["none", "none", "none"], ["none", "none", "none"]],
                ],
                worn: None,
                shelved: true,
            },
        },
        ..USUAL
    },
    Recipe {
        name: "Dipper, fire pump 3",
        customer: HOLM,
        example: FirePump,
        seed: Some(22),
        spec: Some((STEADY, 1)),
        serials: &[("DR-1", "DR-21"), ("DR-2", "DR-22"), ("DH-1", "DH-21"), ("DH-2", "DH-22")],
        inside: ("ES-22", "SS-52"),
        wants: "rebuilt, to stand by all year",
        begun: 140,
        then: Then::Amended {
            days_ago: 118,
            reason: "the brigade runs it longer between rebuilds than was written",
            change: ("build.duty.running", "\"240 h\""),
            signed: Again::On(117),
        },
        ..USUAL
    },
    Recipe {
        name: "Shelduck, hydroplane 4",
        customer: SALLOW,
        example: Hydroplane,
        seed: Some(23),
        spec: Some((HYDROPLANE, 1)),
        serials: &[("SR-21", "SR-41"), ("SR-22", "SR-42"), ("SH-5", "SH-9"), ("SH-6", "SH-10")],
        inside: ("ES-23", "SS-53"),
        begun: 120,
        then: Then::Amended {
            days_ago: 3,
            reason: "the class lowers its speed limit; to be signed again",
            change: ("build.duty.speed", "\"8800 rpm\""),
            signed: Again::Wanted(-4),
        },
        ..USUAL
    },
    Recipe {
        name: "Heron, survey aircraft 1, second build",
        customer: LINDMOOR,
        example: Aircraft,
        seed: Some(24),
        spec: Some((ENDURANCE, 2)),
        serials: &[("HR-9", "HR-7"), ("HH-4", "HH-2"), ("HS-1", "HS-11"), ("HS-2", "HS-12")],
        inside: ("ES-13", "SS-54"),
        earlier: Some("Heron, survey aircraft 1"),
        came_in: "the engine after 412 h",
        wants: "600 h more",
        begun: 92,
        ..USUAL
    },
    Recipe {
        name: "Gannet, well pump",
        customer: QUERN,
        example: SmallPump,
        seed: Some(25),
        spec: Some((ATMOSPHERIC, 1)),
        serials: &[("GR-9", "GR-6"), ("GH-2", "GH-3")],
        inside: ("ES-25", "SS-55"),
        wants: "quiet enough for a village",
        begun: 60,
        ..USUAL
    },
    Recipe {
        name: "Cormorant, hydroplane 3",
        customer: SALLOW,
        example: ThreeRotor,
        came_in: "three rotors and housings in boxes",
        wants: "one engine of them",
        begun: 30,
        reach: NoPlan,
        stopped: "stopped: rotor CR-30 is worn too far; find another, or agree on another spec",
        ..USUAL
    },
    Recipe {
        name: "Shelduck, hydroplane",
        customer: SALLOW,
        example: Hydroplane,
        spec: Some((HYDROPLANE, 2)),
        begun: 25,
        wanted: Some(-3),
        reach: Balance,
        ..USUAL
    },
    Recipe {
        name: "Smew, boat 2, after the season",
        customer: FERROW,
        seed: Some(27),
        spec: Some((SPRINT, 3)),
        serials: &[("R-114", "R-105"), ("R-97", "R-106"), ("H-31", "H-25"), ("H-32", "H-26")],
        inside: ("ES-17", "SS-57"),
        earlier: Some("Smew, boat 2"),
        came_in: "the engine after its season",
        wants: "ready for the spring races",
        begun: 20,
        wanted: Some(-12),
        reach: CutShort,
        ..USUAL
    },
    Recipe {
        name: "Shelduck, hydroplane 3",
        customer: SALLOW,
        example: Hydroplane,
        seed: Some(28),
        spec: Some((HYDROPLANE, 2)),
        serials: &[("SR-21", "SR-31"), ("SR-22", "SR-32"), ("SH-5", "SH-7"), ("SH-6", "SH-8")],
        inside: ("ES-28", "SS-58"),
        begun: 17,
        wanted: Some(-1),
        reach: Assembly,
        ..USUAL
    },
    Recipe {
        name: "Gannet, fire pump",
        customer: HOLM,
        example: SmallPump,
        spec: Some((ATMOSPHERIC, 1)),
        wants: "rebuilt and balanced in its mounts",
        begun: 16,
        wanted: Some(-6),
        reach: Balance,
        ..USUAL
    },
    Recipe {
        name: "Heron, survey aircraft 2",
        customer: LINDMOOR,
        example: Aircraft,
        spec: Some((ENDURANCE, 2)),
        came_in: "engine at 580 h",
        wants: "600 h more",
        begun: 14,
        wanted: Some(-9),
        reach: Cut,
        ..USUAL
    },
    Recipe {
        name: "Goldeneye, patrol boat",
        customer: MARRICK,
        seed: Some(31),
        spec: Some((SPRINT, 3)),
        serials: &[("R-114", "R-111"), ("R-97", "R-112"), ("H-31", "H-33"), ("H-32", "H-34")],
        begun: 12,
        reach: Misread,
        slip: Some(("rotor.R-111.land_width.2", 500)),
        stopped: "stopped: land width of rotor R-111 at tip 2 cannot be right; read it again",
        ..USUAL
    },
    Recipe {
        name: "Heron, survey aircraft 3",
        customer: LINDMOOR,
        example: Aircraft,
        seed: Some(32),
        spec: Some((ENDURANCE, 2)),
        serials: &[("HR-9", "HR-10"), ("HH-4", "HH-5"), ("HS-1", "HS-13"), ("HS-2", "HS-14")],
        came_in: "engine at 610 h",
        wants: "600 h more",
        begun: 9,
        reach: Planned,
        ..USUAL
    },
    Recipe {
        name: "Teal, irrigation pump",
        customer: GREYWATER,
        example: Irrigation,
        wants: "to run unattended, to their own spec",
        begun: 8,
        reach: Misread,
        stopped: "stopped: readings of rotor TR-5 at tip 3 disagree; make the repeat that the \
                  plan asks for",
        ..USUAL
    },
    Recipe {
        name: SPRINT_BOAT,
        spec: Some((SPRINT, 3)),
        wants: "ready between two races",
        begun: 6,
        reach: Planned,
        ..USUAL
    },
    Recipe {
        name: "Dipper, fire pump",
        customer: HOLM,
        example: FirePump,
        spec: Some((STEADY, 1)),
        wants: "rebuilt, to stand by all year",
        begun: 5,
        reach: Misread,
        stopped: "stopped: land width of rotor DR-2 at tip 2 cannot be right; read it again",
        ..USUAL
    },
    Recipe {
        name: "Smew, boat 4",
        customer: FERROW,
        seed: Some(36),
        spec: Some((SPRINT, 3)),
        serials: &[("R-114", "R-113"), ("R-97", "R-115"), ("H-31", "H-35"), ("H-32", "H-36")],
        begun: 3,
        reach: Measuring,
        ..USUAL
    },
    Recipe {
        name: "Teal, irrigation pump 4",
        customer: GREYWATER,
        example: Irrigation,
        spec: Some((STEADY, 1)),
        wants: "to run unattended",
        begun: 2,
        reach: Begun,
        ..USUAL
    },
    Recipe {
        name: "Merganser, boat 8",
        spec: Some((SPRINT, 3)),
        came_in: "a bare shaft and side housings",
        wants: "a spare engine, from what is on the shelf",
        begun: 1,
        reach: Begun,
        ..USUAL
    },
];
