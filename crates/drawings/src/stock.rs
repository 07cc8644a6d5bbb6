//! Stock to remove from a rotor, layer by layer: for both faces and each tip the finished land
//! and tip with the stock that stands on them, to one enlarged scale.
//!
//! Both faces are drawn looking up, as they lie on the machine.

use crate::alike::{alike, range};
use crate::dimension;
use crate::hatch::Hatch;
use crate::number::{amount, cell, round_down, size};
use crate::options::Options;
use crate::origin::Origin;
use crate::sheet::{Anchor, MARGIN, SCREENING, Sheet, boxed, outline};
use crate::table::{Place, Table};
use crate::text::Type;
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::{Length, System};

/// What is cut from one face, and the steps it leaves, at tips 1, 2, 3.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FaceStock {
    /// Stock taken from the land; zero where it is left as it is.
    pub land_cut: [Length; TIPS],
    /// Stock taken outside the land; zero where it is left as it is.
    pub tip_cut: [Length; TIPS],
    /// The finished step, positive with the land proud.
    pub step: [Length; TIPS],
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// The gear face.
    pub gear: FaceStock,
    /// The plain face.
    pub plain: FaceStock,
    /// Finished thickness across both lands at tips 1, 2, 3.
    pub land_width: [Length; TIPS],
    /// Finished thickness across both faces at tips 1, 2, 3.
    pub tip_width: [Length; TIPS],
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Said to whoever goes to the machine with it (common practice, no source).
const CAUTION: &str = "The shop's own rules come first. Mind iron dust, the interrupted cut and \
                       thin walls.";
/// Less than this is no cut: it shows as nothing at the finest that a gauge resolves.
const NOTHING: Length = Length::um(0.05);
/// Height for stock and step together on the sheet.
const LAYERS: f64 = 120.0;
/// Metal drawn under the lowest finished surface.
const METAL: f64 = 22.0;
/// Places of the columns.
const COLUMN: f64 = 255.0;
const BAR: f64 = 112.0;

/// What a cut is said to be.
fn words(cut: Length, system: System) -> String {
    if cut.abs() < NOTHING { "left as is".to_owned() } else { amount(cut, system) }
}

impl FaceStock {
    /// Lowest and highest surface over all tips, from the finished land.
    fn extent_m(&self) -> (f64, f64) {
        let mut extent = (0.0_f64, 0.0_f64);
        for k in 0..TIPS {
            let tip_m = -self.step[k].to_m();
            for surface_m in [self.land_cut[k].to_m(), tip_m, tip_m + self.tip_cut[k].to_m()] {
                if surface_m.is_finite() {
                    extent = (extent.0.min(surface_m), extent.1.max(surface_m));
                }
            }
        }
        extent
    }
}

impl Stock {
    const fn face(&self, face: Face) -> &FaceStock {
        match face {
            Face::Gear => &self.gear,
            Face::Plain => &self.plain,
        }
    }

    /// Units of the view box per metre.
    fn scale(&self) -> f64 {
        let tallest_m = Face::BOTH
            .map(|face| self.face(face).extent_m())
            .into_iter()
            // Not less than a usual step, so that a rotor with little to cut looks like the others.
            .fold(100e-6_f64, |most, (low, high)| most.max(high - low));
        round_down(LAYERS / tallest_m)
    }

    /// The scale bar's length, with its words: round in the shop's own system, and about half as
    /// high as the layers may be.
    fn bar(per_m: f64, system: System) -> (f64, String) {
        let (unit, name) = match system {
            System::Metric => (Length::um(1.0), "\u{b5}m"),
            System::Inch => (Length::thou(1.0), "thou"),
        };
        let units = round_down(0.6 * LAYERS / per_m / unit.to_m());
        let decimals = usize::from(units < 10.0 && units.fract() > 0.0);
        (units * unit.to_m() * per_m, format!("{} {name}", cell(units, decimals)))
    }

    /// The areas that no tool touches, in words.
    fn left(&self) -> String {
        let mut left = Vec::new();
        for face in Face::BOTH {
            let stock = self.face(face);
            for (area, cuts) in [("land", &stock.land_cut), ("tips", &stock.tip_cut)] {
                if cuts.iter().all(|cut| cut.abs() < NOTHING) {
                    left.push(format!("{} {area}", face.name()));
                }
            }
        }
        match left.len() {
            0 => "Left as is: no area, all four are cut.".to_owned(),
            4 => "Left as is: all four areas, nothing is cut.".to_owned(),
            _ => format!("Left as is: {}.", left.join(", ")),
        }
    }

