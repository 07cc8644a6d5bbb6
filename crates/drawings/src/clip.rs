//! Cutting lines and areas off at the edges of a box on the sheet.

use crate::places::Area;

type Point = (f64, f64);

/// The part of a line inside a box, from and to as fractions of it; the way of Liang and Barsky, from memory.
pub(crate) fn inside((x0, y0): Point, (x1, y1): Point, area: Area) -> Option<(f64, f64)> {
    let (dx, dy) = (x1 - x0, y1 - y0);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-dx, x0 - area.0), (dx, area.2 - x0), (-dy, y0 - area.1), (dy, area.3 - y0)] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    (from <= to).then_some((from, to))
}

/// The pieces of a line that lie inside a box.
pub(crate) fn polyline(points: &[Point], area: Area) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut goes_on = false;
    for pair in points.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let Some((from, to)) = inside(a, b, area) else {
            goes_on = false;
            continue;
        };
        let at = |part: f64| (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part);
        match pieces.last_mut() {
            Some(piece) if goes_on && from == 0.0 => piece.push(at(to)),
            _ => pieces.push(vec![at(from), at(to)]),
        }
        goes_on = to == 1.0;
    }
    pieces
}

/// An area cut to a box, edge by edge; the way of Sutherland and
/// Hodgman, from memory.
pub(crate) fn polygon(points: &[Point], area: Area) -> Vec<Point> {
    // Each edge as what must not be negative.
    let edges: [fn(Point, Area) -> f64; 4] =
        [|p, a| p.0 - a.0, |p, a| a.2 - p.0, |p, a| p.1 - a.1, |p, a| a.3 - p.1];
    let mut all = points.to_vec();
    for edge in edges {
        let mut cut = Vec::new();
        for (n, b) in all.iter().enumerate() {
            let a = all[(n + all.len() - 1) % all.len()];
            let (before, here) = (edge(a, area), edge(*b, area));
            if (before < 0.0) != (here < 0.0) {
                let part = before / (before - here);
                cut.push((a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part));
            }
            if here >= 0.0 {
                cut.push(*b);
            }
        }
        all = cut;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOX: Area = (0.0, 0.0, 10.0, 10.0);

    #[test]
    fn a_line_that_leaves_and_comes_back_is_two_pieces() {
        let pieces = polyline(&[(5.0, 5.0), (15.0, 5.0), (15.0, 8.0), (5.0, 8.0)], BOX);
        assert_eq!(pieces, [vec![(5.0, 5.0), (10.0, 5.0)], vec![(10.0, 8.0), (5.0, 8.0)]]);
        assert_eq!(polyline(&[(1.0, 1.0), (2.0, 2.0), (3.0, 1.0)], BOX).len(), 1);
        assert!(polyline(&[(-1.0, 12.0), (12.0, 12.0)], BOX).is_empty());
    }

    #[test]
    fn an_area_around_the_box_becomes_the_box() {
        let around = [(-5.0, -5.0), (20.0, -5.0), (20.0, 20.0), (-5.0, 20.0)];
        let mut cut = polygon(&around, BOX);
        cut.sort_by(|a, b| a.partial_cmp(b).unwrap());
        assert_eq!(cut, [(0.0, 0.0), (0.0, 10.0), (10.0, 0.0), (10.0, 10.0)]);
        assert!(polygon(&[(11.0, 1.0), (12.0, 1.0), (12.0, 2.0)], BOX).is_empty());
    }
}
