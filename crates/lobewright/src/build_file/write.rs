//! Writes a build so that reading it gives the same build, to the last bit.

mod assembly;
mod balance;
mod condition;
mod machine_tool;
mod speed;

use super::model::{
    Aim, Build, Clamping, Duty, Engine, Gauge, Housing, Outside, Rises, Rotor, RotorReadings,
    SealLimits, Seals, SideHousing, Spec, Wear,
};
use super::read::FORMAT;
use kernel::units::{
    Angle, AngularDamping, AngularStiffness, Area, CuttingSpeed, Damping, Density, Duration,
    ElasticModulus, Expansion, Force, GaugePressure, Length, Mass, MomentOfInertia, Quantity,
    SpecificEnergy, Speed, Stiffness, Temperature, TemperatureDifference, Torque, Unbalance,
    Velocity, Viscosity,
};

/// Steps and uncertainties up to this size are written in micrometres.
const SMALL: Length = Length::mm(0.2);

/// Writes a build file.
#[must_use]
pub fn write(build: &Build) -> String {
    let mut file = Lines::default();
    file.value("format", FORMAT.to_string());
    file.head("[build]");
    file.value("name", words(&build.name));
    duty(&mut file, &build.duty);
    engine(&mut file, &build.engine, build.rotors.len());
    for (name, material) in &build.materials {
        file.head(&format!("[material.{}]", key(name)));
        file.quantity("expansion", material.expansion);
        file.quantity("density", material.density);
        file.quantity_if("young", material.young);
        file.number_if("poisson", material.poisson);
    }
    for (name, each) in &build.gauges {
        file.head(&format!("[gauge.{}]", key(name)));
        gauge(&mut file, each);
    }
    if let Some(machine) = &build.machine {
        file.head("[machine]");
        file.quantity("capability", machine.capability);
        file.quantity("least_cut", machine.least_cut);
    }
    for (name, each) in &build.machine_tools {
        machine_tool::machine_tool(&mut file, name, each);
    }
    build.housings.iter().for_each(|each| housing(&mut file, each));
    build.side_housings.iter().for_each(|each| side_housing(&mut file, each));
    build.rotors.iter().for_each(|each| rotor(&mut file, each));
    spec(&mut file, &build.spec);
    seals(&mut file, &build.seals);
    speed::at_speed(&mut file, &build.at_speed);
    balance::balance(&mut file, &build.balance);
    assembly::assembly(&mut file, &build.assembly);
    assembly::assembled(&mut file, &build.assembled);
    condition::condition(&mut file, &build.condition);
    condition::inspected(&mut file, &build.inspected);
    file.text
}

/// The file as it grows.
#[derive(Default)]
pub(super) struct Lines {
    text: String,
}

impl Lines {
    /// All of them.
    pub(super) fn whole(self) -> String {
        self.text
    }

    pub(super) fn head(&mut self, head: &str) {
        self.text.push('\n');
        self.text.push_str(head);
        self.text.push('\n');
    }

    pub(super) fn value(&mut self, key: &str, value: String) {
        self.text.push_str(key);
        self.text.push_str(" = ");
        self.text.push_str(&value);
        self.text.push('\n');
    }

    fn quantity<Q: Readable>(&mut self, key: &str, value: Q) {
        self.value(key, text(value));
    }

    fn quantity_if<Q: Readable>(&mut self, key: &str, value: Option<Q>) {
        if let Some(value) = value {
            self.quantity(key, value);
        }
    }

    /// A plain number; the shortest digits that give back the same bits.
    fn number_if(&mut self, key: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.value(key, format!("{value:?}"));
        }
    }

    fn list<Q: Readable>(&mut self, key: &str, values: &[Q]) {
        let items: Vec<_> = values.iter().map(|value| text(*value)).collect();
        self.value(key, format!("[{}]", items.join(", ")));
    }

    fn list_if(&mut self, key: &str, values: Option<&[Length; 3]>) {
        if let Some(values) = values {
            self.list(key, values);
        }
    }

    /// A list of tables, each with its entries on a line; an empty one is left out.
    fn tables(&mut self, key: &str, tables: impl Iterator<Item = String>) {
        let lines: String = tables.map(|entries| format!("  {{ {entries} }},\n")).collect();
        if !lines.is_empty() {
            self.value(key, format!("[\n{lines}]"));
        }
    }

    fn words_if(&mut self, key: &str, value: Option<&str>) {
        if let Some(value) = value {
            self.value(key, words(value));
        }
    }
}

