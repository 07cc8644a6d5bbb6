//! The shaft: its sections, rotors, main bearings, weights and material.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"sections = [                          # from the front end; inner left out is solid
  { length = "40 mm", outer = "30 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "56 mm", outer = "48 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "44 mm", outer = "38 mm" },
]
"#,
        "",
        r#"f:76:1: shaft: sections is missing; expected sections = [{ length = "60 mm", outer = "43 mm" }, ...], from the front end"#,
    ),
    (
        r#"sections = [                          # from the front end; inner left out is solid
  { length = "40 mm", outer = "30 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "56 mm", outer = "48 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "44 mm", outer = "38 mm" },
]
"#,
        "sections = []
",
        "f:78:12: shaft.sections: 0 sections; expected 1 to 64, front to rear",
    ),
    (
        r#"sections = [                          # from the front end; inner left out is solid
  { length = "40 mm", outer = "30 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "56 mm", outer = "48 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "44 mm", outer = "38 mm" },
]
"#,
        r#"sections = { length = "60 mm", outer = "43 mm" }
"#,
        "f:78:12: shaft.sections: a table; expected a table for each, { length = ..., outer = ..., inner = ... }, or headed [[shaft.sections]]
  hint: two brackets: [[shaft.sections]], not [shaft.sections]",
    ),
    (
        r#"sections = [                          # from the front end; inner left out is solid
  { length = "40 mm", outer = "30 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "56 mm", outer = "48 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm", inner = "12 mm" },
  { length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "44 mm", outer = "38 mm" },
]
"#,
        r#"sections = ["380 mm"]
"#,
        r#"f:78:12: shaft.sections: the text "380 mm"; expected a table for each, { length = ..., outer = ..., inner = ... }, or headed [[shaft.sections]]"#,
    ),
    (
        "sections = [  ",
        "section = [  ",
        r#"f:78:1: shaft: unknown key "section"; expected sections
  hint: did you mean sections?"#,
    ),
    (
        r#"{ length = "40 mm", outer = "30 mm" }"#,
        r#"{ length = "40 mm", outside = "30 mm" }"#,
        r#"f:79:3: shaft.sections.1: outer is missing; expected outer = "43 mm", an outer diameter of a section with its unit
f:79:23: shaft.sections.1: unknown key "outside"; expected one of length, outer, inner
  hint: outside belongs in [spec]"#,
    ),
    (
        r#"{ length = "60 mm", outer = "41 mm", inner = "12 mm" },
  { length = "60 mm", outer = "70 mm""#,
        r#"{ length = "60 mm", outer = "41 mm", inner = "41 mm" },
  { length = "60 mm", outer = "70 mm""#,
        "f:80:48: shaft.sections.2.inner: a hole of 41 mm through 41 mm; expected inner less than outer; both are diameters",
    ),
    (
        r#"outer = "48 mm", inner = "12 mm""#,
        r#"outer = "48 mm", inner = "1.2 m""#,
        r#"f:82:48: shaft.sections.4.inner: "1.2 m" is more than 590 mm; expected an inner diameter of a section from 0 mm to 590 mm, such as "20 mm""#,
    ),
    (
        r#"{ length = "44 mm", outer = "38 mm" }"#,
        r#"{ length = "0 mm", outer = "38" }"#,
        r#"f:85:14: shaft.sections.7.length: "0 mm" is not above 0 mm; expected a length of a section above 0 mm, at most 2000 mm, such as "60 mm"
f:85:30: shaft.sections.7.outer: "38" has no unit; expected an outer diameter of a section from 3 mm to 600 mm, such as "43 mm"
  hint: write "38 mm" if that is meant"#,
    ),
    (
        r#"{ length = "44 mm", outer = "38 mm" },"#,
        r#""44 mm","#,
        r#"f:78:12: shaft.sections: the text "44 mm"; expected a table for each, { length = ..., outer = ..., inner = ... }, or headed [[shaft.sections]]"#,
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]         # mid-plane of each rotor journal
"#,
        "",
        r#"f:76:1: shaft: rotors is missing; expected rotors = ["110 mm", ...], one for each rotor, its mid-plane from the front end"#,
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = ["130 mm"]"#,
        "f:87:10: shaft.rotors: 1 place for 2 rotors; expected one for each of the engine's rotors, front to rear",
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = ["130 mm", "246 mm", "330 mm"]"#,
        "f:87:10: shaft.rotors: 3 places for 2 rotors; expected one for each of the engine's rotors, front to rear",
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = ["0 mm", "380 mm"]"#,
        "f:87:11: shaft.rotors.1: 0 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to
f:87:19: shaft.rotors.2: 380 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = ["246 mm", "130 mm"]"#,
        "f:87:21: shaft.rotors.2: 130 mm is not behind 246 mm, the one before it; expected rotors front to rear",
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = ["130 mm", "190 mm"]"#,
        "f:87:21: shaft.rotors.2: 190 mm is 60 mm behind the rotor before it; expected at least the 73.8995 mm that two half rotors take",
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        "rotors = []",
        r#"f:87:10: shaft.rotors: 0 places; expected one for each rotor, its mid-plane from the front end, such as ["110 mm", ...]"#,
    ),
    (
        r#"rotors = ["130 mm", "246 mm"]"#,
        r#"rotors = [130, "246 mm"]"#,
        r#"f:87:11: shaft.rotors.1: the bare number 130 where a unit belongs; expected a place along the shaft from 0 mm to 6000 mm, such as "110 mm"
  hint: write "130 mm" or "130 um" or "130 thou" or "130 in", whichever is meant"#,
    ),
    (
        r#"throws = ["0 deg", "180 deg"]"#,
        r#"throws = ["0 deg"]"#,
        "f:88:10: shaft.throws: 1 throw for 2 rotors; expected one for each of the engine's rotors, front to rear",
    ),
    (
        r#"throws = ["0 deg", "180 deg"]"#,
        r#"throws = ["90 deg", "270 deg"]"#,
        r#"f:88:11: shaft.throws.1: 90 deg from its own throw; expected "0 deg" for rotor 1, from whose throw the others are counted"#,
    ),
    (
        r#"throws = ["0 deg", "180 deg"]"#,
        r#"throws = ["0 deg", "540 deg"]"#,
        r#"f:88:20: shaft.throws.2: "540 deg" is more than 360 deg; expected an angle of a throw from -360 deg to 360 deg, such as "180 deg""#,
    ),
    (
        r#"throws = ["0 deg", "180 deg"]"#,
        r#"throws = "180 deg""#,
        r#"f:88:10: shaft.throws: the text "180 deg"; expected one for each rotor, from the throw of rotor 1, such as ["180 deg", ...]"#,
    ),
    (
        "damping = 0.01 ",
        r#"damping = "1 %" "#,
        r#"f:89:11: shaft.damping: the text "1 %"; expected a share of critical damping from 0 to 0.2, such as 0.01, without quotes or unit
  hint: write 0.01 if that is meant"#,
    ),
    (
        "damping = 0.01 ",
        "damping = 0.3 ",
        "f:89:11: shaft.damping: 0.3 is more than 0.2; expected a share of critical damping from 0 to 0.2, such as 0.01",
    ),
    (
        r#"material = "shaft steel""#,
        r#"material = "stel""#,
        r#"f:77:12: shaft.material: unknown material "stel"; expected one of nodular iron, grey iron, cast aluminium, steel, shaft steel
  hint: did you mean "steel"?"#,
    ),
    (
        r#"young = "206 GPa"
"#,
        "",
        r#"f:76:12: shaft.material: material "shaft steel" has no young; expected young = "205 GPa" in [material."shaft steel"]"#,
    ),
    (
        "poisson = 0.29",
        "poisson = 0.5",
        "f:30:11: material.shaft steel.poisson: 0.5 is more than 0.49; expected a Poisson's ratio from 0 to 0.49, such as 0.29",
    ),
    (
        r#"young = "206 GPa""#,
        r#"young = "30 ksi""#,
        r#"f:29:9: material.shaft steel.young: "30 ksi" is less than 5 GPa; expected a Young's modulus from 5 GPa to 700 GPa, such as "205 GPa""#,
    ),
    (
        r#"[[shaft.main]]                        # front to rear
at = "75 mm"
stiffness = "300 N/um"                # of seat and housing, in series with the film
moment_stiffness = "40 kN m/rad"
[[shaft.main]]
at = "301 mm"
stiffness = "320 N/um"
moment_stiffness = "40 kN m/rad"
"#,
        "",
        "f:76:1: shaft: main is missing; expected at least two tables [[shaft.main]], front to rear",
    ),
    (
        r#"[[shaft.main]]
at = "301 mm"
stiffness = "320 N/um"
moment_stiffness = "40 kN m/rad"
"#,
        "",
        "f:90:1: shaft.main: 1 main bearing; expected 2 to 8, front to rear",
    ),
    (
        r#"at = "75 mm""#,
        r#"at = "310 mm""#,
        "f:95:6: shaft.main.2.at: 301 mm is not behind 310 mm, the one before it; expected main bearings front to rear",
    ),
    (
        r#"at = "75 mm""#,
        r#"at = "301 mm""#,
        "f:95:6: shaft.main.2.at: 301 mm is not behind 301 mm, the one before it; expected main bearings front to rear",
    ),
    (
        r#"at = "301 mm""#,
        r#"at = "381 mm""#,
        "f:95:6: shaft.main.2.at: 381 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"at = "301 mm"
"#,
        "",
        r#"f:94:1: shaft.main.2: at is missing; expected at = "110 mm", a place along the shaft with its unit"#,
    ),
    (
        r#"stiffness = "300 N/um""#,
        r#"stiffness = "300 N""#,
        r#"f:92:13: shaft.main.1.stiffness: "N" is no unit known here; expected a stiffness of a seat above 0 N/um, at most 100000 N/um, such as "300 N/um"
  hint: known are N/um, kN/mm, MN/m, N/mm, kN/m, N/m, lbf/in"#,
    ),
    (
        r#"stiffness = "300 N/um""#,
        r#"stiffness = "1700 lb/in""#,
        r#"f:92:13: shaft.main.1.stiffness: "lb/in" can be misread; expected a stiffness of a seat above 0 N/um, at most 100000 N/um, such as "300 N/um"
  hint: lb is kept for masses; write lbf/in"#,
    ),
    (
        r#"moment_stiffness = "40 kN m/rad"
[[shaft.main]]"#,
        r#"moment_stifness = "40 kN m/rad"
[[shaft.main]]"#,
        r#"f:93:1: shaft.main.1: unknown key "moment_stifness"; expected moment_stiffness
  hint: did you mean moment_stiffness?"#,
    ),
    (
        "[[shaft.main]]                        # front to rear",
        "[shaft.main]",
        "f:90:1: shaft.main: a table; expected a table for each, { at = ..., stiffness = ..., moment_stiffness = ... }, or headed [[shaft.main]]
  hint: two brackets: [[shaft.main]], not [shaft.main]
f:94:9: this table is there already; expected each table once, or all of a kind in two brackets
  hint: for another of its kind start a new table in two brackets, such as [[rotor]]",
    ),
    (
        "[[shaft.main]]                        # front to rear",
        "[[shaft.mains]]",
        r#"f:90:9: shaft: unknown key "mains"; expected main
  hint: did you mean main?"#,
    ),
    (
        r#"at = "330 mm""#,
        r#"at = "331 in""#,
        r#"f:108:6: shaft.weight.rear counterweight.at: "331 in" is more than 6000 mm; expected a place along the shaft from 0 mm to 6000 mm, such as "110 mm""#,
    ),
    (
        r#"at = "362 mm""#,
        r#"at = "400 mm""#,
        "f:116:6: shaft.weight.flywheel.at: 400 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"name = "rear counterweight""#,
        r#"name = "front counterweight""#,
        r#"f:107:8: shaft.weight.front counterweight.name: "front counterweight" is also the name of number 1 from the front; expected a name of its own for each part"#,
    ),
    (
        r#"name = "flywheel"
"#,
        "",
        r#"f:114:1: shaft.weight #3: name is missing; expected name = "rear counterweight""#,
    ),
    (
        r#"mass = "5.2 kg"
"#,
        "",
        r#"f:114:1: shaft.weight.flywheel: mass is missing; expected mass = "2.4 kg", a mass of a weight with its unit"#,
    ),
    (
        r#"mass = "5.2 kg""#,
        "mass = 5.2",
        r#"f:117:8: shaft.weight.flywheel.mass: the bare number 5.2 where a unit belongs; expected a mass of a weight above 0 kg, at most 500 kg, such as "2.4 kg"
  hint: write "5.2 kg" or "5.2 g" or "5.2 lb", whichever is meant"#,
    ),
    (
        r#"unbalance = "33100 g mm"              # with"#,
        "# with",
        r#"f:98:1: shaft.weight.front counterweight: unbalance is missing; expected unbalance = "31000 g mm" beside angle"#,
    ),
    (
        r#"angle = "180 deg"
"#,
        "",
        r#"f:98:1: shaft.weight.front counterweight: angle is missing; expected angle = "180 deg", where the unbalance lies from the throw of rotor 1"#,
    ),
    (
        r#"unbalance = "33100 g mm"
"#,
        r#"unbalance = "33100 kg mm"
"#,
        "f:110:13: shaft.weight.rear counterweight.unbalance: its mass would lie 27583.3333 mm off the axis; expected at most 500 mm: unbalance is mass times radius",
    ),
    (
        r#"unbalance = "33100 g mm"
"#,
        r#"unbalance = "-33100 g mm"
"#,
        r#"f:110:13: shaft.weight.rear counterweight.unbalance: "-33100 g mm" is less than 0 kg mm; expected an unbalance from 0 kg mm to 250000 kg mm, such as "31000 g mm""#,
    ),
    (
        r#"diametral_inertia = "0.0205 kg m2""#,
        r#"diametral_inertia = "0.0105 kg m2""#,
        "f:119:21: shaft.weight.flywheel.diametral_inertia: 0.0105 kg m2 is less than a thin disc would have; expected at least half of polar_inertia, 0.019 kg m2",
    ),
    (
        r#"polar_inertia = "0.038 kg m2""#,
        r#"polar_inertia = "0.038 kg m""#,
        r#"f:118:17: shaft.weight.flywheel.polar_inertia: "kg m" is no unit known here; expected a moment of inertia above 0 kg m2, at most 100 kg m2, such as "0.0061 kg m2"
  hint: known are kg m2, kg cm2, kg mm2, g m2, lb in2"#,
    ),
    (
        "[shaft]   ",
        "[shft]   ",
        r#"f:76:2: unknown key "shft"; expected shaft
  hint: did you mean shaft?"#,
    ),
];
