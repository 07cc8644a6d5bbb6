//! The pictures of a plan: what the report says, as the drawings' models.

use super::phrase;
use super::plan::{PlanReport, RotorReport};
use drawings::{
    ClearanceWindow, Doubt, FaceStock, Lean, Options, Planned, Point, Reading, Relief, RotorFace,
    SealLimit, Section, SideGap, SpecFigure, StepWindow, Stock, Tip, TipGap, TipReadings, Touch,
    Window,
};
use kernel::heat::StateName;
use kernel::plan::{Aim, Limit};
use kernel::readings::{Adjusted, Face, Kind, RotorReadings, Station, TIPS};
use kernel::room::{Gap, Outside};
use kernel::units::{Angle, Length, System};
use kernel::window::Edge;

/// A picture with the name of its file, and its data as a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// File name without its ending.
    pub name: String,
    /// The drawing.
    pub svg: String,
    /// Its data.
    pub csv: String,
}

/// Outline points per third of the rotor: enough that no corner shows.
const OUTLINE_PER_THIRD: usize = 60;
/// The bearing bore is drawn this much inside the land: its size is not in a build file.
const BORE_SHARE: f64 = 0.93;

/// All pictures of a plan: for each rotor its two faces with readings, the side gap before and
/// after, the window, and the stock to remove.
#[must_use]
pub fn pictures(report: &PlanReport, first: System) -> Vec<Picture> {
    report
        .rotors
        .iter()
        .enumerate()
        .flat_map(|(i, rotor)| of_rotor(report, i, rotor, first))
        .collect()
}

fn of_rotor(report: &PlanReport, index: usize, rotor: &RotorReport, first: System) -> Vec<Picture> {
    let stem = file_stem(&rotor.serial);
    let options = |kind: &str| Options { system: first, id: Some(format!("{stem}-{kind}")) };
    let picture =
        |kind: &str, svg: String, csv: String| Picture { name: format!("{stem}-{kind}"), svg, csv };
    let mut all: Vec<Picture> = Face::BOTH
        .into_iter()
        .map(|face| {
            let kind = format!("{}-face", face.name());
            let model = rotor_face(report, index, rotor, face);
            picture(&kind, model.svg(&options(&kind)), model.csv())
        })
        .collect();
    if let Some(model) = side_gap(report, rotor) {
        all.push(picture("side-gap", model.svg(&options("side-gap")), model.csv()));
    }
    let model = window(report, rotor);
    all.push(picture("window", model.svg(&options("window")), model.csv()));
    if rotor.planned {
        let model = stock(rotor);
        all.push(picture("stock", model.svg(&options("stock")), model.csv()));
    }
    all
}

