//! Which reading is wrong: data snooping [BAARDA], with the group that cannot be told apart, what
//! the size of the error tells, and which repeat finds it quickest.

use super::adjust::AdjustError;
use super::fit::Test;
use super::station::{Kind, Station};
use crate::units::Length;
use std::fmt;

/// |w| above which a reading disagrees with the others: two-sided 0.1 % of a normal [BAARDA].
pub const CRITICAL: f64 = 3.29;
/// Readings are told apart at odds of twenty to one: `w²` differs by `2 ln 20`.
const TOLD_APART: f64 = 5.991_464_547_107_982;
/// How many times likelier an error of a well-known kind is than one of any other size, when both
/// fit (a judgement of this project; it only orders the repeats).
const TELL_ODDS: f64 = 10.0;
/// A tell fits when it is within three standard uncertainties of the error's size...
const TELL_WIDTH: f64 = 3.0;
/// ...and the error itself stands this far above its uncertainty, else everything fits.
const TELL_LEAST: f64 = 6.0;

/// What the size of an error says of how it happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Tell {
    /// A whole turn of the thimble, or several: 0.5 mm or 25 thou each.
    ThimbleTurns {
        /// How many turns, positive when the reading is too large.
        turns: i32,
        /// A turn is 0.5 mm; otherwise 25 thou.
        metric: bool,
    },
    /// The sign was dropped: the error is twice the reading.
    Sign,
    /// Two neighbouring digits were swapped.
    DigitsSwapped {
        /// What was meant, in the unit it was probably written in.
        meant: String,
    },
}

impl fmt::Display for Tell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ThimbleTurns { turns, metric } => {
                let turn = if *metric { "0.5 mm" } else { "25 thou" };
                match turns.abs() {
                    1 => write!(f, "a whole turn of the thimble ({turn})"),
                    n => write!(f, "{n} whole turns of the thimble ({turn} each)"),
                }
            }
            Self::Sign => write!(f, "its sign turned round"),
            Self::DigitsSwapped { meant } => write!(f, "two digits swapped; {meant} would fit"),
        }
    }
}

/// One reading that may be the wrong one.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Which reading.
    pub station: Station,
    /// By how much it is too large, if it is the wrong one.
    pub error: Length,
    /// Standard uncertainty of that.
    pub error_uncertainty: Length,
    /// Its test value; all of a group that tie exactly have the same.
    pub w: f64,
    /// How it may have happened.
    pub tell: Option<Tell>,
    /// Likelihood per minute: repeating in this order finds the wrong one soonest on average.
    worth: f64,
}

/// A misreading: the readings of which one is wrong, in the order in which to repeat them.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspicion {
    /// One reading when it is found; several when they cannot be told apart. The first is the
    /// quickest to settle it: likeliest per minute of work.
    pub suspects: Vec<Suspect>,
}

impl Suspicion {
    /// Whether one reading alone explains the disagreement.
    #[must_use]
    pub fn is_found(&self) -> bool {
        self.suspects.len() == 1
    }

    /// How to settle it, in one or two sentences.
    #[must_use]
    pub fn advice(&self) -> String {
        match self.suspects.as_slice() {
            [] => String::new(),
            [only] => format!("read the {} again", only.station),
            [first, rest @ ..] => {
                let next: Vec<String> = rest.iter().map(|s| s.station.to_string()).collect();
                let mut advice = format!(
                    "read the {} again first; if it comes out the same, go on with the {}",
                    first.station,
                    next.join(", then the ")
                );
                let land = self.suspects.iter().any(|s| s.station.kind == Kind::LandWidth);
                let runout =
                    self.suspects.iter().any(|s| matches!(s.station.kind, Kind::Runout(_)));
                if land && !runout && rest.len() >= 2 {
                    advice.push_str(
                        ". The run-out of both lands would tell the land width from the others",
                    );
                }
                advice
            }
        }
    }
}

