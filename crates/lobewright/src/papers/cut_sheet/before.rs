//! What is read before the first cut, and what the rotor lies on.

use super::super::cells::{Scale, facts, figure, heading, table, words};
use super::Maker;
use kernel::plan::{may_differ_by, micrometer_for, ring_under};
use kernel::readings::{Face, TIPS};
use kernel::seals::SealLine;
use kernel::units::Length;
use paper::{Block, Cell};

impl Maker<'_> {
    /// What was read, to be read again before the first cut.
    pub(super) fn before(&self) -> Vec<Block> {
        let readings = self.readings();
        let [width, step, runout] = self.tools();
        let mut rows = Vec::new();
        let mut row =
            |name: String, values: Option<[Length; TIPS]>, scale: Scale, differ: Length| {
                let mut cells = vec![words(name)];
                for tip in 0..TIPS {
                    let shown = values.map(|values| match scale {
                        Scale::Size => self.size(values[tip]),
                        Scale::Amount => self.amount(values[tip]),
                    });
                    cells.push(shown.map_or_else(|| words("not read"), |shown| figure(&shown)));
                    cells.push(Cell::Room);
                }
                cells.push(figure(&self.amount(differ)));
                rows.push(cells);
            };
        let widths = may_differ_by(width.gauge);
        row(format!("land width, {}", width.name), Some(readings.land_width), Scale::Size, widths);
        let steps = may_differ_by(step.gauge);
        for (face, values) in [(Face::Gear, readings.gear_step), (Face::Plain, readings.plain_step)]
        {
            let name = format!("{}-face step, {}", face.name(), step.name);
            row(name, Some(values), Scale::Amount, steps);
        }
        for (face, values) in
            [(Face::Gear, readings.gear_runout), (Face::Plain, readings.plain_runout)]
        {
            let differ = match values {
                Some(_) => may_differ_by(runout.gauge),
                // Three of the standard uncertainty with which it was assumed square.
                None => readings.squareness * 3.0,
            };
            let name = format!("{}-land run-out, {}", face.name(), runout.name);
            row(name, values, Scale::Amount, differ);
        }
        vec![
            heading("Before the first cut"),
            table(
                "As it was read: read it again, and write it down",
                &["", "tip 1", "now", "tip 2", "now", "tip 3", "now", "may differ"],
                rows,
                Some(format!(
                    "Land width: thickness over both lands, at the land's outer edge, in line with the \
                     tip. Step: land less face, read at radius {} in line with the tip; where a slot or \
                     a bore is there, beside it on both sides, and the mean. Run-out: on the bore, dial \
                     at nothing at tip 1, + where the land stands out; one that was not read may run \
                     out by the last column.",
                    self.size(self.report.inputs.reading_radius)
                )),
            ),
        ]
    }

    /// What it lies on and what it is read with.
    pub(super) fn fixture(&self) -> Block {
        let inputs = &self.report.inputs;
        let ring = ring_under(inputs.face.land_radius(), inputs.land_inner_radius);
        let (outside, inside) = (self.size(ring.outside), self.size(ring.inside));
        let ring = if ring.gaps {
            format!(
                "ground ring with a gap under each tip for the gauge, outside at most {outside}, inside \
                 at least {inside}"
            )
        } else {
            format!(
                "ground ring, outside at most {outside}, inside at least {inside}: so the gauge reaches \
                 the lower land's edge, and gear and bearing hang free"
            )
        };
        let ([from, to], throat) = micrometer_for(
            self.rotor.plan.land_width,
            inputs.face.land_radius(),
            inputs.face.rotor_tip_radius(),
        );
        let deepest = Face::BOTH
            .into_iter()
            .flat_map(|face| self.rotor.plan.cut.face(face).tip)
            .fold(Length::ZERO, Length::max);
        let judged: Vec<bool> = self.rotor.seals.iter().filter_map(SealLine::holds).collect();
        let seals = if judged.is_empty() {
            "the spec has no limits of seals: nobody has checked that they keep their support"
        } else if judged.iter().all(|holds| *holds) {
            "the spec's limits of the seals hold with that"
        } else {
            "a limit of the seals does not hold with that: stop and ask"
        };
        facts(&[
            ("Lies on", format!("{ring}; its faces parallel within {}", self.amount(inputs.capability))),
            (
                "Held",
                format!(
                    "by the web or through the bore, clear of the cutter, after gear, bearing and \
                     grooves are covered from grit; seals and springs out. The bore moves by no more \
                     than {} when it is clamped",
                    self.amount(inputs.capability)
                ),
            ),
            (
                "Read with",
                format!(
                    "micrometer {:.0} to {:.0} mm with a throat of {:.0} mm or more; indicator on a \
                     bridge over the land",
                    from.to_mm(),
                    to.to_mm(),
                    throat.to_mm()
                ),
            ),
            (
                "Shoulder",
                "where land and outside meet: a corner of up to 0.4 mm radius outside the land's edge \
                 (common practice), nothing inside it"
                    .to_owned(),
            ),
            (
                "Edges",
                "0.1 mm at the most (common practice); grooves and bores of seals are cleared, not \
                 rounded"
                    .to_owned(),
            ),
            (
                "By program",
                "where a program cuts it, its set-up list takes the place of the steps that find Z and cut"
                    .to_owned(),
            ),
            (
                "Seals",
                format!(
                    "their grooves and bores get shallower by up to {}; {seals}",
                    self.amount(deepest)
                ),
            ),
        ])
    }
}
