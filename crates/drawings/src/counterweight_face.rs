//! A counterweight seen along the shaft, with the places where it may be corrected, what is to be
//! done at each, and the unbalance before and after. Holes are to scale; a table says what to set
//! at the machine.
//!
//! The counterweight's own outline is not known: the circle around the places is not to the part
//! and says so.

mod face;
mod work_table;

use crate::balance_vectors::{BalanceArrow, Panel, reaches};
use crate::columns::{Cell, Columns};
use crate::mark::Mark;
use crate::options::Options;
use crate::origin::Origin;
use crate::polar::{SeenFrom, degrees, rings};
use crate::scale::telling;
use crate::scale_bar;
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH};
use crate::text::Type;
use crate::vector::VectorKind;
use kernel::units::System;

/// Where a rotor's throw points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// Which rotor, from 1 on at the front.
    pub rotor: usize,
    /// From the throw of rotor 1, in degrees in the sense of rotation.
    pub angle_deg: f64,
}

/// An unbalance of the plane, on its heavy side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnbalanceOf {
    /// How much, in gram millimetres.
    pub amount_g_mm: f64,
    /// Where, in degrees from the throw of rotor 1.
    pub angle_deg: f64,
}

/// How mass is taken away or added at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceKind {
    /// A hole along the shaft.
    HoleAlong,
    /// A hole from the rim towards the shaft's axis.
    HoleInRim,
    /// A slug of another metal in a hole along the shaft.
    Slug,
    /// A flat on the rim.
    Flat,
    /// A mass fastened on.
    Added,
}

/// What is to be done at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Its number in the drawing.
    pub number: usize,
    /// What, in words: `Ø8 × 12.4 deep, 4.9 g`.
    pub text: String,
    /// Diameter of the hole, the slug or the mass; none for a flat.
    pub diameter_mm: Option<f64>,
    /// How deep at full diameter, or how deep the flat.
    pub depth_mm: Option<f64>,
    /// How deep to the drill's point.
    pub point_depth_mm: Option<f64>,
    /// Grams that are taken away, or added.
    pub mass_g: f64,
    /// Its angle on the machine's scale, in degrees, if that is known.
    pub machine_deg: Option<f64>,
}

/// A place where the counterweight may be corrected.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionPlace {
    /// Its number in the table of places.
    pub number: usize,
    /// How it is corrected there.
    pub kind: PlaceKind,
    /// Where, in degrees from the throw of rotor 1.
    pub angle_deg: f64,
    /// How far from the shaft's axis: its middle, or the rim it starts from.
    pub radius_mm: f64,
    /// The greatest diameter there, or how long a flat is along the rim.
    pub across_mm: f64,
    /// What is to be done; none: the place is not used.
    pub work: Option<Work>,
}

/// The model of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct CounterweightFace {
    /// Name of the correction plane: `front`.
    pub plane: String,
    /// Name of the counterweight.
    pub weight: String,
    /// What it belongs to.
    pub origin: Origin,
    /// From which end of the shaft.
    pub seen_from: SeenFrom,
    /// Where the rotors' throws point.
    pub throws: Vec<Throw>,
    /// The plane's unbalance before.
    pub before: Option<UnbalanceOf>,
    /// What is left of it afterwards.
    pub after: Option<UnbalanceOf>,
    /// How much may be left, in gram millimetres.
    pub tolerance_g_mm: Option<f64>,
    /// Where zero of the machine's scale is, in degrees from the throw of rotor 1.
    pub machine_zero_deg: Option<f64>,
    /// The places.
    pub places: Vec<CorrectionPlace>,
    /// What to beware of, a sentence or two.
    pub caution: Option<String>,
    /// What else must be said, each a sentence.
    pub notes: Vec<String>,
}

