//! Invented faces and machines.

use kernel::cutting::{
    FaceGiven, FaceJob, Finish, Fixture, HeldBy, Kind, LatheTool, MachineTool, MillCutter, Rough,
    Units, UnitsWord, XReads,
};
use kernel::geometry::{Flank, SideFace, SideFaceSizes, Trochoid};
use kernel::readings::{Face, FaceHeights};
use kernel::room::Outside;
use kernel::units::{Length, Speed, Velocity};
use program::Titles;

pub(super) fn titles() -> Titles {
    Titles {
        rotor: "R-114".to_owned(),
        build: "Cormorant, hydroplane 3".to_owned(),
        hash: "9f2c 41d0 77ab 0e35".to_owned(),
    }
}

/// Cuts of 62.5 / 68.5 / 64.5 um from the land and 94.5 / 107.5 / 89.5 outside it.
pub(super) fn given() -> FaceGiven {
    let mm = Length::mm;
    let trochoid = Trochoid::new(mm(101.5), mm(14.5), mm(2.5)).unwrap();
    let sizes = SideFaceSizes { land_radius: mm(61.0), rotor_tip_radius: mm(99.0) };
    let face = SideFace::new(Flank::new(trochoid, mm(0.4)).unwrap(), sizes, &[]).unwrap();
    FaceGiven {
        face: Face::Gear,
        outline: face.outline_points(24).unwrap().into_iter().map(|p| p.place()).collect(),
        land_inner_radius: mm(46.0),
        land_radius: mm(61.0),
        reading_radius: mm(97.0),
        found: FaceHeights {
            land: [39.9565, 39.9625, 39.9585].map(mm),
            tip: [39.8615, 39.8745, 39.8565].map(mm),
        },
        land_level: Some(mm(39.894)),
        outside_level: Some(mm(39.767)),
        shape: Outside::Step,
        tolerance: FaceJob::USUAL_TOLERANCE,
        terrace: FaceJob::USUAL_TERRACE,
    }
}

pub(super) fn job(given: FaceGiven) -> FaceJob {
    FaceJob::new(given).unwrap()
}

pub(super) fn step() -> FaceJob {
    job(given())
}

pub(super) fn taper() -> FaceJob {
    let shape = Outside::Taper { start: Length::mm(63.0), root: Length::um(20.0) };
    job(FaceGiven { shape, face: Face::Plain, ..given() })
}

pub(super) fn m_per_min(speed: f64) -> Velocity {
    Velocity::m_per_s(speed / 60.0)
}

pub(super) fn mill() -> MachineTool {
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
        rapid: Some(m_per_min(5.0)),
        fixture: Fixture {
            held_by: HeldBy::Land,
            clamp_radius: Length::mm(34.0),
            clamp_height: Length::mm(18.0),
        },
        rough: Rough {
            cutting_speed: m_per_min(70.0),
            feed: Length::mm(0.08),
            depth: Length::mm(0.3),
        },
        finish: Finish {
            cutting_speed: m_per_min(90.0),
            feed: Length::mm(0.05),
            stock: Length::um(30.0),
        },
    }
}

pub(super) fn lathe() -> MachineTool {
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
        rapid: None,
        fixture: Fixture {
            held_by: HeldBy::Bore,
            clamp_radius: Length::mm(30.0),
            clamp_height: Length::mm(12.0),
        },
        ..mill()
    }
}
