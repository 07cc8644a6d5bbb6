//! Pictures of where past builds sat.

use super::{Back, DutyReview, PastBuild, Sits, SitsRotor, duty_words};
use crate::ops::Picture;
use drawings::{Came, Options, PastRotor, PastWindows};
use kernel::units::{Length, System};

fn came(back: Option<&Back>) -> Came {
    match back {
        None => Came::NotBack,
        Some(back) if back.marks[2] > 0 => Came::Heavy,
        Some(back) if back.marks[1] > 0 => Came::Light,
        // Nobody looked at any tip.
        Some(back) if back.marks[0] == 0 => Came::NotBack,
        Some(_) => Came::Clear,
    }
}

fn rotor(past: &PastBuild, rotor: &SitsRotor, sits: &Sits) -> PastRotor {
    PastRotor {
        name: format!("{}: {}", past.build.head.name, rotor.serial),
        is: sits.is[0],
        least: sits.least.as_ref().map(|bound| bound.at),
        most: sits.most.as_ref().map(|bound| bound.at),
        came: came(past.back.as_ref()),
    }
}

/// One of the two sizes of a rotor.
type SizeOf = fn(&SitsRotor) -> &Sits;

/// Step and side clearance of the builds of the `index`th duty of a spec.
#[must_use]
pub fn review_pictures(spec: &str, index: usize, duty: &DutyReview, first: System) -> Vec<Picture> {
    let of = format!("{spec}, {}", duty_words(&duty.duty));
    let sizes: [(&str, &str, SizeOf); 2] = [
        ("Step", "step", |rotor| &rotor.step),
        ("Side clearance", "side-clearance", |rotor| &rotor.clearance),
    ];
    let wanted = |step: bool| -> Option<(Length, Length)> {
        let (clearance_of, step_of) = duty.wanted?;
        Some(if step { step_of } else { clearance_of })
    };
    sizes
        .into_iter()
        .map(|(what, name, sits)| {
            let rotors = duty.builds.iter().flat_map(|past| {
                let all = past.sits.as_deref().unwrap_or_default();
                all.iter().map(move |one| rotor(past, one, sits(one)))
            });
            let picture = PastWindows {
                what: what.to_owned(),
                of: of.clone(),
                wanted: wanted(name == "step"),
                rotors: rotors.collect(),
            };
            let name = format!("{}-{name}", index + 1);
            let id = Some(format!("past-{name}"));
            let svg = picture.svg(&Options { system: first, id });
            Picture { name, svg, csv: picture.csv() }
        })
        .collect()
}
