//! Masses of the rotors: weighed, predicted after the cut, with all they carry; each about its own
//! bore; and what is to be taken from which.

use super::super::inputs::{BalanceError, BalanceInputs, CarriedItem, pockets};
use super::super::plan::{PlanReport, RotorReport};
use crate::build_file::Build;
use crate::build_file::model::balance::{BalanceRotor, Spot};
use kernel::balance::{
    Complex, Lump, OnMandrel, OnScale, OwnUnbalance, RotorBody, ToMatch, at_most, judge,
    on_mandrel, on_scale, provable_kg_m, take_metal,
};
use kernel::readings::{GUARD_FACTOR, Verdict};
use kernel::units::{Mass, Speed, Unbalance};

/// Share of its tolerance about its own bore that taking metal may leave of a rotor whose own
/// unbalance was not read (common practice, no source).
const UNREAD_SHARE: f64 = 0.25;
/// Errors below a milligram are none of a scale's.
const LEAST_SCALE_U_KG: f64 = 1e-6;
/// So much inside what proves it that rounding does not decide.
const INSIDE: f64 = 1.0 - 1e-6;
/// Share of what is permitted that correction aims at, so that its own errors have room.
const AIM_SHARE: f64 = 0.5;

/// What a rotor's scale readings say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassLine {
    /// As weighed before the cut.
    pub before_kg: Option<f64>,
    /// Predicted after the cut that the plan says, or said, from the weighing before it.
    pub predicted_kg: Option<f64>,
    /// As weighed after the cut.
    pub after_kg: Option<f64>,
    /// What is reckoned with: the newest weighing less what is still to be cut.
    pub used_kg: f64,
    /// Whether nothing was weighed.
    pub assumed: bool,
}

/// Something that a rotor carries.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemLine {
    /// What it is.
    pub name: String,
    /// Its mass.
    pub mass_kg: f64,
    /// Whether the weighing of the rotor has it in.
    pub with_rotor: bool,
}

/// A rotor about its own bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnLine {
    /// What was read, as it was read.
    pub read: OwnUnbalance,
    /// How: on a mandrel, else on a scale.
    pub on_mandrel: bool,
    /// With what has been cut since taken off.
    pub now_kg_m: Complex<f64>,
    /// What is said of it now.
    pub verdict: Verdict,
    /// What is said of it with the metal taken that is to be taken.
    pub planned: Verdict,
}

/// Metal to take at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenLine {
    /// Name of the pocket.
    pub pocket: String,
    /// Where it is, from tip 1 towards tip 2.
    pub angle_rad: f64,
    /// From the rotor's axis.
    pub radius_m: f64,
    /// How much.
    pub mass_kg: f64,
}

/// The balance of one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorBalance {
    /// Its serial.
    pub serial: String,
    /// Its weighings.
    pub mass: MassLine,
    /// What it carries.
    pub carried: Vec<ItemLine>,
    /// With all that it carries, after its cut, before metal is taken to match it.
    pub dressed: RotorBody,
    /// Metal that plan and match still take from it.
    pub still_to_take_kg: f64,
    /// What the cut does to its unbalance about its own bore.
    pub cut_shift_kg_m: Complex<f64>,
    /// About its own bore, where it was read.
    pub own: Option<OwnLine>,
    /// Most that this may be, at a third of the shaft's speed.
    pub own_permitted_kg_m: f64,
    /// Metal to take.
    pub take: Vec<TakenLine>,
    /// With that taken.
    pub finished: RotorBody,
}

pub(super) fn rotors(
    build: &Build,
    plan: &PlanReport,
    inputs: &BalanceInputs,
) -> Result<Vec<RotorBalance>, BalanceError> {
    let mut rotors = (0..build.rotors.len())
        .map(|index| one(build, &plan.rotors[index], inputs, index))
        .collect::<Result<Vec<_>, BalanceError>>()?;
    let pockets = pockets(build);
    let wanted: Vec<ToMatch> = rotors
        .iter()
        .map(|rotor| ToMatch {
            mass_kg: rotor.dressed.mass_kg,
            unbalance_kg_m: rotor.dressed.unbalance_kg_m,
            aim_kg_m: aim_kg_m(rotor),
        })
        .collect();
    let matched = take_metal(&wanted, &pockets, spread_aim_kg(inputs))?;
    for (rotor, taken) in rotors.iter_mut().zip(&matched.rotors) {
        for ((kg, pocket), named) in taken.from_kg.iter().zip(&pockets).zip(&build.balance.pockets)
        {
            if *kg > 0.0 {
                rotor.finished = rotor.finished.without(&Lump::at(
                    *kg,
                    pocket.angle_rad,
                    pocket.radius_m,
                    pocket.offset_m,
                ));
                rotor.still_to_take_kg += *kg;
                rotor.take.push(TakenLine {
                    pocket: named.name.clone(),
                    angle_rad: pocket.angle_rad,
                    radius_m: pocket.radius_m,
                    mass_kg: *kg,
                });
            }
        }
        if let Some(own) = &mut rotor.own {
            own.planned = said_of(
                &own.read,
                own.on_mandrel,
                rotor.finished.unbalance_kg_m,
                rotor.own_permitted_kg_m,
            );
        }
    }
    Ok(rotors)
}

