//! Readings of a part in the order of its life: builds it was in, how long it ran in each, and what
//! a station read as it was put together and as it came apart.

use super::super::assumed::Assumed;
use super::super::shelf::station_in_words;
use super::super::shop::ShopError;
use super::limit::wears;
use super::size::{Gauges, Sized};
use super::{CutLine, LimitLine, Occasion, RunLine, SizePoint, StationLife};
use kernel::units::{Duration, Length, Quantity};
use kernel::wear::{History, Life, Limit, Rate, Run as KernelRun, Service, Size, WearError, Wears};
use records::{BuildId, PartHistory, PartKind, Reading, Shop, When};
use std::collections::BTreeSet;

/// Seconds of an hour.
const HOUR_S: f64 = 3600.0;

/// The part in one build.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub(super) build: BuildId,
    pub(super) name: String,
    /// How long it ran, if that is said.
    pub(super) hours: Option<f64>,
    /// Whether it came apart again.
    pub(super) came_apart: bool,
}

/// A part's life.
pub(super) struct Timeline<'a> {
    pub(super) runs: Vec<Run>,
    readings: Vec<&'a Reading>,
}

/// A station's readings laid along the hours.
pub(super) struct Laid {
    pub(super) points: Vec<SizePoint>,
    sizes: Vec<Sized>,
    runs: Vec<(usize, KernelRun)>,
    cuts: Vec<CutLine>,
    /// Which of the runs of the timeline each run is.
    names: Vec<(BuildId, String)>,
}

impl<'a> Timeline<'a> {
    pub(super) fn of(shop: &Shop, history: &'a PartHistory) -> Result<Self, ShopError> {
        let mut runs: Vec<Run> = Vec::new();
        for (fitted, name) in &history.fitted {
            // Taken out and put in again, it is one run.
            if runs.iter().any(|run| run.build == fitted.build) {
                continue;
            }
            let out = history.fitted.iter().filter(|(other, _)| other.build == fitted.build);
            let exchanged = out
                .clone()
                .all(|(other, _)| matches!(&other.out, Some((records::OutWhy::Exchanged, ..))));
            // It never ran there.
            if exchanged {
                continue;
            }
            let teardowns = shop.teardowns_standing(fitted.build)?;
            let told: Vec<f64> =
                teardowns.iter().filter_map(|t| Some(t.running.as_ref()?.si() / HOUR_S)).collect();
            let all_told = !teardowns.is_empty() && told.len() == teardowns.len();
            let torn = out
                .into_iter()
                .any(|(other, _)| matches!(&other.out, Some((records::OutWhy::TornDown, ..))));
            let hours = if teardowns.is_empty() {
                found_hours(history, fitted.build)
            } else {
                all_told.then(|| told.iter().sum())
            };
            runs.push(Run {
                build: fitted.build,
                name: name.clone(),
                hours,
                came_apart: torn || !teardowns.is_empty(),
            });
        }
        let readings = history.readings.iter().filter(|r| r.superseded_by.is_none()).collect();
        Ok(Self { runs, readings })
    }

    /// Names of its stations, in the order in which they were first read.
    pub(super) fn stations(&self) -> Vec<String> {
        let mut known = BTreeSet::new();
        let fresh = self.readings.iter().filter(|reading| known.insert(reading.station.as_str()));
        fresh.map(|reading| reading.station.clone()).collect()
    }