/// Middle of the right-hand column, its left end, and the panel's radius in it.
const SIDE: f64 = 664.0;
const SIDE_LEFT: f64 = 556.0;
const SIDE_ROOM: f64 = WIDTH - MARGIN - SIDE_LEFT;
const SIDE_RADIUS: f64 = 74.0;
/// The avoirdupois ounce is 28.349523125 g and the inch 25.4 mm, both exactly.
const G_MM_PER_OZ_IN: f64 = 28.349_523_125 * 25.4;

impl PlaceKind {
    /// In words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::HoleAlong => "hole along the shaft",
            Self::HoleInRim => "hole in the rim",
            Self::Slug => "slug",
            Self::Flat => "flat",
            Self::Added => "added mass",
        }
    }

    /// Whether it is seen as a circle along the shaft.
    pub(crate) const fn is_round(self) -> bool {
        matches!(self, Self::HoleAlong | Self::Slug | Self::Added)
    }
}

impl UnbalanceOf {
    fn parts(self) -> (f64, f64) {
        let (sin, cos) = self.angle_deg.to_radians().sin_cos();
        (self.amount_g_mm * cos, self.amount_g_mm * sin)
    }

    /// Its size and, where it has one, its direction.
    fn words(self, system: System) -> Vec<String> {
        let mut all = vec![g_mm(self.amount_g_mm, system)];
        if self.amount_g_mm != 0.0 {
            all.push(format!("at {}\u{b0}", degrees(self.angle_deg)));
        }
        all
    }
}

/// Something to say of the plane's unbalance.
struct State {
    /// How it is drawn; none: the circle of what may be left.
    kind: Option<VectorKind>,
    name: &'static str,
    /// Lines of its size and direction.
    size: Vec<String>,
}

/// An amount of unbalance in both systems.
fn g_mm(amount: f64, system: System) -> String {
    let ounces = amount / G_MM_PER_OZ_IN;
    let (metric, inch) =
        (format!("{} g mm", telling(amount)), format!("{} oz in", telling(ounces)));
    match system {
        System::Metric => format!("{metric} ({inch})"),
        System::Inch => format!("{inch} ({metric})"),
    }
}

impl CounterweightFace {
    fn title(&self) -> String {
        format!("Correction plane {}: {}", self.plane, self.weight)
    }

    fn under(&self) -> Vec<String> {
        vec![
            self.seen_from.sentence().to_owned(),
            "Angles from 0\u{b0} = throw of rotor 1, in the sense of rotation. Unbalance on its \
             heavy side."
                .to_owned(),
        ]
    }

    /// What is to be done, in order of its numbers.
    fn works(&self) -> Vec<(&CorrectionPlace, &Work)> {
        let mut all: Vec<_> =
            self.places.iter().filter_map(|p| p.work.as_ref().map(|w| (p, w))).collect();
        all.sort_by_key(|(_, work)| work.number);
        all
    }

    /// Before and after as arrows.
    fn arrows(&self) -> Vec<BalanceArrow> {
        let states = [(VectorKind::AsFound, self.before), (VectorKind::LeftOver, self.after)];
        let arrow = |kind, state: UnbalanceOf| BalanceArrow {
            kind,
            name: String::new(),
            from: (0.0, 0.0),
            to: state.parts(),
        };
        states.into_iter().filter_map(|(kind, s)| s.map(|s| arrow(kind, s))).collect()
    }

    /// The throws, those that point the same way together.
    fn throw_names(&self) -> Vec<(f64, String)> {
        let mut all: Vec<(f64, String)> = Vec::new();
        for throw in &self.throws {
            let same = all.iter_mut().find(|(deg, _)| degrees(*deg) == degrees(throw.angle_deg));
            match same {
                Some((_, name)) => *name = format!("{name}, {}", throw.rotor),
                None => all.push((throw.angle_deg, format!("throw {}", throw.rotor))),
            }
        }
        all
    }

