//! Limits and misreadings in plain sentences, in the words of the bench.

use super::plan::Limiting;
use kernel::heat::StateName;
use kernel::plan::{Depth, Limit, SetPlan, Shortfall, Spec};
use kernel::readings::Suspicion;
use kernel::units::{Length, System};
use kernel::window::Window;

/// How a thermal state is spoken of.
pub const fn state(state: StateName) -> &'static str {
    match state {
        StateName::Cold => "cold",
        StateName::Warming => "warming up",
        StateName::Steady => "steady heat",
        StateName::Soak => "heat soak",
    }
}

/// A limit of a seal by its key, in words.
pub fn seal(key: &str) -> &'static str {
    match key {
        "apex_overhang_most" => "apex seal: overhang beyond the tip",
        "corner_engagement_least" => "corner seal: engagement",
        "corner_spring_solid" => "corner seal: spring above solid height",
        "corner_spring_load" => "corner seal: spring load",
        "side_engagement_least" => "side seal: engagement",
        "side_spring_solid" => "side seal: spring above solid height",
        "side_spring_load" => "side seal: spring load",
        "oil_engagement_least" => "oil seal: engagement",
        "oil_spring_solid" => "oil seal: spring above solid height",
        "oil_spring_load" => "oil seal: spring load",
        _ => "a seal's limit",
    }
}

/// What is, what is allowed, and where.
pub fn shortfall(s: &Shortfall, first: System) -> String {
    let amount = |length: Length| length.as_amount(first).to_string();
    let size = |length: Length| length.as_size(first).to_string();
    let tip = s.tip.map_or(String::new(), |tip| format!(" at tip {}", tip + 1));
    let face = s.face.map_or(String::new(), |face| format!("{}-face ", face.name()));
    let bound = if s.is > s.allowed { "the most" } else { "the least" };
    match s.limit {
        Limit::SideClearance => format!(
            "side clearance would be {}{tip}; {} is {bound} that can be proven within its tolerance",
            size(s.is),
            size(s.allowed)
        ),
        Limit::Step => format!(
            "{face}step{tip} would be {}; {} is {bound} that can be proven within its tolerance",
            amount(s.is),
            amount(s.allowed)
        ),
        Limit::Matching => format!(
            "side clearances would differ by {}; match allows {}",
            amount(s.is),
            amount(s.allowed)
        ),
        Limit::LandCutLimit => format!(
            "the {face}land{tip} would lose {}; land_cut_limit is {}",
            amount(s.is),
            amount(s.allowed)
        ),
        Limit::TipCutLimit => format!(
            "the {face}tip{tip} would lose {}; tip_cut_limit is {}",
            amount(s.is),
            amount(s.allowed)
        ),
        Limit::Depth(depth) => format!(
            "the {face}cut{tip} of {} would use up the {}: {} at the most",
            amount(s.is),
            match depth {
                Depth::GearRecess => "recess of the gear",
                Depth::BearingRecess => "recess of the bearing's edge",
                Depth::TreatedLayer => "treated layer",
                Depth::LeadIn => "lead-in of the grooves",
            },
            amount(s.allowed)
        ),
        Limit::Jam(state) => format!(
            "both lands would touch at once ({}): land width {}, room for {}",
            self::state(state),
            size(s.is),
            size(s.allowed)
        ),
        Limit::StepNeeded(state) => format!(
            "{face}step{tip} can be {} at the most; {} needs {}, else the tips touch before the land",
            amount(s.is),
            self::state(state),
            amount(s.allowed)
        ),
        Limit::Seal(key) => format!("{}: short by {}", seal(key), amount(s.by())),
        Limit::TaperStart => format!(
            "the taper starts at radius {}, outside the land's edge at {}: the face is level with \
             the land there and would touch first",
            size(s.is),
            size(s.allowed)
        ),
        Limit::LeastCut => {
            "a pass would be thinner than least_cut, and neither leaving it out nor \
                            deepening it keeps the tolerances"
                .to_owned()
        }
        Limit::ClearanceUnprovable => format!(
            "the side clearance's tolerance of {} is narrower than gauge and machine can prove \
             (guard {})",
            amount(s.allowed),
            amount(s.is)
        ),
        Limit::StepUnprovable => format!(
            "the step's tolerance of {} is narrower than gauge and machine can prove (guard {})",
            amount(s.allowed),
            amount(s.is)
        ),
    }
}

/// Rotors that can be planned each alone but not together.
pub fn mismatch(plan: &SetPlan, spec: &Spec, first: System) -> Limiting {
    Limiting {
        serial: None,
        limit: Limit::Matching.key(),
        detail: format!(
            "each rotor can be planned alone, but side clearances would differ by {}; match allows {}",
            plan.spread.as_amount(first),
            spec.matching.as_amount(first)
        ),
    }
}

/// A misreading: what disagrees, by how much, how it may have happened, and what to do.
pub fn suspicion(suspicion: &Suspicion, first: System) -> String {
    let by = |length: Length| {
        let side = if length > Length::ZERO { "too large" } else { "too small" };
        format!("{} {side}", length.abs().as_amount(first))
    };
    match suspicion.suspects.as_slice() {
        [only] => {
            let tell = only.tell.as_ref().map_or(String::new(), |tell| format!(", {tell}"));
            format!("the {} reads {}{tell}; {}", only.station, by(only.error), suspicion.advice())
        }
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|s| {
                    let tell = s.tell.as_ref().map_or(String::new(), |tell| format!(": {tell}"));
                    format!("{} ({}{tell})", s.station, by(s.error))
                })
                .collect();
            format!(
                "one of these readings is wrong, and they cannot be told apart: {}; {}",
                each.join(", "),
                suspicion.advice()
            )
        }
    }
}

/// An edge of the window of side clearance, in words.
pub fn clearance_edge(limit: Limit) -> String {
    match limit {
        Limit::Jam(state) => format!("less jams, {}", self::state(state)),
        Limit::StepNeeded(state) => {
            format!("with more the spec's step is too small, {}", self::state(state))
        }
        Limit::Seal(key) => seal(key).to_owned(),
        other => other.key().to_owned(),
    }
}

/// An edge of the window of the step, in words.
pub fn step_edge(limit: Limit) -> String {
    match limit {
        Limit::StepNeeded(state) => {
            format!("with less the tips touch before the land, {}", self::state(state))
        }
        other => clearance_edge(other),
    }
}

/// What would open an empty window; `None` when something is left in it.
pub fn opens(window: &Window, first: System) -> Option<String> {
    let (least, most) = (window.clearance.least.first()?, window.clearance.most.first()?);
    if !window.clearance.is_empty() {
        return None;
    }
    let short = (least.at - most.at).as_amount(first);
    Some(match most.limit {
        Limit::StepNeeded(state) => format!(
            "No side clearance works with this step: jamming asks for {short} more than the step \
             protects ({}). A larger step opens it.",
            self::state(state)
        ),
        Limit::Seal(key) => format!(
            "No side clearance works with these seals: {} ends {short} below where the lands jam. \
             A taller seal or a smaller step opens it.",
            seal(key)
        ),
        _ => format!("No side clearance works: the limits overlap by {short}."),
    })
}
