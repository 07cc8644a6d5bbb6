//! A measured trace from text: two columns, angle in degrees of the shaft after the chamber's
//! firing top dead centre, and absolute pressure.
//!
//! The first line that is not empty and no comment (`#`) names the columns, unit in the name:
//! `angle_deg` and `pressure_bar` (or `pressure_kpa`, `pressure_pa`, `pressure_psi`), in either
//! order, separated by commas. Angles rise from line to line. They may start anywhere; they cover
//! 1080 degrees, or 540 degrees about the firing dead centre, from −270 to 270: then the
//! other half, ports open, takes the pressure asked for. Between readings the pressure goes in a
//! straight line, so gaps must be small.

use super::trace::Trace;
use thiserror::Error;

/// Why text is no trace. Lines count from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum TraceTextError {
    /// No line names the columns.
    #[error("there is no line that names the columns: angle_deg,pressure_bar")]
    NoHeader,
    /// Columns that are not those two.
    #[error(
        "line {line}: the columns are \"{got}\"; they must be angle_deg and pressure_bar (or \
         pressure_kpa, pressure_pa, pressure_psi), absolute"
    )]
    Columns {
        /// Line.
        line: usize,
        /// As found.
        got: String,
    },
    /// Not two values on a line.
    #[error("line {line}: {count} values where there must be 2")]
    Count {
        /// Line.
        line: usize,
        /// How many.
        count: usize,
    },
    /// A value that is no number.
    #[error("line {line}: \"{got}\" is not a number")]
    NotANumber {
        /// Line.
        line: usize,
        /// As found.
        got: String,
    },
    /// An angle that repeats or goes back.
    #[error("line {line}: the angle {angle_deg} follows {before_deg}; angles must rise")]
    NotRising {
        /// Line.
        line: usize,
        /// Angle found.
        angle_deg: f64,
        /// Angle before it.
        before_deg: f64,
    },
    /// Two readings too far apart.
    #[error(
        "line {line}: {gap_deg} degrees after the reading before it; at most {most_deg} are \
         bridged"
    )]
    Gap {
        /// Line after the gap.
        line: usize,
        /// How wide.
        gap_deg: f64,
        /// How wide it may be.
        most_deg: f64,
    },
    /// A pressure that is none.
    #[error(
        "line {line}: {pressure_pa} Pa is no absolute pressure of a chamber; it lies between \
         {least_pa} and {most_pa} Pa (was gauge pressure given?)"
    )]
    Pressure {
        /// Line.
        line: usize,
        /// As read.
        pressure_pa: f64,
        /// The least.
        least_pa: f64,
        /// The most.
        most_pa: f64,
    },
    /// Neither a whole cycle nor the half about the firing dead centre.
    #[error(
        "the angles go from {from_deg} to {to_deg}; they must cover 1080 degrees, or the 540 \
         degrees from -270 to 270 about the firing top dead centre (together with a pressure for \
         the other half)"
    )]
    Coverage {
        /// First angle.
        from_deg: f64,
        /// Last angle.
        to_deg: f64,
    },
}

/// The widest gap between readings that is bridged, degrees of the shaft. At the peak of a hard
/// cycle a straight line over it misses about half a per cent.
pub const MOST_GAP_DEG: f64 = 5.0;

