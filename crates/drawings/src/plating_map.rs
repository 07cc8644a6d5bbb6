//! The map of a bore's plating: around the bore what was seen at each place, how thick the plating
//! is there and how far the bore is worn, with what becomes of it.

use crate::columns::{Cell, Columns};
use crate::legend::Legend;
use crate::mark::Mark;
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::sheet::{Anchor, Sheet, WIDTH};
use crate::station::housing::{METAL, draw_ring, evenly, outward};
use crate::station::shape::generic_bore;
use crate::text::Type;
use crate::wear_map::WallPoint;
use kernel::condition::Fate;
use kernel::units::{Length, System};

/// What is known of one place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlatingPlace {
    /// What was seen, in a word.
    pub seen: Option<String>,
    /// How thick the plating is.
    pub plating: Option<Length>,
    /// How far the bore is worn.
    pub wear: Option<Length>,
    /// The worst of what is said of these; none where nothing is.
    pub fate: Option<Fate>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PlatingMap {
    /// The housing's serial; empty where it has none yet.
    pub serial: String,
    /// The bore's outline in the engine's axes, in order around; where it is left out one like it is
    /// drawn, and that is said.
    pub bore: Option<Vec<WallPoint>>,
    /// Place by place, the first at the hot waist, then clockwise seen from the front.
    pub places: Vec<PlatingPlace>,
    /// What it belongs to.
    pub origin: Origin,
}

/// Where the ring stands from left to right, and how high.
const RING: (f64, f64) = (225.0, 575.0);
const HIGH: f64 = 330.0;
/// From one line of a label to the next, and lines of a label.
const LINE: f64 = 18.0;
const LINES: f64 = 3.0;
/// Between the ring and the labels beside it, and between two of them.
const BESIDE: f64 = 14.0;
const BETWEEN: f64 = 10.0;

/// The shape of what becomes of a place.
const fn mark(fate: Option<Fate>) -> Mark {
    match fate {
        None => Mark::Station,
        Some(Fate::Use) => Mark::Holds,
        Some(Fate::Rework | Fate::NotProven) => Mark::Unclear,
        Some(Fate::Reject) => Mark::Fails,
    }
}

/// On which side of the ring a label stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
    /// In the bore: the place on top above that at the bottom.
    Inside,
}

impl PlatingPlace {
    /// Its label, line by line.
    fn lines(&self, number: usize, first: System) -> [String; 3] {
        let seen = self.seen.as_deref().unwrap_or("not looked at");
        let thick = self.plating.map(|plating| amount(plating, first)).unwrap_or_default();
        let worn = self.wear.map(|wear| format!("worn {}", amount(wear, first)));
        [format!("{number} {seen}"), thick, worn.unwrap_or_default()]
    }

    /// The same in a sentence.
    fn sentence(&self, number: usize, first: System) -> String {
        let [seen, thick, worn] = self.lines(number, first);
        let said: Vec<String> =
            [seen, thick, worn].into_iter().filter(|line| !line.is_empty()).collect();
        let fate = self.fate.map_or("no limit given", Fate::words);
        format!("Place {}: {fate}.", said.join(", "))
    }
}

impl PlatingMap {
    fn title(&self) -> String {
        format!("Plating of the bore, rotor housing {}", self.serial).trim_end().to_owned()
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("plating-map", options);
        let from = "Seen from the front, places clockwise from the hot waist.";
        let scale = if self.bore.is_some() {
            "Outline to true shape."
        } else {
            "The bore is drawn like many."
        };
        let top = sheet.heading(&self.title(), &[format!("{from} {scale}")]);
        let generic = generic_bore();
        let bore = self.bore.as_deref().unwrap_or(&generic);
        let (view, inner) = draw_ring(&mut sheet, (RING.0, top, RING.1, top + HIGH), bore);
        let at = evenly(&outward(&inner, view.centre, 0.5 * METAL), view.centre, self.places.len());
        let half = at.iter().map(|p| (p.0 - view.centre.0).abs()).fold(0.0, f64::max);
        let side = |p: &(f64, f64)| match p.0 - view.centre.0 {
            dx if dx.abs() <= 0.2 * half => Side::Inside,
            dx if dx < 0.0 => Side::Left,
            _ => Side::Right,
        };
        for (place, p) in self.places.iter().zip(&at) {
            sheet.mark(p.0, p.1, mark(place.fate));
        }
        let mut bottom = top + HIGH;
        for wanted in [Side::Left, Side::Right, Side::Inside] {
            let mut here: Vec<(usize, (f64, f64))> =
                at.iter().copied().enumerate().filter(|(_, p)| side(p) == wanted).collect();
            here.sort_by(|a, b| a.1.1.total_cmp(&b.1.1));
            let mut free = top;
            for (n, p) in here {
                let Some(place) = self.places.get(n) else { continue };
                let (x, anchor, y) = match wanted {
                    Side::Left => (RING.0 - BESIDE, Anchor::End, p.1 - LINE),
                    Side::Right => (RING.1 + BESIDE, Anchor::Start, p.1 - LINE),
                    // Where the bore is widest.
                    Side::Inside if p.1 < view.centre.1 => {
                        (p.0, Anchor::Middle, view.centre.1 - LINES * LINE - 0.5 * BETWEEN)
                    }
                    Side::Inside => (p.0, Anchor::Middle, view.centre.1 + 0.5 * BETWEEN),
                };
                let y = y.max(free);
                free = y + LINES * LINE + BETWEEN;
                for (k, line) in place.lines(n + 1, options.system).iter().enumerate() {
                    let set = if k == 0 { Type::Strong } else { Type::Plain };
                    if !line.is_empty() {
                        sheet.text(x, y + LINE * (k as f64 + 0.5), set, anchor, line);
                    }
                }
                bottom = bottom.max(free);
            }
        }
        let mut legend = Legend::new(bottom + 26.0, 26.0);
        for (fate, words) in [
            (Some(Fate::Use), "use"),
            (Some(Fate::Rework), "rework, or not proven"),
            (Some(Fate::Reject), "reject"),
            (None, "no limit given"),
        ] {
            let (x, y) = legend.entry(&mut sheet, words);
            sheet.mark(x + 10.0, y, mark(fate));
        }
        let described: Vec<String> = (1..)
            .zip(&self.places)
            .map(|(number, place)| place.sentence(number, options.system))
            .collect();
        sheet.close(legend.end() + 4.0, &self.title(), &described, &self.origin)
    }

    /// Its data: a row for each place.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut rows = Columns::new(&["place", "seen", "plating_mm", "wear_mm", "verdict"]);
        for (number, place) in (1..).zip(&self.places) {
            let mm = |length: Option<Length>| Cell::maybe(length.map(Length::to_mm), 4);
            rows.row(&[
                Cell::Words(&number.to_string()),
                place.seen.as_deref().map_or(Cell::Empty, Cell::Words),
                mm(place.plating),
                mm(place.wear),
                place.fate.map_or(Cell::Empty, |fate| Cell::Words(fate.words())),
            ]);
        }
        rows.into_text()
    }
}

/// The labels stand outside of the ring.
const _: () = assert!(RING.0 > 215.0 && RING.1 < WIDTH - 215.0);
