//! A machine tool's record as the kernel takes it, and a rotor's face as it is machined.

use super::super::plan::RotorReport;
use super::Inputs;
use crate::build_file::model::machine_tool::{self as record, Tool};
use kernel::cutting::{
    FaceGiven, FaceJob, Finish, Fixture, HeldBy, Kind, LatheTool, MachineTool, MillCutter, Rough,
    Units, UnitsWord, XReads,
};
use kernel::geometry::GeometryError;
use kernel::readings::Face;
use kernel::units::{CuttingSpeed, Velocity};

/// Points of the outline between two tips: its chords then lie a hundredth of a millimetre inside
/// the flank, and a cutter goes past it by more.
const OUTLINE_PER_THIRD: usize = 48;

fn velocity(speed: CuttingSpeed) -> Velocity {
    Velocity::m_per_s(speed.to_m_per_s())
}

/// The record of a machine tool that the shop calls so.
pub(in crate::ops) fn machine_tool(name: &str, of: &record::MachineTool) -> MachineTool {
    let kind = match of.tool {
        Tool::Mill(cutter) => Kind::Mill(MillCutter {
            diameter: cutter.diameter,
            corner_radius: cutter.corner_radius,
            teeth: cutter.teeth,
            reach: cutter.reach,
            holder_diameter: cutter.holder_diameter,
        }),
        Tool::Lathe(tool) => Kind::Lathe(LatheTool {
            x_reads: match tool.x_reads {
                record::XReads::Diameter => XReads::Diameter,
                record::XReads::Radius => XReads::Radius,
            },
            nose_radius: tool.nose_radius,
            reach: tool.reach,
            holder_width: tool.holder_width,
        }),
    };
    MachineTool {
        name: name.to_owned(),
        kind,
        units: match of.control.units {
            record::ControlUnits::Mm => Units::Mm,
            record::ControlUnits::Inch => Units::Inch,
        },
        units_word: match of.control.word {
            record::UnitsWord::G20 => UnitsWord::G20,
            record::UnitsWord::G21 => UnitsWord::G21,
            record::UnitsWord::G70 => UnitsWord::G70,
            record::UnitsWord::G71 => UnitsWord::G71,
        },
        most_speed: of.most_speed,
        least_speed: of.least_speed,
        rapid: of.rapid.map(velocity),
        fixture: Fixture {
            held_by: match of.fixture.held_by {
                record::HeldBy::Land => HeldBy::Land,
                record::HeldBy::Bore => HeldBy::Bore,
            },
            clamp_radius: of.fixture.clamp_radius,
            clamp_height: of.fixture.clamp_height,
        },
        rough: Rough {
            cutting_speed: velocity(of.rough.cutting_speed),
            feed: of.rough.feed,
            depth: of.rough.depth,
        },
        finish: Finish {
            cutting_speed: velocity(of.finish.cutting_speed),
            feed: of.finish.feed,
            stock: of.finish.stock,
        },
    }
}

/// A face of a rotor as it is now, and as the plan wants it.
///
/// # Errors
/// [`GeometryError`] where the engine has no outline.
pub(in crate::ops) fn face_given(
    inputs: &Inputs,
    rotor: &RotorReport,
    face: Face,
) -> Result<FaceGiven, GeometryError> {
    let outline = inputs.face.outline_points(OUTLINE_PER_THIRD)?;
    // Gear land, plain land, gear tips, plain tips.
    let [gear_land, plain_land, gear_tips, plain_tips] = rotor.plan.levels;
    let (land_level, outside_level) = match face {
        Face::Gear => (gear_land, gear_tips),
        Face::Plain => (plain_land, plain_tips),
    };
    Ok(FaceGiven {
        face,
        outline: outline.into_iter().map(|point| point.place()).collect(),
        land_inner_radius: inputs.land_inner_radius,
        land_radius: inputs.face.land_radius(),
        reading_radius: inputs.reading_radius,
        found: *rotor.now.heights.face(face),
        land_level,
        outside_level,
        shape: inputs.spec.outside,
        tolerance: FaceJob::USUAL_TOLERANCE,
        terrace: FaceJob::USUAL_TERRACE,
    })
}