/// How far masses may differ so that the scale proves it, half of what is allowed at the least.
fn spread_aim_kg(inputs: &BalanceInputs) -> f64 {
    let allowed_kg = inputs.spread.to_kg();
    (allowed_kg - spread_guard_kg(inputs)).max(AIM_SHARE * allowed_kg) * INSIDE
}

/// Guard of a difference of two masses.
fn spread_guard_kg(inputs: &BalanceInputs) -> f64 {
    GUARD_FACTOR * std::f64::consts::SQRT_2 * inputs.parts_u.scale_kg
}

/// How far masses differ before and after what is to be taken, and may.
pub(super) fn spread_kg(rotors: &[RotorBalance], allowed: Mass) -> [f64; 3] {
    let of = |mass: fn(&RotorBalance) -> f64| {
        let masses = rotors.iter().map(mass);
        let most = masses.clone().fold(f64::NEG_INFINITY, f64::max);
        most - masses.fold(f64::INFINITY, f64::min)
    };
    [of(|r| r.dressed.mass_kg), of(|r| r.finished.mass_kg), allowed.to_kg()]
}

/// What is said of how the masses differ afterwards.
pub(super) fn set_verdict(rotors: &[RotorBalance], inputs: &BalanceInputs) -> Verdict {
    let [_, after_kg, allowed_kg] = spread_kg(rotors, inputs.spread);
    if rotors.len() < 2 {
        return Verdict::Conforms;
    }
    let said = at_most(after_kg, std::f64::consts::SQRT_2 * inputs.parts_u.scale_kg, allowed_kg);
    // What nobody asked for is not failed.
    if inputs.spread_assumed { said.min(Verdict::NotProven) } else { said }
}

/// What taking metal may leave of a rotor's own unbalance: half of what proves it within, or what
/// it has now where that is proven; taking metal to match the set makes no rotor worse than that.
fn aim_kg_m(rotor: &RotorBalance) -> f64 {
    match &rotor.own {
        None => UNREAD_SHARE * rotor.own_permitted_kg_m,
        Some(own) => {
            let proven_kg_m =
                provable_kg_m(own.read.u_kg_m, rotor.own_permitted_kg_m).unwrap_or(0.0);
            let now_kg_m = rotor.dressed.unbalance_kg_m.norm();
            let half_kg_m = AIM_SHARE * proven_kg_m;
            if now_kg_m <= proven_kg_m { now_kg_m.max(half_kg_m) } else { half_kg_m }
        }
    }
}

