//! What every plan promises: no metal added, mass that falls by what is removed, sizes inside
//! their tolerances and cuts inside their limits, and without a plan a reason and a way out.

use super::shop::{Pair, Shop, Wanted, shop};
use super::{Planned, for_each, number, three};
use kernel::readings::Face;
use lobewright::build_file::amend_all;
use serde_json::Value;
use std::cell::Cell;

/// The plan allows itself a picometre for rounding; JSON is written to the same.
const ROUNDING_MM: f64 = 2.1e-9;

/// Everything that must hold of a plan.
pub(crate) fn check(planned: &Planned) {
    let json = &planned.json;
    for i in 0..planned.report.rotors.len() {
        nothing_is_added(planned, i);
        if json["rotors"][i]["planned"] == true {
            sizes_are_inside(planned, i);
            cuts_are_allowed(planned, i);
        } else {
            assert_eq!(planned.report.rotors[i].plan.cut.sum_of_depths().to_m(), 0.0);
        }
    }
    let limits = json["limiting"].as_array().unwrap();
    assert_eq!(json["feasible"] == true, limits.is_empty(), "{limits:?}");
    if json["feasible"] == true {
        let matching = &json["match"];
        let (spread, allowed) = (number(&matching["spread_mm"]), number(&matching["allowed_mm"]));
        let clearances: Vec<f64> = json["rotors"]
            .as_array()
            .unwrap()
            .iter()
            .map(|r| number(&r["side_clearance_mm"]))
            .collect();
        let most = clearances.iter().copied().fold(f64::MIN, f64::max);
        let least = clearances.iter().copied().fold(f64::MAX, f64::min);
        assert!((most - least - spread).abs() < ROUNDING_MM);
        assert!(clearances.len() < 2 || spread <= allowed + ROUNDING_MM, "{spread} {allowed}");
        assert_eq!(json["nearest_specs"].as_array().unwrap().len(), 0);
    }
}

fn nothing_is_added(planned: &Planned, i: usize) {
    let (json, report) = (planned.rotor(i), &planned.report.rotors[i]);
    let mut cut_at_all = false;
    for face in Face::BOTH {
        let (now, then) = (report.now.heights.face(face), report.plan.finished.face(face));
        for k in 0..3 {
            assert!(then.land[k] <= now.land[k] && then.tip[k] <= now.tip[k]);
        }
        for area in ["land", "tip"] {
            let cut = three(&json[face.name()][format!("{area}_cut_mm")]);
            let finished = three(&json[face.name()][format!("{area}_height_mm")]);
            let before = three(&json["readings"]["heights_mm"][format!("{}_{area}", face.name())]);
            for k in 0..3 {
                assert!(cut[k] >= 0.0);
                assert!((before[k] - cut[k] - finished[k]).abs() < ROUNDING_MM);
                cut_at_all |= cut[k] > 0.0;
            }
            // A cut at all three tips goes over the whole area; one of a few nanometres, the
            // rounding of a search, is less than JSON shows in grams.
            if cut.iter().all(|depth| *depth > 1e-5) {
                assert!(number(&json["removed_g"]) > 0.0);
            }
        }
    }
    let removed = number(&json["removed_g"]);
    assert!(removed >= 0.0 && (cut_at_all || removed == 0.0));
    let readings = &planned.build.rotors[i].readings;
    let after = planned.build.rotors[i].after.as_ref().and_then(|after| after.mass);
    match after.or(readings.mass) {
        None => assert_eq!(json["mass_g"], Value::Null),
        Some(mass) => {
            let left = mass.to_g() - removed;
            assert!((number(&json["mass_g"]) - left).abs() < ROUNDING_MM);
        }
    }
}

fn sizes_are_inside(planned: &Planned, i: usize) {
    let (json, spec) = (planned.rotor(i), &planned.report.spec);
    let inside = |value: f64, aim: kernel::plan::Aim| {
        let off = (value - aim.target.to_mm()).abs() - aim.tolerance.to_mm();
        assert!(off <= ROUNDING_MM, "{value} is {off} mm outside");
    };
    let least_width = planned.report.rotors[i].width.least.value().to_mm();
    let needed = number(&json["step_needed_hot_mm"]).max(number(&json["step_needed_mm"]));
    let mut widths = [0.0; 3];
    for face in ["gear", "plain"] {
        let land = three(&json[face]["land_height_mm"]);
        let tip = three(&json[face]["tip_height_mm"]);
        let step = three(&json[face]["step_mm"]);
        for k in 0..3 {
            widths[k] += land[k];
            assert!((land[k] - tip[k] - step[k]).abs() < ROUNDING_MM);
            inside(step[k], spec.step);
            assert!(step[k] >= needed - ROUNDING_MM, "{} below {needed}", step[k]);
        }
    }
    for width in widths {
        inside(least_width - width, spec.side_clearance);
    }
    let widest = widths.into_iter().fold(f64::MIN, f64::max);
    assert!((number(&json["land_width_mm"]) - widest).abs() < ROUNDING_MM);
    assert!((number(&json["side_clearance_mm"]) - (least_width - widest)).abs() < ROUNDING_MM);
    assert_eq!(json["land_touches_first"], true);
    // The plan looks at a taper at its start over an even wall and at the tips; the room looks at
    // every radius and azimuth. Where the land's track is worn beyond the tips', or where a tip is
    // left low so that the face tilts, the room may find a gap below zero between the two.
    let between =
        |state: &Value| planned.build.spec.taper.is_some() && state["at"]["tip"].is_null();
    for state in json["room"]["states"].as_array().unwrap() {
        assert_eq!(state["jams"], false);
        if let Some(gap) = state["least_tip_gap_mm"].as_f64().filter(|_| !between(state)) {
            // A step that suffices keeps every tip off the walls, at the worst tilt too.
            assert!(gap >= -ROUNDING_MM, "{state}");
        }
    }
    for line in json["seals"].as_array().unwrap() {
        let end_clearance = line["figure"].as_str().unwrap().contains("end clearance");
        assert!(end_clearance || line["holds"] != false, "{line}");
    }
}

