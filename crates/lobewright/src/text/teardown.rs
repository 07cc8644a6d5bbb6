//! Engines that came back as text: what each tip shows beside what was predicted for it.

use super::page::Page;
use crate::ops::teardown::{CameBack, GapBand, TipBeside, counted};
use kernel::units::{Length, System};
use records::{TiltTest, Written};

/// What is said under every teardown.
const CAUTION: &str = "A gap is the least over the engine's cycle with the rotor pushed to the \
     wall where the tip is nearest, for the highest speed and boost that were seen; nine in ten lie \
     in its band. Below zero the tip would touch before the land.";

pub(crate) fn text(name: &str, all: &[CameBack], tests: &[TiltTest], first: System) -> String {
    let mut page = Page { text: String::new(), first };
    page.line(&format!("Came back: {name}"));
    if all.is_empty() {
        page.line("");
        page.line("No teardown of it is told.");
    }
    for back in all {
        one(&mut page, back);
    }
    for test in tests {
        tilt(&mut page, test, all);
    }
    if !all.is_empty() {
        page.line("");
        page.say(0, CAUTION);
    }
    page.text
}

/// Hours, speed and boost in a line.
pub(crate) fn seen(back: &CameBack) -> String {
    let said = |value: &Option<Written>, not: &str| {
        value.as_ref().map_or_else(|| not.to_owned(), |value| value.text().to_owned())
    };
    let told = &back.teardown;
    format!(
        "ran {}, up to {} and {}",
        said(&told.running, "for hours that nobody told"),
        said(&told.speed, "a speed that nobody told"),
        said(&told.boost, "a boost that nobody told"),
    )
}

/// How many tips say what, in a sentence.
pub(crate) fn in_all(tips: &[TipBeside]) -> String {
    let [agree, unpredicted, unseen, not_looked_at] = counted(tips);
    format!(
        "{agree} tips agree; {unpredicted} touched and were predicted to stay clear; {unseen} were \
         predicted to touch and did not; {not_looked_at} were not looked at"
    )
}

fn one(page: &mut Page, back: &CameBack) {
    page.rule();
    let told = &back.teardown;
    page.say(0, &format!("Revision {}: {}", told.revision, seen(back)));
    if !told.note.is_empty() {
        page.say(2, &told.note);
    }
    if let Some(why) = &back.unpredicted {
        page.say(2, &format!("nothing is predicted: {why}"));
    }
    page.say(2, &in_all(&back.tips));
    for (_, serial) in &back.rotors {
        page.line("");
        page.line(&format!("Rotor {serial}"));
        for tip in back.tips.iter().filter(|tip| tip.serial == *serial) {
            of_tip(page, tip);
        }
    }
}

/// A gap with its band.
pub(crate) fn band(band: GapBand, first: System) -> String {
    let amount = |m: f64| Length::m(m).as_amount(first).to_string();
    let (gap, least, most) = (amount(band.gap_m), amount(band.least_m()), amount(band.most_m()));
    format!("{gap}, from {least} to {most}")
}

fn of_tip(page: &mut Page, tip: &TipBeside) {
    let head = format!("  {} face, tip {}: {}", tip.face, tip.tip, tip.contact());
    page.verdict(&head, if tip.says.words().len() > 17 { "" } else { tip.says.words() });
    if tip.says.words().len() > 17 {
        page.say(4, tip.says.words());
    }
    if let Some(predicted) = tip.predicted {
        page.say(4, &format!("predicted {}", band(predicted, page.first)));
    }
    let Some(mark) = &tip.mark else { return };
    let mut seen: Vec<String> = mark.place.iter().cloned().collect();
    seen.extend(mark.rotor.as_ref().map(|depth| format!("rotor worn {}", depth.value.text())));
    seen.extend(mark.wall.as_ref().map(|depth| format!("wall worn {}", depth.value.text())));
    if !mark.note.is_empty() {
        seen.push(mark.note.clone());
    }
    if !seen.is_empty() {
        page.say(4, &seen.join("; "));
    }
}

fn tilt(page: &mut Page, test: &TiltTest, all: &[CameBack]) {
    let told = &test.told;
    let serial = all
        .iter()
        .flat_map(|back| &back.rotors)
        .find(|(part, _)| *part == told.part)
        .map_or_else(|| format!("rotor of number {}", told.part), |(_, serial)| serial.clone());
    page.rule();
    page.say(
        0,
        &format!(
            "Tilt test {} of {serial}, {} face, tip {}: {} and {} at {}",
            test.id,
            told.face,
            told.tip,
            told.least.text(),
            told.most.text(),
            told.radius.text()
        ),
    );
    for [least, most] in &told.readings {
        page.say(
            2,
            &format!("{} under the small load, {} under the large", least.text(), most.text()),
        );
    }
}
