//! Does a size conform? Decision rules of ISO 14253-1, 2017 edition, for 95 % conformance
//! probability: proven in, proven out, or closer to the limit than the uncertainty [ISO-14253-1].

use crate::units::Length;

/// One-sided guard factor for 95 % conformance probability of a normally distributed error:
/// Φ(1.65) = 0.9505 [ISO-14253-1, JCGM-106].
pub const GUARD_FACTOR: f64 = 1.65;
/// The edition every sheet names.
pub const EDITION: &str = "ISO 14253-1:2017";
/// The conformance probability every sheet names.
pub const PROBABILITY: f64 = 0.95;
/// Differences below a picometre are rounding of the arithmetic, not of the part.
pub(crate) const ROUNDING_M: f64 = 1e-12;

/// What can be said of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Within the tolerance by more than the guard.
    Conforms,
    /// Closer to a limit than the guard.
    NotProven,
    /// Outside the tolerance by more than the guard.
    DoesNotConform,
}

impl Verdict {
    /// In the words every output uses.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Conforms => "conforms",
            Self::NotProven => "not proven",
            Self::DoesNotConform => "does not conform",
        }
    }
}

/// The least and the most a size may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// The least allowed.
    pub least: Length,
    /// The most allowed.
    pub most: Length,
}

impl Tolerance {
    /// `target ± half`.
    #[must_use]
    pub fn around(target: Length, half: Length) -> Self {
        Self { least: target - half, most: target + half }
    }

    /// The zone that proves conformance: narrowed by the guard at both ends. Its least may exceed
    /// its most; then nothing can be proven with this gauge and machine.
    #[must_use]
    pub fn guarded(&self, guard: Length) -> Self {
        Self { least: self.least + guard, most: self.most - guard }
    }

    /// Whether a value lies within, bounds included.
    #[must_use]
    pub fn holds(&self, value: Length) -> bool {
        let rounding = Length::m(ROUNDING_M);
        value >= self.least - rounding && value <= self.most + rounding
    }

    /// The verdict on a value whose guard is `guard` (not negative).
    #[must_use]
    pub fn judge(&self, value: Length, guard: Length) -> Verdict {
        if self.guarded(guard).holds(value) {
            Verdict::Conforms
        } else if self.guarded(-guard).holds(value) {
            Verdict::NotProven
        } else {
            Verdict::DoesNotConform
        }
    }
}

/// The guard of a standard uncertainty: `1.65 u`.
#[must_use]
pub fn guard(standard_uncertainty: Length) -> Length {
    standard_uncertainty * GUARD_FACTOR
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    #[test]
    fn three_zones() {
        // Limits 0.10 and 0.20 mm with a guard of 0.010: accept 0.110 to 0.190, reject below
        // 0.090 and above 0.210 [ISO-14253-1].
        let tolerance = Tolerance { least: Length::mm(0.10), most: Length::mm(0.20) };
        let judge = |mm: f64| tolerance.judge(Length::mm(mm), Length::mm(0.010));
        for (mm, verdict) in [
            (0.110, Verdict::Conforms),
            (0.190, Verdict::Conforms),
            (0.109, Verdict::NotProven),
            (0.191, Verdict::NotProven),
            (0.090, Verdict::NotProven),
            (0.210, Verdict::NotProven),
            (0.089, Verdict::DoesNotConform),
            (0.211, Verdict::DoesNotConform),
        ] {
            assert_eq!(judge(mm), verdict, "{mm}");
        }
    }

    #[test]
    fn the_guard_factor_gives_the_stated_probability() {
        // Φ(1.65) = 0.950529 [JCGM-106], computed with a general statistics library.
        let probability = Normal::standard().cdf(GUARD_FACTOR);
        assert!((probability - 0.950_529).abs() < 1e-6);
        assert!(probability >= PROBABILITY);
    }
}
