//! Each build as the others would have expected it.
//!
//! Of a few builds each may say much, and it is calibrated anew without each. Of many, the posterior
//! without build `i` is the whole one over that build's likelihood, so that one lattice, flooded until
//! it holds the weight of all of these, serves for every build [GELFAND-DEY-CHANG]. Held against what was seen, tip by tip and by the number of marks, with
//! builds drawn from what was expected: of so many draws the share that is at least as odd. With
//! several builds the oddest of them is odd by chance as well, so the share that names a build is
//! divided by their number.

use super::error::CalibrationError;
use super::lattice::{Bounds, Flooded, Lattice};
use super::model::{Model, Place, Tip, Values};
use super::normal::table;
use super::posterior::{MOST_POINTS, Posterior, calibrate, expected};
use super::priors::Priors;
use super::seen::{BuildSeen, Contact};
use crate::normals::Normals;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

/// Builds up to which each is left out by itself: what is left then is so much wider that a lattice
/// laid for all of them would be too fine for it.
const FEW: usize = 12;

/// Draws per build.
const DRAWS: usize = 4000;

/// In so many of the shops whose builds are all as expected one is named all the same.
const NAMED_BY_CHANCE: f64 = 0.05;

/// One build as the others would have expected it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// What it is called.
    pub name: String,
    /// Tips looked at.
    pub tips: usize,
    /// Marks seen, light and heavy.
    pub seen: usize,
    /// Heavy marks seen.
    pub seen_heavy: usize,
    /// Marks expected by what is assumed alone.
    pub before: f64,
    /// Marks expected by the tests and all other builds.
    pub without: f64,
    /// Heavy ones likewise.
    pub without_heavy: f64,
    /// Standard deviation of the marks around what is expected without it.
    pub without_sd: f64,
    /// Marks expected once it is counted in too.
    pub after: f64,
    /// Logarithm of the chance that the others gave to all of what was seen.
    pub log_chance: f64,
    /// Chance that the others gave to what was seen on each tip, in the order given.
    pub of_tips: Vec<f64>,
    /// Share of such builds, all as expected, that are at least as odd.
    pub as_odd: f64,
    /// Whether it fits what the others say.
    pub fits: bool,
}

/// All builds, each left out once.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// In the order given.
    pub builds: Vec<LeftOut>,
    /// Points that were summed over.
    pub points: usize,
}

impl Checked {
    /// Marks seen, and expected of every build by the others, with the standard deviation of that as
    /// if builds were independent.
    #[must_use]
    pub fn marks(&self) -> (usize, f64, f64) {
        let seen = self.builds.iter().map(|build| build.seen).sum();
        let expected = self.builds.iter().map(|build| build.without).sum();
        let variance: f64 = self.builds.iter().map(|build| build.without_sd.powi(2)).sum();
        (seen, expected, variance.sqrt())
    }

    /// Builds that do not fit, by name.
    pub fn odd(&self) -> impl Iterator<Item = &LeftOut> {
        self.builds.iter().filter(|build| !build.fits)
    }
}

impl Posterior {
    /// Leaves out every build once. `watch` is told which share is done, and says whether to go on.
    ///
    /// # Errors
    /// [`CalibrationError`].
    pub fn leave_one_out(
        &self,
        watch: &mut dyn FnMut(f64) -> bool,
    ) -> Result<Checked, CalibrationError> {
        let before = calibrate(&self.priors, &[], &[], &mut |_| watch(0.0))?;
        let left = |index: usize, places: &[Place], weights: &[f64], log_chance: f64| {
            let without = Without { places, weights, log_chance };
            Left { posterior: self, before: &before, without, index }.out()
        };
        let (builds, points) = if self.builds.len() <= FEW {
            self.one_by_one(watch, &left)?
        } else {
            self.on_one_lattice(watch, &left)?
        };
        if !watch(1.0) {
            return Err(CalibrationError::Stopped);
        }
        Ok(Checked { builds, points })
    }

