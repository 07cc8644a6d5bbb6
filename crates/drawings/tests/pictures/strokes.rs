//! What is drawn in a picture, as runs of straight lines: whether it stays inside, and whether a
//! stroke goes through a word.

use crate::legible::{Ink, inks};
use roxmltree::{Document, Node};

type Point = (f64, f64);

/// A drawn outline with the class of its look.
struct Run {
    class: String,
    points: Vec<Point>,
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn circle((x, y): Point, r: f64) -> Vec<Point> {
    let at = |n: i32| (f64::from(n) * 5.0).to_radians().sin_cos();
    (0..=72).map(at).map(|(sin, cos)| (x + r * cos, y + r * sin)).collect()
}

/// The pieces of a path: boxes, circles from their left ends, and runs of straight lines.
fn pieces(d: &str) -> Vec<Vec<Point>> {
    let piece = |piece: &str| {
        let numbers: Vec<f64> = piece
            .split([' ', ',', 'z', 'h', 'v', 'a'])
            .filter(|n| !n.is_empty())
            .map(|n| n.parse().unwrap())
            .collect();
        if piece.contains('h') {
            let [x, y, w, h] = numbers[..4] else { panic!("{d}") };
            return vec![(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)];
        }
        if piece.contains('a') {
            return circle((numbers[0] + numbers[2], numbers[1]), numbers[2]);
        }
        let mut points: Vec<Point> = numbers.chunks(2).map(|at| (at[0], at[1])).collect();
        if piece.ends_with('z') {
            points.push(points[0]);
        }
        points
    };
    d.split('M').filter(|p| !p.is_empty()).map(piece).collect()
}

fn runs(document: &Document<'_>) -> Vec<Run> {
    let mut all = Vec::new();
    for node in document.descendants() {
        if node.ancestors().any(|a| a.has_tag_name("pattern")) {
            continue;
        }
        let class = node.attribute("class").unwrap_or_default().to_owned();
        if node.has_tag_name("circle") {
            let middle = (number(node, "cx"), number(node, "cy"));
            all.push(Run { class, points: circle(middle, number(node, "r")) });
        } else if node.has_tag_name("path") {
            for points in pieces(node.attribute("d").unwrap()) {
                all.push(Run { class: class.clone(), points });
            }
        }
    }
    all
}

/// What reaches outside of the view box.
pub(crate) fn outside(svg: &str) -> Vec<String> {
    let document = Document::parse(svg).unwrap();
    let root = document.root_element();
    let (w, h) = (number(root, "width"), number(root, "height"));
    let is_out = |p: &Point| !((0.0..=w).contains(&p.0) && (0.0..=h).contains(&p.1));
    runs(&document)
        .into_iter()
        .filter_map(|run| {
            let point = run.points.iter().copied().find(is_out)?;
            Some(format!("{} {point:?} in {w} {h}", run.class))
        })
        .collect()
}

/// Whether a line goes through the middle of a word's room: its upper and lower edges may be
/// grazed, as no letter fills them.
fn goes_through(a: Point, b: Point, ink: &Ink<'_>) -> bool {
    let steps = (b.0 - a.0).hypot(b.1 - a.1).ceil().max(1.0) as u32;
    (0..=steps).any(|n| {
        let part = f64::from(n) / f64::from(steps);
        let (x, y) = (a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1));
        ink.left + 1.0 < x && x < ink.right - 1.0 && ink.top + 1.0 < y && y < ink.bottom - 2.0
    })
}

/// Words that a stroke goes through; the paper and plain areas have none.
pub(crate) fn crossed(svg: &str) -> Vec<String> {
    let document = Document::parse(svg).unwrap();
    let words = inks(&document);
    let mut all = Vec::new();
    for run in runs(&document) {
        if ["", "paper", "metal", "open", "halo", "wanted-under"].contains(&run.class.as_str()) {
            continue;
        }
        for ink in &words {
            if run.points.windows(2).any(|pair| goes_through(pair[0], pair[1], ink)) {
                all.push(format!("{} through {}", run.class, ink.text));
            }
        }
    }
    all
}

#[test]
fn what_lies_outside_or_through_a_word_is_found() {
    let svg = |inside: &str| {
        format!(
            "<svg width=\"100\" height=\"100\">{inside}<text x=\"10\" y=\"50\" class=\"plain\">word</text></svg>"
        )
    };
    let line = |d: &str| svg(&format!("<path class=\"thin\" d=\"{d}\"/>"));
    assert_eq!(crossed(&line("M20,20 20,80")), ["thin through word"]);
    assert_eq!(crossed(&line("M5,20 5,80")), [""; 0]);
    assert_eq!(crossed(&line("M5,45h90v20h-90z")), ["thin through word"]);
    assert_eq!(crossed(&svg("<circle class=\"edge\" cx=\"20\" cy=\"45\" r=\"60\"/>")), [""; 0]);
    assert_eq!(outside(&svg("<circle class=\"edge\" cx=\"20\" cy=\"45\" r=\"60\"/>")).len(), 1);
    assert_eq!(outside(&line("M5,20 5,180")).len(), 1);
    assert_eq!(outside(&line("M5,45h90v20h-90z")), [""; 0]);
}
