//! What a picture belongs to: said small at its foot, so that a printed sheet finds its way back.

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

impl Origin {
    /// The line at the foot.
    pub(crate) fn line(&self) -> String {
        format!("Build: {}. Housing: {}. Spec: {}.", self.build, self.housing, self.spec)
    }
}
