//! What the shop's builds leave of what was assumed.

use super::error::CalibrationError;
use super::lattice::{Bounds, FLOOR, Flooded, Lattice, Steps};
use super::marginal::{Line, Lines, Marginal};
use super::model::{Model, Place, Spot, Tip, Values};
use super::normal::table;
use super::priors::Priors;
use super::seen::{BuildSeen, TiltTest, TipSeen};
use super::tilt_test::{Measured, measured};
use super::top::tops;
use crate::speed::engine::Taught;
use nalgebra::Matrix4;
use std::collections::BTreeMap;
use std::fmt;

/// Spacings of the lattice in standard deviations, one after another until nothing moves.
const SPACINGS: [f64; 5] = [1.0, 0.75, 0.55, 0.4, 0.3];

/// What may still move from one spacing to the next, of an unknown's standard deviation: less
/// than anybody would see in an interval. What the finer one is off by is a third of that or less, as
/// the next one after it showed.
const SETTLED: f64 = 3e-2;

/// Spacing while the axes are found.
const COARSE: f64 = 1.1;

/// Times that the axes are laid again.
const MOST_SHAPES: usize = 8;

/// Axes are good if the covariance along them is within this of one, either way.
const SHAPED: f64 = 1.5;

/// Most places of one lattice.
pub(super) const MOST_POINTS: usize = 1_000_000;

/// Places of a normal distribution's lattice at spacing one, for the share that is done.
const USUAL_POINTS: f64 = 3.4e3;

/// An unknown that is calibrated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parameter {
    /// The scale of all that leans.
    Tilt,
    /// The scale of all that growth takes.
    Heat,
    /// The gap below which contact is seen.
    Margin,
}

impl Parameter {
    /// All of them, in the order in which everything lists them.
    pub const ALL: [Self; 3] = [Self::Tilt, Self::Heat, Self::Margin];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tilt => "tilt",
            Self::Heat => "heat",
            Self::Margin => "margin",
        }
    }

    const fn index(self) -> usize {
        match self {
            Self::Tilt => 0,
            Self::Heat => 1,
            Self::Margin => 2,
        }
    }
}

impl fmt::Display for Parameter {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

/// What the shop's builds leave of what was assumed.
#[derive(Debug, Clone)]
pub struct Posterior {
    pub(super) priors: Priors,
    pub(super) builds: Vec<BuildSeen>,
    pub(super) tests: Vec<TiltTest>,
    pub(super) model: Model,
    pub(super) places: Vec<Place>,
    pub(super) weights: Vec<f64>,
    /// Where the lattice was flooded from.
    pub(super) tops: Vec<Place>,
    pub(super) mean: Place,
    pub(super) covariance: Matrix4<f64>,
    pub(super) spacing: f64,
    marginals: [Marginal; 3],
    moves: f64,
    points: usize,
    measured: Option<Measured>,
}

/// What is expected of one tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Predicted {
    /// Chance of a mark, light or heavy.
    pub contact: f64,
    /// Chance of a heavy one.
    pub heavy: f64,
    /// Mean of the gap over the scales, m; negative is interference.
    pub gap_m: f64,
    /// Standard deviation of the gap, m: of the scales and of the tip's own and shared uncertainty.
    pub gap_sd_m: f64,
}

