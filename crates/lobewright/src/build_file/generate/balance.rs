//! What balancing depends on, for tests.

use super::Maker;
use crate::build_file::limits::{self as common, balance as limits};
use crate::build_file::model::balance::{
    Amplitude, BalanceRotor, Carried, CarriedOil, CorrectionPlane, Counted, How, Instrument,
    MandrelReading, MeasuredUnbalance, Phase, Place, Pocket, RollerReading, Run, SensorReading,
    Shown, Spot,
};
use crate::build_file::model::{AtSpeed, BUILT_IN, Balance, Engine, Material, Rotor, Weight};
use kernel::balance::Grade;
use kernel::units::{Density, Length, Unbalance};
use std::collections::BTreeMap;

impl Maker {
    /// Some of what a list can hold, each made with its number.
    fn several<T>(&mut self, below: u64, make: impl Fn(&mut Self, usize) -> T) -> Vec<T> {
        (0..self.below(below)).map(|i| make(self, i)).collect()
    }

    pub(super) fn balance(
        &mut self,
        engine: &Engine,
        rotors: &[Rotor],
        at_speed: &AtSpeed,
        own: &BTreeMap<String, Material>,
    ) -> Balance {
        let shaft = at_speed.shaft.as_ref();
        let length = shaft.map_or(Length::mm(6000.0), |shaft| shaft.length().min(Length::m(6.0)));
        let weights = shaft.map_or(&[][..], |shaft| &shaft.weights[..]);
        // All planes in order: the front one in the front half.
        let front_at = self.between(Length::ZERO, length * 0.45);
        let rear_at = self.between(length * 0.5, length);
        let [front_weight, rear_weight] = self.weights(weights);
        // Both planes by their place, or both by their weight.
        let placed = self.below(2) == 0;
        let mut plane = |at: Length, weight: Option<String>, part: f64| {
            self.maybe(|m| {
                let at = placed.then_some(at);
                let anywhere = (length * part).min(length);
                m.plane(at, weight, anywhere, own)
            })
        };
        let front = plane(front_at, front_weight, 0.3);
        let rear = plane(rear_at, rear_weight, 1.0);
        Balance {
            grade: self.maybe(Self::grade),
            rotor_grade: self.maybe(Self::grade),
            speed: self.maybe(|m| m.any(&common::SPEED)),
            matching: self.maybe(|m| m.any(&limits::MATCH)),
            scale_u: self.maybe(|m| m.any(&limits::SCALE_U)),
            mass: self.maybe(|m| m.any(&limits::SPUN_MASS)),
            tolerance_planes: self.maybe(|_| [front_at, rear_at]),
            journal_unbalance: self.maybe(|m| m.any(&limits::SHOWN)),
            bob_weights: self
                .maybe(|m| (0..rotors.len()).map(|_| m.any(&limits::BOB_WEIGHT)).collect()),
            instrument: self.instrument(),
            carried: self.several(5, |m, i| m.carried(i, rotors)),
            oil: self.maybe(|m| CarriedOil {
                amount: m.any(&limits::OIL),
                angle: m.maybe(|m| m.any(&limits::OIL_ANGLE)),
                offset: m.maybe(|m| m.offset(rotors)),
            }),
            rotors: {
                let some = rotors.iter().filter(|_| self.below(2) == 0).collect::<Vec<_>>();
                some.into_iter().map(|rotor| self.balance_rotor(rotor)).collect()
            },
            pockets: self.several(4, |m, i| Pocket {
                name: format!("{i}.{}", m.name()),
                angle: m.any(&limits::ROTOR_ANGLE),
                radius: m.between(Length::mm(1.0), engine.generating_radius * 0.99),
                offset: m.maybe(|m| m.offset(rotors)),
                most: m.any(&limits::POCKET_MOST),
            }),
            front,
            rear,
            measured: self.maybe(Self::measured),
            after: self.maybe(Self::measured),
            runs: self.runs(),
        }
    }

