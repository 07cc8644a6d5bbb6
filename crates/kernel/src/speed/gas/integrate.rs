//! Follows a system of ordinary differential equations with the step its accuracy asks for.
//!
//! Dormand and Prince's pair of fifth and fourth order with its interpolant of fourth order
//! [HAIRER] (II.5 and II.6, coefficients from memory; the tests check their orders). Each state it
//! gives, between steps too, is linear in the slopes, so what balances in the slopes (mass,
//! energy) balances to round-off in every state.

use super::error::GasError;

/// The nodes of the pair.
const C: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
/// Its stages; the last row is the fifth-order result, and the first stage of the next step.
const A: [[f64; 6]; 7] = [
    [0.0; 6],
    [0.2, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
/// Fifth less fourth order.
const E: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
/// The interpolant's own term.
const D: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Steps, taken and refused, between two events. A cycle takes some 300; a stiff port at a
/// walking pace some thousands.
const MOST_STEPS: usize = 50_000;
/// The least step, degrees.
const LEAST_STEP_DEG: f64 = 1e-9;

/// How a stretch is followed.
pub(super) struct Follow<const N: usize> {
    /// Error per step and component over its scale.
    pub(super) tolerance: f64,
    /// The first components that the error is judged by.
    pub(super) judged: usize,
}

/// What a stretch ends with.
pub(super) struct Arrived<const N: usize> {
    pub(super) state: [f64; N],
    /// The step that the next stretch may try.
    pub(super) step_deg: f64,
}

impl<const N: usize> Follow<N> {
    /// From `from_deg` to `to_deg`; `whole` is told the state at each whole degree in
    /// `[from_deg, to_deg)`. `scale` gives what an error is judged against.
    ///
    /// # Errors
    /// [`GasError::Integration`] when the accuracy cannot be had.
    pub(super) fn stretch(
        &self,
        (from_deg, to_deg): (f64, f64),
        start: [f64; N],
        first_step_deg: f64,
        slopes: &impl Fn(f64, &[f64; N]) -> [f64; N],
        scale: &impl Fn(&[f64; N]) -> [f64; N],
        whole: &mut impl FnMut(i64, &[f64; N]),
    ) -> Result<Arrived<N>, GasError> {
        let mut theta = from_deg;
        let mut y = start;
        let mut step = first_step_deg;
        let mut k = [[0.0; N]; 7];
        k[0] = slopes(theta, &y);
        for steps in 0..MOST_STEPS {
            let left = to_deg - theta;
            let last = step >= left * (1.0 - 1e-12);
            let h = if last { left } else { step };
            let mut next = y;
            for stage in 1..7 {
                next = y;
                for (earlier, slope) in k.iter().enumerate().take(stage) {
                    let factor = h * A[stage][earlier];
                    if factor != 0.0 {
                        for (value, slope) in next.iter_mut().zip(slope) {
                            *value += factor * slope;
                        }
                    }
                }
                k[stage] = slopes(theta + C[stage] * h, &next);
            }
            let scales = scale(&y);
            let mut worst: f64 = 0.0;
            for i in 0..self.judged {
                let error: f64 = h * E.iter().zip(&k).map(|(e, k)| e * k[i]).sum::<f64>();
                // f64::max would pass over a NaN.
                let share = error.abs() / scales[i];
                worst = if share <= worst { worst } else { share };
            }
            let ratio = worst / self.tolerance;
            if ratio <= 1.0 {
                let end = if last { to_deg } else { theta + h };
                interpolate((theta, end, h), &y, &next, &k, whole);
                y = next;
                theta = end;
                k[0] = k[6];
                // A last step cut short by the end says nothing against the step before it.
                let grown = h * (0.9 * ratio.max(1e-10).powf(-0.2)).min(6.0);
                step = if last { grown.max(step) } else { grown };
                if last {
                    return Ok(Arrived { state: y, step_deg: step });
                }
            } else {
                let shrink =
                    if ratio.is_finite() { (0.9 * ratio.powf(-0.2)).max(0.2) } else { 0.2 };
                step = h * shrink;
                if step < LEAST_STEP_DEG {
                    return Err(GasError::Integration { theta_deg: theta, step_deg: step, steps });
                }
            }
        }
        Err(GasError::Integration { theta_deg: theta, step_deg: step, steps: MOST_STEPS })
    }
}

/// Tells `whole` the states at whole degrees in `[from, to)`.
fn interpolate<const N: usize>(
    (from, to, h): (f64, f64, f64),
    y: &[f64; N],
    next: &[f64; N],
    k: &[[f64; N]; 7],
    whole: &mut impl FnMut(i64, &[f64; N]),
) {
    let mut degree = from.ceil();
    if degree >= to {
        return;
    }
    let mut terms = [[0.0; 4]; N];
    for i in 0..N {
        let difference = next[i] - y[i];
        let bend = h * k[0][i] - difference;
        let own: f64 = h * D.iter().zip(k).map(|(d, k)| d * k[i]).sum::<f64>();
        terms[i] = [difference, bend, difference - h * k[6][i] - bend, own];
    }
    while degree < to {
        let s = (degree - from) / h;
        let mut state = *y;
        for (value, t) in state.iter_mut().zip(&terms) {
            *value += s * (t[0] + (1.0 - s) * (t[1] + s * (t[2] + (1.0 - s) * t[3])));
        }
        #[expect(clippy::cast_possible_truncation, reason = "a whole degree of a few turns")]
        whole(degree as i64, &state);
        degree += 1.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// y'' = −y in two components; period 360 degrees of "angle" taken as radians times 57.
    fn swing(tolerance: f64) -> (f64, f64, usize) {
        let follow = Follow::<2> { tolerance, judged: 2 };
        let count = std::cell::Cell::new(0);
        let slopes = |_: f64, y: &[f64; 2]| {
            count.set(count.get() + 1);
            [y[1].to_radians(), -y[0].to_radians()]
        };
        let mut worst: f64 = 0.0;
        let arrived = follow
            .stretch((0.0, 720.0), [0.0, 1.0], 1.0, &slopes, &|_| [1.0; 2], &mut |degree, y| {
                let exact = (degree as f64).to_radians().sin();
                worst = worst.max((y[0] - exact).abs());
            })
            .unwrap();
        (arrived.state[0].abs(), worst, count.get())
    }

    #[test]
    fn error_falls_with_the_tolerance_and_the_interpolant_keeps_up() {
        let (end, between, _) = swing(1e-9);
        assert!(end < 1e-7 && between < 1e-7, "{end} {between}");
        // Fifth order: 1e5 in accuracy costs about ten times the work.
        let (coarse, fine) = (swing(1e-5), swing(1e-10));
        let work = fine.2 as f64 / coarse.2 as f64;
        assert!((7.0..14.0).contains(&work), "{work}");
        assert!(fine.0 < 3e-5 * coarse.0 && fine.1 < 3e-5 * coarse.1, "{coarse:?} {fine:?}");
    }

    #[test]
    fn the_interpolant_is_of_fourth_order_and_linear_sums_stay() {
        let follow = Follow::<2> { tolerance: 1e9, judged: 1 };
        let worst = |h: f64| {
            let mut worst: f64 = 0.0;
            follow
                .stretch(
                    (0.0, h),
                    [1.0, 1.0],
                    h,
                    &|_, y| [0.02 * y[0], -0.02 * y[0]],
                    &|_| [1.0; 2],
                    &mut |degree, y| {
                        worst = worst.max((y[0] - (0.02 * degree as f64).exp()).abs());
                        assert!((y[0] + y[1] - 2.0).abs() < 1e-14);
                    },
                )
                .unwrap();
            worst
        };
        let order = (worst(16.0) / worst(8.0)).log2();
        assert!((4.5..5.8).contains(&order), "{order}");
    }

    #[test]
    fn what_cannot_be_followed_is_an_error_and_not_a_number() {
        let follow = Follow::<1> { tolerance: 1e-6, judged: 1 };
        let blows_up = |_: f64, y: &[f64; 1]| [y[0] * y[0]];
        let got = follow.stretch((0.0, 10.0), [1.0], 0.1, &blows_up, &|_| [1.0], &mut |_, _| {});
        assert!(matches!(got, Err(GasError::Integration { theta_deg, .. }) if theta_deg < 1.01));
        let nan =
            follow.stretch((0.0, 1.0), [1.0], 0.1, &|_, _| [f64::NAN], &|_| [1.0], &mut |_, _| {});
        assert!(nan.is_err());
    }
}
