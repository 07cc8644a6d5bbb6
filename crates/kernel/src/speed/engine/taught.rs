//! What a shop's own engines say of the model: how much more rotors lean and parts heat than it
//! computes, and how small a gap leaves marks.

/// Two scales and a gap, with how well they are known together.
///
/// Each scale is a factor with a lognormal distribution, the gap has a normal one. Where a shop has
/// taught nothing, [`LEAST_MODEL_ERROR`](super::LEAST_MODEL_ERROR) stands for the lean alone, and a
/// tip touches where no gap is left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taught {
    /// How much more rotors lean than computed: the median.
    pub tilt: f64,
    /// How much more everything heats than the duty says: the median.
    pub heat: f64,
    /// A tip leaves marks where less than this is left of its computed gap; may be negative.
    pub seen_below_m: f64,
    /// Standard uncertainties of the logarithms of the two scales, and of the gap in metres.
    pub u: [f64; 3],
    /// How the three go together: tilt with heat, tilt with the gap, heat with the gap.
    pub together: [f64; 3],
}

/// One draw of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TaughtDraw {
    /// Of the lean, over its median.
    pub(super) lean: f64,
    /// Of the rises, over their median.
    pub(super) heat: f64,
    /// The gap.
    pub(super) seen_below_m: f64,
}

impl Taught {
    /// Whether the scales are above zero, uncertainties are none below it, and the three can go
    /// together as is said.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let [th, tm, hm] = self.together;
        let numbers = [self.tilt, self.heat, self.seen_below_m, th, tm, hm];
        let determinant = 1.0 + 2.0 * th * tm * hm - th * th - tm * tm - hm * hm;
        numbers.iter().chain(&self.u).all(|value| value.is_finite())
            && self.tilt > 0.0
            && self.heat > 0.0
            && self.u.iter().all(|u| *u >= 0.0)
            && self.together.iter().all(|r| r.abs() <= 1.0)
            && determinant >= -1e-9
    }

    /// A draw from three independent standard normal values.
    pub(super) fn draw(&self, values: [f64; 3]) -> TaughtDraw {
        let [th, tm, hm] = self.together;
        // The lower triangular factor of the correlations, row by row.
        let heat = (1.0 - th * th).max(0.0).sqrt();
        let across = if heat > 0.0 { (hm - th * tm) / heat } else { 0.0 };
        let rest = (1.0 - tm * tm - across * across).max(0.0).sqrt();
        let tied = [
            values[0],
            th * values[0] + heat * values[1],
            tm * values[0] + across * values[1] + rest * values[2],
        ];
        TaughtDraw {
            lean: (self.u[0] * tied[0]).exp(),
            heat: (self.u[1] * tied[1]).exp(),
            seen_below_m: self.seen_below_m + self.u[2] * tied[2],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Taught;
    use crate::normals::Normals;

    const TAUGHT: Taught = Taught {
        tilt: 1.2,
        heat: 0.9,
        seen_below_m: 5e-6,
        u: [0.1, 0.2, 4e-6],
        together: [-0.6, 0.3, 0.2],
    };

    #[test]
    fn draws_have_the_uncertainties_and_go_together_as_said() {
        let mut normals = Normals(7);
        let draws = 40_000;
        let mut sums = [[0.0; 3]; 3];
        for _ in 0..draws {
            let draw = TAUGHT.draw(std::array::from_fn(|_| normals.next()));
            let off =
                [draw.lean.ln() / 0.1, draw.heat.ln() / 0.2, (draw.seen_below_m - 5e-6) / 4e-6];
            for i in 0..3 {
                for j in 0..3 {
                    sums[i][j] += off[i] * off[j] / f64::from(draws);
                }
            }
        }
        let [th, tm, hm] = TAUGHT.together;
        let wanted = [[1.0, th, tm], [th, 1.0, hm], [tm, hm, 1.0]];
        for i in 0..3 {
            for j in 0..3 {
                // Five standard errors of a correlation from so many draws.
                assert!((sums[i][j] - wanted[i][j]).abs() < 0.036, "{sums:?}");
            }
        }
    }

    #[test]
    fn what_cannot_go_together_is_not_sound() {
        assert!(TAUGHT.is_sound());
        assert!(Taught { together: [1.0, 1.0, 1.0], ..TAUGHT }.is_sound());
        assert!(!Taught { together: [0.9, 0.9, -0.9], ..TAUGHT }.is_sound());
        assert!(!Taught { tilt: 0.0, ..TAUGHT }.is_sound());
        assert!(!Taught { u: [0.1, -0.2, 0.0], ..TAUGHT }.is_sound());
        assert!(!Taught { seen_below_m: f64::NAN, ..TAUGHT }.is_sound());
    }
}
