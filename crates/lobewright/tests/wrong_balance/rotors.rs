//! What rotors carry, readings of each, pockets.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"state = "before cut"                  # when all of this was read"#,
        r#"state = "after cut""#,
        r#"f:230:9: balance.rotor.SR-21.state: "after cut", and rotor SR-21 has no [rotor.after]; expected "before cut", or the rotor's readings after its cut in [rotor.after]"#,
    ),
    (
        r#"name = "apex seals"
"#,
        "",
        r#"f:199:1: balance.carried #1: name is missing; expected name = "apex seals and springs""#,
    ),
    (
        r#"name = "corner seals""#,
        r#"name = "apex seals""#,
        r#"f:204:8: balance.carried.apex seals.name: "apex seals" is also the name of carried 1; expected a name of its own for each"#,
    ),
    (
        r#"mass = "82.5 g"
weighed = "apart""#,
        r#"mass = "82.5 g""#,
        r#"f:199:1: balance.carried.apex seals: weighed is missing; expected weighed = "apart" or weighed = "with rotor""#,
    ),
    (
        r#"mass = "82.5 g"
weighed = "apart""#,
        r#"mass = "82.5 g"
weighed = "with rotors""#,
        r#"f:202:11: balance.carried.apex seals.weighed: "with rotors"; expected "apart" or "with rotor"
  hint: did you mean "with rotor"?"#,
    ),
    (
        r#"mass = "82.5 g"
"#,
        "",
        r#"f:199:1: balance.carried.apex seals: mass is missing; expected mass = "94.5 g", a mass of what a rotor carries with its unit"#,
    ),
    (
        r#"mass = "82.5 g""#,
        r#"mass = "82,5 g""#,
        r#"f:201:8: balance.carried.apex seals.mass: the comma in "82,5 g" can be misread; expected a mass of what a rotor carries above 0 g, at most 20000 g, such as "94.5 g"
  hint: write "82.5 g" if it is the decimal mark"#,
    ),
    (
        r#"mass = "82.5 g""#,
        r#"mass = "82.5 g"
rotor = "SR-12""#,
        r#"f:202:9: balance.carried.apex seals.rotor: no rotor "SR-12" is in this build; expected one of SR-21, SR-22
  hint: did you mean "SR-21"?"#,
    ),
    (
        r#"mass = "82.5 g""#,
        r#"mass = "82.5 g"
rotor = "R-114""#,
        r#"f:202:9: balance.carried.apex seals.rotor: no rotor "R-114" is in this build; expected one of SR-21, SR-22"#,
    ),
    (
        r#"offset = "-3 mm""#,
        r#"offset = "-37 mm""#,
        "f:222:10: balance.carried.rotor bearing.offset: -37 mm is outside the rotor; expected less than half the land width of the narrowest rotor, 36.948 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        r#"offset = "-3 mm""#,
        r#"rotor = "SR-22"
offset = "-36.96 mm""#,
        "f:223:10: balance.carried.rotor bearing.offset: -36.96 mm is outside the rotor; expected less than half the land width of SR-22, 36.9515 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        r#"offset = "-3 mm""#,
        r#"offset = "-3""#,
        r#"f:222:10: balance.carried.rotor bearing.offset: "-3" has no unit; expected an offset from the mid-plane from -125 mm to 125 mm, such as "1.5 mm"
  hint: write "-3 mm" or "-3 um" or "-3 thou" or "-3 in", whichever is meant"#,
    ),
    (
        "[[balance.carried]]                   # by",
        "[balance.carried]                   # by",
        "f:199:1: balance.carried: a table; expected a table headed [[balance.carried]] for each
  hint: two brackets: [[balance.carried]], not [balance.carried]
f:203:11: this table is there already; expected each table once, or all of a kind in two brackets
  hint: for another of its kind start a new table in two brackets, such as [[rotor]]",
    ),
    (
        r#"amount = "110 g mm"
"#,
        "",
        r#"f:224:1: balance.oil: amount is missing; expected amount = "110 g mm", an unbalance of oil with its unit"#,
    ),
    (
        r#"amount = "110 g mm""#,
        r#"amount = "-110 g mm""#,
        r#"f:225:10: balance.oil.amount: "-110 g mm" is less than 0 g mm; expected an unbalance of oil from 0 g mm to 200000 g mm, such as "110 g mm""#,
    ),
    (
        r#"angle = "0 deg"                       # from the rotor's own throw
offset = "0 mm""#,
        r#"angle = "0 deg"                       # from the rotor's own throw
offset = "40 mm""#,
        "f:227:10: balance.oil.offset: 40 mm is outside the rotor; expected less than half the land width of the narrowest rotor, 36.948 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        r#"serial = "SR-22"
state"#,
        r#"serial = "SR-21"
state"#,
        r#"f:238:10: balance.rotor.SR-21.serial: "SR-21" is also the serial of table 1; expected one table for each rotor"#,
    ),
    (
        r#"serial = "SR-22"
state"#,
        r#"serial = "SR-2"
state"#,
        r#"f:238:10: balance.rotor.SR-2.serial: no rotor "SR-2" is in this build; expected one of SR-21, SR-22
  hint: did you mean "SR-21"?"#,
    ),
    (
        r#"serial = "SR-22"
state"#,
        "state",
        r#"f:237:1: balance.rotor #2: serial is missing; expected serial = "R-114""#,
    ),
    (
        r#"state = "before cut"                  #"#,
        r#"state = "uncut"                  #"#,
        r#"f:230:9: balance.rotor.SR-21.state: "uncut"; expected "before cut" or "after cut""#,
    ),
    (
        r#"mass_centre = "0.6 mm""#,
        r#"mass_centre = "36.9 mm"
centre = 1"#,
        r#"f:232:1: balance.rotor.SR-21: unknown key "centre"; expected one of serial, state, mass_centre, mass_centre_u, mandrel, rollers, arm"#,
    ),
    (
        r#"mass_centre = "0.6 mm""#,
        r#"mass_centre = "-37.1 mm""#,
        "f:231:15: balance.rotor.SR-21.mass_centre: -37.1 mm is outside the rotor; expected less than half the land width of SR-21, 36.948 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        r#"mass_centre_u = "0.02 mm""#,
        r#"mass_centre_u = "-0.1 mm""#,
        r#"f:232:17: balance.rotor.SR-21.mass_centre_u: "-0.1 mm" is less than 0 mm; expected a standard uncertainty of a mass centre from 0 mm to 20 mm, such as "0.1 mm""#,
    ),
    (
        r#"{ turned = "0 deg", amount = "82.3 g mm", angle = "39.8 deg" }"#,
        r#"{ amount = "82.3 g mm", angle = "39.8 deg" }"#,
        r#"f:234:3: balance.rotor.SR-21.mandrel.1: turned is missing; expected turned = "120 deg", an angle from the mandrel's mark with its unit"#,
    ),
    (
        r#"{ turned = "0 deg", amount = "82.3 g mm", angle = "39.8 deg" }"#,
        r#"{ turned = "0 deg", amount = "82.3 g mm" }"#,
        r#"f:234:3: balance.rotor.SR-21.mandrel.1: angle is missing; expected angle = "120 deg", an angle from the mandrel's mark with its unit"#,
    ),
    (
        r#"{ turned = "0 deg", amount = "82.3 g mm", angle = "39.8 deg" }"#,
        r#"{ turned = "0 deg", amount = "82.3 g", angle = "39.8 deg", at = "0 deg" }"#,
        r#"f:234:32: balance.rotor.SR-21.mandrel.1.amount: "g" is no unit known here; expected an unbalance from 0 g mm to 4000000 g mm, such as "310 g mm"
  hint: known are g mm, g cm, kg mm, kg m, oz in
f:234:62: balance.rotor.SR-21.mandrel.1: unknown key "at"; expected one of turned, amount, angle
  hint: at belongs in [shaft.main] or [shaft.weight] or [balance.rotor.rollers] or [balance.front] or [balance.rear]"#,
    ),
    (
        r#"{ turned = "0 deg", amount = "82.3 g mm", angle = "39.8 deg" }"#,
        r#""82.3 g mm""#,
        r#"f:233:11: balance.rotor.SR-21.mandrel: the text "82.3 g mm"; expected a table for each, { turned = ..., amount = ..., angle = ... }, or headed [[balance.rotor.mandrel]]"#,
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"rollers = [
  { at = "0 deg", mass = "12.4 g" },
  { at = "120 deg", mass = "14.1 g" },
]
mandrel = [
"#,
        r#"f:228:1: balance.rotor.SR-21: arm is missing; expected arm = "85 mm" beside rollers: from the axis to where the scale is
f:233:11: balance.rotor.SR-21.rollers: 2 readings; expected 3 to 24, all round the rotor"#,
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"rollers = [
  { at = "0 deg", mass = "12.4 g" },
  { at = "120 deg", mass = "14.1 g" },
  { at = "240 deg", mass = "13.0 g" },
]
mandrel = [
"#,
        r#"f:228:1: balance.rotor.SR-21: arm is missing; expected arm = "85 mm" beside rollers: from the axis to where the scale is"#,
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"arm = "85 mm"
mandrel = [
"#,
        "f:233:7: balance.rotor.SR-21.arm: an arm without rollers; expected arm only beside rollers",
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"arm = "85 mm"
roller = [{ at = "0 deg", mass = "12.4 g" }]
mandrel = [
"#,
        r#"f:234:1: balance.rotor.SR-21: unknown key "roller"; expected rollers
  hint: did you mean rollers?"#,
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"arm = "85 mm"
rollers = []
mandrel = [
"#,
        "f:234:11: balance.rotor.SR-21.rollers: 0 readings; expected 3 to 24, all round the rotor",
    ),
    (
        "mandrel = [                           # turned: from the mandrel's mark to tip 1
",
        r#"arm = "85 mm"
rollers = [
  { at = "0 deg", mass = "12.4 g" },
  { at = "2 rad" },
  { at = "240", mass = 13 },
]
mandrel = [
"#,
        r#"f:236:3: balance.rotor.SR-21.rollers.2: mass is missing; expected mass = "12.4 g", a reading of the scale with its unit
f:237:10: balance.rotor.SR-21.rollers.3.at: "240" has no unit; expected an angle from tip 1 from -360 deg to 360 deg, such as "60 deg"
  hint: write "240 deg" if that is meant
f:237:24: balance.rotor.SR-21.rollers.3.mass: the bare number 13 where a unit belongs; expected a reading of the scale from 0 g to 60000 g, such as "12.4 g"
  hint: write "13 g" or "13 kg" or "13 lb", whichever is meant"#,
    ),
    (
        r#"name = "flank 2 pocket floor""#,
        r#"name = "flank 1 pocket floor""#,
        r#"f:252:8: balance.pocket.flank 1 pocket floor.name: "flank 1 pocket floor" is also the name of pocket 1; expected a name of its own for each"#,
    ),
    (
        r#"radius = "78 mm""#,
        r#"radius = "98 mm""#,
        "f:264:10: balance.pocket.web under tip 1.radius: a pocket at radius 98 mm; expected less than generating_radius, 98 mm",
    ),
    (
        r#"radius = "78 mm""#,
        r#"radius = "0 mm""#,
        r#"f:264:10: balance.pocket.web under tip 1.radius: "0 mm" is not above 0 mm; expected a radius of a pocket above 0 mm, at most 400 mm, such as "70 mm""#,
    ),
    (
        r#"offset = "-12 mm""#,
        r#"offset = "-36.948 mm""#,
        "f:265:10: balance.pocket.web under tip 1.offset: -36.948 mm is outside the rotor; expected less than half the land width of the narrowest rotor, 36.948 mm
  hint: was it counted from the other face? it is from the mid-plane",
    ),
    (
        r#"most = "4 g"
"#,
        "",
        r#"f:261:1: balance.pocket.web under tip 1: most is missing; expected most = "10 g", a mass to be taken with its unit"#,
    ),
    (
        r#"angle = "60 deg""#,
        r#"at = "60 deg""#,
        r#"f:246:1: balance.pocket.flank 1 pocket floor: angle is missing; expected angle = "60 deg", an angle from tip 1 with its unit
f:248:1: balance.pocket.flank 1 pocket floor: unknown key "at"; expected one of name, angle, radius, offset, most
  hint: at belongs in [shaft.main] or [shaft.weight] or [balance.rotor.rollers] or [balance.front] or [balance.rear]"#,
    ),
];
