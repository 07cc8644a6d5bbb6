//! Bearings, oil, gas, gear, inertia and uncertainties.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"[bearing.rotor]
diameter = "70 mm"
"#,
        "[bearing.rotor]
",
        r#"f:121:1: bearing.rotor: diameter is missing; expected diameter = "74 mm", a diameter of a bearing with its unit"#,
    ),
    (
        "[bearing.rotor]",
        "[bearing.rotors]",
        r#"f:121:10: bearing: unknown key "rotors"; expected rotor
  hint: did you mean rotor?"#,
    ),
    (
        r#"clearance = "0.08 mm""#,
        r#"clearance = "0.8 mm""#,
        "f:124:13: bearing.rotor.clearance: 0.8 mm on a diameter of 70 mm; expected at most a hundredth of that, 0.7 mm",
    ),
    (
        r#"clearance = "0.06 mm"
clearance_u = "5 um"
least_film = "1 um""#,
        r#"clearance = "0.06 mm"
clearance_u = "60 um"
least_film = "30 um""#,
        "f:131:15: bearing.main.clearance_u: 0.06 mm of a clearance of 0.06 mm; expected less than the clearance itself
f:132:14: bearing.main.least_film: 0.03 mm in a clearance of 0.06 mm; expected less than half of clearance, 0.03 mm",
    ),
    (
        r#"clearance = "0.08 mm"  "#,
        r#"clearence = "0.08 mm"  "#,
        r#"f:124:1: bearing.rotor: unknown key "clearence"; expected clearance
  hint: did you mean clearance?"#,
    ),
    (
        r#"radial_damping = "100 kN s/m"
"#,
        "",
        r#"f:127:1: bearing.main: radial_damping is missing; expected radial_damping = "100 kN s/m" beside radial_stiffness: a film is given with all four"#,
    ),
    (
        r#"tilt_stiffness = "60 kN m/rad"
tilt_damping = "0.1 kN m s/rad"
"#,
        "",
        r#"f:127:1: bearing.main: tilt_stiffness is missing; expected tilt_stiffness = "800 kN m/rad" beside radial_stiffness: a film is given with all four
f:127:1: bearing.main: tilt_damping is missing; expected tilt_damping = "1.2 kN m s/rad" beside radial_stiffness: a film is given with all four"#,
    ),
    (
        r#"tilt_damping = "0.1 kN m s/rad""#,
        r#"tilt_damping = "0.1 kN s/m""#,
        r#"f:136:16: bearing.main.tilt_damping: "kN s/m" is no unit known here; expected a tilt damping of a film from 0 kN m s/rad to 10000 kN m s/rad, such as "1.2 kN m s/rad"
  hint: known are kN m s/rad, N m s/rad, lbf in s/rad"#,
    ),
    (
        r#"viscosity = "9 mPa s""#,
        r#"viscosity = "9 cSt""#,
        r#"f:139:13: oil.viscosity: "cSt" can be misread; expected a viscosity of the oil from 0.2 mPa s to 1000 mPa s, such as "9 mPa s"
  hint: that is viscosity over density; write the dynamic viscosity in mPa s"#,
    ),
    (
        r#"viscosity = "9 mPa s""#,
        r#"viscosity = "9""#,
        r#"f:139:13: oil.viscosity: "9" has no unit; expected a viscosity of the oil from 0.2 mPa s to 1000 mPa s, such as "9 mPa s"
  hint: write "9 mPa s" if that is meant"#,
    ),
    (
        "viscosity_u = 0.2",
        r#"viscosity_u = "20 %""#,
        r#"f:140:15: oil.viscosity_u: the text "20 %"; expected a relative uncertainty of a viscosity from 0 to 1, such as 0.2, without quotes or unit
  hint: write 0.2 if that is meant"#,
    ),
    (
        "viscosity_u = 0.2",
        "viscosity_u = 1.5",
        "f:140:15: oil.viscosity_u: 1.5 is more than 1; expected a relative uncertainty of a viscosity from 0 to 1, such as 0.2",
    ),
    (
        "compression_ratio = 8.8",
        r#"compression_ratio = "8.8:1""#,
        r#"f:143:21: gas.compression_ratio: the text "8.8:1"; expected a compression ratio from 3 to 25, such as 9.0, without quotes or unit"#,
    ),
    (
        "compression_ratio = 8.8",
        "compression_ratio = 1",
        "f:143:21: gas.compression_ratio: 1 is less than 3; expected a compression ratio from 3 to 25, such as 9.0",
    ),
    (
        "compression_ratio = 8.8",
        "compression_ratio = nan",
        "f:143:21: gas.compression_ratio: nan is not finite; expected a compression ratio from 3 to 25, such as 9.0",
    ),
    (
        r#"manifold_temperature = "65 degC""#,
        r#"manifold_temperature = "338 K""#,
        r#"f:144:24: gas.manifold_temperature: "K" can be misread; expected a temperature of the charge from -40 degC to 300 degC, such as "60 degC"
  hint: K is kept for differences; write degC"#,
    ),
    (
        r#"intake_opens = "30 deg""#,
        r#"intake_opens = "30""#,
        r#"f:146:16: gas.intake_opens: "30" has no unit; expected an angle after top dead centre from -135 deg to 135 deg, such as "30 deg"
  hint: write "30 deg" if that is meant"#,
    ),
    (
        r#"intake_area = "11 cm2""#,
        r#"intake_area = "11 cm""#,
        r#"f:150:15: gas.intake_area: "cm" is no unit known here; expected an effective area of ports above 0 cm2, at most 200 cm2, such as "12 cm2"
  hint: known are mm2, cm2, in2"#,
    ),
    (
        r#"exhaust_area = "9 cm2""#,
        r#"exhaust_area = "0 cm2""#,
        r#"f:151:16: gas.exhaust_area: "0 cm2" is not above 0 cm2; expected an effective area of ports above 0 cm2, at most 200 cm2, such as "12 cm2""#,
    ),
    (
        r#"heat = "2.6 MJ/kg""#,
        r#"heat = "44 MJ/kg""#,
        r#"f:156:8: gas.heat: "44 MJ/kg" is more than 8 MJ/kg; expected a heat per mass of charge above 0 MJ/kg, at most 8 MJ/kg, such as "2.6 MJ/kg""#,
    ),
    (
        "knock = 1.3",
        "knock = 1.1",
        "f:160:9: gas.knock: 1.1 is less than hard, 1.15; expected a knocking cycle at least as hard as the hard one",
    ),
    (
        "side_share = 0.05",
        "side_share = 5",
        "f:161:14: gas.side_share: 5 is more than 1; expected a share of the pressure from 0 to 1, such as 0.05",
    ),
    (
        "side_share = 0.05  ",
        r#"trace = "../cycle.csv"  "#,
        r#"f:161:9: gas.trace: "../cycle.csv" is no name of a file; expected a file beside the build file, such as "cycle.csv""#,
    ),
    (
        "wiebe_m = 2.0",
        "wiebe_m = true",
        "f:155:11: gas.wiebe_m: the word true; expected a Wiebe exponent m from 0 to 8, such as 2.0, without quotes or unit",
    ),
    (
        r#"ignition = "16 deg""#,
        r#"ignition_angle = "16 deg""#,
        r#"f:152:1: gas: unknown key "ignition_angle"; expected one of compression_ratio, manifold_temperature, back_pressure, intake_opens, intake_closes, exhaust_opens, exhaust_closes, intake_area, exhaust_area, ignition, burn, wiebe_a, wiebe_m, heat, wall_temperature, wall_loss, hard, knock, side_share, trace"#,
    ),
    (
        r#"offset = "27 mm""#,
        r#"offset = "-27 mm""#,
        r#"f:164:10: gear.offset: "-27 mm" is less than 0 mm; expected an offset of the gear from 0 mm to 200 mm, such as "30 mm""#,
    ),
    (
        r#"seal_drag = "12 N m""#,
        r#"seal_drag = "9 lb ft""#,
        r#"f:166:13: gear.seal_drag: "lb ft" can be misread; expected a drag of the seals from 0 N m to 1000 N m, such as "12 N m"
  hint: lb is kept for masses; write lbf ft or lbf in"#,
    ),
    (
        r#"pressure_angle = "20 deg""#,
        r#"pressure_angle = "2 deg""#,
        r#"f:165:18: gear.pressure_angle: "2 deg" is less than 10 deg; expected a pressure angle from 10 deg to 35 deg, such as "20 deg""#,
    ),
    (
        r#"backlash = "0.08 mm""#,
        r#"backlash = "3 mil""#,
        r#"f:167:12: gear.backlash: "mil" can be misread; expected a backlash from 0 mm to 3 mm, such as "0.08 mm"
  hint: many say mil for a millimetre; write thou for 0.001 in, or mm"#,
    ),
    (
        r#"rotor_diametral = "0.0099 kg m2""#,
        r#"rotor_diametral = "0.0083 kg m2"
rotor_polr = 1"#,
        r#"f:172:1: inertia: unknown key "rotor_polr"; expected rotor_polar
  hint: did you mean rotor_polar?"#,
    ),
    (
        r#"rotor_diametral = "0.0099 kg m2""#,
        r#"rotor_diametral = "0.0082 kg m2""#,
        "f:171:19: inertia.rotor_diametral: 0.0082 kg m2 is less than a thin disc would have; expected at least half of rotor_polar, 0.0083 kg m2",
    ),
    (
        "model = 0.3",
        "model = 0.2",
        "f:174:9: uncertainty.model: 0.2 is less than 0.3; expected a relative uncertainty of the tilt from 0.3 to 2, such as 0.3
  hint: not under 0.3 until the shop's own builds say less",
    ),
    (
        r#"temperature = "8 K"
expansion"#,
        r#"temperature = "8 degC"
expansion"#,
        r#"f:175:15: uncertainty.temperature: "degC" can be misread; expected a standard uncertainty of a rise from 0 K to 100 K, such as "8 K"
  hint: a rise or difference is written in K, so that it is not taken for a temperature"#,
    ),
    (
        "mesh = 0.3",
        r#"mesh = "0.3""#,
        r#"f:179:8: uncertainty.mesh: the text "0.3"; expected a relative uncertainty from 0 to 2, such as 0.3, without quotes or unit
  hint: write 0.3 if that is meant"#,
    ),
    (
        "[uncertainty] ",
        "[uncertainty]
side_share = 0.3 ",
        r#"f:174:1: uncertainty: unknown key "side_share"; expected one of model, temperature, expansion, peak_pressure, shaft_stiffness, mesh, side_gas
  hint: side_share belongs in [gas]"#,
    ),
    (
        "[uncertainty] ",
        "[[uncertainty]] ",
        "f:173:1: uncertainty: a list of 1; expected one table, [uncertainty]",
    ),
    (
        r#"[bearing.rotor]
diameter = "70 mm""#,
        r#"[bearing.rotor]
diameter = "120 mm""#,
        "f:122:12: bearing.rotor.diameter: a bearing of 120 mm in a rotor; expected less than twice land_radius, 118 mm",
    ),
    (
        r#"offset = "27 mm""#,
        r#"offset = "47 mm""#,
        "f:164:10: gear.offset: 47 mm is outside the rotor; expected less than half the land width of the narrowest rotor, 36.948 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        "side_share = 0.05  ",
        r#"trace = ".."  "#,
        r#"f:161:9: gas.trace: ".." is no name of a file; expected a file beside the build file, such as "cycle.csv""#,
    ),
    (
        "[shaft] ",
        "[spec.calibration]
tilt = 1.2
tilt_u = \"10 %\"
heat = 12
heat_u = 0.1
contact_below = 4

[shaft] ",
        r#"f:76:1: spec.calibration: from is missing; expected from = "seven builds of 2026"
f:76:1: spec.calibration: contact_below_u is missing; expected contact_below_u = "5 um", a standard uncertainty of that gap with its unit
f:78:10: spec.calibration.tilt_u: the text "10 %"; expected a standard uncertainty of a scale's logarithm from 0 to 2, such as 0.1, without quotes or unit
  hint: write 0.1 if that is meant
f:79:8: spec.calibration.heat: 12 is more than 10; expected a scale of what is computed from 0.1 to 10, such as 1.1
f:81:17: spec.calibration.contact_below: the bare number 4 where a unit belongs; expected a gap that leaves marks from -0.1 mm to 0.1 mm, such as "4 um"
  hint: write "4 um" if that is meant"#,
    ),
    (
        "[shaft] ",
        "[spec.calibration]
from = \"seven boats\"
tilt = 1.2
tilt_u = 0.1
heat = 1.0
heat_u = 0.1
contact_below = \"4 um\"
contact_below_u = \"5 um\"
tilt_heat = 0.9
tilt_contact = 0.9
heat_contact = -0.9

[shaft] ",
        "f:76:1: spec.calibration: tilt_heat, tilt_contact and heat_contact cannot hold together; expected all three as one calibration gave them",
    ),
];
