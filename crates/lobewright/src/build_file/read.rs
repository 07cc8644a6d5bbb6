//! Reads a build: everything that is wrong is found in one pass, and a build comes out only if
//! nothing is.

mod assembly;
mod balance;
pub(super) mod condition;
pub(super) mod machine_tool;
mod speed;
mod stock;

use super::checks;
use super::keys::{self, Key};
use super::limits;
use super::model::{
    Aim, ApexSeal, AtTips, Between, Build, Clamping, CornerSeal, Duty, Engine, Gauge, Heat,
    Housing, Machine, Material, OilSeal, Outside, Port, Rises, Rotor, RotorReadings, SealLimits,
    Seals, SideHousing, SideSeal, Spec, Taper, Way, Wear,
};
use super::problem::{Finding, Findings, Problems};
use super::syntax;
use super::walk::Walk;
use kernel::condition::Part;
use kernel::readings::TIPS;
use kernel::units::Length;
use std::collections::BTreeMap;
pub use stock::{Waiting, read_stock, read_waiting};

/// The format that is read and written.
pub const FORMAT: i64 = 1;
/// Most rotors of one engine.
pub const MOST_ROTORS: usize = 6;
/// Most stations at which a housing's width is read.
pub const MOST_STATIONS: usize = 24;

/// Reads a build file.
///
/// # Errors
/// Everything that is wrong with it, with line, column and what was expected. Any text gives
/// either a build or problems.
pub fn read(text: &str) -> Result<Build, Problems> {
    read_as(text, keys::FILE, |file| build(file, Filled::Everywhere))
}

/// Whether every place of the engine has its rotor and its housing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Filled {
    Everywhere,
    AsFar,
}

/// Reads a file with these keys by `reader`.
fn read_as<T>(
    text: &str,
    keys: &'static [Key],
    reader: impl FnOnce(&Walk<'_, '_>) -> Option<T>,
) -> Result<T, Problems> {
    let (tree, unreadable) = syntax::parse(text);
    let findings = Findings::default();
    let file = Walk::file(&findings, tree.get_ref(), keys);
    if let Some(format) = file.format(FORMAT).filter(|format| *format != FORMAT) {
        // Whatever else looks wrong may be right in that format.
        let only = Findings::default();
        only.add(|| Finding {
            place: "format".to_owned(),
            span: file.span_of("format"),
            what: format!("format {format} is newer than this program"),
            expected: format!("format = {FORMAT}"),
            hint: Some("open it with the release that wrote it, or a later one".to_owned()),
            ..Finding::default()
        });
        return Err(only.into_problems(text, unreadable));
    }
    match reader(&file) {
        Some(read) if findings.is_empty() && unreadable.is_empty() => Ok(read),
        _ => Err(findings.into_problems(text, unreadable)),
    }
}