    fn grade(&mut self) -> Grade {
        let number = self.share(&limits::GRADE);
        Grade::mm_per_s(number).unwrap()
    }

    fn instrument(&mut self) -> Instrument {
        let one = |m: &mut Self| m.below(2) == 0;
        Instrument {
            spot: self.maybe(|m| if one(m) { Spot::Heavy } else { Spot::Light }),
            angles: self
                .maybe(|m| if one(m) { Counted::WithRotation } else { Counted::AgainstRotation }),
            phase: self.maybe(|m| if one(m) { Phase::Lag } else { Phase::Lead }),
            zero: self.maybe(|m| m.any(&limits::ZERO)),
            u: self.maybe(|m| m.any(&limits::SHOWN_U)),
            u_share: self.maybe(|m| m.share(&limits::U_SHARE)),
            vibration_u: self.maybe(|m| m.share(&limits::VIBRATION_U)),
            speed: self.maybe(|m| m.any(&common::SPEED)),
        }
    }

    /// Between the faces of the narrowest of some rotors.
    fn offset(&mut self, rotors: &[Rotor]) -> Length {
        let widest =
            |rotor: &Rotor| rotor.readings.land_width.into_iter().fold(Length::ZERO, Length::max);
        let narrowest = rotors.iter().map(widest).fold(Length::mm(250.0), Length::min);
        self.between(narrowest * -0.49, narrowest * 0.49)
    }

    fn carried(&mut self, i: usize, rotors: &[Rotor]) -> Carried {
        let rotor = self.maybe(|m| &rotors[m.below(rotors.len() as u64)]);
        let one_or_all = rotor.map_or(rotors, std::slice::from_ref);
        Carried {
            name: format!("{i}.{}", self.name()),
            mass: self.any(&limits::CARRIED),
            offset: self.maybe(|m| m.offset(one_or_all)),
            rotor: rotor.map(|rotor| rotor.serial.clone()),
            with_rotor: self.below(2) == 0,
        }
    }

    fn balance_rotor(&mut self, rotor: &Rotor) -> BalanceRotor {
        let rollers = if self.below(2) == 0 { 0 } else { 3 + self.below(4) };
        BalanceRotor {
            serial: rotor.serial.clone(),
            after_cut: self.maybe(|m| rotor.after.is_some() && m.below(2) == 0),
            mass_centre: self.maybe(|m| m.offset(std::slice::from_ref(rotor))),
            mass_centre_u: self.maybe(|m| m.any(&limits::MASS_CENTRE_U)),
            mandrel: self.several(4, |m, _| MandrelReading {
                turned: m.any(&limits::TURNED),
                amount: m.any(&limits::SHOWN),
                angle: m.any(&limits::TURNED),
            }),
            rollers: (0..rollers)
                .map(|_| RollerReading {
                    at: self.any(&limits::ROTOR_ANGLE),
                    mass: self.any(&limits::ROLLER),
                })
                .collect(),
            arm: (rollers > 0).then(|| self.any(&limits::ARM)),
        }
    }

    /// Names of two weights of which the second is behind the first; one or none where there are
    /// no two.
    fn weights(&mut self, weights: &[Weight]) -> [Option<String>; 2] {
        let Some(front) = weights.iter().min_by(|a, b| a.at.partial_cmp(&b.at).unwrap()) else {
            return [None, None];
        };
        let rear = weights.iter().find(|weight| weight.at > front.at);
        [self.maybe(|_| front.name.clone()), rear.map(|rear| rear.name.clone())]
    }

