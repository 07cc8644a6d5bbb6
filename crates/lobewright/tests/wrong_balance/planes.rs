//! Counterweights, their drills and places.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"weight = "front counterweight""#,
        r#"weight = "front counterwieght""#,
        r#"f:268:10: balance.front.weight: no weight "front counterwieght" is on the shaft; expected one of front counterweight, rear counterweight, flywheel
  hint: did you mean "front counterweight"?"#,
    ),
    (
        r#"weight = "front counterweight""#,
        r#"weight = "pulley""#,
        r#"f:268:10: balance.front.weight: no weight "pulley" is on the shaft; expected one of front counterweight, rear counterweight, flywheel"#,
    ),
    (
        r#"weight = "front counterweight""#,
        r#"weight = "flywheel""#,
        "f:288:6: balance.rear.at: 331 mm is not behind the front plane, 362 mm; expected the rear plane behind the front one",
    ),
    (
        r#"weight = "rear counterweight"
at = "331 mm""#,
        r#"weight = "rear counterweight"
at = "52 mm""#,
        "f:288:6: balance.rear.at: 52 mm is not behind the front plane, 52 mm; expected the rear plane behind the front one",
    ),
    (
        r#"weight = "rear counterweight"
at = "331 mm"                         # where holes lie; left out, where the weight is
"#,
        r#"weight = "front counterweight"
"#,
        "f:287:10: balance.rear.weight: 52 mm is not behind the front plane, 52 mm; expected the rear plane behind the front one",
    ),
    (
        r#"at = "331 mm""#,
        r#"at = "381 mm""#,
        "f:288:6: balance.rear.at: 381 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"material = "steel"
drills"#,
        r#"material = "stell"
drills"#,
        r#"f:269:12: balance.front.material: unknown material "stell"; expected one of nodular iron, grey iron, cast aluminium, steel, shaft steel
  hint: did you mean "steel"?"#,
    ),
    (
        r#"drills = ["6 mm", "8 mm"]
"#,
        "",
        r#"f:267:1: balance.front: drills is missing; expected drills = ["6 mm", ...], the diameters there are, for a face hole"#,
    ),
    (
        r#"drills = ["6 mm", "8 mm"]"#,
        r#"drill = ["6 mm", "8 mm"]"#,
        r#"f:270:1: balance.front: unknown key "drill"; expected drills
  hint: did you mean drills?"#,
    ),
    (
        r#"drills = ["6 mm", "8 mm"]"#,
        "drills = []",
        r#"f:270:10: balance.front.drills: 0 drills; expected 1 to 12 diameters, such as ["8 mm", ...]"#,
    ),
    (
        r#"drills = ["6 mm", "8 mm"]"#,
        r#"drills = ["6 mm", 8]"#,
        r#"f:270:19: balance.front.drills.2: the bare number 8 where a unit belongs; expected a diameter of a drill from 0.5 mm to 80 mm, such as "8 mm"
  hint: write "8 mm" if that is meant"#,
    ),
    (
        r#"drills = ["6 mm", "8 mm"]"#,
        r#"drills = ["4 mm", "5 mm", "6 mm", "7 mm", "8 mm", "9 mm", "10 mm", "11 mm", "12 mm", "13 mm", "14 mm", "15 mm", "16 mm"]"#,
        r#"f:270:10: balance.front.drills: 13 drills; expected 1 to 12 diameters, such as ["8 mm", ...]"#,
    ),
    (
        r#"point_angle = "118 deg""#,
        r#"point_angle = "11.8 deg""#,
        r#"f:271:15: balance.front.point_angle: "11.8 deg" is less than 60 deg; expected a point angle of a drill from 60 deg to 180 deg, such as "118 deg""#,
    ),
    (
        r#"depth_step = "0.1 mm""#,
        r#"depth_step = "0 mm""#,
        r#"f:273:14: balance.front.depth_step: "0 mm" is less than 0.001 mm; expected a step of depths from 0.001 mm to 5 mm, such as "0.1 mm""#,
    ),
    (
        r#"between = "2 mm""#,
        r#"between = "-2 mm""#,
        r#"f:274:11: balance.front.between: "-2 mm" is less than 0 mm; expected a wall of metal from 0 mm to 100 mm, such as "2 mm""#,
    ),
    (
        r#"to_edge = "2 mm"                      # and between a hole and an edge
"#,
        r#"slug_density = "7850 kg/m3"
"#,
        r#"f:275:16: balance.front.slug_density: a slug of 7850 kg/m3 in "steel"; expected heavier than what is drilled out, 7850 kg/m3"#,
    ),
    (
        r#"to_edge = "2 mm"                      # and between a hole and an edge
"#,
        r#"slug_density = "17500"
"#,
        r#"f:275:16: balance.front.slug_density: "17500" has no unit; expected a density of a slug from 1000 kg/m3 to 23000 kg/m3, such as "17500 kg/m3"
  hint: write "17500 kg/m3" if that is meant"#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        r#"how = "face holes"
angles = [                            # round"#,
        r#"f:277:7: balance.front.place.1.how: "face holes"; expected "face hole" or "rim hole" or "slug" or "flat" or "added"
  hint: did you mean "face hole"?"#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        r#"how = "slug"
angles = [                            # round"#,
        r#"f:267:1: balance.front: slug_density is missing; expected slug_density = "17500 kg/m3", of what a slug is made of"#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        r#"how = "rim hole"
angles = [                            # round"#,
        r#"f:285:11: balance.front.place.1.face_at: face_at of a rim hole; expected face_at only with how = "face hole" or "slug""#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        r#"how = "flat"
angles = [                            # round"#,
        r#"f:276:1: balance.front.place.1: width is missing; expected width = "18 mm" of a flat
f:284:8: balance.front.place.1.edge: edge of a flat; expected edge only with how = "face hole" or "rim hole" or "slug"
f:285:11: balance.front.place.1.face_at: face_at of a flat; expected face_at only with how = "face hole" or "slug""#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        r#"how = "added"
angles = [                            # round"#,
        r#"f:276:1: balance.front.place.1: masses is missing; expected masses = ["5 g", ...] of an added mass
f:283:11: balance.front.place.1.deepest: deepest of an added mass; expected deepest only with how = "face hole" or "rim hole" or "slug" or "flat"
f:284:8: balance.front.place.1.edge: edge of an added mass; expected edge only with how = "face hole" or "rim hole" or "slug"
f:285:11: balance.front.place.1.face_at: face_at of an added mass; expected face_at only with how = "face hole" or "slug""#,
    ),
    (
        r#"how = "face hole"
angles = [                            # round"#,
        "angles = [                            # round",
        r#"f:276:1: balance.front.place.1: how is missing; expected how = "face hole" or how = "rim hole" or how = "slug" or how = "flat" or how = "added""#,
    ),
    (
        r#"radius = "58 mm"
deepest = "14 mm"                     # to the tip of the drill
"#,
        r#"radius = "58 mm"
"#,
        r#"f:276:1: balance.front.place.1: deepest is missing; expected deepest = "14 mm" of a face hole"#,
    ),
    (
        r#"deepest = "14 mm"                     # to the tip of the drill
edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"width = "18 mm"
deepest = "14 mm"
"#,
        r#"f:283:9: balance.front.place.1.width: width of a face hole; expected width only with how = "flat""#,
    ),
    (
        r#"deepest = "14 mm"                     # to the tip of the drill
edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"masses = ["5 g"]
deepest = "14 mm"
"#,
        r#"f:283:10: balance.front.place.1.masses: masses of a face hole; expected masses only with how = "added""#,
    ),
    (
        r#"face_at = "44 mm""#,
        r#"face_at = "381 mm""#,
        "f:285:11: balance.front.place.1.face_at: 381 mm is not on the shaft; expected a place on its 380 mm, which is what the sections add up to",
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
[[balance.front.place]]
how = "rim hole"
angles = ["150 deg"]
radius = "62 mm"
deepest = "62 mm"
"#,
        "f:290:11: balance.front.place.2.deepest: 62 mm from a rim of radius 62 mm; expected less than radius, which is the rim's",
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
[[balance.front.place]]
how = "flat"
angles = []
radius = "62 mm"
deepest = "3 mm"
width = "18 mm"
"#,
        r#"f:288:10: balance.front.place.2.angles: 0 angles; expected 1 to 48, from the throw of rotor 1, such as ["150 deg", ...]"#,
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
[[balance.front.place]]
how = "added"
angles = ["0 deg"]
radius = "62 mm"
masses = ["5 g", "5 mm"]
"#,
        r#"f:290:18: balance.front.place.2.masses.2: "mm" is no unit known here; expected a mass that is added from 0.001 g to 10000 g, such as "5 g"
  hint: known are g, kg, lb, oz"#,
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
[[balance.front.place]]
how = "added"
angles = ["0 deg"]
radius = "62 mm"
masses = []
"#,
        r#"f:290:10: balance.front.place.2.masses: 0 pieces; expected 1 to 12 masses that are there, such as ["5 g", ...]"#,
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
place = 1
"#,
        r#"f:286:1: balance.front.place.1: unknown key "place"; expected one of how, angles, radius, deepest, edge, face_at, width, masses
  hint: place belongs in [balance.front] or [balance.rear]"#,
    ),
    (
        r#"  "125 deg", "135 deg""#,
        r#"  "125", "135 deg""#,
        r#"f:279:3: balance.front.place.1.angles.1: "125" has no unit; expected an angle from the throw of rotor 1 from -360 deg to 360 deg, such as "150 deg"
  hint: write "125 deg" if that is meant"#,
    ),
    (
        r#"  "125 deg", "135 deg""#,
        r#"  "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg", "125 deg""#,
        r#"f:278:10: balance.front.place.1.angles: 50 angles; expected 1 to 48, from the throw of rotor 1, such as ["150 deg", ...]"#,
    ),
    (
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
"#,
        r#"edge = "9 mm"                         # from a hole's centre to the nearest edge
face_at = "44 mm"                     # the face that is drilled, along the shaft
[[balance.front.place]]
how = "added"
angles = ["0 deg", "4 deg", "8 deg", "12 deg", "16 deg", "20 deg", "24 deg", "28 deg", "32 deg", "36 deg", "40 deg", "44 deg", "48 deg", "52 deg", "56 deg", "60 deg", "64 deg", "68 deg", "72 deg", "76 deg", "80 deg", "84 deg", "88 deg", "92 deg", "96 deg", "100 deg", "104 deg", "108 deg", "112 deg", "116 deg", "120 deg", "124 deg", "128 deg", "132 deg", "136 deg", "140 deg", "144 deg", "148 deg", "152 deg", "156 deg", "160 deg", "164 deg", "168 deg"]
radius = "62 mm"
masses = ["5 g"]
[[balance.front.place]]
how = "added"
angles = ["0 deg", "4 deg", "8 deg", "12 deg", "16 deg", "20 deg", "24 deg", "28 deg", "32 deg", "36 deg", "40 deg", "44 deg", "48 deg", "52 deg", "56 deg", "60 deg", "64 deg", "68 deg", "72 deg", "76 deg", "80 deg", "84 deg", "88 deg", "92 deg", "96 deg", "100 deg", "104 deg", "108 deg", "112 deg", "116 deg", "120 deg", "124 deg", "128 deg", "132 deg", "136 deg", "140 deg", "144 deg", "148 deg", "152 deg", "156 deg", "160 deg", "164 deg", "168 deg"]
radius = "62 mm"
masses = ["5 g"]
"#,
        "f:276:1: balance.front.place: 98 angles in one plane; expected at most 96",
    ),
    (
        "[[balance.front.place]]",
        "[balance.front.place]",
        "f:276:1: balance.front.place: a table; expected a table for each, { how = ..., angles = ..., radius = ..., deepest = ..., edge = ..., face_at = ..., width = ..., masses = ... }, or headed [[balance.front.place]]
  hint: two brackets: [[balance.front.place]], not [balance.front.place]",
    ),
    (
        "[balance.rear]",
        "[balance.raer]",
        r#"f:286:10: balance: unknown key "raer"; expected rear
  hint: did you mean rear?"#,
    ),
];
