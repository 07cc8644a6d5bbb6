//! What was predicted of a build when it came apart, as the shop's file keeps it for good.

use super::number::rounded;
use kernel::readings::{Face, TIPS};
use kernel::speed::engine::{GapTable, HEATS, RotorTips, TILTS, Taught, TipGaps};
use serde::{Deserialize, Serialize};

/// The form of the document that is written.
const FORMAT: u32 = 1;

/// The document.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct PredictionJson {
    format: u32,
    pub(crate) speed_rpm: f64,
    pub(crate) boost_bar: f64,
    /// Standard uncertainty of the logarithm of the lean, of the model itself.
    pub(crate) lean_u: f64,
    /// Whether the shaft was scaled from the engine's sizes.
    pub(crate) assumed_shaft: bool,
    /// What the shop's own builds had taught then; the gaps are without it.
    pub(crate) taught: Option<TaughtJson>,
    /// Scales of the lean that the rows of a gap are for.
    tilts: Vec<f64>,
    /// Scales of the rises that the values of a row are for.
    heats: Vec<f64>,
    rotors: Vec<RotorJson>,
    /// What was taken where the build said nothing.
    pub(crate) assumed: Vec<String>,
}

/// What a shop's builds had taught.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct TaughtJson {
    tilt: f64,
    heat: f64,
    seen_below_mm: f64,
    tilt_u: f64,
    heat_u: f64,
    seen_below_u_mm: f64,
    /// Correlations: tilt with heat, tilt with the gap, heat with the gap.
    together: [f64; 3],
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct RotorJson {
    rotor: String,
    /// Standard uncertainty that all its tips share.
    shared_mm: f64,
    tips: Vec<TipJson>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct TipJson {
    face: String,
    /// From 1.
    tip: usize,
    /// Standard uncertainty of its own.
    own_mm: f64,
    /// The least gap of a cycle: a row for each of `tilts`, in it a value for each of `heats`.
    gap_mm: Vec<Vec<f64>>,
}

/// What a document gives.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PredictionRead {
    pub(crate) document: PredictionJson,
    pub(crate) rotors: Vec<RotorTips>,
    pub(crate) taught: Option<Taught>,
}

const FACES: [(Face, &str); 2] = [(Face::Gear, "gear"), (Face::Plain, "plain")];

fn mm(m: f64) -> f64 {
    rounded(m * 1e3)
}

impl PredictionJson {
    pub(crate) fn of(
        rotors: &[RotorTips],
        (speed_rpm, boost_bar): (f64, f64),
        (lean_u, taught): (f64, Option<Taught>),
        (assumed_shaft, assumed): (bool, &[String]),
    ) -> Self {
        let face = |face: Face| {
            let known = FACES.iter().find(|(known, _)| *known == face);
            known.map_or("", |(_, word)| word).to_owned()
        };
        let tip = |tip: &TipGaps| TipJson {
            face: face(tip.face),
            tip: tip.tip + 1,
            own_mm: mm(tip.own_m),
            gap_mm: tip.gap.0.iter().map(|row| row.iter().map(|m| mm(*m)).collect()).collect(),
        };
        let rotor = |rotor: &RotorTips| RotorJson {
            rotor: rotor.serial.clone(),
            shared_mm: mm(rotor.shared_m),
            tips: rotor.tips.iter().map(tip).collect(),
        };
        let taught = taught.map(|taught| TaughtJson {
            tilt: taught.tilt,
            heat: taught.heat,
            seen_below_mm: mm(taught.seen_below_m),
            tilt_u: taught.u[0],
            heat_u: taught.u[1],
            seen_below_u_mm: mm(taught.u[2]),
            together: taught.together,
        });
        Self {
            format: FORMAT,
            speed_rpm: rounded(speed_rpm),
            boost_bar: rounded(boost_bar),
            lean_u,
            assumed_shaft,
            taught,
            tilts: TILTS.to_vec(),
            heats: HEATS.to_vec(),
            rotors: rotors.iter().map(rotor).collect(),
            assumed: assumed.to_vec(),
        }
    }