    /// The picture.
    #[must_use]
    pub fn svg(&self, options: &Options) -> String {
        let system = options.system;
        let mut sheet = Sheet::new("counterweight-face", options);
        let top = sheet.heading(&self.title(), &self.under());
        let (bottom, per_m, missing) = self.draw_face(&mut sheet, top);
        let side = self.draw_unbalance(&mut sheet, top + 16.0, system);
        if !self.places.is_empty() {
            scale_bar::draw(&mut sheet, per_m, bottom + 12.0, system);
        }
        let mut y = self.draw_legend(&mut sheet, (bottom + 48.0).max(side + 18.0)) + 8.0;
        if let Some(caution) = &self.caution {
            sheet.mark(MARGIN + 10.0, y - 5.0, Mark::Fails);
            let room = WIDTH - 2.0 * MARGIN - 28.0;
            y = sheet.block(MARGIN + 28.0, y, Type::Strong, room, caution) + 8.0;
        }
        y = self.draw_work(&mut sheet, y, system);
        if !missing.is_empty() {
            let note = format!("No room in the drawing for: {}.", missing.join("; "));
            y = sheet.notes(y, &[note]);
        }
        y = sheet.notes(y, &self.notes);
        sheet.close(y, &self.title(), &self.sentences(system), &self.origin)
    }

    /// Before, after and what may be left in words, with what is small enlarged; its lower end.
    fn draw_unbalance(&self, sheet: &mut Sheet, y: f64, system: System) -> f64 {
        let mut y = y;
        for State { kind, name, size } in self.states(system) {
            match kind {
                Some(kind) => kind.sample(sheet, (SIDE_LEFT, y - 5.0), 60.0),
                None => {
                    for class in ["open", "edge"] {
                        sheet.circle((SIDE_LEFT + 30.0, y - 5.0), 8.0, class);
                    }
                }
            }
            sheet.text(SIDE_LEFT + 72.0, y, Type::Strong, Anchor::Start, name);
            y += 19.0;
            for line in size {
                y = sheet.block(SIDE_LEFT, y, Type::Small, SIDE_ROOM, &line);
            }
            y += 10.0;
        }
        let arrows = self.arrows();
        let tolerance = self.tolerance_g_mm.map(f64::abs);
        let (_, Some(near)) = reaches(&arrows, tolerance) else { return y };
        for words in ["around the axis, enlarged;", "rings in g mm"] {
            sheet.text(SIDE, y + 4.0, Type::Small, Anchor::Middle, words);
            y += 18.0;
        }
        let panel = Panel {
            centre: (SIDE, y + 22.0 + SIDE_RADIUS),
            radius: SIDE_RADIUS,
            hand: self.seen_from.hand(),
            rings: rings(near),
            inset: None,
            shows_sense: false,
            is_labelled: false,
        };
        panel.draw(sheet, &arrows, tolerance);
        panel.centre.1 + SIDE_RADIUS + 26.0
    }

