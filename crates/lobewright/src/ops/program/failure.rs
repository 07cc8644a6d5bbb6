//! Why a machining program is not given out.

use kernel::cutting::{CuttingError, MachineTool};
use kernel::geometry::GeometryError;
use kernel::readings::Face;
use kernel::units::Length;
use program::ProgramError;
use thiserror::Error;

/// Why there are no programs of a build.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ProgramsError {
    /// The set has no plan.
    #[error("the set has no plan: nothing is cut before it has one")]
    NoPlan,
    /// No rotor of this serial.
    #[error("no rotor {serial:?} in this build; there are {}", .known.join(", "))]
    NoRotor {
        /// As asked for.
        serial: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// Faces of which no program can be given out; one at least.
    #[error("{}", .0.iter().map(FaceFailure::to_string).collect::<Vec<_>>().join("\n"))]
    Faces(Vec<FaceFailure>),
}

impl ProgramsError {
    /// Whether what was asked is wrong, rather than the set or a program.
    #[must_use]
    pub fn is_of_the_call(&self) -> bool {
        match self {
            Self::NoPlan => false,
            Self::NoRotor { .. } => true,
            Self::Faces(faces) => faces.iter().any(|face| face.source.is_of_the_record()),
        }
    }
}

/// What stands in the way of a face's program.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum Source {
    /// The engine has no outline.
    #[error(transparent)]
    Outline(#[from] GeometryError),
    /// It cannot be machined so, or did not pass its check.
    #[error(transparent)]
    Program(#[from] ProgramError),
}

impl Source {
    /// Whether the machine's record or the grid would have to be another.
    const fn is_of_the_record(&self) -> bool {
        !matches!(self, Self::Program(ProgramError::Refused(_)))
    }
}

/// A face of which no program can be given out.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("rotor {serial}, {} face: {}{source}", .face.name(), place(.key))]
pub struct FaceFailure {
    /// Whose.
    pub serial: String,
    /// Which.
    pub face: Face,
    /// The key of the machine's record that would have to be another, if it is one.
    pub key: Option<String>,
    /// Why.
    pub source: Source,
}

fn place(key: &Option<String>) -> String {
    key.as_ref().map_or_else(String::new, |key| format!("{key}: "))
}

impl FaceFailure {
    pub(super) fn new((serial, face): (&str, Face), machine: &MachineTool, source: Source) -> Self {
        let key = match &source {
            Source::Program(ProgramError::Cutting(error)) => key_of(error, machine),
            _ => None,
        };
        let key = key.map(|key| format!("machine_tool.{}.{key}", machine.name));
        Self { serial: serial.to_owned(), face, key, source }
    }
}

/// The key of a machine's record that an error is about.
fn key_of(error: &CuttingError, machine: &MachineTool) -> Option<&'static str> {
    Some(match error {
        CuttingError::UnitsWord { .. } => "units_word",
        CuttingError::NoTeeth => "cutter.teeth",
        CuttingError::Clamp { .. } => "fixture.clamp_radius",
        CuttingError::HolderMeetsClamp(_) => "cutter.reach",
        CuttingError::Reach { .. } => "cutter.reach",
        CuttingError::SpeedBeyondSpindle { cutting, .. }
        | CuttingError::SpeedBelowSpindle { cutting, .. } => {
            if *cutting == machine.rough.cutting_speed {
                "rough.cutting_speed"
            } else {
                "finish.cutting_speed"
            }
        }
        CuttingError::Passes { .. } => "rough.depth",
        CuttingError::Rounding { .. } => "units",
        CuttingError::Order { more_value, .. } if is_the_diameter(*more_value, machine) => {
            "cutter.diameter"
        }
        _ => return None,
    })
}

fn is_the_diameter(value: Length, machine: &MachineTool) -> bool {
    matches!(machine.kind, kernel::cutting::Kind::Mill(cutter) if cutter.diameter == value)
}