fn one(
    build: &Build,
    planned: &RotorReport,
    inputs: &BalanceInputs,
    index: usize,
) -> Result<RotorBalance, BalanceError> {
    let (rotor, given) = (&build.rotors[index], &inputs.rotors[index]);
    // What has been or will be cut since the readings for balance were taken.
    let mut since = vec![planned.cut];
    if !given.read_after_cut {
        since.extend(planned.measured.as_ref().map(|measured| measured.taken));
    }
    let used_kg = inputs.masses_kg[index] - planned.cut.mass_kg;
    let after_kg = rotor.after.as_ref().and_then(|after| after.mass).map(Mass::to_kg);
    let before_kg = rotor.readings.mass.map(Mass::to_kg);
    let mass = MassLine {
        before_kg,
        predicted_kg: match (&planned.measured, before_kg) {
            (Some(measured), _) => measured.predicted.map(Mass::to_kg),
            (None, before_kg) => before_kg.map(|kg| kg - planned.cut.mass_kg),
        },
        after_kg,
        used_kg,
        assumed: planned.mass.is_none(),
    };
    let inside_kg: f64 =
        given.carried.iter().filter(|item| item.with_rotor).map(|item| item.lump.mass_kg).sum();
    let metal_kg = used_kg - inside_kg;
    if metal_kg <= 0.0 {
        let serial = rotor.serial.clone();
        return Err(BalanceError::Carried {
            serial,
            inside_g: 1e3 * inside_kg,
            mass_g: 1e3 * used_kg,
        });
    }
    let own = match &given.read {
        Some(read) => own_unbalance(read, build, inputs, metal_kg)?,
        None => None,
    };
    let read_kg_m = own.map_or(Complex::new(0.0, 0.0), |(own, _)| own.vector_kg_m);
    let at_reading_kg = metal_kg + since.iter().map(|lump| lump.mass_kg).sum::<f64>();
    let metal = since
        .iter()
        .fold(RotorBody::new(at_reading_kg, given.centre.to_m(), read_kg_m), |body, lump| {
            body.without(lump)
        });
    let dressed = given.carried.iter().fold(metal, |body, item| body.with(&item.lump));
    let third = Speed::rad_per_s(inputs.speed.to_rad_per_s() / 3.0);
    let own_permitted_kg_m =
        inputs.rotor_grade.permissible(Mass::kg(dressed.mass_kg), third).to_kg_m();
    let own = own.map(|(read, on_mandrel)| {
        let verdict = said_of(&read, on_mandrel, dressed.unbalance_kg_m, own_permitted_kg_m);
        OwnLine { read, on_mandrel, now_kg_m: dressed.unbalance_kg_m, verdict, planned: verdict }
    });
    let item = |item: &CarriedItem| ItemLine {
        name: item.name.clone(),
        mass_kg: item.lump.mass_kg,
        with_rotor: item.with_rotor,
    };
    Ok(RotorBalance {
        serial: rotor.serial.clone(),
        mass,
        carried: given.carried.iter().map(item).collect(),
        dressed,
        still_to_take_kg: planned.cut.mass_kg,
        cut_shift_kg_m: -since.iter().map(|lump| lump.unbalance_kg_m).sum::<Complex<f64>>(),
        own,
        own_permitted_kg_m,
        take: Vec::new(),
        finished: dressed,
    })
}

/// What is said of a rotor about its own bore: nothing is proven by readings that disagree, nor by
/// those that have the mandrel's own unbalance in them.
fn said_of(
    read: &OwnUnbalance,
    on_mandrel: bool,
    vector_kg_m: Complex<f64>,
    permitted_kg_m: f64,
) -> Verdict {
    let said = judge(vector_kg_m, read.u_kg_m, permitted_kg_m);
    let unsure = read.disagrees || (on_mandrel && read.mandrel_kg_m.is_none());
    if unsure { Verdict::NotProven } else { said }
}

/// From the mandrel where there are readings of it, else from the scale.
fn own_unbalance(
    read: &BalanceRotor,
    build: &Build,
    inputs: &BalanceInputs,
    spinning_kg: f64,
) -> Result<Option<(OwnUnbalance, bool)>, BalanceError> {
    let failed = |source| BalanceError::Own { serial: read.serial.clone(), source };
    if !read.mandrel.is_empty() {
        let heavy = match build.balance.instrument.spot.unwrap_or_default() {
            Spot::Heavy => 1.0,
            Spot::Light => -1.0,
        };
        let of = |amount: Unbalance| inputs.machine.of_kg_m(amount, spinning_kg);
        let readings: Vec<OnMandrel> = read
            .mandrel
            .iter()
            .map(|reading| OnMandrel {
                turned_rad: reading.turned.to_rad(),
                shown_kg_m: Complex::from_polar(
                    heavy * reading.amount.to_kg_m(),
                    reading.angle.to_rad(),
                ),
                u_kg_m: of(reading.amount),
            })
            .collect();
        return Ok(Some((on_mandrel(&readings).map_err(failed)?, true)));
    }
    let Some(arm) = read.arm.filter(|_| !read.rollers.is_empty()) else { return Ok(None) };
    let readings: Vec<OnScale> = read
        .rollers
        .iter()
        .map(|reading| OnScale { at_rad: reading.at.to_rad(), shown_kg: reading.mass.to_kg() })
        .collect();
    let own = on_scale(&readings, arm.to_m(), inputs.parts_u.scale_kg.max(LEAST_SCALE_U_KG))
        .map_err(failed)?;
    Ok(Some((own, false)))
}
