//! A build as the kernel takes it. Defaults are taken here and nowhere else.

use super::assumed::Assumed;
use crate::build_file::model::{self, Build, Clamping, Way};
use kernel::geometry::{
    Bore, FaceQuadrature, Flank, GeometryError, LandRing, LandSizes, Looks, OutlinePoint,
    RingGroove, SideFace, SideFaceSizes, Trochoid, Void,
};
use kernel::heat::{ASSUMED, STATES, ThermalState};
use kernel::plan::{Aim, Reserves, Spec};
use kernel::readings::{
    AdjustError, Gauge, HousingReadings, HousingState, HousingWidth, MeasuredAt, RotorReadings,
};
use kernel::room::{Opening, Outside, RoomError, TrackWear, Wall};
use kernel::seals::{ApexSeal, FaceSeal, SealLimits, Seals};
use kernel::units::{Angle, Density, Expansion, Length, Temperature};
use thiserror::Error;

/// Repeat and zero of a micrometer that no file describes (common practice, no source).
const MICROMETER: [Length; 2] = [Length::um(2.0), Length::um(1.0)];
/// Repeat and zero of an indicator that no file describes (common practice, no source).
const INDICATOR: [Length; 2] = [Length::um(3.0), Length::ZERO];
/// Expansion of a steel gauge (checked range 11 to 12.7e-6 /K).
const GAUGE_EXPANSION: Expansion = Expansion::per_k(11.5e-6);
/// Standard uncertainty of a part's temperature that was given without one.
const TEMPERATURE_U_K: f64 = 0.5;
/// Height of the land's edge from either tilt against the bore (common practice, no source).
const SQUARENESS: Length = Length::um(5.0);
/// One standard deviation of a finished size, and the thinnest pass (common practice, no source).
const CAPABILITY: Length = Length::um(2.5);
const LEAST_CUT: Length = Length::um(10.0);
/// Inner edge of the land as a share of its outer radius.
const LAND_INNER_SHARE: f64 = 0.75;
/// Points of the outline between two tips at which contact is looked for.
const OUTLINE_PER_THIRD: usize = 4;
/// Pieces that a side-seal groove is divided into for its missing metal.
const GROOVE_PIECES: u32 = 5;
/// How far inside the flank's edge a side-seal groove runs, as a share of the radius there.
const GROOVE_INSIDE: f64 = 0.95;

/// Why a build cannot be worked with although its file reads.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum InputError {
    /// The sizes make no engine.
    #[error("engine: {0}")]
    Geometry(#[from] GeometryError),
    /// The room cannot be computed.
    #[error("room of rotor {rotor}: {source}")]
    Room {
        /// Whose.
        rotor: String,
        /// Why.
        source: RoomError,
    },
    /// Readings do not fix the heights.
    #[error("readings of rotor {rotor}: {source}")]
    Readings {
        /// Whose.
        rotor: String,
        /// Why.
        source: AdjustError,
    },
    /// A material that neither the file nor the built-in list has.
    #[error("material {0:?} is not known")]
    Material(String),
    /// Steps of a tapered face read elsewhere than where its full step is.
    #[error(
        "engine.reading_radius: the steps of a tapered face are read at rotor_tip_radius; leave \
         reading_radius out"
    )]
    TaperReadElsewhere,
    /// A housing without a single width.
    #[error("housing {0} has no width reading")]
    NoWidth(String),
}

/// What one rotor brings.
#[derive(Debug, Clone)]
pub(crate) struct RotorInputs {
    pub(crate) before: RotorReadings,
    pub(crate) after: Option<RotorReadings>,
    pub(crate) gear_face: Looks,
    pub(crate) housing: HousingWidth,
    pub(crate) housing_gauge: Gauge,
    pub(crate) clamp_up_uncertainty: Length,
    pub(crate) front: Wall,
    pub(crate) rear: Wall,
}

impl RotorInputs {
    pub(crate) const fn tracks(&self) -> [TrackWear; 2] {
        [
            TrackWear { land: self.front.land_wear, tip: self.front.tip_wear },
            TrackWear { land: self.rear.land_wear, tip: self.rear.tip_wear },
        ]
    }
}

