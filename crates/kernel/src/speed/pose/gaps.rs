//! What a cycle leaves at the tips, and where walls pushed.

use super::motion::{Cycle, Motion};
use crate::readings::TIPS;
use crate::room::{SIDES, Touching};

/// The least gap of a tip at one wall over the cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastGap {
    /// With the rotor pushed to that wall until its land rests there. Negative: the tip would
    /// touch before the land.
    pub worst_float_m: f64,
    /// Place of the shaft where that is.
    pub at: usize,
    /// With the rotor in the middle of its float.
    pub centred_m: f64,
    /// Place of the shaft where that is.
    pub centred_at: usize,
}

/// What a cycle leaves one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorGaps {
    /// Per tip, at the wall behind and in front; nothing where no metal is ever opposite.
    pub tips: [[Option<LeastGap>; SIDES]; TIPS],
    /// Largest lean, in radians, and its place.
    pub largest_lean_rad: (f64, usize),
    /// Least play along the shaft between the lands, both sides together: nothing left where the
    /// rotor is jammed; negative in a motion without walls.
    pub least_float_m: (f64, usize),
    /// Largest sum of forces on its lands at one instant, in newtons.
    pub land_force_n: f64,
    /// Largest sum of forces near its tips at one instant, in newtons.
    pub tip_force_n: f64,
    /// Share of the cycle during which a land pushes on both walls.
    pub jammed_share: f64,
}

impl RotorGaps {
    /// The least gap at worst float over all tips and walls: tip, side, gap.
    #[must_use]
    pub fn least(&self) -> Option<(usize, usize, LeastGap)> {
        self.all().min_by(|a, b| a.2.worst_float_m.total_cmp(&b.2.worst_float_m))
    }

    /// The least gap of the centred rotor.
    #[must_use]
    pub fn least_centred_m(&self) -> Option<f64> {
        self.all().map(|(_, _, gap)| gap.centred_m).min_by(f64::total_cmp)
    }

    fn all(&self) -> impl Iterator<Item = (usize, usize, LeastGap)> + '_ {
        self.tips.iter().enumerate().flat_map(|(tip, sides)| {
            sides.iter().enumerate().filter_map(move |(side, gap)| Some((tip, side, (*gap)?)))
        })
    }
}

impl Motion<'_> {
    /// What a cycle of this motion leaves each rotor.
    #[must_use]
    pub fn gaps(&self, cycle: &Cycle) -> Vec<RotorGaps> {
        (0..self.rotors.len()).map(|rotor| self.rotor_gaps(cycle, rotor)).collect()
    }

    fn rotor_gaps(&self, cycle: &Cycle, index: usize) -> RotorGaps {
        let rotor = &self.rotors[index];
        let poses = &cycle.rotors[index];
        let mut gaps = RotorGaps {
            tips: [[None; SIDES]; TIPS],
            largest_lean_rad: (0.0, 0),
            least_float_m: (f64::INFINITY, 0),
            land_force_n: 0.0,
            tip_force_n: 0.0,
            jammed_share: 0.0,
        };
        for (place, pose) in poses.iter().enumerate() {
            let own = place + rotor.ahead;
            let lean_rad = pose.lean[0].hypot(pose.lean[1]);
            if lean_rad > gaps.largest_lean_rad.0 {
                gaps.largest_lean_rad = (lean_rad, place);
            }
            let (range, tips) = rotor.room.tips_and_float(rotor.sizes, own, pose.lean);
            let float_m = range.most_m - range.least_m;
            if float_m < gaps.least_float_m.0 {
                gaps.least_float_m = (float_m, place);
            }
            for (kept, found) in gaps.tips.iter_mut().flatten().zip(tips.iter().flatten()) {
                let Some(found) = found else { continue };
                let kept = kept.get_or_insert(LeastGap {
                    worst_float_m: f64::INFINITY,
                    at: place,
                    centred_m: f64::INFINITY,
                    centred_at: place,
                });
                if found.worst_float_m < kept.worst_float_m {
                    kept.worst_float_m = found.worst_float_m;
                    kept.at = place;
                }
                if found.centred_m < kept.centred_m {
                    kept.centred_m = found.centred_m;
                    kept.centred_at = place;
                }
            }
        }
        self.forces(cycle, index, &mut gaps);
        gaps
    }

    fn forces(&self, cycle: &Cycle, index: usize, gaps: &mut RotorGaps) {
        let mut jammed = 0;
        let mut pushes = cycle.pushes.iter().filter(|push| push.rotor == index).peekable();
        while let Some(first) = pushes.next() {
            let (mut land_n, mut tip_n) = (0.0, 0.0);
            let mut land_sides = [false; SIDES];
            let mut push = first;
            loop {
                match push.at.touching {
                    Touching::Land => {
                        land_n += push.force_n;
                        land_sides[push.at.side] = true;
                    }
                    Touching::Tip(_) => tip_n += push.force_n,
                }
                match pushes.next_if(|next| next.place == first.place) {
                    Some(next) => push = next,
                    None => break,
                }
            }
            gaps.land_force_n = gaps.land_force_n.max(land_n);
            gaps.tip_force_n = gaps.tip_force_n.max(tip_n);
            jammed += usize::from(land_sides == [true; SIDES]);
        }
        gaps.jammed_share = jammed as f64 / self.places() as f64;
    }

    /// Places of one cycle.
    #[must_use]
    pub fn places(&self) -> usize {
        self.rotors.first().map_or(0, |rotor| rotor.room.places())
    }
}
