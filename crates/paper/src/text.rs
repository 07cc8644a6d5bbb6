//! A paper as plain text: to be compared, line by line, with another version of it.

use crate::model::{Block, Cell, Paper, Table};
use std::fmt::Write as _;

impl Paper {
    /// The paper as text, a line for each row, step or fact; pictures by their words.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{}, {}\n{}, {}\n", self.title, self.of, self.mark, self.day);
        for block in &self.blocks {
            put(&mut text, block);
        }
        text
    }
}

fn put(text: &mut String, block: &Block) {
    let mut line = |line: &str| {
        let _ = writeln!(text, "{line}");
    };
    match block {
        Block::Heading { text, .. } => line(&format!("\n# {text}")),
        Block::Text { text } => line(text),
        Block::Caution { texts } => texts.iter().for_each(|text| line(&format!("! {text}"))),
        Block::Facts { facts } => {
            facts.iter().for_each(|fact| line(&format!("{}: {}", fact.what, fact.is)));
        }
        Block::Steps { from, steps } => {
            steps.iter().zip(*from..).for_each(|(step, n)| line(&format!("{n}. {step}")));
        }
        Block::List { items } => items.iter().for_each(|item| line(&format!("- {item}"))),
        Block::Table(table) => table_text(table, line),
        Block::Picture(picture) => line(&format!("[{}]", picture.words)),
        Block::Lines { labels } => line(&format!("______ {}", labels.join(" ______ "))),
        Block::NewPage => line("\n---"),
    }
}

fn table_text(table: &Table, mut line: impl FnMut(&str)) {
    line(&format!("\n{}", table.caption));
    let heads: Vec<&str> = table.columns.iter().map(|column| column.head.as_str()).collect();
    line(&heads.join(" | "));
    for row in &table.rows {
        let cells: Vec<String> = row.iter().map(cell).collect();
        line(&cells.join(" | "));
    }
    if let Some(note) = &table.note {
        line(note);
    }
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Words(words) => words.clone(),
        Cell::Figure(own, Some(other)) | Cell::Strong(own, Some(other)) => {
            format!("{own} ({other})")
        }
        Cell::Figure(own, None) | Cell::Strong(own, None) => own.clone(),
        Cell::Room => "____".to_owned(),
        Cell::Empty => String::new(),
    }
}
