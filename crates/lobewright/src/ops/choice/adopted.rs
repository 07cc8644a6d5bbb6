//! Gauges of one file taken into another: the same name there may be another gauge.

use super::super::inputs::{STEP_GAUGE, WIDTH_GAUGE};
use crate::build_file::Stock;
use crate::build_file::model::Gauge;
use std::collections::{BTreeMap, HashMap};

/// Takes the gauges of some stock into those of a build, and gives the stock with its parts naming
/// them as they are called there. A gauge of the same name and the same uncertainty is the same
/// gauge; another one of that name gets one of its own.
pub(super) fn adopted(gauges: &mut BTreeMap<String, Gauge>, stock: &Stock) -> Stock {
    let mut called: HashMap<&str, String> = HashMap::new();
    for (name, gauge) in &stock.gauges {
        let mut free = name.clone();
        while gauges.get(&free).is_some_and(|known| known != gauge) {
            free.push_str(" of the stock");
        }
        gauges.insert(free.clone(), gauge.clone());
        called.insert(name, free);
    }
    let named = |name: &Option<String>, usual: &str| {
        let name = name.as_deref().or_else(|| called.contains_key(usual).then_some(usual))?;
        called.get(name).cloned()
    };
    let mut stock = stock.clone();
    for rotor in &mut stock.rotors {
        rotor.width_gauge = named(&rotor.width_gauge, WIDTH_GAUGE);
        rotor.step_gauge = named(&rotor.step_gauge, STEP_GAUGE);
        rotor.runout_gauge = named(&rotor.runout_gauge, STEP_GAUGE);
    }
    for housing in &mut stock.housings {
        housing.gauge = named(&housing.gauge, WIDTH_GAUGE);
    }
    stock
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::{read, read_stock};

    #[test]
    fn a_gauge_of_the_same_name_is_the_same_only_with_the_same_uncertainty() {
        let boat = read(include_str!("../../../../../examples/sprint-boat.toml")).unwrap();
        let part = "state = \"clamped\"\nwidth = [\"80.01 mm\"]\n";
        let of = |repeat: &str, more: &str| {
            let text = format!(
                "format = 1\n[gauge.micrometer]\nrepeat = \"{repeat}\"\n{more}\n[[housing]]\n\
                 serial = \"H-1\"\n{part}"
            );
            read_stock(&text).unwrap()
        };
        let mut gauges = boat.gauges.clone();
        let same = adopted(&mut gauges, &of("2 um", "zero = \"1 um\""));
        assert_eq!(same.housings[0].gauge.as_deref(), Some("micrometer"));
        assert_eq!(gauges, boat.gauges);
        let other = adopted(&mut gauges, &of("5 um", ""));
        assert_eq!(other.housings[0].gauge.as_deref(), Some("micrometer of the stock"));
        assert_eq!(gauges.len(), boat.gauges.len() + 1);
        assert_eq!(gauges["micrometer"], boat.gauges["micrometer"]);
    }
}
