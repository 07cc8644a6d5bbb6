//! Small differences between one rotor and the next, the same on every machine and every time.

/// A row of numbers that a seed fixes: SplitMix64, as the Java platform has it (common practice).
#[derive(Debug, Clone)]
pub(super) struct Scatter(u64);

impl Scatter {
    pub(super) const fn of(seed: u64) -> Self {
        Self(seed)
    }

    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from this much below nothing to as much above it; the middle is likelier,
    /// as it is among parts.
    pub(super) fn about(&mut self, most: i64) -> i64 {
        let span = most.unsigned_abs() + 1;
        let [a, b] = [self.next() % span, self.next() % span];
        // Both are at most `most`.
        i64::try_from(a).unwrap_or(0) - i64::try_from(b).unwrap_or(0)
    }

    /// A whole number of these, each as likely.
    pub(super) fn between(&mut self, least: i64, most: i64) -> i64 {
        let span = (most - least).unsigned_abs() + 1;
        least + i64::try_from(self.next() % span).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::Scatter;

    #[test]
    fn numbers_stay_within_what_is_asked_and_reach_it() {
        let mut scatter = Scatter::of(7);
        let about: Vec<i64> = (0..2000).map(|_| scatter.about(3)).collect();
        let between: Vec<i64> = (0..2000).map(|_| scatter.between(-2, 5)).collect();
        assert_eq!((about.iter().min(), about.iter().max()), (Some(&-3), Some(&3)));
        assert_eq!((between.iter().min(), between.iter().max()), (Some(&-2), Some(&5)));
        assert!((0..9).all(|_| scatter.about(0) == 0));
    }

    #[test]
    fn a_seed_fixes_them() {
        let row = |seed| {
            let mut scatter = Scatter::of(seed);
            [(); 8].map(|()| scatter.about(1000))
        };
        assert_eq!(row(1), row(1));
        assert_ne!(row(1), row(2));
    }
}