    fn one_by_one(
        &self,
        watch: &mut dyn FnMut(f64) -> bool,
        left: &Leaving<'_>,
    ) -> Result<(Vec<LeftOut>, usize), CalibrationError> {
        let (mut builds, mut points) = (Vec::new(), 0);
        let count = self.builds.len() as f64;
        for (index, build) in self.builds.iter().enumerate() {
            let mut others = self.builds.clone();
            others.remove(index);
            let mut part = |share: f64| watch((index as f64 + share) / count);
            let without = calibrate(&self.priors, &others, &self.tests, &mut part)?;
            let alone = Model::of(&self.priors, std::slice::from_ref(build), &[])?;
            let mut chance = 0.0;
            for (place, weight) in without.places.iter().zip(&without.weights) {
                alone.each(place, |log| chance += weight * log.exp());
            }
            points += without.places.len();
            builds.push(left(index, &without.places, &without.weights, chance.ln()));
        }
        Ok((builds, points))
    }

    fn on_one_lattice(
        &self,
        watch: &mut dyn FnMut(f64) -> bool,
        left: &(impl Fn(usize, &[Place], &[f64], f64) -> LeftOut + Sync),
    ) -> Result<(Vec<LeftOut>, usize), CalibrationError> {
        let count = self.builds.len();
        let lattice = Lattice::new(&self.mean, &self.covariance, self.spacing)
            .ok_or(CalibrationError::TooManyPoints { points: MOST_POINTS })?;
        let usual = 1.3 * self.places.len() as f64;
        let mut flooding = |done| watch((0.8 * done as f64 / usual).min(0.8));
        let mut bounds = Bounds { most: MOST_POINTS, series: count + 1, watch: &mut flooding };
        let flooded: Flooded = lattice.flood(&self.tops, &mut bounds, |place, values| {
            series(&self.model, place, values);
        })?;
        if flooded.cut_off {
            return Err(CalibrationError::TooManyPoints { points: MOST_POINTS });
        }
        if !watch(0.8) {
            return Err(CalibrationError::Stopped);
        }
        let builds = (0..count)
            .into_par_iter()
            .map(|index| {
                let log_chance = flooded.log_sum(0) - flooded.log_sum(index + 1);
                left(index, &flooded.places, &flooded.weights(index + 1), log_chance)
            })
            .collect();
        Ok((builds, flooded.places.len()))
    }
}

/// Tells of a build by the weighed places of what the others say, and the logarithm of the chance
/// that they give it.
type Leaving<'a> = dyn Fn(usize, &[Place], &[f64], f64) -> LeftOut + Sync + 'a;

/// The whole posterior first, then without each build.
fn series(model: &Model, place: &Place, values: &mut Vec<f64>) {
    values.push(0.0);
    let mut all = model.before(place);
    model.each(place, |build| {
        all += build;
        values.push(build);
    });
    values[0] = all;
    for value in &mut values[1..] {
        // A build that is impossible here says nothing of what it is without.
        *value = all - *value;
    }
}

/// What the other builds say.
struct Without<'a> {
    places: &'a [Place],
    weights: &'a [f64],
    log_chance: f64,
}

struct Left<'a> {
    posterior: &'a Posterior,
    before: &'a Posterior,
    without: Without<'a>,
    index: usize,
}

