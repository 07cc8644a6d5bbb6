//! Reads what balancing depends on. Nothing of it must be there; of what is there, what it cannot
//! do without.

use super::{MOST_ROTORS, every, speed};
use crate::build_file::checks::balance as checks;
use crate::build_file::checks::speed::{Along, between_faces, one_for_each};
use crate::build_file::limits::balance as limits;
use crate::build_file::limits::{self as common, speed::PLACE};
use crate::build_file::model::balance::{
    Amplitude, BalanceRotor, Carried, CarriedOil, CorrectionPlane, Counted, How, Instrument,
    MandrelReading, MeasuredUnbalance, Phase, Place, Pocket, RollerReading, Run, SensorReading,
    Shown, Spot,
};
use crate::build_file::model::{Balance, Rotor};
use crate::build_file::walk::Walk;
use crate::build_file::wording::{found, number_text, quoted};
use kernel::balance::Grade;
use kernel::units::Length;
use speed::there_or_left_out;
use toml::de::DeValue;

/// What the rest of the file says that balance must agree with.
pub(super) struct Around<'w, 'f, 'i> {
    pub(super) rotor_walks: &'w [Walk<'f, 'i>],
    pub(super) along: Option<Along<'f>>,
    pub(super) others: &'w speed::Around<'w, 'f, 'i>,
}

impl Around<'_, '_, '_> {
    fn rotors(&self) -> impl Iterator<Item = &Rotor> {
        self.others.rotors.iter().flatten()
    }

    /// A place counted from the mid-plane is inside the rotor of this serial, or inside all.
    fn between_faces(&self, t: &Walk<'_, '_>, place: (&str, Option<Length>), serial: Option<&str>) {
        match serial {
            Some(serial) => {
                let rotors = self.rotors().filter(|rotor| rotor.serial == serial);
                between_faces(t, place, rotors, serial);
            }
            None => between_faces(t, place, self.rotors(), "the narrowest rotor"),
        }
    }
}

pub(super) fn balance(file: &Walk<'_, '_>, around: &Around<'_, '_, '_>) -> Option<Balance> {
    let Some(t) = file.table_if("balance") else { return Some(Balance::default()) };
    let t = &t;
    let [grade, rotor_grade] = ["grade", "rotor_grade"].map(|key| self::grade(t, key));
    let speed = t.quantity_if("speed", &common::SPEED);
    let matching = t.quantity_if("match", &limits::MATCH);
    let scale_u = t.quantity_if("scale_u", &limits::SCALE_U);
    let mass = t.quantity_if("mass", &limits::SPUN_MASS);
    let of_planes = ("plane", "front and rear, from the shaft's front end");
    let tolerance_planes = t
        .list_if("tolerance_planes", &PLACE, 2..3, of_planes)
        .and_then(|planes| <[Length; 2]>::try_from(planes).ok());
    if let Some(planes) = &tolerance_planes {
        checks::tolerance_planes(t, *planes, around.along.as_ref());
    }
    let of_bobs = ("bob weight", "one for each rotor, from the front");
    let journal_unbalance = t.quantity_if("journal_unbalance", &limits::SHOWN);
    let bob_weights = t.list_if("bob_weights", &limits::BOB_WEIGHT, 1..MOST_ROTORS + 1, of_bobs);
    if let Some(weights) = &bob_weights {
        one_for_each(t, "bob_weights", weights.len(), "bob weight", around.others.rotor_count);
    }
    let instrument = t.table_if("instrument").map(|t| instrument(&t)).unwrap_or_default();

    let carried_walks = t.each("carried");
    let carried = every(carried_walks.iter().map(|t| carried(t, around)));
    checks::at_most(t, "carried", checks::MOST_CARRIED, "thing carried");
    checks::told_apart(&carried_walks, "carried");
    let oil = t.table_if("oil").map(|t| oil(&t, around));

    let rotor_walks = t.each("rotor");
    let rotors = every(rotor_walks.iter().map(|t| rotor(t, around)));
    checks::each_rotor_once(&rotor_walks);
    let pocket_walks = t.each("pocket");
    let pockets = every(pocket_walks.iter().map(|t| pocket(t, around)));
    checks::at_most(t, "pocket", checks::MOST_POCKETS, "pocket");
    checks::told_apart(&pocket_walks, "pocket");

    let no_shaft = !file.has("shaft") && !file.is_misspelled("shaft");
    let plane_walks = ["front", "rear"].map(|key| t.table_if(key));
    let [front, rear] =
        plane_walks.each_ref().map(|t| t.as_ref().map(|t| plane(t, around, no_shaft)));
    if let ([Some(_), Some(rear_walk)], Some((front, _)), Some((rear, _))) =
        (&plane_walks, &front, &rear)
    {
        checks::front_and_rear(rear_walk, *front, *rear);
    }
    let [front, rear] = [front, rear].map(|plane| there_or_left_out(plane.map(|(_, plane)| plane)));

    let [measured, after] =
        ["measured", "after"].map(|key| there_or_left_out(t.table_if(key).map(|t| measured(&t))));
    let run_walks = t.each("run");
    checks::at_most(t, "run", checks::MOST_RUNS, "run");
    let sensor_walks: Vec<_> = run_walks.iter().map(|run| run.each("sensors")).collect();
    let runs = every(run_walks.iter().zip(&sensor_walks).map(|(t, sensors)| run(t, sensors)));
    checks::sensors(&run_walks, &sensor_walks);
    Some(Balance {
        grade,
        rotor_grade,
        speed,
        matching,
        scale_u,
        mass,
        tolerance_planes,
        journal_unbalance,
        bob_weights,
        instrument,
        carried: carried?,
        oil: there_or_left_out(oil)?,
        rotors: rotors?,
        pockets: pockets?,
        front: front?,
        rear: rear?,
        measured: measured?,
        after: after?,
        runs: runs?,
    })
}

