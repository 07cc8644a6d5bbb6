//! What the end play asks for, as a sentence that says why.

use super::read::{Asks, ReadAll};
use super::said::{Amount, wanted_words};
use crate::build_file::model::assembly::Fit;
use crate::ops::assumed::Assumed;
use crate::ops::inputs::{size_u, spacer_u};
use kernel::assembly::{Advice, EndPlay, Fitted, NoSpacer, Thicker, Wanted};
use kernel::units::{Length, System};

/// The spacer of the end play.
#[derive(Debug, Clone, PartialEq)]
pub struct SpacerReport {
    /// What is to be done, or what is lacking to say it.
    pub sentence: String,
    /// The same as figures, where it can be said.
    pub advice: Option<Advice>,
    /// Thickness of the spacer that is in, where it was read.
    pub is_in: Option<Length>,
    /// What a thicker one does.
    pub thicker: Thicker,
    /// The thicknesses that the shop stocks.
    pub stocked: Vec<Length>,
}

/// What a thicker spacer does, and why.
const fn why(thicker: Thicker) -> &'static str {
    match thicker {
        Thicker::MorePlay => {
            "by the engine's record a thicker spacer gives more play (it holds the thrust faces \
             apart)"
        }
        Thicker::LessPlay => {
            "by the engine's record a thicker spacer gives less play (it takes up room between \
             the thrust faces)"
        }
    }
}

pub(super) fn spacer(
    asks: &Asks,
    read: &ReadAll,
    (first, assumed): (System, &mut Assumed),
) -> Option<SpacerReport> {
    let (stocked, thicker) = (&asks.assembly.spacers, asks.assembly.thicker_spacer?);
    if stocked.is_empty() {
        return None;
    }
    let report = |sentence: String, advice: Option<Advice>| SpacerReport {
        sentence,
        advice,
        is_in: read.spacer,
        thicker,
        stocked: stocked.clone(),
    };
    let lacking = |what: &str| Some(report(what.to_owned(), None));
    let Some(wanted) = asks.size(Fit::EndPlay) else {
        return lacking(
            "the engine's record gives no end play, so that no spacer can be chosen; enter its \
             least and most",
        );
    };
    let Some(play) = read.sizes.get(&(Fit::EndPlay, None)) else {
        return lacking("the spacer is chosen when the end play is read, with one that is in");
    };
    let play_u = size_u(play.with.as_ref(), first, assumed);
    let Some(is_in) = read.spacer else {
        return lacking("enter how thick the spacer is that was in when the end play was read");
    };
    let spacer_u = spacer_u(asks.assembly.spacer_u, first, assumed);
    let at = EndPlay { play: play.value, play_u, spacer: is_in, spacer_u, thicker };
    Some(match at.advise(wanted, stocked) {
        Err(error) => report(error.to_string(), None),
        Ok(advice) => report(sentence(&at, wanted, &advice, first), Some(advice)),
    })
}

fn sentence(at: &EndPlay, wanted: &Wanted<Length>, advice: &Advice, first: System) -> String {
    let (small, size) = (
        |length: Length| length.as_amount(first).to_string(),
        |length: Length| length.as_size(first).to_string(),
    );
    let range =
        wanted_words(wanted.least().map(Amount::Small), wanted.most().map(Amount::Small), first);
    let reads =
        format!("with the spacer of {} the end play reads {}", size(at.spacer), small(at.play));
    match advice {
        Advice::Stay => format!("{reads}, wanted {range}: it stays"),
        Advice::Exchange(Fitted { thickness, play, .. }) => format!(
            "{reads}, wanted {range}; put in the spacer of {}: {}, so that one {} by {} gives {}. \
             Read the end play again with it",
            size(*thickness),
            why(at.thicker),
            if *thickness > at.spacer { "thicker" } else { "thinner" },
            small((*thickness - at.spacer).abs()),
            small(*play)
        ),
        Advice::None(none) => {
            format!("{reads}, wanted {range}; {}", no_spacer(at, none, (&small, &size)))
        }
    }
}

fn no_spacer(
    at: &EndPlay,
    none: &NoSpacer,
    (small, size): (&dyn Fn(Length) -> String, &dyn Fn(Length) -> String),
) -> String {
    let nearest = none.nearest.map_or(String::new(), |nearest| {
        format!(
            "; of the stock {} comes nearest, with {}: {}",
            size(nearest.thickness),
            small(nearest.play),
            nearest.verdict.words()
        )
    });
    let would = match none.proven {
        None => {
            return format!(
                "no spacer can be proven to give it: what is wanted is narrower than the gauge \
                 and the thicknesses can tell; read the play with a finer gauge{nearest}"
            );
        }
        Some(_) if none.middle <= Length::ZERO => {
            return format!("no spacer gives it; look at the parts of the stack{nearest}");
        }
        Some([thin, thick]) => format!("one from {} to {} would", size(thin), size(thick)),
    };
    format!(
        "no spacer of the stock does; {would}, best {}: {}{nearest}",
        size(none.middle),
        why(at.thicker)
    )
}