/// Finds misreadings one after the other. `refit` repeats the fit without the rows it is given.
/// Bounded: each round excludes one row, and stops when no test is above the critical value.
pub(super) fn find(
    rows: &[(Option<Station>, f64)],
    refit: impl Fn(&[usize]) -> Result<Vec<Test>, AdjustError>,
) -> Vec<Suspicion> {
    let mut excluded = Vec::new();
    let mut found = Vec::new();
    while excluded.len() < rows.len() {
        let Ok(tests) = refit(&excluded) else { break };
        let Some(worst) = tests
            .iter()
            .filter(|test| rows[test.row].0.is_some())
            .max_by(|a, b| a.w.abs().total_cmp(&b.w.abs()))
            .cloned()
        else {
            break;
        };
        if worst.w.abs() <= CRITICAL {
            break;
        }
        let mut suspects: Vec<Suspect> = tests
            .iter()
            .filter(|test| worst.w * worst.w - test.w * test.w < TOLD_APART)
            .filter_map(|test| {
                let (station, reduced_um) = (rows[test.row].0?, rows[test.row].1);
                let told = tell(station, reduced_um, test);
                let likelihood = ((test.w * test.w - worst.w * worst.w) / 2.0).exp();
                let odds = 1.0 + told.as_ref().map_or(0.0, |(_, closeness)| TELL_ODDS * closeness);
                Some(Suspect {
                    station,
                    error: Length::um(test.error_um),
                    error_uncertainty: Length::um(test.error_u_um),
                    w: test.w,
                    tell: told.map(|(tell, _)| tell),
                    worth: likelihood * odds / station.kind.minutes_to_repeat(),
                })
            })
            .collect();
        suspects.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        found.push(Suspicion { suspects });
        excluded.push(worst.row);
    }
    found
}

