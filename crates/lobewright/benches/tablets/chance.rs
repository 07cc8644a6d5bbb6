//! Numbers by chance that are the same in every run of the same seed.

use std::time::Duration;

/// Steele, Lea and Flood's SplitMix64, from memory.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    /// A stream of its own for each number.
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut chance = Self(seed ^ stream.wrapping_mul(0xd134_2543_de82_ef95));
        chance.bits();
        chance
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From nothing to one.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Once in so many times.
    pub(crate) fn once_in(&mut self, times: f64) -> bool {
        self.unit() * times < 1.0
    }

    pub(crate) fn between(&mut self, least: Duration, most: Duration) -> Duration {
        least + (most - least).mul_f64(self.unit())
    }
}
