//! Sizes to hold: after each set-up on the machine, and off it when it is done.

use super::super::cells::{Scale, heading, size, strong, table, words};
use super::{Maker, Side};
use kernel::readings::{Face, TIPS, Tolerance};
use kernel::units::Length;
use paper::{Block, Cell};

impl Maker<'_> {
    pub(super) fn to_read(&self, side: &Side) -> Block {
        let hold = self.rotor.hold.land_width;
        let aim = self.rotor.plan.land_width;
        let rooms = || [Cell::Room, Cell::Room, Cell::Room];
        let level = side.widths.iter().all(|width| (*width - aim).abs() < Length::um(0.5));
        let mut rows = Vec::new();
        if level {
            let [from, to] = Scale::Size.limits(hold, self.first);
            let mut row = vec![words("land width"), size(aim, self.first), from, to];
            row.extend(rooms());
            rows.push(row);
        } else {
            for tip in 0..TIPS {
                // As far from its aim as the finished width may be from its own.
                let shift = side.widths[tip] - aim;
                let between = Tolerance { least: hold.least + shift, most: hold.most + shift };
                let [from, to] = Scale::Size.limits(between, self.first);
                let name = words(format!("land width, tip {}", tip + 1));
                let mut row = vec![name, size(side.widths[tip], self.first), from, to];
                row.extend((0..TIPS).map(|k| if k == tip { Cell::Room } else { Cell::Empty }));
                rows.push(row);
            }
        }
        let steps = self.rotor.plan.finished.face(side.face).step();
        rows.push(self.step_row(side.face, steps));
        let none = Tolerance { least: Length::ZERO, most: self.square() };
        let [_, most] = Scale::Amount.limits(none, self.first);
        let mut row = vec![words("land run-out to the bore"), Cell::Empty, Cell::Empty, most];
        row.extend(rooms());
        rows.push(row);
        let mut notes = Vec::new();
        if !level {
            notes.push(
                "The other land is not cut yet: so these widths are larger than the finished one, and \
                 each tip has its own. Over the most: cut again. Under the least: stop."
                    .to_owned(),
            );
        }
        notes.extend(self.why_lopsided());
        table(
            &format!("Read on the machine after set-up {}", side.number),
            &["", "aim", "from", "to", "got, tip 1", "got, tip 2", "got, tip 3"],
            rows,
            (!notes.is_empty()).then(|| notes.join(" ")),
        )
    }

    pub(super) fn step_row(&self, face: Face, steps: [Length; TIPS]) -> Vec<Cell> {
        let [from, to] = Scale::Amount.limits(self.rotor.hold.step, self.first);
        let aims = steps.map(|step| self.amount(step));
        let aim = if aims.iter().all(|aim| *aim == aims[0]) {
            strong(&aims[0])
        } else {
            words(aims.join(", "))
        };
        let name = words(format!("{}-face step", face.name()));
        vec![name, aim, from, to, Cell::Room, Cell::Room, Cell::Room]
    }

    /// Why the least step is nearer to the aim than the most.
    pub(super) fn why_lopsided(&self) -> Option<String> {
        let (hold, spec) = (self.rotor.hold.step, self.report.spec.step);
        let (below, above) = (spec.target - hold.least, hold.most - spec.target);
        (above - below > Length::um(0.5)).then(|| {
            format!(
                "The least step is nearer to its aim than the most: it is held up by where the tips \
                 would touch, {}, and by the gauges' error.",
                self.amount(self.rotor.plan.step_needed_hot)
            )
        })
    }

    /// What the finished rotor is.
    pub(super) fn finished(&self) -> Vec<Block> {
        let [from, to] = Scale::Size.limits(self.rotor.hold.land_width, self.first);
        let width = size(self.rotor.plan.land_width, self.first);
        let mut rows =
            vec![vec![words("land width"), width, from, to, Cell::Room, Cell::Room, Cell::Room]];
        for face in Face::BOTH {
            rows.push(self.step_row(face, self.rotor.plan.finished.face(face).step()));
        }
        vec![
            heading("When it is done"),
            table(
                "Sizes to hold, read off the machine, washed and cool",
                &["", "aim", "from", "to", "got, tip 1", "got, tip 2", "got, tip 3"],
                rows,
                Some(
                    "These are entered at the bench as readings after the cut. From and to are rounded \
                     inwards in each system by itself. Then fill in the line of this rotor on the sheet \
                     of the set, before the next rotor is cut."
                        .to_owned(),
                ),
            ),
        ]
    }
}
