//! The wear map: one wall of a rotor's chamber with the places where lands and tips rub on it,
//! each mark as large as its share of the wear.
//!
//! Seen from the rotor, so that it can be held beside the wall of an engine taken apart. From
//! there the front wall shows the long axis of the bore as seen from the rear, the rear wall
//! shows it mirrored.

use crate::arrow;
use crate::columns::{Cell, Columns};
use crate::legend::Legend;
use crate::number::round_down;
use crate::options::Options;
use crate::origin::Origin;
use crate::scale::{figure, percent};
use crate::scale_bar;
use crate::sheet::{Anchor, Sheet, WIDTH, boxed, outline, ring};
use crate::side_gap::Touch;
use crate::text::{Type, width};
use kernel::units::{Length, Speed};

/// Which wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wall {
    /// In front of the rotor.
    Front,
    /// Behind it.
    Rear,
}

/// A point of a wall in the engine's axes, from the shaft's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallPoint {
    /// Along the long axis of the bore.
    pub x: Length,
    /// Towards the hot waist.
    pub y: Length,
}

/// Where something rubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// The place.
    pub at: WallPoint,
    /// What rubs there.
    pub part: Touch,
    /// Its share of the rotor's whole wear work on both walls, 0 to 1.
    pub share: f64,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct WearMap {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// Whether the shaft was taken from the engine's sizes.
    pub assumed_shaft: bool,
    /// At which speed of the shaft.
    pub speed: Speed,
    /// Which wall.
    pub wall: Wall,
    /// The bore's outline, in order around; it is closed by itself.
    pub bore: Vec<WallPoint>,
    /// Inner and outer radius, about the shaft's axis, of the ring that the land sweeps.
    pub land_track: (Length, Length),
    /// The paths of the tips, each in order and closed by itself.
    pub tip_paths: Vec<Vec<WallPoint>>,
    /// Where it rubs; none: nowhere.
    pub contacts: Vec<Contact>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Room for the bore on the sheet.
const WIDE: f64 = 680.0;
const HIGH: f64 = 500.0;
/// Radius of the arrow that shows which way the shaft turns.
const TURN: f64 = 26.0;
/// Area on the sheet of the largest mark, and of all together.
const LARGEST: f64 = 520.0;
const TOGETHER: f64 = 12_000.0;

impl Wall {
    const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }

    /// Which way `x` runs on the sheet.
    const fn hand(self) -> f64 {
        match self {
            Self::Front => 1.0,
            Self::Rear => -1.0,
        }
    }
}

/// Where the wall stands on the sheet.
struct View {
    centre: (f64, f64),
    per_m: f64,
    hand: f64,
}

impl View {
    fn at(&self, point: WallPoint) -> (f64, f64) {
        let (cx, cy) = self.centre;
        (cx + self.hand * point.x.to_m() * self.per_m, cy - point.y.to_m() * self.per_m)
    }

    fn all(&self, points: &[WallPoint]) -> String {
        outline(&points.iter().map(|p| self.at(*p)).collect::<Vec<_>>(), true)
    }
}

/// A contact's mark around a point: a square for the land, a triangle for a tip.
fn shape(part: Touch, (x, y): (f64, f64), area: f64) -> String {
    let at = |dx: f64, dy: f64| (x + dx, y + dy);
    match part {
        Touch::Land => {
            let side = area.sqrt();
            boxed(x - 0.5 * side, y - 0.5 * side, side, side)
        }
        Touch::Tip => {
            // Equilateral: its area is sqrt(3)/4 of the square over a side.
            let side = (area * 4.0 / 3f64.sqrt()).sqrt();
            let high = 0.5 * 3f64.sqrt() * side;
            let third = high / 3.0;
            let corners = [at(0.0, -2.0 * third), at(0.5 * side, third), at(-0.5 * side, third)];
            outline(&corners, true)
        }
    }
}