/// Calibrates what is assumed by builds that came apart and by tilt tests; either may be none.
///
/// `watch` is told which share is done, and says whether to go on.
///
/// # Errors
/// [`CalibrationError`]; it does not answer unless it has settled.
pub fn calibrate(
    priors: &Priors,
    builds: &[BuildSeen],
    tests: &[TiltTest],
    watch: &mut dyn FnMut(f64) -> bool,
) -> Result<Posterior, CalibrationError> {
    priors.check()?;
    builds.iter().try_for_each(BuildSeen::check)?;
    tests.iter().enumerate().try_for_each(|(index, test)| test.check(index))?;
    if !watch(0.0) {
        return Err(CalibrationError::Stopped);
    }
    let model = Model::of(priors, builds, tests)?;
    let mut progress = Progress::new(watch);
    let (tops, shape) = shaped(&model, &mut progress)?;
    let mut before: Option<[Marginal; 3]> = None;
    let mut points = 0;
    let mut moves = f64::INFINITY;
    for spacing in SPACINGS {
        let sum = summed(&model, &tops, &shape, spacing, MOST_POINTS, &mut progress)?;
        points += sum.flooded.places.len();
        if sum.flooded.cut_off {
            return Err(CalibrationError::TooManyPoints { points });
        }
        let lines = Parameter::ALL.map(|parameter| sum.marginal(parameter, priors));
        let [Some(tilt), Some(heat), Some(margin)] = lines else {
            return Err(CalibrationError::TooManyPoints { points });
        };
        let marginals = [tilt, heat, margin];
        if let Some(before) = &before {
            let (most, parameter) = moved(before, &marginals);
            moves = most;
            if moves <= SETTLED {
                progress.done();
                return Ok(Posterior {
                    priors: *priors,
                    builds: builds.to_vec(),
                    tests: tests.to_vec(),
                    model,
                    tops,
                    mean: sum.mean,
                    covariance: sum.covariance,
                    places: sum.flooded.places,
                    weights: sum.weights,
                    spacing,
                    marginals,
                    moves,
                    points,
                    measured: measured(tests),
                });
            }
            if spacing == SPACINGS[SPACINGS.len() - 1] {
                let wanted = SETTLED;
                return Err(CalibrationError::NoConvergence { parameter, moves, wanted, points });
            }
        }
        before = Some(marginals);
    }
    Err(CalibrationError::NoConvergence {
        parameter: Parameter::Tilt,
        moves,
        wanted: SETTLED,
        points,
    })
}

/// Says which share is done; never goes back.
struct Progress<'a> {
    watch: &'a mut dyn FnMut(f64) -> bool,
    /// Places of the lattices that are done.
    done: usize,
    usual: f64,
    told: f64,
}

impl<'a> Progress<'a> {
    fn new(watch: &'a mut dyn FnMut(f64) -> bool) -> Self {
        let lattices = SPACINGS[..2].iter().map(|spacing| spacing.powi(-4)).sum::<f64>();
        let usual = USUAL_POINTS * (2.0 + lattices);
        Self { watch, done: 0, usual, told: 0.0 }
    }

    fn go_on(&mut self, of_lattice: usize) -> bool {
        let share = (self.done + of_lattice) as f64 / self.usual;
        self.told = self.told.max(share.min(0.99));
        (self.watch)(self.told)
    }

    fn done(&mut self) {
        (self.watch)(1.0);
    }
}

/// Axes to lay a lattice along.
struct Shape {
    mean: Place,
    covariance: Matrix4<f64>,
}

/// Tops to flood from, and axes along which the posterior is nearly round.
fn shaped(
    model: &Model,
    progress: &mut Progress<'_>,
) -> Result<(Vec<Place>, Shape), CalibrationError> {
    let tops = tops(model);
    let top = tops.first().filter(|top| top.value.is_finite());
    let top = top.ok_or(CalibrationError::Impossible)?;
    let from: Vec<Place> =
        tops.iter().filter(|other| other.value > top.value - FLOOR).map(|top| top.place).collect();
    let mut shape = Shape { mean: top.place, covariance: top.covariance };
    for _ in 0..MOST_SHAPES {
        let sum = summed(model, &from, &shape, COARSE, MOST_POINTS / 10, progress)?;
        let fits = !sum.flooded.cut_off && alike(&shape.covariance, &sum.covariance);
        shape = Shape { mean: sum.mean, covariance: sum.covariance };
        if fits {
            break;
        }
    }
    Ok((from, shape))
}