/// A serial as part of a file name: letters, digits, `-`, `_` and `.` stay.
fn file_stem(serial: &str) -> String {
    let stem: String = serial
        .chars()
        .map(|c| if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') { c } else { '-' })
        .collect();
    stem.trim_start_matches('.').to_owned()
}

fn rotor_face(report: &PlanReport, index: usize, rotor: &RotorReport, face: Face) -> RotorFace {
    let inputs = &report.inputs;
    let given = &inputs.rotors[index];
    let readings = given.after.as_ref().unwrap_or(&given.before);
    let outline = inputs
        .face
        .outline_points(OUTLINE_PER_THIRD)
        .unwrap_or_default()
        .into_iter()
        .map(|point| {
            let place = point.place();
            Point { x: place.x, y: place.y }
        })
        .collect();
    RotorFace {
        serial: rotor.serial.clone(),
        mark: None,
        face,
        outline,
        land_inner_radius: inputs.land_inner_radius,
        land_radius: inputs.face.land_radius(),
        reading_radius: inputs.reading_radius,
        bore_radius: inputs.land_inner_radius * BORE_SHARE,
        gear_radius: inputs.trochoid.eccentricity() * 3.0,
        tips: std::array::from_fn(|tip| tip_readings(readings, &rotor.now, face, tip)),
        notes: rotor
            .now
            .check
            .suspicions
            .iter()
            .map(|suspicion| phrase::suspicion(suspicion, System::Metric))
            .collect(),
    }
}

fn tip_readings(
    readings: &RotorReadings,
    adjusted: &Adjusted,
    face: Face,
    tip: usize,
) -> TipReadings {
    let of = |kind: Kind, value: Length| {
        let station = Station { kind, tip };
        let group = adjusted
            .check
            .suspicions
            .iter()
            .find(|suspicion| suspicion.suspects.iter().any(|s| s.station == station));
        let doubt = match group {
            None => Doubt::None,
            Some(group) if group.is_found() => Doubt::Misread,
            Some(_) => Doubt::Ambiguous,
        };
        Reading { value, doubt }
    };
    let (step, runout) = match face {
        Face::Gear => (readings.gear_step, readings.gear_runout),
        Face::Plain => (readings.plain_step, readings.plain_runout),
    };
    TipReadings {
        land_width: Some(of(Kind::LandWidth, readings.land_width[tip])),
        step: Some(of(Kind::Step(face), step[tip])),
        runout: runout.map(|values| of(Kind::Runout(face), values[tip])),
        tip_width: readings.tip_width.map(|values| of(Kind::TipWidth, values[tip])),
    }
}

/// The rotor between its walls at 20 °C, as it is and as it will be, tilted as far as its lands
/// let it towards the tip that then comes nearest. `None` where the lands jam.
fn side_gap(report: &PlanReport, rotor: &RotorReport) -> Option<SideGap> {
    let inputs = &report.inputs;
    let hot = rotor.room.governing().map(|(state, gap)| {
        format!(
            "Sizes at 20 \u{b0}C. Hot, the least gap is {} ({}).",
            gap.gap.as_amount(System::Metric),
            phrase::state(state.state.name)
        )
    });
    Some(SideGap {
        serial: rotor.serial.clone(),
        housing: rotor.housing.clone(),
        land_inner_radius: inputs.land_inner_radius,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        before: section(report, rotor, &rotor.now.heights, &rotor.cold_before)?,
        after: section(report, rotor, &rotor.plan.finished, &rotor.cold_after)?,
        notes: hot.into_iter().collect(),
    })
}

fn section(
    report: &PlanReport,
    rotor: &RotorReport,
    heights: &kernel::readings::Heights,
    gaps: &[Gap],
) -> Option<Section> {
    let worst = gaps.iter().min_by(|a, b| a.gap.to_m().total_cmp(&b.gap.to_m()))?;
    let of_tip = |tip: usize| {
        gaps.iter().find(|gap| gap.point.tip == Some(tip + 1)).map(|gap| TipGap {
            face: gap.point.face,
            gap: gap.gap,
            first: if gap.gap < Length::ZERO { Touch::Tip } else { Touch::Land },
        })
    };
    let tips = [of_tip(0)?, of_tip(1)?, of_tip(2)?];
    let tip = Tip::ALL[worst.point.tip.unwrap_or(1) - 1];
    let sense = rotor.gear_face.sense();
    let direction =
        (rotor.gear_face.tip_1_direction(Angle::ZERO) + worst.point.azimuth * sense).to_rad();
    let slope = worst.pose.slope_x.to_rad() * direction.cos()
        + worst.pose.slope_y.to_rad() * direction.sin();
    Some(Section {
        housing_width: rotor.width.greatest.value(),
        heights: *heights,
        relief: match report.spec.outside {
            Outside::Step => Relief::Step,
            Outside::Taper { start, .. } => Relief::Taper { from: start },
        },
        lean: Lean { tip, float: worst.pose.shift * sense, slope: Angle::rad(slope * sense) },
        tips,
    })
}

fn spec_figure(aim: Aim) -> SpecFigure {
    SpecFigure { target: aim.target, tolerance: aim.tolerance }
}

fn window(report: &PlanReport, rotor: &RotorReport) -> Window {
    let of = &rotor.window;
    let cold = |edges: &[Edge]| {
        edges
            .iter()
            .find(|e| e.limit.state() == Some(StateName::Cold))
            .map_or(Length::ZERO, |e| e.at.max(Length::ZERO))
    };
    let highest = |edges: &[Edge]| edges.first().map_or(Length::ZERO, |e| e.at.max(Length::ZERO));
    // Of each seal the limit that bites first.
    let seals = |edges: &[Edge]| {
        let mut limits: Vec<SealLimit> = Vec::new();
        for edge in edges {
            let Limit::Seal(key) = edge.limit else { continue };
            let seal = phrase::seal(key);
            let whose = |name: &str| name.split(':').next().map(str::to_owned);
            if limits.iter().all(|limit| whose(&limit.seal) != whose(seal)) {
                limits.push(SealLimit { seal: seal.to_owned(), most: edge.at });
            }
        }
        limits
    };
    let protects = of
        .clearance
        .most
        .iter()
        .find(|edge| matches!(edge.limit, Limit::StepNeeded(_)))
        .map_or(of.clearance.wanted.target, |edge| edge.at);
    Window {
        spec: report.spec_name.clone(),
        clearance: ClearanceWindow {
            jams_cold: cold(&of.clearance.least),
            jams_hot: highest(&of.clearance.least),
            step_protects_to: protects,
            seals: seals(&of.clearance.most),
            spec: spec_figure(of.clearance.wanted),
            planned: vec![Planned {
                serial: rotor.serial.clone(),
                clearance: rotor.plan.side_clearance,
            }],
        },
        step: StepWindow {
            needed_cold: cold(&of.step.least),
            needed_hot: highest(&of.step.least),
            seals: seals(&of.step.most),
            spec: spec_figure(of.step.wanted),
        },
        notes: phrase::opens(of, report.first).into_iter().collect(),
    }
}

fn stock(rotor: &RotorReport) -> Stock {
    let face = |face: Face| {
        let cut = rotor.plan.cut.face(face);
        FaceStock {
            land_cut: cut.land,
            tip_cut: cut.tip,
            step: rotor.plan.finished.face(face).step(),
        }
    };
    let tip_width: [Length; TIPS] = rotor.plan.finished.tip_width();
    Stock {
        serial: rotor.serial.clone(),
        gear: face(Face::Gear),
        plain: face(Face::Plain),
        land_width: rotor.plan.land_width,
        tip_width,
        notes: Vec::new(),
    }
}
