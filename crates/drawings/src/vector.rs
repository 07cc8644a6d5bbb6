//! Arrows of balancing: what each stands for is told by its line and its head.

use crate::sheet::{Sheet, outline, ring};

/// What an arrow stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VectorKind {
    /// Read, or there, before anything was done.
    AsFound,
    /// Read with a trial in place.
    WithTrial,
    /// What the trial alone does.
    EffectOfTrial,
    /// What is to be done, or what it does.
    Correction,
    /// What is left over after it.
    LeftOver,
    /// What a plane needs.
    Needed,
    /// What a plane has.
    Present,
}

type Point = (f64, f64);

/// Length of a head, where its arrow has room for it.
const HEAD: f64 = 13.0;
/// Half the width of a hollow arrow and of a double line.
const HALF: f64 = 3.0;
/// From one rung of a hollow arrow to the next, and no more of them than a sheet is wide.
const RUNG: f64 = 6.0;
const MOST_RUNGS: f64 = 200.0;
/// An arrow shorter than this on the sheet is a ring.
pub(crate) const SHORT: f64 = 3.0;

impl VectorKind {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::AsFound,
        Self::WithTrial,
        Self::EffectOfTrial,
        Self::Correction,
        Self::LeftOver,
        Self::Needed,
        Self::Present,
    ];

    /// In words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::WithTrial => "with trial",
            Self::EffectOfTrial => "effect of trial",
            Self::Correction => "correction",
            Self::LeftOver => "left over",
            Self::Needed => "needed",
            Self::Present => "present",
        }
    }

    /// The class of its head.
    const fn head(self) -> &'static str {
        match self {
            Self::AsFound | Self::WithTrial | Self::LeftOver | Self::Present => "ink",
            Self::EffectOfTrial | Self::Needed => "plain-mark",
            Self::Correction => "paper",
        }
    }

    /// Draws it between two points; without its head where it goes on beyond the second.
    pub(crate) fn draw(self, sheet: &mut Sheet, from: Point, to: Point, goes_on: bool) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = dx.hypot(dy);
        if long < SHORT && !goes_on {
            sheet.path(&ring(to, 4.0, 0.0), "plain-mark");
            return;
        }
        if long <= 0.0 {
            return;
        }
        let head = if goes_on { 0.0 } else { HEAD.min(0.7 * long) };
        // A point so far before the end and so far beside the line.
        let at = |before: f64, beside: f64| {
            let (ux, uy) = (dx / long, dy / long);
            (to.0 - before * ux - beside * uy, to.1 - before * uy + beside * ux)
        };
        let wide = 0.38 * head;
        let line = [from, at(head, 0.0)];
        // What a plane needs and has nearly cover each other: neither hides the other.
        if !matches!(self, Self::Needed | Self::Present) {
            sheet.path(&outline(&line, false), "halo");
        }
        match self {
            Self::AsFound => sheet.path(&outline(&line, false), "curve"),
            Self::WithTrial => sheet.path(&outline(&line, false), "curve-dashed"),
            Self::EffectOfTrial => sheet.path(&outline(&line, false), "thin"),
            Self::LeftOver => sheet.path(&outline(&line, false), "reach"),
            Self::Needed => sheet.path(&outline(&line, false), "teeth"),
            Self::Present => {
                for beside in [-HALF, HALF] {
                    sheet.line(at(long, beside), at(head, beside), "thin");
                }
            }
            Self::Correction => {
                let mut shape = vec![at(long, -HALF), at(head, -HALF)];
                if !goes_on {
                    shape.extend([at(head, -wide - 1.5), to, at(head, wide + 1.5)]);
                }
                shape.extend([at(head, HALF), at(long, HALF)]);
                let d = outline(&shape, true);
                sheet.path(&d, "paper");
                sheet.path(&d, "thin");
                // Rungs slanting against the bar, whatever way it points.
                let rungs = ((long - head) / RUNG).min(MOST_RUNGS).floor() as u32;
                let d = (0..rungs).fold(String::new(), |d, n| {
                    let before = head + RUNG * f64::from(n);
                    d + &outline(&[at(before, -HALF), at(before + HALF, HALF)], false)
                });
                sheet.path(&d, "thin");
                return;
            }
        }
        if !goes_on {
            let corners = [to, at(head, wide), at(head, -wide)];
            sheet.path(&outline(&corners, true), self.head());
        }
    }

    /// A sample of it in a table, `wide` long from its left end.
    pub(crate) fn sample(self, sheet: &mut Sheet, (x, y): Point, wide: f64) {
        self.draw(sheet, (x, y), (x + wide, y), false);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;
    use crate::origin::Origin;

    /// Without colour: no two kinds are drawn by the same classes and as many lines.
    #[test]
    fn every_kind_has_a_line_and_head_of_its_own() {
        let drawn = |kind: VectorKind| {
            let mut sheet = Sheet::new("test", &Options::default());
            kind.sample(&mut sheet, (10.0, 10.0), 60.0);
            let svg = sheet.close(40.0, "t", &[], &Origin::default());
            let body = svg.split_once("<rect").unwrap().1;
            let classes = body.split("class=\"").skip(2).map(|part| part.split('"').next());
            classes.map(|c| c.unwrap().to_owned()).take_while(|c| c != "faint").collect::<Vec<_>>()
        };
        for (n, kind) in VectorKind::ALL.into_iter().enumerate() {
            for other in &VectorKind::ALL[n + 1..] {
                assert_ne!(drawn(kind), drawn(*other), "{kind:?} {other:?}");
            }
        }
    }

    #[test]
    fn an_arrow_without_length_is_a_ring() {
        let mut sheet = Sheet::new("test", &Options::default());
        VectorKind::AsFound.draw(&mut sheet, (5.0, 5.0), (5.0, 5.0), false);
        let svg = sheet.close(40.0, "t", &[], &Origin::default());
        assert!(svg.contains("<path class=\"plain-mark\""));
    }
}
