//! The plan of a build as text: fits 80 columns, needs no colour.

use crate::ops::{PlanReport, READINGS, RotorReport, phrase};
use kernel::plan::{Aim, Limit, Method, NearbySpec};
use kernel::readings::{EDITION, Face, PROBABILITY, Squareness, Verdict};
use kernel::seals::SealLine;
use kernel::units::{Angle, Length, System};
use kernel::window::Range;

/// Width that every line fits.
const COLUMNS: usize = 80;
/// Where the three columns of the tips start, and how wide each is.
const LABEL: usize = 35;
const CELL: usize = 14;

struct Page {
    text: String,
    first: System,
}

/// The whole plan.
pub(super) fn text(report: &PlanReport, first: System) -> String {
    let mut page = Page { text: String::new(), first };
    page.head(report);
    for rotor in &report.rotors {
        page.rotor(rotor, report);
    }
    page.tail(report);
    page.text
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A paragraph, wrapped, its further lines indented by two more.
    fn say(&mut self, indent: usize, what: &str) {
        let (start, further) = (" ".repeat(indent), " ".repeat(indent + 2));
        let options = textwrap::Options::new(COLUMNS)
            .initial_indent(&start)
            .subsequent_indent(&further)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        for line in textwrap::wrap(what, options) {
            self.line(&line);
        }
    }

    fn amount(&self, length: Length) -> String {
        length.as_amount(self.first).to_string()
    }

    fn size(&self, length: Length) -> String {
        length.as_size(self.first).to_string()
    }

    fn aim(&self, aim: Aim) -> String {
        format!("{} \u{b1} {}", self.amount(aim.target), self.amount(aim.tolerance))
    }

    fn head(&mut self, report: &PlanReport) {
        self.line(&report.build);
        self.duty(report);
        self.say(
            0,
            &format!(
                "Spec \"{}\": side clearance {}, both sides together; step {}, each face.",
                report.spec_name,
                self.aim(report.spec.side_clearance),
                self.aim(report.spec.step)
            ),
        );
        self.line("");
        let count = report.rotors.len();
        let all = if count == 1 { "the rotor" } else { "all rotors" };
        let cut = report.rotors.iter().any(|r| !r.plan.cut.is_nothing());
        let measured = report.rotors.iter().all(|r| r.measured.is_some());
        self.say(
            0,
            &match (report.feasible, cut, report.method) {
                (false, ..) => "NO PLAN for this set. In the way:".to_owned(),
                (true, false, _) if measured => {
                    format!("NOTHING LEFT TO CUT: {all} measured within the spec.")
                }
                (true, false, _) => format!("NOTHING TO CUT: {all} already within the spec."),
                (true, true, Method::Aimed) => {
                    format!("PLANNED: {all} to the spec's own clearance and step.")
                }
                (true, true, Method::Searched) => format!(
                    "PLANNED within tolerances: the spec's own figures cannot be met by {all}; \
                     these come nearest."
                ),
            },
        );
        for limiting in &report.limiting {
            let whose = limiting.serial.as_deref().unwrap_or("The set");
            if limiting.limit == READINGS {
                self.say(2, &format!("{whose} [{READINGS}]: its readings disagree, see below."));
                continue;
            }
            self.say(2, &format!("{whose} [{}]: {}.", limiting.limit, limiting.detail));
        }
        self.nearby(&report.nearby);
        if count > 1 && report.rotors.iter().filter(|r| r.planned).count() > 1 {
            self.say(
                0,
                &format!(
                    "Side clearances differ by {}, allowed {}: {}.",
                    self.amount(report.spread),
                    self.amount(report.spec.matching),
                    report.match_verdict.words()
                ),
            );
        }
    }

    fn duty(&mut self, report: &PlanReport) {
        let duty = &report.duty;
        let said: Vec<String> = [
            duty.speed.map(|speed| format!("{:.0} rpm", speed.to_rpm())),
            duty.boost.map(|boost| format!("{:.2} bar above atmosphere", boost.to_bar())),
            duty.running.map(|running| format!("{:.0} h between rebuilds", running.to_h())),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !said.is_empty() {
            self.say(0, &format!("Duty: {}.", said.join(", ")));
        }
    }

    fn nearby(&mut self, nearby: &[NearbySpec]) {
        let Some(nearest) = nearby.first() else { return };
        self.say(0, "A spec that would work, nearest first:");
        let change = |page: &Self, spec: &NearbySpec| {
            let each: Vec<String> = spec
                .changes
                .iter()
                .map(|c| {
                    format!(
                        "{} {} instead of {}",
                        c.figure.key(),
                        page.amount(c.to),
                        page.amount(c.from)
                    )
                })
                .collect();
            each.join(" and ")
        };
        let text = change(self, nearest);
        self.say(2, &text);
        for other in &nearby[1..] {
            let text = format!("or {}", change(self, other));
            self.say(2, &text);
        }
        self.say(
            0,
            "Whether such a figure is right for the engine is the builder's judgement, not this plan's.",
        );
    }

    fn rotor(&mut self, rotor: &RotorReport, report: &PlanReport) {
        self.line("");
        self.line(&"-".repeat(COLUMNS));
        self.say(
            0,
            &format!(
                "{} in {}, gear face to the {}: {}",
                rotor.serial,
                rotor.housing,
                rotor.gear_face.name(),
                said(rotor)
            ),
        );
        self.readings(rotor);
        if rotor.now.check.suspicions.is_empty() {
            self.cuts(rotor, report);
            self.room(rotor);
            self.seals(&rotor.seals);
            self.window(rotor, report.contact_chance);
        } else {
            self.say(2, "Nothing is planned for this rotor until its readings agree.");
        }
    }

    fn readings(&mut self, rotor: &RotorReport) {
        let check = &rotor.now.check;
        let squareness = match rotor.now.squareness {
            Squareness::Measured => "squareness of the lands measured".to_owned(),
            Squareness::Assumed(u) => {
                format!("squareness of the lands assumed, within {}", self.amount(u))
            }
        };
        let agreement = match check.probability {
            None => "not checkable, each was taken once (tip widths, or the run-outs of both \
                     lands, would check them)"
                .to_owned(),
            Some(p) => {
                let figures = format!(
                    "\u{3c7}\u{b2} {:.1} with {} degrees of freedom, p {p:.2}",
                    check.chi_square, check.freedom
                );
                if !check.suspicions.is_empty() {
                    format!("DISAGREE ({figures})")
                } else if p < 0.05 {
                    format!("scatter more than the gauges' repeat explains ({figures})")
                } else {
                    format!("agree ({figures})")
                }
            }
        };
        self.say(2, &format!("Readings: {agreement}; {squareness}."));
        for suspicion in &check.suspicions {
            let what = phrase::suspicion(suspicion, self.first);
            self.say(4, &format!("{}.", capitalised(&what)));
        }
    }

    fn cells(&mut self, label: &str, values: [String; 3]) {
        let line =
            format!("{label:<LABEL$}{:>CELL$}{:>CELL$}{:>CELL$}", values[0], values[1], values[2]);
        self.line(&line);
    }

    /// A row of three amounts in the system that stands first, and one in the other below it.
    fn amounts(&mut self, label: &str, values: [Length; 3]) {
        let um = |v: Length| Self::metric(v);
        let thou = |v: Length| Self::thou(v);
        let (upper, lower) = match self.first {
            System::Metric => (values.map(um), values.map(thou)),
            System::Inch => (values.map(thou), values.map(um)),
        };
        self.cells(label, upper);
        self.cells("", lower);
    }

    fn metric(length: Length) -> String {
        let text = length.as_amount(System::Metric).to_string();
        text.split(" (").next().unwrap_or_default().to_owned()
    }

    fn thou(length: Length) -> String {
        let text = length.as_amount(System::Inch).to_string();
        text.split(" (").next().unwrap_or_default().to_owned()
    }

    fn cuts(&mut self, rotor: &RotorReport, report: &PlanReport) {
        let plan = &rotor.plan;
        if rotor.measured.is_some() {
            self.measured(rotor);
        }
        if !rotor.planned {
            self.say(2, "No plan; as it is:");
        } else if plan.cut.is_nothing() {
            self.say(2, "Left as it is:");
        } else {
            self.say(
                2,
                if rotor.measured.is_some() {
                    "Second cut, stock to take off:"
                } else {
                    "Stock to take off:"
                },
            );
            self.cells("", ["tip 1", "tip 2", "tip 3"].map(str::to_owned));
            for face in Face::BOTH {
                let cut = plan.cut.face(face);
                let name = face.name();
                for (area, values) in [("land", cut.land), ("outside the land", cut.tip)] {
                    let label = format!("    {name} face, {area}");
                    if values.iter().all(|v| *v <= Length::ZERO) {
                        self.cells(&label, ["left", "left", "left"].map(str::to_owned));
                    } else {
                        self.amounts(&label, values);
                    }
                }
            }
            self.say(2, "Then:");
        }
        self.amounts("    gear face, step", plan.finished.gear.step());
        self.amounts("    plain face, step", plan.finished.plain.step());
        let tips = plan.finished.tip_width();
        let (narrow, wide) = (tips[0].min(tips[1]).min(tips[2]), tips[0].max(tips[1]).max(tips[2]));
        self.say(4, &format!("land width      {}", self.size(plan.land_width)));
        let tip_width = if wide - narrow < Length::um(0.5) {
            self.size(narrow)
        } else {
            format!("{} to {}", self.size(narrow), self.size(wide))
        };
        self.say(4, &format!("tip width       {tip_width}"));
        self.say(
            4,
            &format!(
                "side clearance  {} in {}, least width {}",
                self.size(plan.side_clearance),
                rotor.housing,
                self.size(rotor.width.least.value())
            ),
        );
        if plan.land_touches_first() {
            let state = phrase::state(plan.governing);
            self.say(
                4,
                &format!(
                    "step needed     {} cold, {} for {state}",
                    self.amount(plan.step_needed),
                    self.amount(plan.step_needed_hot)
                ),
            );
        } else {
            self.say(
                4,
                &format!(
                    "step needed     {}, more than it has: the tips touch before the land",
                    self.amount(plan.step_needed_hot)
                ),
            );
        }
        let left = rotor.mass.map_or(String::new(), |mass| {
            format!(", of {:.0} g {:.1} g are left", mass.to_g(), (mass - rotor.removed).to_g())
        });
        self.say(4, &format!("metal removed   {:.1} g{left}", rotor.removed.to_g()));
        if report.spec.outside != kernel::room::Outside::Step {
            self.say(4, "outside the land the face is a taper; its full step is at the tip radius");
        }
    }

    fn measured(&mut self, rotor: &RotorReport) {
        let Some(measured) = &rotor.measured else { return };
        self.say(2, "Measured after cutting, and off the plan by:");
        self.cells("", ["tip 1", "tip 2", "tip 3"].map(str::to_owned));
        for face in [None, Some(Face::Gear), Some(Face::Plain)] {
            let label = match face {
                None => "    side clearance".to_owned(),
                Some(face) => format!("    {} face, step", face.name()),
            };
            let sizes: Vec<_> = measured.sizes.iter().filter(|s| s.face == face).collect();
            let planned: Vec<_> =
                measured.planned.sizes.iter().filter(|s| s.face == face).collect();
            let at = |k: usize| sizes.get(k).map_or(Length::ZERO, |s| s.size);
            let off = |k: usize| {
                let off = at(k) - planned.get(k).map_or(Length::ZERO, |s| s.size);
                let text = Self::metric(off);
                if text.starts_with(['-', '0']) { text } else { format!("+{text}") }
            };
            self.amounts(&label, [at(0), at(1), at(2)]);
            self.cells("      off plan", [off(0), off(1), off(2)]);
            let words = |k: usize| sizes.get(k).map_or("", |s| s.verdict.words()).to_owned();
            self.cells("      verdict", [words(0), words(1), words(2)]);
        }
    }

    fn room(&mut self, rotor: &RotorReport) {
        self.say(2, &rotor.explained);
        self.line("    state           float left        least gap at a tip, at worst tilt");
        for room in &rotor.room.states {
            let state = phrase::state(room.state.name);
            let left = self.amount(room.clearance_left);
            let gap = match room.least() {
                _ if room.jams() => "JAMS".to_owned(),
                None => "no wall opposite".to_owned(),
                Some(gap) => {
                    let where_ = gap.point.tip.map_or(String::new(), |tip| {
                        format!(", {} face tip {tip}", gap.point.face.name())
                    });
                    format!("{}{where_}", self.amount(gap.gap))
                }
            };
            self.line(&format!("    {state:<13} {left:>20}    {gap}"));
        }
        self.tilt(rotor);
    }

    /// The least tilts over all directions, all round the orbit.
    fn tilt(&mut self, rotor: &RotorReport) {
        let tilts = match rotor.least_tilts() {
            Ok(tilts) => tilts,
            Err(error) => {
                self.say(2, &format!("Tilt cannot be computed: {error}."));
                return;
            }
        };
        self.line("    least tilt, mrad     both lands touch   tip, worst float   tip, centred");
        let cell = |angle: Option<Angle>| {
            angle.map_or_else(|| "not before".to_owned(), |a| format!("{:.2}", a.to_rad() * 1e3))
        };
        for (room, tilt) in rotor.room.states.iter().zip(tilts) {
            self.line(&format!(
                "    {:<13}{:>24}{:>19}{:>15}",
                phrase::state(room.state.name),
                cell(tilt.jam),
                cell(tilt.worst_float),
                cell(tilt.centred)
            ));
        }
    }

    fn seals(&mut self, lines: &[SealLine]) {
        if lines.is_empty() {
            self.say(2, "Seals: no sizes in the file.");
            return;
        }
        self.say(2, "Seals at the worst pose and heat:");
        for line in lines {
            let holds = match line.holds() {
                None => "",
                Some(true) => "holds",
                Some(false) => "DOES NOT HOLD",
            };
            let bound = match (line.least, line.most) {
                (Some(least), Some(most)) => {
                    format!("{:.3} to {:.3}", least.to_mm(), most.to_mm())
                }
                (Some(least), None) => format!("at least {:.3}", least.to_mm()),
                (None, Some(most)) => format!("at most {:.3}", most.to_mm()),
                (None, None) => String::new(),
            };
            let label = format!("{} {}", line.seal, line.figure);
            self.line(&format!(
                "    {label:<37} {:>7.3} mm  {bound:<17} {holds}",
                line.value.to_mm()
            ));
        }
    }

    fn window(&mut self, rotor: &RotorReport, contact_chance: Option<f64>) {
        let window = &rotor.window;
        self.range("Window of side clearance", &window.clearance, phrase::clearance_edge);
        self.range("Window of the step", &window.step, phrase::step_edge);
        if let Some(opens) = phrase::opens(window, self.first) {
            self.say(4, &opens);
        }
        let borne = contact_chance.map_or(String::new(), |chance| {
            format!("; the spec bears a chance of contact of {} %", chance * 100.0)
        });
        self.say(4, &format!("limit from speed and boost: not computed here{borne}"));
    }

    fn range(&mut self, name: &str, range: &Range, words: fn(Limit) -> String) {
        let zone = range.wanted.zone();
        let end = |page: &Self, edge: Option<&kernel::window::Edge>, open: &str| {
            edge.map_or_else(
                || open.to_owned(),
                |edge| {
                    format!("{} ({})", page.amount(edge.at.max(Length::ZERO)), words(edge.limit))
                },
            )
        };
        let spec = if range.is_empty() {
            "outside: the window is EMPTY"
        } else if range.holds_the_spec() {
            "inside"
        } else {
            "partly outside"
        };
        let text = format!(
            "{name}: {} to {}. The spec's {} to {} lies {spec}.",
            end(self, range.least.first(), "nothing"),
            end(self, range.most.first(), "no limit known"),
            self.amount(zone.least),
            self.amount(zone.most),
        );
        self.say(2, &text);
    }

    fn tail(&mut self, report: &PlanReport) {
        self.line("");
        self.line(&"-".repeat(COLUMNS));
        if !report.assumed.is_empty() {
            self.line("Assumed, since the file does not say:");
            for sentence in &report.assumed {
                self.say(2, sentence);
            }
        }
        for (gauge, due) in &report.calibrations {
            self.say(0, &format!("Calibration of gauge \"{gauge}\" is due {due}."));
        }
        self.say(
            0,
            &format!(
                "Verdicts by {EDITION}, {:.0} % conformance probability. Only measured parts \
                 conform; of a plan it is said that it is planned to conform.",
                PROBABILITY * 100.0
            ),
        );
        self.say(
            0,
            "Tilt, heat and gap figures are a screening estimate until calibrated with engines \
             that came back. Iron dust, interrupted cuts and thin walls hurt people and parts: \
             the shop's rules, local codes and licensed practice come first.",
        );
    }
}

/// What is said of a rotor as a whole.
fn said(rotor: &RotorReport) -> String {
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

fn capitalised(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
