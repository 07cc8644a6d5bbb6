//! One rotor of a plan as text: readings, what to take off, sizes to hold, what is left of room and
//! seals, its window.

use super::page::{Page, alone};
use crate::ops::{Measured, PlanReport, RotorReport, phrase};
use kernel::plan::Limit;
use kernel::readings::{Face, Squareness, Verdict};
use kernel::room::{Outside, StateRoom};
use kernel::seals::SealLine;
use kernel::units::{Angle, Length, System};
use kernel::window::{Edge, Range};

/// What is said of a rotor as a whole.
pub(crate) fn said(rotor: &RotorReport) -> String {
    if !rotor.now.check.suspicions.is_empty() {
        return "readings disagree, nothing proven".to_owned();
    }
    match (rotor.measured.is_some(), rotor.planned, rotor.verdict) {
        (true, _, verdict) => format!("measured, {}", verdict.words()),
        (false, false, verdict) => format!("cannot be planned; as it is, {}", verdict.words()),
        (false, true, Verdict::Conforms) => "planned to conform".to_owned(),
        (false, true, verdict) => format!("planned, {}", verdict.words()),
    }
}

/// A rotor in full.
pub(crate) fn rotor_text(page: &mut Page, rotor: &RotorReport, report: &PlanReport) {
    let title = format!(
        "{} in {}, gear face to the {}: {}",
        rotor.serial,
        rotor.housing,
        rotor.gear_face.name(),
        said(rotor)
    );
    page.say(0, &title);
    readings(page, rotor);
    if !rotor.now.check.suspicions.is_empty() {
        page.say(2, "Nothing is planned for this rotor until its readings agree.");
        return;
    }
    if let Some(measured) = &rotor.measured {
        self::measured(page, rotor, measured);
    }
    cuts(page, rotor, report);
    sizes(page, rotor, report);
    room(page, rotor);
    seals(page, &rotor.seals);
    window(page, rotor, report);
}

fn readings(page: &mut Page, rotor: &RotorReport) {
    let check = &rotor.now.check;
    let squareness = match rotor.now.squareness {
        Squareness::Measured => "squareness of the lands measured".to_owned(),
        Squareness::Assumed(u) => {
            format!("squareness of the lands assumed, within {}", page.amount(u))
        }
    };
    let agreement = match check.probability {
        None => "not checkable, each was taken once (tip widths, or the run-outs of both lands, \
                 would check them)"
            .to_owned(),
        Some(p) => {
            let figures = format!(
                "\u{3c7}\u{b2} {:.1}, {} degrees of freedom, p {p:.2}",
                check.chi_square, check.freedom
            );
            if !check.suspicions.is_empty() {
                format!("DISAGREE ({figures})")
            } else if p < 0.05 {
                format!("scatter more than the gauges' repeat explains ({figures})")
            } else {
                format!("agree within what the gauges can tell ({figures})")
            }
        }
    };
    page.say(2, &format!("Readings: {agreement}; {squareness}."));
    for suspicion in &check.suspicions {
        let what = phrase::suspicion(suspicion, page.first);
        page.say(4, &format!("{}.", phrase::capitalised(&what)));
    }
}

fn measured(page: &mut Page, rotor: &RotorReport, measured: &Measured) {
    page.say(2, "Measured after cutting:");
    page.tips();
    for face in [None, Some(Face::Gear), Some(Face::Plain)] {
        let label = match face {
            None => "    side clearance".to_owned(),
            Some(face) => format!("    {} face, step", face.name()),
        };
        let got: Vec<_> = measured.sizes.iter().filter(|s| s.face == face).collect();
        let at = |k: usize| got.get(k).map_or(Length::ZERO, |s| s.size);
        page.amounts(&label, [at(0), at(1), at(2)]);
        if let Some(planned) = &measured.planned {
            let planned: Vec<_> = planned.sizes.iter().filter(|s| s.face == face).collect();
            let off = |k: usize| {
                let off = at(k) - planned.get(k).map_or(Length::ZERO, |s| s.size);
                let text = alone(off, page.first);
                if text.starts_with(['-', '0']) { text } else { format!("+{text}") }
            };
            let off = [off(0), off(1), off(2)];
            page.cells("      off the plan", off);
        }
        let verdicts: Vec<&str> = got.iter().map(|s| s.verdict.words()).collect();
        let text = match verdicts.as_slice() {
            [a, b, c] if a == b && b == c => format!("all three: {a}"),
            _ => verdicts
                .iter()
                .enumerate()
                .map(|(k, words)| format!("tip {}: {words}", k + 1))
                .collect::<Vec<_>>()
                .join(", "),
        };
        page.say(6, &text);
    }
    if let (Some(weighed), Some(predicted)) = (measured.mass, measured.predicted) {
        let text = format!(
            "weighed {:.1} g after the cut, {:.1} g were predicted",
            weighed.to_g(),
            predicted.to_g()
        );
        page.say(4, &text);
    }
    if rotor.planned && rotor.plan.cut.is_nothing() {
        page.say(4, "nothing is left to cut");
    }
}

