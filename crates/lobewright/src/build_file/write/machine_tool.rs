//! Writes machine tools.

use super::{Lines, key, words};
use crate::build_file::model::machine_tool::{MachineTool, Tool};

pub(super) fn machine_tool(file: &mut Lines, name: &str, machine: &MachineTool) {
    let head = format!("machine_tool.{}", key(name));
    file.head(&format!("[{head}]"));
    file.value("kind", words(machine.tool.kind()));
    file.value("units", words(machine.control.units.name()));
    file.value("units_word", words(machine.control.word.name()));
    if let Tool::Lathe(lathe) = &machine.tool {
        file.value("x_reads", words(lathe.x_reads.name()));
    }
    file.quantity("most_speed", machine.most_speed);
    file.quantity_if("least_speed", machine.least_speed);
    file.quantity_if("rapid", machine.rapid);
    file.head(&format!("[{head}.fixture]"));
    file.value("held_by", words(machine.fixture.held_by.name()));
    file.quantity("clamp_radius", machine.fixture.clamp_radius);
    file.quantity("clamp_height", machine.fixture.clamp_height);
    file.head(&format!("[{head}.cutter]"));
    match &machine.tool {
        Tool::Mill(mill) => {
            file.quantity("diameter", mill.diameter);
            file.quantity("corner_radius", mill.corner_radius);
            file.value("teeth", mill.teeth.to_string());
            file.quantity("reach", mill.reach);
            file.quantity("holder_diameter", mill.holder_diameter);
        }
        Tool::Lathe(lathe) => {
            file.quantity("corner_radius", lathe.nose_radius);
            file.quantity("reach", lathe.reach);
            file.quantity("holder_width", lathe.holder_width);
        }
    }
    file.head(&format!("[{head}.rough]"));
    file.quantity("cutting_speed", machine.rough.cutting_speed);
    file.quantity("feed", machine.rough.feed);
    file.quantity("depth", machine.rough.depth);
    file.head(&format!("[{head}.finish]"));
    file.quantity("cutting_speed", machine.finish.cutting_speed);
    file.quantity("feed", machine.finish.feed);
    file.quantity("stock", machine.finish.stock);
}