    fn title(&self) -> String {
        format!("Stock to remove: rotor {}", self.serial)
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let system = options.system;
        let mut sheet = Sheet::new("stock", options);
        let per_m = self.scale();
        let under = [
            "Hatched: stock to cut away. Heavy lines and steps: as finished. Both faces drawn \
             looking up."
                .to_owned(),
            SCREENING.to_owned(),
        ];
        let mut y = sheet.heading(&self.title(), &under) + 2.0;
        let (bar, bar_words) = Self::bar(per_m, system);
        let scale = format!("This bar is {bar_words} of height. Widths are not to scale.");
        dimension::upright(&mut sheet, MARGIN + 9.0, y, y + bar);
        sheet.text(MARGIN + 28.0, y + 0.5 * bar + 5.0, Type::Plain, Anchor::Start, &scale);
        y += bar + 36.0;
        for face in Face::BOTH {
            y = self.draw_face(&mut sheet, face, y, per_m, system) + 26.0;
        }
        y = sheet.notes(y, &[self.left()]) + 6.0;
        sheet.text(MARGIN, y, Type::Strong, Anchor::Start, "Finished sizes");
        y = sheet.notes(y + 23.0, &self.finished(system)) + 6.0;
        y = sheet.notes(y, &self.notes);
        y = sheet.notes(y, &[CAUTION.to_owned()]);
        let mut sentences = vec![SCREENING.to_owned()];
        sentences.extend(self.sentences(system));
        sheet.close(y, &self.title(), &sentences, &self.origin)
    }

    fn finished(&self, system: System) -> Vec<String> {
        let land = if alike(&self.land_width) {
            format!("land width: {}", size(range(&self.land_width).1, system))
        } else {
            let (least, greatest) = range(&self.land_width);
            format!(
                "land width, least to greatest: {} to {}",
                size(least, system),
                size(greatest, system)
            )
        };
        let mut lines = vec![land];
        if alike(&self.tip_width) {
            let width = size(range(&self.tip_width).1, system);
            lines.push(format!("tip width: {width}, all tips alike"));
        } else {
            lines.extend(Tip::ALL.map(|tip| {
                format!(
                    "tip width at tip {}: {}",
                    tip.number(),
                    size(self.tip_width[tip.index()], system)
                )
            }));
        }
        lines
    }