/// A grade that may be left out.
fn grade(t: &Walk<'_, '_>, key: &str) -> Option<Grade> {
    let value = t.get(key)?;
    let cure = |number: &str| {
        let grade = Grade::mm_per_s(number.trim().parse().ok()?).ok()?;
        Some(format!("write {:?} if that is meant", grade.to_string()))
    };
    let (what, hint) = match value.get_ref() {
        DeValue::String(text) => match Grade::parse(text) {
            Ok(grade) => return Some(grade),
            Err(_) => (format!("{} is no grade", quoted(text)), cure(text)),
        },
        other => (found(other), cure(&number_text(other))),
    };
    t.wrong(key, what, limits::expected_grade(), hint);
    None
}

fn instrument(t: &Walk<'_, '_>) -> Instrument {
    let spots = [Spot::Heavy, Spot::Light];
    let ways = [Counted::WithRotation, Counted::AgainstRotation];
    let phases = [Phase::Lag, Phase::Lead];
    Instrument {
        spot: t.choice_if("spot", &spots.map(Spot::name)).map(|i| spots[i]),
        angles: t.choice_if("angles", &ways.map(Counted::name)).map(|i| ways[i]),
        phase: t.choice_if("phase", &phases.map(Phase::name)).map(|i| phases[i]),
        zero: t.quantity_if("zero", &limits::ZERO),
        u: t.quantity_if("u", &limits::SHOWN_U),
        u_share: t.share_if("u_share", &limits::U_SHARE),
        vibration_u: t.share_if("vibration_u", &limits::VIBRATION_U),
        speed: t.quantity_if("speed", &common::SPEED),
    }
}

fn carried(t: &Walk<'_, '_>, around: &Around<'_, '_, '_>) -> Option<Carried> {
    let name = t.name("name", "apex seals and springs");
    let mass = t.quantity("mass", &limits::CARRIED);
    let offset = t.quantity_if("offset", &limits::OFFSET);
    let rotor = t.name_if("rotor");
    let weighed = t.choice("weighed", &["apart", "with rotor"]);
    checks::rotor_named(t, "rotor", around.rotor_walks);
    around.between_faces(t, ("offset", offset), rotor.as_deref());
    Some(Carried { name: name?, mass: mass?, offset, rotor, with_rotor: weighed? == 1 })
}

