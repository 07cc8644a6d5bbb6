//! A part over its rebuilds as text.

use super::page::Page;
use crate::ops::life::{PartLife, StationLife};
use crate::ops::phrase::capitalised;
use kernel::units::{Length, System};

/// Sizes below this are told in micrometres.
const SMALL: Length = Length::mm(2.0);

/// What is said under every life.
const CAUTION: &str = "Wear between two readings goes on as it did, or it does not: hours and runs \
     left are what the readings so far say, for the same duty. Whoever builds decides.";

pub(crate) fn text(life: &PartLife) -> String {
    let mut page = Page { text: String::new(), first: life.first };
    let part = &life.part;
    page.line(&format!("{} {} over its rebuilds", capitalised(part.kind.word()), part.serial));
    page.say(2, &format!("ran {:.1} h as far as they are told", life.hours));
    for (build, name) in &life.unknown {
        page.say(2, &format!("came back from build {build}, {name}, and nobody told its hours"));
    }
    if let Some((hours, from)) = &life.hours_to_come {
        page.say(2, &format!("a run to come: {hours:.1} h, by {from}"));
    }
    page.say(2, &life.in_a_sentence());
    for station in &life.stations {
        of_station(&mut page, station);
    }
    page.close(life.assumed.sentences(), &[CAUTION]);
    page.text
}

/// A step or a gap in micrometres, a width in millimetres.
fn sized(page: &Page, length: Length) -> String {
    if length.abs() < SMALL { page.amount(length) } else { page.size(length) }
}

/// What a cut did to a size.
pub(crate) fn cut_words(cut: Length, first: System) -> String {
    let by = cut.abs().as_amount(first);
    if cut < Length::ZERO { format!("made {by} more") } else { format!("cut by {by}") }
}

fn of_station(page: &mut Page, station: &StationLife) {
    page.rule();
    page.line(&capitalised(&station.words));
    for point in &station.points {
        let size = sized(page, point.size);
        page.say(2, &format!("{:.1} h  {size}, {}", point.hours, point.occasion.words()));
    }
    for run in &station.runs {
        let lost = page.amount(run.lost);
        page.say(2, &format!("worn by {lost} in {:.1} h of build {}", run.hours, run.build));
    }
    for cut in &station.cuts {
        page.say(2, &format!("{} for build {}", cut_words(cut.cut, page.first), cut.build));
    }
    page.say(2, &format!("wear: {}", station.rate_words(page.first)));
    if let Some(limit) = &station.limit {
        let size = sized(page, limit.limit);
        page.say(2, &format!("limit: {size}, by {}", limit.from));
    }
    page.say(2, &station.life_words(page.first));
}
