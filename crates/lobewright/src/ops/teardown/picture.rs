//! Pictures of the faces of a rotor as it came apart, and of one that is to be looked at.

use super::super::station_shapes::station_shapes;
use super::back::CameBack;
use super::beside::{Says, TipBeside, face_of};
use crate::build_file::model::Engine;
use drawings::{MarkedFace, MarkedTip, Options, Origin, TipSeen, gap_words};
use kernel::units::{Length, System};
use records::{Face, Mark};

const fn seen(mark: Mark) -> TipSeen {
    match mark {
        Mark::None => TipSeen::Clear,
        Mark::Light => TipSeen::Light,
        Mark::Heavy => TipSeen::Heavy,
        Mark::NotLookedAt => TipSeen::NotLookedAt,
    }
}

fn tip(beside: &TipBeside, first: System) -> MarkedTip {
    let mut words = Vec::new();
    if let Some(band) = beside.predicted {
        let m = Length::m;
        words.push(gap_words(m(band.gap_m), (m(band.least_m()), m(band.most_m())), first));
    }
    if beside.says != Says::NotLookedAt {
        words.push(beside.says.words().to_owned());
    }
    MarkedTip { seen: seen(beside.contact()), words }
}

/// One face of a rotor that came back; `id` tells the picture from others on its page.
#[must_use]
pub fn face_picture(
    back: &CameBack,
    (serial, face): (&str, Face),
    (engine, origin): (Option<&Engine>, Origin),
    (id, first): (&str, System),
) -> String {
    let of = |number: i64| {
        let found = back
            .tips
            .iter()
            .find(|tip| tip.serial == serial && tip.face == face && tip.tip == number);
        found.map(|beside| tip(beside, first)).unwrap_or_default()
    };
    drawn((serial, face), (engine, origin), (id, first), [1, 2, 3].map(of))
}

/// A face that is to be looked at: which tip is which.
#[must_use]
pub fn blank_face(
    (serial, face): (&str, Face),
    of: (Option<&Engine>, Origin),
    picture: (&str, System),
) -> String {
    drawn((serial, face), of, picture, std::array::from_fn(|_| MarkedTip::default()))
}

fn drawn(
    (serial, face): (&str, Face),
    (engine, origin): (Option<&Engine>, Origin),
    (id, first): (&str, System),
    tips: [MarkedTip; 3],
) -> String {
    let face = MarkedFace {
        serial: serial.to_owned(),
        face: face_of(face),
        shape: engine.and_then(|engine| station_shapes(engine).rotor),
        origin,
        tips,
    };
    face.svg(&Options { system: first, id: Some(id.to_owned()) })
}