/// The whole. Each part is read before any is looked at, so that all problems are found.
fn build(file: &Walk<'_, '_>, filled: Filled) -> Option<Build> {
    let head = file.table("build");
    let name = head.as_ref().and_then(|head| head.name("name", "boat 7"));
    let duty = head.and_then(|head| head.table_if("duty")).map(|t| duty(&t)).unwrap_or_default();

    let gauges = file.by_name("gauge");
    let materials = file.by_name("material");
    checks::own_materials(file, &materials);

    let engine_walk = file.table("engine");
    let rotor_count =
        engine_walk.as_ref().and_then(|t| t.count("rotors", 1..MOST_ROTORS as i64 + 1));
    let engine = engine_walk.as_ref().and_then(engine);
    if let Some(walk) = &engine_walk {
        checks::engine(walk, engine.as_ref(), &materials);
    }

    let machine_walk = file.table_if("machine");
    let machine = machine_walk.as_ref().map(machine);
    let machine_tools = file.by_name("machine_tool").into_iter();
    let machine_tools =
        every(machine_tools.map(|(name, t)| Some((name, machine_tool::machine_tool(&t)?))));

    let housing_walks = file.each("housing");
    let housings: Vec<_> = housing_walks.iter().map(housing).collect();
    let side_walks = file.each("side_housing");
    let side_housings: Vec<_> = side_walks.iter().map(side_housing).collect();
    for (walk, side) in side_walks.iter().zip(&side_housings) {
        checks::central_bore(walk, side.as_ref(), engine.as_ref());
    }
    let rotor_walks = file.each("rotor");
    let rotors: Vec<_> = rotor_walks.iter().map(|t| rotor(t, Facing::Said)).collect();
    for walks in [&housing_walks, &side_walks, &rotor_walks] {
        checks::told_apart(walks, "serial");
    }
    gauges_named(&housing_walks, &rotor_walks, &gauges);
    if let (Some(count), Some(walk)) = (rotor_count, &engine_walk) {
        let walks = [&rotor_walks, &housing_walks, &side_walks].map(Vec::as_slice);
        checks::counts(walk, count, walks, filled == Filled::AsFar);
    }

    let spec_walk = file.table("spec");
    let spec = spec_walk.as_ref().and_then(spec);
    if let Some(walk) = &spec_walk {
        checks::spec(walk, rotor_count, engine.as_ref());
    }
    let seals = file.table_if("seals").map(|t| seals(&t, engine.as_ref())).unwrap_or_default();

    let around = speed::Around {
        materials: &materials,
        engine: engine.as_ref(),
        rotor_count,
        rotors: &rotors,
    };
    let (along, at_speed) = speed::at_speed(file, &around);
    let around = balance::Around { rotor_walks: &rotor_walks, along, others: &around };
    let balance = balance::balance(file, &around);
    let assembly = assembly::assembly(file);
    let assembled = assembly::assembled(file, rotor_count, &gauges);
    let condition = condition::condition(file);
    let serials = |part: Part| {
        let walks = match part {
            Part::RotorHousing => &housing_walks,
            // A file may leave them out.
            Part::SideHousing if !side_walks.is_empty() => &side_walks,
            Part::Rotor => &rotor_walks,
            _ => return None,
        };
        Some(walks.iter().filter_map(|t| t.text_of("serial")).map(str::to_owned).collect())
    };
    let inspected = condition::inspected(file, &gauges, &serials);

    let gauges = every(gauges.into_iter().map(|(name, t)| Some((name, gauge(&t)?))));
    let materials = every(materials.into_iter().map(|(name, t)| Some((name, material(&t)?))));
    Some(Build {
        name: name?,
        duty,
        engine: engine?,
        materials: materials?,
        gauges: gauges?,
        machine: match machine {
            Some(machine) => Some(machine?),
            None => None,
        },
        machine_tools: machine_tools?,
        housings: housings.into_iter().collect::<Option<_>>()?,
        side_housings: side_housings.into_iter().collect::<Option<_>>()?,
        rotors: rotors.into_iter().collect::<Option<_>>()?,
        spec: spec?,
        seals,
        at_speed: at_speed?,
        balance: balance?,
        assembly: assembly?,
        assembled: assembled?,
        condition: condition?,
        inspected: inspected?,
    })
}

/// Gauges that rotors and housings name are there.
fn gauges_named(
    housings: &[Walk<'_, '_>],
    rotors: &[Walk<'_, '_>],
    gauges: &BTreeMap<String, Walk<'_, '_>>,
) {
    for walk in housings {
        checks::gauge_named(walk, "gauge", gauges);
    }
    for walk in rotors {
        for key in ["width_gauge", "step_gauge", "runout_gauge"] {
            checks::gauge_named(walk, key, gauges);
        }
    }
}

/// All of them, if each could be read; each is read even where one before it could not be.
fn every<T, All: FromIterator<T>>(parts: impl Iterator<Item = Option<T>>) -> Option<All> {
    let parts: Vec<Option<T>> = parts.collect();
    parts.into_iter().collect()
}

