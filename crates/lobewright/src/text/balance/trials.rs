//! Trial runs: what to add, how sure, and what the sensors will show.

use super::super::page::Page;
use super::{PLANES, turn_deg, unbalance, vector};
use crate::ops::{BalanceReport, Basis, phrase};

pub(super) fn trials(page: &mut Page, report: &BalanceReport) {
    let Some(trials) = &report.trials else { return };
    for plane in &trials.planes {
        let add = -trials.unbalance.vectors_kg_m[*plane];
        let shown = report.convention.shows_mass(add);
        let text = format!(
            "{}: add {}, {:.1} deg on the instrument's scale, or remove as much opposite; standard \
             uncertainty {}. Counted from the shaft without trial weights.",
            phrase::capitalised(PLANES[*plane]),
            vector(page, add),
            turn_deg(shown.angle_rad.to_degrees()),
            unbalance(page, trials.unbalance.u_kg_m(*plane)),
        );
        page.say(2, &text);
    }
    let checked = match (trials.freedom, trials.chance) {
        (0, _) | (_, None) => "nothing checks these runs: one more would".to_owned(),
        (freedom, Some(chance)) => format!(
            "{freedom} degrees of freedom check them, a fit as bad has a chance of {:.0} %",
            100.0 * chance
        ),
    };
    page.say(2, &format!("Condition number {:.1}; {checked}.", trials.condition));
    for speed in &trials.speeds {
        for sensor in &speed.sensors {
            page.say(
                2,
                &format!(
                    "{:.0} rpm, {}: {:.2} {} as found, {:.2} {} expected {}",
                    speed.speed.to_rpm(),
                    sensor.name,
                    sensor.baseline.norm(),
                    sensor.unit,
                    sensor.expected.norm(),
                    sensor.unit,
                    if report.basis == Basis::Trials {
                        "after the corrections of part 3"
                    } else {
                        "with these weights added"
                    }
                ),
            );
        }
    }
    if report.basis != Basis::Trials {
        page.say(2, &format!("The correction of part 3 rests on {}.", report.basis.words()));
    }
}