fn cuts(page: &mut Page, rotor: &RotorReport, report: &PlanReport) {
    let plan = &rotor.plan;
    if !rotor.planned || plan.cut.is_nothing() {
        return;
    }
    page.say(
        2,
        if rotor.measured.is_some() {
            "Second cut, metal to take off:"
        } else {
            "Metal to take off:"
        },
    );
    page.tips();
    for face in Face::BOTH {
        let cut = plan.cut.face(face);
        let name = face.name();
        for (area, values) in [("land", cut.land), ("outside the land", cut.tip)] {
            let label = format!("    {name} face, {area}");
            if values.iter().all(|v| *v <= Length::ZERO) {
                page.cells(&label, ["as it is", "as it is", "as it is"].map(str::to_owned));
            } else {
                page.amounts(&label, values);
            }
        }
    }
    page.say(
        4,
        "Each is counted from that surface as it is now; the two do not add. Every cut is one flat \
         level square to the bearing bore: it takes more where the face stands higher.",
    );
    if let Outside::Taper { start, root } = report.spec.outside {
        let (start, root) = (page.size(start), page.amount(root));
        let text = format!(
            "Outside the land the level is a taper: {root} below the land at radius {start}, the \
             full step at the tip radius, where the figures above are."
        );
        page.say(4, &text);
    }
}

fn sizes(page: &mut Page, rotor: &RotorReport, report: &PlanReport) {
    let plan = &rotor.plan;
    let cut = rotor.planned && !plan.cut.is_nothing();
    page.say(2, if cut { "Sizes when it is done:" } else { "Sizes as they are:" });
    let (hold_land, hold_step) = (rotor.hold.land_width, rotor.hold.step);
    let held = |text: String, low: Length, high: Length, page: &Page| {
        if cut { format!("{text}; hold {} to {}", page.size(low), page.size(high)) } else { text }
    };
    let widths = page.sizes(plan.finished.land_width());
    let text = held(format!("land width      {widths}"), hold_land.least, hold_land.most, page);
    page.say(4, &text);
    for face in Face::BOTH {
        let steps = page.amounts_between(plan.finished.face(face).step());
        let name = format!("{} step", face.name());
        let hold = if cut && hold_step.least < hold_step.most {
            let (low, high) = (page.amount(hold_step.least), page.amount(hold_step.most));
            format!("; hold {low} to {high}")
        } else {
            String::new()
        };
        page.say(4, &format!("{name:<16}{steps}{hold}"));
    }
    let text = format!("tip width       {}", page.sizes(plan.finished.tip_width()));
    page.say(4, &text);
    let clearances = plan.finished.land_width().map(|width| rotor.width.least.value() - width);
    let text = format!(
        "side clearance  {} in {} at its least width {}",
        page.amounts_between(clearances),
        rotor.housing,
        page.size(rotor.width.least.value())
    );
    page.say(4, &text);
    let (cold, hot) = (page.amount(plan.step_needed), page.amount(plan.step_needed_hot));
    let text = format!(
        "step needed     {hot} for {}, {cold} cold, at its greatest width {}: never under {hot}",
        phrase::state(plan.governing),
        page.size(rotor.width.greatest.value())
    );
    page.say(4, &text);
    // Of a rotor that is cut: what is not proven. Of the others the verdicts are said elsewhere.
    for size in plan.sizes.iter().filter(|s| cut && s.verdict != Verdict::Conforms) {
        let aim = if size.face.is_some() { report.spec.step } else { report.spec.side_clearance };
        let name =
            size.face.map_or("side clearance".to_owned(), |f| format!("{}-face step", f.name()));
        // A step within its guarded tolerance is too near to what the room needs.
        let asked = if aim.zone().judge(size.size, size.guard) == Verdict::Conforms {
            format!("step needed {hot}")
        } else {
            format!("spec {}", page.aim(aim))
        };
        let text = format!(
            "{name} at tip {}, {}: {} ({asked}, guard {})",
            size.tip + 1,
            page.amount(size.size),
            size.verdict.words(),
            page.amount(size.guard)
        );
        page.say(4, &text);
    }
    if cut {
        let left = rotor.mass.map_or(String::new(), |mass| {
            format!(", of {:.0} g {:.1} g are left", mass.to_g(), (mass - rotor.removed()).to_g())
        });
        page.say(4, &format!("metal removed   {:.1} g{left}", rotor.removed().to_g()));
    }
}

fn room(page: &mut Page, rotor: &RotorReport) {
    page.say(2, &rotor.explained);
    page.line("    state           float that remains    least gap at a tip, at worst tilt");
    for room in &rotor.room.states {
        let state = phrase::state(room.state.name);
        let remains = page.amount(room.clearance_left);
        let gap = least_gap(page, rotor, room);
        page.line(&format!("    {state:<13} {remains:>20}    {gap}"));
    }
    tilt(page, rotor);
}