fn duty(t: &Walk<'_, '_>) -> Duty {
    let heat = t.table_if("heat").map(|t| Heat {
        warming: t.table_if("warming").and_then(|t| rises(&t)),
        steady: t.table_if("steady").and_then(|t| rises(&t)),
        soak: t.table_if("soak").and_then(|t| rises(&t)),
    });
    Duty {
        speed: t.quantity_if("speed", &limits::SPEED),
        boost: t.quantity_if("boost", &limits::BOOST),
        running: t.quantity_if("running", &limits::RUNNING),
        heat: heat.unwrap_or_default(),
    }
}

fn rises(t: &Walk<'_, '_>) -> Option<Rises> {
    let [housing, hot_arc, land, tip] =
        ["housing", "hot_arc", "land", "tip"].map(|key| t.quantity(key, &limits::RISE));
    Some(Rises { housing: housing?, hot_arc: hot_arc?, land: land?, tip: tip? })
}

fn engine(t: &Walk<'_, '_>) -> Option<Engine> {
    let generating_radius = t.quantity("generating_radius", &limits::GENERATING_RADIUS);
    let eccentricity = t.quantity("eccentricity", &limits::ECCENTRICITY);
    let parallel_shift = t.quantity("parallel_shift", &limits::PARALLEL_SHIFT);
    let land_radius = t.quantity("land_radius", &limits::LAND_RADIUS);
    let land_inner_radius = t.quantity_if("land_inner_radius", &limits::LAND_INNER_RADIUS);
    let rotor_tip_radius = t.quantity("rotor_tip_radius", &limits::ROTOR_TIP_RADIUS);
    let reading_radius = t.quantity_if("reading_radius", &limits::READING_RADIUS);
    let [gear_recess, bearing_recess] =
        ["gear_recess", "bearing_recess"].map(|key| t.quantity_if(key, &limits::RECESS));
    let [treated_layer, lead_in] =
        ["treated_layer", "lead_in"].map(|key| t.quantity_if(key, &limits::LAYER));
    let rotor_material = t.name("rotor_material", "nodular iron");
    let housing_material = t.name("housing_material", "cast aluminium");
    Some(Engine {
        generating_radius: generating_radius?,
        eccentricity: eccentricity?,
        parallel_shift: parallel_shift?,
        land_radius: land_radius?,
        land_inner_radius,
        rotor_tip_radius: rotor_tip_radius?,
        reading_radius,
        gear_recess,
        bearing_recess,
        treated_layer,
        lead_in,
        rotor_material: rotor_material?,
        housing_material: housing_material?,
    })
}

fn material(t: &Walk<'_, '_>) -> Option<Material> {
    let expansion = t.quantity("expansion", &limits::EXPANSION);
    let density = t.quantity("density", &limits::DENSITY);
    let young = t.quantity_if("young", &limits::speed::YOUNG);
    let poisson = t.share_if("poisson", &limits::speed::POISSON);
    Some(Material { expansion: expansion?, density: density?, young, poisson })
}

fn gauge(t: &Walk<'_, '_>) -> Option<Gauge> {
    let repeat = t.quantity("repeat", &limits::REPEAT);
    let zero = t.quantity_if("zero", &limits::ZERO);
    let temperature = t.quantity_if("temperature", &limits::TEMPERATURE);
    let expansion = t.quantity_if("expansion", &limits::EXPANSION);
    let calibration_due = t.day_if("calibration_due");
    Some(Gauge { repeat: repeat?, zero, temperature, expansion, calibration_due })
}

fn machine(t: &Walk<'_, '_>) -> Option<Machine> {
    let capability = t.quantity("capability", &limits::CAPABILITY);
    let least_cut = t.quantity("least_cut", &limits::LEAST_CUT);
    Some(Machine { capability: capability?, least_cut: least_cut? })
}

