//! Many speeds, and what is looked for among them: the greatest speed and boost that a clearance
//! and step bear.

use super::super::pose::RotorGaps;
use super::chance::{Drawn, RotorChance, RotorDraw};
use super::error::SpeedError;
use super::model::{CycleKind, Running};
use super::point::{Engine, Point};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::sync::atomic::{AtomicBool, Ordering};

/// Halvings of a search: to a thousandth of its range.
const HALVINGS: usize = 10;

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

/// What a search found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Greatest {
    /// The greatest that is borne.
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
        self.margins(&point.poses, &self.sizes)
    }

    /// The greatest speed between two, at one boost, at which no rotor's tips touch with more than
    /// `chance`, by the reduced model.
    ///
    /// # Errors
    /// A speed that cannot be computed.
    pub fn greatest_speed(
        &self,
        drawn: &Drawn,
        boost_pa: f64,
        range_rad_s: [f64; 2],
        chance: f64,
    ) -> Result<Greatest, SpeedError> {
        self.greatest(drawn, range_rad_s, chance, |omega_rad_s| Running { omega_rad_s, boost_pa })
    }

    /// The greatest boost between two, at one speed, likewise.
    ///
    /// # Errors
    /// A boost that cannot be computed.
    pub fn greatest_boost(
        &self,
        drawn: &Drawn,
        omega_rad_s: f64,
        range_pa: [f64; 2],
        chance: f64,
    ) -> Result<Greatest, SpeedError> {
        self.greatest(drawn, range_pa, chance, |boost_pa| Running { omega_rad_s, boost_pa })
    }

    fn greatest(
        &self,
        drawn: &Drawn,
        [mut low, mut high]: [f64; 2],
        chance: f64,
        running: impl Fn(f64) -> Running,
    ) -> Result<Greatest, SpeedError> {
        let borne = |at: f64| -> Result<bool, SpeedError> {
            let running = running(at);
            let cycles = self.cycles(running)?;
            let loads = self.loads(&cycles, CycleKind::Hard, running)?;
            let chances = drawn.reduced(&self.modelled(&loads)?);
            Ok(chances.iter().all(|c| c.contact.value <= chance))
        };
        if !borne(low)? {
            return Ok(Greatest::Below(low));
        }
        if borne(high)? {
            return Ok(Greatest::Beyond(high));
        }
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
