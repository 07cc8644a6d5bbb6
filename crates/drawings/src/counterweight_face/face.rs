//! The face to scale: places, holes, throws and the unbalance as arrows, with the legend of what
//! is drawn.

use super::{CorrectionPlace, CounterweightFace, PlaceKind, Work};
use crate::arrow;
use crate::balance_vectors::reaches;
use crate::hatch::Hatch;
use crate::legend::Legend;
use crate::mark::Mark;
use crate::places::{Led, Places};
use crate::polar::Polar;
use crate::sheet::{Sheet, outline, ring};
use crate::text::{Type, width};

/// Middle of the face on the sheet, and its radius there.
const MIDDLE: f64 = 286.0;
const RADIUS: f64 = 182.0;
/// The circle around the places is larger than they reach by this.
const MARGIN_PART: f64 = 1.07;
/// A face without any size is drawn as if it had this.
const LEAST_MM: f64 = 1.0;
/// The longest arrow, as a part of the radius.
const LONGEST: f64 = 0.6;
/// From and to how far outside the rim a throw's arrow stands.
const THROW: (f64, f64) = (52.0, 70.0);

/// Where the face stands.
struct View {
    polar: Polar,
    per_mm: f64,
}

impl View {
    /// A point at an angle, so far out along its radius and so far ahead square to it.
    fn at(&self, deg: f64, out: f64, ahead: f64) -> (f64, f64) {
        let (sin, cos) = deg.to_radians().sin_cos();
        self.polar.part((out * cos - ahead * sin, out * sin + ahead * cos))
    }

    fn middle(&self, place: &CorrectionPlace) -> (f64, f64) {
        self.at(place.angle_deg, place.radius_mm * self.per_mm, 0.0)
    }

    /// The middle of what is drawn there, and how far it is from there to its edge.
    fn inside(&self, place: &CorrectionPlace, work: &Work) -> ((f64, f64), f64) {
        let half = self.half(place, work);
        if place.kind.is_round() {
            return (self.middle(place), half);
        }
        let deep = 0.5 * work.depth_mm.unwrap_or(0.0) * self.per_mm;
        let out = place.radius_mm * self.per_mm - deep;
        (self.at(place.angle_deg, out, 0.0), half.min(deep.abs()))
    }

    /// Half the width of what is drawn there.
    fn half(&self, place: &CorrectionPlace, work: &Work) -> f64 {
        0.5 * work.diameter_mm.unwrap_or(place.across_mm).abs() * self.per_mm
    }

    /// Half the width of a place that is not used.
    fn unused(&self, place: &CorrectionPlace) -> f64 {
        // A place without a size is still seen.
        (0.5 * place.across_mm.abs() * self.per_mm).max(2.0)
    }

    fn draw_unused(&self, sheet: &mut Sheet, place: &CorrectionPlace) {
        let half = self.unused(place);
        if place.kind.is_round() {
            sheet.circle(self.middle(place), half, "faint");
        } else {
            let rim = place.radius_mm * self.per_mm;
            let at = |out: f64, ahead: f64| self.at(place.angle_deg, out, ahead);
            let line = [at(rim - 4.0, -half), at(rim, -half), at(rim, half), at(rim - 4.0, half)];
            sheet.path(&outline(&line, false), "faint");
        }
    }

    /// Writes the number of a work in its mark; whether there was room.
    fn number_inside(
        &self,
        sheet: &mut Sheet,
        places: &mut Places,
        place: &CorrectionPlace,
        work: &Work,
    ) -> bool {
        let words = work.number.to_string();
        let ((x, y), room) = self.inside(place, work);
        0.5 * width(&words, Type::Small) + 4.0 <= room && places.on(sheet, (x, y + 5.0), &words)
    }

    /// A hole from the rim, or a flat, as it is seen along the shaft.
    fn side_on(&self, place: &CorrectionPlace, work: &Work) -> Vec<(f64, f64)> {
        let px = |mm: f64| mm * self.per_mm;
        let half = self.half(place, work);
        let (rim, depth) = (px(place.radius_mm), px(work.depth_mm.unwrap_or(0.0)));
        let at = |out: f64, ahead: f64| self.at(place.angle_deg, out, ahead);
        let mut corners = vec![at(rim, -half), at(rim - depth, -half)];
        corners.extend(work.point_depth_mm.map(|point| at(rim - px(point), 0.0)));
        corners.extend([at(rim - depth, half), at(rim, half)]);
        corners
    }
}