    /// Reads a document, of whatever scales it is.
    ///
    /// # Errors
    /// Why it cannot be read, in words.
    pub(crate) fn read(text: &str) -> Result<PredictionRead, String> {
        let document: Self = serde_json::from_str(text).map_err(|error| error.to_string())?;
        if document.format != FORMAT {
            return Err(format!("it is of form {}, and {FORMAT} is known", document.format));
        }
        let scales = Scales::of(&document)?;
        let rotors = document
            .rotors
            .iter()
            .map(|rotor| {
                let tips = rotor.tips.iter().map(|tip| tip_of(tip, &scales));
                Ok(RotorTips {
                    serial: rotor.rotor.clone(),
                    tips: tips.collect::<Result<_, String>>()?,
                    shared_m: rotor.shared_mm * 1e-3,
                })
            })
            .collect::<Result<_, String>>()?;
        let taught = document.taught.as_ref().map(|taught| Taught {
            tilt: taught.tilt,
            heat: taught.heat,
            seen_below_m: taught.seen_below_mm * 1e-3,
            u: [taught.tilt_u, taught.heat_u, taught.seen_below_u_mm * 1e-3],
            together: taught.together,
        });
        Ok(PredictionRead { rotors, taught, document })
    }
}

/// Scales of a document, each rising.
struct Scales<'d> {
    tilts: &'d [f64],
    heats: &'d [f64],
}

impl<'d> Scales<'d> {
    fn of(document: &'d PredictionJson) -> Result<Self, String> {
        let Self { tilts, heats } = Self { tilts: &document.tilts, heats: &document.heats };
        let rises =
            |scales: &[f64]| scales.len() > 1 && scales.windows(2).all(|pair| pair[0] < pair[1]);
        if rises(tilts) && rises(heats) {
            Ok(Self { tilts, heats })
        } else {
            Err("its scales do not rise".to_owned())
        }
    }

    /// A gap at two scales, straight between those of the document.
    fn at(&self, gap_mm: &[Vec<f64>], tilt: f64, heat: f64) -> f64 {
        let ((i, s), (j, h)) = (part(self.tilts, tilt), part(self.heats, heat));
        let along = |row: &[f64]| row[j] + h * (row[j + 1] - row[j]);
        let (low, high) = (along(&gap_mm[i]), along(&gap_mm[i + 1]));
        low + s * (high - low)
    }
}

/// In which part of a row of scales a value lies, and how far along.
fn part(scales: &[f64], value: f64) -> (usize, f64) {
    let after = scales.partition_point(|scale| *scale <= value).clamp(1, scales.len() - 1);
    let (low, high) = (scales[after - 1], scales[after]);
    (after - 1, (value - low) / (high - low))
}

