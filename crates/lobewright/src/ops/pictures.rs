//! The pictures of a plan: what the report says, as the drawings' models.

use super::phrase;
use super::picture::{Picture, file_stem, origin, sentence};
use super::plan::{PlanReport, RotorReport};
use drawings::{
    AtSpeed, ClearanceWindow, Doubt, FaceStock, Lean, Options, Planned, PlannedStep, Point,
    Reading, Relief, RotorFace, RotorShape, SealLimit, Section, SideGap, SpecFigure, Stage,
    StepWindow, Stock, Tip, TipGap, TipReadings, Touch, Tracks, Wear, When, Window,
};
use kernel::geometry::Looks;
use kernel::heat::StateName;
use kernel::plan::{Aim, Limit};
use kernel::readings::{Adjusted, Face, Kind, RotorReadings, Station};
use kernel::room::{Gap, Outside};
use kernel::units::{Angle, Length, System};
use kernel::window::Edge;

/// Outline points per third of the rotor: enough that no corner shows.
const OUTLINE_PER_THIRD: usize = 60;

/// All pictures of a plan: for each rotor its two faces with readings, the side gap before and
/// after, the window, and the stock to remove.
#[must_use]
pub fn pictures(report: &PlanReport, first: System) -> Vec<Picture> {
    pictures_as(report, "", first)
}

/// The same with a word before each name, so that pictures of two plans have a place on one page.
#[must_use]
pub fn pictures_as(report: &PlanReport, word: &str, first: System) -> Vec<Picture> {
    let rotors = report.rotors.iter().enumerate();
    rotors.flat_map(|(i, rotor)| of_rotor(report, i, rotor, (word, first))).collect()
}

fn of_rotor(
    report: &PlanReport,
    index: usize,
    rotor: &RotorReport,
    (word, first): (&str, System),
) -> Vec<Picture> {
    let stem = format!("{word}{}", file_stem(index, &rotor.serial));
    let options = |kind: &str| Options { system: first, id: Some(format!("{stem}-{kind}")) };
    let picture =
        |kind: &str, svg: String, csv: String| Picture { name: format!("{stem}-{kind}"), svg, csv };
    let mut all: Vec<Picture> = Face::BOTH
        .into_iter()
        .map(|face| {
            let kind = format!("{}-face", face.name());
            let model = rotor_face(report, index, rotor, face, first);
            picture(&kind, model.svg(&options(&kind)), model.csv())
        })
        .collect();
    if let Some(model) = side_gap(report, index, rotor, first) {
        all.push(picture("side-gap", model.svg(&options("side-gap")), model.csv()));
    }
    let model = window(report, rotor);
    all.push(picture("window", model.svg(&options("window")), model.csv()));
    if rotor.planned {
        let model = stock(report, rotor);
        all.push(picture("stock", model.svg(&options("stock")), model.csv()));
    }
    all
}

/// When a rotor is as the plan leaves it.
fn last(rotor: &RotorReport) -> When {
    let nothing = !rotor.planned || rotor.plan.cut.is_nothing();
    match (&rotor.measured, nothing) {
        (Some(_), true) => When::AsMeasured,
        (Some(_), false) => When::AfterSecond,
        (None, true) => When::AsItIs,
        (None, false) => When::After,
    }
}

/// The shape of every rotor of a build.
pub(crate) fn shape_of(report: &PlanReport) -> RotorShape {
    let inputs = &report.inputs;
    RotorShape {
        outline: inputs
            .face
            .outline_points(OUTLINE_PER_THIRD)
            .unwrap_or_default()
            .into_iter()
            .map(|point| point.place())
            .map(|place| Point { x: place.x, y: place.y })
            .collect(),
        land_inner_radius: inputs.land_inner_radius,
        land_radius: inputs.face.land_radius(),
        reading_radius: inputs.reading_radius,
        gear_radius: inputs.trochoid.eccentricity() * 3.0,
    }
}