/// Draws the mark of a round place around a point.
fn round(sheet: &mut Sheet, kind: PlaceKind, at: (f64, f64), r: f64) {
    let disc = ring(at, r, 0.0);
    match kind {
        PlaceKind::Slug => {
            sheet.path(&disc, "paper");
            sheet.hatched(&disc, Hatch::Land);
        }
        PlaceKind::Added => {
            sheet.path(&disc, "metal");
            sheet.path(&ring(at, 0.8 * r, 0.0), "thin");
        }
        PlaceKind::HoleAlong | PlaceKind::HoleInRim | PlaceKind::Flat => {
            sheet.path(&disc, "paper");
            sheet.hatched(&disc, Hatch::Stock);
        }
    }
    sheet.path(&disc, "edge");
}

impl CounterweightFace {
    fn reach_mm(&self) -> f64 {
        let of = |p: &CorrectionPlace| {
            let across = p.work.as_ref().and_then(|w| w.diameter_mm).unwrap_or(0.0).abs();
            let half = if p.kind.is_round() { 0.5 * p.across_mm.abs().max(across) } else { 0.0 };
            p.radius_mm.abs() + half
        };
        self.places.iter().map(of).filter(|r| r.is_finite()).fold(LEAST_MM, f64::max)
    }

    /// Draws the face below its heading; its lower end, its scale, and the words that found no
    /// room.
    pub(super) fn draw_face(&self, sheet: &mut Sheet, top: f64) -> (f64, f64, Vec<String>) {
        let centre = (MIDDLE, top + THROW.1 + 14.0 + RADIUS);
        let polar = Polar { centre, radius: RADIUS, hand: self.seen_from.hand() };
        let per_mm = RADIUS / (MARGIN_PART * self.reach_mm());
        let view = View { polar, per_mm };
        let bottom = centre.1 + RADIUS + THROW.1 + 14.0;
        // Left of the column of words.
        let mut places = Places::new((4.0, top - 4.0, super::SIDE_LEFT - 8.0, bottom));
        sheet.circle(centre, RADIUS, "faint");
        polar.spokes(sheet, RADIUS - 8.0);
        let rim: Vec<_> = (0..=72).map(|n| polar.at(5.0 * f64::from(n), RADIUS)).collect();
        places.avoid_line(&rim);
        for place in self.places.iter().filter(|p| p.work.is_none()) {
            view.draw_unused(sheet, place);
        }
        for (deg, _) in self.throw_names() {
            sheet.line(centre, polar.at(deg, RADIUS), "axis");
        }
        let works = self.works();
        for (place, work) in &works {
            let (at, r) = (view.middle(place), view.half(place, work));
            if place.kind.is_round() {
                round(sheet, place.kind, at, r);
            } else {
                let mut corners = view.side_on(place, work);
                let d = outline(&corners, true);
                corners.extend(corners.first().copied());
                places.avoid_line(&corners);
                sheet.path(&d, "paper");
                sheet.hatched(&d, Hatch::Stock);
                sheet.path(&d, "edge");
            }
        }
        self.draw_arrows(sheet, &polar, &mut places);
        let beside: Vec<_> = works
            .iter()
            .filter(|(place, work)| !view.number_inside(sheet, &mut places, place, work))
            .collect();
        for place in self.places.iter().filter(|p| p.kind.is_round()) {
            let half =
                place.work.as_ref().map_or_else(|| view.unused(place), |w| view.half(place, w));
            let (x, y) = view.middle(place);
            places.take((x - half, y - half, x + half, y + half));
        }
        polar.angles(sheet, &mut places);
        polar.sense(sheet, &mut places);
        let mut missing = self.draw_throws(sheet, &polar, &mut places);
        let marks: Vec<Led> = beside
            .into_iter()
            .map(|(place, work)| {
                let (at, r) = view.inside(place, work);
                let ahead = (at.0 - centre.0, at.1 - centre.1);
                Led { at, r, ahead, words: work.number.to_string() }
            })
            .collect();
        let unlabelled = places.lead(sheet, &marks);
        missing.extend(unlabelled.into_iter().map(|n| marks[n].words.clone()));
        (bottom, per_mm * 1e3, missing)
    }