fn duty(file: &mut Lines, duty: &Duty) {
    if *duty == Duty::default() {
        return;
    }
    file.head("[build.duty]");
    file.quantity_if("speed", duty.speed);
    file.quantity_if("boost", duty.boost);
    file.quantity_if("running", duty.running);
    let heat =
        [("warming", duty.heat.warming), ("steady", duty.heat.steady), ("soak", duty.heat.soak)];
    if heat.iter().any(|(_, rises)| rises.is_some()) {
        file.head("[build.duty.heat]");
    }
    for (state, rises) in heat {
        if let Some(Rises { housing, hot_arc, land, tip }) = rises {
            let inline = [("housing", housing), ("hot_arc", hot_arc), ("land", land), ("tip", tip)];
            file.value(state, table(&inline));
        }
    }
}

fn engine(file: &mut Lines, engine: &Engine, rotors: usize) {
    file.head("[engine]");
    file.value("rotors", rotors.to_string());
    file.quantity("generating_radius", engine.generating_radius);
    file.quantity("eccentricity", engine.eccentricity);
    file.quantity("parallel_shift", engine.parallel_shift);
    file.quantity("land_radius", engine.land_radius);
    file.quantity_if("land_inner_radius", engine.land_inner_radius);
    file.quantity("rotor_tip_radius", engine.rotor_tip_radius);
    file.quantity_if("reading_radius", engine.reading_radius);
    file.quantity_if("gear_recess", engine.gear_recess);
    file.quantity_if("bearing_recess", engine.bearing_recess);
    file.quantity_if("treated_layer", engine.treated_layer);
    file.quantity_if("lead_in", engine.lead_in);
    file.value("rotor_material", words(&engine.rotor_material));
    file.value("housing_material", words(&engine.housing_material));
}

fn gauge(file: &mut Lines, gauge: &Gauge) {
    file.quantity("repeat", gauge.repeat);
    file.quantity_if("zero", gauge.zero);
    file.quantity_if("temperature", gauge.temperature);
    file.quantity_if("expansion", gauge.expansion);
    file.words_if("calibration_due", gauge.calibration_due.as_deref());
}

fn housing(file: &mut Lines, housing: &Housing) {
    file.head("[[housing]]");
    file.value("serial", words(&housing.serial));
    match housing.state {
        Clamping::Clamped => file.value("state", words("clamped")),
        Clamping::Free { clamp_up, clamp_up_u } => {
            file.value("state", words("free"));
            file.quantity("clamp_up", clamp_up);
            file.quantity("clamp_up_u", clamp_up_u);
        }
    }
    file.list("width", &housing.width);
    file.words_if("gauge", housing.gauge.as_deref());
    file.quantity_if("temperature", housing.temperature);
    file.quantity_if("temperature_u", housing.temperature_u);
}

fn side_housing(file: &mut Lines, side: &SideHousing) {
    file.head("[[side_housing]]");
    file.value("serial", words(&side.serial));
    for (key, wear) in [("land_wear", side.land_wear), ("tip_wear", side.tip_wear)] {
        match wear {
            Wear::Both(wear) => file.quantity(key, wear),
            Wear::Each { front, rear } => {
                file.value(key, table(&[("front", front), ("rear", rear)]));
            }
        }
    }
    file.quantity_if("central_bore", side.central_bore);
    for (name, port) in &side.ports {
        file.head(&format!("[side_housing.port.{}]", key(name)));
        file.value("face", words(port.face.name()));
        file.quantity("radius_from", port.radius_from);
        file.quantity("radius_to", port.radius_to);
        file.quantity("angle_from", port.angle_from);
        file.quantity("angle_to", port.angle_to);
    }
}

fn rotor(file: &mut Lines, rotor: &Rotor) {
    file.head("[[rotor]]");
    file.value("serial", words(&rotor.serial));
    file.value("gear_face", words(rotor.gear_face.name()));
    readings(file, &rotor.readings);
    file.words_if("width_gauge", rotor.width_gauge.as_deref());
    file.words_if("step_gauge", rotor.step_gauge.as_deref());
    file.words_if("runout_gauge", rotor.runout_gauge.as_deref());
    file.quantity_if("squareness_u", rotor.squareness_u);
    if let Some(after) = &rotor.after {
        file.head("[rotor.after]");
        readings(file, after);
    }
}