    fn in_build(&self, station: &str, build: BuildId, when: When) -> Option<&'a Reading> {
        let of = |reading: &&&Reading| {
            reading.station == station && reading.build == Some(build) && reading.when == when
        };
        self.readings.iter().find(of).copied()
    }

    /// What was read on the shelf between two builds, the first first.
    fn on_shelf(&self, station: &str, after: &Run, before: Option<&Run>) -> Option<&'a Reading> {
        let last_of = |build: BuildId| {
            self.readings.iter().filter(|r| r.build == Some(build)).map(|r| r.id).max()
        };
        let first_of = |build: BuildId| {
            self.readings.iter().filter(|r| r.build == Some(build)).map(|r| r.id).min()
        };
        let from = last_of(after.build);
        let to = before.and_then(|run| first_of(run.build));
        let of = |reading: &&&Reading| {
            reading.station == station
                && reading.build.is_none()
                && from.is_none_or(|from| reading.id > from)
                && to.is_none_or(|to| reading.id < to)
        };
        self.readings.iter().find(of).copied()
    }

    /// A station's readings laid along the hours.
    pub(super) fn laid(&self, station: &str, gauges: &Gauges, assumed: &mut Assumed) -> Laid {
        let mut laid = Laid {
            points: Vec::new(),
            sizes: Vec::new(),
            runs: Vec::new(),
            cuts: Vec::new(),
            names: Vec::new(),
        };
        let mut hours = 0.0;
        // The size as the part came apart from the run before.
        let mut apart: Option<usize> = None;
        for (index, run) in self.runs.iter().enumerate() {
            let before = self.in_build(station, run.build, When::Before);
            let after = self.in_build(station, run.build, When::After);
            let came = match apart {
                Some(known) => Some(known),
                None => before.and_then(|reading| {
                    // What is cut before it runs was found so, not put together.
                    let occasion =
                        if after.is_some() { Occasion::Found } else { Occasion::Assembled };
                    laid.push(reading, (hours, occasion), gauges, assumed)
                }),
            };
            // Put together as it came, or as it was cut.
            let assembled = match (after, before) {
                (Some(after), _) => {
                    let at = laid.push(after, (hours, Occasion::Assembled), gauges, assumed);
                    if let (Some(at), Some(came)) = (at, came) {
                        let cut = laid.sizes[came].m - laid.sizes[at].m;
                        let (build, cut) = (run.build, Length::m(cut));
                        laid.cuts.push(CutLine { build, hours, cut });
                    }
                    at
                }
                (None, Some(_)) => {
                    if let Some(point) = apart.and_then(|at| laid.points.get_mut(at)) {
                        point.occasion = Occasion::ApartAndAssembled;
                    }
                    came
                }
                (None, None) => None,
            };
            let next = self.runs.get(index + 1);
            hours += run.hours.unwrap_or(0.0);
            let shelved = self.on_shelf(station, run, next);
            let inspected = next.and_then(|next| self.in_build(station, next.build, When::Before));
            apart = shelved
                .or(inspected)
                .filter(|_| run.came_apart || next.is_some())
                .and_then(|reading| laid.push(reading, (hours, Occasion::Apart), gauges, assumed));
            if let (Some(assembled), Some(apart), Some(ran)) = (assembled, apart, run.hours)
                && ran > 0.0
            {
                laid.runs.push((index, KernelRun { hours: ran, assembled, apart }));
                laid.names.push((run.build, run.name.clone()));
            }
        }
        laid
    }
}

/// Hours that somebody wrote beside a finding, where no teardown was told; nothing where two of them
/// say different ones.
fn found_hours(history: &PartHistory, build: BuildId) -> Option<f64> {
    let of_build = history.findings.iter().filter(|finding| finding.build == build);
    let mut said = of_build.filter_map(|finding| finding.running.as_deref());
    let first = Duration::parse(said.next()?).ok()?;
    said.all(|text| Duration::parse(text).is_ok_and(|other| other == first))
        .then(|| first.si() / HOUR_S)
}

impl Laid {
    fn push(
        &mut self,
        reading: &Reading,
        (hours, occasion): (f64, Occasion),
        gauges: &Gauges,
        assumed: &mut Assumed,
    ) -> Option<usize> {
        let size = gauges.sized(reading, assumed)?;
        self.points.push(SizePoint {
            hours,
            size: Length::m(size.m),
            u: Length::m(size.own_u_m),
            written: reading.value.text().to_owned(),
            occasion,
            build: reading.build,
        });
        self.sizes.push(size);
        Some(self.points.len() - 1)
    }