/// A build as the kernel takes it.
#[derive(Debug, Clone)]
pub(crate) struct Inputs {
    pub(crate) assumed: Assumed,
    pub(crate) trochoid: Trochoid,
    pub(crate) waist: Length,
    pub(crate) face: SideFace,
    pub(crate) outline: Vec<OutlinePoint>,
    pub(crate) outside_area: FaceQuadrature,
    pub(crate) land_area: FaceQuadrature,
    pub(crate) land_inner_radius: Length,
    /// Where steps and tip widths were read.
    pub(crate) reading_radius: Length,
    pub(crate) rotor_expansion: Expansion,
    pub(crate) rotor_density: Density,
    pub(crate) housing_expansion: Expansion,
    pub(crate) states: [ThermalState; STATES],
    pub(crate) spec: Spec,
    pub(crate) seals: Seals,
    pub(crate) seal_limits: SealLimits,
    pub(crate) reserves: Reserves,
    pub(crate) capability: Length,
    pub(crate) least_cut: Length,
    pub(crate) rotors: Vec<RotorInputs>,
}

impl Inputs {
    pub(crate) fn of(build: &Build) -> Result<Self, InputError> {
        let mut assumed = Assumed::default();
        let engine = &build.engine;
        let (rotor_expansion, rotor_density) = material(build, &engine.rotor_material)?;
        let (housing_expansion, _) = material(build, &engine.housing_material)?;
        let trochoid =
            Trochoid::new(engine.generating_radius, engine.eccentricity, engine.parallel_shift)?;
        let seals = seals(build, &mut assumed);
        let face = side_face(build, trochoid)?;
        let land_inner_radius = engine.land_inner_radius.unwrap_or_else(|| {
            let inner = engine.land_radius * LAND_INNER_SHARE;
            assumed.note(format!(
                "inner edge of the land at {:.1} mm ({LAND_INNER_SHARE} of land_radius), for the metal removed",
                inner.to_mm()
            ));
            inner
        });
        let reading_radius = reading_radius(build, &mut assumed)?;
        let outline = face
            .outline_points(OUTLINE_PER_THIRD)?
            .into_iter()
            .filter(|point| point.radius > contact_radius(build))
            .collect();
        let (capability, least_cut) = match &build.machine {
            Some(machine) => (machine.capability, machine.least_cut),
            None => {
                assumed.note("machine: capability 2.5 um, least cut 10 um");
                (CAPABILITY, LEAST_CUT)
            }
        };
        let states = states(build, &mut assumed);
        if build.side_housings.is_empty() {
            assumed.note("side housings without wear (none is in the file)");
        }
        let gauges = Gauges { build };
        let rotors = (0..build.rotors.len())
            .map(|index| gauges.rotor(index, [rotor_expansion, housing_expansion], &mut assumed))
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            waist: Length::m(Bore::of(trochoid).point(Angle::deg(90.0)).y.to_m().abs()),
            outside_area: face.quadrature(),
            land_area: land_ring(build, land_inner_radius)?.quadrature(),
            outline,
            face,
            trochoid,
            land_inner_radius,
            reading_radius,
            rotor_expansion,
            rotor_density,
            housing_expansion,
            states,
            spec: spec(build),
            seals,
            seal_limits: seal_limits(&build.spec.seals),
            reserves: Reserves {
                gear_recess: engine.gear_recess,
                bearing_recess: engine.bearing_recess,
                treated_layer: engine.treated_layer,
                lead_in: engine.lead_in,
                recess_least: build.spec.recess_least.unwrap_or_default(),
                treated_least: build.spec.treated_least.unwrap_or_default(),
                lead_in_least: build.spec.lead_in_least.unwrap_or_default(),
            },
            capability,
            least_cut,
            rotors,
            assumed,
        })
    }
}

/// Expansion and density of a material by name: the shop's own, or one of the built-in ones.
/// Sources of the built-in figures: [CALLISTER] and the ranges in docs/SOURCES.md.
fn material(build: &Build, name: &str) -> Result<(Expansion, Density), InputError> {
    if let Some(own) = build.materials.get(name) {
        return Ok((own.expansion, own.density));
    }
    let (per_k, kg_per_m3) = match name {
        "nodular iron" => (11.0e-6, 7100.0),
        "grey iron" => (10.6e-6, 7150.0),
        "cast aluminium" => (21.5e-6, 2680.0),
        "steel" => (12.3e-6, 7850.0),
        _ => return Err(InputError::Material(name.to_owned())),
    };
    Ok((Expansion::per_k(per_k), Density::kg_per_m3(kg_per_m3)))
}