fn rotor_face(
    report: &PlanReport,
    index: usize,
    rotor: &RotorReport,
    face: Face,
    first: System,
) -> RotorFace {
    let inputs = &report.inputs;
    let given = &inputs.rotors[index];
    let readings = given.after.as_ref().unwrap_or(&given.before);
    RotorFace {
        serial: rotor.serial.clone(),
        origin: origin(report, rotor),
        mark: None,
        face,
        shape: shape_of(report),
        tips: std::array::from_fn(|tip| tip_readings(readings, &rotor.now, face, tip)),
        notes: rotor
            .now
            .check
            .suspicions
            .iter()
            .map(|suspicion| sentence(&phrase::suspicion(suspicion, first)))
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

/// The rotor between its walls at 20 °C, as it is and, where it is cut, as it will be, tilted as
/// far as its lands let it towards the tip that then comes nearest. A state in which the lands
/// jam is left out and said; `None` where nothing is left to draw.
fn side_gap(
    report: &PlanReport,
    index: usize,
    rotor: &RotorReport,
    first: System,
) -> Option<SideGap> {
    let inputs = &report.inputs;
    let finished = last(rotor);
    let whens = match finished {
        When::After => vec![When::Before, finished],
        When::AfterSecond => vec![When::AfterFirst, finished],
        _ => vec![finished],
    };
    let mut notes = Vec::new();
    let mut stages = Vec::new();
    for when in whens {
        let drawn = if when == finished {
            section(
                report,
                index,
                rotor,
                &rotor.plan.finished,
                &rotor.cold_gaps(rotor.plan.finished),
            )
        } else {
            section(report, index, rotor, &rotor.now.heights, &rotor.cold_gaps(rotor.now.heights))
        };
        match drawn {
            Some(section) => stages.push(Stage { when, section }),
            None => notes.push(match when {
                When::Before | When::AfterFirst => {
                    "Without this cut the rotor cannot be drawn: its lands jam, or a tip has no \
                     wall opposite."
                        .to_owned()
                }
                _ => "The finished rotor cannot be drawn: its lands jam, or a tip has no wall \
                      opposite."
                    .to_owned(),
            }),
        }
    }
    notes.extend(rotor.room.governing().map(|(state, gap)| {
        format!(
            "Sizes at 20 \u{b0}C. Least gap of all states, cold and hot: {}, {}.",
            gap.gap.as_amount(first),
            phrase::state(state.state.name)
        )
    }));
    let mut stages = stages.into_iter();
    Some(SideGap {
        serial: rotor.serial.clone(),
        origin: origin(report, rotor),
        land_inner_radius: inputs.land_inner_radius,
        land_radius: inputs.face.land_radius(),
        tip_radius: inputs.face.rotor_tip_radius(),
        first: stages.next()?,
        second: stages.next(),
        notes: notes.iter().map(|note| sentence(note)).collect(),
    })
}

/// The walls that the gear face and the plain face look at.
fn walls(report: &PlanReport, index: usize, rotor: &RotorReport) -> [Wear; 2] {
    let given = &report.inputs.rotors[index];
    let [front, rear] =
        [&given.front, &given.rear].map(|wall| Wear { land: wall.land_wear, tip: wall.tip_wear });
    match rotor.gear_face {
        Looks::Front => [front, rear],
        Looks::Rear => [rear, front],
    }
}

/// The tracks in a section in this direction, with the throw to `+y` as at the first place of
/// the orbit, where the cold gaps are.
fn tracks(report: &PlanReport, direction_rad: f64) -> Tracks {
    let inputs = &report.inputs;
    let throw = inputs.trochoid.eccentricity();
    let land = match report.spec.outside {
        Outside::Step => inputs.face.land_radius(),
        Outside::Taper { start, .. } => start,
    };
    let tip = inputs.face.rotor_tip_radius();
    let (mut land_to, mut tip_from) = (land + throw, tip - throw);
    if land_to > tip_from {
        land_to = (land + tip) / 2.0;
        tip_from = land_to;
    }
    Tracks {
        land_to,
        tip_from,
        shaft_along: throw * -direction_rad.sin(),
        shaft_across: throw * direction_rad.cos().abs(),
    }
}

fn section(
    report: &PlanReport,
    index: usize,
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
    let [gear_wall, plain_wall] = walls(report, index, rotor);
    Some(Section {
        housing_width: rotor.width.greatest.value(),
        gear_wall,
        plain_wall,
        tracks: tracks(report, direction),
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
    let highest = |edges: &[Edge]| {
        let still = edges.iter().find(|edge| edge.limit.state().is_some());
        still.map_or(Length::ZERO, |edge| edge.at.max(Length::ZERO))
    };
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
    let steps = Face::BOTH.map(|face| rotor.plan.finished.face(face).step()).concat();
    let when = last(rotor);
    Window {
        origin: origin(report, rotor),
        clearance: ClearanceWindow {
            jams_cold: cold(&of.clearance.least),
            jams_hot: highest(&of.clearance.least),
            step_protects_to: protects,
            seals: seals(&of.clearance.most),
            spec: spec_figure(of.clearance.wanted),
            planned: vec![Planned {
                serial: rotor.serial.clone(),
                when,
                clearance: rotor.plan.side_clearance,
            }],
        },
        step: StepWindow {
            needed_cold: cold(&of.step.least),
            needed_hot: highest(&of.step.least),
            seals: seals(&of.step.most),
            spec: spec_figure(of.step.wanted),
            planned: vec![PlannedStep {
                serial: rotor.serial.clone(),
                when,
                least: steps.iter().copied().fold(steps[0], Length::min),
                greatest: steps.iter().copied().fold(steps[0], Length::max),
            }],
        },
        at_speed: of.at_speed.map(|asked| AtSpeed {
            step: asked.step,
            bounds: !asked.assumed_shaft,
            lands_free_from: asked.clearance,
        }),
        notes: phrase::opens(of, report.first)
            .iter()
            .chain(of.at_speed.map(|asked| phrase::at_speed(&asked, report.first)).iter())
            .map(|note| sentence(note))
            .collect(),
    }
}

fn stock(report: &PlanReport, rotor: &RotorReport) -> Stock {
    let face = |face: Face| {
        let cut = rotor.plan.cut.face(face);
        FaceStock {
            land_cut: cut.land,
            tip_cut: cut.tip,
            step: rotor.plan.finished.face(face).step(),
        }
    };
    Stock {
        serial: rotor.serial.clone(),
        origin: origin(report, rotor),
        gear: face(Face::Gear),
        plain: face(Face::Plain),
        land_width: rotor.plan.finished.land_width(),
        tip_width: rotor.plan.finished.tip_width(),
        notes: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::{pictures, side_gap};
    use crate::build_file::read;
    use crate::ops::{PlanReport, plan};
    use kernel::units::{Length, System};

    /// The sprint boat with worn walls: front and rear wall of both rotors as told, the gear face
    /// of the first one looking that way.
    fn worn(gear_face: &str, [front, rear]: [[u32; 2]; 2]) -> PlanReport {
        let text = include_str!("../../../../examples/sprint-boat.toml");
        let walls: String = [("S-1", [0, 0], front), ("S-2", rear, front), ("S-3", rear, [0, 0])]
            .map(|(serial, of_front, of_rear)| {
                format!(
                    "[[side_housing]]\nserial = \"{serial}\"\n\
                     land_wear = {{ front = \"{} um\", rear = \"{} um\" }}\n\
                     tip_wear = {{ front = \"{} um\", rear = \"{} um\" }}\n",
                    of_front[0], of_rear[0], of_front[1], of_rear[1]
                )
            })
            .concat();
        let mut lines: Vec<String> =
            text.lines().filter(|line| !line.starts_with("gear_face")).map(str::to_owned).collect();
        let at = lines.iter().position(|line| line.starts_with("[[rotor]]")).unwrap();
        lines[at].push_str(&format!("\ngear_face = \"{gear_face}\""));
        let second = lines.iter().rposition(|line| line.starts_with("[[rotor]]")).unwrap();
        lines[second].push_str("\ngear_face = \"rear\"");
        lines.insert(at, walls);
        let build = read(&lines.join("\n")).unwrap_or_else(|p| unreachable!("{p:?}"));
        plan(&build, System::Metric).unwrap()
    }

    fn picture(report: &PlanReport, name: &str) -> String {
        pictures(report, System::Metric).into_iter().find(|p| p.name == name).unwrap().svg
    }

    /// The pose comes from the kernel's room and the walls from the file: the gap that they draw
    /// is the kernel's own, whichever way the gear face looks and whichever wall is worn.
    #[test]
    fn worn_walls_are_drawn_where_the_room_has_them() {
        for gear_face in ["front", "rear"] {
            for walls in [[[60, 0], [60, 0]], [[60, 0], [0, 0]], [[0, 0], [60, 15]]] {
                let report = worn(gear_face, walls);
                for (index, rotor) in report.rotors.iter().enumerate() {
                    assert_eq!(index == 1 || gear_face == "rear", rotor.gear_face.sense() > 0.0);
                    let model = side_gap(&report, index, rotor, System::Metric).unwrap();
                    for stage in [Some(&model.first), model.second.as_ref()].into_iter().flatten() {
                        let section = &stage.section;
                        let figure = section.tips[section.lean.tip.index()].gap;
                        let off = section.drawn_gap(model.tip_radius) - figure;
                        assert!(
                            off.abs() < Length::um(0.01),
                            "{gear_face} {walls:?} {}: off by {} um",
                            rotor.serial,
                            off.to_um()
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn a_land_on_a_worn_track_is_not_crossed_out() {
        for gear_face in ["front", "rear"] {
            let report = worn(gear_face, [[60, 0], [60, 0]]);
            let model = side_gap(&report, 0, &report.rotors[0], System::Metric).unwrap();
            let section = &model.first.section;
            // Tips may be inside the wall with such wear; then that much is crossed out.
            let tips_inside = [Some(&model.first), model.second.as_ref()]
                .into_iter()
                .flatten()
                .filter(|s| s.section.drawn_gap(model.tip_radius) < Length::ZERO)
                .count();
            let svg = picture(&report, "1-R-114-side-gap");
            assert!(section.gear_wall.land == Length::um(60.0));
            assert_eq!(svg.matches("-barred)").count(), tips_inside, "{gear_face}");
        }
    }

    #[test]
    fn the_heron_has_no_crossed_out_land_and_one_section() {
        let build = read(include_str!("../../../../examples/heron-aircraft.toml")).unwrap();
        let report = plan(&build, System::Inch).unwrap();
        let svg = picture(&report, "1-HR-9-side-gap");
        assert_eq!(svg.matches("-barred)").count(), 0);
        assert!(svg.contains(">As measured</text>") && !svg.contains("After the"));
        assert!(svg.contains("Wall at the gear face worn"));
    }
}
