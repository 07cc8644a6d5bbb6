//! A build file on its way into the demonstration: an example with other serials, other sizes and
//! what the machine made of it. Sizes are changed in whole last places, so that what is written
//! stays what somebody would write.

use super::super::{PlanReport, RotorReport, ShopError};
use super::scatter::Scatter;
use crate::build_file::places::{Placed, PlacesError, assemble, placed};
use kernel::readings::Face;
use kernel::units::Length;

/// Tips of a rotor, as a file counts them.
const TIPS: [usize; 3] = [1, 2, 3];

/// The values of a build file.
#[derive(Debug, Clone)]
pub(super) struct Draft(Vec<Placed>);

/// A size as a count of the last place it is written to: `79.915 mm` is 79915 of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Size {
    count: i64,
    decimals: usize,
    unit: String,
}

impl Size {
    /// From a value in its quotes.
    pub(super) fn read(value: &str) -> Option<Self> {
        let text = value.strip_prefix('"')?.strip_suffix('"')?;
        let (number, unit) = text.split_once(' ')?;
        let (whole, part) = number.split_once('.').unwrap_or((number, ""));
        let count = format!("{whole}{part}").parse().ok()?;
        Some(Self { count, decimals: part.len(), unit: unit.to_owned() })
    }

    fn more(&self, count: i64) -> Self {
        Self { count: self.count + count, ..self.clone() }
    }

    /// The nearest of a length, written as this one is.
    fn of(&self, length: Length) -> Self {
        let whole = match self.unit.as_str() {
            "um" => length.to_um(),
            "in" => length.to_inch(),
            "thou" => length.to_thou(),
            _ => length.to_mm(),
        };
        self.near(whole)
    }

    /// In its own unit.
    pub(super) fn value(&self) -> f64 {
        self.count as f64 / self.last_places()
    }

    /// The nearest of a value in its own unit.
    pub(super) fn near(&self, value: f64) -> Self {
        Self { count: (value * self.last_places()).round() as i64, ..self.clone() }
    }

    /// How many last places a whole unit has.
    fn last_places(&self) -> f64 {
        10_f64.powi(i32::try_from(self.decimals).unwrap_or(0))
    }

    /// As a value in its quotes.
    pub(super) fn written(&self) -> String {
        let Self { count, decimals, unit } = self;
        let sign = if *count < 0 { "-" } else { "" };
        let digits = format!("{:0>width$}", count.unsigned_abs(), width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let point = if part.is_empty() { "" } else { "." };
        format!("\"{sign}{whole}{point}{part} {unit}\"")
    }
}

fn is_after(place: &str) -> bool {
    place.contains(".after.")
}

/// What was got at the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Got {
    /// What was planned, as near as the machine holds it.
    Planned,
    /// The lands of the first rotor are this many last places too wide.
    TooWide(i64),
}

impl Draft {
    /// The values of a text.
    pub(super) fn of(text: &str) -> Result<Self, ShopError> {
        Ok(Self(placed(text)?))
    }

    /// As a build file.
    pub(super) fn text(&self) -> Result<String, PlacesError> {
        assemble(&self.0)
    }

    /// Its values in their order.
    pub(super) fn values(&self) -> &[Placed] {
        &self.0
    }

    /// The value of a place.
    fn value(&self, place: &str) -> Option<&str> {
        self.0.iter().find(|placed| placed.place == place).map(|placed| placed.value.as_str())
    }

    /// Puts a value at a place: over the one that is there, or behind its next of kin.
    pub(super) fn set(&mut self, place: &str, value: &str) {
        if let Some(there) = self.0.iter_mut().find(|placed| placed.place == place) {
            value.clone_into(&mut there.value);
            return;
        }
        let in_common = |other: &str| {
            place.split('.').zip(other.split('.')).take_while(|(a, b)| a == b).count()
        };
        let most = self.0.iter().map(|placed| in_common(&placed.place)).max().unwrap_or(0);
        let at = self.0.iter().rposition(|placed| in_common(&placed.place) == most);
        let placed = Placed { place: place.to_owned(), value: value.to_owned() };
        self.0.insert(at.map_or(0, |at| at + 1), placed);
    }