fn housing(t: &Walk<'_, '_>) -> Option<Housing> {
    let serial = t.name("serial", "H-31");
    let state = t.choice("state", &["clamped", "free"]);
    let clamping = match state {
        Some(0) => {
            for key in ["clamp_up", "clamp_up_u"] {
                if t.has(key) {
                    t.wrong(
                        key,
                        format!("{key} of a housing read clamped"),
                        format!("{key} only with state = \"free\""),
                        None,
                    );
                }
            }
            Some(Clamping::Clamped)
        }
        Some(_) => {
            let clamp_up = t.quantity("clamp_up", &limits::CLAMP_UP);
            let clamp_up_u = t.quantity("clamp_up_u", &limits::CLAMP_UP_U);
            clamp_up
                .zip(clamp_up_u)
                .map(|(clamp_up, clamp_up_u)| Clamping::Free { clamp_up, clamp_up_u })
        }
        None => {
            t.quantity_if("clamp_up", &limits::CLAMP_UP);
            t.quantity_if("clamp_up_u", &limits::CLAMP_UP_U);
            None
        }
    };
    let width =
        t.list("width", &limits::WIDTH, 1..MOST_STATIONS + 1, ("reading", "1 to 24 readings"));
    if let Some(width) = &width {
        checks::one_housing(t, width);
    }
    let gauge = t.name_if("gauge");
    let temperature = t.quantity_if("temperature", &limits::TEMPERATURE);
    let temperature_u = t.quantity_if("temperature_u", &limits::TEMPERATURE_U);
    Some(Housing {
        serial: serial?,
        state: clamping?,
        width: width?,
        gauge,
        temperature,
        temperature_u,
    })
}

fn side_housing(t: &Walk<'_, '_>) -> Option<SideHousing> {
    let serial = t.name("serial", "S-1");
    let land_wear = wear(t, "land_wear");
    let tip_wear = wear(t, "tip_wear");
    let central_bore = t.quantity_if("central_bore", &limits::CENTRAL_BORE);
    let ports = every(t.by_name("port").into_iter().map(|(name, t)| Some((name, port(&t)?))));
    Some(SideHousing {
        serial: serial?,
        land_wear: land_wear?,
        tip_wear: tip_wear?,
        central_bore,
        ports: ports?,
    })
}

fn port(t: &Walk<'_, '_>) -> Option<Port> {
    let face = t.choice("face", &["front", "rear"]);
    let [radius_from, radius_to] =
        ["radius_from", "radius_to"].map(|key| t.quantity(key, &limits::PORT_RADIUS));
    let [angle_from, angle_to] =
        ["angle_from", "angle_to"].map(|key| t.quantity(key, &limits::PORT_ANGLE));
    let port = Port {
        face: if face? == 0 { Way::Front } else { Way::Rear },
        radius_from: radius_from?,
        radius_to: radius_to?,
        angle_from: angle_from?,
        angle_to: angle_to?,
    };
    checks::port(t, &port);
    Some(port)
}

fn wear(t: &Walk<'_, '_>, key: &str) -> Option<Wear> {
    if t.is_table(key) {
        let t = t.table_if(key)?;
        let [front, rear] = ["front", "rear"].map(|key| t.quantity(key, &limits::WEAR));
        Some(Wear::Each { front: front?, rear: rear? })
    } else {
        t.quantity(key, &limits::WEAR).map(Wear::Both)
    }
}

/// Which way the gear face of a rotor looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Facing {
    /// It is in an engine, and its table says so.
    Said,
    /// It is in none: whichever it is put in says so.
    Open,
}

fn rotor(t: &Walk<'_, '_>, facing: Facing) -> Option<Rotor> {
    let serial = t.name("serial", "R-114");
    let ways = ["front", "rear"];
    let gear_face = match facing {
        Facing::Said => t.choice("gear_face", &ways),
        Facing::Open if t.has("gear_face") => t.choice_if("gear_face", &ways),
        Facing::Open => Some(1),
    };
    let readings = readings(t);
    let [width_gauge, step_gauge, runout_gauge] =
        ["width_gauge", "step_gauge", "runout_gauge"].map(|key| t.name_if(key));
    let squareness_u = t.quantity_if("squareness_u", &limits::SQUARENESS_U);
    let after = t.table_if("after").map(|t| self::readings(&t));
    Some(Rotor {
        serial: serial?,
        gear_face: if gear_face? == 0 { Way::Front } else { Way::Rear },
        readings: readings?,
        width_gauge,
        step_gauge,
        runout_gauge,
        squareness_u,
        after: match after {
            Some(after) => Some(after?),
            None => None,
        },
    })
}