impl Left<'_> {
    fn out(&self) -> LeftOut {
        let priors = &self.posterior.priors;
        let build = &self.posterior.builds[self.index];
        let Without { places, weights, log_chance } = self.without;
        let tips = alone(build);
        let by = |places: &[Place], weights: &[f64]| {
            tips.iter().map(|tip| expected(priors, tip, places, weights)).collect::<Vec<_>>()
        };
        let without = by(places, weights);
        let marks = |predicted: &[super::posterior::Predicted]| {
            predicted.iter().map(|tip| tip.contact).sum::<f64>()
        };
        let chances: Vec<[f64; 3]> = without
            .iter()
            .map(|tip| [1.0 - tip.contact, tip.contact - tip.heavy, tip.heavy])
            .collect();
        let of = |contacts: &[Contact]| Oddity::of(contacts, &chances);
        let contacts: Vec<Contact> = build.tips.iter().map(|tip| tip.contact).collect();
        let seen = of(&contacts);
        let drawn = self.draws(build, priors).iter().map(|one| of(one)).collect();
        let (as_odd, without_sd) = oddness(&seen, drawn);
        let named = NAMED_BY_CHANCE / self.posterior.builds.len() as f64;
        LeftOut {
            name: build.name.clone(),
            tips: build.tips.len(),
            seen: seen.marks,
            seen_heavy: contacts.iter().filter(|contact| **contact == Contact::Heavy).count(),
            before: marks(&by(&self.before.places, &self.before.weights)),
            without: marks(&without),
            without_heavy: without.iter().map(|tip| tip.heavy).sum(),
            without_sd,
            after: marks(&by(&self.posterior.places, &self.posterior.weights)),
            log_chance,
            of_tips: contacts.iter().zip(&chances).map(|(c, chance)| chance[place(*c)]).collect(),
            as_odd,
            fits: as_odd > named,
        }
    }

    /// Builds like this one, drawn from what is expected without it.
    fn draws(&self, build: &BuildSeen, priors: &Priors) -> Vec<Vec<Contact>> {
        let Without { places, weights, .. } = self.without;
        let mut draw = draw_of(self.index as u64);
        let mut below = Vec::with_capacity(weights.len());
        let mut sum = 0.0;
        for weight in weights {
            sum += weight;
            below.push(sum);
        }
        let own: Vec<Tip> = build.tips.iter().map(|tip| Tip::alone(tip, 0.0)).collect();
        let table = table();
        (0..DRAWS)
            .map(|_| {
                let at = below.partition_point(|b| *b < draw.uniform() * sum);
                let values = Values::of(&places[at.min(below.len() - 1)], priors);
                let shared: Vec<f64> = build.shared_m.iter().map(|u| u * draw.next()).collect();
                let tips = build.tips.iter().zip(&own);
                tips.map(|(tip, own)| {
                    // A gap that is larger by so much is a margin that is smaller by as much.
                    let margin_m = values.margin_m - shared[tip.rotor];
                    let values = Values { margin_m, ..values };
                    let [none, light, _] = own.chances(&values, priors, table);
                    let share = draw.uniform();
                    if share < none {
                        Contact::None
                    } else if share < none + light {
                        Contact::Light
                    } else {
                        Contact::Heavy
                    }
                })
                .collect()
            })
            .collect()
    }
}

fn alone(build: &BuildSeen) -> Vec<Tip> {
    build.tips.iter().map(|tip| Tip::alone(tip, build.shared_m[tip.rotor])).collect()
}

const fn place(contact: Contact) -> usize {
    match contact {
        Contact::None => 0,
        Contact::Light => 1,
        Contact::Heavy => 2,
    }
}

/// How odd marks are.
struct Oddity {
    /// How many there are.
    marks: usize,
    /// Logarithm of the chance of each tip, summed, negative.
    of_tips: f64,
}

impl Oddity {
    fn of(contacts: &[Contact], chances: &[[f64; 3]]) -> Self {
        let tips = contacts.iter().zip(chances);
        Self {
            marks: contacts.iter().filter(|contact| **contact != Contact::None).count(),
            of_tips: tips.map(|(contact, chance)| -chance[place(*contact)].ln()).sum(),
        }
    }
}

/// The share of draws at least as odd, by the odder of two counts; and how the marks scatter.
fn oddness(seen: &Oddity, drawn: Vec<Oddity>) -> (f64, f64) {
    // The build itself is one of them, so that no share is nothing.
    let share = |so: &dyn Fn(&Oddity) -> bool| {
        (1 + drawn.iter().filter(|one| so(one)).count()) as f64 / (1 + drawn.len()) as f64
    };
    // Equal sums may differ by rounding.
    let tips = share(&|one| one.of_tips >= seen.of_tips - 1e-9);
    let fewer = share(&|one| one.marks <= seen.marks);
    let more = share(&|one| one.marks >= seen.marks);
    let marks = 2.0 * fewer.min(more);
    let count = drawn.len() as f64;
    let mean = drawn.iter().map(|one| one.marks as f64).sum::<f64>() / count;
    let squares = drawn.iter().map(|one| (one.marks as f64 - mean).powi(2)).sum::<f64>();
    ((2.0 * tips.min(marks)).min(1.0), (squares / (count - 1.0)).sqrt())
}

/// Numbers of one drawing, the same on every machine.
const fn draw_of(index: u64) -> Normals {
    Normals(0x1234_5678_9abc_def0_u64.wrapping_add(index.wrapping_mul(0x2545_f491_4f6c_dd1d)))
}