/// Whether one covariance along the axes of the other is near one.
fn alike(axes: &Matrix4<f64>, covariance: &Matrix4<f64>) -> bool {
    let Some(inverse) = nalgebra::Cholesky::new(*axes).and_then(|root| root.l().try_inverse())
    else {
        return false;
    };
    let along = inverse * covariance * inverse.transpose();
    let values = along.symmetric_eigenvalues();
    values.iter().all(|value| *value < SHAPED && *value > SHAPED.recip())
}

/// A lattice and what its sum says.
struct Summed {
    lattice: Lattice,
    flooded: Flooded,
    weights: Vec<f64>,
    mean: Place,
    covariance: Matrix4<f64>,
}

fn summed(
    model: &Model,
    from: &[Place],
    shape: &Shape,
    spacing: f64,
    most: usize,
    progress: &mut Progress<'_>,
) -> Result<Summed, CalibrationError> {
    let lattice = Lattice::new(&shape.mean, &shape.covariance, spacing)
        .ok_or(CalibrationError::TooManyPoints { points: most })?;
    let flooded = {
        let mut watch = |done| progress.go_on(done);
        let mut bounds = Bounds { most, series: 1, watch: &mut watch };
        lattice.flood(from, &mut bounds, |place, values| values.push(model.all(place)))?
    };
    progress.done += flooded.places.len();
    let weights = flooded.weights(0);
    let (mean, covariance) = flooded.moments(&weights);
    Ok(Summed { lattice, flooded, weights, mean, covariance })
}

impl Summed {
    /// The distribution of one unknown.
    fn marginal(&self, parameter: Parameter, priors: &Priors) -> Option<Marginal> {
        let unknown = parameter.index();
        // By line, the steps of the axes before its own, then by its own steps.
        let mut sums: BTreeMap<(Steps, i32), f64> = BTreeMap::new();
        for (steps, weight) in self.flooded.steps.iter().zip(&self.weights) {
            let before: Steps = std::array::from_fn(|j| if j < unknown { steps[j] } else { 0 });
            *sums.entry((before, steps[unknown])).or_default() += weight;
        }
        let mut lines: Vec<Line> = Vec::new();
        let mut last = None;
        let mut step = 0.0;
        for ((before, own), weight) in sums {
            if last != Some((before, own - 1)) {
                let [at_none, per_step] = self.lattice.line(unknown, &before);
                step = per_step;
                lines.push(Line { from: at_none + per_step * f64::from(own), weights: Vec::new() });
            }
            if let Some(line) = lines.last_mut() {
                line.weights.push(weight);
            }
            last = Some((before, own));
        }
        let (spread, logarithm) = match parameter {
            Parameter::Tilt => (priors.tilt_log_sd, true),
            Parameter::Heat => (priors.heat_log_sd, true),
            Parameter::Margin => (priors.margin_sd_m, false),
        };
        let working =
            [self.mean[unknown] * spread, self.covariance[(unknown, unknown)].sqrt() * spread];
        let natural = if logarithm {
            let value = |place: &Place| (place[unknown] * spread).exp();
            let places = || self.flooded.places.iter().map(value).zip(&self.weights);
            let mean: f64 = places().map(|(value, weight)| value * weight).sum();
            let variance: f64 = places().map(|(v, weight)| (v - mean).powi(2) * weight).sum();
            [mean, variance.sqrt()]
        } else {
            working
        };
        Lines { lines, step, spread, logarithm, natural, working }.marginal()
    }
}

/// What moved most between two spacings, of its standard deviation.
fn moved(before: &[Marginal; 3], now: &[Marginal; 3]) -> (f64, Parameter) {
    let mut most = (0.0, Parameter::Tilt);
    for ((a, b), parameter) in before.iter().zip(now).zip(Parameter::ALL) {
        for (a, b) in [(a.median, b.median), (a.low, b.low), (a.high, b.high), (a.sd, b.sd)] {
            let moves = (a - b).abs();
            let sd = now[parameter.index()].sd;
            if moves > most.0 * sd {
                most = (moves / sd, parameter);
            }
        }
    }
    most
}

