//! Machine tools, for tests.

use super::Maker;
use crate::build_file::limits::machine_tool as limits;
use crate::build_file::model::machine_tool::{
    Control, Finish, Fixture, HeldBy, LatheTool, MachineTool, MillCutter, Rough, Tool, UnitsWord,
    XReads,
};
use kernel::units::{Length, Quantity, Speed};

impl Maker {
    pub(super) fn machine_tool(&mut self) -> MachineTool {
        let word = UnitsWord::ALL[self.below(4)];
        let most_speed: Speed = self.any(&limits::SPINDLE);
        let share = self.part().max(1e-3);
        let depth = self.any(&limits::DEPTH);
        MachineTool {
            control: Control { units: word.units(), word },
            most_speed,
            least_speed: self.maybe(|_| Speed::from_si(most_speed.si() * share)),
            rapid: self.maybe(|m| m.any(&limits::RAPID)),
            fixture: Fixture {
                held_by: HeldBy::ALL[self.below(2)],
                clamp_radius: self.any(&limits::CLAMP_RADIUS),
                clamp_height: self.any(&limits::CLAMP_HEIGHT),
            },
            tool: if self.below(2) == 0 { self.mill() } else { self.lathe() },
            rough: Rough {
                cutting_speed: self.any(&limits::CUTTING_SPEED),
                feed: self.any(&limits::FEED),
                depth,
            },
            finish: Finish {
                cutting_speed: self.any(&limits::CUTTING_SPEED),
                feed: self.any(&limits::FEED),
                stock: self.any(&limits::STOCK).min(depth),
            },
        }
    }

    fn mill(&mut self) -> Tool {
        let diameter = self.any(&limits::CUTTER);
        Tool::Mill(MillCutter {
            diameter,
            corner_radius: {
                let most = (diameter / 2.0 - Length::mm(1.0)).min(Length::mm(20.0));
                self.between(Length::ZERO, most)
            },
            teeth: 1 + u32::try_from(self.below(40)).unwrap(),
            reach: self.any(&limits::REACH),
            holder_diameter: self.any(&limits::HOLDER_DIAMETER),
        })
    }

    fn lathe(&mut self) -> Tool {
        Tool::Lathe(LatheTool {
            x_reads: XReads::ALL[self.below(2)],
            nose_radius: self.any(&limits::NOSE_RADIUS),
            reach: self.any(&limits::REACH),
            holder_width: self.any(&limits::HOLDER_WIDTH),
        })
    }
}