    /// One face from `top`; the base line after it.
    fn draw_face(
        &self,
        sheet: &mut Sheet,
        face: Face,
        top: f64,
        per_m: f64,
        system: System,
    ) -> f64 {
        let stock = self.face(face);
        let (low_m, high_m) = stock.extent_m();
        let name = match face {
            Face::Gear => "Gear face",
            Face::Plain => "Plain face",
        };
        sheet.text(MARGIN, top, Type::Strong, Anchor::Start, name);
        // Base lines of the words above the layers, then the finished land.
        let names = top + 24.0;
        let land_y = names + 46.0 + high_m * per_m;
        let floor = land_y - low_m * per_m + METAL;
        for tip in Tip::ALL {
            let k = tip.index();
            let x = MARGIN + COLUMN * k as f64;
            let tip_y = land_y + stock.step[k].to_m() * per_m;
            let columns = [
                (x, land_y, stock.land_cut[k], format!("land {}", tip.number())),
                (x + BAR + 8.0, tip_y, stock.tip_cut[k], format!("tip {}", tip.number())),
            ];
            for (left, y, cut, name) in columns {
                sheet.text(left + 4.0, names, Type::Small, Anchor::Start, &name);
                draw_words(sheet, (left + 4.0, names + 18.0), &words(cut, system));
                draw_column(sheet, (left, y, floor), cut.to_m() * per_m, cut >= NOTHING);
            }
            // The step between the two finished surfaces.
            let step = stock.step[k];
            let between = x + BAR + 4.0;
            let lower = land_y.max(tip_y);
            sheet.path(&boxed(x + BAR, lower, 8.0, floor - lower), "metal");
            sheet.line((x + BAR, land_y), (between + 12.0, land_y), "dashed");
            if (tip_y - land_y).abs() > 1.0 {
                dimension::upright(sheet, between, land_y, tip_y);
            }
            let words = format!("step {}", amount(step, system));
            sheet.text(x + 4.0, floor + 20.0, Type::Small, Anchor::Start, &words);
        }
        floor + 26.0
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = Vec::new();
        for face in Face::BOTH {
            let stock = self.face(face);
            for tip in Tip::ALL {
                let k = tip.index();
                all.push(format!(
                    "{} face, tip {}: land cut {}, tip cut {}, finished step {}.",
                    face.name(),
                    tip.number(),
                    words(stock.land_cut[k], system),
                    words(stock.tip_cut[k], system),
                    amount(stock.step[k], system)
                ));
            }
        }
        all.push(self.left());
        all.push(format!("Finished: {}.", self.finished(system).join("; ")));
        if !alike(&self.land_width) {
            all.extend(Tip::ALL.map(|tip| {
                let width = size(self.land_width[tip.index()], system);
                format!("Land width at tip {}: {width}.", tip.number())
            }));
        }
        all.extend(self.notes.iter().cloned());
        all.push(CAUTION.to_owned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        let rotor = Place { rotor: &self.serial, ..Place::default() };
        for face in Face::BOTH {
            let stock = self.face(face);
            for tip in Tip::ALL {
                let k = tip.index();
                let place = Place { face: face.name(), tip: tip.number(), ..rotor };
                for (what, cut) in [("land cut", stock.land_cut[k]), ("tip cut", stock.tip_cut[k])]
                {
                    let remark = if cut.abs() < NOTHING { "left as is" } else { "" };
                    table.row(what, place, Some(cut), remark);
                }
                table.row("finished step", place, Some(stock.step[k]), "");
            }
        }
        for tip in Tip::ALL {
            let place = Place { tip: tip.number(), ..rotor };
            table.row("finished land width", place, Some(self.land_width[tip.index()]), "");
            table.row("finished tip width", place, Some(self.tip_width[tip.index()]), "");
        }
        table.into_text()
    }
}

/// A figure in a column: the second system under the first.
fn draw_words(sheet: &mut Sheet, (x, y): (f64, f64), words: &str) {
    let (first, second) = words.split_once(" (").map_or((words, None), |(a, b)| (a, Some(b)));
    sheet.text(x, y, Type::Strong, Anchor::Start, first);
    if let Some(second) = second {
        sheet.text(x, y + 18.0, Type::Small, Anchor::Start, &format!("({second}"));
    }
}

/// The finished metal of a column and the stock on it.
fn draw_column(sheet: &mut Sheet, (x, y, floor): (f64, f64, f64), cut: f64, is_cut: bool) {
    sheet.path(&boxed(x, y, BAR, floor - y), "metal");
    if is_cut {
        let stock = boxed(x, y - cut, BAR, cut);
        sheet.path(&stock, "paper");
        sheet.hatched(&stock, Hatch::Stock);
        sheet.path(&stock, "thin");
    }
    sheet.path(&outline(&[(x, y), (x + BAR, y)], false), "edge");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cut_is_left_and_never_a_zero() {
        assert_eq!(words(Length::ZERO, System::Metric), "left as is");
        assert_eq!(words(Length::m(1e-17), System::Metric), "left as is");
        assert_eq!(words(Length::um(62.5), System::Inch), "2.5 thou (63 \u{b5}m)");
    }

    #[test]
    fn the_layers_fit_their_place() {
        let face = FaceStock {
            land_cut: [Length::um(62.5); TIPS],
            tip_cut: [Length::um(107.5); TIPS],
            step: [Length::um(127.0); TIPS],
        };
        let model = Stock {
            serial: "R-114".into(),
            origin: Origin::default(),
            gear: face,
            plain: FaceStock::default(),
            land_width: [Length::mm(79.788); TIPS],
            tip_width: [Length::mm(79.534); TIPS],
            notes: Vec::new(),
        };
        let per_m = model.scale();
        let drawn = 189.5e-6 * per_m;
        assert!(drawn <= LAYERS && drawn > 0.7 * LAYERS, "{drawn}");
    }

    /// The bar is as long as it says, whichever system it says it in.
    #[test]
    fn the_scale_bar_is_as_long_as_it_says() {
        for per_m in [1e5, 6e5, 1.2e6] {
            for system in [System::Metric, System::Inch] {
                let (bar, words) = Stock::bar(per_m, system);
                let (number, unit) = words.split_once(' ').unwrap();
                let number: f64 = number.parse().unwrap();
                let length = if unit == "thou" { Length::thou(number) } else { Length::um(number) };
                assert!((bar - length.to_m() * per_m).abs() < 1e-9, "{words}");
                assert!((0.3 * LAYERS..=0.6 * LAYERS + 1e-9).contains(&bar), "{words}: {bar}");
            }
        }
    }

    #[test]
    fn areas_that_are_left_are_said() {
        let cut = FaceStock { land_cut: [Length::um(30.0); TIPS], ..FaceStock::default() };
        let model = Stock {
            serial: "R-114".into(),
            origin: Origin::default(),
            gear: cut,
            plain: FaceStock::default(),
            land_width: [Length::mm(79.788); TIPS],
            tip_width: [Length::mm(79.534); TIPS],
            notes: Vec::new(),
        };
        assert_eq!(model.left(), "Left as is: gear tips, plain land, plain tips.");
    }
}