impl Trace {
    /// Reads a trace from text. `open_half_pa`: absolute pressure while ports are open, for text
    /// that covers only the half about the firing dead centre; `None` asks for a whole cycle.
    ///
    /// # Errors
    /// See [`TraceTextError`]: all name the line.
    pub fn read_csv(text: &str, open_half_pa: Option<f64>) -> Result<Self, TraceTextError> {
        let readings = readings(text)?;
        let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
            return Err(TraceTextError::Coverage { from_deg: 0.0, to_deg: 0.0 });
        };
        let (from_deg, to_deg) = (first.angle_deg, last.angle_deg);
        let coverage = TraceTextError::Coverage { from_deg, to_deg };
        let span_deg = to_deg - from_deg;
        // A reading at both ends of the cycle would be two of one angle.
        let closing_deg = 1080.0 - span_deg;
        let whole = closing_deg > 0.0 && closing_deg <= MOST_GAP_DEG;
        let half = (from_deg + 270.0).abs() <= MOST_GAP_DEG
            && (to_deg - 270.0).abs() <= MOST_GAP_DEG
            && open_half_pa.is_some();
        if !(whole || half) {
            return Err(coverage);
        }
        let mut pressure_pa = Vec::with_capacity(Self::COUNT);
        for degree in 0..1080 {
            let mut angle_deg = f64::from(degree);
            // Into the 1080 degrees from the first reading on.
            angle_deg = from_deg + (angle_deg - from_deg).rem_euclid(1080.0);
            let after = readings.partition_point(|reading| reading.angle_deg <= angle_deg);
            let here = readings[after - 1];
            let value = match readings.get(after) {
                Some(next) => between(here, *next, angle_deg),
                None if whole => {
                    let next = Reading { angle_deg: from_deg + 1080.0, ..*first };
                    between(here, next, angle_deg)
                }
                None if angle_deg == to_deg => here.pressure_pa,
                None => open_half_pa.ok_or(coverage.clone())?,
            };
            pressure_pa.push(value);
        }
        Self::measured(pressure_pa).map_err(|_| {
            let (least_pa, most_pa) = Self::PRESSURE_PA;
            let pressure_pa = open_half_pa.unwrap_or(f64::NAN);
            TraceTextError::Pressure { line: 0, pressure_pa, least_pa, most_pa }
        })
    }
}

#[derive(Debug, Clone, Copy)]
struct Reading {
    angle_deg: f64,
    pressure_pa: f64,
}

fn between(from: Reading, to: Reading, angle_deg: f64) -> f64 {
    let share = (angle_deg - from.angle_deg) / (to.angle_deg - from.angle_deg);
    from.pressure_pa + share * (to.pressure_pa - from.pressure_pa)
}

/// Pa in a unit named in a header; pound-force per square inch from the exact pound, standard
/// gravity and inch [ISO-80000-3].
fn unit_pa(column: &str) -> Option<f64> {
    match column {
        "pressure_bar" => Some(1e5),
        "pressure_kpa" => Some(1e3),
        "pressure_pa" => Some(1.0),
        "pressure_psi" => Some(4.448_221_615_260_5 / (0.0254 * 0.0254)),
        _ => None,
    }
}

fn readings(text: &str) -> Result<Vec<Reading>, TraceTextError> {
    let mut lines = text
        .lines()
        .enumerate()
        .map(|(i, line)| (i + 1, line.trim().trim_start_matches('\u{feff}')))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let (line, header) = lines.next().ok_or(TraceTextError::NoHeader)?;
    let wrong = || TraceTextError::Columns { line, got: header.to_owned() };
    let names: Vec<String> = header.split(',').map(|n| n.trim().to_ascii_lowercase()).collect();
    let [first, second] = names.as_slice() else { return Err(wrong()) };
    let (angle_first, pressure) = match (first.as_str(), second.as_str()) {
        ("angle_deg", pressure) => (true, pressure),
        (pressure, "angle_deg") => (false, pressure),
        _ => return Err(wrong()),
    };
    let scale_pa = unit_pa(pressure).ok_or_else(wrong)?;

    let mut found: Vec<Reading> = Vec::new();
    for (line, row) in lines {
        let values: Vec<&str> = row.split(',').map(str::trim).collect();
        let [a, b] = values.as_slice() else {
            return Err(TraceTextError::Count { line, count: values.len() });
        };
        let (angle, pressure) = if angle_first { (a, b) } else { (b, a) };
        let angle_deg = number(line, angle)?;
        let pressure_pa = number(line, pressure)? * scale_pa;
        let (least_pa, most_pa) = Trace::PRESSURE_PA;
        if !(least_pa..=most_pa).contains(&pressure_pa) {
            return Err(TraceTextError::Pressure { line, pressure_pa, least_pa, most_pa });
        }
        if let Some(before) = found.last() {
            let gap_deg = angle_deg - before.angle_deg;
            if gap_deg <= 0.0 {
                let before_deg = before.angle_deg;
                return Err(TraceTextError::NotRising { line, angle_deg, before_deg });
            }
            if gap_deg > MOST_GAP_DEG {
                return Err(TraceTextError::Gap { line, gap_deg, most_deg: MOST_GAP_DEG });
            }
        }
        found.push(Reading { angle_deg, pressure_pa });
    }
    Ok(found)
}