/// The four sides of a wall, by the direction from the shaft's axis.
const SIDES: [&str; 4] = ["end at +x", "hot waist", "end at \u{2212}x", "cold waist"];

fn side(at: WallPoint) -> usize {
    let (x, y) = (at.x.to_m(), at.y.to_m());
    match (x.abs() >= y.abs(), x >= 0.0, y >= 0.0) {
        (true, true, _) => 0,
        (false, _, true) => 1,
        (true, false, _) => 2,
        (false, _, false) => 3,
    }
}

impl WearMap {
    fn title(&self) -> String {
        format!("Wear map: {} wall of rotor {}", self.wall.name(), self.serial)
    }

    fn orientation(&self) -> String {
        let (mirrored, turns) = match self.wall {
            Wall::Front => {
                ("the long axis as seen from the rear: +x on the right", "anticlockwise")
            }
            Wall::Rear => ("so the picture is mirrored: +x on the left", "clockwise"),
        };
        format!(
            "At {} rpm. Seen from the rotor, {mirrored}; the shaft turns {turns}.",
            figure(self.speed.to_rpm(), 0)
        )
    }

    /// Contacts that have a share, the largest first.
    fn ranked(&self) -> Vec<&Contact> {
        let mut all: Vec<&Contact> = self.contacts.iter().filter(|c| c.share > 0.0).collect();
        all.sort_by(|a, b| b.share.total_cmp(&a.share));
        all
    }

    fn share(&self, of: impl Fn(&Contact) -> bool) -> f64 {
        self.ranked().into_iter().filter(|c| of(c)).map(|c| c.share).sum()
    }

    /// Area on the sheet of a share of one.
    fn area_per_share(&self) -> f64 {
        let most = self.ranked().first().map_or(1.0, |c| c.share);
        (LARGEST / most).min(TOGETHER / self.share(|_| true).max(most))
    }

    /// What rubs where, in words.
    fn findings(&self) -> Vec<String> {
        let ranked = self.ranked();
        let Some(largest) = ranked.first() else {
            return vec![format!("No contact on the {} wall.", self.wall.name())];
        };
        let of = |part: Touch| percent(self.share(|c| c.part == part));
        let sides: Vec<String> = SIDES
            .iter()
            .enumerate()
            .map(|(n, name)| format!("{name} {}", percent(self.share(|c| side(c.at) == n))))
            .collect();
        vec![
            format!(
                "Of the rotor's wear work on both walls, {} is on this one: lands {}, tips {}.",
                percent(self.share(|_| true)),
                of(Touch::Land),
                of(Touch::Tip)
            ),
            format!("By sides: {}.", sides.join(", ")),
            format!(
                "Largest mark: {}, {}, at x {} mm, y {} mm.",
                part_name(largest.part),
                percent(largest.share),
                figure(largest.at.x.to_mm(), 1),
                figure(largest.at.y.to_mm(), 1)
            ),
        ]
    }

    fn view(&self, top: f64) -> View {
        let reach = |of: fn(&WallPoint) -> Length| {
            self.bore.iter().map(|p| of(p).abs().to_m()).fold(self.land_track.1.to_m(), f64::max)
        };
        let (x_m, y_m) = (reach(|p| p.x).max(1e-6), reach(|p| p.y).max(1e-6));
        let per_m = (0.5 * WIDE / x_m).min(0.5 * HIGH / y_m);
        View { centre: (0.5 * WIDTH, top + y_m * per_m), per_m, hand: self.wall.hand() }
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("wear-map", options);
        let mut under = vec![self.orientation()];
        under.extend(self.findings());
        let top = sheet.heading(&self.title(), &under) + 22.0;
        let view = self.view(top);
        let (cx, cy) = view.centre;
        let bottom = 2.0 * cy - top;
        sheet.text(cx, top - 8.0, Type::Strong, Anchor::Middle, "hot waist");
        sheet.text(cx, bottom + 18.0, Type::Small, Anchor::Middle, "cold waist");
        let side = 0.5 * WIDE + 14.0;
        for (x, name) in [(1.0, "+x"), (-1.0, "\u{2212}x")] {
            let x = x * view.hand;
            let anchor = if x > 0.0 { Anchor::Start } else { Anchor::End };
            sheet.text(cx + x * side, cy + 5.0, Type::Small, anchor, name);
        }
        self.draw_wall(&mut sheet, &view);
        self.draw_contacts(&mut sheet, &view);
        scale_bar::draw(&mut sheet, view.per_m, bottom + 26.0, options.system);
        let mut y = self.draw_legend(&mut sheet, bottom + 62.0) + 4.0;
        y = sheet.notes(y, &self.notes);
        let mut sentences = under;
        sentences.extend(self.notes.iter().cloned());
        let foot = self.origin.at_speed(self.assumed_shaft);
        sheet.close_with(y, &self.title(), &sentences, &foot)
    }

