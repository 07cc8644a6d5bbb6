//! What became of the used parts, on paper: each with its verdict and what decided it.

use super::cells::words;
use crate::ops::phrase::capitalised;
use crate::ops::{CardReport, CardVerdict, ConditionReport};
use paper::{Block, Cell, Column, Table};

/// The table of used parts; nothing where the engine's record says nothing of them.
pub(super) fn table(report: &ConditionReport) -> Option<Block> {
    let judged = report.cards.iter().filter(|card| card.verdict != CardVerdict::NoLimits);
    let rows: Vec<Vec<Cell>> = judged.map(row).collect();
    if rows.is_empty() {
        return None;
    }
    let heads = ["part", "verdict", "by what", "ordered"];
    Some(Block::Table(Table {
        caption: "Used parts as they were found".to_owned(),
        columns: heads.map(|head| Column { head: head.to_owned(), figures: false }).to_vec(),
        rows,
        note: Some("Limits are those of the shop's own engine record.".to_owned()),
    }))
}

fn row(card: &CardReport) -> Vec<Cell> {
    let notes: Vec<String> = card
        .items
        .iter()
        .filter(|item| !item.note.is_empty())
        .map(|item| format!("{}: {}", item.item.name, item.note))
        .collect();
    let or_empty = |all: &[String]| match all {
        [] => Cell::Empty,
        all => words(all.join("; ")),
    };
    vec![
        words(format!("{} {}", capitalised(card.part.words()), card.serial)),
        words(card.verdict.words()),
        or_empty(&notes),
        or_empty(&card.order),
    ]
}
