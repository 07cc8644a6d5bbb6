//! Many speeds, and what is looked for among them: the greatest speed and boost that a clearance
//! and step bear.

use super::super::pose::RotorGaps;
use super::chance::{Drawn, RotorChance, RotorDraw};
use super::error::SpeedError;
use super::model::{CycleKind, Running};
use super::point::{Engine, Point};
use rayon::iter::{IntoParallelIterator, IntoParallelRefIterator, ParallelIterator};
use std::sync::atomic::{AtomicBool, Ordering};

/// Places looked at on either side of the point asked for, from the least of a range upwards: a
/// chance may rise and fall again, and what counts is where it first is too great.
const LOOKED_AT: usize = 6;
/// Halvings between two of them: to a thousandth of the range.
const HALVINGS: usize = 7;

/// One speed of a sweep.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepPoint {
    /// Speed and boost.
    pub running: Running,
    /// What the modelled engine leaves each rotor.
    pub gaps: Vec<RotorGaps>,
    /// Of the modelled engine: margins with and without walls.
    pub modelled: Vec<RotorDraw>,
    /// Chances from the draws at the duty, where there are any.
    pub chances: Option<Vec<RotorChance>>,
}

/// A range to be searched, in ascending order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The least.
    pub least: f64,
    /// The speed or boost of the duty, which is always looked at.
    pub asked: f64,
    /// The most.
    pub most: f64,
}

/// What a search found: up to where everything is borne, as far as it was looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Greatest {
    /// Up to this everything is borne, and a little above it no more.
    At(f64),
    /// The whole range is borne, up to this.
    Beyond(f64),
    /// Not even the least of the range, this, is borne.
    Below(f64),
}

impl Engine {
    /// The engine at many speeds, in the order given, on as many threads as there are. `go_on` is
    /// asked after each point, in any order; once it says no, what is done is kept.
    ///
    /// # Errors
    /// The first speed that cannot be computed.
    pub fn sweep(
        &self,
        points: &[Running],
        drawn: Option<&Drawn>,
        go_on: impl Fn() -> bool + Sync,
    ) -> Result<Vec<SweepPoint>, SpeedError> {
        let stopped = AtomicBool::new(false);
        let done: Vec<Option<SweepPoint>> = points
            .into_par_iter()
            .map(|running| {
                if stopped.load(Ordering::Relaxed) {
                    return Ok(None);
                }
                let point = self.point(*running)?;
                let modelled = self.modelled_of(&point);
                if !go_on() {
                    stopped.store(true, Ordering::Relaxed);
                }
                Ok(Some(SweepPoint {
                    running: *running,
                    gaps: point.poses.real().gaps.clone(),
                    chances: drawn.map(|drawn| drawn.reduced(&modelled)),
                    modelled,
                }))
            })
            .collect::<Result<_, SpeedError>>()?;
        Ok(done.into_iter().flatten().collect())
    }

    /// The margins of the modelled engine at a point.
    #[must_use]
    pub fn modelled_of(&self, point: &Point) -> Vec<RotorDraw> {
        self.margins(&point.poses, &self.sizes, self.model.seen_below_m())
    }

    /// The speed, at one boost, up to which no rotor's tips touch with more than `chance`, by the
    /// reduced model; rad/s.
    ///
    /// # Errors
    /// A speed that cannot be computed.
    pub fn greatest_speed(
        &self,
        drawn: &Drawn,
        boost_pa: f64,
        range_rad_s: Range,
        chance: f64,
    ) -> Result<Greatest, SpeedError> {
        self.greatest(drawn, range_rad_s, chance, |omega_rad_s| Running { omega_rad_s, boost_pa })
    }

    /// The boost, at one speed, likewise; Pa.
    ///
    /// # Errors
    /// A boost that cannot be computed.
    pub fn greatest_boost(
        &self,
        drawn: &Drawn,
        omega_rad_s: f64,
        range_pa: Range,
        chance: f64,
    ) -> Result<Greatest, SpeedError> {
        self.greatest(drawn, range_pa, chance, |boost_pa| Running { omega_rad_s, boost_pa })
    }

    fn greatest(
        &self,
        drawn: &Drawn,
        range: Range,
        chance: f64,
        running: impl Fn(f64) -> Running + Sync,
    ) -> Result<Greatest, SpeedError> {
        let borne = |at: f64| -> Result<bool, SpeedError> {
            let running = running(at);
            let cycles = self.cycles(running)?;
            let loads = self.loads(&cycles, CycleKind::Hard, running)?;
            let chances = drawn.reduced(&self.modelled(&loads)?);
            Ok(chances.iter().all(|c| c.contact.value <= chance))
        };
        let places = range.places();
        let looked: Vec<bool> =
            places.par_iter().map(|at| borne(*at)).collect::<Result<_, SpeedError>>()?;
        let Some(first) = looked.iter().position(|borne| !borne) else {
            return Ok(Greatest::Beyond(range.most));
        };
        if first == 0 {
            return Ok(Greatest::Below(range.least));
        }
        let (mut low, mut high) = (places[first - 1], places[first]);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if borne(middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(Greatest::At(low))
    }
}

impl Range {
    /// Where it is looked at first: the ends and the point asked for among them.
    fn places(&self) -> Vec<f64> {
        let part = |k: usize| k as f64 / LOOKED_AT as f64;
        let below = (0..LOOKED_AT).map(|k| self.least + part(k) * (self.asked - self.least));
        let above = (0..=LOOKED_AT).map(|k| self.asked + part(k) * (self.most - self.asked));
        let mut places: Vec<f64> = below.chain(above).collect();
        places.dedup();
        places
    }
}

#[cfg(test)]
mod tests {
    use super::Range;

    #[test]
    fn the_point_asked_for_is_looked_at_and_none_twice() {
        let places = Range { least: 250.0, asked: 1000.0, most: 1500.0 }.places();
        assert_eq!((places[0], places[6], places[12], places.len()), (250.0, 1000.0, 1500.0, 13));
        assert!(places.windows(2).all(|pair| pair[0] < pair[1]));
        // Without boost there is nothing below it.
        let places = Range { least: 0.0, asked: 0.0, most: 1.5e5 }.places();
        assert_eq!((places[0], places.len()), (0.0, 7));
    }
}
