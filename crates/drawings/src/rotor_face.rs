//! A rotor's side face to true shape, with its readings at the stations they were taken at.
//!
//! Tip 1 is drawn on top. Looking at the gear face the tips run clockwise; the plain face is
//! seen from the other side, so it is mirrored, and says so.

use crate::hatch::Hatch;
use crate::legend::Legend;
use crate::mark::Mark;
use crate::number::{amount, size};
use crate::options::Options;
use crate::origin::Origin;
use crate::rotor_shape::{RotorShape, View, orientation};
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH, ring};
use crate::table::{Place, Table};
use crate::text::Type;
use crate::tip::Tip;
use kernel::readings::{Face, TIPS};
use kernel::units::{Length, System};

/// What speaks against a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Doubt {
    /// Nothing.
    #[default]
    None,
    /// It disagrees with the others.
    Misread,
    /// It is one of a group in which one disagrees, and the group cannot be told apart.
    Ambiguous,
}

/// One reading as drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What was read.
    pub value: Length,
    /// What speaks against it.
    pub doubt: Doubt,
}

/// The readings at one tip; what was not read is left out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TipReadings {
    /// Thickness across both lands, on this tip's azimuth.
    pub land_width: Option<Reading>,
    /// Step of this face at this tip, positive with the land proud.
    pub step: Option<Reading>,
    /// Run-out of this face's land against the bore, positive where metal is proud.
    pub runout: Option<Reading>,
    /// Thickness across both faces at this tip.
    pub tip_width: Option<Reading>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorFace {
    /// The rotor's serial.
    pub serial: String,
    /// What it belongs to.
    pub origin: Origin,
    /// The mark that tip 1 carries, if it is known.
    pub mark: Option<String>,
    /// The face that is looked at.
    pub face: Face,
    /// The rotor.
    pub shape: RotorShape,
    /// The readings at tips 1, 2, 3.
    pub tips: [TipReadings; TIPS],
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// A row of the readings at a tip: what it is called, what was read, whether it is a size.
type Row = (&'static str, Option<Reading>, bool);

impl TipReadings {
    fn rows(&self) -> [Row; 4] {
        [
            ("land width", self.land_width, true),
            ("step", self.step, false),
            ("run-out", self.runout, false),
            ("tip width", self.tip_width, true),
        ]
    }
}

fn shown(reading: Option<Reading>, is_size: bool, system: System) -> String {
    match reading {
        Some(reading) if is_size => size(reading.value, system),
        Some(reading) => amount(reading.value, system),
        None => "not read".to_owned(),
    }
}

impl Doubt {
    const fn words(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Misread => "read again: disagrees",
            Self::Ambiguous => "read again: one of these is wrong",
        }
    }

    const fn mark(self) -> Mark {
        match self {
            Self::None => Mark::Station,
            Self::Misread => Mark::Fails,
            Self::Ambiguous => Mark::Unclear,
        }
    }

    /// The graver one stands for a station with several readings.
    fn graver(readings: &[Option<Reading>]) -> Self {
        let has = |doubt| readings.iter().flatten().any(|r| r.doubt == doubt);
        if has(Self::Misread) {
            Self::Misread
        } else if has(Self::Ambiguous) {
            Self::Ambiguous
        } else {
            Self::None
        }
    }
}

impl RotorFace {
    const fn orientation(&self) -> &'static str {
        orientation(self.face)
    }

    fn title(&self) -> String {
        format!("Rotor {}: {} face and its readings", self.serial, self.face.name())
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("rotor-face", options);
        let under = [self.orientation().to_owned()];
        let top = sheet.heading(&self.title(), &under) + 12.0;

        let reach_m = self.shape.reach_m();
        let view = View::of(self.face, (330.0, top + 195.0), 188.0 / reach_m);
        self.draw_metal(&mut sheet, &view);
        for tip in Tip::ALL {
            self.draw_stations(&mut sheet, &view, tip);
        }

        let under_rotor = view.centre.1 + 188.0 + 4.0;
        let mut bottom = under_rotor;
        for tip in Tip::ALL {
            let (x, y) = view.on(tip, reach_m);
            let (block_x, block_y) = match tip {
                Tip::One => (480.0, y + 5.0),
                _ if x < view.centre.0 => (MARGIN, under_rotor),
                _ => (420.0, under_rotor),
            };
            // From the tip to the head of its readings.
            if tip == Tip::One {
                sheet.line((x + 8.0, y), (block_x - 8.0, y), "thin");
            } else {
                sheet.line((x, y + 8.0), (x, block_y - 18.0), "thin");
            }
            bottom = bottom.max(self.draw_readings(&mut sheet, (block_x, block_y), tip, options));
        }
        if let Some(mark) = &self.mark {
            let (x, y) = view.on(Tip::One, reach_m);
            sheet.line((x - 34.0, y), (x - 8.0, y), "thin");
            sheet.mark(x - 46.0, y, Mark::Punch);
            // Down the free corner left of tip 1.
            sheet.block(
                MARGIN,
                y + 5.0,
                Type::Plain,
                x - 66.0 - MARGIN,
                &format!("Tip 1 carries mark {mark}"),
            );
        }
        let mut y = self.draw_legend(&mut sheet, bottom + 12.0) + 6.0;
        y = sheet.notes(y, &self.notes);
        sheet.close(y, &self.title(), &self.sentences(options.system), &self.origin)
    }

    fn draw_metal(&self, sheet: &mut Sheet, view: &View) {
        self.shape.draw(sheet, view, self.face, "edge");
        let (x, y) = view.centre;
        for (dx, dy) in [(14.0, 0.0), (0.0, 14.0)] {
            sheet.line((x - dx, y - dy), (x + dx, y + dy), "thin");
        }
    }

    fn draw_stations(&self, sheet: &mut Sheet, view: &View, tip: Tip) {
        let (land_m, tip_m) = (self.shape.land_radius.to_m(), self.shape.reading_radius.to_m());
        let [at_land, at_tip] = self.station_doubts(tip);
        for (radius_m, doubt) in [(land_m, at_land), (tip_m, at_tip)] {
            let (x, y) = view.on(tip, radius_m);
            sheet.mark(x, y, doubt.mark());
        }
        let (x, y) = view.on(tip, 0.5 * (land_m + tip_m));
        sheet.circle((x, y), 13.0, "plain-mark");
        sheet.text(x, y + 5.5, Type::Strong, Anchor::Middle, &tip.number().to_string());
    }

    /// The readings of a tip; the base line after them.
    fn draw_readings(
        &self,
        sheet: &mut Sheet,
        (x, y): (f64, f64),
        tip: Tip,
        options: &Options,
    ) -> f64 {
        sheet.text(x, y, Type::Strong, Anchor::Start, &format!("Tip {}", tip.number()));
        let mut y = y + 22.0;
        for (name, reading, is_size) in self.tips[tip.index()].rows() {
            sheet.text(x + 22.0, y, Type::Small, Anchor::Start, name);
            let value = shown(reading, is_size, options.system);
            sheet.text(x + 108.0, y, Type::Small, Anchor::Start, &value);
            let doubt = reading.map_or(Doubt::None, |r| r.doubt);
            if doubt != Doubt::None {
                sheet.mark(x + 8.0, y - 4.0, doubt.mark());
                let room = WIDTH - MARGIN - x - 22.0;
                y = sheet.block(x + 22.0, y + 19.0, Type::Strong, room, doubt.words()) - 20.0;
            }
            y += 21.0;
        }
        y
    }

    /// What the marks mean, those that are drawn; the base line after it.
    fn draw_legend(&self, sheet: &mut Sheet, y: f64) -> f64 {
        let mut legend = Legend::new(y, 28.0);
        let (x, middle) = legend.entry(sheet, "land");
        let swatch = ring((x + 9.0, middle), 9.0, 0.0);
        sheet.hatched(&swatch, Hatch::Land);
        sheet.path(&swatch, "thin");
        if self.face == Face::Gear {
            let (x, middle) = legend.entry(sheet, "internal gear");
            sheet.line((x, middle), (x + 19.0, middle), "teeth");
        }
        let stations: Vec<Doubt> =
            Tip::ALL.iter().flat_map(|tip| self.station_doubts(*tip)).collect();
        if stations.contains(&Doubt::None) {
            let (x, middle) = legend.entry(sheet, "where it was read");
            sheet.mark(x + 9.0, middle, Doubt::None.mark());
        }
        for doubt in [Doubt::Misread, Doubt::Ambiguous] {
            let drawn = self
                .tips
                .iter()
                .flat_map(TipReadings::rows)
                .any(|(_, reading, _)| reading.is_some_and(|r| r.doubt == doubt));
            if drawn {
                let (x, middle) = legend.entry(sheet, doubt.words());
                sheet.mark(x + 9.0, middle, doubt.mark());
            }
        }
        legend.end()
    }

    /// What speaks against the readings at a tip's two stations: at the land, at the tip.
    fn station_doubts(&self, tip: Tip) -> [Doubt; 2] {
        let readings = &self.tips[tip.index()];
        [
            Doubt::graver(&[readings.land_width, readings.runout]),
            Doubt::graver(&[readings.step, readings.tip_width]),
        ]
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![self.orientation().to_owned()];
        if let Some(mark) = &self.mark {
            all.push(format!("Tip 1 carries mark {mark}."));
        }
        for tip in Tip::ALL {
            let parts: Vec<String> = self.tips[tip.index()]
                .rows()
                .into_iter()
                .map(|(name, reading, is_size)| {
                    let value = shown(reading, is_size, system);
                    match reading.map_or(Doubt::None, |r| r.doubt) {
                        Doubt::None => format!("{name} {value}"),
                        doubt => format!("{name} {value}, {}", doubt.words()),
                    }
                })
                .collect();
            all.push(format!("Tip {}: {}.", tip.number(), parts.join("; ")));
        }
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = Table::new();
        for tip in Tip::ALL {
            let place = Place { rotor: &self.serial, face: self.face.name(), tip: tip.number() };
            for (name, reading, _) in self.tips[tip.index()].rows() {
                let remark = reading.map_or("not read", |r| r.doubt.words());
                table.row(name, place, reading.map(|r| r.value), remark);
            }
        }
        table.into_text()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_graver_doubt_marks_a_station() {
        let reading = |doubt| Some(Reading { value: Length::ZERO, doubt });
        assert_eq!(
            Doubt::graver(&[reading(Doubt::Ambiguous), reading(Doubt::Misread)]),
            Doubt::Misread
        );
        assert_eq!(Doubt::graver(&[None, reading(Doubt::Ambiguous)]), Doubt::Ambiguous);
        assert_eq!(Doubt::graver(&[None, None]), Doubt::None);
    }
}
