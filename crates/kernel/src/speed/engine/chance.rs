//! The chance that tips touch and that lands jam, at a duty; and, by a reduced model from the
//! same draws, at other speeds.
//!
//! **Full**: each draw has films, motion and walls of its own. What is not redone for a draw is
//! the shaft's response to a unit of each cause: slopes are drawn by scaling it.
//!
//! **Reduced**: without walls a margin is what the upright rotor would have, less what lean takes:
//! `m = u − k ℓ`, with `ℓ` what lean takes from the modelled engine at that speed, `u` and `k` of the
//! draw, found at the duty. Where the free rotor would pass its walls, the lands stop it, and the
//! tip's margin is then no less than what they leave it: what they leave it at the duty, if they jam
//! there in that draw, else `δ − (r_T/r_L − 1) c`, hot. At the duty the reduced chances are the full ones. A chance from it is within
//! 0.1 of the full one, and the middle of a band within 4 µm, over the speeds and boosts of the
//! tests (`tests/speed/chances.rs`).

use super::super::chance::{Chance, Samples, Sampling, sample};
use super::super::pose::RotorGaps;
use super::error::SpeedError;
use super::loads::Loads;
use super::model::CYCLE_DEG;
use super::point::{Engine, Poses, Scales};
use super::uncertain::Uncertainty;
use crate::room::HotSizes;

/// What one draw says of one rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorDraw {
    /// Least gap at a tip at worst float over the cycle, walls and all; negative: a tip touches.
    pub tip_m: f64,
    /// The same of the rotor in the middle of its float.
    pub centred_m: f64,
    /// Least play between the lands without walls; negative: the lands jam.
    pub float_m: f64,
    /// Least gap at worst float of a free rotor.
    pub free_tip_m: f64,
    /// The same upright.
    pub upright_tip_m: f64,
    /// Play between the lands upright.
    pub upright_float_m: f64,
    /// The least that the lands leave of the tip's gap however far it leans.
    pub held_tip_m: f64,
    /// A tip leaves marks where less than this is left of its gap.
    pub seen_below_m: f64,
}

impl RotorDraw {
    /// What the lands leave of a tip's gap where they jam. Where they jam at the duty that is seen;
    /// but a tip that touches there holds the rotor, and the lands alone leave it no more.
    fn left_by_lands_m(&self) -> f64 {
        if self.float_m >= 0.0 {
            self.held_tip_m
        } else if self.tip_m >= 0.0 {
            self.tip_m
        } else {
            self.held_tip_m.min(self.tip_m)
        }
    }
}

/// One draw.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawResult {
    /// Per rotor; nothing where the draw could not be computed, which counts as a touch.
    pub rotors: Option<Vec<RotorDraw>>,
}

/// What one rotor's chances are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorChance {
    /// That a tip touches at worst float within a hard cycle: that less is left of its gap than
    /// leaves marks.
    pub contact: Chance,
    /// That the lands jam.
    pub jam: Chance,
    /// The least gap at worst float that 5, 50 and 95 of 100 draws stay below.
    pub band_m: [f64; 3],
    /// The same of the rotor in the middle of its float.
    pub centred_band_m: [f64; 3],
}

/// All draws at the duty, with what is needed to carry them to another speed.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Per draw.
    pub samples: Samples<DrawResult>,
    /// What the modelled engine itself has, without uncertainty.
    pub modelled: Vec<RotorDraw>,
    /// How many draws could not be computed; they count as touching and jamming.
    pub failed: usize,
}

/// Degrees between the places at which the upright rotor is looked at.
pub(super) const UPRIGHT_DEG: usize = 15;

/// Shares of the draws that a band shows.
const BAND: [f64; 3] = [0.05, 0.5, 0.95];

