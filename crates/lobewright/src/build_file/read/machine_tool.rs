//! Reads the shop's machine tools. What a mill needs and what a lathe needs are told apart by
//! `kind`; where that cannot be read, nothing of the other kind is missed or refused.

use crate::build_file::checks::machine_tool as checks;
use crate::build_file::limits::machine_tool as limits;
use crate::build_file::model::machine_tool::{
    Control, ControlUnits, Finish, Fixture, HeldBy, LatheTool, MachineTool, MillCutter, Rough,
    Tool, UnitsWord, XReads,
};
use crate::build_file::walk::Walk;

/// Most teeth of a cutter; a face mill of the largest diameter has thirty.
const MOST_TEETH: i64 = 40;

/// Which kind of machine a table says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::build_file) enum Kind {
    Mill,
    Lathe,
}

impl Kind {
    /// As the file says it.
    pub(in crate::build_file) const fn name(self) -> &'static str {
        match self {
            Self::Mill => Tool::KINDS[0],
            Self::Lathe => Tool::KINDS[1],
        }
    }
}

pub(super) fn machine_tool(t: &Walk<'_, '_>) -> Option<MachineTool> {
    let kind =
        t.choice("kind", &Tool::KINDS).map(|i| if i == 0 { Kind::Mill } else { Kind::Lathe });
    let units = t.choice("units", &ControlUnits::ALL.map(ControlUnits::name));
    let word = t.choice("units_word", &UnitsWord::ALL.map(UnitsWord::name));
    let control = units.zip(word).map(|(units, word)| Control {
        units: ControlUnits::ALL[units],
        word: UnitsWord::ALL[word],
    });
    checks::units_word(t, control);
    let x_reads = t.choice_if("x_reads", &XReads::ALL.map(XReads::name)).map(|i| XReads::ALL[i]);
    let most_speed = t.quantity("most_speed", &limits::SPINDLE);
    let least_speed = t.quantity_if("least_speed", &limits::SPINDLE);
    checks::least_speed(t, least_speed, most_speed);
    let rapid = t.quantity_if("rapid", &limits::RAPID);
    let fixture = t.table("fixture").and_then(|t| fixture(&t));
    let tool = t.table("cutter").and_then(|t| cutter(&t, kind, x_reads));
    let rough = t.table("rough").and_then(|t| rough(&t));
    let finish = t.table("finish").and_then(|t| finish(&t));
    checks::stock(t, finish, rough);
    if let Some(kind) = kind {
        checks::of_its_kind(t, kind);
    }
    Some(MachineTool {
        control: control?,
        most_speed: most_speed?,
        least_speed,
        rapid,
        fixture: fixture?,
        tool: tool?,
        rough: rough?,
        finish: finish?,
    })
}

fn fixture(t: &Walk<'_, '_>) -> Option<Fixture> {
    let held_by = t.choice("held_by", &HeldBy::ALL.map(HeldBy::name)).map(|i| HeldBy::ALL[i]);
    let clamp_radius = t.quantity("clamp_radius", &limits::CLAMP_RADIUS);
    let clamp_height = t.quantity("clamp_height", &limits::CLAMP_HEIGHT);
    Some(Fixture { held_by: held_by?, clamp_radius: clamp_radius?, clamp_height: clamp_height? })
}

fn cutter(t: &Walk<'_, '_>, kind: Option<Kind>, x_reads: Option<XReads>) -> Option<Tool> {
    let diameter = t.quantity_if("diameter", &limits::CUTTER);
    let corner_radius = match kind {
        Some(Kind::Mill) => t.quantity("corner_radius", &limits::CORNER_RADIUS),
        Some(Kind::Lathe) => t.quantity("corner_radius", &limits::NOSE_RADIUS),
        None => t.quantity_if("corner_radius", &limits::CORNER_RADIUS),
    };
    let teeth = t.has("teeth").then(|| t.count("teeth", 1..MOST_TEETH + 1)).flatten();
    let reach = t.quantity("reach", &limits::REACH);
    let holder_diameter = t.quantity_if("holder_diameter", &limits::HOLDER_DIAMETER);
    let holder_width = t.quantity_if("holder_width", &limits::HOLDER_WIDTH);
    let kind = kind?;
    checks::of_its_kind(t, kind);
    match kind {
        Kind::Mill => {
            checks::corner(t, corner_radius, diameter);
            Some(Tool::Mill(MillCutter {
                diameter: diameter?,
                corner_radius: corner_radius?,
                teeth: u32::try_from(teeth?).ok()?,
                reach: reach?,
                holder_diameter: holder_diameter?,
            }))
        }
        Kind::Lathe => Some(Tool::Lathe(LatheTool {
            x_reads: x_reads?,
            nose_radius: corner_radius?,
            reach: reach?,
            holder_width: holder_width?,
        })),
    }
}

fn rough(t: &Walk<'_, '_>) -> Option<Rough> {
    let cutting_speed = t.quantity("cutting_speed", &limits::CUTTING_SPEED);
    let feed = t.quantity("feed", &limits::FEED);
    let depth = t.quantity("depth", &limits::DEPTH);
    Some(Rough { cutting_speed: cutting_speed?, feed: feed?, depth: depth? })
}

fn finish(t: &Walk<'_, '_>) -> Option<Finish> {
    let cutting_speed = t.quantity("cutting_speed", &limits::CUTTING_SPEED);
    let feed = t.quantity("feed", &limits::FEED);
    let stock = t.quantity("stock", &limits::STOCK);
    Some(Finish { cutting_speed: cutting_speed?, feed: feed?, stock: stock? })
}