fn states(build: &Build, assumed: &mut Assumed) -> [ThermalState; STATES] {
    let heat = &build.duty.heat;
    let mut states = ASSUMED;
    let given = [None, heat.warming, heat.steady, heat.soak];
    for (state, given) in states.iter_mut().zip(given) {
        if let Some(rises) = given {
            state.housing = rises.housing;
            state.hot_arc = rises.hot_arc;
            state.land = rises.land;
            state.tip = rises.tip;
        }
    }
    let missing: Vec<&str> = states[1..]
        .iter()
        .zip([heat.warming, heat.steady, heat.soak])
        .filter(|(_, given)| given.is_none())
        .map(|(state, _)| state.name.name())
        .collect();
    if !missing.is_empty() {
        assumed.note(format!("temperatures of the states {}", missing.join(", ")));
    }
    states
}

fn spec(build: &Build) -> Spec {
    let spec = &build.spec;
    let aim = |aim: model::Aim| Aim { target: aim.target, tolerance: aim.tolerance };
    Spec {
        side_clearance: aim(spec.side_clearance),
        step: aim(spec.step),
        matching: spec.match_within.unwrap_or_default(),
        land_cut_limit: spec.land_cut_limit,
        tip_cut_limit: spec.tip_cut_limit,
        outside: match spec.taper {
            Some(taper) => Outside::Taper { start: taper.start, root: taper.root },
            None => Outside::Step,
        },
    }
}

/// Where steps are read: the outermost radius unless the file says another. A stepped face is as
/// low there as at its tips, which is said; a tapered one is not.
fn reading_radius(build: &Build, assumed: &mut Assumed) -> Result<Length, InputError> {
    let engine = &build.engine;
    let radius = engine.reading_radius.unwrap_or(engine.rotor_tip_radius);
    if radius != engine.rotor_tip_radius {
        if build.spec.taper.is_some() {
            return Err(InputError::TaperReadElsewhere);
        }
        assumed.note(format!(
            "faces as low at the tips as at radius {:.1} mm, where steps were read",
            radius.to_mm()
        ));
    }
    Ok(radius)
}

fn contact_radius(build: &Build) -> Length {
    build.spec.taper.map_or(build.engine.land_radius, |taper| taper.start)
}

fn seal_limits(limits: &model::SealLimits) -> SealLimits {
    SealLimits {
        apex_end_clearance_least: limits.apex_end_clearance.map(|between| between.least),
        apex_end_clearance_most: limits.apex_end_clearance.map(|between| between.most),
        apex_overhang_most: limits.apex_overhang_most,
        apex_engagement_least: limits.apex_engagement_least,
        corner_engagement_least: limits.corner_engagement_least,
        side_engagement_least: limits.side_engagement_least,
        oil_engagement_least: limits.oil_engagement_least,
        spring_margin: limits.spring_margin,
    }
}