impl Engine {
    /// Draws everything uncertain, many times, at one speed and boost. `go_on` is told how many
    /// draws are done and may stop it; what is done is kept.
    ///
    /// # Errors
    /// [`SpeedError`] where not even the modelled engine can be computed, or too many draws are
    /// asked for.
    pub fn draw(
        &self,
        loads: &Loads,
        uncertainty: &Uncertainty,
        sampling: Sampling,
        go_on: impl FnMut(usize) -> bool,
    ) -> Result<Drawn, SpeedError> {
        let n = self.model.rotors.len();
        if uncertainty.rotors.len() != n {
            let (what, count) = ("rotors with uncertainties", uncertainty.rotors.len());
            return Err(SpeedError::Count { what, count, wanted: n });
        }
        let modelled = self.modelled(loads)?;
        let samples = sample(
            sampling,
            uncertainty.dimensions(),
            |values| {
                let draw = uncertainty.draw(&self.model, values);
                let sizes: Vec<HotSizes> = self
                    .model
                    .rotors
                    .iter()
                    .zip(&draw.cold)
                    .map(|(rotor, cold)| rotor.room.sizes(cold))
                    .collect();
                let below_m = draw.seen_below_m;
                DrawResult { rotors: self.rotor_draws(loads, &sizes, &draw.scales, below_m).ok() }
            },
            go_on,
        )?;
        let failed = samples.all().filter(|draw| draw.rotors.is_none()).count();
        Ok(Drawn { samples, modelled, failed })
    }

    fn rotor_draws(
        &self,
        loads: &Loads,
        sizes: &[HotSizes],
        scales: &Scales,
        seen_below_m: f64,
    ) -> Result<Vec<RotorDraw>, SpeedError> {
        let films = self.films(loads, scales)?;
        let poses = self.poses(loads, &films, sizes, scales)?;
        Ok(self.margins(&poses, sizes, seen_below_m))
    }

    pub(super) fn margins(
        &self,
        poses: &Poses,
        sizes: &[HotSizes],
        seen_below_m: f64,
    ) -> Vec<RotorDraw> {
        let (free, held) = (&poses.free.gaps, &poses.real().gaps);
        (0..sizes.len())
            .map(|index| {
                let (upright_tip_m, upright_float_m) = self.upright(sizes, index);
                RotorDraw {
                    tip_m: least(&held[index]),
                    centred_m: held[index].least_centred_m().unwrap_or(f64::INFINITY),
                    float_m: free[index].least_float_m.0,
                    free_tip_m: least(&free[index]),
                    upright_tip_m,
                    upright_float_m,
                    held_tip_m: upright_tip_m - self.beyond(index) * 0.5 * upright_float_m,
                    seen_below_m,
                }
            })
            .collect()
    }

    /// What the upright rotor has round its orbit: least gap at a tip at worst float, least play
    /// between its lands.
    fn upright(&self, sizes: &[HotSizes], index: usize) -> (f64, f64) {
        let room = &self.model.rotors[index].room;
        let (mut tip_m, mut float_m) = (f64::INFINITY, f64::INFINITY);
        for place in (0..CYCLE_DEG).step_by(UPRIGHT_DEG) {
            let (range, tips) = room.tips_and_float(&sizes[index], place, [0.0; 2]);
            float_m = float_m.min(range.most_m - range.least_m);
            for gap in tips.iter().flatten().flatten() {
                tip_m = tip_m.min(gap.worst_float_m);
            }
        }
        (tip_m, float_m)
    }

    /// How far a tip lies beyond the land, as a part of the land's radius: `r_T/r_L − 1`.
    pub(super) fn beyond(&self, index: usize) -> f64 {
        let model = self.model.rotors[index].room.model();
        model.tip_radius / model.contact_radius() - 1.0
    }

    /// The least gaps of a free motion of the modelled engine under other loads.
    ///
    /// # Errors
    /// [`SpeedError`] where it cannot be computed.
    pub fn modelled(&self, loads: &Loads) -> Result<Vec<RotorDraw>, SpeedError> {
        let scales = Scales::as_modelled(self.sizes.len());
        self.rotor_draws(loads, &self.sizes, &scales, self.model.seen_below_m())
    }
}

fn least(gaps: &RotorGaps) -> f64 {
    gaps.least().map_or(f64::INFINITY, |(_, _, gap)| gap.worst_float_m)
}

/// Chances and bands from the draws of one rotor.
fn chances(
    samples: &Samples<DrawResult>,
    index: usize,
    tip_m: impl Fn(&RotorDraw) -> f64,
    centred_m: impl Fn(&RotorDraw) -> f64,
    float_m: impl Fn(&RotorDraw) -> f64,
) -> RotorChance {
    // A draw that could not be computed has no room at all.
    let of = |draw: &DrawResult, value: &dyn Fn(&RotorDraw) -> f64| {
        draw.rotors.as_ref().and_then(|all| all.get(index)).map_or(f64::NEG_INFINITY, value)
    };
    let band = |value: &dyn Fn(&RotorDraw) -> f64| {
        BAND.map(|share| samples.quantile(|draw| of(draw, value), share).unwrap_or(f64::NAN))
    };
    RotorChance {
        contact: samples.chance(|draw| of(draw, &|d| tip_m(d) - d.seen_below_m) < 0.0),
        jam: samples.chance(|draw| of(draw, &float_m) < 0.0),
        band_m: band(&tip_m),
        centred_band_m: band(&centred_m),
    }
}

