//! A paper as a page: the same blocks as on the PDF, one way for all kinds.

use super::frame::wide;
use super::picture::inline;
use maud::{Markup, html};
use paper::{Block, Cell, Column, Paper, Picture, Table};

/// The blocks of a paper, below a heading of the page itself.
pub(super) fn shown(paper: &Paper) -> Markup {
    html! { div.paper-page { @for block in &paper.blocks { (put(block)) } } }
}

fn put(block: &Block) -> Markup {
    html! {
        @match block {
            Block::Heading { level: 1, text } => h3 { (text) },
            Block::Heading { text, .. } => h4 { (text) },
            Block::Text { text } => p { (text) },
            Block::Caution { texts } => div.framed { @for text in texts { p { (text) } } },
            Block::Facts { facts } => dl.facts { @for fact in facts { dt { (fact.what) } dd { (fact.is) } } },
            Block::Steps { from, steps } => ol start=(from) { @for step in steps { li { (step) } } },
            Block::List { items } => ul { @for item in items { li { (item) } } },
            Block::Table(table) => (figures(table)),
            Block::Picture(one) => (drawn(one)),
            Block::Lines { labels } => p.lines { @for label in labels { span.to-write { span.line {} (label) } } },
            Block::NewPage => div.new-page {},
        }
    }
}

fn drawn(picture: &Picture) -> Markup {
    inline(&picture.svg, None)
}

fn head(column: &Column) -> Markup {
    html! {
        @if column.head.is_empty() { td {} }
        @else if column.figures { th.n scope="col" { (column.head) } }
        @else { th scope="col" { (column.head) } }
    }
}

fn figures(table: &Table) -> Markup {
    html! {
        (wide(&table.caption, html! {
            table.boxes {
                caption { (table.caption) }
                thead { tr { @for column in &table.columns { (head(column)) } } }
                tbody { @for row in &table.rows { tr { @for (i, one) in row.iter().enumerate() { (cell(i, one)) } } } }
            }
        }))
        @if let Some(note) = &table.note { p.hint { (note) } }
    }
}

fn cell(column: usize, cell: &Cell) -> Markup {
    let both = |own: &str, other: &Option<String>| {
        html! { span.whole { (own) } @if let Some(other) = other { " " span.whole { "(" (other) ")" } } }
    };
    html! {
        @match cell {
            Cell::Words(words) if column == 0 => th scope="row" { (words) },
            Cell::Words(words) => td { (words) },
            Cell::Figure(own, other) => td.n { (both(own, other)) },
            Cell::Strong(own, other) => td.n { strong { (both(own, other)) } },
            Cell::Room => td.box {},
            Cell::Empty => td {},
        }
    }
}