    /// Leaves out what is not known before the cut: the readings after it and at assembly, and what a balancing
    /// machine or trial runs showed of what was cut.
    pub(super) fn before_the_cut(&self) -> Self {
        let known = |placed: &&Placed| {
            let later = is_after(&placed.place) || placed.place.starts_with("assembled.");
            !later && !self.is_of_the_machine(&placed.place)
        };
        Self(self.0.iter().filter(known).cloned().collect())
    }

    /// What was read after the cut, in its order.
    pub(super) fn after_the_cut(&self) -> Vec<Placed> {
        self.0.iter().filter(|placed| is_after(&placed.place)).cloned().collect()
    }

    /// What the balancing machine or trial runs showed, in its order.
    pub(super) fn of_the_machine(&self) -> Vec<Placed> {
        self.0.iter().filter(|placed| self.is_of_the_machine(&placed.place)).cloned().collect()
    }

    fn is_of_the_machine(&self, place: &str) -> bool {
        match place.split('.').collect::<Vec<_>>()[..] {
            ["balance", "run" | "measured", ..] => true,
            ["balance", "rotor", serial, ..] => {
                self.value(&format!("balance.rotor.{serial}.state")) == Some("\"after cut\"")
            }
            _ => false,
        }
    }

    /// Calls a part by another serial.
    pub(super) fn rename(&mut self, from: &str, to: &str) {
        let quoted = format!("\"{from}\"");
        for placed in &mut self.0 {
            if placed.value == quoted {
                placed.value = format!("\"{to}\"");
            }
            let keys: Vec<&str> =
                placed.place.split('.').map(|key| if key == from { to } else { key }).collect();
            placed.place = keys.join(".");
        }
    }

    /// Serials of a kind of table, in their order.
    fn serials(&self, table: &str) -> Vec<String> {
        self.0
            .iter()
            .filter_map(|placed| {
                let rest = placed.place.strip_prefix(table)?.strip_prefix('.')?;
                rest.strip_suffix(".serial").map(str::to_owned)
            })
            .collect()
    }

    fn size(&self, place: &str) -> Option<Size> {
        Size::read(self.value(place)?)
    }

    fn add(&mut self, place: &str, count: i64) {
        if let Some(size) = self.size(place) {
            self.set(place, &size.more(count).written());
        }
    }

    /// Makes another engine of the same kind of it: other widths, other steps, each within a few
    /// micrometres, the tip widths following from them as they do on a real rotor.
    pub(super) fn vary(&mut self, scatter: &mut Scatter) {
        for serial in self.serials("rotor") {
            let place = |list: &str, tip: usize| format!("rotor.{serial}.{list}.{tip}");
            // A last place of a size in inches is a tenth of a thou.
            let coarse = self.value(&place("land_width", 1)).is_some_and(|v| v.ends_with("in\""));
            let [wide, step, noise] = if coarse { [2, 2, 0] } else { [6, 5, 1] };
            let all = scatter.about(wide);
            for tip in TIPS {
                let land = all + scatter.about(wide);
                let (gear, plain) = (scatter.about(step), scatter.about(step));
                let read = scatter.about(noise);
                self.add(&place("land_width", tip), land);
                self.add(&place("gear_step", tip), gear);
                self.add(&place("plain_step", tip), plain);
                self.add(&place("tip_width", tip), land - gear - plain + read);
            }
            // Masses stand beside what the balancing machine showed: they are left together.
            if self.value(&format!("balance.rotor.{serial}.serial")).is_none() {
                self.add(&format!("rotor.{serial}.mass"), scatter.about(7));
            }
        }
        for serial in self.serials("housing") {
            let all = scatter.about(3);
            for station in 1.. {
                let place = format!("housing.{serial}.width.{station}");
                if self.value(&place).is_none() {
                    break;
                }
                self.add(&place, all + scatter.about(2));
            }
        }
    }

