//! Grades, masses, tolerance planes, bob weights and the instrument.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"grade = "G 6.3""#,
        r#"grade = "2.5""#,
        r#"f:183:9: balance.grade: "2.5" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5"
  hint: write "G 2.5" if that is meant"#,
    ),
    (
        r#"grade = "G 6.3""#,
        "grade = 2.5",
        r#"f:183:9: balance.grade: the number 2.5; expected a grade from G 0.16 to G 10000, such as "G 2.5"
  hint: write "G 2.5" if that is meant"#,
    ),
    (
        r#"grade = "G 6.3""#,
        r#"grade = "fine""#,
        r#"f:183:9: balance.grade: "fine" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5""#,
    ),
    (
        r#"grade = "G 6.3""#,
        r#"grade = "G 0.1""#,
        r#"f:183:9: balance.grade: "G 0.1" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5""#,
    ),
    (
        r#"rotor_grade = "G 6.3""#,
        r#"rotor_grade = "6,3""#,
        r#"f:184:15: balance.rotor_grade: "6,3" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5""#,
    ),
    (
        r#"rotor_grade = "G 6.3""#,
        r#"rotor_grad = "G 6.3""#,
        r#"f:184:1: balance: unknown key "rotor_grad"; expected rotor_grade
  hint: did you mean rotor_grade?"#,
    ),
    (
        r#"match = "3 g""#,
        r#"match = "0 g""#,
        r#"f:185:9: balance.match: "0 g" is not above 0 g; expected a match of masses above 0 g, at most 5000 g, such as "3 g""#,
    ),
    (
        r#"match = "3 g""#,
        r#"match = "3 g mm""#,
        r#"f:185:9: balance.match: "g mm" is no unit known here; expected a match of masses above 0 g, at most 5000 g, such as "3 g"
  hint: known are g, kg, lb, oz"#,
    ),
    (
        r#"scale_u = "0.2 g""#,
        "scale_u = 0.2",
        r#"f:186:11: balance.scale_u: the bare number 0.2 where a unit belongs; expected a standard uncertainty of a scale from 0 g to 100 g, such as "0.2 g"
  hint: write "0.2 g" or "0.2 lb", whichever is meant"#,
    ),
    (
        r#"mass = "21.3 kg""#,
        r#"mass = "21.3""#,
        r#"f:187:8: balance.mass: "21.3" has no unit; expected a mass of all that spins above 0 kg, at most 2000 kg, such as "31.2 kg"
  hint: write "21.3 kg" or "21.3 g" or "21.3 lb", whichever is meant"#,
    ),
    (
        r#"mass = "21.3 kg""#,
        r#"speed = "92 Hz"
mass = "21.3 kg""#,
        r#"f:187:9: balance.speed: "Hz" is no unit known here; expected a shaft speed above 0 rpm, at most 30000 rpm, such as "9800 rpm"
  hint: known are rpm, rad/s"#,
    ),
    (
        r#"tolerance_planes = ["75 mm", "301 mm"]"#,
        r#"tolerance_planes = ["75 mm"]"#,
        r#"f:188:20: balance.tolerance_planes: 1 plane only; expected front and rear, from the shaft's front end, such as ["110 mm", ...]"#,
    ),
    (
        r#"tolerance_planes = ["75 mm", "301 mm"]"#,
        r#"tolerance_planes = ["75 mm", "190 mm", "301 mm"]"#,
        r#"f:188:20: balance.tolerance_planes: 3 planes; expected front and rear, from the shaft's front end, such as ["110 mm", ...]"#,
    ),
    (
        r#"tolerance_planes = ["75 mm", "301 mm"]"#,
        r#"tolerance_planes = ["301 mm", "75 mm"]"#,
        "f:188:31: balance.tolerance_planes.2: 75 mm is not behind 301 mm; expected front before rear",
    ),
    (
        r#"tolerance_planes = ["75 mm", "301 mm"]"#,
        r#"tolerance_planes = ["75 mm", "391 mm"]"#,
        "f:188:30: balance.tolerance_planes.2: 391 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"bob_weights = ["3870.0 g", "3870.0 g"]"#,
        r#"bob_weights = ["3870.0 g"]"#,
        "f:189:15: balance.bob_weights: 1 bob weight for 2 rotors; expected one for each of the engine's rotors, front to rear",
    ),
    (
        r#"bob_weights = ["3870.0 g", "3870.0 g"]"#,
        r#"bob_weights = "3870.0 g""#,
        r#"f:189:15: balance.bob_weights: the text "3870.0 g"; expected one for each rotor, from the front, such as ["3655 g", ...]"#,
    ),
    (
        r#"bob_weights = ["3870.0 g", "3870.0 g"]"#,
        r#"bob_weights = ["3870.0 g", "3870.0 kg"]"#,
        r#"f:189:28: balance.bob_weights.2: "3870.0 kg" is more than 120 kg; expected a bob weight above 0 kg, at most 120 kg, such as "3655 g""#,
    ),
    (
        r#"spot = "heavy""#,
        r#"spot = "hevy""#,
        r#"f:191:8: balance.instrument.spot: "hevy"; expected "heavy" or "light"
  hint: did you mean "heavy"?"#,
    ),
    (
        r#"angles = "with rotation""#,
        r#"angles = "clockwise""#,
        r#"f:192:10: balance.instrument.angles: "clockwise"; expected "with rotation" or "against rotation""#,
    ),
    (
        r#"phase = "lag""#,
        "phase = true",
        r#"f:193:9: balance.instrument.phase: the word true; expected "lag" or "lead""#,
    ),
    (
        r#"zero = "0 deg""#,
        r#"zero = "400 deg""#,
        r#"f:194:8: balance.instrument.zero: "400 deg" is more than 360 deg; expected an angle of the instrument's zero from -360 deg to 360 deg, such as "0 deg""#,
    ),
    (
        r#"u = "4 g mm""#,
        r#"u = "8 g""#,
        r#"f:195:5: balance.instrument.u: "g" is no unit known here; expected a standard uncertainty of an unbalance from 0 g mm to 100000 g mm, such as "8 g mm"
  hint: known are g mm, g cm, kg mm, kg m, oz in"#,
    ),
    (
        "u_share = 0.01",
        r#"u_share = "3 %""#,
        r#"f:196:11: balance.instrument.u_share: the text "3 %"; expected a share of what is shown from 0 to 1, such as 0.03, without quotes or unit
  hint: write 0.03 if that is meant"#,
    ),
    (
        "vibration_u = 0.02",
        "vibration_u = 2",
        "f:197:15: balance.instrument.vibration_u: 2 is more than 1; expected a share of the largest vibration from 0 to 1, such as 0.02",
    ),
    (
        r#"speed = "600 rpm""#,
        r#"speed = "600""#,
        r#"f:198:9: balance.instrument.speed: "600" has no unit; expected a shaft speed above 0 rpm, at most 30000 rpm, such as "9800 rpm"
  hint: write "600 rpm" if that is meant"#,
    ),
    (
        "[balance.instrument]",
        "[[balance.instrument]]",
        "f:190:1: balance.instrument: a list of 1; expected one table, [balance.instrument]",
    ),
    (
        "[balance.instrument]",
        "[balance.instrumnt]",
        r#"f:190:10: balance: unknown key "instrumnt"; expected instrument
  hint: did you mean instrument?"#,
    ),
    (
        "[balance]
",
        "[balanc]
",
        r#"f:182:2: unknown key "balanc"; expected balance
  hint: did you mean balance?"#,
    ),
    (
        "[balance]
",
        "[balance]
beta = 1
",
        r#"f:183:1: balance: unknown key "beta"; expected one of grade, rotor_grade, speed, match, scale_u, mass, tolerance_planes, journal_unbalance, bob_weights, instrument, carried, oil, rotor, pocket, front, rear, measured, after, run"#,
    ),
    (
        r#"grade = "G 6.3"                       # of the shaft with all that turns with it
rotor_grade = "G 6.3""#,
        r#"grade = "G"                       # of the shaft with all that turns with it
rotor_grade = "A 6.3""#,
        r#"f:183:9: balance.grade: "G" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5"
f:184:15: balance.rotor_grade: "A 6.3" is no grade; expected a grade from G 0.16 to G 10000, such as "G 2.5""#,
    ),
];