fn oil(t: &Walk<'_, '_>, around: &Around<'_, '_, '_>) -> Option<CarriedOil> {
    let amount = t.quantity("amount", &limits::OIL);
    let angle = t.quantity_if("angle", &limits::OIL_ANGLE);
    let offset = t.quantity_if("offset", &limits::OFFSET);
    around.between_faces(t, ("offset", offset), None);
    Some(CarriedOil { amount: amount?, angle, offset })
}

fn rotor(t: &Walk<'_, '_>, around: &Around<'_, '_, '_>) -> Option<BalanceRotor> {
    let serial = t.name("serial", "R-114");
    let state = t.choice_if("state", &["before cut", "after cut"]);
    let mass_centre = t.quantity_if("mass_centre", &limits::MASS_CENTRE);
    let mass_centre_u = t.quantity_if("mass_centre_u", &limits::MASS_CENTRE_U);
    checks::rotor_named(t, "serial", around.rotor_walks);
    if let Some(serial) = &serial {
        around.between_faces(t, ("mass_centre", mass_centre), Some(serial));
        let uncut = around.rotors().any(|rotor| rotor.serial == *serial && rotor.after.is_none());
        checks::read_after_cut(t, serial, state == Some(1) && uncut);
    }
    let mandrel = every(t.each("mandrel").iter().map(mandrel));
    checks::at_most(t, "mandrel", checks::MOST_READINGS, "reading");
    let rollers = every(t.each("rollers").iter().map(roller));
    let arm = t.quantity_if("arm", &limits::ARM);
    checks::rollers(t);
    Some(BalanceRotor {
        serial: serial?,
        after_cut: state.map(|state| state == 1),
        mass_centre,
        mass_centre_u,
        mandrel: mandrel?,
        rollers: rollers?,
        arm,
    })
}

fn mandrel(t: &Walk<'_, '_>) -> Option<MandrelReading> {
    let turned = t.quantity("turned", &limits::TURNED);
    let Shown { amount, angle } = shown_at(t, &limits::TURNED)?;
    Some(MandrelReading { turned: turned?, amount, angle })
}

fn roller(t: &Walk<'_, '_>) -> Option<RollerReading> {
    let at = t.quantity("at", &limits::ROTOR_ANGLE);
    let mass = t.quantity("mass", &limits::ROLLER);
    Some(RollerReading { at: at?, mass: mass? })
}

fn pocket(t: &Walk<'_, '_>, around: &Around<'_, '_, '_>) -> Option<Pocket> {
    let name = t.name("name", "flank 1 pocket floor");
    let angle = t.quantity("angle", &limits::ROTOR_ANGLE);
    let radius = t.quantity("radius", &limits::POCKET_RADIUS);
    let offset = t.quantity_if("offset", &limits::OFFSET);
    let most = t.quantity("most", &limits::POCKET_MOST);
    checks::inside_flank(t, radius, around.others.engine);
    around.between_faces(t, ("offset", offset), None);
    Some(Pocket { name: name?, angle: angle?, radius: radius?, offset, most: most? })
}

/// A plane after where it lies.
fn plane(
    t: &Walk<'_, '_>,
    around: &Around<'_, '_, '_>,
    no_shaft: bool,
) -> (Option<Length>, Option<CorrectionPlane>) {
    let along = around.along.as_ref();
    let weight = t.name_if("weight");
    checks::weight_named(t, along, no_shaft);
    let at = t.quantity_if("at", &PLACE);
    checks::on_shaft(t, "at", at, along);
    let material = t.name_if("material");
    checks::material(t, around.others.materials);
    let of_drills = ("drill", "1 to 12 diameters");
    let drills = t.list_if("drills", &limits::DRILL, 1..checks::MOST_DRILLS + 1, of_drills);
    let point_angle = t.quantity_if("point_angle", &limits::POINT_ANGLE);
    let least_depth = t.quantity_if("least_depth", &limits::LEAST_DEPTH);
    let depth_step = t.quantity_if("depth_step", &limits::DEPTH_STEP);
    let [between, to_edge] = ["between", "to_edge"].map(|key| t.quantity_if(key, &limits::WALL));
    let slug_density = t.quantity_if("slug_density", &limits::SLUG_DENSITY);
    checks::slug(t, slug_density, around.others.materials);
    let place_walks = t.each("place");
    let (how, places): (Vec<_>, Vec<_>) = place_walks.iter().map(|t| place(t, along)).unzip();
    checks::places(t, &place_walks, &how);
    let whole = || {
        Some(CorrectionPlane {
            weight,
            at,
            material,
            drills: drills.unwrap_or_default(),
            point_angle,
            least_depth,
            depth_step,
            between,
            to_edge,
            slug_density,
            places: places.into_iter().collect::<Option<_>>()?,
        })
    };
    (checks::plane_at(t, at, along), whole())
}

