//! Builds for tests, made from the rows of `limits`: any that the reader must accept.

mod assembly;
mod balance;
mod condition;
mod machine_tool;
mod speed;

use super::limits::{self, Limit};
use super::model::{
    Aim, ApexSeal, AtTips, BUILT_IN_MATERIALS, Between, Build, Clamping, CornerSeal, Duty, Engine,
    Gauge, Heat, Housing, Machine, Material, OilSeal, Outside, Port, Rises, Rotor, RotorReadings,
    SealLimits, Seals, SideHousing, SideSeal, Spec, Taper, Way, Wear,
};
use kernel::condition::{Counts, Part};
use kernel::units::{Angle, Length, Quantity};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Any build, from a seed.
pub(crate) fn any_build() -> impl Strategy<Value = Build> {
    any::<u64>().prop_map(sample)
}

/// The build of a seed.
pub(crate) fn sample(seed: u64) -> Build {
    Maker(seed).build()
}

/// A splitmix64 generator with what it makes.
struct Maker(u64);

impl Maker {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u64) -> usize {
        usize::try_from(self.next() % n).unwrap()
    }

    /// From 0 to 1, now and then one of the two.
    fn part(&mut self) -> f64 {
        match self.below(20) {
            0 => 0.0,
            1 => 1.0,
            _ => (self.next() >> 11) as f64 / (1u64 << 53) as f64,
        }
    }

    fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        (self.below(2) == 0).then(|| make(self))
    }

    /// Anything inside a row's limits: any bits, or a short decimal as a gauge shows it.
    fn any<Q: Quantity>(&mut self, limit: &Limit<Q>) -> Q {
        loop {
            let part = self.part();
            let value = limit.least * (1.0 - part) + limit.most * part;
            let decimals = if self.below(2) == 0 { 3 } else { 17 };
            let made = Q::parse(&format!("{value:.decimals$} {}", limit.unit)).unwrap();
            if limit.broken_by(made).is_none() {
                return made;
            }
        }
    }

    fn between(&mut self, least: Length, most: Length) -> Length {
        let part = self.part();
        (least * (1.0 - part) + most * part).max(least).min(most)
    }

    fn name(&mut self) -> String {
        const PIECES: [&str; 16] = [
            "R",
            "-",
            "114",
            "\"",
            "\\",
            "'",
            "#",
            ".",
            "Häher",
            "=",
            "]",
            " x",
            "\u{1f6a4}",
            "\u{b5}",
            "[[rotor]]",
            "\u{2028}|",
        ];
        let count = 1 + self.below(6);
        let mut name = String::from("n");
        for _ in 0..count {
            name.push_str(PIECES[self.below(16)]);
        }
        name
    }

    fn build(&mut self) -> Build {
        let count = 1 + self.below(6);
        let materials: BTreeMap<_, _> = (0..self.below(3))
            .map(|_| {
                let material = Material {
                    expansion: self.any(&limits::EXPANSION),
                    density: self.any(&limits::DENSITY),
                    young: self.maybe(|m| m.any(&limits::speed::YOUNG)),
                    poisson: self.maybe(|m| m.share(&limits::speed::POISSON)),
                };
                (self.name(), material)
            })
            .collect();
        let gauges: BTreeMap<_, _> =
            (0..self.below(4)).map(|_| (self.name(), self.gauge())).collect();
        let names: Vec<String> = gauges.keys().cloned().collect();
        let engine = self.engine(&materials);
        let sides = if self.below(2) == 0 { 0 } else { count + 1 };
        let rotors: Vec<_> = (0..count).map(|i| self.rotor(i, &names)).collect();
        let at_speed = self.at_speed(&engine, &rotors, &materials);
        let balance = self.maybe(|m| m.balance(&engine, &rotors, &at_speed, &materials));
        let assembly = self.maybe(Self::assembly).unwrap_or_default();
        let assembled = self.assembled(count, &names);
        let housings: Vec<_> = (0..count).map(|i| self.housing(i, &names)).collect();
        let side_housings: Vec<_> = (0..sides).map(|i| self.side_housing(i, &engine)).collect();
        let condition = self.maybe(Self::condition).unwrap_or_default();
        let of = [
            (Part::RotorHousing, housings.iter().map(|h| h.serial.clone()).collect()),
            (Part::SideHousing, side_housings.iter().map(|h| h.serial.clone()).collect()),
            (Part::Rotor, rotors.iter().map(|r: &Rotor| r.serial.clone()).collect()),
            (Part::Shaft, vec![self.name()]),
            (Part::StationaryGear, vec!["SG-1".to_owned(), "SG-2".to_owned()]),
            (Part::Bearing, vec![self.name()]),
            (Part::Seals, vec![self.name()]),
        ];
        let counts = Counts { rotors: count, mains: count + 1 };
        let inspected = self.inspected(&of, counts, &names);
        Build {
            name: self.name(),
            duty: self.duty(),
            materials,
            gauges,
            machine: self.maybe(|m| Machine {
                capability: m.any(&limits::CAPABILITY),
                least_cut: m.any(&limits::LEAST_CUT),
            }),
            machine_tools: (0..self.below(3)).map(|_| (self.name(), self.machine_tool())).collect(),
            housings,
            side_housings,
            rotors,
            spec: self.spec(count, &engine),
            seals: self.seals(&engine),
            at_speed,
            balance: balance.unwrap_or_default(),
            assembly,
            assembled,
            condition,
            inspected,
            engine,
        }
    }

    fn duty(&mut self) -> Duty {
        Duty {
            speed: self.maybe(|m| m.any(&limits::SPEED)),
            boost: self.maybe(|m| m.any(&limits::BOOST)),
            running: self.maybe(|m| m.any(&limits::RUNNING)),
            heat: Heat {
                warming: self.maybe(Self::rises),
                steady: self.maybe(Self::rises),
                soak: self.maybe(Self::rises),
            },
        }
    }

    fn rises(&mut self) -> Rises {
        Rises {
            housing: self.any(&limits::RISE),
            hot_arc: self.any(&limits::RISE),
            land: self.any(&limits::RISE),
            tip: self.any(&limits::RISE),
        }
    }

    fn engine(&mut self, own: &BTreeMap<String, Material>) -> Engine {
        let generating_radius = self.any(&limits::GENERATING_RADIUS);
        let most_eccentric = (generating_radius / 4.01).min(Length::mm(60.0));
        let eccentricity = self.between(Length::mm(3.0), most_eccentric);
        let parallel_shift = self.any(&limits::PARALLEL_SHIFT);
        // At the far end of both, the sum is a last bit more than the row of the tips allows.
        let most_mm = format!("{} mm", limits::ROTOR_TIP_RADIUS.most);
        let outermost = (generating_radius + parallel_shift).min(Length::parse(&most_mm).unwrap());
        let rotor_tip_radius = self.between(outermost * 0.9, outermost);
        let land_radius = self.between(rotor_tip_radius * 0.5, rotor_tip_radius * 0.8);
        let material = |m: &mut Self| {
            let names: Vec<&str> =
                BUILT_IN_MATERIALS.into_iter().chain(own.keys().map(String::as_str)).collect();
            names[m.below(names.len() as u64)].to_owned()
        };
        Engine {
            generating_radius,
            eccentricity,
            parallel_shift,
            land_radius,
            land_inner_radius: self.maybe(|m| m.between(land_radius * 0.5, land_radius * 0.95)),
            rotor_tip_radius,
            reading_radius: self.maybe(|m| m.between(land_radius * 1.01, rotor_tip_radius)),
            gear_recess: self.maybe(|m| m.any(&limits::RECESS)),
            bearing_recess: self.maybe(|m| m.any(&limits::RECESS)),
            treated_layer: self.maybe(|m| m.any(&limits::LAYER)),
            lead_in: self.maybe(|m| m.any(&limits::LAYER)),
            rotor_material: material(self),
            housing_material: material(self),
        }
    }

    fn gauge(&mut self) -> Gauge {
        Gauge {
            repeat: self.any(&limits::REPEAT),
            zero: self.maybe(|m| m.any(&limits::ZERO)),
            temperature: self.maybe(|m| m.any(&limits::TEMPERATURE)),
            expansion: self.maybe(|m| m.any(&limits::EXPANSION)),
            calibration_due: self.maybe(|m| {
                format!("20{:02}-{:02}-{:02}", m.below(100), 1 + m.below(12), 1 + m.below(28))
            }),
        }
    }

    fn gauge_name(&mut self, gauges: &[String]) -> Option<String> {
        if gauges.is_empty() {
            return None;
        }
        self.maybe(|m| gauges[m.below(gauges.len() as u64)].clone())
    }

    fn housing(&mut self, i: usize, gauges: &[String]) -> Housing {
        let width = self.between(Length::mm(21.0), Length::mm(249.0));
        let apart = Length::mm(0.99);
        Housing {
            serial: format!("H-{i} {}", self.name()),
            state: if self.below(2) == 0 {
                Clamping::Clamped
            } else {
                Clamping::Free {
                    clamp_up: self.any(&limits::CLAMP_UP),
                    clamp_up_u: self.any(&limits::CLAMP_UP_U),
                }
            },
            width: (0..1 + self.below(24))
                .map(|_| self.between(width - apart, width + apart))
                .collect(),
            gauge: self.gauge_name(gauges),
            temperature: self.maybe(|m| m.any(&limits::TEMPERATURE)),
            temperature_u: self.maybe(|m| m.any(&limits::TEMPERATURE_U)),
        }
    }

    fn wear(&mut self) -> Wear {
        if self.below(2) == 0 {
            Wear::Both(self.any(&limits::WEAR))
        } else {
            Wear::Each { front: self.any(&limits::WEAR), rear: self.any(&limits::WEAR) }
        }
    }

    fn side_housing(&mut self, i: usize, engine: &Engine) -> SideHousing {
        SideHousing {
            serial: format!("S-{i}"),
            land_wear: self.wear(),
            tip_wear: self.wear(),
            central_bore: self.central_bore(engine),
            ports: (0..self.below(3)).map(|_| (self.name(), self.port())).collect(),
        }
    }

    /// A hole that ends before the lands' track does; none where no allowed hole is that small.
    fn central_bore(&mut self, engine: &Engine) -> Option<Length> {
        let most = engine.land_radius - engine.eccentricity;
        let bore = self.maybe(|m| m.between(most * 0.2, most))?;
        limits::CENTRAL_BORE.broken_by(bore).is_none().then_some(bore)
    }

    /// A radius of a seal between two others that the limits allow.
    fn seal_radius(&mut self, least: Length, most: Length) -> Option<Length> {
        let radius = self.maybe(|m| m.between(least, most))?;
        limits::SEAL_RADIUS.broken_by(radius).is_none().then_some(radius)
    }

    fn port(&mut self) -> Port {
        let (a, b) = (self.any(&limits::PORT_RADIUS), self.any(&limits::PORT_RADIUS));
        let angle = self.any(&limits::PORT_ANGLE);
        Port {
            face: if self.below(2) == 0 { Way::Front } else { Way::Rear },
            radius_from: a.min(b) * 0.5,
            radius_to: a.max(b).max(Length::mm(1.0)),
            angle_from: angle,
            angle_to: if angle.to_deg() < 0.0 {
                angle + Angle::deg(40.0)
            } else {
                angle - Angle::deg(300.0)
            },
        }
    }

    fn at_tips(&mut self, limit: &Limit<Length>) -> AtTips {
        std::array::from_fn(|_| self.any(limit))
    }

    fn rotor(&mut self, i: usize, gauges: &[String]) -> Rotor {
        Rotor {
            serial: format!("R.{i}{}", self.name()),
            gear_face: if self.below(2) == 0 { Way::Front } else { Way::Rear },
            readings: self.readings(),
            width_gauge: self.gauge_name(gauges),
            step_gauge: self.gauge_name(gauges),
            runout_gauge: self.gauge_name(gauges),
            squareness_u: self.maybe(|m| m.any(&limits::SQUARENESS_U)),
            after: self.maybe(Self::readings),
        }
    }

    fn readings(&mut self) -> RotorReadings {
        RotorReadings {
            land_width: self.at_tips(&limits::WIDTH),
            gear_step: self.at_tips(&limits::STEP),
            plain_step: self.at_tips(&limits::STEP),
            tip_width: self.maybe(|m| m.at_tips(&limits::WIDTH)),
            gear_runout: self.maybe(|m| m.at_tips(&limits::RUNOUT)),
            plain_runout: self.maybe(|m| m.at_tips(&limits::RUNOUT)),
            mass: self.maybe(|m| m.any(&limits::MASS)),
            temperature: self.maybe(|m| m.any(&limits::TEMPERATURE)),
            temperature_u: self.maybe(|m| m.any(&limits::TEMPERATURE_U)),
        }
    }

    fn aim(&mut self, target: &Limit<Length>) -> Aim {
        Aim { target: self.any(target), tolerance: self.any(&limits::TOLERANCE) }
    }

    fn spec(&mut self, rotors: usize, engine: &Engine) -> Spec {
        let step = self.aim(&limits::STEP_TARGET);
        let least_step = step.target - step.tolerance;
        let may_taper = least_step > Length::ZERO;
        let outside = self
            .maybe(|m| if m.below(2) == 0 || !may_taper { Outside::Step } else { Outside::Taper });
        Spec {
            name: self.name(),
            side_clearance: self.aim(&limits::CLEARANCE),
            step,
            match_within: (rotors > 1 || self.below(2) == 0).then(|| self.any(&limits::MATCH)),
            land_cut_limit: self.any(&limits::CUT_LIMIT),
            tip_cut_limit: self.any(&limits::CUT_LIMIT),
            outside,
            taper: (outside == Some(Outside::Taper)).then(|| Taper {
                start: self.between(engine.land_radius, engine.rotor_tip_radius * 0.99),
                root: self.between(Length::ZERO, least_step),
            }),
            recess_least: self.maybe(|m| m.any(&limits::RECESS)),
            lead_in_least: self.maybe(|m| m.any(&limits::LAYER)),
            treated_least: self.maybe(|m| m.any(&limits::LAYER)),
            contact_chance: self.maybe(|m| m.part().clamp(1e-12, 0.999)),
            seals: SealLimits {
                apex_end_clearance: self.maybe(|m| {
                    let (one, other) = (m.any(&limits::CLEARANCE), m.any(&limits::CLEARANCE));
                    Between { least: one.min(other), most: one.max(other) }
                }),
                apex_overhang_most: self.maybe(|m| m.any(&limits::OVERHANG)),
                apex_engagement_least: self.maybe(|m| m.any(&limits::ENGAGEMENT)),
                corner_engagement_least: self.maybe(|m| m.any(&limits::ENGAGEMENT)),
                side_engagement_least: self.maybe(|m| m.any(&limits::ENGAGEMENT)),
                oil_engagement_least: self.maybe(|m| m.any(&limits::ENGAGEMENT)),
                spring_margin: self.maybe(|m| m.any(&limits::SPRING_MARGIN)),
            },
            calibration: self.maybe(Self::calibration),
        }
    }

    /// Rooms at solid height and at least load, each given or not.
    fn springs(&mut self) -> (Option<Length>, Option<Length>) {
        let solid = self.maybe(|m| m.between(Length::ZERO, Length::mm(19.0)));
        let least_load = self.maybe(|m| m.between(Length::mm(20.0), Length::mm(40.0)));
        (solid, least_load)
    }

    fn seals(&mut self, engine: &Engine) -> Seals {
        let (inner, land, tip) = (
            engine.land_inner_radius.unwrap_or(engine.land_radius * 0.8),
            engine.land_radius,
            engine.rotor_tip_radius,
        );
        Seals {
            apex: self.maybe(|m| ApexSeal {
                length: m.any(&limits::SEAL_LENGTH),
                height: m.maybe(|m| m.any(&limits::SEAL_HEIGHT)),
                groove_depth: m.maybe(|m| m.any(&limits::GROOVE_DEPTH)),
                groove_width: m.maybe(|m| m.any(&limits::GROOVE_WIDTH)),
                running_gap: m.maybe(|m| m.any(&limits::RUNNING_GAP)),
            }),
            corner: self.maybe(|m| {
                let (solid, least_load) = m.springs();
                CornerSeal {
                    height: m.any(&limits::SEAL_HEIGHT),
                    groove_depth: m.any(&limits::GROOVE_DEPTH),
                    bore_diameter: m.maybe(|m| m.any(&limits::BORE_DIAMETER)),
                    radius: m.seal_radius(land, tip),
                    solid,
                    least_load,
                }
            }),
            side: self.maybe(|m| {
                let (solid, least_load) = m.springs();
                SideSeal {
                    height: m.any(&limits::SEAL_HEIGHT),
                    groove_depth: m.any(&limits::GROOVE_DEPTH),
                    groove_width: m.maybe(|m| m.any(&limits::GROOVE_WIDTH)),
                    groove_length: m.maybe(|m| m.any(&limits::GROOVE_LENGTH)),
                    radius: m.seal_radius(land, tip),
                    solid,
                    least_load,
                }
            }),
            oil: self.maybe(|m| {
                let (solid, least_load) = m.springs();
                OilSeal {
                    height: m.any(&limits::SEAL_HEIGHT),
                    groove_depth: m.any(&limits::GROOVE_DEPTH),
                    groove_width: m.maybe(|m| m.any(&limits::GROOVE_WIDTH)),
                    radius: m.seal_radius(inner, land),
                    solid,
                    least_load,
                    protrusion: m.maybe(|m| m.any(&limits::PROTRUSION)),
                }
            }),
        }
    }
}
