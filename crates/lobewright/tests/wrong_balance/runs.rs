//! Runs, trial weights and sensors: what stands after [`BEFORE`], and the problems.

/// The example's last lines before its runs.
pub(super) const BEFORE: &str = r#"front = { amount = "412 g mm", angle = "151 deg" }
rear = { amount = "286 g mm", angle = "18 deg" }
"#;

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str)] = &[
    (
        r#"[[balance.run]]
state = "after correction"
speed = "2400 rpm"
rear = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
]
"#,
        "f:312:8: balance.run.1.rear: a trial weight in a run after correction; expected none: its readings are what the correction left",
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "0 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        "f:317:20: balance.run.2.front.amount: a trial weight of nothing; expected an amount above 0 g mm
  hint: write what was on; in a run without one leave front or rear out",
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", at = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:317:9: balance.run.2.front: angle is missing; expected angle = "122 deg", an angle as the instrument shows it with its unit
f:317:32: balance.run.2.front: unknown key "at"; expected one of amount, angle
  hint: at belongs in [shaft.main] or [shaft.weight] or [balance.rotor.rollers] or [balance.front] or [balance.rear]"#,
    ),
    (
        r#"[[balance.run]]
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
"#,
        r#"f:309:1: balance.run.1: speed is missing; expected speed = "9800 rpm", a shaft speed with its unit"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
"#,
        r#"f:315:1: balance.run.2: sensors is missing; expected sensors = [{ name = "front main", amplitude = "12.1 um", phase = "63 deg" }, ...]"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = []
"#,
        "f:311:11: balance.run.1.sensors: 0 sensors; expected 1 to 12",
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s" },
]
"#,
        r#"f:320:3: balance.run.2.sensors.rear main: phase is missing; expected phase = "63 deg": a vibration without its phase is no vector"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:312:3: balance.run.1.sensors.front main: phase is missing; expected phase = "63 deg": a vibration without its phase is no vector"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:312:3: balance.run.1.sensors.front main: amplitude is missing; expected amplitude = "12.1 um", or velocity = "4.1 mm/s""#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", velocty = "4 mm/s", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:312:26: balance.run.1.sensors.front main: unknown key "velocty"; expected velocity
  hint: did you mean velocity?"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", velocity = "4 mm/s", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        "f:319:58: balance.run.2.sensors.front main.velocity: velocity beside amplitude; expected one of the two",
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", velocity = "4 mm/s", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:319:37: balance.run.2.sensors.front main.velocity: velocity of "front main", which shows amplitude in run 1; expected the same of the two in every run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", amplitude = "4 um", phase = "22 deg" },
]
"#,
        r#"f:327:37: balance.run.3.sensors.rear main.amplitude: amplitude of "rear main", which shows velocity in run 1; expected the same of the two in every run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "front main", amplitude = "4 um", phase = "22 deg" },
]
"#,
        r#"f:320:12: balance.run.2.sensors.front main.name: "front main" is also the name of sensor 1 of this run; expected each sensor once in a run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
]
"#,
        r#"f:318:11: balance.run.2.sensors: sensor "rear main" of run 1 is missing in run 2; expected the same sensors in every run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear mian", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:320:12: balance.run.2.sensors.rear mian.name: run 1 has no sensor "rear mian"; expected the same sensors in every run
  hint: did you mean "rear main"?"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "gearbox", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:318:11: balance.run.2.sensors: sensor "rear main" of run 1 is missing in run 2; expected the same sensors in every run
f:320:12: balance.run.2.sensors.gearbox.name: run 1 has no sensor "gearbox"; expected the same sensors in every run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "gearbox", amplitude = "1 um", phase = "0 deg" },
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:326:12: balance.run.3.sensors.gearbox.name: run 1 has no sensor "gearbox"; expected the same sensors in every run"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:320:3: balance.run.2.sensors #2: name is missing; expected name = "front main""#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = "81 deg" },
  { name = "rear main", velocity = "3.8 m/s2", phase = "22 deg" },
]
"#,
        r#"f:312:38: balance.run.1.sensors.front main.amplitude: "12.1" has no unit; expected an amplitude from 0 um to 20000 um, such as "12.1 um"
  hint: write "12.1 um" or "12.1 mm" or "12.1 thou", whichever is meant
f:320:36: balance.run.2.sensors.rear main.velocity: "m/s2" is no unit known here; expected a velocity of vibration from 0 mm/s to 2000 mm/s, such as "4.1 mm/s"
  hint: known are mm/s, um/s, m/s, in/s"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [
  { name = "front main", amplitude = "15 um", phase = 81 },
  { name = "rear main", velocity = "3.8 mm/s", phase = "22 deg" },
]
"#,
        r#"f:319:55: balance.run.2.sensors.front main.phase: the bare number 81 where a unit belongs; expected a phase from -360 deg to 360 deg, such as "63 deg"
  hint: write "81 deg" if that is meant"#,
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = [{ name = "s0", amplitude = "1 um", phase = "0 deg" }, { name = "s1", amplitude = "1 um", phase = "0 deg" }, { name = "s2", amplitude = "1 um", phase = "0 deg" }, { name = "s3", amplitude = "1 um", phase = "0 deg" }, { name = "s4", amplitude = "1 um", phase = "0 deg" }, { name = "s5", amplitude = "1 um", phase = "0 deg" }, { name = "s6", amplitude = "1 um", phase = "0 deg" }, { name = "s7", amplitude = "1 um", phase = "0 deg" }, { name = "s8", amplitude = "1 um", phase = "0 deg" }, { name = "s9", amplitude = "1 um", phase = "0 deg" }, { name = "s10", amplitude = "1 um", phase = "0 deg" }, { name = "s11", amplitude = "1 um", phase = "0 deg" }, { name = "s12", amplitude = "1 um", phase = "0 deg" }]
"#,
        "f:311:11: balance.run.1.sensors: 13 sensors; expected 1 to 12",
    ),
    (
        r#"[balance.run]
speed = "2400 rpm"
"#,
        "f:309:1: balance.run: a table; expected a table for each, { state = ..., speed = ..., front = ..., rear = ..., sensors = ... }, or headed [[balance.run]]
  hint: two brackets: [[balance.run]], not [balance.run]",
    ),
    (
        r#"[[balance.run]]
speed = "2400 rpm"
sensors = ["front main"]
"#,
        r#"f:311:11: balance.run.1.sensors: the text "front main"; expected a table headed [[balance.run.sensors]] for each"#,
    ),
];