fn readings(file: &mut Lines, readings: &RotorReadings) {
    file.quantity_if("mass", readings.mass);
    file.list("land_width", &readings.land_width);
    file.list("gear_step", &readings.gear_step);
    file.list("plain_step", &readings.plain_step);
    file.list_if("tip_width", readings.tip_width.as_ref());
    file.list_if("gear_runout", readings.gear_runout.as_ref());
    file.list_if("plain_runout", readings.plain_runout.as_ref());
    file.quantity_if("temperature", readings.temperature);
    file.quantity_if("temperature_u", readings.temperature_u);
}

fn spec(file: &mut Lines, spec: &Spec) {
    let aim = |aim: Aim| table(&[("target", aim.target), ("tolerance", aim.tolerance)]);
    file.head("[spec]");
    file.value("name", words(&spec.name));
    file.value("side_clearance", aim(spec.side_clearance));
    file.value("step", aim(spec.step));
    file.quantity_if("match", spec.match_within);
    file.quantity("land_cut_limit", spec.land_cut_limit);
    file.quantity("tip_cut_limit", spec.tip_cut_limit);
    if let Some(outside) = spec.outside {
        let word = match outside {
            Outside::Step => "step",
            Outside::Taper => "taper",
        };
        file.value("outside", words(word));
    }
    if let Some(taper) = spec.taper {
        file.value("taper", table(&[("start", taper.start), ("root", taper.root)]));
    }
    file.quantity_if("recess_least", spec.recess_least);
    file.quantity_if("lead_in_least", spec.lead_in_least);
    file.quantity_if("treated_least", spec.treated_least);
    file.number_if("contact_chance", spec.contact_chance);
    if spec.seals != SealLimits::default() {
        seal_limits(file, &spec.seals);
    }
    if let Some(taught) = &spec.calibration {
        speed::calibration(file, taught);
    }
}

fn seal_limits(file: &mut Lines, seals: &SealLimits) {
    file.head("[spec.seals]");
    if let Some(clearance) = seals.apex_end_clearance {
        let inline = [("least", clearance.least), ("most", clearance.most)];
        file.value("apex_end_clearance", table(&inline));
    }
    file.quantity_if("apex_overhang_most", seals.apex_overhang_most);
    file.quantity_if("apex_engagement_least", seals.apex_engagement_least);
    file.quantity_if("corner_engagement_least", seals.corner_engagement_least);
    file.quantity_if("side_engagement_least", seals.side_engagement_least);
    file.quantity_if("oil_engagement_least", seals.oil_engagement_least);
    file.quantity_if("spring_margin", seals.spring_margin);
}

fn seals(file: &mut Lines, seals: &Seals) {
    if let Some(apex) = &seals.apex {
        file.head("[seals.apex]");
        file.quantity("length", apex.length);
        file.quantity_if("height", apex.height);
        file.quantity_if("groove_depth", apex.groove_depth);
        file.quantity_if("groove_width", apex.groove_width);
        file.quantity_if("running_gap", apex.running_gap);
    }
    if let Some(corner) = &seals.corner {
        file.head("[seals.corner]");
        file.quantity("height", corner.height);
        file.quantity("groove_depth", corner.groove_depth);
        file.quantity_if("bore_diameter", corner.bore_diameter);
        file.quantity_if("radius", corner.radius);
        file.quantity_if("solid", corner.solid);
        file.quantity_if("least_load", corner.least_load);
    }
    if let Some(side) = &seals.side {
        file.head("[seals.side]");
        file.quantity("height", side.height);
        file.quantity("groove_depth", side.groove_depth);
        file.quantity_if("groove_width", side.groove_width);
        file.quantity_if("groove_length", side.groove_length);
        file.quantity_if("radius", side.radius);
        file.quantity_if("solid", side.solid);
        file.quantity_if("least_load", side.least_load);
    }
    if let Some(oil) = &seals.oil {
        file.head("[seals.oil]");
        file.quantity("height", oil.height);
        file.quantity("groove_depth", oil.groove_depth);
        file.quantity_if("groove_width", oil.groove_width);
        file.quantity_if("radius", oil.radius);
        file.quantity_if("solid", oil.solid);
        file.quantity_if("least_load", oil.least_load);
        file.quantity_if("protrusion", oil.protrusion);
    }
}

