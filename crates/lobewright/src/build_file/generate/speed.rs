//! What the rotor at speed depends on, for tests.

use super::Maker;
use crate::build_file::limits::{Share, speed as limits};
use crate::build_file::model::{
    AtSpeed, BUILT_IN_MATERIALS, Bearing, Calibration, Engine, Film, Gas, Gear, Heavy, Inertia,
    Main, Material, Oil, Rotor, Section, Shaft, Uncertainty, Weight,
};
use kernel::units::{Angle, Length, MomentOfInertia, Unbalance};
use std::collections::BTreeMap;

impl Maker {
    /// A plain number inside a row's limits; now and then a short one, or a whole one.
    pub(super) fn share(&mut self, limit: &Share) -> f64 {
        let part = self.part();
        let value = limit.least * (1.0 - part) + limit.most * part;
        let decimals = self.below(3) * 2;
        let short: f64 = format!("{value:.decimals$}").parse().unwrap();
        let made = if self.below(2) == 0 { short } else { value };
        if limit.broken_by(made).is_none() { made } else { limit.least }
    }

    /// Three that can go together: no correlation is over a half.
    pub(super) fn calibration(&mut self) -> Calibration {
        let (scale, u) = (&limits::TAUGHT_SCALE, &limits::TAUGHT_U);
        Calibration {
            from: self.name(),
            tilt: [self.share(scale), self.share(u)],
            heat: [self.share(scale), self.share(u)],
            contact_below: [self.any(&limits::CONTACT_BELOW), self.any(&limits::CONTACT_BELOW_U)],
            together: std::array::from_fn(|_| 0.5 * self.share(&limits::TOGETHER)),
        }
    }

    pub(super) fn at_speed(
        &mut self,
        engine: &Engine,
        rotors: &[Rotor],
        own: &BTreeMap<String, Material>,
    ) -> AtSpeed {
        let widths = rotors.iter().flat_map(|rotor| rotor.readings.land_width);
        let narrowest = widths.fold(Length::mm(400.0), Length::min);
        AtSpeed {
            shaft: self.maybe(|m| m.shaft(rotors.len(), own)),
            rotor_bearing: self.maybe(|m| m.bearing(engine.land_radius * 1.99)),
            main_bearing: self.maybe(|m| m.bearing(Length::mm(600.0))),
            oil: Oil {
                viscosity: self.maybe(|m| m.any(&limits::VISCOSITY)),
                viscosity_u: self.maybe(|m| m.share(&limits::VISCOSITY_U)),
            },
            gas: self.gas(),
            gear: Gear {
                offset: self.maybe(|m| m.between(Length::ZERO, narrowest * 0.49)),
                pressure_angle: self.maybe(|m| m.any(&limits::PRESSURE_ANGLE)),
                seal_drag: self.maybe(|m| m.any(&limits::SEAL_DRAG)),
                backlash: self.maybe(|m| m.any(&limits::BACKLASH)),
            },
            inertia: {
                let (rotor_polar, rotor_diametral) = self.inertia();
                Inertia { rotor_polar, rotor_diametral }
            },
            uncertainty: Uncertainty {
                model: self.maybe(|m| m.share(&limits::MODEL_U)),
                temperature: self.maybe(|m| m.any(&limits::RISE_U)),
                expansion: self.maybe(|m| m.share(&limits::RELATIVE_U)),
                peak_pressure: self.maybe(|m| m.share(&limits::RELATIVE_U)),
                shaft_stiffness: self.maybe(|m| m.share(&limits::RELATIVE_U)),
                mesh: self.maybe(|m| m.share(&limits::GUESSED_U)),
                side_gas: self.maybe(|m| m.share(&limits::GUESSED_U)),
            },
        }
    }

    /// Polar and diametral, each given or not, of a body that can be.
    fn inertia(&mut self) -> (Option<MomentOfInertia>, Option<MomentOfInertia>) {
        let polar = self.any(&limits::INERTIA);
        let diametral = polar * (0.5 + 0.5 * self.part());
        (self.maybe(|_| polar), self.maybe(|_| diametral))
    }

