//! A part over its rebuilds as text.

use super::page::Page;
use crate::ops::life::{PartLife, StationLife};
use crate::ops::phrase::capitalised;

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

fn of_station(page: &mut Page, station: &StationLife) {
    page.rule();
    page.line(&capitalised(&station.words));
    for point in &station.points {
        let size = page.size(point.size);
        page.say(2, &format!("{:.1} h  {size}, {}", point.hours, point.occasion.words()));
    }
    for run in &station.runs {
        let lost = page.amount(run.lost);
        page.say(2, &format!("worn by {lost} in {:.1} h of build {}", run.hours, run.build));
    }
    for cut in &station.cuts {
        let by = page.amount(cut.cut);
        page.say(2, &format!("cut by {by} for build {}", cut.build));
    }
    page.say(2, &format!("wear: {}", station.rate_words(page.first)));
    if let Some(limit) = &station.limit {
        let size = page.size(limit.limit);
        page.say(2, &format!("limit: {size}, by {}", limit.from));
    }
    page.say(2, &station.life_words(page.first));
}
