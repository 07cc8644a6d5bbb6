//! A list of a part's stations as a picture of size against hours.

use super::super::phrase::capitalised;
use super::limit::list;
use super::{PartLife, StationLife};
use drawings::{LifeLine, LifePoint, Options};
use kernel::wear::Wears;

/// Lines of one picture at most: more cannot be told apart.
const MOST_LINES: usize = 9;

/// The picture's model of one list of stations: `land_width`; nothing where none was read more than
/// once.
fn model(life: &PartLife, of: &str) -> Option<drawings::PartLife> {
    let stations: Vec<&StationLife> =
        life.stations.iter().filter(|station| list(&station.station) == of).collect();
    // The mean of several is in the table alone.
    let stations: Vec<&StationLife> = match stations.as_slice() {
        [mean, rest @ ..] if mean.station == of && !rest.is_empty() => rest.to_vec(),
        _ => stations,
    };
    let first = stations.first()?;
    let (what, _) = split(&first.words);
    let what = what.to_owned();
    let name = |station: &StationLife| match split(&station.words) {
        (_, "") => what.clone(),
        (_, place) => place.to_owned(),
    };
    let line = |station: &&StationLife| LifeLine {
        name: name(station),
        points: station
            .points
            .iter()
            .map(|point| LifePoint {
                hours: point.hours,
                size: point.size,
                u: point.u,
                when: point.occasion.words().to_owned(),
            })
            .collect(),
    };
    let more = stations.len().saturating_sub(MOST_LINES);
    let notes = (more > 0).then(|| format!("{more} more stations are not drawn."));
    Some(drawings::PartLife {
        part: format!("{} {}", life.part.kind, life.part.serial),
        what: capitalised(&what),
        lines: stations.iter().take(MOST_LINES).map(line).collect(),
        limit: first.limit.as_ref().map(|limit| (limit.limit, limit.from.clone())),
        origin: life.origin.clone(),
        grows: first.wears == Wears::More,
        notes: notes.into_iter().collect(),
    })
}

/// What a station is of and where it is: `land width at tip 1`, `bore of the corner seal, tip 1, gear
/// face`.
fn split(words: &str) -> (&str, &str) {
    let apart = words.split_once(" at ").or_else(|| words.split_once(", "));
    apart.unwrap_or((words, ""))
}

/// The picture of one list of stations.
#[must_use]
pub fn life_picture(life: &PartLife, of: &str, options: &Options) -> Option<String> {
    Some(model(life, of)?.svg(options))
}

/// Its data.
#[must_use]
pub fn life_csv(life: &PartLife, of: &str) -> Option<String> {
    Some(model(life, of)?.csv())
}

impl PartLife {
    /// Lists of stations that there is a picture of, in their order.
    #[must_use]
    pub fn lists(&self) -> Vec<&str> {
        let mut lists: Vec<&str> = Vec::new();
        for station in &self.stations {
            let of = list(&station.station);
            if !lists.contains(&of) {
                lists.push(of);
            }
        }
        lists
    }
}