fn seals(build: &Build, assumed: &mut Assumed) -> Seals {
    let (given, engine) = (&build.seals, &build.engine);
    let mut radius = |seal: &str, given: Option<Length>, otherwise: Length| {
        given.unwrap_or_else(|| {
            assumed.note(format!("{seal} seal at radius {:.1} mm", otherwise.to_mm()));
            otherwise
        })
    };
    Seals {
        apex: given.apex.map(|apex| ApexSeal {
            length: apex.length,
            height: apex.height,
            running_gap: apex.running_gap,
        }),
        corner: given.corner.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            radius: radius("corner", seal.radius, engine.rotor_tip_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        side: given.side.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            radius: radius("side", seal.radius, engine.rotor_tip_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        oil: given.oil.map(|seal| FaceSeal {
            height: seal.height,
            groove_depth: seal.groove_depth,
            radius: radius("oil", seal.radius, engine.land_radius),
            solid: seal.solid,
            least_load: seal.least_load,
        }),
        oil_protrusion: given.oil.and_then(|seal| seal.protrusion),
    }
}

/// The side face with the grooves that are known: their metal is not there to be removed.
fn side_face(build: &Build, trochoid: Trochoid) -> Result<SideFace, GeometryError> {
    let engine = &build.engine;
    let running_gap = build.seals.apex.and_then(|apex| apex.running_gap).unwrap_or_default();
    let flank = Flank::new(trochoid, running_gap.min(engine.parallel_shift))?;
    let sizes = SideFaceSizes {
        land_radius: engine.land_radius,
        rotor_tip_radius: engine.rotor_tip_radius,
    };
    let whole = SideFace::new(flank, sizes, &[])?;
    let mut voids = Vec::new();
    if let Some(corner) = build.seals.corner
        && let (Some(bore), Some(radius)) = (corner.bore_diameter, corner.radius)
        && radius >= engine.land_radius
        && radius <= engine.rotor_tip_radius
    {
        let area = bore * bore * std::f64::consts::FRAC_PI_4;
        voids.extend(Void::at_each_tip(area, radius, Angle::ZERO));
    }
    if let Some(side) = build.seals.side
        && let (Some(width), Some(length)) = (side.groove_width, side.groove_length)
    {
        for piece in 1..=GROOVE_PIECES {
            let azimuth = Angle::deg(120.0 * f64::from(piece) / f64::from(GROOVE_PIECES + 1));
            let radius = whole.boundary_radius(azimuth) * GROOVE_INSIDE;
            let area = width * length / f64::from(GROOVE_PIECES);
            voids.extend(Void::at_each_tip(area, radius.max(engine.land_radius), azimuth));
        }
    }
    SideFace::new(flank, sizes, &voids)
}

fn land_ring(build: &Build, inner: Length) -> Result<LandRing, GeometryError> {
    let outer = build.engine.land_radius;
    let grooves: Vec<RingGroove> = build
        .seals
        .oil
        .and_then(|oil| oil.radius.zip(oil.groove_width))
        .map(|(radius, width)| RingGroove {
            inner: (radius - width / 2.0).max(inner),
            outer: (radius + width / 2.0).min(outer),
        })
        .filter(|groove| groove.inner < groove.outer)
        .into_iter()
        .collect();
    LandRing::new(LandSizes { inner, outer }, &grooves)
}

/// Names of gauges to gauges.
struct Gauges<'a> {
    build: &'a Build,
}

impl Gauges<'_> {
    /// The gauge of a name, or the usual one for its kind of reading.
    fn find(
        &self,
        name: Option<&String>,
        usual: &str,
        [repeat, zero]: [Length; 2],
        assumed: &mut Assumed,
    ) -> Gauge {
        let name = name.map_or(usual, String::as_str);
        let position = self.build.gauges.keys().position(|key| key == name);
        if let (Some(id), Some(gauge)) = (position, self.build.gauges.get(name)) {
            return Gauge {
                id,
                repeat: gauge.repeat,
                zero: gauge.zero.unwrap_or_default(),
                temperature: gauge.temperature.unwrap_or(Temperature::REFERENCE),
                expansion: gauge.expansion.unwrap_or(GAUGE_EXPANSION),
            };
        }
        assumed.note(format!(
            "gauge \"{usual}\": repeat {:.0} um, zero {:.0} um",
            repeat.to_um(),
            zero.to_um()
        ));
        // Past the declared gauges, one number for each usual name.
        let id = self.build.gauges.len() + usize::from(usual == "indicator");
        Gauge { id, repeat, zero, temperature: Temperature::REFERENCE, expansion: GAUGE_EXPANSION }
    }

    fn rotor(
        &self,
        index: usize,
        [rotor_expansion, housing_expansion]: [Expansion; 2],
        assumed: &mut Assumed,
    ) -> Result<RotorInputs, InputError> {
        let (rotor, housing) = (&self.build.rotors[index], &self.build.housings[index]);
        let width_gauge = self.find(rotor.width_gauge.as_ref(), "micrometer", MICROMETER, assumed);
        let step_gauge = self.find(rotor.step_gauge.as_ref(), "indicator", INDICATOR, assumed);
        let runout_gauge = self.find(rotor.runout_gauge.as_ref(), "indicator", INDICATOR, assumed);
        let housing_gauge = self.find(housing.gauge.as_ref(), "micrometer", MICROMETER, assumed);
        let squareness = rotor.squareness_u.unwrap_or(SQUARENESS);
        let mut readings = |taken: &model::RotorReadings, what: &str| {
            if taken.gear_runout.is_none() && taken.plain_runout.is_none() {
                assumed.note(format!(
                    "lands of {}{what} square to the bore within {:.0} um (no run-out read)",
                    rotor.serial,
                    squareness.to_um()
                ));
            }
            let measured_at = measured_at(
                index,
                (taken.temperature, taken.temperature_u.map(|u| u.to_k())),
                rotor_expansion,
                &rotor.serial,
                &[&width_gauge, &step_gauge],
                assumed,
            );
            RotorReadings {
                land_width: taken.land_width,
                gear_step: taken.gear_step,
                plain_step: taken.plain_step,
                tip_width: taken.tip_width,
                gear_runout: taken.gear_runout,
                plain_runout: taken.plain_runout,
                width_gauge,
                step_gauge,
                runout_gauge,
                measured_at,
                squareness,
            }
        };
        let before = readings(&rotor.readings, "");
        let after = rotor.after.as_ref().map(|taken| readings(taken, " after cutting"));
        let measured_at = measured_at(
            self.build.rotors.len() + index,
            (housing.temperature, housing.temperature_u.map(|u| u.to_k())),
            housing_expansion,
            &housing.serial,
            &[&housing_gauge],
            assumed,
        );
        let width = HousingReadings {
            width: housing.width.clone(),
            state: match housing.state {
                Clamping::Clamped => HousingState::Clamped,
                Clamping::Free { clamp_up, clamp_up_u } => {
                    HousingState::Free { by: clamp_up, uncertainty: clamp_up_u }
                }
            },
            gauge: housing_gauge,
            measured_at,
        };
        Ok(RotorInputs {
            before,
            after,
            gear_face: match rotor.gear_face {
                Way::Front => Looks::Front,
                Way::Rear => Looks::Rear,
            },
            housing: width.width().ok_or_else(|| InputError::NoWidth(housing.serial.clone()))?,
            housing_gauge,
            clamp_up_uncertainty: match housing.state {
                Clamping::Clamped => Length::ZERO,
                Clamping::Free { clamp_up_u, .. } => clamp_up_u,
            },
            front: self.wall(index, Way::Front),
            rear: self.wall(index, Way::Rear),
        })
    }

    /// The wall in front of a rotor or behind it: side housings stand in order from the front, and
    /// the one in front shows it the face that looks to the rear.
    fn wall(&self, rotor: usize, side: Way) -> Wall {
        let plate = match side {
            Way::Front => self.build.side_housings.get(rotor),
            Way::Rear => self.build.side_housings.get(rotor + 1),
        };
        let Some(plate) = plate else { return Wall::default() };
        let wear = |wear: model::Wear| match side {
            Way::Front => wear.rear(),
            Way::Rear => wear.front(),
        };
        Wall {
            land_wear: wear(plate.land_wear),
            tip_wear: wear(plate.tip_wear),
            central_bore: plate.central_bore,
            openings: plate
                .ports
                .values()
                .filter(|port| port.face != side)
                .map(|port| Opening {
                    radius_from: port.radius_from,
                    radius_to: port.radius_to,
                    angle_from: port.angle_from,
                    angle_to: port.angle_to,
                })
                .collect(),
        }
    }
}

fn measured_at(
    part: usize,
    (temperature, uncertainty_k): (Option<Temperature>, Option<f64>),
    expansion: Expansion,
    serial: &str,
    gauges: &[&Gauge],
    assumed: &mut Assumed,
) -> MeasuredAt {
    let uncertainty_k = match (temperature, uncertainty_k) {
        (_, Some(u)) => u,
        (Some(_), None) => {
            assumed.note(format!("temperature of {serial} known to {TEMPERATURE_U_K} K"));
            TEMPERATURE_U_K
        }
        // Read at 20 degC, as the file says by saying nothing.
        (None, None) => 0.0,
    };
    let temperature = temperature.unwrap_or(Temperature::REFERENCE);
    if temperature != Temperature::REFERENCE
        && gauges.iter().any(|gauge| gauge.temperature == Temperature::REFERENCE)
    {
        assumed.note(format!(
            "gauges at 20 degC while {serial} was measured at {:.1} degC; give gauge temperature if they were as warm",
            temperature.to_deg_c()
        ));
    }
    MeasuredAt { part, temperature, uncertainty_k, expansion }
}