    /// Before and after, and what may be left, all to one scale of their own.
    fn draw_arrows(&self, sheet: &mut Sheet, polar: &Polar, places: &mut Places) {
        let (arrows, tolerance) = (self.arrows(), self.tolerance_g_mm.map(f64::abs));
        let (whole, near) = reaches(&arrows, tolerance);
        let per_amount = if whole > 0.0 { LONGEST * RADIUS / whole } else { 0.0 };
        if let Some(r) = tolerance.map(|t| t * per_amount).filter(|r| *r >= 1.0) {
            sheet.circle(polar.centre, r, "open");
            sheet.circle(polar.centre, r, "edge");
        }
        let (x, y) = polar.centre;
        for (dx, dy) in [(10.0, 0.0), (0.0, 10.0)] {
            sheet.line((x - dx, y - dy), (x + dx, y + dy), "thin");
        }
        for arrow in arrows {
            // What is enlarged beside would be a speck here.
            if near.is_some_and(|near| arrow.reach() <= near) {
                continue;
            }
            let to = polar.part((arrow.to.0 * per_amount, arrow.to.1 * per_amount));
            arrow.kind.draw(sheet, polar.centre, to, false);
            places.avoid_line(&[polar.centre, to]);
        }
    }

    /// Throws and the machine's zero; the names that found no room.
    fn draw_throws(&self, sheet: &mut Sheet, polar: &Polar, places: &mut Places) -> Vec<String> {
        let mut missing = Vec::new();
        for (deg, name) in self.throw_names() {
            let (from, to) = (polar.at(deg, RADIUS + THROW.0), polar.at(deg, RADIUS + THROW.1));
            sheet.line(from, to, "edge");
            arrow::head(sheet, to, (to.0 - from.0, to.1 - from.1));
            for (x, y) in [from, to] {
                places.take((x - 7.0, y - 7.0, x + 7.0, y + 7.0));
            }
            if !places.label(sheet, to, &name) {
                missing.push(name);
            }
        }
        if let Some(deg) = self.machine_zero_deg {
            let at = polar.at(deg, RADIUS);
            sheet.mark(at.0, at.1, Mark::Punch);
            let name = "machine 0\u{b0}";
            if !places.label(sheet, at, name) {
                missing.push(name.to_owned());
            }
        }
        missing
    }

    /// What the marks mean, those that are drawn; the base line after it.
    pub(super) fn draw_legend(&self, sheet: &mut Sheet, y: f64) -> f64 {
        let mut legend = Legend::new(y, 28.0);
        let used = |kind: PlaceKind| self.places.iter().any(|p| p.work.is_some() && p.kind == kind);
        for (kind, words) in [
            (PlaceKind::HoleAlong, "metal to take away"),
            (PlaceKind::Slug, "slug to put in"),
            (PlaceKind::Added, "mass to fasten on"),
        ] {
            let others = [PlaceKind::HoleInRim, PlaceKind::Flat];
            let taken = kind == PlaceKind::HoleAlong && others.into_iter().any(used);
            if used(kind) || taken {
                let (x, middle) = legend.entry(sheet, words);
                round(sheet, kind, (x + 10.0, middle), 8.0);
            }
        }
        if self.places.iter().any(|p| p.work.is_none()) {
            let (x, middle) = legend.entry(sheet, "place not used");
            sheet.circle((x + 10.0, middle), 8.0, "faint");
        }
        let (x, middle) = legend.entry(sheet, "outline not to the part");
        let arc: Vec<_> = (-30..=30)
            .map(|deg| {
                let (sin, cos) = f64::from(deg).to_radians().sin_cos();
                (x + 10.0 + 18.0 * sin, middle + 14.0 - 18.0 * cos)
            })
            .collect();
        sheet.path(&outline(&arc, false), "faint");
        if self.machine_zero_deg.is_some() {
            let (x, middle) = legend.entry(sheet, "zero of the machine's scale");
            sheet.mark(x + 10.0, middle, Mark::Punch);
        }
        legend.end()
    }
}
