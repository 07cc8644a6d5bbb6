//! What each tip shows beside what was predicted for it.

use super::predicted::{GapBand, Predicted};
use kernel::readings::{Face, TIPS};
use records::{Face as KeptFace, Mark, PartId, TipMark};

/// What a tip says of its prediction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Says {
    /// It is as predicted, or within its band.
    Agrees,
    /// It touched, and none of the band leaves marks.
    SeenUnpredicted,
    /// It did not touch, and all of the band leaves marks.
    PredictedUnseen,
    /// Nobody looked.
    NotLookedAt,
    /// It touched where there is never metal opposite, or nothing was predicted.
    NotPredicted,
}

impl Says {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::SeenUnpredicted => "touched, and was predicted to stay clear",
            Self::PredictedUnseen => "predicted to touch, and did not",
            Self::NotLookedAt => "not looked at",
            Self::NotPredicted => "nothing predicted",
        }
    }
}

/// One tip of one face.
#[derive(Debug, Clone, PartialEq)]
pub struct TipBeside {
    /// Which part.
    pub part: PartId,
    /// Its serial.
    pub serial: String,
    /// Which face.
    pub face: KeptFace,
    /// Which tip, from 1.
    pub tip: i64,
    /// What was predicted; nothing where it never has metal opposite, or there is no prediction.
    pub predicted: Option<GapBand>,
    /// What is seen; nothing where nobody said anything of it.
    pub mark: Option<TipMark>,
    /// What that says.
    pub says: Says,
}

impl TipBeside {
    /// What is seen of it.
    #[must_use]
    pub fn contact(&self) -> Mark {
        self.mark.as_ref().map_or(Mark::NotLookedAt, |mark| mark.contact)
    }
}

/// A face of the record as the kernel calls it.
#[must_use]
pub const fn face_of(face: KeptFace) -> Face {
    match face {
        KeptFace::Gear => Face::Gear,
        KeptFace::Plain => Face::Plain,
    }
}

/// What a mark says of a band.
#[must_use]
pub fn says(band: Option<GapBand>, contact: Mark) -> Says {
    match (contact, band) {
        (Mark::NotLookedAt, _) => Says::NotLookedAt,
        // Nothing opposite, and no mark: as it must be.
        (_, None) => Says::NotPredicted,
        (Mark::None, Some(band)) if band.most_m() < band.seen_below_m => Says::PredictedUnseen,
        (Mark::Light | Mark::Heavy, Some(band)) if band.least_m() > band.seen_below_m => {
            Says::SeenUnpredicted
        }
        (_, Some(_)) => Says::Agrees,
    }
}

/// All tips of some rotors, rotor by rotor, the gear face first.
#[must_use]
pub fn beside(
    rotors: &[(PartId, String)],
    marks: &[TipMark],
    predicted: Option<&Predicted>,
) -> Vec<TipBeside> {
    let mut all = Vec::with_capacity(rotors.len() * KeptFace::ALL.len() * TIPS);
    for (part, serial) in rotors {
        for face in KeptFace::ALL.iter().copied() {
            for tip in 1..=TIPS as i64 {
                let known =
                    |mark: &&TipMark| mark.part == *part && mark.face == face && mark.tip == tip;
                let mark = marks.iter().find(known).cloned();
                let contact = mark.as_ref().map_or(Mark::NotLookedAt, |mark| mark.contact);
                let at = usize::try_from(tip - 1).unwrap_or_default();
                let band = predicted.and_then(|all| all.band(serial, face_of(face), at));
                all.push(TipBeside {
                    part: *part,
                    serial: serial.clone(),
                    face,
                    tip,
                    says: says(band, contact),
                    predicted: band,
                    mark,
                });
            }
        }
    }
    all
}

/// How many tips say what: agree, touched unpredicted, predicted and untouched, not looked at.
#[must_use]
pub fn counted(tips: &[TipBeside]) -> [usize; 4] {
    let count = |says: Says| tips.iter().filter(|tip| tip.says == says).count();
    [Says::Agrees, Says::SeenUnpredicted, Says::PredictedUnseen, Says::NotLookedAt].map(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(gap_um: f64) -> GapBand {
        GapBand { gap_m: gap_um * 1e-6, u_m: 5e-6, seen_below_m: 2e-6 }
    }

    #[test]
    fn a_mark_within_the_band_agrees_whichever_way() {
        // Nine in ten within 8.2 µm of the gap; marks below 2 µm.
        for (gap_um, contact, wanted) in [
            (10.0, Mark::None, Says::Agrees),
            (10.0, Mark::Light, Says::Agrees),
            (11.0, Mark::Light, Says::SeenUnpredicted),
            (11.0, Mark::Heavy, Says::SeenUnpredicted),
            (11.0, Mark::None, Says::Agrees),
            (-6.0, Mark::None, Says::Agrees),
            (-7.0, Mark::None, Says::PredictedUnseen),
            (-7.0, Mark::Heavy, Says::Agrees),
            (-7.0, Mark::NotLookedAt, Says::NotLookedAt),
        ] {
            assert_eq!(says(Some(band(gap_um)), contact), wanted, "{gap_um} {contact}");
        }
        assert_eq!(says(None, Mark::Light), Says::NotPredicted);
        assert_eq!(says(None, Mark::NotLookedAt), Says::NotLookedAt);
    }

    #[test]
    fn every_tip_is_there_and_one_that_is_not_told_was_not_looked_at() {
        let mark = TipMark {
            part: PartId(3),
            face: KeptFace::Plain,
            tip: 2,
            contact: Mark::Heavy,
            place: None,
            rotor: None,
            wall: None,
            note: String::new(),
        };
        let rotors = [(PartId(3), "R-1".to_owned()), (PartId(4), "R-2".to_owned())];
        let all = beside(&rotors, std::slice::from_ref(&mark), None);
        assert_eq!(all.len(), 12);
        let told: Vec<_> = all.iter().filter(|tip| tip.mark.is_some()).collect();
        assert_eq!(told.len(), 1);
        assert_eq!((told[0].part, told[0].face, told[0].tip), (PartId(3), KeptFace::Plain, 2));
        assert_eq!(told[0].says, Says::NotPredicted);
        assert_eq!(counted(&all), [0, 0, 0, 11]);
    }
}
