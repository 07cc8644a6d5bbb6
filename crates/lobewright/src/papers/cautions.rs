//! Cautions: what whoever works by a paper has read before the first figure. They are usual care,
//! and no replacement for the shop's own rules.

use paper::Block;

/// Said wherever figures of heat, tilt or speed decide.
pub(super) const ESTIMATE: &str = "The figures are a screening estimate until calibrated by the \
    shop's own builds. Local rules and licensed practice come first.";

/// Before a rotor goes under a cutter.
pub(super) fn at_the_machine() -> Block {
    Block::Caution {
        texts: [
            "Iron dust hurts lungs and eyes, and burns: collect it where it is made, wear \
             protection, never blow it off. The face is cut with interruptions, so the cutter \
             knocks: sharp insert, short overhang, guards closed. No gloves, loose sleeves, rings or \
             long hair near what turns.",
            "A rotor has thin walls: hold it where it is stiff and no harder than it must be, never \
             by the flanks or by the bearing's overlay. Indicate it before and after clamping; what \
             moves when it is clamped springs back when it is let go.",
            ESTIMATE,
        ]
        .map(str::to_owned)
        .to_vec(),
    }
}
