//! Gap against speed: for each rotor of a build the least gap at its tips, at worst float and
//! centred, over the shaft's speed, with the duty, the critical speeds and the chance of contact.
//!
//! A panel for each rotor, all with the same axes, so that rotors compare by eye.

mod panel;

use crate::columns::{Cell, Columns};
use crate::number::amount;
use crate::options::Options;
use crate::origin::Origin;
use crate::rows::{ROW, Rows};
use crate::scale::{Scale, figure, percent, span};
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH};
use crate::text::Type;
use kernel::units::{Length, Speed, System};

/// What is known of a rotor at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapAtSpeed {
    /// Of the shaft.
    pub speed: Speed,
    /// Least gap at any tip over the cycle, the rotor pushed to the wall where it is nearest;
    /// negative where the tip would be inside the wall.
    pub worst_float: Length,
    /// The same at its low and at its high end, where its doubt is known.
    pub band: Option<(Length, Length)>,
    /// Least gap with the rotor in the middle of its float.
    pub centred: Option<Length>,
    /// Chance that a tip touches, 0 to 1.
    pub chance: Option<f64>,
}

/// A rotor over the speeds.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorGaps {
    /// Its serial.
    pub serial: String,
    /// In rising order of speed. A speed without a result is left out here and told in a note.
    pub points: Vec<GapAtSpeed>,
}

