//! The cards of used parts as text: what becomes of each part first, then card by card what decides
//! it, and what is to be ordered.

use super::page::Page;
use crate::ops::phrase::capitalised;
use crate::ops::{CONDITION_CAUTIONS, CardReport, ConditionReport, ItemReport, ItemSaid};
use kernel::condition::Fate;
use kernel::readings::{EDITION, PROBABILITY};

pub(crate) fn text(report: &ConditionReport) -> String {
    let mut page = Page { text: String::new(), first: report.first };
    page.line(&format!("Cards of the used parts: {}", report.name));
    page.say(
        0,
        &format!(
            "Verdicts by {EDITION}, {:.0} % conformance probability. Every limit is the shop's own.",
            100.0 * PROBABILITY
        ),
    );
    page.line("");
    for card in &report.cards {
        page.verdict(&format!("{} {}", card.part.words(), card.serial), &card.verdict.words());
    }
    let order: Vec<_> = report.order().collect();
    if !order.is_empty() {
        page.line("");
        page.line("To be ordered");
        for (serial, what) in order {
            page.say(2, &format!("for {serial}: {what}"));
        }
    }
    for card in &report.cards {
        one(&mut page, card);
    }
    page.close(report.assumed.sentences(), &CONDITION_CAUTIONS);
    page.text
}

fn one(page: &mut Page, card: &CardReport) {
    page.rule();
    let head = format!("{} {}", capitalised(card.part.words()), card.serial);
    page.verdict(&head, &card.verdict.words());
    for rework in &card.rework {
        page.say(2, &format!("rework, {rework}"));
    }
    for item in &card.items {
        of_item(page, item);
    }
}

fn of_item(page: &mut Page, item: &ItemReport) {
    let found: Vec<&_> = item.at.iter().filter(|at| at.found.is_some()).collect();
    // What nobody limits and nobody read is not on the card of this part.
    if item.said == ItemSaid::NoLimit && found.is_empty() {
        return;
    }
    let said = match item.said {
        ItemSaid::ToRead(count) => format!("{count} to be read"),
        other => other.words().to_owned(),
    };
    page.verdict(&format!("  {}", item.item.name), &said);
    let first = page.first;
    let values: Vec<String> =
        found.iter().filter_map(|at| Some(at.found.as_ref()?.text(first))).collect();
    let mut below = vec![match values.as_slice() {
        [] => "not read".to_owned(),
        all if all.iter().all(|value| *value == all[0]) && all.len() > 1 => {
            format!("{} at all {}", all[0], all.len())
        }
        all => all.join(", "),
    }];
    if item.said != ItemSaid::NoLimit {
        below.push(format!("used: {}", item.limit));
    }
    let decided = matches!(item.said, ItemSaid::Decided(fate) if fate != Fate::Use);
    if decided && !item.note.is_empty() {
        below.push(item.note.clone());
    }
    page.say(4, &below.join("; "));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;
    use crate::ops::condition;
    use kernel::units::System;

    const WORN: &str = include_str!("../../../../examples/petrel-worn.toml");

    #[test]
    fn every_part_has_its_line_and_what_decides_it() {
        for first in [System::Metric, System::Inch] {
            let text = text(&condition(&read(WORN).unwrap(), first));
            assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
            assert!(text.contains("whoever is qualified for it"), "{text}");
        }
        let text = text(&condition(&read(WORN).unwrap(), System::Metric));
        for line in [
            "rotor housing PH-1                                            use",
            "rotor housing PH-2                                            reject",
            "  for PR-2: apex seals, 0.2 mm oversize",
            "Eccentric shaft PE-1                                          rework",
            "  crack test                                                  reject",
            "    polished; used: sound, polished",
        ] {
            assert!(text.lines().any(|other| other == line), "{line}\n{text}");
        }
    }

    #[test]
    fn where_nobody_limits_and_nobody_reads_nothing_stands() {
        let plain = include_str!("../../../../examples/sprint-boat.toml");
        let text = text(&condition(&read(plain).unwrap(), System::Metric));
        assert!(text.contains("rotor R-114 ") && text.contains("no limits given"), "{text}");
        assert!(!text.contains("crack test  ") && !text.contains("To be ordered"), "{text}");
    }
}