    /// Takes the parts of an engine that ran, with the sizes that it left them with.
    pub(super) fn take_over(&mut self, earlier: &Self, scatter: &mut Scatter) {
        for serial in self.serials("rotor") {
            let before = |list: &str, tip: usize| format!("rotor.{serial}.{list}.{tip}");
            let last = |list: &str, tip: usize| {
                let after = earlier.size(&format!("rotor.{serial}.after.{list}.{tip}"));
                after.or_else(|| earlier.size(&before(list, tip)))
            };
            for tip in TIPS {
                let coarse = last("land_width", tip).is_some_and(|size| size.unit == "in");
                let land = -scatter.between(1, if coarse { 1 } else { 4 });
                let [gear, plain] =
                    [(); 2].map(|()| if coarse { 0 } else { -scatter.between(0, 2) });
                let (Some(wide), Some(gears), Some(plains)) =
                    (last("land_width", tip), last("gear_step", tip), last("plain_step", tip))
                else {
                    continue;
                };
                let (wide, gears, plains) = (wide.more(land), gears.more(gear), plains.more(plain));
                // What is left at the tip is land less both steps.
                let tips = wide.more(-gears.count - plains.count);
                self.set(&before("land_width", tip), &wide.written());
                self.set(&before("gear_step", tip), &gears.written());
                self.set(&before("plain_step", tip), &plains.written());
                self.set(&before("tip_width", tip), &tips.written());
            }
            for mass in [format!("rotor.{serial}.after.mass"), format!("rotor.{serial}.mass")] {
                if let Some(size) = earlier.size(&mass) {
                    self.set(&format!("rotor.{serial}.mass"), &size.written());
                    break;
                }
            }
        }
        for serial in self.serials("housing") {
            for station in 1.. {
                let place = format!("housing.{serial}.width.{station}");
                let Some(size) = earlier.size(&place) else { break };
                self.set(&place, &size.written());
            }
        }
    }

    /// A micrometer that was closed one turn too far, or too little.
    pub(super) fn slip(&mut self, place: &str, count: i64) {
        self.add(place, count);
    }

    /// Adds the readings after the cut of every rotor that was cut.
    pub(super) fn cut(&mut self, plan: &PlanReport, got: Got, scatter: &mut Scatter) {
        let mut first = true;
        for rotor in plan.rotors.iter().filter(|rotor| !rotor.plan.cut.is_nothing()) {
            let too_wide = match got {
                Got::TooWide(count) if first => count,
                Got::TooWide(_) | Got::Planned => 0,
            };
            first = false;
            self.cut_rotor(rotor, too_wide, scatter);
        }
    }

