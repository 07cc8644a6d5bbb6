//! The same build in millimetres and in inches.

use super::shop::{Unit, shop};
use super::{Planned, for_each};
use serde_json::Value;

/// What JSON numbers of the two may differ by, in their own units: JSON has nine decimals.
const SAME: f64 = 1e-9;

/// Compares two plans key by key.
pub(crate) fn same(a: &Value, b: &Value, within: f64, at: &str) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            assert!(a.keys().eq(b.keys()), "{at}");
            for (key, value) in a {
                same(value, &b[key], within, &format!("{at}.{key}"));
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{at}");
            for (i, (a, b)) in a.iter().zip(b).enumerate() {
                same(a, b, within, &format!("{at}.{i}"));
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            assert!((a - b).abs() <= within, "{at}: {a} and {b}");
        }
        _ => assert_eq!(a, b, "{at}"),
    }
}

#[test]
fn inches_and_millimetres_give_the_same_plan() {
    for_each(120, 4, shop(), |shop| {
        let shop = shop.in_tenths();
        let metric = Planned::of_text(&shop.file(Unit::Millimetre, Unit::Millimetre));
        let inch = Planned::of_text(&shop.file(Unit::Inch, Unit::Thou));
        same(&metric.json, &inch.json, SAME, "plan");
        assert_eq!(metric.build, inch.build);
        let mixed = Planned::of_text(&shop.file(Unit::Inch, Unit::Millimetre));
        assert_eq!(metric.json, mixed.json);
    });
}
