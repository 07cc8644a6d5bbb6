//! What is predicted of a signed build for the highest speed and boost that it saw: each tip's gap,
//! by how much more it leans and heats, with what is uncertain of it.

use super::super::inputs::{SpeedCall, taught};
use super::super::plan::plan;
use super::super::speed::engine;
use crate::build_file::Build;
use crate::wire::{PredictionJson, PredictionRead};
use kernel::readings::Face;
use kernel::speed::engine::{LEAST_MODEL_ERROR, RotorTips, Running, Taught, TipGaps};
use kernel::units::{GaugePressure, Speed, System};

/// Standard deviations to both ends of a band of nine in ten [AS, table 26.5].
const NINE_IN_TEN: f64 = 1.644_853_6;

/// A prediction.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// For this speed.
    pub speed: Speed,
    /// For this boost.
    pub boost: GaugePressure,
    /// Of each rotor, its tips that have metal opposite.
    pub rotors: Vec<RotorTips>,
    /// Standard uncertainty of the logarithm of the lean, of the model itself.
    pub lean_u: f64,
    /// What the shop's own builds had taught when it was made; nothing where they had not.
    pub taught: Option<Taught>,
    /// Whether the shaft was scaled from the engine's sizes.
    pub assumed_shaft: bool,
    /// What was taken where the build said nothing.
    pub assumed: Vec<String>,
}

/// What is left of a tip's gap, with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapBand {
    /// The gap, m; negative: the tip would touch before the land.
    pub gap_m: f64,
    /// Its standard uncertainty, m, the model's own in it.
    pub u_m: f64,
    /// A tip leaves marks where less than this is left, m.
    pub seen_below_m: f64,
}

impl GapBand {
    /// The least of the band: the gap is less in one case of twenty.
    #[must_use]
    pub fn least_m(&self) -> f64 {
        self.gap_m - NINE_IN_TEN * self.u_m
    }

    /// The most of the band, likewise.
    #[must_use]
    pub fn most_m(&self) -> f64 {
        self.gap_m + NINE_IN_TEN * self.u_m
    }
}

impl Predicted {
    /// Predicts a build at a speed and a boost. Its rotors are as they were measured after the cut,
    /// or as they were planned.
    ///
    /// # Errors
    /// Why there is nothing to predict it from, in words.
    pub fn of(
        build: &Build,
        speed: Speed,
        boost: GaugePressure,
        first: System,
    ) -> Result<Self, String> {
        // Gaps are by scales of what is computed: without what the spec says was taught.
        let given = build.spec.calibration.as_ref().map(taught);
        let mut untaught = build.clone();
        untaught.spec.calibration = None;
        let build = &untaught;
        let plan = plan(build, first).map_err(|error| error.to_string())?;
        let call = SpeedCall { speed: Some(speed), boost: Some(boost), ..SpeedCall::default() };
        let (inputs, engine) =
            engine(build, &plan, &call, first).map_err(|error| error.to_string())?;
        let running = Running { omega_rad_s: speed.to_rad_per_s(), boost_pa: boost.to_pa() };
        let rotors =
            engine.tip_gaps(running, &inputs.uncertainty).map_err(|error| error.to_string())?;
        let mut assumed = plan.assumed.clone();
        assumed.extend(inputs.assumed.sentences().iter().cloned());
        Ok(Self {
            speed,
            boost,
            rotors,
            lean_u: given.map_or(LEAST_MODEL_ERROR, |taught| taught.u[0]),
            taught: given,
            assumed_shaft: inputs.assumed_shaft,
            assumed,
        })
    }

    /// As the shop's file keeps it.
    #[must_use]
    pub fn document(&self) -> String {
        let json = PredictionJson::of(
            &self.rotors,
            (self.speed.to_rpm(), self.boost.to_bar()),
            (self.lean_u, self.taught),
            (self.assumed_shaft, &self.assumed),
        );
        serde_json::json!(json).to_string()
    }