    fn draw_wall(&self, sheet: &mut Sheet, view: &View) {
        let (inner, outer) = self.land_track;
        let px = |radius: Length| radius.to_m().max(0.0) * view.per_m;
        let track = ring(view.centre, px(outer), px(inner));
        sheet.path(&ring(view.centre, px(outer), 0.0), "metal");
        if inner > Length::ZERO {
            sheet.path(&ring(view.centre, px(inner), 0.0), "paper");
        }
        sheet.path(&track, "thin");
        for path in &self.tip_paths {
            sheet.path(&view.all(path), "dashed");
        }
        sheet.path(&view.all(&self.bore), "edge");
        let (x, y) = view.centre;
        for (dx, dy) in [(10.0, 0.0), (0.0, 10.0)] {
            sheet.line((x - dx, y - dy), (x + dx, y + dy), "thin");
        }
        // Three quarters of a turn, the way the shaft goes as seen here.
        let on = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            (x + view.hand * TURN * cos, y - TURN * sin)
        };
        let arc: Vec<_> = (0..=27).map(|n| on(f64::from(n) * 10.0)).collect();
        sheet.path(&outline(&arc, false), "thin");
        let (before, after) = (on(268.0), on(272.0));
        arrow::head(sheet, on(270.0), (after.0 - before.0, after.1 - before.1));
    }

    fn draw_contacts(&self, sheet: &mut Sheet, view: &View) {
        let per_share = self.area_per_share();
        let ranked = self.ranked();
        for contact in &ranked {
            let area = contact.share * per_share;
            // A border would make a small mark larger than its share.
            let class = match contact.part {
                _ if area < 30.0 => "ink",
                Touch::Land => "good",
                Touch::Tip => "bad",
            };
            sheet.path(&shape(contact.part, view.at(contact.at), area), class);
        }
        if ranked.is_empty() {
            let words = "No contact on this wall";
            let wide = width(words, Type::Strong);
            let (x, y) = (view.centre.0, view.centre.1 + 66.0);
            let plate = boxed(x - 0.5 * wide - 12.0, y - 21.0, wide + 24.0, 32.0);
            sheet.path(&plate, "plain-mark");
            sheet.text(x, y, Type::Strong, Anchor::Middle, words);
        }
    }

    fn draw_legend(&self, sheet: &mut Sheet, y: f64) -> f64 {
        let mut legend = Legend::new(y, 44.0);
        let (x, middle) = legend.entry(sheet, "bore");
        sheet.line((x, middle), (x + 36.0, middle), "edge");
        let (x, middle) = legend.entry(sheet, "swept by the land");
        let swatch = boxed(x + 4.0, middle - 7.0, 28.0, 14.0);
        sheet.path(&swatch, "metal");
        sheet.path(&swatch, "thin");
        if !self.tip_paths.is_empty() {
            let (x, middle) = legend.entry(sheet, "path of the tips");
            sheet.line((x, middle), (x + 36.0, middle), "dashed");
        }
        let ranked = self.ranked();
        for part in [Touch::Land, Touch::Tip] {
            let Some(most) = ranked.iter().find(|c| c.part == part) else { continue };
            // No higher than a line of the legend.
            let share = round_down(most.share.min(220.0 / self.area_per_share()));
            let area = share * self.area_per_share();
            let words =
                format!("{} rubs: this area {} of the wear", part_name(part), shown_share(share));
            let (x, middle) = legend.entry(sheet, &words);
            let class = match part {
                _ if area < 30.0 => "ink",
                Touch::Land => "good",
                Touch::Tip => "bad",
            };
            sheet.path(&shape(part, (x + 18.0, middle), area), class);
        }
        legend.end()
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns =
            Columns::new(&["what", "rotor", "wall", "x_mm", "y_mm", "radius_mm", "share_percent"]);
        let (serial, wall) = (Cell::Words(&self.serial), Cell::Words(self.wall.name()));
        for (what, radius) in
            [("land track, inner", self.land_track.0), ("land track, outer", self.land_track.1)]
        {
            let radius = Cell::Figure(radius.to_mm(), 3);
            columns.row(&[Cell::Words(what), serial, wall, Cell::Empty, Cell::Empty, radius]);
        }
        let mut point = |what: &str, at: WallPoint, share: Option<f64>| {
            columns.row(&[
                Cell::Words(what),
                serial,
                wall,
                Cell::Figure(at.x.to_mm(), 3),
                Cell::Figure(at.y.to_mm(), 3),
                Cell::Empty,
                Cell::maybe(share.map(|s| 100.0 * s), 5),
            ]);
        };
        for contact in &self.contacts {
            let what = format!("{} rubs", part_name(contact.part));
            point(&what, contact.at, Some(contact.share));
        }
        self.bore.iter().for_each(|p| point("bore", *p, None));
        for (n, path) in self.tip_paths.iter().enumerate() {
            path.iter().for_each(|p| point(&format!("tip path {}", n + 1), *p, None));
        }
        columns.into_text()
    }
}

