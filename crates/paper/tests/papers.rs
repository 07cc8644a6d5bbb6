//! The press asked from outside: every kind of block, letters that the font lacks, and what it
//! refuses.

use paper::{Block, Cell, Column, Fact, PageSize, Paper, Picture, Table};

const SVG: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 10 10\" width=\"10\" \
                   height=\"10\"><text x=\"1\" y=\"8\">R-1</text></svg>";

fn picture() -> Picture {
    Picture { words: "a rotor".to_owned(), svg: SVG.to_owned(), percent: 40 }
}

fn paper(blocks: Vec<Block>) -> Paper {
    Paper {
        title: "Cut sheet".to_owned(),
        of: "Merganser".to_owned(),
        mark: "abc".to_owned(),
        day: "2026-11-28".to_owned(),
        size: PageSize::A4,
        blocks,
    }
}

fn table(rows: Vec<Vec<Cell>>) -> Block {
    let column = |head: &str, figures| Column { head: head.to_owned(), figures };
    Block::Table(Table {
        caption: "Sizes".to_owned(),
        columns: vec![column("", false), column("aim", true), column("got", true)],
        rows,
        note: Some("read at 20 \u{b0}C".to_owned()),
    })
}

fn every_block() -> Vec<Block> {
    let text = |text: &str| text.to_owned();
    vec![
        Block::Heading { level: 1, text: text("Set-up 1") },
        Block::Heading { level: 2, text: text("Land") },
        Block::Text { text: text("A # sentence with *stars* and $signs$.") },
        Block::Caution { texts: vec![text("Iron dust."), text("Thin walls.")] },
        Block::Facts { facts: vec![Fact { what: text("Part"), is: text("R-1") }] },
        Block::Steps { from: 3, steps: vec![text("Lay it."), text("Touch it.")] },
        Block::List { items: vec![text("one"), text("two")] },
        table(vec![
            vec![
                Cell::Words(text("land width")),
                Cell::Strong(text("79.788 mm"), Some(text("3.1413 in"))),
                Cell::Room,
            ],
            vec![Cell::Words(text("step")), Cell::Figure(text("127 \u{b5}m"), None), Cell::Empty],
        ]),
        Block::Picture(picture()),
        Block::Lines { labels: vec![text("by, on"), text("machine")] },
        Block::NewPage,
        Block::Text { text: text("The end.") },
    ]
}

#[test]
fn every_block_is_set_and_the_same_paper_gives_the_same_bytes() {
    for size in [PageSize::A4, PageSize::Letter] {
        let paper = Paper { size, ..paper(every_block()) };
        let pdf = paper.pdf().unwrap();
        assert!(pdf.starts_with(b"%PDF-1.7"));
        assert_eq!(pdf, paper.pdf().unwrap());
    }
}

#[test]
fn a_paper_comes_back_from_json_as_it_was() {
    let paper = paper(every_block());
    let json = serde_json::to_string(&paper).unwrap();
    assert_eq!(serde_json::from_str::<Paper>(&json).unwrap(), paper);
}

#[test]
fn a_name_in_any_letters_can_be_printed() {
    for name in
        ["\u{6f22}\u{5b57}", "\u{1f6a4} boat", "\u{5d0}\u{5d1}", "a\u{0}b", "\u{202e}x", "<b>&\"'"]
    {
        let mut paper = paper(vec![Block::Text { text: format!("Built for {name}.") }]);
        paper.of = name.to_owned();
        assert!(paper.pdf().is_ok(), "{name:?}: {:?}", paper.pdf().err());
    }
}

#[test]
fn what_cannot_be_set_is_refused_with_the_papers_name() {
    let broken = Picture { svg: "<svg".to_owned(), ..picture() };
    let error = paper(vec![Block::Picture(broken)]).pdf().unwrap_err();
    assert!(error.to_string().starts_with("Cut sheet cannot be set: "), "{error}");
}

#[test]
fn as_text_every_row_is_a_line() {
    let text = paper(every_block()).text();
    for line in ["# Set-up 1", "! Iron dust.", "Part: R-1", "4. Touch it.", "- two", "[a rotor]"] {
        assert!(text.lines().any(|l| l == line), "{line:?} in {text}");
    }
    assert!(text.contains("land width | 79.788 mm (3.1413 in) | ____\nstep | 127 \u{b5}m | \n"));
}