impl Posterior {
    /// The distribution of one unknown: a scale as a factor, the margin in m.
    #[must_use]
    pub fn marginal(&self, parameter: Parameter) -> &Marginal {
        &self.marginals[parameter.index()]
    }

    /// The scale of all that leans.
    #[must_use]
    pub fn tilt(&self) -> &Marginal {
        self.marginal(Parameter::Tilt)
    }

    /// The scale of all that growth takes.
    #[must_use]
    pub fn heat(&self) -> &Marginal {
        self.marginal(Parameter::Heat)
    }

    /// The gap below which contact is seen, m.
    #[must_use]
    pub fn margin(&self) -> &Marginal {
        self.marginal(Parameter::Margin)
    }

    /// Correlations of the logarithms of both scales and the margin, in the order of
    /// [`Parameter::ALL`].
    #[must_use]
    pub fn correlations(&self) -> [[f64; 3]; 3] {
        let c = &self.covariance;
        [0, 1, 2].map(|i| [0, 1, 2].map(|j| c[(i, j)] / (c[(i, i)] * c[(j, j)]).sqrt()))
    }

    /// As a spec carries it: lognormal scales and a normal gap with the posterior's own moments.
    #[must_use]
    pub fn taught(&self) -> Taught {
        let [tilt, heat, margin] = &self.marginals;
        let together = self.correlations();
        Taught {
            tilt: tilt.working_mean().exp(),
            heat: heat.working_mean().exp(),
            seen_below_m: margin.working_mean(),
            u: [tilt.working_sd(), heat.working_sd(), margin.working_sd()],
            together: [together[0][1], together[0][2], together[1][2]],
        }
    }

    /// What was assumed.
    #[must_use]
    pub const fn priors(&self) -> &Priors {
        &self.priors
    }

    /// The builds that it was calibrated by.
    #[must_use]
    pub fn builds(&self) -> &[BuildSeen] {
        &self.builds
    }

    /// What all tilt tests together measured; nothing without any.
    #[must_use]
    pub const fn measured(&self) -> Option<Measured> {
        self.measured
    }

    /// How much medians, ends of intervals and standard deviations still moved when the lattice was
    /// last made finer, at most, in standard deviations.
    #[must_use]
    pub const fn accuracy(&self) -> f64 {
        self.moves
    }

    /// Points that were summed over, of all spacings.
    #[must_use]
    pub const fn points(&self) -> usize {
        self.points
    }

    /// What is expected of a tip whose rotor shares an uncertainty, m.
    ///
    /// # Errors
    /// [`CalibrationError`] for a tip that cannot be reckoned with.
    pub fn predict(&self, tip: &TipSeen, shared_m: f64) -> Result<Predicted, CalibrationError> {
        let looked_at = TipSeen { rotor: 0, ..tip.clone() };
        BuildSeen { name: "predicted".into(), shared_m: vec![shared_m], tips: vec![looked_at] }
            .check()?;
        Ok(self.expected(&Tip::alone(tip, shared_m), &self.weights))
    }

    /// What is expected of a tip by other weights of the same places.
    fn expected(&self, tip: &Tip, weights: &[f64]) -> Predicted {
        expected(&self.priors, tip, &self.places, weights)
    }
}

/// What is expected of a tip over weighed places.
pub(super) fn expected(priors: &Priors, tip: &Tip, places: &[Place], weights: &[f64]) -> Predicted {
    let table = table();
    let [mut contact, mut heavy, mut mean, mut squares] = [0.0; 4];
    for (place, weight) in places.iter().zip(weights) {
        let values = Values::of(place, priors);
        let [_, light, hard] = tip.chances(&values, priors, table);
        let gap = tip.gap_m(&Spot::of(&values));
        contact += weight * (light + hard);
        heavy += weight * hard;
        mean += weight * gap;
        squares += weight * gap * gap;
    }
    let variance = (squares - mean * mean).max(0.0) + tip.variance_m2();
    Predicted { contact, heavy, gap_m: mean, gap_sd_m: variance.sqrt() }
}