impl Drawn {
    /// Chances at the duty, one rotor after the other, from the full model.
    #[must_use]
    pub fn at_duty(&self) -> Vec<RotorChance> {
        (0..self.modelled.len())
            .map(|index| chances(&self.samples, index, |d| d.tip_m, |d| d.centred_m, |d| d.float_m))
            .collect()
    }

    /// Chances at another speed or boost, from the reduced model; `there` is the modelled engine
    /// there ([`Engine::modelled`]).
    #[must_use]
    pub fn reduced(&self, there: &[RotorDraw]) -> Vec<RotorChance> {
        self.modelled
            .iter()
            .zip(there)
            .enumerate()
            .map(|(index, (here, there))| {
                let lean = Carried::new(here, there);
                chances(
                    &self.samples,
                    index,
                    |draw| lean.tip_m(draw),
                    |draw| lean.centred_m(draw),
                    |draw| lean.float_m(draw),
                )
            })
            .collect()
    }

    /// How much more step, as cut at 20 °C, leaves the tips of a rotor with a chance of contact;
    /// negative: so much less would do. The margin of a tip goes with its step one to one, but for
    /// tips that hold the rotor in its lean; with the step they do that no more, so what counts is
    /// the free rotor, or the one that its lands hold.
    #[must_use]
    pub fn step_to_add_m(&self, index: usize, chance: f64) -> Option<f64> {
        let here = Carried { tip: 1.0, float: 1.0 };
        self.missing(index, chance, |draw| here.tip_m(draw) - draw.seen_below_m)
    }

    /// How much more side clearance, both sides together, leaves the lands with a chance of
    /// jamming; negative: so much less would do. The play goes with the clearance one to one.
    #[must_use]
    pub fn clearance_to_add_m(&self, index: usize, chance: f64) -> Option<f64> {
        self.missing(index, chance, |draw| draw.float_m)
    }

    /// How much more step, as cut at 20 °C, leaves the tips of a rotor with a chance of contact
    /// when it has all the clearance that it leans into: the step that belongs to a clearance
    /// that does not jam. At worst float a free rotor's tip knows no clearance.
    #[must_use]
    pub fn free_step_to_add_m(&self, index: usize, chance: f64) -> Option<f64> {
        self.missing(index, chance, |draw| draw.free_tip_m - draw.seen_below_m)
    }

    fn missing(&self, index: usize, chance: f64, value: impl Fn(&RotorDraw) -> f64) -> Option<f64> {
        let of = |draw: &DrawResult| {
            draw.rotors.as_ref().and_then(|all| all.get(index)).map_or(f64::NEG_INFINITY, &value)
        };
        self.samples.quantile(of, chance).filter(|margin| margin.is_finite()).map(|m| -m)
    }
}

/// Carries draws from the duty to another point of the same engine.
struct Carried {
    tip: f64,
    float: f64,
}

impl Carried {
    /// What lean takes there over what it takes here.
    fn new(here: &RotorDraw, there: &RotorDraw) -> Self {
        let ratio = |upright: f64, here: f64, there: f64| {
            let taken = upright - here;
            if taken > 0.0 { (upright - there) / taken } else { 1.0 }
        };
        Self {
            tip: ratio(here.upright_tip_m, here.free_tip_m, there.free_tip_m),
            float: ratio(here.upright_float_m, here.float_m, there.float_m),
        }
    }

    fn float_m(&self, draw: &RotorDraw) -> f64 {
        draw.upright_float_m - self.float * (draw.upright_float_m - draw.float_m)
    }

    fn tip_m(&self, draw: &RotorDraw) -> f64 {
        let free_m = draw.upright_tip_m - self.tip * (draw.upright_tip_m - draw.free_tip_m);
        // The lands stop a rotor that leans further than they let it.
        if self.float_m(draw) < 0.0 { free_m.max(draw.left_by_lands_m()) } else { free_m }
    }

    /// The centred rotor has half its play more than at worst float, where lean takes all of it.
    fn centred_m(&self, draw: &RotorDraw) -> f64 {
        self.tip_m(draw) + 0.5 * self.float_m(draw).max(0.0)
    }
}