/// What the size of the error tells, with how closely it fits (1 exactly, falling like a normal
/// density).
fn tell(station: Station, reading_um: f64, test: &Test) -> Option<(Tell, f64)> {
    if test.error_um.abs() < TELL_LEAST * test.error_u_um {
        return None;
    }
    let closeness = |um: f64| {
        let z = (test.error_um - um) / test.error_u_um;
        (z.abs() <= TELL_WIDTH).then(|| (-z * z / 2.0).exp())
    };
    let candidates: Vec<(Tell, f64)> = match station.kind {
        Kind::LandWidth | Kind::TipWidth => [(500.0, true), (635.0, false)]
            .into_iter()
            .flat_map(|(um, metric)| [1, -1, 2, -2].map(|turns| (turns, um, metric)))
            .map(|(turns, um, metric)| {
                (Tell::ThimbleTurns { turns, metric }, f64::from(turns) * um)
            })
            .collect(),
        Kind::Step(_) | Kind::Runout(_) => {
            let swapped = |digits: String, um: f64| {
                swaps(&digits).into_iter().map(move |value| (value, value * um))
            };
            // Swapped digits are looked for in the unit in which the reading is a round number.
            let digits = |um: f64| {
                let count = reading_um.abs() / um;
                let round = (count - count.round()).abs() < 0.01;
                if round { format!("{count:.0}") } else { String::new() }
            };
            let metric =
                swapped(digits(1.0), 1.0).map(|(value, um)| (format!("{value:.0} um"), um));
            let inch = swapped(digits(2.54), 2.54)
                .map(|(value, um)| (format!("{:.1} thou", value / 10.0), um));
            std::iter::once((Tell::Sign, 2.0 * reading_um))
                .chain(metric.chain(inch).map(|(meant, um)| {
                    (Tell::DigitsSwapped { meant }, reading_um - um * reading_um.signum())
                }))
                .collect()
        }
    };
    candidates
        .into_iter()
        .filter_map(|(tell, um)| closeness(um).map(|close| (tell, close)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The numbers that a swap of two neighbouring, different digits would have been.
fn swaps(digits: &str) -> Vec<f64> {
    let digits: Vec<char> = digits.chars().collect();
    (1..digits.len())
        .filter(|i| digits[*i] != digits[i - 1])
        .filter_map(|i| {
            let mut other = digits.clone();
            other.swap(i, i - 1);
            other.into_iter().collect::<String>().parse().ok()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readings::adjust::RotorReadings;
    use crate::readings::heights::Face;
    use crate::readings::sample;

    fn spoiled(spoil: impl Fn(&mut RotorReadings)) -> Vec<Suspicion> {
        let mut readings = sample::full();
        spoil(&mut readings);
        readings.adjust().unwrap().check.suspicions
    }

    fn kinds(suspicion: &Suspicion) -> Vec<Kind> {
        let mut kinds: Vec<Kind> = suspicion.suspects.iter().map(|s| s.station.kind).collect();
        kinds.sort();
        kinds
    }

    const FOUR: [Kind; 4] =
        [Kind::LandWidth, Kind::Step(Face::Gear), Kind::Step(Face::Plain), Kind::TipWidth];

    #[test]
    fn a_land_width_off_by_a_turn_is_found_with_run_outs() {
        let found = spoiled(|r| r.land_width[1] += Length::mm(0.5));
        assert_eq!(found.len(), 1);
        assert!(found[0].is_found(), "{found:?}");
        let suspect = &found[0].suspects[0];
        assert_eq!(suspect.station, Station { kind: Kind::LandWidth, tip: 1 });
        assert!((suspect.error.to_um() - 500.0).abs() < 1.0);
        assert_eq!(suspect.tell, Some(Tell::ThimbleTurns { turns: 1, metric: true }));
    }

    #[test]
    fn with_tip_widths_alone_the_four_readings_of_a_tip_tie_exactly() {
        for spoil in [
            |r: &mut RotorReadings| r.land_width[2] += Length::um(60.0),
            |r: &mut RotorReadings| r.gear_step[2] += Length::um(60.0),
            |r: &mut RotorReadings| r.tip_width.as_mut().unwrap()[2] += Length::um(60.0),
        ] {
            let found = spoiled(|r| {
                (r.gear_runout, r.plain_runout) = (None, None);
                spoil(r);
            });
            assert_eq!(found.len(), 1);
            assert_eq!(kinds(&found[0]), FOUR);
            assert!(found[0].suspects.iter().all(|s| s.station.tip == 2));
            let w: Vec<f64> = found[0].suspects.iter().map(|s| s.w.abs()).collect();
            assert!(w.iter().all(|x| (x - w[0]).abs() < 1e-6 * w[0]), "{w:?}");
            assert!(found[0].advice().contains("run-out"), "{}", found[0].advice());
        }
    }

    #[test]
    fn with_run_outs_the_land_width_separates_and_three_still_tie() {
        let found = spoiled(|r| r.plain_step[0] += Length::um(60.0));
        assert_eq!(found.len(), 1);
        assert_eq!(kinds(&found[0]), FOUR[1..].to_vec());
    }

    #[test]
    fn a_sign_and_swapped_digits_are_told_and_put_first() {
        let found = spoiled(|r| r.gear_step[0] = -r.gear_step[0]);
        assert_eq!(found[0].suspects[0].tell, Some(Tell::Sign));
        assert_eq!(found[0].suspects[0].station.kind, Kind::Step(Face::Gear));
        // 95 written as 59.
        let found = spoiled(|r| r.gear_step[0] = Length::um(59.0));
        assert_eq!(found[0].suspects[0].tell, Some(Tell::DigitsSwapped { meant: "95 um".into() }));
        assert_eq!(found[0].suspects[0].station, Station { kind: Kind::Step(Face::Gear), tip: 0 });
    }

    #[test]
    fn two_misreadings_at_two_tips_are_both_found() {
        let found = spoiled(|r| {
            r.land_width[1] += Length::mm(0.5);
            r.tip_width.as_mut().unwrap()[2] += Length::um(80.0);
        });
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].is_found());
        assert_eq!(kinds(&found[1]), FOUR[1..].to_vec());
    }

    #[test]
    fn nothing_is_suspected_without_redundancy_or_within_the_noise() {
        let mut readings = sample::full();
        (readings.gear_runout, readings.plain_runout, readings.tip_width) = (None, None, None);
        readings.land_width[1] += Length::mm(0.5);
        assert!(readings.adjust().unwrap().check.suspicions.is_empty());
        assert!(spoiled(|r| r.land_width[1] += Length::um(5.0)).is_empty());
    }

    #[test]
    fn swapped_digits() {
        assert_eq!(swaps("102"), [12.0, 120.0]);
        assert!(swaps("88").is_empty());
    }
}