    /// From what the shop's file keeps.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub fn read(document: &str) -> Result<Self, String> {
        let PredictionRead { document, rotors, taught } = PredictionJson::read(document)?;
        Ok(Self {
            speed: Speed::rpm(document.speed_rpm),
            boost: GaugePressure::bar(document.boost_bar),
            rotors,
            lean_u: document.lean_u,
            taught,
            assumed_shaft: document.assumed_shaft,
            assumed: document.assumed,
        })
    }

    /// A tip of a rotor, where it has metal opposite.
    #[must_use]
    pub fn tip(&self, serial: &str, face: Face, tip: usize) -> Option<(&RotorTips, &TipGaps)> {
        let rotor = self.rotors.iter().find(|rotor| rotor.serial == serial)?;
        let tip = rotor.tips.iter().find(|known| known.face == face && known.tip == tip)?;
        Some((rotor, tip))
    }

    /// What is left of its gap, with what was taught by then.
    #[must_use]
    pub fn band(&self, serial: &str, face: Face, tip: usize) -> Option<GapBand> {
        let (rotor, tip) = self.tip(serial, face, tip)?;
        let (tilt, heat) = self.taught.map_or((1.0, 1.0), |taught| (taught.tilt, taught.heat));
        let heat_u = self.taught.map_or(0.0, |taught| taught.u[1]);
        let [seen_below_m, seen_u_m] =
            self.taught.map_or([0.0; 2], |taught| [taught.seen_below_m, taught.u[2]]);
        // Half of what a standard deviation of each scale, up and down, makes of the gap.
        let by = |more: [f64; 2]| tip.gap.at(tilt * more[0], heat * more[1]);
        let [lean, rise] = [self.lean_u.exp(), heat_u.exp()];
        let lean_m = 0.5 * (by([1.0 / lean, 1.0]) - by([lean, 1.0]));
        let rise_m = 0.5 * (by([1.0, 1.0 / rise]) - by([1.0, rise]));
        let together = self.taught.map_or(0.0, |taught| taught.together[0]);
        let both = 2.0 * together * lean_m * rise_m;
        let scales = (lean_m * lean_m + rise_m * rise_m + both).max(0.0);
        let others = [tip.own_m, rotor.shared_m, seen_u_m].map(|u| u * u).iter().sum::<f64>();
        Some(GapBand { gap_m: tip.gap.at(tilt, heat), u_m: (scales + others).sqrt(), seen_below_m })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kernel::speed::engine::{GapTable, HEATS, TILTS};

    fn predicted(taught: Option<Taught>) -> Predicted {
        let gap = |tilt: f64, heat: f64| 60e-6 - 20e-6 * tilt - 15e-6 * heat;
        Predicted {
            speed: Speed::rpm(9300.0),
            boost: GaugePressure::bar(0.9),
            rotors: vec![RotorTips {
                serial: "R-1".to_owned(),
                tips: vec![TipGaps {
                    tip: 1,
                    face: Face::Gear,
                    gap: GapTable(TILTS.map(|tilt| HEATS.map(|heat| gap(tilt, heat)))),
                    own_m: 3e-6,
                }],
                shared_m: 4e-6,
            }],
            lean_u: taught.map_or(0.3, |taught| taught.u[0]),
            taught,
            assumed_shaft: false,
            assumed: vec!["a mass".to_owned()],
        }
    }

    #[test]
    fn a_band_adds_up_what_is_uncertain() {
        let band = predicted(None).band("R-1", Face::Gear, 1).unwrap();
        assert!((band.gap_m - 25e-6).abs() < 1e-15);
        // 20 µm of lean, a factor of e^0.3 up and down: 20 sinh 0.3.
        let lean = 20e-6 * 0.3_f64.sinh();
        let u = (lean * lean + 9e-12 + 16e-12_f64).sqrt();
        assert!((band.u_m - u).abs() < 1e-15);
        assert!((band.most_m() - band.gap_m - 1.644_853_6 * u).abs() < 1e-15);
        assert_eq!(band.seen_below_m, 0.0);
        assert_eq!(predicted(None).band("R-1", Face::Plain, 1), None);
        assert_eq!(predicted(None).band("R-2", Face::Gear, 1), None);
    }

    #[test]
    fn what_was_taught_moves_the_gap_and_narrows_its_band() {
        let taught = Taught {
            tilt: 1.5,
            heat: 0.8,
            seen_below_m: 6e-6,
            u: [0.1, 0.05, 2e-6],
            together: [-0.5, 0.0, 0.0],
        };
        let band = predicted(Some(taught)).band("R-1", Face::Gear, 1).unwrap();
        assert!((band.gap_m - (60e-6 - 30e-6 - 12e-6)).abs() < 1e-15);
        let (lean, rise) = (30e-6 * 0.1_f64.sinh(), 12e-6 * 0.05_f64.sinh());
        let scales = lean * lean + rise * rise - lean * rise;
        let u = (scales + 9e-12 + 16e-12 + 4e-12_f64).sqrt();
        assert!((band.u_m - u).abs() < 1e-15, "{} {u}", band.u_m);
        assert_eq!(band.seen_below_m, 6e-6);
    }

    #[test]
    fn it_comes_back_from_the_shops_file() {
        let was = predicted(None);
        let read = Predicted::read(&was.document()).unwrap();
        assert_eq!(read.assumed, was.assumed);
        assert!((read.speed.to_rpm() - 9300.0).abs() < 1e-9);
        let [read, was] = [&read, &was].map(|p| p.band("R-1", Face::Gear, 1).unwrap());
        assert!((read.gap_m - was.gap_m).abs() < 2e-12 && (read.u_m - was.u_m).abs() < 2e-12);
    }
}
