//! What is counted from where, and which way a part is fitted, changes no size.

use super::shop::{Pair, Shop, Tips, shop};
use super::units::same;
use super::{Planned, for_each};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::cell::Cell;

/// The tip that stands at each place afterwards.
type Order = [usize; 3];

fn reordered(tips: &Tips, order: Order) -> Tips {
    order.map(|k| tips[k])
}

impl Pair {
    /// With its tips counted in another order.
    fn counted(&self, order: Order) -> Self {
        let each = |tips: &Option<Tips>| tips.as_ref().map(|tips| reordered(tips, order));
        Self {
            land_width: reordered(&self.land_width, order),
            gear_step: reordered(&self.gear_step, order),
            plain_step: reordered(&self.plain_step, order),
            tip_width: each(&self.tip_width),
            gear_runout: each(&self.gear_runout),
            plain_runout: each(&self.plain_runout),
            ..self.clone()
        }
    }

    /// Its image in a mirror on its mid-plane: what was read on one face is read on the other, and
    /// tips that were counted one way round are counted the other.
    fn mirrored(&self) -> Self {
        let image = self.counted([0, 2, 1]);
        Self {
            gear_step: image.plain_step,
            plain_step: image.gear_step,
            gear_runout: image.plain_runout,
            plain_runout: image.gear_runout,
            ..image
        }
    }
}

/// What a plan decides on one rotor, without the room it gives, which has a sense of rotation.
fn decided(rotor: &Value, order: Order, mirrored: bool) -> Value {
    let list = |v: &Value| json!(order.map(|k| v[k].clone()));
    let face = |v: &Value| {
        let lists = v.as_object().unwrap().iter().map(|(key, v)| (key.clone(), list(v)));
        Value::Object(lists.collect())
    };
    let name = |face: &str| match (face, mirrored) {
        ("gear", true) => "plain",
        ("plain", true) => "gear",
        (face, _) => {
            if face == "gear" {
                "gear"
            } else {
                "plain"
            }
        }
    };
    let mut sizes = serde_json::Map::new();
    for size in rotor["sizes"].as_array().unwrap() {
        let said = size["size"].as_str().unwrap();
        let said = match said.split_once('-') {
            Some((face, rest)) => format!("{}-{rest}", name(face)),
            None => said.to_owned(),
        };
        let tip = size["tip"].as_u64().unwrap() as usize - 1;
        let place = order.iter().position(|k| *k == tip).unwrap();
        sizes.insert(
            format!("{said} {place}"),
            json!([size["value_mm"], size["guard_mm"], size["verdict"]]),
        );
    }
    let mut rest = rotor.as_object().unwrap().clone();
    let (gear, plain) = (face(&rotor["gear"]), face(&rotor["plain"]));
    rest.insert(name("gear").into(), gear);
    rest.insert(name("plain").into(), plain);
    rest.insert("sizes".into(), Value::Object(sizes));
    rest.insert("tip_width_mm".into(), list(&rotor["tip_width_mm"]));
    // Warnings name tips and faces in words.
    for key in ["room", "readings", "gear_face", "warnings"] {
        rest.remove(key);
    }
    let room = &rotor["room"]["states"];
    let states: Vec<Value> = room
        .as_array()
        .unwrap()
        .iter()
        .map(|s| json!([s["state"], s["jams"], s["clearance_left_mm"], s["least_tip_gap_mm"]]))
        .collect();
    rest.insert("room".into(), json!(states));
    Value::Object(rest)
}

/// What a plan decides on its set.
fn of_the_set(json: &Value) -> Value {
    let mut limits: Vec<String> = json["limiting"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| format!("{} {}", l["serial"], l["limit"]))
        .collect();
    limits.sort();
    json!([json["feasible"], json["method"], json["match"], json["nearest_specs"], limits])
}

/// Nine decimals of JSON, and what the adjustment and the areas lose to another order of sums.
const SAME: f64 = 2e-8;

fn same_decisions(a: &Planned, b: &Planned, order: Order, mirrored: bool) {
    same(&of_the_set(&a.json), &of_the_set(&b.json), SAME, "set");
    for i in 0..a.report.rotors.len() {
        let expected = decided(a.rotor(i), order, mirrored);
        let got = decided(b.rotor(i), [0, 1, 2], false);
        same(&expected, &got, SAME, &format!("rotor {i}"));
    }
}

const CASES: u32 = 120;

#[test]
fn counting_the_tips_from_another_one_turns_the_plan() {
    let order = prop_oneof![Just([1, 2, 0]), Just([2, 0, 1])];
    for_each(CASES, 5, (shop(), order), |(shop, order)| {
        let turned =
            Shop { pairs: shop.pairs.iter().map(|p| p.counted(order)).collect(), ..shop.clone() };
        let (a, b) = (Planned::of_shop(&shop), Planned::of_shop(&turned));
        same_decisions(&a, &b, order, false);
    });
}

#[test]
fn a_mirrored_rotor_has_the_mirrored_plan() {
    for_each(CASES, 6, shop(), |mut shop| {
        shop.sides.clear();
        // Which of two thin passes is left and which deepened goes by the order of the faces.
        shop.least_cut = 0;
        let image = Shop { pairs: shop.pairs.iter().map(Pair::mirrored).collect(), ..shop.clone() };
        let (a, b) = (Planned::of_shop(&shop), Planned::of_shop(&image));
        same_decisions(&a, &b, [0, 2, 1], true);
    });
}

#[test]
fn a_rotor_turned_round_in_the_engine_has_the_same_plan() {
    for_each(CASES, 7, shop(), |shop| {
        let mut turned = shop.clone();
        for pair in &mut turned.pairs {
            pair.rear = !pair.rear;
        }
        // Of one rotor between two plates, the plates change places with it.
        if shop.pairs.len() == 1 && !shop.sides.is_empty() {
            let flipped = |[land_front, land_rear, tip_front, tip_rear]: [i64; 4]| {
                [land_rear, land_front, tip_rear, tip_front]
            };
            turned.sides = shop.sides.iter().rev().map(|side| flipped(*side)).collect();
        } else {
            turned.sides.clear();
        }
        let mut shop = shop;
        if turned.sides.is_empty() {
            shop.sides.clear();
        }
        let (a, b) = (Planned::of_shop(&shop), Planned::of_shop(&turned));
        same_decisions(&a, &b, [0, 1, 2], false);
    });
}

#[test]
fn rotors_in_the_reverse_order_have_the_plan_in_the_reverse_order() {
    let several = Cell::new(0);
    for_each(CASES, 8, shop(), |mut shop| {
        shop.sides.clear();
        let mut reversed = shop.clone();
        reversed.pairs.reverse();
        let (a, b) = (Planned::of_shop(&shop), Planned::of_shop(&reversed));
        same(&of_the_set(&a.json), &of_the_set(&b.json), SAME, "set");
        let count = shop.pairs.len();
        several.set(several.get() + u32::from(count > 1));
        for i in 0..count {
            let same_way = [0, 1, 2];
            let (a, b) = (
                decided(a.rotor(i), same_way, false),
                decided(b.rotor(count - 1 - i), same_way, false),
            );
            same(&a, &b, SAME, &format!("rotor {i}"));
        }
    });
    assert!(several.get() > 60);
}