fn tip_of(tip: &TipJson, scales: &Scales<'_>) -> Result<TipGaps, String> {
    let face = FACES.iter().find(|(_, word)| *word == tip.face);
    let (face, _) = face.ok_or_else(|| format!("it has a face {:?}", tip.face))?;
    if !(1..=TIPS).contains(&tip.tip) {
        return Err(format!("it has a tip {}", tip.tip));
    }
    let shaped = tip.gap_mm.len() == scales.tilts.len()
        && tip.gap_mm.iter().all(|row| row.len() == scales.heats.len());
    if !shaped {
        return Err("it has a gap of another shape than its scales".to_owned());
    }
    let same = scales.tilts == TILTS && scales.heats == HEATS;
    let row = |i: usize| {
        std::array::from_fn(|j| {
            // Where the scales are this program's, to the last bit as they were kept.
            let mm =
                if same { tip.gap_mm[i][j] } else { scales.at(&tip.gap_mm, TILTS[i], HEATS[j]) };
            mm * 1e-3
        })
    };
    Ok(TipGaps {
        tip: tip.tip - 1,
        face: *face,
        gap: GapTable(std::array::from_fn(row)),
        own_m: tip.own_mm * 1e-3,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rotors() -> Vec<RotorTips> {
        let gap = |tilt: f64, heat: f64| 60e-6 - 20e-6 * tilt - 15e-6 * heat;
        let table = GapTable(TILTS.map(|tilt| HEATS.map(|heat| gap(tilt, heat))));
        let tip = |tip, face| TipGaps { tip, face, gap: table, own_m: 2.5e-6 };
        vec![RotorTips {
            serial: "R-114".to_owned(),
            tips: vec![tip(0, Face::Gear), tip(2, Face::Plain)],
            shared_m: 9e-6,
        }]
    }

    const TAUGHT: Taught = Taught {
        tilt: 1.2,
        heat: 0.9,
        seen_below_m: 5e-6,
        u: [0.1, 0.2, 4e-6],
        together: [-0.6, 0.3, 0.2],
    };

    fn document() -> PredictionJson {
        PredictionJson::of(
            &rotors(),
            (9300.0, 0.9),
            (0.3, Some(TAUGHT)),
            (true, &["a shaft".to_owned()]),
        )
    }

    fn same(read: &RotorTips, was: &RotorTips) {
        assert_eq!(read.serial, was.serial);
        assert!((read.shared_m - was.shared_m).abs() < 1e-12);
        assert_eq!(read.tips.len(), was.tips.len());
        for (read, was) in read.tips.iter().zip(&was.tips) {
            assert_eq!((read.tip, read.face), (was.tip, was.face));
            for (tilt, heat) in [(0.0, 0.0), (1.0, 1.0), (1.2, 0.9), (3.0, 2.0)] {
                // Kept to a picometre.
                let off = read.gap.at(tilt, heat) - was.gap.at(tilt, heat);
                assert!(off.abs() < 2e-12, "{off}");
            }
        }
    }

    #[test]
    fn a_document_gives_back_what_it_was_made_of() {
        let text = serde_json::to_string(&document()).unwrap();
        let read = PredictionJson::read(&text).unwrap();
        same(&read.rotors[0], &rotors()[0]);
        assert_eq!(read.document, document());
        let taught = read.taught.unwrap();
        assert!((taught.seen_below_m - 5e-6).abs() < 1e-15);
        assert_eq!((taught.tilt, taught.together), (1.2, TAUGHT.together));
        // What was read is written as it was.
        let again =
            PredictionJson::of(&read.rotors, (9300.0, 0.9), (0.3, read.taught), (true, &[]));
        assert_eq!(again.rotors, document().rotors);
    }

    /// A later program may look at other scales; what this one made is read by it all the same.
    #[test]
    fn other_scales_are_read_too() {
        let mut other = document();
        other.tilts = vec![0.0, 1.0, 4.0];
        other.heats = vec![0.0, 3.0];
        let gap = |tilt: f64, heat: f64| 0.06 - 0.02 * tilt - 0.015 * heat;
        for tip in &mut other.rotors[0].tips {
            let rows = other.tilts.iter();
            let rows = rows.map(|t| other.heats.iter().map(|h| gap(*t, *h)).collect());
            tip.gap_mm = rows.collect();
        }
        let text = serde_json::to_string(&other).unwrap();
        same(&PredictionJson::read(&text).unwrap().rotors[0], &rotors()[0]);
    }

    #[test]
    fn what_is_no_prediction_is_told() {
        let told = |change: fn(&mut PredictionJson)| {
            let mut wrong = document();
            change(&mut wrong);
            PredictionJson::read(&serde_json::to_string(&wrong).unwrap()).unwrap_err()
        };
        assert_eq!(told(|wrong| wrong.format = 2), "it is of form 2, and 1 is known");
        assert_eq!(told(|wrong| wrong.tilts[1] = 0.0), "its scales do not rise");
        assert_eq!(told(|wrong| wrong.heats.truncate(1)), "its scales do not rise");
        assert_eq!(told(|wrong| wrong.rotors[0].tips[0].tip = 0), "it has a tip 0");
        assert_eq!(told(|wrong| wrong.rotors[0].tips[0].face.clear()), "it has a face \"\"");
        let cut = |wrong: &mut PredictionJson| wrong.rotors[0].tips[0].gap_mm[2].truncate(2);
        assert_eq!(told(cut), "it has a gap of another shape than its scales");
        assert!(PredictionJson::read("{}").unwrap_err().contains("missing field"));
    }
}
