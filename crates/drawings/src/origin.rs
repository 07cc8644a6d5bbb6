//! What a picture belongs to: said small at its foot, so that a printed sheet finds its way back.

use crate::sheet::SCREENING;

/// The build, the housing and the spec of a rotor that is drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// Name of the build.
    pub build: String,
    /// Serial of the rotor's housing.
    pub housing: String,
    /// Name of the spec.
    pub spec: String,
}

/// Said where the shaft was not described but taken from the engine's sizes.
const ASSUMED: &str = "Shaft assumed from the engine's sizes.";

impl Origin {
    /// The lines at the foot of a picture of the rotor at speed.
    pub(crate) fn at_speed(&self, assumed_shaft: bool) -> Vec<String> {
        let caution =
            if assumed_shaft { format!("{SCREENING} {ASSUMED}") } else { SCREENING.to_owned() };
        vec![caution, self.line()]
    }

    /// The line at the foot.
    pub(crate) fn line(&self) -> String {
        format!("Build: {}. Housing: {}. Spec: {}.", self.build, self.housing, self.spec)
    }
}