/// A quantity in the unit that a shop would read it in.
trait Readable: Quantity + PartialEq {
    /// Its value in that unit, and the unit.
    fn usual(self) -> (f64, &'static str);
}

impl Readable for Length {
    fn usual(self) -> (f64, &'static str) {
        if self.abs() < SMALL { (self.to_um(), "um") } else { (self.to_mm(), "mm") }
    }
}

/// One line each for those with a single usual unit.
macro_rules! usual {
    ($($quantity:ty : $read:ident, $unit:literal;)+) => {
        $(impl Readable for $quantity {
            fn usual(self) -> (f64, &'static str) {
                (self.$read(), $unit)
            }
        })+
    };
}

usual! {
    Angle: to_deg, "deg";
    Speed: to_rpm, "rpm";
    CuttingSpeed: to_m_per_min, "m/min";
    GaugePressure: to_bar, "bar";
    Duration: to_h, "h";
    Mass: to_g, "g";
    Temperature: to_deg_c, "degC";
    TemperatureDifference: to_k, "K";
    Density: to_kg_per_m3, "kg/m3";
    Expansion: to_per_k, "/K";
    Area: to_cm2, "cm2";
    Stiffness: to_n_per_um, "N/um";
    AngularStiffness: to_kn_m_per_rad, "kN m/rad";
    Damping: to_kn_s_per_m, "kN s/m";
    AngularDamping: to_kn_m_s_per_rad, "kN m s/rad";
    Unbalance: to_g_mm, "g mm";
    MomentOfInertia: to_kg_m2, "kg m2";
    Torque: to_n_m, "N m";
    Force: to_n, "N";
    Velocity: to_mm_per_s, "mm/s";
    ElasticModulus: to_gpa, "GPa";
    Viscosity: to_mpa_s, "mPa s";
    SpecificEnergy: to_mj_per_kg, "MJ/kg";
}

/// A quantity as the file writes it: rounded to a millionth of its usual unit where that gives
/// back the same bits, else the unit and digits that do.
fn text<Q: Readable>(value: Q) -> String {
    let (number, unit) = value.usual();
    let rounded = (number * 1e6).round() / 1e6;
    let short = format!("{} {unit}", if rounded == 0.0 { 0.0 } else { rounded });
    let text = match Q::parse(&short) {
        Ok(read) if read == value => short,
        _ => value.written(),
    };
    format!("\"{text}\"")
}

fn table<Q: Readable>(entries: &[(&str, Q)]) -> String {
    let entries: Vec<_> = entries.iter().map(|(key, value)| entry(key, *value)).collect();
    format!("{{ {} }}", entries.join(", "))
}

fn entry<Q: Readable>(key: &str, value: Q) -> String {
    format!("{key} = {}", text(value))
}

pub(super) fn words(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A name as a key, in quotes where it needs them.
pub(super) fn key(name: &str) -> String {
    toml_edit::Key::new(name).display_repr().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_those_of_the_shop_where_they_are_exact() {
        assert_eq!(text(Length::parse("79.915 mm").unwrap()), "\"79.915 mm\"");
        assert_eq!(text(Length::parse("95 um").unwrap()), "\"95 um\"");
        assert_eq!(text(Length::parse("5 thou").unwrap()), "\"127 um\"");
        assert_eq!(text(Speed::parse("9800 rpm").unwrap()), "\"9800 rpm\"");
        assert_eq!(text(Duration::parse("12 h").unwrap()), "\"12 h\"");
        assert_eq!(text(Expansion::parse("11.0e-6 /K").unwrap()), "\"0.000011 /K\"");
    }

    #[test]
    fn names_are_quoted_where_they_must_be() {
        assert_eq!(key("micrometer"), "micrometer");
        assert_eq!(key("depth gauge"), "\"depth gauge\"");
        assert_eq!(
            toml::from_str::<toml::Table>(&format!("{} = 1", key("a\"b"))).unwrap().len(),
            1
        );
    }
}
