//! The cards of used parts as JSON, format 1. Lengths in millimetres, loads in newtons, the unit in
//! the key.

use super::number::{in_mm, in_n};
use crate::ops::{
    AtReport, CONDITION_CAUTIONS, CardReport, CardVerdict, ConditionReport, FoundAmount, ItemReport,
};
use kernel::condition::Fate;
use kernel::readings::{EDITION, PROBABILITY};
use kernel::units::System;
use serde::Serialize;

/// The cards of a build.
#[derive(Debug, Serialize)]
pub struct CardsJson {
    format: u32,
    build: String,
    edition: &'static str,
    probability: f64,
    cards: Vec<CardJson>,
    order: Vec<OrderJson>,
    assumed: Vec<String>,
    cautions: [&'static str; 3],
}

#[derive(Debug, Serialize)]
struct CardJson {
    part: &'static str,
    serial: String,
    /// `use`, `rework`, `not proven`, `reject`, `to be read` or `no limits given`.
    verdict: &'static str,
    to_read: usize,
    rework: Vec<String>,
    order: Vec<String>,
    items: Vec<ItemJson>,
}

#[derive(Debug, Serialize)]
struct ItemJson {
    key: &'static str,
    name: &'static str,
    limit: String,
    /// `use`, `rework`, `not proven`, `reject`, `to be read` or `no limit given`.
    verdict: &'static str,
    note: String,
    at: Vec<AtJson>,
}

#[derive(Debug, Serialize)]
struct AtJson {
    station: String,
    place: String,
    found: Option<String>,
    found_mm: Option<f64>,
    found_n: Option<f64>,
    gauge: Option<String>,
    verdict: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct OrderJson {
    serial: String,
    what: String,
}

impl CardsJson {
    /// From its report.
    #[must_use]
    pub fn of(report: &ConditionReport) -> Self {
        Self {
            format: 1,
            build: report.name.clone(),
            edition: EDITION,
            probability: PROBABILITY,
            cards: report.cards.iter().map(|card| card_json(card, report.first)).collect(),
            order: report
                .order()
                .map(|(serial, what)| OrderJson {
                    serial: serial.to_owned(),
                    what: what.to_owned(),
                })
                .collect(),
            assumed: report.assumed.sentences().to_vec(),
            cautions: CONDITION_CAUTIONS,
        }
    }
}

fn card_json(card: &CardReport, first: System) -> CardJson {
    let (verdict, to_read) = match card.verdict {
        CardVerdict::NoLimits => ("no limits given", 0),
        CardVerdict::ToRead(count) => ("to be read", count),
        CardVerdict::Decided(fate) => (fate.words(), 0),
    };
    CardJson {
        part: card.part.key(),
        serial: card.serial.clone(),
        verdict,
        to_read,
        rework: card.rework.clone(),
        order: card.order.clone(),
        items: card.items.iter().map(|item| item_json(item, first)).collect(),
    }
}

fn item_json(item: &ItemReport, first: System) -> ItemJson {
    ItemJson {
        key: item.item.key,
        name: item.item.name,
        limit: item.limit.clone(),
        verdict: item.said.words(),
        note: item.note.clone(),
        at: item.at.iter().map(|at| at_json(at, first)).collect(),
    }
}

fn at_json(at: &AtReport, first: System) -> AtJson {
    let amount = match &at.found {
        Some(FoundAmount::Read(amount)) => Some(*amount),
        _ => None,
    };
    AtJson {
        station: at.station.clone(),
        place: at.words.clone(),
        found: at.found.as_ref().map(|found| found.text(first)),
        found_mm: in_mm(amount),
        found_n: in_n(amount),
        gauge: at.gauge.clone(),
        verdict: at.fate.map(Fate::words),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;
    use crate::ops::condition;
    use serde_json::{Value, json};

    #[test]
    fn the_example_as_figures() {
        let build = read(include_str!("../../../../examples/petrel-worn.toml")).unwrap();
        let all: Value = json!(CardsJson::of(&condition(&build, System::Metric)));
        let cards = all["cards"].as_array().unwrap();
        let shaft = cards.iter().find(|card| card["serial"] == "PE-1").unwrap();
        assert_eq!(shaft["verdict"], "rework");
        let runout = &shaft["items"][0];
        assert_eq!((&runout["key"], &runout["verdict"]), (&json!("runout"), &json!("rework")));
        assert_eq!(runout["at"][0]["found_mm"], json!(0.045));
        let seals = cards.iter().find(|card| card["serial"] == "PSS-1").unwrap();
        let load = seals["items"].as_array().unwrap().iter().find(|i| i["key"] == "apex_load");
        assert_eq!(load.unwrap()["at"][1]["found_n"], json!(31.0));
        assert_eq!(all["order"].as_array().unwrap().len(), 6);
    }
}