    /// The mean of several stations that were read at the same occasions; nothing of others, or of
    /// one alone.
    pub(super) fn mean<'a>(all: impl Iterator<Item = &'a Self> + Clone) -> Option<Self> {
        let first = all.clone().next()?;
        let count = all.clone().count();
        let occasions = |laid: &Self| {
            let of = |p: &SizePoint| (p.hours.to_bits(), p.occasion, p.build);
            laid.points.iter().map(of).collect::<Vec<_>>()
        };
        let alike =
            all.clone().all(|laid| occasions(laid) == occasions(first) && laid.runs == first.runs);
        if count < 2 || !alike {
            return None;
        }
        let n = count as f64;
        let sizes: Vec<Sized> = (0..first.sizes.len())
            .map(|at| {
                let here = || all.clone().map(move |laid| laid.sizes[at]);
                let gauge = first.sizes[at].gauge;
                Sized {
                    m: here().map(|size| size.m).sum::<f64>() / n,
                    own_u_m: here().map(|size| size.own_u_m.powi(2)).sum::<f64>().sqrt() / n,
                    // They share the zero of the gauge that read them.
                    zero_u_m: here().map(|size| size.zero_u_m).fold(0.0, f64::max),
                    gauge: gauge.filter(|_| here().all(|size| size.gauge == gauge)),
                }
            })
            .collect();
        let points = first.points.iter().zip(&sizes).map(|(point, size)| SizePoint {
            size: Length::m(size.m),
            u: Length::m(size.own_u_m),
            written: String::new(),
            ..point.clone()
        });
        let cuts = first.cuts.iter().enumerate().map(|(at, cut)| CutLine {
            cut: all.clone().map(|laid| laid.cuts[at].cut).sum::<Length>() / n,
            ..cut.clone()
        });
        Some(Self {
            points: points.collect(),
            runs: first.runs.clone(),
            cuts: cuts.collect(),
            names: first.names.clone(),
            sizes,
        })
    }

    /// The zero of the one gauge that read everything cancels in what is lost; with several it is
    /// each reading's own.
    fn one_gauge(&self) -> bool {
        let first = self.sizes.first().and_then(|size| size.gauge);
        first.is_some() && self.sizes.iter().all(|size| size.gauge == first)
    }

    fn history(&self, wears: Wears) -> History {
        let one = self.one_gauge();
        let size = |sized: &Sized| Size {
            m: sized.m,
            u_m: if one { sized.own_u_m } else { sized.own_u_m.hypot(sized.zero_u_m) },
        };
        History {
            sizes: self.sizes.iter().map(size).collect(),
            runs: self.runs.iter().map(|(_, run)| *run).collect(),
            wears,
        }
    }
}

/// What is said of a station.
pub(super) fn judged(
    laid: Laid,
    (kind, station): (PartKind, &str),
    limit: Option<LimitLine>,
    hours_to_come: Option<f64>,
) -> StationLife {
    let wears = wears(station);
    let history = laid.history(wears);
    let rate = history.rate();
    let life = match (&rate, &limit, hours_to_come) {
        (Ok(rate), Some(limit), Some(hours)) => left(&laid, (&history, rate), limit, hours).ok(),
        _ => None,
    };
    let losses = rate.as_ref().map(|rate| rate.losses.as_slice()).unwrap_or_default();
    let runs = losses.iter().zip(&laid.names).map(|(loss, (build, name))| RunLine {
        build: *build,
        name: name.clone(),
        hours: loss.hours,
        lost: Length::m(loss.lost_m),
        u: Length::m(loss.u_m),
    });
    StationLife {
        station: station.to_owned(),
        words: station_in_words(kind, station),
        wears,
        runs: runs.collect(),
        rate: rate.map_err(|error| match error {
            WearError::NoRuns => {
                "no run has a reading at both its ends and its hours told yet".to_owned()
            }
            other => other.to_string(),
        }),
        limit,
        life,
        points: laid.points,
        cuts: laid.cuts,
    }
}

/// How long it lasts from the last size on, with the cuts of its past taken for those to come.
fn left(
    laid: &Laid,
    (history, rate): (&History, &Rate),
    limit: &LimitLine,
    hours_per_run: f64,
) -> Result<Life, WearError> {
    let toward = |cut: &CutLine| match history.wears {
        Wears::Less => cut.cut.to_m(),
        Wears::More => -cut.cut.to_m(),
    };
    let count = laid.cuts.len();
    let mean = laid.cuts.iter().map(toward).sum::<f64>() / count.max(1) as f64;
    let now = laid.sizes.len().saturating_sub(1);
    // Against a limit the zero of the one gauge does not cancel; of several it is in each size.
    let one = laid.one_gauge();
    let zero_u_m = if one { laid.sizes.last().map_or(0.0, |size| size.zero_u_m) } else { 0.0 };
    let limit = Limit { m: limit.limit.to_m(), zero_u_m };
    history.life(rate, now, limit, Service { hours_per_run, cut_m: mean.max(0.0) })
}
