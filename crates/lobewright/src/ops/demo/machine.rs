//! What balancing machines and vibration meters of the demonstration show: of another engine than
//! the example's, and of one that was corrected.

use super::super::BalanceReport;
use super::draft::Size;
use super::scatter::Scatter;
use crate::build_file::places::Placed;
use kernel::balance::{Complex, Shown};

/// Longer by a share, turned by an angle up to so many degrees: never by nothing.
fn another(scatter: &mut Scatter, most_deg: i64) -> Complex<f64> {
    let percent = 100 + scatter.between(4, 14);
    Complex::from_polar(percent as f64 / 100.0, (scatter.between(5, most_deg) as f64).to_radians())
}

/// Makes what another engine would have shown of what the example's did. Of trial runs: another
/// unbalance in every one, on mounts that answer otherwise, so that the runs agree with each other as
/// before. Trial weights are what was put on, and stay.
pub(super) fn on_another_engine(shown: &mut [Placed], scatter: &mut Scatter) {
    // Places that may be drilled lie round the heavy side of the example's: not far from there.
    let (unbalance, answer) = (another(scatter, 12), another(scatter, 60));
    let was = shown.to_vec();
    let read =
        |place: &str| was.iter().find(|p| p.place == place).and_then(|p| Size::read(&p.value));
    let vector = |[length, angle]: &[String; 2]| {
        let (length, angle) = (read(length)?, read(angle)?);
        Some(Complex::from_polar(length.value(), angle.value().to_radians()))
    };
    for placed in &was {
        let keys: Vec<&str> = placed.place.split('.').collect();
        let (places, first, answer) = match keys[..] {
            ["balance", "run", run, "sensors", sensor, "amplitude"] => {
                let of = |run: &str| {
                    ["amplitude", "phase"]
                        .map(|k| format!("balance.run.{run}.sensors.{sensor}.{k}"))
                };
                (of(run), Some(of("1")), answer)
            }
            ["balance", "measured", plane, "amount"] => {
                let of = ["amount", "angle"].map(|k| format!("balance.measured.{plane}.{k}"));
                // A machine answers alike, whatever spins on it.
                (of, None, Complex::from(1.0))
            }
            _ => continue,
        };
        let Some(one) = vector(&places) else { continue };
        let first = first.as_ref().and_then(vector).unwrap_or(one);
        let other = answer * (one + (unbalance - Complex::from(1.0)) * first);
        let angle = other.arg().to_degrees().rem_euclid(360.0);
        for (place, value) in places.iter().zip([other.norm(), angle]) {
            let Some(size) = read(place) else { continue };
            for placed in shown.iter_mut().filter(|placed| placed.place == *place) {
                placed.value = size.near(value).written();
            }
        }
    }
}

/// What is read after the corrections that a report asks for were made: what it expects then. `runs`
/// is how many trial runs there are.
pub(super) fn after_correction(report: &BalanceReport, runs: usize) -> Vec<Placed> {
    let mut all = Vec::new();
    let mut put = |place: String, value: String| all.push(Placed { place, value });
    let degrees =
        |shown: &Shown| format!("\"{:.1} deg\"", shown.angle_rad.to_degrees().rem_euclid(360.0));
    if let Some(machine) = &report.machine {
        for (plane, then) in ["front", "rear"].iter().zip(machine.then_kg_m) {
            let shown = report.convention.shows_unbalance(then);
            let place = format!("balance.after.{plane}");
            put(format!("{place}.amount"), format!("\"{:.1} g mm\"", shown.amount * 1e6));
            put(format!("{place}.angle"), degrees(&shown));
        }
    }
    for (trials, number) in report.trials.iter().flat_map(|trials| &trials.speeds).zip(runs + 1..) {
        let run = format!("balance.run.{number}");
        put(format!("{run}.state"), "\"after correction\"".to_owned());
        put(format!("{run}.speed"), format!("\"{:.0} rpm\"", trials.speed.to_rpm()));
        for sensor in &trials.sensors {
            let shown = report.convention.shows_vibration(sensor.expected);
            let place = format!("{run}.sensors.\"{}\"", sensor.name);
            put(format!("{place}.name"), format!("\"{}\"", sensor.name));
            put(format!("{place}.amplitude"), format!("\"{:.2} um\"", shown.amount));
            put(format!("{place}.phase"), degrees(&shown));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::super::{SpeedCall, balance, plan};
    use super::super::draft::Draft;
    use super::*;
    use crate::build_file::read;
    use kernel::units::System;

    const PUMP: &str = include_str!("../../../../../examples/gannet-pump.toml");

    fn balanced(draft: &Draft) -> BalanceReport {
        let build = read(&draft.text().unwrap()).unwrap();
        let plan = plan(&build, System::Metric).unwrap();
        balance(&build, &plan, &SpeedCall::default(), System::Metric).unwrap()
    }

    #[test]
    fn trial_runs_of_another_engine_agree_and_find_another_unbalance() {
        let mut draft = Draft::of(PUMP).unwrap();
        let was = balanced(&draft).trials.unwrap();
        let mut shown = draft.of_the_machine();
        on_another_engine(&mut shown, &mut Scatter::of(5));
        for (old, new) in draft.of_the_machine().iter().zip(&shown) {
            let read = old.place.ends_with(".amplitude") || old.place.ends_with(".phase");
            assert_eq!(old != new, read, "{}", old.place);
        }
        for placed in shown {
            draft.set(&placed.place, &placed.value);
        }
        let is = balanced(&draft).trials.unwrap();
        assert!(is.chance.unwrap() > 0.3, "{:?}", is.chance);
        for (was, is) in was.unbalance.vectors_kg_m.iter().zip(is.unbalance.vectors_kg_m) {
            assert!((was - is).norm() > 0.05 * was.norm(), "{was} {is}");
        }
    }
}