    fn plane(
        &mut self,
        at: Option<Length>,
        weight: Option<String>,
        face: Length,
        own: &BTreeMap<String, Material>,
    ) -> CorrectionPlane {
        let named = |(name, material): (&str, &Material)| (name.to_owned(), material.density);
        let materials: Vec<_> = (BUILT_IN.iter().map(|(name, m)| named((name, m))))
            .chain(own.iter().map(|(name, m)| named((name, m))))
            .collect();
        let material = self.maybe(|m| materials[m.below(materials.len() as u64)].clone());
        let places = self.several(4, |m, _| m.place(face));
        let drilled = places.iter().any(|place| place.how.is_drilled());
        let slugs = places.iter().any(|place| place.how == How::Slug);
        let least = material.as_ref().map_or(1000.0, |(_, density)| density.to_kg_per_m3());
        let slug = Density::kg_per_m3(least * 1.01 + (22_900.0 - least * 1.01) * self.part());
        let drills = if drilled { 1 } else { self.below(2) } * (1 + self.below(12));
        CorrectionPlane {
            weight,
            at,
            material: material.map(|(name, _)| name),
            drills: (0..drills).map(|_| self.any(&limits::DRILL)).collect(),
            point_angle: self.maybe(|m| m.any(&limits::POINT_ANGLE)),
            least_depth: self.maybe(|m| m.any(&limits::LEAST_DEPTH)),
            depth_step: self.maybe(|m| m.any(&limits::DEPTH_STEP)),
            between: self.maybe(|m| m.any(&limits::WALL)),
            to_edge: self.maybe(|m| m.any(&limits::WALL)),
            slug_density: (slugs || self.below(2) == 0).then_some(slug),
            places,
        }
    }

    fn place(&mut self, face: Length) -> Place {
        let how = How::ALL[self.below(5)];
        let radius = self.any(&limits::PLACE_RADIUS);
        let along = matches!(how, How::FaceHole | How::Slug);
        let most = if along { Length::mm(300.0) } else { (radius * 0.99).min(Length::mm(300.0)) };
        Place {
            how,
            angles: (0..=self.below(6)).map(|_| self.any(&limits::SHAFT_ANGLE)).collect(),
            radius,
            deepest: (how != How::Added)
                .then(|| self.between(Length::mm(0.1).max(most * 0.01), most)),
            edge: self.maybe(|m| m.any(&limits::EDGE)).filter(|_| how.is_drilled()),
            face_at: self.maybe(|_| face).filter(|_| along),
            width: (how == How::Flat).then(|| self.any(&limits::FLAT_WIDTH)),
            masses: if how == How::Added {
                (0..=self.below(12)).map(|_| self.any(&limits::ADDED)).collect()
            } else {
                Vec::new()
            },
        }
    }

    fn shown(&mut self) -> Shown {
        Shown { amount: self.any(&limits::SHOWN), angle: self.any(&limits::SHOWN_ANGLE) }
    }

    fn measured(&mut self) -> MeasuredUnbalance {
        MeasuredUnbalance { front: self.shown(), rear: self.shown() }
    }

    fn trial(&mut self) -> Shown {
        let shown = self.shown();
        Shown { amount: shown.amount.max(Unbalance::g_mm(1.0)), ..shown }
    }

    /// Runs with the same sensors, each of one kind throughout, in any order.
    fn runs(&mut self) -> Vec<Run> {
        let sensors: Vec<(String, bool)> = (0..=self.below(4))
            .map(|i| (format!("{i}.{}", self.name()), self.below(2) == 0))
            .collect();
        self.several(5, |m, i| {
            let after_correction = m.below(4) == 0;
            let trial = |m: &mut Self| m.maybe(Self::trial).filter(|_| !after_correction);
            Run {
                after_correction,
                speed: m.any(&common::SPEED),
                front: trial(m),
                rear: trial(m),
                sensors: (0..sensors.len())
                    .map(|k| {
                        let (name, moves) = &sensors[(k + i) % sensors.len()];
                        SensorReading {
                            name: name.clone(),
                            amplitude: if *moves {
                                Amplitude::Displacement(m.any(&limits::AMPLITUDE))
                            } else {
                                Amplitude::Velocity(m.any(&limits::VELOCITY))
                            },
                            phase: m.any(&limits::PHASE),
                        }
                    })
                    .collect(),
            }
        })
    }
}
