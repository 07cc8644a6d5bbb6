//! Limits and misreadings in plain sentences, in the words of the bench.

use super::plan::Limiting;
use crate::build_file::model::Duty;
use kernel::heat::StateName;
use kernel::plan::{Depth, Limit, SetPlan, Shortfall, Spec};
use kernel::readings::{Odd, Suspicion};
use kernel::seals::SealLine;
use kernel::units::{Length, System};
use kernel::window::{AtSpeed, Window};

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
        "apex_engagement_least" => "apex seal: engagement",
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
        Limit::Seal(key) if key.ends_with("_most") => {
            format!("{}: too much by {}", seal(key), amount(s.by()))
        }
        Limit::Seal(key) => format!("{}: short by {}", seal(key), amount(s.by())),
        Limit::Room(state) => format!(
            "between the walls as they are, {} would touch before the lands do ({}), by {}",
            match (s.face, s.tip) {
                (Some(face), Some(tip)) => format!("tip {} of the {} face", tip + 1, face.name()),
                (Some(face), None) => format!("the {} face outside its land", face.name()),
                (None, _) => "something outside the lands".to_owned(),
            },
            self::state(state),
            amount(s.by())
        ),
        Limit::ContactAtSpeed => {
            "the tips would touch at speed more often than contact_chance bears".to_owned()
        }
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
            "{} can be planned alone, but side clearances would differ by {}; match allows {}",
            if plan.rotors.iter().all(|rotor| rotor.shortfalls.is_empty()) {
                "each rotor"
            } else {
                "each of the other rotors"
            },
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
        Limit::ContactAtSpeed => {
            "with less the tips touch at speed more often than is borne".to_owned()
        }
        other => clearance_edge(other),
    }
}

/// What speed and boost ask for, in words.
pub fn at_speed(asked: &AtSpeed, first: System) -> String {
    let step = if asked.step > Length::ZERO {
        format!("a step of {} or more", asked.step.as_amount(first))
    } else {
        "no step".to_owned()
    };
    let shaft = if asked.assumed_shaft { " (the shaft is assumed)" } else { "" };
    format!(
        "at the duty's speed and boost{shaft} the tips need {step} with this clearance, and the \
         lands stay off both walls from {} on, both sides together, each but for {} % of such \
         engines",
        asked.clearance.as_size(first),
        100.0 * asked.chance
    )
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

/// A seal's figure outside what the spec asks.
pub fn seal_line(line: &SealLine, first: System) -> String {
    let bound = match (line.least, line.most) {
        (Some(least), _) if line.value < least => format!("at least {}", least.as_size(first)),
        (_, Some(most)) => format!("at most {}", most.as_size(first)),
        _ => "otherwise".to_owned(),
    };
    format!(
        "{} seal: {} is {}, the spec asks for {bound}",
        line.seal,
        line.figure,
        line.value.as_size(first)
    )
}

/// An unchecked reading far from its neighbours.
pub fn odd(odd: &Odd, first: System) -> String {
    let slip = if odd.decimal_slip { "; a decimal point may have slipped" } else { "" };
    format!(
        "the {} reads {}, the other two tips about {}, and nothing else checks it{slip}: read it again",
        odd.station,
        odd.value.as_size(first),
        odd.others.as_size(first)
    )
}

/// Lands that lean by more than is assumed, and nobody knows which.
pub fn leaning_lands(by: Length, first: System) -> String {
    format!(
        "the land widths differ by {}, so a land leans; which one is not known without run-outs, \
         and half is taken from each: read the run-out of both lands against the bore before cutting",
        by.as_amount(first)
    )
}

/// Readings from before a cut that disagree.
pub fn before_disagrees(suspicion: &Suspicion, first: System) -> String {
    let group: Vec<String> = suspicion.suspects.iter().map(|s| s.station.to_string()).collect();
    let by = suspicion.suspects.first().map_or(Length::ZERO, |s| s.error.abs());
    format!(
        "the readings from before the cut disagree by {} ({}): what was planned and what was taken \
         are not compared",
        by.as_amount(first),
        group.join(" or ")
    )
}

/// A land width that is greater after the cut than before it.
pub fn grown(tip: usize, by: Length, first: System) -> String {
    format!(
        "the land width at tip {} reads {} more after cutting than before, and metal does not grow: \
         one of the two is misread, or it is another rotor",
        tip + 1,
        by.as_amount(first)
    )
}

/// Walls that are worn under the lands.
pub fn worn_walls(wear: Length, first: System) -> String {
    format!(
        "the side housings are worn by {} in all under the lands: the rotor has that much more room \
         than the side clearance says, which is judged by the housing's width alone",
        wear.as_amount(first)
    )
}

/// A limit by its key, in two or three words.
pub fn in_short(key: &str) -> &str {
    match key {
        "readings" => "readings disagree",
        "side_clearance" => "side clearance",
        "step" => "step",
        "match" => "rotors do not match",
        "land_cut_limit" => "too much off a land",
        "tip_cut_limit" => "too much off the tips",
        "step_needed_hot" => "step too small hot",
        "jam" => "jams",
        "room" => "tips touch first",
        "taper" => "start of the taper",
        "least_cut" => "a pass too thin",
        other => other.split('_').next().unwrap_or(other),
    }
}

/// Hex digits of a hash that are shown: enough to tell an old sheet or program, few enough to compare
/// by eye.
const HASH_DIGITS: usize = 12;

/// A duty in words; nothing where nothing is said of it.
pub fn duty(duty: &Duty) -> Option<String> {
    let said: Vec<String> = [
        duty.speed.map(|speed| format!("{:.0} rpm", speed.to_rpm())),
        duty.boost.map(|boost| format!("{:.2} bar above atmosphere", boost.to_bar())),
        duty.running.map(|running| format!("{:.0} h between rebuilds", running.to_h())),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!said.is_empty()).then(|| said.join(", "))
}

/// The start of a hash, as it stands on papers and in programs, which are held against each other.
pub fn hash(hash: &records::Sha) -> String {
    let mut hex = hash.to_hex();
    hex.truncate(HASH_DIGITS);
    hex
}

/// A moment as people read it: `2026-11-28 09:30`, in UTC as it is kept.
pub fn moment(at: &records::Moment) -> String {
    at.as_str().get(..16).unwrap_or(at.as_str()).replace('T', " ")
}

/// A sentence with its first letter large.
pub fn capitalised(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
