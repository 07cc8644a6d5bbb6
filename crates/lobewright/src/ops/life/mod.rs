//! What a part lost over its rebuilds, and how long it lasts: sizes as it was put together against
//! as it came apart, what cuts took shown apart from wear, a rate with its interval, and what that
//! leaves before the limit.

mod limit;
mod picture;
mod size;
mod station;
mod words;

#[cfg(test)]
mod tests;

pub use picture::{life_csv, life_picture};
pub use words::{life_words, rate_words};

use super::assumed::Assumed;
use super::sheet::{Sheet, entered};
use super::shop::ShopError;
use drawings::Origin;
use kernel::units::{Length, System};
use kernel::wear::{Life, Rate, Wears};
use records::{BuildId, Day, Part, PartId, Shop};
use size::Gauges;
use station::{Laid, Run, Timeline};

/// When a size was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// As it was found, before it was cut.
    Found,
    /// As it was put together, after the cut if there was one.
    Assembled,
    /// As it came apart.
    Apart,
    /// Both: it was put together again as it came apart.
    ApartAndAssembled,
}

impl Occasion {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Found => "as it was found",
            Self::Assembled => "as put together",
            Self::Apart => "as it came apart",
            Self::ApartAndAssembled => "as it came apart and was put together again",
        }
    }
}

/// A size of a station.
#[derive(Debug, Clone, PartialEq)]
pub struct SizePoint {
    /// Hours that the part had run by then, as far as they are known.
    pub hours: f64,
    /// The size at 20 °C.
    pub size: Length,
    /// Its standard uncertainty without what it shares with the others.
    pub u: Length,
    /// As it was written.
    pub written: String,
    /// When it was read.
    pub occasion: Occasion,
    /// For which build; nothing on the shelf.
    pub build: Option<BuildId>,
}

/// What one run took.
#[derive(Debug, Clone, PartialEq)]
pub struct RunLine {
    /// In which build.
    pub build: BuildId,
    /// What that is called.
    pub name: String,
    /// Hours run.
    pub hours: f64,
    /// What was lost; negative where the size went the other way.
    pub lost: Length,
    /// Its standard uncertainty.
    pub u: Length,
}

/// What a cut took between two runs.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLine {
    /// In which build.
    pub build: BuildId,
    /// Hours that the part had run by then.
    pub hours: f64,
    /// How much less the size is after it.
    pub cut: Length,
}

/// Where a size may not pass.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLine {
    /// The limit.
    pub limit: Length,
    /// Where it comes from, in words.
    pub from: String,
}

/// One station of a part over its rebuilds.
#[derive(Debug, Clone, PartialEq)]
pub struct StationLife {
    /// The station: `land_width.2`; of the mean of several the list: `land_width`.
    pub station: String,
    /// What a builder calls it.
    pub words: String,
    /// Which way wear moves it.
    pub wears: Wears,
    /// Its sizes, the first first.
    pub points: Vec<SizePoint>,
    /// Runs with a size at both ends and known hours.
    pub runs: Vec<RunLine>,
    /// What cuts took.
    pub cuts: Vec<CutLine>,
    /// Wear per hour, or why it cannot be said yet.
    pub rate: Result<Rate, String>,
    /// Its limit, where there is one.
    pub limit: Option<LimitLine>,
    /// How long it lasts; nothing without a limit or a rate.
    pub life: Option<Life>,
}

/// A part over its rebuilds.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLife {
    /// The part.
    pub part: Part,
    /// Hours that it ran, as far as they are known.
    pub hours: f64,
    /// Builds from which it came back without anybody saying how long it ran.
    pub unknown: Vec<(BuildId, String)>,
    /// Hours of a run to come, and where they are from.
    pub hours_to_come: Option<(f64, String)>,
    /// The last build it was in.
    pub origin: Origin,
    /// Its stations that were read more than once.
    pub stations: Vec<StationLife>,
    /// What was taken where nothing is said.
    pub assumed: Assumed,
    /// Which units its sentences put first.
    pub first: System,
}

