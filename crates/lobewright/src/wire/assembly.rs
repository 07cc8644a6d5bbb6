//! The assembly sheet as JSON, format 1. Lengths in millimetres, loads in newtons, torques in
//! newton metres, the unit in the key.

use super::number::{in_mm, in_n, mm, rounded};
use crate::ops::{ASSEMBLY_CAUTIONS, AssemblyLine, AssemblyReport, SpacerReport};
use kernel::assembly::{Advice, Fitted, Said, Thicker};
use kernel::readings::{EDITION, PROBABILITY};
use serde::Serialize;

/// The assembly sheet of a build.
#[derive(Debug, Serialize)]
pub struct AssemblyJson {
    format: u32,
    build: String,
    edition: &'static str,
    probability: f64,
    /// The worst of its verdicts, where there is any.
    verdict: Option<&'static str>,
    lines: Vec<LineJson>,
    spacer: Option<SpacerJson>,
    tighten: Vec<StepJson>,
    assumed: Vec<String>,
    cautions: [&'static str; 3],
}

#[derive(Debug, Serialize)]
struct LineJson {
    number: usize,
    key: &'static str,
    of: Option<usize>,
    what: String,
    part: Option<String>,
    measured_mm: Option<f64>,
    measured_n: Option<f64>,
    uncertainty_mm: Option<f64>,
    uncertainty_n: Option<f64>,
    least_mm: Option<f64>,
    least_n: Option<f64>,
    most_mm: Option<f64>,
    most_n: Option<f64>,
    measured: Option<String>,
    wanted: String,
    verdict: &'static str,
    gauge: Option<String>,
    note: String,
}

#[derive(Debug, Serialize)]
struct SpacerJson {
    sentence: String,
    thicker_spacer: &'static str,
    is_in_mm: Option<f64>,
    stocked_mm: Vec<f64>,
    /// `stay`, `exchange` or `none`; nothing where it cannot be said.
    advice: Option<&'static str>,
    put_in_mm: Option<f64>,
    then_play_mm: Option<f64>,
    would_do_mm: Option<[f64; 2]>,
    best_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StepJson {
    number: usize,
    fasteners: String,
    torque_nm: Option<f64>,
    angle_deg: Option<f64>,
    note: Option<String>,
}

impl AssemblyJson {
    /// From its report.
    #[must_use]
    pub fn of(report: &AssemblyReport) -> Self {
        Self {
            format: 1,
            build: report.name.clone(),
            edition: EDITION,
            probability: PROBABILITY,
            verdict: report.worst().map(|verdict| Said::Judged(verdict).words()),
            lines: report.lines.iter().map(|line| line_json(report, line)).collect(),
            spacer: report.spacer.as_ref().map(spacer_json),
            tighten: (1..)
                .zip(&report.tighten)
                .map(|(number, step)| StepJson {
                    number,
                    fasteners: step.fasteners.clone(),
                    torque_nm: step.torque.map(|torque| rounded(torque.to_n_m())),
                    angle_deg: step.angle.map(|angle| rounded(angle.to_deg())),
                    note: step.note.clone(),
                })
                .collect(),
            assumed: report.assumed.sentences().to_vec(),
            cautions: ASSEMBLY_CAUTIONS,
        }
    }
}

fn line_json(report: &AssemblyReport, line: &AssemblyLine) -> LineJson {
    LineJson {
        number: line.number,
        key: line.key,
        of: line.of,
        what: line.what.clone(),
        part: line.part.clone(),
        measured_mm: in_mm(line.measured),
        measured_n: in_n(line.measured),
        uncertainty_mm: in_mm(line.uncertainty),
        uncertainty_n: in_n(line.uncertainty),
        least_mm: in_mm(line.least),
        least_n: in_n(line.least),
        most_mm: in_mm(line.most),
        most_n: in_n(line.most),
        measured: line.measured.map(|measured| measured.text(report.first)),
        wanted: line.wanted(report.first),
        verdict: line.said.words(),
        gauge: line.gauge.clone(),
        note: line.note.clone(),
    }
}

fn spacer_json(spacer: &SpacerReport) -> SpacerJson {
    let fitted: Option<Fitted> = match spacer.advice {
        Some(Advice::Exchange(fitted)) => Some(fitted),
        _ => None,
    };
    let none = match spacer.advice {
        Some(Advice::None(none)) => Some(none),
        _ => None,
    };
    SpacerJson {
        sentence: spacer.sentence.clone(),
        thicker_spacer: match spacer.thicker {
            Thicker::MorePlay => "more play",
            Thicker::LessPlay => "less play",
        },
        is_in_mm: spacer.is_in.map(mm),
        stocked_mm: spacer.stocked.iter().copied().map(mm).collect(),
        advice: spacer.advice.map(|advice| match advice {
            Advice::Stay => "stay",
            Advice::Exchange(_) => "exchange",
            Advice::None(_) => "none",
        }),
        put_in_mm: fitted.map(|fitted| mm(fitted.thickness)),
        then_play_mm: fitted.map(|fitted| mm(fitted.play)),
        would_do_mm: none.and_then(|none| none.proven).map(|ends| ends.map(mm)),
        best_mm: none.map(|none| mm(none.middle)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;
    use crate::ops::assembly;
    use kernel::units::System;
    use serde_json::{Value, json};

    #[test]
    fn the_example_as_figures() {
        let build = read(include_str!("../../../../examples/shelduck-hydroplane.toml")).unwrap();
        let all: Value = json!(AssemblyJson::of(&assembly(&build, System::Metric)));
        assert_eq!(all["verdict"], "does not conform");
        let play = all["lines"].as_array().unwrap().last().unwrap();
        assert_eq!(play["key"], "end_play");
        assert_eq!((&play["measured_mm"], &play["most_mm"]), (&json!(0.096), &json!(0.08)));
        assert_eq!(play["measured_n"], Value::Null);
        let spring = &all["lines"][5];
        assert_eq!(
            (&spring["key"], &spring["measured_n"]),
            (&json!("oil_spring_load"), &json!(61.0))
        );
        assert_eq!((&spring["least_n"], &spring["measured_mm"]), (&json!(52.0), &Value::Null));
        assert_eq!(
            (&all["spacer"]["advice"], &all["spacer"]["put_in_mm"]),
            (&json!("exchange"), &json!(5.94))
        );
        assert_eq!(
            (&all["tighten"][2]["torque_nm"], &all["tighten"][2]["angle_deg"]),
            (&json!(280.0), &json!(30.0))
        );
    }
}