fn readings(t: &Walk<'_, '_>) -> Option<RotorReadings> {
    const OF_WHAT: (&str, &str) = ("reading", "3 readings, at tips 1, 2, 3");
    let three = |list: Vec<Length>| AtTips::try_from(list).ok();
    let counts = TIPS..TIPS + 1;
    let land_width = t.list("land_width", &limits::WIDTH, counts.clone(), OF_WHAT);
    let [gear_step, plain_step] =
        ["gear_step", "plain_step"].map(|key| t.list(key, &limits::STEP, counts.clone(), OF_WHAT));
    let tip_width = t.list_if("tip_width", &limits::WIDTH, counts.clone(), OF_WHAT);
    let [gear_runout, plain_runout] = ["gear_runout", "plain_runout"]
        .map(|key| t.list_if(key, &limits::RUNOUT, counts.clone(), OF_WHAT));
    let mass = t.quantity_if("mass", &limits::MASS);
    let temperature = t.quantity_if("temperature", &limits::TEMPERATURE);
    let temperature_u = t.quantity_if("temperature_u", &limits::TEMPERATURE_U);
    Some(RotorReadings {
        land_width: three(land_width?)?,
        gear_step: three(gear_step?)?,
        plain_step: three(plain_step?)?,
        tip_width: tip_width.and_then(three),
        gear_runout: gear_runout.and_then(three),
        plain_runout: plain_runout.and_then(three),
        mass,
        temperature,
        temperature_u,
    })
}

fn spec(t: &Walk<'_, '_>) -> Option<Spec> {
    let name = t.name("name", "sprint, boosted");
    let aim = |key: &str, target| {
        let t = t.table(key)?;
        let target = t.quantity("target", target);
        let tolerance = t.quantity("tolerance", &limits::TOLERANCE);
        Some(Aim { target: target?, tolerance: tolerance? })
    };
    let side_clearance = aim("side_clearance", &limits::CLEARANCE);
    let step = aim("step", &limits::STEP_TARGET);
    let match_within = t.quantity_if("match", &limits::MATCH);
    let [land_cut_limit, tip_cut_limit] =
        ["land_cut_limit", "tip_cut_limit"].map(|key| t.quantity(key, &limits::CUT_LIMIT));
    let outside = t.choice_if("outside", &["step", "taper"]);
    let taper = t.table_if("taper").and_then(|t| {
        let start = t.quantity("start", &limits::READING_RADIUS);
        let root = t.quantity("root", &limits::STEP_TARGET);
        Some(Taper { start: start?, root: root? })
    });
    let recess_least = t.quantity_if("recess_least", &limits::RECESS);
    let [lead_in_least, treated_least] =
        ["lead_in_least", "treated_least"].map(|key| t.quantity_if(key, &limits::LAYER));
    let contact_chance = t.chance_if("contact_chance");
    let seals = t.table_if("seals").map(|t| seal_limits(&t)).unwrap_or_default();
    let calibration = t.table_if("calibration").and_then(|t| speed::calibration(&t));
    Some(Spec {
        name: name?,
        side_clearance: side_clearance?,
        step: step?,
        match_within,
        land_cut_limit: land_cut_limit?,
        tip_cut_limit: tip_cut_limit?,
        outside: outside.map(|i| if i == 0 { Outside::Step } else { Outside::Taper }),
        taper,
        recess_least,
        lead_in_least,
        treated_least,
        contact_chance,
        seals,
        calibration,
    })
}