fn number(line: usize, text: &str) -> Result<f64, TraceTextError> {
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(TraceTextError::NotANumber { line, got: text.to_owned() }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(angle_deg: f64) -> f64 {
        20.0 + 10.0 * (angle_deg / 3.0).to_radians().cos()
    }

    fn text(from: i32, to: i32, step: i32) -> String {
        let rows: String = (from..=to)
            .step_by(usize::try_from(step).unwrap())
            .map(|a| format!("{a},{:.9}\n", bar(f64::from(a))))
            .collect();
        format!("# a comment\n\nangle_deg, pressure_bar\n{rows}")
    }

    #[test]
    fn a_whole_cycle_is_read_wherever_it_starts_and_goes_round() {
        for from in [-540, -3, 0, 17, 2000] {
            let trace = Trace::read_csv(&text(from, from + 1079, 1), None).unwrap();
            for degree in [0usize, 16, 500, 1079] {
                let expected = 1e5 * bar(degree as f64);
                let got = trace.pressure_pa()[degree];
                assert!((got / expected - 1.0).abs() < 1e-8, "{from} {degree}: {got}");
            }
        }
        let coarse = Trace::read_csv(&text(0, 1078, 2), None).unwrap();
        let middle = 0.5e5 * (bar(1078.0) + bar(0.0));
        assert!((coarse.pressure_pa()[1079] / middle - 1.0).abs() < 1e-8);
    }

    #[test]
    fn half_a_cycle_takes_a_pressure_for_the_other_half() {
        let half = text(-270, 270, 1);
        let trace = Trace::read_csv(&half, Some(1.2e5)).unwrap();
        assert_eq!(trace.pressure_pa()[500], 1.2e5);
        assert!((trace.pressure_pa()[270] / (1e5 * bar(270.0)) - 1.0).abs() < 1e-8);
        assert!((trace.pressure_pa()[1000] / (1e5 * bar(-80.0)) - 1.0).abs() < 1e-8);
        assert!(matches!(Trace::read_csv(&half, None), Err(TraceTextError::Coverage { .. })));
        assert!(Trace::read_csv(&half, Some(f64::NAN)).is_err());
    }

    #[test]
    fn units_and_the_order_of_columns_are_in_the_header() {
        let rows: String = (0..1080).map(|a| format!("14.503773773,{a}\n")).collect();
        let trace = Trace::read_csv(&format!("pressure_psi,angle_deg\n{rows}"), None).unwrap();
        assert!((trace.pressure_pa()[7] / 1e5 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_line() {
        let whole = text(0, 1079, 1);
        // Line 3 is the header; angle 5 stands on line 9.
        let with = |from: &str, to: &str| {
            Trace::read_csv(&whole.replacen(from, to, 1), None).unwrap_err().to_string()
        };
        let row = whole.lines().nth(8).unwrap().to_owned();
        let two = whole.lines().skip(8).take(2).collect::<Vec<_>>().join("\n");
        let swapped = whole.lines().skip(8).take(2).collect::<Vec<_>>();
        assert!(with(&row, "5,abc").contains("line 9: \"abc\" is not a number"));
        assert!(with(&row, "5,nan").contains("line 9: \"nan\""));
        assert!(with(&row, "5,1,2").contains("line 9: 3 values"));
        assert!(with(&row, &format!("{row}\n{row}")).contains("line 10: the angle 5 follows 5"));
        assert!(
            with(&two, &format!("{}\n{}", swapped[1], swapped[0]))
                .contains("line 10: the angle 5 follows 6")
        );
        assert!(with(&row, "5,-0.2").contains("line 9: -20000 Pa"));
        let gapped: String = whole
            .lines()
            .enumerate()
            .filter(|(i, _)| !(20..28).contains(i))
            .map(|(_, l)| format!("{l}\n"))
            .collect();
        let error = Trace::read_csv(&gapped, None).unwrap_err().to_string();
        assert!(error.contains("line 21: 9 degrees"), "{error}");
        assert!(with("pressure_bar", "pressure").contains("line 3: the columns"));
        assert_eq!(Trace::read_csv("# nothing\n", None), Err(TraceTextError::NoHeader));
        let over = text(0, 1080, 1);
        assert!(Trace::read_csv(&over, None).unwrap_err().to_string().contains("from 0 to 1080"));
        assert!(Trace::read_csv(&text(0, 720, 1), None).is_err());
        assert!(Trace::read_csv("angle_deg,pressure_bar\n", None).is_err());
    }
}