fn cuts_are_allowed(planned: &Planned, i: usize) {
    let (json, spec) = (planned.rotor(i), &planned.report.spec);
    let least_cut = planned.build.machine.unwrap().least_cut.to_mm();
    for face in ["gear", "plain"] {
        let limits = [("land", spec.land_cut_limit), ("tip", spec.tip_cut_limit)];
        for (area, limit) in limits {
            let cut = three(&json[face][format!("{area}_cut_mm")]);
            let deepest = cut.into_iter().fold(0.0, f64::max);
            assert!(deepest <= limit.to_mm() + ROUNDING_MM, "{deepest} of {limit:?}");
            let thin = deepest > ROUNDING_MM && deepest < least_cut - ROUNDING_MM;
            assert!(!thin, "{face} {area}: a pass of {deepest} mm, least {least_cut}");
        }
    }
}

/// Without a plan: the file with any of the offered specs has one, but for rotors whose readings
/// disagree, which no spec cures.
fn the_offers_work(shop: &Shop, planned: &Planned) -> usize {
    use super::Unit;
    let text = shop.file(Unit::Millimetre, Unit::Micrometre);
    let offers = planned.json["nearest_specs"].as_array().unwrap();
    for offer in offers {
        let changes: Vec<(String, String)> = offer
            .as_array()
            .unwrap()
            .iter()
            .map(|c| (format!("spec.{}", c["key"].as_str().unwrap()), format!("{} mm", c["to_mm"])))
            .collect();
        let words: Vec<(&str, &str)> =
            changes.iter().map(|(place, value)| (place.as_str(), value.as_str())).collect();
        let amended = Planned::of_text(&amend_all(&text, &words).unwrap());
        check(&amended);
        let limits = amended.json["limiting"].as_array().unwrap();
        assert!(limits.iter().all(|l| l["limit"] == "readings"), "{words:?}: {limits:?}");
    }
    offers.len()
}

#[test]
fn every_plan_keeps_what_it_promises() {
    let (feasible, offers) = (Cell::new(0), Cell::new(0));
    let (aimed, thin) = (Cell::new(0), Cell::new(0));
    for_each(CASES, 1, shop(), |shop| {
        let planned = Planned::of_shop(&shop);
        check(&planned);
        if planned.report.feasible {
            feasible.set(feasible.get() + 1);
            aimed.set(aimed.get() + u32::from(planned.json["method"] == "aimed"));
            thin.set(thin.get() + u32::from(shop.least_cut > 0));
        } else {
            offers.set(offers.get() + the_offers_work(&shop, &planned));
        }
    });
    // All ways are walked: planned to the aims, within tolerances, and not at all, with offers.
    let (feasible, aimed) = (feasible.get(), aimed.get());
    assert!(aimed > 60 && feasible - aimed > 20 && feasible < CASES - 50, "{aimed} of {feasible}");
    assert!(thin.get() > 40 && offers.get() > 100);
}

const CASES: u32 = 200;

/// Rotors with equal readings, in which many poses are equally bad: their room was once not found
/// to a femtometre and so not at all.
#[test]
fn a_rotor_with_equal_readings_has_a_room() {
    let pair = |rear| Pair {
        serial: "R-1".into(),
        rear,
        mass_g: None,
        land_width: [79_840_000; 3],
        gear_step: [40_000; 3],
        plain_step: [40_000; 3],
        tip_width: None,
        gear_runout: None,
        plain_runout: None,
        housing: vec![80_012_405, 80_015_015],
        clamp_up: None,
    };
    for rear in [false, true] {
        let planned = Planned::of_shop(&Shop {
            pairs: vec![pair(rear)],
            sides: Vec::new(),
            wanted: Wanted {
                clearance: [246_625, 12_000],
                step: [138_461, 11_100],
                matching: 27_466,
                land_limit: 78_485,
                tip_limit: 313_412,
                taper: Some([0, 16_295]),
            },
            gauges: [[2_698, 1_033], [2_508, 299]],
            bore_gauge: None,
            capability: 2_095,
            least_cut: 7_135,
            seals: 2,
        });
        check(&planned);
    }
}