/// A critical speed of the shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct CriticalSpeed {
    /// What bends or twists: `first bending, forward`.
    pub name: String,
    /// At which speed of the shaft.
    pub speed: Speed,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedGap {
    /// What it belongs to.
    pub origin: Origin,
    /// Whether the shaft was taken from the engine's sizes.
    pub assumed_shaft: bool,
    /// The speed limit of the duty.
    pub duty: Speed,
    /// Critical speeds; those off the axis are told in words.
    pub critical: Vec<CriticalSpeed>,
    /// The chance of contact that the spec allows, 0 to 1.
    pub allowed_chance: Option<f64>,
    /// Each rotor, front to rear.
    pub rotors: Vec<RotorGaps>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Left and right edge of the panels on the sheet.
const LEFT: f64 = 128.0;
const RIGHT: f64 = 630.0;
/// Widest that the name of a critical speed may be before it breaks.
const NAMES: f64 = 205.0;
/// Two speeds nearer than this are one, in rpm.
const SAME_RPM: f64 = 0.5;
/// Less than this below zero is drawn all the same, as a part of what is above it, so that the
/// line of touch is seen.
const BELOW: f64 = 0.1;

fn rpm(speed: Speed) -> String {
    format!("{} rpm", figure(speed.to_rpm(), 0))
}

impl RotorGaps {
    /// What is known at a speed, if it was computed there.
    fn at(&self, speed: Speed) -> Option<&GapAtSpeed> {
        self.points.iter().find(|p| (p.speed - speed).abs().to_rpm() <= SAME_RPM)
    }

    fn least(&self) -> Option<&GapAtSpeed> {
        self.points.iter().min_by(|a, b| a.worst_float.to_m().total_cmp(&b.worst_float.to_m()))
    }

    /// The lowest speed at which a tip touches.
    fn touches(&self) -> Option<&GapAtSpeed> {
        self.points.iter().find(|p| p.worst_float <= Length::ZERO)
    }

    /// The figures in words, for the head of its panel and for the description.
    fn sentences(&self, duty: Speed, system: System) -> Vec<String> {
        let mut all = Vec::new();
        match self.at(duty) {
            Some(point) => {
                let mut words = format!(
                    "At the duty's {}: {} at worst float",
                    rpm(duty),
                    amount(point.worst_float, system)
                );
                if let Some((low, high)) = point.band {
                    let (low, high) = (amount(low, system), amount(high, system));
                    words += &format!(", from {low} to {high}");
                }
                if let Some(centred) = point.centred {
                    words += &format!("; {} centred", amount(centred, system));
                }
                if let Some(chance) = point.chance {
                    words += &format!("; chance of contact {}", percent(chance));
                }
                all.push(words + ".");
            }
            None => all.push(format!("Not computed at the duty's {}.", rpm(duty))),
        }
        if let Some(least) = self.least() {
            let gap = amount(least.worst_float, system);
            all.push(format!("Least of the range: {gap} at {}.", rpm(least.speed)));
        }
        all.push(match self.touches() {
            Some(point) => format!("At worst float a tip touches from {} on.", rpm(point.speed)),
            None => "At worst float no tip touches in this range.".to_owned(),
        });
        let low = self.points.iter().find(|p| p.band.is_some_and(|(low, _)| low <= Length::ZERO));
        if let Some(point) = low.filter(|p| self.touches().is_none_or(|t| p.speed < t.speed)) {
            all.push(format!("The band's low end touches from {} on.", rpm(point.speed)));
        }
        all
    }
}

impl SpeedGap {
    fn title(&self) -> String {
        let serials: Vec<&str> = self.rotors.iter().map(|r| r.serial.as_str()).collect();
        let rotors = match serials.as_slice() {
            [one] => format!("rotor {one}"),
            [_, _] => format!("rotors {}", serials.join(", ")),
            more => format!("{} rotors", more.len()),
        };
        format!("Least gap at the tips against speed: {rotors}")
    }

    fn points(&self) -> impl Iterator<Item = &GapAtSpeed> {
        self.rotors.iter().flat_map(|rotor| &rotor.points)
    }

    /// The axis of speed, which reaches to the duty.
    fn speeds(&self) -> Scale {
        let duty = std::iter::once(self.duty.to_rpm());
        let (from, to) = span(self.points().map(|p| p.speed.to_rpm()).chain(duty));
        // So that a line at the end does not lie on the frame.
        let room = 0.02 * (to - from);
        Scale::new((from - room, to + room), (LEFT, RIGHT))
    }

    /// Least and greatest gap that is drawn, in metres.
    fn gaps_m(&self) -> (f64, f64) {
        let gaps = self.points().flat_map(|p| {
            let (low, high) = p.band.unwrap_or((p.worst_float, p.worst_float));
            [p.worst_float, low, high, p.centred.unwrap_or(p.worst_float)].map(Length::to_m)
        });
        let (low, high) = span(gaps.chain([0.0, 20e-6]));
        let below = BELOW * (high - low);
        (low.min(0.0) - below, high + 0.5 * below)
    }

    fn has_chance(&self) -> bool {
        self.points().any(|p| p.chance.is_some())
    }

    /// What the lines are, those that are drawn.
    fn reading(&self) -> String {
        let mut words =
            "Solid: worst float, the rotor pushed to the wall where the tip is nearest".to_owned();
        if self.points().any(|p| p.band.is_some()) {
            words += ", in its band from low to high";
        }
        if self.points().any(|p| p.centred.is_some()) {
            words += ". Dashed: centred";
        }
        words + ". Crossed out, from zero down: the tip touches."
    }

    /// Critical speeds that the axis does not reach.
    fn beyond(&self, speeds: &Scale) -> Vec<String> {
        self.critical
            .iter()
            .filter(|c| !speeds.holds(c.speed.to_rpm()))
            .map(|c| format!("Critical speed outside this range: {}, {}.", c.name, rpm(c.speed)))
            .collect()
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let mut sheet = Sheet::new("speed-gap", options);
        let y = sheet.heading(&self.title(), &[self.reading()]);
        let speeds = self.speeds();
        let mut y = y + 2.0;
        let heights = panel::Heights::of(self.rotors.len(), self.has_chance());
        let marks = self.speed_marks(&speeds);
        for (n, rotor) in self.rotors.iter().enumerate() {
            let room = WIDTH - 2.0 * MARGIN;
            let name = format!("Rotor {}", rotor.serial);
            y = sheet.block(MARGIN, y + 6.0, Type::Strong, room, &name);
            for words in rotor.sentences(self.duty, options.system) {
                y = sheet.block(MARGIN, y, Type::Small, room, &words);
            }
            y += 8.0;
            if n == 0 {
                let rows = Rows::new(&marks, (LEFT, WIDTH - MARGIN), NAMES);
                y += (rows.height() - ROW).max(0.0);
                rows.draw_above(&mut sheet, y, "thin");
            }
            y = self.draw_panel(&mut sheet, rotor, y, &speeds, heights, options.system);
            if n + 1 == self.rotors.len() {
                let (ticks, decimals) = speeds.ticks(74.0);
                for rpm in ticks {
                    let text = figure(rpm, decimals);
                    sheet.line((speeds.at(rpm), y), (speeds.at(rpm), y + 6.0), "thin");
                    sheet.text(speeds.at(rpm), y + 21.0, Type::Small, Anchor::Middle, &text);
                }
                sheet.text(RIGHT + 40.0, y + 21.0, Type::Small, Anchor::Start, "rpm");
                y += 26.0;
            }
            y += 26.0;
        }
        let beyond = self.beyond(&speeds);
        y = sheet.notes(y, &beyond);
        y = sheet.notes(y, &self.notes);
        let foot = self.origin.at_speed(self.assumed_shaft);
        sheet.close_with(y + 4.0, &self.title(), &self.sentences(options.system), &foot)
    }

    /// What stands over the panels: the duty and the critical speeds on the axis.
    fn speed_marks(&self, speeds: &Scale) -> Vec<(f64, String)> {
        let duty = (speeds.at(self.duty.to_rpm()), format!("duty, {}", rpm(self.duty)));
        let critical = self
            .critical
            .iter()
            .filter(|c| speeds.holds(c.speed.to_rpm()))
            .map(|c| (speeds.at(c.speed.to_rpm()), format!("{}, {}", c.name, rpm(c.speed))));
        std::iter::once(duty).chain(critical).collect()
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = vec![self.reading()];
        for rotor in &self.rotors {
            for words in rotor.sentences(self.duty, system) {
                all.push(format!("Rotor {}: {words}", rotor.serial));
            }
        }
        if let Some(allowed) = self.allowed_chance {
            all.push(format!("The spec allows a chance of contact of {}.", percent(allowed)));
        }
        for critical in &self.critical {
            all.push(format!("Critical speed: {}, {}.", critical.name, rpm(critical.speed)));
        }
        all.extend(self.notes.iter().cloned());
        all
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns =
            Columns::new(&["what", "rotor", "speed_rpm", "gap_um", "gap_thou", "chance_percent"]);
        for rotor in &self.rotors {
            for p in &rotor.points {
                let speed = Cell::Figure(p.speed.to_rpm(), 1);
                let mut gap = |what: &str, gap: Length, chance: Option<f64>| {
                    columns.row(&[
                        Cell::Words(what),
                        Cell::Words(&rotor.serial),
                        speed,
                        Cell::Figure(gap.to_um(), 1),
                        Cell::Figure(gap.to_thou(), 3),
                        Cell::maybe(chance.map(|c| 100.0 * c), 3),
                    ]);
                };
                gap("least gap at worst float", p.worst_float, p.chance);
                if let Some((low, high)) = p.band {
                    gap("least gap at worst float, low", low, None);
                    gap("least gap at worst float, high", high, None);
                }
                if let Some(centred) = p.centred {
                    gap("least gap centred", centred, None);
                }
            }
        }
        let mut speed = |what: &str, speed: Speed| {
            let speed = Cell::Figure(speed.to_rpm(), 1);
            columns.row(&[Cell::Words(what), Cell::Empty, speed]);
        };
        speed("duty", self.duty);
        for critical in &self.critical {
            speed(&format!("critical speed: {}", critical.name), critical.speed);
        }
        if let Some(allowed) = self.allowed_chance {
            let empty = Cell::Empty;
            let allowed = Cell::Figure(100.0 * allowed, 3);
            let what = Cell::Words("allowed chance of contact");
            columns.row(&[what, empty, empty, empty, empty, allowed]);
        }
        columns.into_text()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rotor(gaps_um: &[f64]) -> RotorGaps {
        let points = gaps_um
            .iter()
            .zip(0..)
            .map(|(um, n)| GapAtSpeed {
                speed: Speed::rpm(6000.0 + 1000.0 * f64::from(n)),
                worst_float: Length::um(*um),
                band: None,
                centred: None,
                chance: None,
            })
            .collect();
        RotorGaps { serial: "R-114".into(), points }
    }

    #[test]
    fn touching_starts_at_the_first_speed_without_a_gap() {
        let words = rotor(&[40.0, 12.0, -3.0, 5.0]).sentences(Speed::rpm(7000.0), System::Metric);
        assert_eq!(
            words,
            [
                "At the duty's 7000 rpm: 12 \u{b5}m (0.5 thou) at worst float.",
                "Least of the range: \u{2212}3 \u{b5}m (\u{2212}0.1 thou) at 8000 rpm.",
                "At worst float a tip touches from 8000 rpm on.",
            ]
        );
    }

    #[test]
    fn a_speed_between_two_others_is_not_made_up() {
        let words = rotor(&[40.0, 12.0]).sentences(Speed::rpm(6500.0), System::Metric);
        assert_eq!(words[0], "Not computed at the duty's 6500 rpm.");
        assert_eq!(words[2], "At worst float no tip touches in this range.");
    }
}
