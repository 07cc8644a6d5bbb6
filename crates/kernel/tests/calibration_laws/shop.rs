//! Invented shops whose truth is known.

use kernel::calibration::{ASSUMED, BuildSeen, Contact, TiltTest, TipSeen};
use kernel::readings::Face;
use kernel::speed::engine::{GapTable, HEATS, TILTS};

const UM: f64 = 1e-6;

/// Numbers that are the same on every machine: splitmix64.
pub(crate) struct Draw(pub(crate) u64);

impl Draw {
    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }
}

/// What is true of a shop's engines.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Truth {
    pub(crate) tilt: f64,
    pub(crate) heat: f64,
    pub(crate) margin_m: f64,
    pub(crate) heavy_m: f64,
    /// How a clamped housing differs.
    pub(crate) at_rest: f64,
}

impl Truth {
    /// As what is assumed has it.
    pub(crate) fn drawn(draw: &mut Draw) -> Self {
        Self {
            tilt: (ASSUMED.tilt_log_sd * draw.normal()).exp(),
            heat: (ASSUMED.heat_log_sd * draw.normal()).exp(),
            margin_m: ASSUMED.margin_sd_m * draw.normal(),
            heavy_m: ASSUMED.heavy_median_m * (ASSUMED.heavy_log_sd * draw.normal()).exp(),
            at_rest: (ASSUMED.at_rest_log_sd * draw.normal()).exp(),
        }
    }

    /// A build that came apart: planned with some care, run harder or softer.
    pub(crate) fn build(&self, draw: &mut Draw, rotors: usize, name: String) -> BuildSeen {
        let hard = draw.between(0.6, 1.5);
        let shared_m: Vec<f64> = (0..rotors).map(|_| draw.between(4.0, 9.0) * UM).collect();
        let mut tips = Vec::new();
        for (rotor, shared_m) in shared_m.iter().enumerate() {
            let offset = shared_m * draw.normal();
            let step = draw.between(75.0, 125.0);
            for face in Face::BOTH {
                for tip in 1..=3 {
                    let own_m = draw.between(6.0, 12.0) * UM;
                    let height = draw.between(-8.0, 8.0);
                    // The least of several bounds, each straight: what else the land bears on.
                    let bounds: Vec<[f64; 3]> = (0..4)
                        .map(|k| {
                            [
                                (step + height + 6.0 * f64::from(k)) * UM,
                                hard * draw.between(35.0, 65.0) * UM,
                                hard * draw.between(15.0, 40.0) * UM,
                            ]
                        })
                        .collect();
                    let least = |tilt: f64, heat: f64| {
                        let each = bounds.iter().map(|[none, t, h]| none - tilt * t - heat * h);
                        each.fold(f64::INFINITY, f64::min)
                    };
                    let gap = GapTable(TILTS.map(|tilt| HEATS.map(|heat| least(tilt, heat))));
                    let mut seen = TipSeen { rotor, face, tip, gap, own_m, contact: Contact::None };
                    let gap = seen.gap.at(self.tilt, self.heat) + offset + own_m * draw.normal();
                    seen.contact = self.contact(gap, draw);
                    tips.push(seen);
                }
            }
        }
        BuildSeen { name, shared_m, tips }
    }

    fn contact(&self, gap_m: f64, draw: &mut Draw) -> Contact {
        if draw.uniform() < ASSUMED.other_cause {
            return [Contact::None, Contact::Light, Contact::Heavy]
                [(3.0 * draw.uniform()) as usize % 3];
        }
        if gap_m < self.margin_m - self.heavy_m {
            Contact::Heavy
        } else if gap_m < self.margin_m {
            Contact::Light
        } else {
            Contact::None
        }
    }

    /// A tip pushed in a clamped housing.
    pub(crate) fn test(&self, draw: &mut Draw) -> TiltTest {
        let predicted_m = draw.between(30.0, 60.0) * UM;
        let (u_moved_m, u_shared_m) = (1.5 * UM, 1.0 * UM);
        let moved_m = predicted_m * self.tilt * self.at_rest + u_shared_m * draw.normal();
        let moved_m = (0..3).map(|_| moved_m + u_moved_m * draw.normal()).collect();
        TiltTest { predicted_m, moved_m, u_moved_m, u_shared_m }
    }
}
