//! What the machine showed.

#[rustfmt::skip]
pub(super) const CASES: &[(&str, &str, &str)] = &[
    (
        r#"rear = { amount = "286 g mm", angle = "18 deg" }
"#,
        "",
        "f:306:1: balance.measured: rear is missing; expected rear = { amount = ..., angle = ... }",
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }"#,
        r#"front = { amount = "412 g mm" }"#,
        r#"f:307:9: balance.measured.front: angle is missing; expected angle = "122 deg", an angle as the instrument shows it with its unit"#,
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }"#,
        r#"front = { amount = "412 g mm", phase = "151 deg" }"#,
        r#"f:307:9: balance.measured.front: angle is missing; expected angle = "122 deg", an angle as the instrument shows it with its unit
f:307:32: balance.measured.front: unknown key "phase"; expected one of amount, angle
  hint: phase belongs in [balance.instrument] or [balance.run.sensors]"#,
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }"#,
        r#"front = "412 g mm""#,
        r#"f:307:9: balance.measured.front: the text "412 g mm"; expected one table, [balance.measured.front]"#,
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }"#,
        r#"front = { amount = "412 g mm", angle = "511 deg" }"#,
        r#"f:307:40: balance.measured.front.angle: "511 deg" is more than 360 deg; expected an angle as the instrument shows it from -360 deg to 360 deg, such as "122 deg""#,
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }
rear = { amount = "286 g mm", angle = "18 deg" }
"#,
        r#"front = { amount = "412 g mm", angle = "151 deg" }
rear = { amount = "286 g mm", angle = "18 deg" }
[balance.after]
front = { amount = "20 g mm", angle = "151 deg" }
"#,
        "f:309:1: balance.after: rear is missing; expected rear = { amount = ..., angle = ... }",
    ),
    (
        r#"front = { amount = "412 g mm", angle = "151 deg" }
rear = { amount = "286 g mm", angle = "18 deg" }
"#,
        r#"front = { amount = "412 g mm", angle = "151 deg" }
rear = { amount = "286 g mm", angle = "18 deg" }
[balance.after]
front = { amount = "20 g", angle = "151 deg" }
rear = { amount = "12 g mm", angle = "40 deg" }
"#,
        r#"f:310:20: balance.after.front.amount: "g" is no unit known here; expected an unbalance from 0 g mm to 4000000 g mm, such as "310 g mm"
  hint: known are g mm, g cm, kg mm, kg m, oz in"#,
    ),
];