impl PartLife {
    /// The station that reaches its limit first, by what is to be expected.
    #[must_use]
    pub fn first_to_go(&self) -> Option<&StationLife> {
        let rank = |station: &&StationLife| match station.life.as_ref()? {
            Life::Past { .. } => Some(0.0),
            Life::Left { hours, .. } => Some(hours.expected),
            Life::NotYet { .. } => None,
        };
        let ranked = self.stations.iter().filter_map(|station| Some((rank(&station)?, station)));
        ranked.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, station)| station)
    }
}

/// A part over its rebuilds.
///
/// # Errors
/// Where there is no such part, or the shop's file cannot be read.
pub fn life(shop: &Shop, id: PartId, today: &Day, first: System) -> Result<PartLife, ShopError> {
    let history = shop.part_history(id)?;
    let part = history.part.clone();
    let mut assumed = Assumed::default();
    let timeline = Timeline::of(shop, &history)?;
    let last: Option<Sheet> = match timeline.runs.last() {
        Some(run) => Some(entered(shop, run.build, today, first)?),
        None => None,
    };
    let file = last.as_ref().and_then(|sheet| sheet.file.build.as_deref().ok());
    let gauges = Gauges::of(shop, part.kind, file)?;
    let hours_to_come = hours_to_come(&timeline.runs, file);
    let limits = limit::Limits { kind: part.kind, serial: &part.serial, file };
    let to_come = hours_to_come.as_ref().map(|(hours, _)| *hours);
    let mut lists: Vec<(String, Vec<(String, Laid)>)> = Vec::new();
    for name in timeline.stations() {
        let laid = timeline.laid(&name, &gauges, &mut assumed);
        // A size that was read once says nothing of wear.
        if laid.points.len() < 2 {
            continue;
        }
        let of = limit::list(&name).to_owned();
        match lists.iter_mut().find(|(known, _)| *known == of) {
            Some((_, stations)) => stations.push((name, laid)),
            None => lists.push((of, vec![(name, laid)])),
        }
    }
    let mut stations = Vec::new();
    for (of, laid) in lists {
        // One station scatters as its gauge does; their mean says more of how the whole wears.
        if let Some(mean) = Laid::mean(laid.iter().map(|(_, laid)| laid)) {
            let mean = station::judged(mean, (part.kind, &of), limits.of(&of), to_come);
            stations.push(StationLife { words: mean_of(&mean.words, laid.len()), ..mean });
        }
        for (name, laid) in laid {
            stations.push(station::judged(laid, (part.kind, &name), limits.of(&name), to_come));
        }
    }
    let unknown = timeline.runs.iter().filter(|run| run.came_apart && run.hours.is_none());
    Ok(PartLife {
        hours: timeline.runs.iter().filter_map(|run| run.hours).sum(),
        unknown: unknown.map(|run| (run.build, run.name.clone())).collect(),
        origin: origin_of(last.as_ref(), &part),
        part,
        hours_to_come,
        stations,
        assumed,
        first,
    })
}

fn mean_of(words: &str, count: usize) -> String {
    format!("{words}, mean of {count}")
}

/// The last build that a part was in, as a picture names it.
fn origin_of(last: Option<&Sheet>, part: &Part) -> Origin {
    let Some(sheet) = last else { return Origin::default() };
    let file = sheet.file.build.as_deref().ok();
    let housing = file.and_then(|build| {
        let at = build.rotors.iter().position(|rotor| rotor.serial == part.serial)?;
        Some(build.housings.get(at)?.serial.clone())
    });
    Origin {
        build: sheet.build.head.name.clone(),
        housing: housing.unwrap_or_else(|| "none".to_owned()),
        spec: file.map_or_else(|| "none".to_owned(), |build| build.spec.name.clone()),
    }
}

/// Hours of the next run: those that the duty wants, or those of the runs before it.
fn hours_to_come(runs: &[Run], file: Option<&crate::build_file::Build>) -> Option<(f64, String)> {
    if let Some(running) = file.and_then(|build| build.duty.running) {
        return Some((running.to_h(), "the duty of its last build".to_owned()));
    }
    let known: Vec<f64> = runs.iter().filter_map(|run| run.hours).collect();
    let count = known.len();
    (count > 0).then(|| {
        (known.iter().sum::<f64>() / count as f64, "the mean of its runs so far".to_owned())
    })
}
