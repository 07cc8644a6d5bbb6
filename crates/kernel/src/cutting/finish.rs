//! What the feed alone leaves on the face.

use super::machine::MachineTool;
use crate::units::Length;

/// Roughness that the feed and the round of the tool make by themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinishLeft {
    /// From peak to valley, `Rt = f²/8r`.
    pub rt: Length,
    /// Mean, `Ra = f²/(18√3 r)`: that of the parabola that stands for the nose.
    pub ra: Length,
}

/// Roughness after the finishing pass, or `None` where the corner is sharp.
///
/// Of a lathe: `f` is the feed per turn and `r` the nose radius, ranges `f < r`. Ra of a parabola of
/// height `Rt` is `4Rt/(9√3)` (derived: mean distance from the mean line), which is `f²/31.18r`;
/// what is measured is 1.2 to 3 times higher (from tables of two calculators, read second hand).
///
/// Of a mill: `f` is the feed per tooth and `r` the corner radius. It is what teeth that stand
/// exactly level would leave; it is no prediction of the face, where a tooth that stands lower, a
/// head out of square and the return of the back edge leave more.
#[must_use]
pub fn finish_left(machine: &MachineTool) -> Option<FinishLeft> {
    let radius_m = machine.nose().corner_m;
    let feed_m = machine.finish.feed.to_m();
    if radius_m <= 0.0 {
        return None;
    }
    let rt_m = feed_m * feed_m / (8.0 * radius_m);
    Some(FinishLeft { rt: Length::m(rt_m), ra: Length::m(4.0 * rt_m / (9.0 * 3f64.sqrt())) })
}

#[cfg(test)]
mod tests {
    use super::super::machine::Kind;
    use super::super::machine::tests::lathe;
    use super::*;

    /// Feed, radius in mm; Rt and Ra in um as two calculators and a computation have them (the
    /// parabola's constant, 31.18).
    #[test]
    fn val_roughness_of_turning() {
        for (feed, radius, ra) in [
            (0.2, 0.8, 1.6038),
            (0.1, 0.8, 0.4009),
            (0.05, 0.4, 0.2005),
            (0.15, 0.8, 0.9021),
            (0.3, 1.2, 2.4056),
        ] {
            let mut machine = lathe();
            machine.finish.feed = Length::mm(feed);
            if let Kind::Lathe(tool) = &mut machine.kind {
                tool.nose_radius = Length::mm(radius);
            }
            let left = finish_left(&machine).unwrap();
            assert!((left.ra.to_um() - ra).abs() < 1e-4, "{feed} {radius}: {left:?}");
            assert!((left.rt.to_um() - feed * feed / 8.0 / radius * 1e3).abs() < 1e-9);
        }
        let mut machine = lathe();
        machine.finish.feed = Length::mm(0.2);
        if let Kind::Lathe(tool) = &mut machine.kind {
            tool.nose_radius = Length::mm(0.8);
        }
        assert!((finish_left(&machine).unwrap().rt.to_um() - 6.25).abs() < 1e-9);
    }
}
