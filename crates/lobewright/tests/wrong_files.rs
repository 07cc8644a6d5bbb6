//! Files that are wrong, each with everything that is said about it, exactly. Every case is the
//! example with one piece of it replaced: what stood there, what stands there now, the problems.

use lobewright::build_file::read;

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");

#[rustfmt::skip]
const CASES: &[(&str, &str, &str)] = &[
    (
        "format = 1
",
        "
",
        "f:1:1: format is missing; expected format = 1",
    ),
    (
        "format = 1
",
        "format = 2
",
        "f:2:10: format: format 2 is newer than this program; expected format = 1
  hint: open it with the release that wrote it, or a later one",
    ),
    (
        "format = 1
",
        r#"format = "1"
"#,
        r#"f:2:10: format: the text "1"; expected format = 1"#,
    ),
    (
        "format = 1
",
        "format = 0
",
        "f:2:10: format: the number 0; expected format = 1",
    ),
    (
        r#"name = "Merganser, boat 7""#,
        r#"nam = "Merganser, boat 7""#,
        r#"f:5:1: build: unknown key "nam"; expected name
  hint: did you mean name?"#,
    ),
    (
        r#"name = "Merganser, boat 7""#,
        r#"name = """#,
        r#"f:5:8: build.name: "" is empty; expected 1 to 80 characters, such as "R-114""#,
    ),
    (
        r#"name = "Merganser, boat 7""#,
        "name = 7",
        "f:5:8: build.name: the number 7; expected text in quotes",
    ),
    (
        r#"speed = "9800 rpm""#,
        r#"speed = "98000 rpm""#,
        r#"f:7:9: build.duty.speed: "98000 rpm" is more than 30000 rpm; expected a shaft speed above 0 rpm, at most 30000 rpm, such as "9800 rpm""#,
    ),
    (
        r#"speed = "9800 rpm""#,
        r#"speed = "0 rpm""#,
        r#"f:7:9: build.duty.speed: "0 rpm" is not above 0 rpm; expected a shaft speed above 0 rpm, at most 30000 rpm, such as "9800 rpm""#,
    ),
    (
        r#"boost = "0.9 bar""#,
        "boost = 0.9",
        r#"f:8:9: build.duty.boost: the bare number 0.9 where a unit belongs; expected a boost above atmosphere from -1 bar to 6 bar, such as "0.9 bar"
  hint: write "0.9 bar" or "0.9 kPa" or "0.9 psi", whichever is meant"#,
    ),
    (
        r#"boost = "0.9 bar""#,
        r#"boost = "0.9""#,
        r#"f:8:9: build.duty.boost: "0.9" has no unit; expected a boost above atmosphere from -1 bar to 6 bar, such as "0.9 bar"
  hint: write "0.9 bar" or "0.9 kPa" or "0.9 psi", whichever is meant"#,
    ),
    (
        r#"boost = "0.9 bar""#,
        r#"boost = "0.9 atm""#,
        r#"f:8:9: build.duty.boost: "atm" is no unit known here; expected a boost above atmosphere from -1 bar to 6 bar, such as "0.9 bar"
  hint: known are bar, kPa, MPa, Pa, psi"#,
    ),
    (
        r#"running = "12 h""#,
        r#"running = "twelve h""#,
        r#"f:9:11: build.duty.running: "twelve h" has no number that can be read; expected a running time above 0 h, at most 50000 h, such as "12 h""#,
    ),
    (
        r#"hot_arc = "10 K", "#,
        "",
        r#"f:11:11: build.duty.heat.warming: hot_arc is missing; expected hot_arc = "70 K", a rise above 20 degC with its unit"#,
    ),
    (
        r#"housing = "20 K""#,
        r#"housing = "20 degC""#,
        r#"f:11:23: build.duty.heat.warming.housing: "degC" can be misread; expected a rise above 20 degC from 0 K to 400 K, such as "70 K"
  hint: a rise or difference is written in K, so that it is not taken for a temperature"#,
    ),
    (
        "rotors = 2",
        "rotors = 3",
        "f:16:10: engine: rotors = 3, but 2 tables [[rotor]]; expected a [[rotor]] for each, in order from the front
f:16:10: engine: rotors = 3, but 2 tables [[housing]]; expected a [[housing]] for each, in order from the front",
    ),
    (
        "rotors = 2",
        "rotors = 1",
        "f:16:10: engine: rotors = 1, but 2 tables [[rotor]]; expected a [[rotor]] for each, in order from the front
f:16:10: engine: rotors = 1, but 2 tables [[housing]]; expected a [[housing]] for each, in order from the front",
    ),
    (
        "rotors = 2",
        "rotors = 7",
        "f:16:10: engine.rotors: the number 7; expected a whole number from 1 to 6, without quotes",
    ),
    (
        "rotors = 2",
        r#"rotors = "two""#,
        r#"f:16:10: engine.rotors: the text "two"; expected a whole number from 1 to 6, without quotes"#,
    ),
    (
        "rotors = 2",
        r#"rotors = 2
side_clearance = "0.2 mm""#,
        r#"f:17:1: engine: unknown key "side_clearance"; expected one of rotors, generating_radius, eccentricity, parallel_shift, land_radius, land_inner_radius, rotor_tip_radius, reading_radius, gear_recess, bearing_recess, treated_layer, lead_in, rotor_material, housing_material
  hint: side_clearance belongs in [spec]"#,
    ),
    (
        r#"eccentricity = "14.5 mm""#,
        r#"eccentricity = "26 mm""#,
        "f:18:16: engine.eccentricity: 26 mm is too much for a generating radius of 101.5 mm; expected generating_radius more than 4 times eccentricity",
    ),
    (
        r#"eccentricity = "14.5 mm""#,
        r#"eccentricty = "14.5 mm""#,
        r#"f:18:1: engine: unknown key "eccentricty"; expected eccentricity
  hint: did you mean eccentricity?"#,
    ),
    (
        r#"eccentricity = "14.5 mm""#,
        "eccentricity = 14.5 mm",
        r#"f:18:16: 14.5 mm stands without quotes; expected a quantity in quotes
  hint: write "14.5 mm""#,
    ),
    (
        r#"generating_radius = "101.5 mm""#,
        r#"generating_radius = "1015 mm""#,
        r#"f:17:21: engine.generating_radius: "1015 mm" is more than 400 mm; expected a generating radius from 30 mm to 400 mm, such as "101.5 mm""#,
    ),
    (
        r#"generating_radius = "101.5 mm""#,
        r#"generating_radius = "101,5 mm""#,
        r#"f:17:21: engine.generating_radius: the comma in "101,5 mm" can be misread; expected a generating radius from 30 mm to 400 mm, such as "101.5 mm"
  hint: write "101.5 mm" if it is the decimal mark"#,
    ),
    (
        r#"land_radius = "61 mm""#,
        r#"land_radius = "99 mm""#,
        "f:20:15: engine.land_radius: 99 mm is equal to 99 mm; expected land_radius less than rotor_tip_radius",
    ),
    (
        r#"land_radius = "61 mm""#,
        r#"land_radius = "61 mm"
land_inner_radius = "62 mm""#,
        "f:21:21: engine.land_inner_radius: 62 mm is more than 61 mm; expected land_inner_radius less than land_radius",
    ),
    (
        r#"land_radius = "61 mm""#,
        r#"land_radius = "61 mm"
reading_radius = "60 mm""#,
        "f:21:18: engine.reading_radius: 60 mm is on the land; expected reading_radius more than land_radius, 61 mm",
    ),
    (
        r#"rotor_tip_radius = "99 mm""#,
        r#"rotor_tip_radius = "104.5 mm""#,
        "f:21:20: engine.rotor_tip_radius: 104.5 mm is more than 104 mm; expected rotor_tip_radius not more than generating_radius plus parallel_shift",
    ),
    (
        r#"rotor_material = "nodular iron""#,
        r#"rotor_material = "nodlar iron""#,
        r#"f:22:18: engine.rotor_material: unknown material "nodlar iron"; expected one of nodular iron, grey iron, cast aluminium, steel
  hint: did you mean "nodular iron"?"#,
    ),
    (
        r#"housing_material = "cast aluminium""#,
        r#"housing_material = "unobtainium""#,
        r#"f:23:20: engine.housing_material: unknown material "unobtainium"; expected one of nodular iron, grey iron, cast aluminium, steel
  hint: give it a table [material.NAME] with expansion and density"#,
    ),
    (
        "[machine]",
        r#"[material.steel]
expansion = "12.3e-6 /K"
density = "7850 kg/m3"
[machine]"#,
        r#"f:31:1: material.steel: "steel" is built in; expected another name, such as "steel, own""#,
    ),
    (
        "[machine]",
        r#"[material.bronze]
expansion = "180e-6 /K"
[machine]"#,
        r#"f:31:1: material.bronze: density is missing; expected density = "7100 kg/m3", a density with its unit
f:32:13: material.bronze.expansion: "180e-6 /K" is more than 40 um/m/K; expected an expansion from 1 um/m/K to 40 um/m/K, such as "11.0e-6 /K""#,
    ),
    (
        r#"repeat = "2 um""#,
        r#"repeat = "0 um""#,
        r#"f:26:10: gauge.micrometer.repeat: "0 um" is not above 0 mm; expected a standard uncertainty of one reading above 0 mm, at most 0.1 mm, such as "2 um""#,
    ),
    (
        r#"zero = "1 um""#,
        r#"zero = "1 mil""#,
        r#"f:27:8: gauge.micrometer.zero: "mil" can be misread; expected a standard uncertainty of a gauge's zero from 0 mm to 0.1 mm, such as "1 um"
  hint: many say mil for a millimetre; write thou for 0.001 in, or mm"#,
    ),
    (
        r#"zero = "1 um""#,
        r#"calibration_due = "2027-02-30""#,
        r#"f:27:19: gauge.micrometer.calibration_due: "2027-02-30" is no day; expected a day, such as "2027-01-31""#,
    ),
    (
        r#"zero = "1 um""#,
        r#"calibration_due = "soon""#,
        r#"f:27:19: gauge.micrometer.calibration_due: "soon" is no day; expected a day, such as "2027-01-31""#,
    ),
    (
        r#"capability = "2.5 um""#,
        "capability = true",
        r#"f:32:14: machine.capability: the word true; expected a standard deviation of finished sizes above 0 mm, at most 0.1 mm, such as "2.5 um""#,
    ),
    (
        r#"least_cut = "10 um"  "#,
        "  ",
        r#"f:31:1: machine: least_cut is missing; expected least_cut = "10 um", a least cut with its unit"#,
    ),
    (
        r#"serial = "H-31""#,
        r#"serial = "H-32""#,
        r#"f:40:10: housing.H-32.serial: "H-32" is also the serial of number 1 from the front; expected a serial of its own for each part"#,
    ),
    (
        r#"serial = "H-31""#,
        r#"serial = " H-31""#,
        r#"f:36:10: housing #1.serial: " H-31" starts or ends with a space; expected 1 to 80 characters, such as "R-114""#,
    ),
    (
        r#"state = "clamped""#,
        r#"state = "clampd""#,
        r#"f:37:9: housing.H-31.state: "clampd"; expected "clamped" or "free"
  hint: did you mean "clamped"?"#,
    ),
    (
        r#"state = "clamped""#,
        r#"state = "free""#,
        r#"f:35:1: housing.H-31: clamp_up is missing; expected clamp_up = "30 um", a clamp-up with its unit
f:35:1: housing.H-31: clamp_up_u is missing; expected clamp_up_u = "5 um", a standard uncertainty of a clamp-up with its unit"#,
    ),
    (
        r#"state = "clamped""#,
        r#"state = "clamped"
clamp_up = "30 um""#,
        r#"f:38:12: housing.H-31.clamp_up: clamp_up of a housing read clamped; expected clamp_up only with state = "free""#,
    ),
    (
        r#""80.010 mm", "80.014 mm""#,
        r#""80.010 mm", "82.014 mm""#,
        "f:38:9: housing.H-31.width: readings from 80.008 mm to 82.014 mm; expected readings within 2 mm of each other
  hint: were two housings' readings mixed up?",
    ),
    (
        r#"width = ["80.010 mm", "80.014 mm", "80.008 mm"]"#,
        "width = []",
        r#"f:38:9: housing.H-31.width: 0 readings; expected 1 to 24 readings, such as ["79.915 mm", ...]"#,
    ),
    (
        r#"width = ["80.010 mm", "80.014 mm", "80.008 mm"]"#,
        r#"width = "80.010 mm""#,
        r#"f:38:9: housing.H-31.width: the text "80.010 mm"; expected 1 to 24 readings, such as ["79.915 mm", ...]"#,
    ),
    (
        r#"width = ["80.010 mm", "80.014 mm", "80.008 mm"]"#,
        r#"width = ["80.010 mm"]
gauge = "micrometr""#,
        r#"f:39:9: housing.H-31.gauge: no gauge "micrometr" is declared; expected one of indicator, micrometer
  hint: did you mean "micrometer"?"#,
    ),
    (
        "[[rotor]]                             # in",
        r#"[[side_housing]]
serial = "S-1"
land_wear = "10 um"
tip_wear = { front = "10 um" }
[[rotor]]   # in"#,
        r#"f:16:10: engine: rotors = 2, but 1 table [[side_housing]]; expected none, or 3: front, between rotors, rear
f:47:12: side_housing.S-1.tip_wear: rear is missing; expected rear = "15 um", a depth of wear with its unit"#,
    ),
    (
        r#"gear_face = "rear""#,
        r#"gear_face = "left""#,
        r#"f:47:13: rotor.R-114.gear_face: "left"; expected "front" or "rear""#,
    ),
    (
        r#"gear_face = "rear""#,
        r#"gear_face = "rear"
width_gauge = "depth gauge""#,
        r#"f:48:15: rotor.R-114.width_gauge: no gauge "depth gauge" is declared; expected one of indicator, micrometer
  hint: declare it: [gauge."depth gauge"] with repeat = "2 um""#,
    ),
    (
        r#""79.922 mm""#,
        "79.922",
        r#"f:48:28: rotor.R-114.land_width.2: the bare number 79.922 where a unit belongs; expected a width from 20 mm to 250 mm, such as "79.915 mm"
  hint: write "79.922 mm" if that is meant"#,
    ),
    (
        r#""79.922 mm""#,
        r#""3.1465""#,
        r#"f:48:28: rotor.R-114.land_width.2: "3.1465" has no unit; expected a width from 20 mm to 250 mm, such as "79.915 mm"
  hint: write "3.1465 in" if that is meant"#,
    ),
    (
        r#""79.915 mm", "79.922 mm", "79.918 mm""#,
        r#""79.915 mm", "79.922 mm""#,
        r#"f:48:14: rotor.R-114.land_width: 2 readings; expected 3 readings, at tips 1, 2, 3, such as ["79.915 mm", ...]"#,
    ),
    (
        r#"gear_step  = ["95 um""#,
        r#"gear_step  = ["5 mm""#,
        r#"f:49:15: rotor.R-114.gear_step.1: "5 mm" is more than 3 mm; expected a step from -1 mm to 3 mm, such as "95 um""#,
    ),
    (
        r#"gear_runout  = ["0 um", "6 um", "2 um"]"#,
        r#"gear_runout  = ["0 μm", "1.2.3 um", "nan um"]"#,
        r#"f:52:25: rotor.R-114.gear_runout.2: "1.2.3 um" has no number that can be read; expected a run-out from -1 mm to 1 mm, such as "6 um"
f:52:37: rotor.R-114.gear_runout.3: "nan um": not a finite number; expected a run-out from -1 mm to 1 mm, such as "6 um""#,
    ),
    (
        r#"gear_runout  = ["0 um", "6 um", "2 um"]"#,
        r#"gear_runout  = ["µ", "1 1/3 in", ["2 um"]]"#,
        r#"f:52:17: rotor.R-114.gear_runout.1: "µ" has no number that can be read; expected a run-out from -1 mm to 1 mm, such as "6 um"
f:52:22: rotor.R-114.gear_runout.2: "1 1/3 in": a fraction of an inch has 2, 4, 8, 16, 32, 64 or 128 below the line, not 3; expected a run-out from -1 mm to 1 mm, such as "6 um"
f:52:34: rotor.R-114.gear_runout.3: a list of 1; expected a run-out from -1 mm to 1 mm, such as "6 um""#,
    ),
    (
        r#"name = "Merganser, boat 7""#,
        r#"name = "Häher", x = 1"#,
        "f:5:15: unexpected key or value; expected newline, `#`",
    ),
    (
        r#"gear_step  = ["84 um""#,
        "gear_step  = [84",
        r#"f:59:15: rotor.R-97.gear_step.1: the bare number 84 where a unit belongs; expected a step from -1 mm to 3 mm, such as "95 um"
  hint: write "84 um" or "84 thou", whichever is meant"#,
    ),
    (
        r#"zero = "1 um""#,
        "zero = 1979-05-27",
        r#"f:27:8: gauge.micrometer.zero: the date 1979-05-27; expected a standard uncertainty of a gauge's zero from 0 mm to 0.1 mm, such as "1 um""#,
    ),
    (
        "[gauge.indicator]",
        r#"[gauge." indicator"]"#,
        r#"f:28:8: gauge: " indicator" starts or ends with a space; expected a name of 1 to 80 characters"#,
    ),
    (
        "[gauge.indicator]",
        r#"[gauge]
indicator = "3 um"
[gauge.dial]"#,
        r#"f:29:1: gauge: indicator = the text "3 um"; expected a table headed [gauge.NAME] for each"#,
    ),
    (
        "[gauge.indicator] ",
        "[gauge.indicator ] ] ",
        "f:28:20: unexpected key or value; expected newline, `#`",
    ),
    (
        r#"serial = "R-97""#,
        r#"serial = "R-97"#,
        r#"f:55:15: text that does not end as it should; expected `"`"#,
    ),
    (
        "[[rotor]]                             # in",
        "[[rotor]
# in",
        "f:44:9: a head of a table that does not end; expected `]`",
    ),
    (
        r#"mass = "4312 g""#,
        r#"mass = "4312 kg""#,
        r#"f:46:8: rotor.R-114.mass: "4312 kg" is more than 60000 g; expected a mass from 50 g to 60000 g, such as "4312 g""#,
    ),
    (
        r#"mass = "4312 g""#,
        r#"mass = "4312 lbs""#,
        r#"f:46:8: rotor.R-114.mass: "lbs" can be misread; expected a mass from 50 g to 60000 g, such as "4312 g"
  hint: write lb"#,
    ),
    (
        r#"mass = "4312 g""#,
        r#"mass = "4312 g"
mass = "4313 g""#,
        "f:47:1: this key is there already; expected each key once in its table
  hint: for another of its kind start a new table in two brackets, such as [[rotor]]",
    ),
    (
        r#"mass = "4312 g""#,
        r#"mass = "4312 g"
land_radius = "61 mm""#,
        r#"f:47:1: rotor.R-114: unknown key "land_radius"; expected one of serial, gear_face, land_width, gear_step, plain_step, tip_width, gear_runout, plain_runout, mass, temperature, temperature_u, width_gauge, step_gauge, runout_gauge, squareness_u, after
  hint: land_radius belongs in [engine]"#,
    ),
    (
        r#"mass = "4312 g""#,
        r#"mass = "4312 g"#,
        r#"f:46:15: text that does not end as it should; expected `"`"#,
    ),
    (
        r#"plain_step = ["92 um", "95 um", "90 um"]"#,
        r#"plain_step = ["92 um", "95 um", "90 um"]
[rotor.after]
land_width = ["79.79 mm", "79.79 mm", "79.79 mm"]"#,
        r#"f:61:1: rotor.R-97.after: gear_step is missing; expected gear_step = ["95 um", ...], 3 readings, at tips 1, 2, 3
f:61:1: rotor.R-97.after: plain_step is missing; expected plain_step = ["95 um", ...], 3 readings, at tips 1, 2, 3"#,
    ),
    (
        r#"tolerance = "20 um""#,
        r#"tolerance = "0 um""#,
        r#"f:64:52: spec.side_clearance.tolerance: "0 um" is not above 0 mm; expected a tolerance above 0 mm, at most 1 mm, such as "20 um""#,
    ),
    (
        r#"match          = "8 um"  "#,
        "  ",
        r#"f:62:1: spec: match is missing; expected match = "8 um": how much the rotors' side clearances may differ"#,
    ),
    (
        "step           = {",
        "steps           = {",
        r#"f:65:1: spec: unknown key "steps"; expected step
  hint: did you mean step?"#,
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
outside = "taper""#,
        r#"f:62:1: spec: taper is missing; expected taper = { start = "61 mm", root = "20 um" } with outside = "taper""#,
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
taper = { start = "70 mm", root = "50 um" }"#,
        r#"f:69:9: spec.taper: a taper that is not asked for; expected taper only with outside = "taper""#,
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
outside = "taper"
taper = { start = "61 mm", root = "0.2 mm" }"#,
        r#"f:70:9: spec.taper: a taper that starts with a drop of 0.2 mm; expected a root of at most the least step, 0.1143 mm"#,
    ),
    (
        r#"radius = "92 mm""#,
        r#"radius = "400 mm""#,
        r#"f:89:10: seals.corner.radius: a seal at radius 400 mm; expected a radius between land_radius and rotor_tip_radius, 61 mm and 99 mm"#,
    ),
    (
        r#"radius = "58 mm""#,
        r#"radius = "61.5 mm""#,
        r#"f:104:10: seals.oil.radius: a seal at radius 61.5 mm; expected a radius between the edges of the land, 0 mm and 61 mm"#,
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
outside = "taper"
taper = { start = "50 mm", root = "50 um" }"#,
        "f:70:9: spec.taper: a taper that starts at 50 mm; expected a start from land_radius, 61 mm, to below rotor_tip_radius, 99 mm",
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
contact_chance = 1.0"#,
        "f:69:18: spec.contact_chance: the number 1.0; expected a plain number above 0 and below 1, such as 0.001",
    ),
    (
        r#"tip_cut_limit  = "0.25 mm""#,
        r#"tip_cut_limit  = "0.25 mm"
contact_chance = "1 %""#,
        r#"f:69:18: spec.contact_chance: the text "1 %"; expected a plain number above 0 and below 1, such as 0.001"#,
    ),
    (
        r#"least = "0.03 mm""#,
        r#"least = "0.09 mm""#,
        "f:71:32: spec.seals.apex_end_clearance.least: 0.09 mm is more than the most, 0.08 mm; expected least not more than most",
    ),
    (
        "[seals.apex]
length",
        "[seals.apex]
lengths",
        r#"f:80:1: seals.apex: unknown key "lengths"; expected length
  hint: did you mean length?"#,
    ),
    (
        r#"solid = "0.8 mm""#,
        r#"solid = "2.4 mm""#,
        "f:90:9: seals.corner.solid: 2.4 mm is equal to 2.4 mm; expected solid, the spring room at solid height, less than least_load",
    ),
    (
        "[machine]",
        "[machine",
        "f:31:9: a head of a table that does not end; expected `]`",
    ),
    (
        "[machine]",
        "[[machine]]",
        "f:31:1: machine: a list of 1; expected one table, [machine]",
    ),
    (
        "[[rotor]]                             # in",
        "[rotor]
# in",
        "f:44:1: rotor: a table; expected a table headed [[rotor]] for each
  hint: two brackets: [[rotor]], not [rotor]
f:55:3: this table is there already; expected each table once, or all of a kind in two brackets
  hint: for another of its kind start a new table in two brackets, such as [[rotor]]",
    ),
    (
        "[spec]",
        "[specs]",
        r#"f:62:2: unknown key "specs"; expected spec
  hint: did you mean spec?"#,
    ),
    (
        "[seals.oil]",
        "[seals.oil]
D = 1
[lubrication]",
        r#"f:100:1: seals.oil: height is missing; expected height = "7.5 mm", a height of a seal with its unit
f:100:1: seals.oil: groove_depth is missing; expected groove_depth = "9 mm", a depth of a groove with its unit
f:101:1: seals.oil: unknown key "D"; expected one of height, groove_depth, groove_width, radius, solid, least_load, protrusion
f:102:2: unknown key "lubrication"; expected one of format, build, engine, material, gauge, machine, machine_tool, housing, side_housing, rotor, spec, seals, shaft, bearing, oil, gas, gear, inertia, uncertainty, balance, assembly, assembled, condition, inspected"#,
    ),
];

#[test]
fn each_wrong_file_is_told_what_is_wrong() {
    assert!(read(EXAMPLE).is_ok());
    assert!(CASES.len() >= 87, "the number of cases only rises");
    let mut different = String::new();
    for (from, to, expected) in CASES {
        assert!(EXAMPLE.contains(from), "{from:?} is not in the example");
        let text = EXAMPLE.replacen(from, to, 1);
        let said = match read(&text) {
            Ok(_) => "nothing".to_owned(),
            Err(problems) => problems.in_file("f").to_string(),
        };
        if said != *expected {
            different.push_str(&format!("{to}\nexpected:\n{expected}\nsaid:\n{said}\n\n"));
        }
    }
    assert!(different.is_empty(), "{different}");
}
