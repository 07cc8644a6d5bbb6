//! Faces and machines for which a program is given out.

use crate::sample::{lathe, mill, step, taper, titles};
use kernel::units::Length;
use program::program;

#[test]
fn every_kind_of_face_passes_on_either_machine() {
    for (name, job) in [("step", step()), ("taper", taper())] {
        for machine in [mill(), lathe()] {
            let made = program(&job, &machine, &titles(), Length::mm(0.5));
            let made = made.unwrap_or_else(|error| panic!("{name} {}: {error}", machine.name));
            println!("{name} {} {:?}", machine.name, made.report());
            println!("{}", made.text().lines().take(70).collect::<Vec<_>>().join("\n"));
        }
    }
}