    fn cut_rotor(&mut self, rotor: &RotorReport, too_wide: i64, scatter: &mut Scatter) {
        let serial = &rotor.serial;
        let finished = &rotor.plan.finished;
        let coarse = self
            .value(&format!("rotor.{serial}.land_width.1"))
            .is_some_and(|value| value.ends_with("in\""));
        let near = if coarse { 0 } else { 1 };
        let widths = finished.land_width();
        let steps = Face::BOTH.map(|face| finished.face(face).step());
        let mut lists: [Vec<String>; 4] = Default::default();
        for tip in TIPS {
            let like = |list: &str| self.size(&format!("rotor.{serial}.{list}.{tip}"));
            let (Some(wide), Some(gear), Some(plain)) =
                (like("land_width"), like("gear_step"), like("plain_step"))
            else {
                return;
            };
            let wide = wide.of(widths[tip - 1]).more(scatter.about(near) + too_wide);
            let gear = gear.of(steps[0][tip - 1]).more(scatter.about(near));
            let plain = plain.of(steps[1][tip - 1]).more(scatter.about(near));
            lists[3].push(wide.more(scatter.about(near) - gear.count - plain.count).written());
            lists[0].push(wide.written());
            lists[1].push(gear.written());
            lists[2].push(plain.written());
        }
        for (list, values) in
            ["land_width", "gear_step", "plain_step", "tip_width"].iter().zip(&lists)
        {
            for (tip, value) in TIPS.iter().zip(values) {
                self.set(&format!("rotor.{serial}.after.{list}.{tip}"), value);
            }
        }
        if let Some(mass) =
            rotor.mass.filter(|_| self.size(&format!("rotor.{serial}.mass")).is_some())
        {
            let tenths = (mass - rotor.removed()).to_g() * 10.0;
            let read = tenths.round() as i64 + scatter.about(1);
            let read = Size { count: read, decimals: 1, unit: "g".to_owned() };
            self.set(&format!("rotor.{serial}.after.mass"), &read.written());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;

    const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");
    const AIRCRAFT: &str = include_str!("../../../../../examples/heron-aircraft.toml");

    #[test]
    fn sizes_are_written_to_the_place_they_were_read_to() {
        for (value, more, written) in [
            ("\"79.915 mm\"", 90, "\"80.005 mm\""),
            ("\"95 um\"", -100, "\"-5 um\""),
            ("\"2.1215 in\"", 1, "\"2.1216 in\""),
            ("\"3.0 thou\"", -31, "\"-0.1 thou\""),
            ("\"0.1 thou\"", 0, "\"0.1 thou\""),
        ] {
            assert_eq!(Size::read(value).unwrap().more(more).written(), written);
        }
        assert_eq!(
            Size::read("\"2.1215 in\"").unwrap().of(Length::mm(54.0)).written(),
            "\"2.1260 in\""
        );
        assert_eq!(Size::read("\"rear\""), None);
        assert_eq!(Size::read("2"), None);
    }

    #[test]
    fn another_engine_of_its_kind_has_tips_that_follow_from_its_lands_and_steps() {
        for (text, unit) in [(BOAT, Length::um(1.0)), (AIRCRAFT, Length::thou(0.1))] {
            let mut draft = Draft::of(text).unwrap();
            let off = |draft: &Draft| {
                let build = read(&draft.text().unwrap()).unwrap();
                let rotor = &build.rotors[0].readings;
                rotor.tip_width.map(|tips| {
                    [0, 1, 2].map(|k| {
                        let should = rotor.land_width[k] - rotor.gear_step[k] - rotor.plain_step[k];
                        (tips[k] - should).to_um()
                    })
                })
            };
            let (was, text) = (off(&draft), draft.text().unwrap());
            draft.vary(&mut Scatter::of(3));
            assert_ne!(draft.text().unwrap(), text);
            for (was, is) in was.into_iter().flatten().zip(off(&draft).into_iter().flatten()) {
                assert!((was - is).abs() < 1.01 * unit.to_um(), "{was} {is}");
            }
        }
    }

    #[test]
    fn a_part_has_one_serial_everywhere() {
        let mut draft =
            Draft::of(include_str!("../../../../../examples/shelduck-hydroplane.toml")).unwrap();
        draft.rename("SR-21", "SR-31");
        let text = draft.text().unwrap();
        assert!(!text.contains("SR-21"));
        assert_eq!(text.matches("SR-31").count(), 2);
        read(&text).unwrap();
    }

    #[test]
    fn what_is_known_later_is_left_out_and_put_back() {
        for text in [
            AIRCRAFT,
            include_str!("../../../../../examples/gannet-pump.toml"),
            include_str!("../../../../../examples/shelduck-hydroplane.toml"),
        ] {
            let whole = Draft::of(text).unwrap();
            let mut before = whole.before_the_cut();
            assert!(read(&before.text().unwrap()).unwrap().rotors[0].after.is_none());
            let at_assembly =
                whole.values().iter().filter(|placed| placed.place.starts_with("assembled."));
            let mut later = [whole.after_the_cut(), whole.of_the_machine()].concat();
            later.extend(at_assembly.cloned());
            assert!(!later.is_empty());
            for placed in later {
                before.set(&placed.place, &placed.value);
            }
            assert!(read(&before.text().unwrap()).unwrap() == read(text).unwrap());
        }
    }
}