    /// What there is to say of the plane's unbalance.
    fn states(&self, system: System) -> Vec<State> {
        let of = |kind, name, state: Option<UnbalanceOf>| {
            state.map(|s| State { kind: Some(kind), name, size: s.words(system) })
        };
        let permitted = self.tolerance_g_mm.map(|t| State {
            kind: None,
            name: "permitted",
            size: vec![g_mm(t.abs(), system)],
        });
        [
            of(VectorKind::AsFound, "before", self.before),
            of(VectorKind::LeftOver, "after", self.after),
            permitted,
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn sentences(&self, system: System) -> Vec<String> {
        let mut all = self.under();
        for (deg, name) in self.throw_names() {
            all.push(format!("{name} at {}\u{b0}.", degrees(deg)));
        }
        for State { name, size, .. } in self.states(system) {
            all.push(format!("Unbalance {name}: {}.", size.join(" ")));
        }
        if let Some(deg) = self.machine_zero_deg {
            all.push(format!("Zero of the machine's scale at {}\u{b0}.", degrees(deg)));
        }
        for (place, work) in self.works() {
            all.push(place.sentence(work, system));
        }
        all.push(self.count());
        all.extend(self.caution.iter().cloned());
        all.extend(self.notes.iter().cloned());
        all
    }

    /// How many places are used.
    fn count(&self) -> String {
        let (used, places) = (self.works().len(), self.places.len());
        match (used, places) {
            (_, 0) => "No place to correct it is given.".to_owned(),
            (0, 1) => "Nothing is to be done at the one place.".to_owned(),
            (0, _) => format!("Nothing is to be done at any of the {places} places."),
            _ => format!("{used} of {places} places used."),
        }
    }

    /// Its data.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut columns = Columns::new(&[
            "what",
            "name",
            "number",
            "place",
            "angle_deg",
            "machine_deg",
            "radius_mm",
            "diameter_mm",
            "depth_mm",
            "point_depth_mm",
            "mass_g",
            "unbalance_g_mm",
        ]);
        let none = Cell::Empty;
        let deg = |deg: f64| Cell::Figure(deg.rem_euclid(360.0), 3);
        for throw in &self.throws {
            let rotor = Cell::Figure(throw.rotor as f64, 0);
            columns.row(&[Cell::Words("throw"), none, rotor, none, deg(throw.angle_deg)]);
        }
        for (what, state) in [("before", self.before), ("after", self.after)] {
            let Some(state) = state else { continue };
            let mut cells = [none; 12];
            (cells[0], cells[4]) = (Cell::Words(what), deg(state.angle_deg));
            cells[11] = Cell::Figure(state.amount_g_mm, 3);
            columns.row(&cells);
        }
        if let Some(tolerance) = self.tolerance_g_mm {
            let mut cells = [none; 12];
            (cells[0], cells[11]) = (Cell::Words("permitted"), Cell::Figure(tolerance, 3));
            columns.row(&cells);
        }
        for (place, work) in self.works() {
            columns.row(&[
                Cell::Words(place.kind.words()),
                Cell::Words(&work.text),
                Cell::Figure(work.number as f64, 0),
                Cell::Figure(place.number as f64, 0),
                deg(place.angle_deg),
                work.machine_deg.map_or(none, deg),
                Cell::Figure(place.radius_mm, 3),
                Cell::maybe(work.diameter_mm, 3),
                Cell::maybe(work.depth_mm, 3),
                Cell::maybe(work.point_depth_mm, 3),
                Cell::Figure(work.mass_g, 3),
            ]);
        }
        for place in self.places.iter().filter(|p| p.work.is_none()) {
            columns.row(&[
                Cell::Words("not used"),
                Cell::Words(place.kind.words()),
                none,
                Cell::Figure(place.number as f64, 0),
                deg(place.angle_deg),
                none,
                Cell::Figure(place.radius_mm, 3),
                Cell::Figure(place.across_mm, 3),
            ]);
        }
        columns.into_text()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn throws_that_point_the_same_way_are_named_together() {
        let throw = |rotor, angle_deg| Throw { rotor, angle_deg };
        let model = CounterweightFace {
            plane: "front".into(),
            weight: "F".into(),
            origin: Origin::default(),
            seen_from: SeenFrom::Front,
            throws: vec![throw(1, 0.0), throw(2, 180.0), throw(3, 360.0)],
            before: None,
            after: None,
            tolerance_g_mm: None,
            machine_zero_deg: None,
            places: Vec::new(),
            caution: None,
            notes: Vec::new(),
        };
        let names: Vec<_> = model.throw_names().into_iter().map(|(_, name)| name).collect();
        assert_eq!(names, ["throw 1, 3", "throw 2"]);
    }

    #[test]
    fn an_unbalance_is_said_in_both_systems() {
        let said = |system| {
            UnbalanceOf { amount_g_mm: 720.077_887, angle_deg: -90.0 }.words(system).join(" ")
        };
        assert_eq!(said(System::Metric), "720 g mm (1.00 oz in) at 270.0\u{b0}");
        assert_eq!(said(System::Inch), "1.00 oz in (720 g mm) at 270.0\u{b0}");
    }
}
