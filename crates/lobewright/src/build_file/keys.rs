//! The keys of a build file as a tree, and the nearest known one to a word that is none.
//! The reader refuses what is not here; the editor finds its way by it.

mod assembly;
mod balance;
mod condition;
mod machine_tool;
mod speed;
pub(super) mod teardown;

/// Farthest that a word may be from a known one to be offered, in edits.
const FARTHEST: usize = 3;
/// A longer word is no slip of the keyboard.
const LONGEST_COMPARED: usize = 48;

/// A key and what it holds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
}

/// What a key holds.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// A quantity or a word, in quotes.
    Text,
    /// A number of pieces, or a chance: no unit, no quotes.
    Number,
    /// A list of quantities.
    List,
    /// One table.
    Table(&'static [Key]),
    /// `[[...]]`, or a list of tables: which one is meant is said by what they have.
    Each(By, &'static [Key]),
    /// `[....NAME]`: tables that the shop names.
    ByName(&'static [Key]),
}

/// How one of several tables of a kind is told from the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum By {
    /// By its serial.
    Serial,
    /// By a serial that its places say: where none of them is the serial itself, it follows from them.
    SerialOfPlace,
    /// By its name.
    Name,
    /// By its number from the front, from 1.
    Number,
}

impl By {
    /// The key that tells them apart, if it is one.
    pub(crate) const fn key(self) -> Option<&'static str> {
        match self {
            Self::Serial | Self::SerialOfPlace => Some("serial"),
            Self::Name => Some("name"),
            Self::Number => None,
        }
    }
}

const fn text(name: &'static str) -> Key {
    Key { name, kind: Kind::Text }
}

const fn list(name: &'static str) -> Key {
    Key { name, kind: Kind::List }
}

const fn number(name: &'static str) -> Key {
    Key { name, kind: Kind::Number }
}

const fn table(name: &'static str, keys: &'static [Key]) -> Key {
    Key { name, kind: Kind::Table(keys) }
}

const fn each(name: &'static str, by: By, keys: &'static [Key]) -> Key {
    Key { name, kind: Kind::Each(by, keys) }
}

const RISES: &[Key] = &[text("housing"), text("hot_arc"), text("land"), text("tip")];
const HEAT: &[Key] = &[table("warming", RISES), table("steady", RISES), table("soak", RISES)];
const DUTY: &[Key] = &[text("speed"), text("boost"), text("running"), table("heat", HEAT)];
const BUILD: &[Key] = &[text("name"), table("duty", DUTY)];

const ENGINE: &[Key] = &[
    number("rotors"),
    text("generating_radius"),
    text("eccentricity"),
    text("parallel_shift"),
    text("land_radius"),
    text("land_inner_radius"),
    text("rotor_tip_radius"),
    text("reading_radius"),
    text("gear_recess"),
    text("bearing_recess"),
    text("treated_layer"),
    text("lead_in"),
    text("rotor_material"),
    text("housing_material"),
];

const MATERIAL: &[Key] = &[text("expansion"), text("density"), text("young"), number("poisson")];

const GAUGE: &[Key] = &[
    text("repeat"),
    text("zero"),
    text("temperature"),
    text("expansion"),
    text("calibration_due"),
];

const MACHINE: &[Key] = &[text("capability"), text("least_cut")];

const HOUSING: &[Key] = &[
    text("serial"),
    text("state"),
    text("clamp_up"),
    text("clamp_up_u"),
    list("width"),
    text("gauge"),
    text("temperature"),
    text("temperature_u"),
];

const WEAR: &[Key] = &[text("front"), text("rear")];
const PORT: &[Key] =
    &[text("face"), text("radius_from"), text("radius_to"), text("angle_from"), text("angle_to")];
const SIDE_HOUSING: &[Key] = &[
    text("serial"),
    table("land_wear", WEAR),
    table("tip_wear", WEAR),
    text("central_bore"),
    Key { name: "port", kind: Kind::ByName(PORT) },
];

const AFTER: &[Key] = &[
    list("land_width"),
    list("gear_step"),
    list("plain_step"),
    list("tip_width"),
    list("gear_runout"),
    list("plain_runout"),
    text("mass"),
    text("temperature"),
    text("temperature_u"),
];

const ROTOR: &[Key] = &[
    text("serial"),
    text("gear_face"),
    list("land_width"),
    list("gear_step"),
    list("plain_step"),
    list("tip_width"),
    list("gear_runout"),
    list("plain_runout"),
    text("mass"),
    text("temperature"),
    text("temperature_u"),
    text("width_gauge"),
    text("step_gauge"),
    text("runout_gauge"),
    text("squareness_u"),
    table("after", AFTER),
];

const AIM: &[Key] = &[text("target"), text("tolerance")];
const TAPER: &[Key] = &[text("start"), text("root")];
const BETWEEN: &[Key] = &[text("least"), text("most")];
const SEAL_LIMITS: &[Key] = &[
    table("apex_end_clearance", BETWEEN),
    text("apex_overhang_most"),
    text("apex_engagement_least"),
    text("corner_engagement_least"),
    text("side_engagement_least"),
    text("oil_engagement_least"),
    text("spring_margin"),
];
const CALIBRATION: &[Key] = &[
    text("from"),
    number("tilt"),
    number("tilt_u"),
    number("heat"),
    number("heat_u"),
    text("contact_below"),
    text("contact_below_u"),
    number("tilt_heat"),
    number("tilt_contact"),
    number("heat_contact"),
];
const SPEC: &[Key] = &[
    text("name"),
    table("side_clearance", AIM),
    table("step", AIM),
    text("match"),
    text("land_cut_limit"),
    text("tip_cut_limit"),
    text("outside"),
    table("taper", TAPER),
    text("recess_least"),
    text("lead_in_least"),
    text("treated_least"),
    number("contact_chance"),
    table("seals", SEAL_LIMITS),
    table("calibration", CALIBRATION),
];