/// A place after what is done there.
fn place(t: &Walk<'_, '_>, along: Option<&Along<'_>>) -> (Option<How>, Option<Place>) {
    let how = t.choice("how", &How::ALL.map(How::name)).map(|i| How::ALL[i]);
    let of_angles = ("angle", "1 to 48, from the throw of rotor 1");
    let angles = t.list("angles", &limits::SHAFT_ANGLE, 1..checks::MOST_ANGLES + 1, of_angles);
    let radius = t.quantity("radius", &limits::PLACE_RADIUS);
    let deepest = t.quantity_if("deepest", &limits::DEEPEST);
    let edge = t.quantity_if("edge", &limits::EDGE);
    let face_at = t.quantity_if("face_at", &PLACE);
    let width = t.quantity_if("width", &limits::FLAT_WIDTH);
    let of_masses = ("piece", "1 to 12 masses that are there");
    let masses = t.list_if("masses", &limits::ADDED, 1..checks::MOST_MASSES + 1, of_masses);
    checks::on_shaft(t, "face_at", face_at, along);
    if let Some(how) = how {
        checks::of_its_kind(t, how);
        checks::short_of_the_axis(t, how, deepest, radius);
    }
    let whole = || {
        Some(Place {
            how: how?,
            angles: angles?,
            radius: radius?,
            deepest,
            edge,
            face_at,
            width,
            masses: masses.unwrap_or_default(),
        })
    };
    (how, whole())
}

fn measured(t: &Walk<'_, '_>) -> Option<MeasuredUnbalance> {
    let [front, rear] = ["front", "rear"].map(|key| t.table(key).and_then(|t| shown(&t)));
    Some(MeasuredUnbalance { front: front?, rear: rear? })
}

fn shown(t: &Walk<'_, '_>) -> Option<Shown> {
    shown_at(t, &limits::SHOWN_ANGLE)
}

/// An amount and its angle, which is counted as the limit says.
fn shown_at(t: &Walk<'_, '_>, angle: &common::Limit<kernel::units::Angle>) -> Option<Shown> {
    let amount = t.quantity("amount", &limits::SHOWN);
    let angle = t.quantity("angle", angle);
    Some(Shown { amount: amount?, angle: angle? })
}

fn run(t: &Walk<'_, '_>, sensors: &[Walk<'_, '_>]) -> Option<Run> {
    let state = t.choice_if("state", &["before correction", "after correction"]);
    let speed = t.quantity("speed", &common::SPEED);
    let [front, rear] = ["front", "rear"].map(|key| {
        there_or_left_out(t.table_if(key).map(|t| {
            let trial = shown(&t);
            checks::trial(&t, trial);
            trial
        }))
    });
    checks::some_sensors(t);
    let sensors = every(sensors.iter().map(sensor));
    let after_correction = state == Some(1);
    checks::no_trial_after(t, after_correction);
    Some(Run { after_correction, speed: speed?, front: front?, rear: rear?, sensors: sensors? })
}

fn sensor(t: &Walk<'_, '_>) -> Option<SensorReading> {
    let name = t.name("name", "front main");
    let displacement = t.quantity_if("amplitude", &limits::AMPLITUDE).map(Amplitude::Displacement);
    let velocity = t.quantity_if("velocity", &limits::VELOCITY).map(Amplitude::Velocity);
    checks::one_vector(t);
    let phase = t.quantity_if("phase", &limits::PHASE);
    Some(SensorReading { name: name?, amplitude: displacement.or(velocity)?, phase: phase? })
}