const fn part_name(part: Touch) -> &'static str {
    match part {
        Touch::Land => "land",
        Touch::Tip => "tip",
    }
}

/// A round share, with the decimals it has.
fn shown_share(share: f64) -> String {
    let percent = 100.0 * share;
    let decimals = (1.0 - percent.log10().floor()).clamp(0.0, 6.0) as usize;
    let text = figure(percent, decimals);
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    format!("{text} %")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rear_wall_is_mirrored_and_the_hot_waist_stays_on_top() {
        let at = |wall: Wall| {
            let view = View { centre: (0.0, 0.0), per_m: 1000.0, hand: wall.hand() };
            view.at(WallPoint { x: Length::mm(10.0), y: Length::mm(5.0) })
        };
        assert_eq!(at(Wall::Front), (10.0, -5.0));
        assert_eq!(at(Wall::Rear), (-10.0, -5.0));
    }

    #[test]
    fn both_shapes_have_the_area_they_are_given() {
        for part in [Touch::Land, Touch::Tip] {
            let d = shape(part, (100.0, 100.0), 300.0);
            let area = match part {
                Touch::Land => {
                    let side: f64 = d.split(['h', 'v']).nth(1).unwrap().parse().unwrap();
                    side * side
                }
                Touch::Tip => {
                    let points: Vec<f64> = d
                        .trim_matches(['M', 'z'])
                        .split([' ', ','])
                        .map(|v| v.parse().unwrap())
                        .collect();
                    0.5 * ((points[2] - points[4]) * (points[3] - points[1])).abs()
                }
            };
            assert!((area - 300.0).abs() < 1.0, "{part:?}: {area}");
        }
    }

    #[test]
    fn a_round_share_keeps_its_figures() {
        let said = [0.3, 0.025, 0.000_4].map(shown_share);
        assert_eq!(said, ["30 %", "2.5 %", "0.04 %"]);
    }
}