fn least_gap(page: &Page, rotor: &RotorReport, room: &StateRoom) -> String {
    if room.jams() {
        return "JAMS".to_owned();
    }
    let Some(gap) = room.least() else { return "no wall opposite".to_owned() };
    let place = if gap.point.tip.is_some() && rotor.tips_alike(room.state.name) {
        ", all tips alike".to_owned()
    } else {
        gap.point.tip.map_or_else(
            || format!(", at radius {:.1} mm", gap.point.radius.to_mm()),
            |tip| format!(", {} face tip {tip}", gap.point.face.name()),
        )
    };
    format!("{}{place}", page.amount(gap.gap))
}

/// The least tilts over all directions, all round the orbit.
fn tilt(page: &mut Page, rotor: &RotorReport) {
    let tilts = match rotor.least_tilts() {
        Ok(tilts) => tilts,
        Err(error) => {
            page.say(2, &format!("Tilt cannot be computed: {error}."));
            return;
        }
    };
    page.line("    least tilt, mrad     both lands touch   tip, worst float   tip, centred");
    let cell = |angle: Option<Angle>| {
        angle.map_or_else(|| "not before".to_owned(), |a| format!("{:.2}", a.to_rad() * 1e3))
    };
    for (room, tilt) in rotor.room.states.iter().zip(tilts) {
        page.line(&format!(
            "    {:<13}{:>24}{:>19}{:>15}",
            phrase::state(room.state.name),
            cell(tilt.jam),
            cell(tilt.worst_float),
            cell(tilt.centred)
        ));
    }
}

fn seals(page: &mut Page, lines: &[SealLine]) {
    if lines.is_empty() {
        page.say(2, "Seals: no sizes in the file.");
        return;
    }
    let first = page.first;
    let number = |length: Length| match first {
        System::Metric => format!("{:.3}", length.to_mm()),
        System::Inch => format!("{:.4}", length.to_inch()),
    };
    let unit = match first {
        System::Metric => "mm",
        System::Inch => "in",
    };
    let mut heading = "";
    for line in lines {
        let belongs = if line.at_worst_pose() {
            "Seals at the worst pose and heat:"
        } else {
            "Seals cold, rotor and seal centred:"
        };
        if belongs != heading {
            page.say(2, belongs);
            heading = belongs;
        }
        let holds = match line.holds() {
            None => "",
            Some(true) => "holds",
            Some(false) => "DOES NOT HOLD",
        };
        let bound = match (line.least, line.most) {
            (Some(least), Some(most)) => format!("{} to {}", number(least), number(most)),
            (Some(least), None) => format!("at least {}", number(least)),
            (None, Some(most)) => format!("at most {}", number(most)),
            (None, None) => String::new(),
        };
        let label = format!("{} {}", line.seal, line.figure);
        page.line(&format!(
            "    {label:<35} {:>7} {unit}  {bound:<17} {holds}",
            number(line.value)
        ));
    }
}

fn window(page: &mut Page, rotor: &RotorReport, report: &PlanReport) {
    let window = &rotor.window;
    if let Some(opens) = phrase::opens(window, page.first) {
        page.say(2, &opens);
    }
    let step = page.amount(report.spec.step.target);
    let clearance = page.amount(report.spec.side_clearance.target);
    let text = format!("Window of side clearance, with the spec's step of {step}");
    range(page, &text, &window.clearance, phrase::clearance_edge);
    let text = format!("Window of the step, at the spec's clearance of {clearance}");
    range(page, &text, &window.step, phrase::step_edge);
    if let Some(asked) = &window.at_speed {
        let said = phrase::at_speed(asked, page.first);
        page.say(2, &format!("Speed and boost: {said}."));
        return;
    }
    let borne = report.contact_chance.map_or(String::new(), |chance| {
        format!("; the spec bears a chance of contact of {} %", chance * 100.0)
    });
    page.say(
        2,
        &format!("Limit from speed and boost: not computed here (plan --speed does){borne}."),
    );
}

fn range(page: &mut Page, name: &str, range: &Range, words: fn(Limit) -> String) {
    let zone = range.wanted.zone();
    let end = |page: &Page, edge: Option<&Edge>, open: &str| {
        edge.map_or_else(
            || open.to_owned(),
            |edge| {
                let at = page.amount(edge.at.max(Length::ZERO));
                format!("{at} ({})", words(edge.limit))
            },
        )
    };
    let (least, most) = (range.least.first(), range.most.first());
    let lies = if range.holds_the_spec() {
        "inside"
    } else if least.is_some_and(|l| l.at > zone.most) || most.is_some_and(|m| m.at < zone.least) {
        "outside"
    } else {
        "partly outside"
    };
    let between = if range.is_empty() {
        format!(
            "NONE: it would have to be above {} and below {}",
            end(page, least, "nothing"),
            end(page, most, "no limit known")
        )
    } else {
        format!("{} to {}", end(page, least, "nothing"), end(page, most, "no limit known"))
    };
    let text = format!(
        "{name}: {between}. The spec's {} to {} lies {lies}.",
        page.amount(zone.least),
        page.amount(zone.most),
    );
    page.say(2, &text);
}