const APEX: &[Key] = &[
    text("length"),
    text("height"),
    text("groove_depth"),
    text("groove_width"),
    text("running_gap"),
];
const CORNER: &[Key] = &[
    text("height"),
    text("groove_depth"),
    text("bore_diameter"),
    text("radius"),
    text("solid"),
    text("least_load"),
];
const SIDE: &[Key] = &[
    text("height"),
    text("groove_depth"),
    text("groove_width"),
    text("groove_length"),
    text("radius"),
    text("solid"),
    text("least_load"),
];
const OIL: &[Key] = &[
    text("height"),
    text("groove_depth"),
    text("groove_width"),
    text("radius"),
    text("solid"),
    text("least_load"),
    text("protrusion"),
];
const SEALS: &[Key] =
    &[table("apex", APEX), table("corner", CORNER), table("side", SIDE), table("oil", OIL)];

/// The whole file.
pub(crate) const FILE: &[Key] = &[
    number("format"),
    table("build", BUILD),
    table("engine", ENGINE),
    Key { name: "material", kind: Kind::ByName(MATERIAL) },
    Key { name: "gauge", kind: Kind::ByName(GAUGE) },
    table("machine", MACHINE),
    Key { name: "machine_tool", kind: Kind::ByName(machine_tool::MACHINE_TOOL) },
    each("housing", By::Serial, HOUSING),
    each("side_housing", By::Serial, SIDE_HOUSING),
    each("rotor", By::Serial, ROTOR),
    table("spec", SPEC),
    table("seals", SEALS),
    table("shaft", speed::SHAFT),
    table("bearing", speed::BEARINGS),
    table("oil", speed::OIL),
    table("gas", speed::GAS),
    table("gear", speed::GEAR),
    table("inertia", speed::INERTIA),
    table("uncertainty", speed::UNCERTAINTY),
    table("balance", balance::BALANCE),
    table("assembly", assembly::ASSEMBLY),
    table("assembled", assembly::ASSEMBLED),
    condition::CONDITION,
    condition::INSPECTED,
];

/// A file of parts in stock: gauges, and rotors and housings of any number.
pub(crate) const STOCK: &[Key] = &[
    number("format"),
    Key { name: "gauge", kind: Kind::ByName(GAUGE) },
    each("housing", By::Serial, HOUSING),
    each("rotor", By::Serial, ROTOR),
];

/// The key of this name among these.
pub(crate) fn find(keys: &'static [Key], name: &str) -> Option<&'static Key> {
    keys.iter().find(|key| key.name == name)
}

/// The candidate that is the fewest edits away, if any is near enough to be meant.
pub(crate) fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let length = word.chars().count();
    if length > LONGEST_COMPARED {
        return None;
    }
    let plain = word.to_lowercase().replace(['-', ' '], "_");
    let enough = FARTHEST.min(length.div_ceil(2).saturating_sub(1)).max(1);
    known
        .into_iter()
        .map(|candidate| {
            let other = candidate.to_lowercase().replace(['-', ' '], "_");
            (strsim::damerau_levenshtein(&plain, &other), candidate)
        })
        .filter(|(edits, _)| *edits <= enough)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

/// Where in the file a key of this name belongs, for a key that stands in the wrong table.
pub(crate) fn homes(name: &str) -> Vec<String> {
    fn search(keys: &'static [Key], path: &str, name: &str, homes: &mut Vec<String>) {
        for key in keys {
            if key.name == name && !path.is_empty() {
                homes.push(path.to_owned());
            }
            let at =
                if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
            match key.kind {
                Kind::Table(keys) | Kind::Each(_, keys) => search(keys, &at, name, homes),
                Kind::ByName(keys) => search(keys, &format!("{at}.NAME"), name, homes),
                Kind::Text | Kind::Number | Kind::List => {}
            }
        }
    }
    let mut homes = Vec::new();
    search(FILE, "", name, &mut homes);
    homes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(keys: &'static [Key]) -> impl Iterator<Item = &'static str> {
        keys.iter().map(|key| key.name)
    }

    #[test]
    fn slips_find_their_key() {
        assert_eq!(nearest("land_witdh", names(ROTOR)), Some("land_width"));
        assert_eq!(nearest("Gear-Step", names(ROTOR)), Some("gear_step"));
        assert_eq!(nearest("eccentricty", names(ENGINE)), Some("eccentricity"));
        assert_eq!(nearest("mas", names(ROTOR)), Some("mass"));
    }

    #[test]
    fn another_word_finds_none() {
        assert_eq!(nearest("colour", names(ROTOR)), None);
        assert_eq!(nearest("x", names(ROTOR)), None);
        assert_eq!(nearest(&"land_width".repeat(1000), names(ROTOR)), None);
    }

    #[test]
    fn a_key_knows_its_tables() {
        assert_eq!(homes("land_radius"), ["engine"]);
        assert_eq!(homes("repeat"), ["gauge.NAME"]);
        assert_eq!(
            homes("mass"),
            [
                "rotor",
                "rotor.after",
                "shaft.weight",
                "balance",
                "balance.carried",
                "balance.rotor.rollers"
            ]
        );
    }
}
