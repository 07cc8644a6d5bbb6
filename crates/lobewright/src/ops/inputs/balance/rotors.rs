//! What the file says of each rotor for balance.

use super::super::super::assumed::Assumed;
use super::CENTRE_U;
use crate::build_file::Build;
use crate::build_file::model::Way;
use crate::build_file::model::balance::{BalanceRotor, Carried};
use kernel::balance::{Lump, Pocket};
use kernel::units::{Length, Mass, System};

/// A rotor as balance reads it.
#[derive(Debug, Clone)]
pub(in crate::ops) struct RotorReadingsForBalance {
    /// What it carries beside its own metal.
    pub(in crate::ops) carried: Vec<CarriedItem>,
    /// Its own readings.
    pub(in crate::ops) read: Option<BalanceRotor>,
    /// Whether those are from after its cut.
    pub(in crate::ops) read_after_cut: bool,
    /// Mass centre of its metal, from the mid-plane, towards the gear face.
    pub(in crate::ops) centre: Length,
    /// Standard uncertainty of that.
    pub(in crate::ops) centre_u: Length,
    /// 1 where the gear face looks to the rear, -1 where it looks to the front.
    pub(in crate::ops) to_rear: f64,
}

/// Something carried.
#[derive(Debug, Clone)]
pub(in crate::ops) struct CarriedItem {
    pub(in crate::ops) name: String,
    pub(in crate::ops) lump: Lump,
    /// Whether the rotor's weighing has it in.
    pub(in crate::ops) with_rotor: bool,
}

pub(super) fn readings(
    build: &Build,
    first: System,
    assumed: &mut Assumed,
) -> Vec<RotorReadingsForBalance> {
    let given = &build.balance;
    if given.carried.is_empty() {
        assumed.note("rotors weighed with all that they carry (balance.carried)");
    }
    if given.oil.is_none() {
        assumed.note("no oil carried in the rotors (balance.oil)");
    }
    let one = |rotor: &crate::build_file::model::Rotor| {
        let read = given.rotors.iter().find(|read| read.serial == rotor.serial).cloned();
        let read_after_cut = read.as_ref().and_then(|read| read.after_cut).unwrap_or_else(|| {
            if read.is_some() && rotor.after.is_some() {
                assumed.note(format!(
                    "readings of rotor {} for balance are from after its cut (balance.rotor.state)",
                    rotor.serial
                ));
            }
            rotor.after.is_some()
        });
        let centre = read.as_ref().and_then(|read| read.mass_centre).unwrap_or_else(|| {
            assumed.note(format!(
                "the mass centre of rotor {} in its mid-plane (balance.rotor.mass_centre)",
                rotor.serial
            ));
            Length::ZERO
        });
        let centre_u = read.as_ref().and_then(|read| read.mass_centre_u).unwrap_or_else(|| {
            assumed.note(format!(
                "mass centres of rotors along their axis known to {}, standard",
                CENTRE_U.as_amount(first)
            ));
            CENTRE_U
        });
        RotorReadingsForBalance {
            carried: carried(&given.carried, &rotor.serial),
            read,
            read_after_cut,
            centre,
            centre_u,
            to_rear: match rotor.gear_face {
                Way::Rear => 1.0,
                Way::Front => -1.0,
            },
        }
    };
    build.rotors.iter().map(one).collect()
}

fn carried(all: &[Carried], serial: &str) -> Vec<CarriedItem> {
    all.iter()
        .filter(|item| item.rotor.as_deref().is_none_or(|only| only == serial))
        .map(|item| CarriedItem {
            name: item.name.clone(),
            lump: Lump::evenly(item.mass.to_kg(), item.offset.unwrap_or_default().to_m()),
            with_rotor: item.with_rotor,
        })
        .collect()
}

/// Mass of what a rotor carries that its own weighing does not have in: it turns with the rotor.
pub(in crate::ops) fn carried_apart(build: &Build, serial: &str) -> Mass {
    let apart = carried(&build.balance.carried, serial).into_iter().filter(|c| !c.with_rotor);
    Mass::kg(apart.map(|item| item.lump.mass_kg).sum())
}

/// Places from which metal may be taken, as the kernel takes them.
pub(in crate::ops) fn pockets(build: &Build) -> Vec<Pocket> {
    let pocket = |given: &crate::build_file::model::balance::Pocket| Pocket {
        angle_rad: given.angle.to_rad(),
        radius_m: given.radius.to_m(),
        offset_m: given.offset.unwrap_or_default().to_m(),
        most_kg: given.most.to_kg(),
    };
    build.balance.pockets.iter().map(pocket).collect()
}