    fn shaft(&mut self, rotors: usize, own: &BTreeMap<String, Material>) -> Shaft {
        let springy = |(name, material): (&String, &Material)| {
            (material.young.is_some() && material.poisson.is_some()).then(|| name.clone())
        };
        let names: Vec<String> = (BUILT_IN_MATERIALS.iter().map(|name| (*name).to_owned()))
            .chain(own.iter().filter_map(springy))
            .collect();
        let sections: Vec<_> = (0..=rotors + self.below(4)).map(|_| self.section()).collect();
        let shaft: Length = sections.iter().map(|section| section.length).sum();
        // Slots longer than the widest rotor and the play in them together: they stay apart.
        let slot = shaft / rotors as f64;
        let slots = (0..rotors)
            .map(|i| slot * (i as f64 + 0.5) + self.between(Length::ZERO, Length::mm(20.0)))
            .collect();
        let mains = 2 + self.below(4);
        Shaft {
            material: self.maybe(|m| names[m.below(names.len() as u64)].clone()),
            rotors: slots,
            throws: self.maybe(|m| {
                let others = (1..rotors).map(|_| m.any(&limits::THROW)).collect::<Vec<_>>();
                std::iter::once(Angle::ZERO).chain(others).collect()
            }),
            damping: self.maybe(|m| m.share(&limits::TWIST_DAMPING)),
            mains: (0..mains)
                .map(|i| Main {
                    at: shaft * ((i as f64 + 0.9 * self.part()) / mains as f64),
                    stiffness: self.maybe(|m| m.any(&limits::SEAT)),
                    moment_stiffness: self.maybe(|m| m.any(&limits::SEAT_MOMENT)),
                })
                .collect(),
            weights: (0..self.below(4)).map(|i| self.weight(i, shaft)).collect(),
            sections,
        }
    }

    fn section(&mut self) -> Section {
        let outer = self.any(&limits::SECTION_OUTER);
        Section {
            length: self.between(Length::mm(280.0), Length::mm(590.0)),
            outer,
            inner: self.maybe(|m| m.between(Length::ZERO, outer * 0.95)),
        }
    }

    fn weight(&mut self, i: usize, shaft: Length) -> Weight {
        let mass = self.any(&limits::WEIGHT_MASS);
        let (polar_inertia, diametral_inertia) = self.inertia();
        Weight {
            name: format!("{i}.{}", self.name()),
            at: self.between(Length::ZERO, shaft),
            mass,
            unbalance: self.maybe(|m| Heavy {
                amount: Unbalance::kg_m(mass.to_kg() * 0.499 * m.part()),
                angle: m.any(&limits::WEIGHT_ANGLE),
            }),
            polar_inertia,
            diametral_inertia,
        }
    }

    fn bearing(&mut self, most: Length) -> Bearing {
        let diameter = self.between(Length::mm(4.0), most.min(Length::mm(600.0)));
        let most = (diameter * 0.0099).min(Length::mm(2.0));
        let clearance = self.between(Length::mm(0.002), most);
        let under = |m: &mut Self, most: Length| m.between(Length::ZERO, most * 0.99);
        Bearing {
            diameter,
            length: self.any(&limits::BEARING_LENGTH),
            clearance,
            clearance_u: self.maybe(|m| under(m, clearance.min(Length::mm(0.2)))),
            least_film: self.maybe(|m| under(m, (clearance / 2.0).min(Length::um(50.0)))),
            film: self.maybe(|m| Film {
                radial_stiffness: m.any(&limits::FILM_STIFFNESS),
                radial_damping: m.any(&limits::FILM_DAMPING),
                tilt_stiffness: m.any(&limits::FILM_TILT_STIFFNESS),
                tilt_damping: m.any(&limits::FILM_TILT_DAMPING),
            }),
        }
    }

    fn gas(&mut self) -> Gas {
        let (one, other) = (self.share(&limits::HARD), self.share(&limits::KNOCK));
        Gas {
            compression_ratio: self.maybe(|m| m.share(&limits::COMPRESSION_RATIO)),
            manifold_temperature: self.maybe(|m| m.any(&limits::MANIFOLD_TEMPERATURE)),
            back_pressure: self.maybe(|m| m.any(&limits::BACK_PRESSURE)),
            intake_opens: self.maybe(|m| m.any(&limits::INTAKE_OPENS)),
            intake_closes: self.maybe(|m| m.any(&limits::INTAKE_CLOSES)),
            exhaust_opens: self.maybe(|m| m.any(&limits::EXHAUST_OPENS)),
            exhaust_closes: self.maybe(|m| m.any(&limits::EXHAUST_CLOSES)),
            intake_area: self.maybe(|m| m.any(&limits::PORT_AREA)),
            exhaust_area: self.maybe(|m| m.any(&limits::PORT_AREA)),
            ignition: self.maybe(|m| m.any(&limits::IGNITION)),
            burn: self.maybe(|m| m.any(&limits::BURN)),
            wiebe_a: self.maybe(|m| m.share(&limits::WIEBE_A)),
            wiebe_m: self.maybe(|m| m.share(&limits::WIEBE_M)),
            heat: self.maybe(|m| m.any(&limits::HEAT)),
            wall_temperature: self.maybe(|m| m.any(&limits::WALL_TEMPERATURE)),
            wall_loss: self.maybe(|m| m.share(&limits::WALL_LOSS)),
            hard: self.maybe(|_| one.min(other)),
            knock: self.maybe(|_| one.max(other)),
            side_share: self.maybe(|m| m.share(&limits::SIDE_SHARE)),
            trace: self.maybe(|m| format!("{}.csv", m.name().replace('\\', "_"))),
        }
    }
}
