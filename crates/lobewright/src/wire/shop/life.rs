//! A part over its rebuilds.

use super::super::number::{mm, rounded};
use crate::ops::life::{PartLife, StationLife};
use kernel::wear::{Basis, Life, Rate, Wears};
use serde::Serialize;

/// What a part lost, and how long it lasts.
#[derive(Debug, Serialize)]
pub(crate) struct LifeJson {
    part: i64,
    kind: &'static str,
    serial: String,
    hours: f64,
    /// Builds that it came back from without anybody saying how long it ran.
    hours_unknown_in: Vec<i64>,
    /// Hours of a run to come.
    hours_to_come: Option<f64>,
    stations: Vec<StationJson>,
    assumed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct StationJson {
    station: String,
    name: String,
    /// Which way wear moves it: `less` or `more`.
    wears: &'static str,
    sizes: Vec<SizeJson>,
    runs: Vec<RunJson>,
    cuts: Vec<CutJson>,
    rate: Option<RateJson>,
    /// Why there is no rate.
    no_rate: Option<String>,
    limit_mm: Option<f64>,
    limit_from: Option<String>,
    left: Option<LeftJson>,
    /// What is said of it, in words.
    says: String,
}

#[derive(Debug, Serialize)]
struct SizeJson {
    hours: f64,
    size_mm: f64,
    u_mm: f64,
    written: String,
    when: &'static str,
    build: Option<i64>,
}

#[derive(Debug, Serialize)]
struct RunJson {
    build: i64,
    hours: f64,
    lost_mm: f64,
    u_mm: f64,
}

#[derive(Debug, Serialize)]
struct CutJson {
    build: i64,
    hours: f64,
    cut_mm: f64,
}

/// Per hundred hours; nine in ten lie from the least to the most.
#[derive(Debug, Serialize)]
struct RateJson {
    per_100_h_mm: f64,
    least_mm: f64,
    most_mm: f64,
    /// Whether one run alone stands behind it.
    of_gauges_alone: bool,
}

/// Hours and runs; those that cannot be said are null.
#[derive(Debug, Serialize)]
struct LeftJson {
    past_by_mm: Option<f64>,
    hours: Option<f64>,
    least_hours: Option<f64>,
    most_hours: Option<f64>,
    runs: Option<usize>,
    least_runs: usize,
    most_runs: Option<usize>,
}

impl RateJson {
    fn of(rate: &Rate) -> Self {
        let per_hundred = |m_per_h: f64| rounded(m_per_h * 1e5);
        Self {
            per_100_h_mm: per_hundred(rate.m_per_h),
            least_mm: per_hundred(rate.low_m_per_h),
            most_mm: per_hundred(rate.high_m_per_h),
            of_gauges_alone: rate.basis == Basis::Gauges,
        }
    }
}

impl LeftJson {
    fn of(life: &Life) -> Self {
        let none = Self {
            past_by_mm: None,
            hours: None,
            least_hours: None,
            most_hours: None,
            runs: None,
            least_runs: 0,
            most_runs: None,
        };
        match life {
            Life::Past { by_m } => Self { past_by_mm: Some(rounded(by_m * 1e3)), ..none },
            Life::NotYet { at_least_hours, at_least_rebuilds, .. } => Self {
                least_hours: at_least_hours.map(rounded),
                least_runs: *at_least_rebuilds,
                ..none
            },
            Life::Left { hours, rebuilds, .. } => Self {
                past_by_mm: None,
                hours: Some(rounded(hours.expected)),
                least_hours: Some(rounded(hours.low)),
                most_hours: Some(rounded(hours.high)),
                runs: Some(rebuilds.expected),
                least_runs: rebuilds.low,
                most_runs: rebuilds.high,
            },
        }
    }
}

impl StationJson {
    fn of(station: &StationLife, life: &PartLife) -> Self {
        let size = |point: &crate::ops::life::SizePoint| SizeJson {
            hours: rounded(point.hours),
            size_mm: mm(point.size),
            u_mm: mm(point.u),
            written: point.written.clone(),
            when: point.occasion.words(),
            build: point.build.map(|id| id.0),
        };
        Self {
            station: station.station.clone(),
            name: station.words.clone(),
            wears: match station.wears {
                Wears::Less => "less",
                Wears::More => "more",
            },
            sizes: station.points.iter().map(size).collect(),
            runs: station
                .runs
                .iter()
                .map(|run| RunJson {
                    build: run.build.0,
                    hours: rounded(run.hours),
                    lost_mm: mm(run.lost),
                    u_mm: mm(run.u),
                })
                .collect(),
            cuts: station
                .cuts
                .iter()
                .map(|cut| CutJson {
                    build: cut.build.0,
                    hours: rounded(cut.hours),
                    cut_mm: mm(cut.cut),
                })
                .collect(),
            rate: station.rate.as_ref().ok().map(RateJson::of),
            no_rate: station.rate.as_ref().err().cloned(),
            limit_mm: station.limit.as_ref().map(|limit| mm(limit.limit)),
            limit_from: station.limit.as_ref().map(|limit| limit.from.clone()),
            left: station.life.as_ref().map(LeftJson::of),
            says: station.life_words(life.first),
        }
    }
}

impl LifeJson {
    pub(crate) fn of(life: &PartLife) -> Self {
        Self {
            part: life.part.id.0,
            kind: life.part.kind.word(),
            serial: life.part.serial.clone(),
            hours: rounded(life.hours),
            hours_unknown_in: life.unknown.iter().map(|(build, _)| build.0).collect(),
            hours_to_come: life.hours_to_come.as_ref().map(|(hours, _)| rounded(*hours)),
            stations: life.stations.iter().map(|station| StationJson::of(station, life)).collect(),
            assumed: life.assumed.sentences().to_vec(),
        }
    }
}