fn seal_limits(t: &Walk<'_, '_>) -> SealLimits {
    let apex_end_clearance = t.table_if("apex_end_clearance").and_then(|t| {
        let [least, most] = ["least", "most"].map(|key| t.quantity(key, &limits::CLEARANCE));
        let (least, most) = (least?, most?);
        checks::least_and_most(&t, least, most);
        Some(Between { least, most })
    });
    let engagement = |key| t.quantity_if(key, &limits::ENGAGEMENT);
    SealLimits {
        apex_end_clearance,
        apex_overhang_most: t.quantity_if("apex_overhang_most", &limits::OVERHANG),
        apex_engagement_least: engagement("apex_engagement_least"),
        corner_engagement_least: engagement("corner_engagement_least"),
        side_engagement_least: engagement("side_engagement_least"),
        oil_engagement_least: engagement("oil_engagement_least"),
        spring_margin: t.quantity_if("spring_margin", &limits::SPRING_MARGIN),
    }
}

fn seals(t: &Walk<'_, '_>, engine: Option<&Engine>) -> Seals {
    Seals {
        apex: t.table_if("apex").and_then(|t| apex(&t)),
        corner: t.table_if("corner").and_then(|t| corner(&t, engine)),
        side: t.table_if("side").and_then(|t| side(&t, engine)),
        oil: t.table_if("oil").and_then(|t| oil(&t, engine)),
    }
}

fn apex(t: &Walk<'_, '_>) -> Option<ApexSeal> {
    let length = t.quantity("length", &limits::SEAL_LENGTH);
    let height = t.quantity_if("height", &limits::SEAL_HEIGHT);
    let groove_depth = t.quantity_if("groove_depth", &limits::GROOVE_DEPTH);
    let groove_width = t.quantity_if("groove_width", &limits::GROOVE_WIDTH);
    let running_gap = t.quantity_if("running_gap", &limits::RUNNING_GAP);
    Some(ApexSeal { length: length?, height, groove_depth, groove_width, running_gap })
}

/// Height, depth and spring rooms, which three kinds of seal have in common.
fn sprung(t: &Walk<'_, '_>) -> Option<(Length, Length, Option<Length>, Option<Length>)> {
    let height = t.quantity("height", &limits::SEAL_HEIGHT);
    let groove_depth = t.quantity("groove_depth", &limits::GROOVE_DEPTH);
    let [solid, least_load] =
        ["solid", "least_load"].map(|key| t.quantity_if(key, &limits::SPRING_ROOM));
    checks::spring(t, solid, least_load);
    Some((height?, groove_depth?, solid, least_load))
}

fn corner(t: &Walk<'_, '_>, engine: Option<&Engine>) -> Option<CornerSeal> {
    let sprung = sprung(t);
    let bore_diameter = t.quantity_if("bore_diameter", &limits::BORE_DIAMETER);
    let radius = t.quantity_if("radius", &limits::SEAL_RADIUS);
    checks::seal_radius(t, radius, engine, true);
    let (height, groove_depth, solid, least_load) = sprung?;
    Some(CornerSeal { height, groove_depth, bore_diameter, radius, solid, least_load })
}

fn side(t: &Walk<'_, '_>, engine: Option<&Engine>) -> Option<SideSeal> {
    let sprung = sprung(t);
    let groove_width = t.quantity_if("groove_width", &limits::GROOVE_WIDTH);
    let groove_length = t.quantity_if("groove_length", &limits::GROOVE_LENGTH);
    let radius = t.quantity_if("radius", &limits::SEAL_RADIUS);
    checks::seal_radius(t, radius, engine, true);
    let (height, groove_depth, solid, least_load) = sprung?;
    Some(SideSeal { height, groove_depth, groove_width, groove_length, radius, solid, least_load })
}

fn oil(t: &Walk<'_, '_>, engine: Option<&Engine>) -> Option<OilSeal> {
    let sprung = sprung(t);
    let groove_width = t.quantity_if("groove_width", &limits::GROOVE_WIDTH);
    let radius = t.quantity_if("radius", &limits::SEAL_RADIUS);
    checks::seal_radius(t, radius, engine, false);
    let protrusion = t.quantity_if("protrusion", &limits::PROTRUSION);
    let (height, groove_depth, solid, least_load) = sprung?;
    Some(OilSeal { height, groove_depth, groove_width, radius, solid, least_load, protrusion })
}
