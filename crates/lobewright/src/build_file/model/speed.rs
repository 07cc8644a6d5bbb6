//! What the rotor at speed depends on, as the file says it: shaft, bearings, oil, gas, gear,
//! inertia and how well each is known. Every table may be left out; what is left out is `None`.
//!
//! Places along the shaft are counted from its front end, positive to the rear; angles of throws
//! and weights from the throw of rotor 1, in the sense of rotation.

use kernel::units::{
    Angle, AngularDamping, AngularStiffness, Area, Damping, GaugePressure, Length, Mass,
    MomentOfInertia, SpecificEnergy, Stiffness, Temperature, TemperatureDifference, Torque,
    Unbalance, Viscosity,
};

/// Everything about the rotor at speed that the file gives.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AtSpeed {
    /// The eccentric shaft.
    pub shaft: Option<Shaft>,
    /// The bearing between a rotor and its journal.
    pub rotor_bearing: Option<Bearing>,
    /// The main bearings.
    pub main_bearing: Option<Bearing>,
    /// The oil in the bearings.
    pub oil: Oil,
    /// The cycle.
    pub gas: Gas,
    /// The gear of a rotor, its seals' drag with it.
    pub gear: Gear,
    /// Moments of inertia of a rotor.
    pub inertia: Inertia,
    /// How well what the answers rest on is known.
    pub uncertainty: Uncertainty,
}

/// The eccentric shaft, from its front end.
#[derive(Debug, Clone, PartialEq)]
pub struct Shaft {
    /// Name of a material, which has a modulus and Poisson's ratio.
    pub material: Option<String>,
    /// Its sections, from the front end, at least one.
    pub sections: Vec<Section>,
    /// Mid-plane of each rotor journal, one for each rotor of the engine.
    pub rotors: Vec<Length>,
    /// Throw of each rotor from rotor 1's; the first is nothing.
    pub throws: Option<Vec<Angle>>,
    /// Share of critical damping for twist.
    pub damping: Option<f64>,
    /// Main bearings, front to rear, at least two.
    pub mains: Vec<Main>,
    /// Counterweights, flywheel, pulleys.
    pub weights: Vec<Weight>,
}

impl Shaft {
    /// From the front end to the rear end.
    #[must_use]
    pub fn length(&self) -> Length {
        self.sections.iter().map(|section| section.length).sum()
    }
}

/// A piece of the shaft that is round and the same all along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Along the shaft.
    pub length: Length,
    /// Outer diameter.
    pub outer: Length,
    /// Inner diameter; left out it is solid.
    pub inner: Option<Length>,
}

/// A main bearing's place and what carries it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Main {
    /// Its middle, from the front end.
    pub at: Length,
    /// Of seat and housing, radial, in series with the film.
    pub stiffness: Option<Stiffness>,
    /// Of seat and housing against tilt.
    pub moment_stiffness: Option<AngularStiffness>,
}

/// A mass on the shaft that is no part of its sections.
#[derive(Debug, Clone, PartialEq)]
pub struct Weight {
    /// What the shop calls it; no two are the same.
    pub name: String,
    /// Its mass centre along the shaft, from the front end.
    pub at: Length,
    /// Mass.
    pub mass: Mass,
    /// Its unbalance, if it has one.
    pub unbalance: Option<Heavy>,
    /// About the shaft's axis.
    pub polar_inertia: Option<MomentOfInertia>,
    /// About a line square to the shaft's axis at `at`.
    pub diametral_inertia: Option<MomentOfInertia>,
}

/// An unbalance and where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heavy {
    /// How much.
    pub amount: Unbalance,
    /// Its direction, from the throw of rotor 1.
    pub angle: Angle,
}

/// A plain bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Of the journal.
    pub diameter: Length,
    /// Along the shaft.
    pub length: Length,
    /// On the diameter.
    pub clearance: Length,
    /// Standard uncertainty of that.
    pub clearance_u: Option<Length>,
    /// A film thinner than this is named.
    pub least_film: Option<Length>,
    /// A film that is given in place of the computed one.
    pub film: Option<Film>,
}

/// A film's stiffness and damping, given by the shop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Along a line square to the shaft.
    pub radial_stiffness: Stiffness,
    /// Along a line square to the shaft.
    pub radial_damping: Damping,
    /// Moment per slope.
    pub tilt_stiffness: AngularStiffness,
    /// Moment per rate of slope.
    pub tilt_damping: AngularDamping,
}

/// The oil in the bearings.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Oil {
    /// Dynamic viscosity, as hot as it is in the bearings.
    pub viscosity: Option<Viscosity>,
    /// Standard uncertainty of that, relative.
    pub viscosity_u: Option<f64>,
}

/// The cycle of one chamber. Dead centres are those of the chamber: 270° of shaft apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Gas {
    /// Greatest over least volume of a chamber.
    pub compression_ratio: Option<f64>,
    /// Of the charge in the manifold.
    pub manifold_temperature: Option<Temperature>,
    /// In the exhaust, above atmosphere.
    pub back_pressure: Option<GaugePressure>,
    /// After top dead centre.
    pub intake_opens: Option<Angle>,
    /// After bottom dead centre.
    pub intake_closes: Option<Angle>,
    /// Before bottom dead centre.
    pub exhaust_opens: Option<Angle>,
    /// After top dead centre.
    pub exhaust_closes: Option<Angle>,
    /// Effective, of one chamber's ports together.
    pub intake_area: Option<Area>,
    /// Effective, of one chamber's ports together.
    pub exhaust_area: Option<Area>,
    /// Before top dead centre.
    pub ignition: Option<Angle>,
    /// From ignition to the end of burning.
    pub burn: Option<Angle>,
    /// Wiebe's factor in the exponent: how much has burnt at the end.
    pub wiebe_a: Option<f64>,
    /// Wiebe's form exponent.
    pub wiebe_m: Option<f64>,
    /// Released by each kilogram of fresh charge.
    pub heat: Option<SpecificEnergy>,
    /// Of the chamber's walls.
    pub wall_temperature: Option<Temperature>,
    /// Factor on the coefficient of wall loss.
    pub wall_loss: Option<f64>,
    /// Peak pressure of the hard cycle over the mean one's.
    pub hard: Option<f64>,
    /// Peak pressure of a knocking cycle over the mean one's.
    pub knock: Option<f64>,
    /// Share of a chamber's pressure that is not balanced across the rotor.
    pub side_share: Option<f64>,
    /// Name of a file with a pressure trace, beside the build file: in place of the computed
    /// cycle.
    pub trace: Option<String>,
}

/// The internal gear of a rotor and the stationary gear that it runs on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gear {
    /// The middle of the mesh from the rotor's mid-plane, towards the gear face.
    pub offset: Option<Length>,
    /// Of the teeth.
    pub pressure_angle: Option<Angle>,
    /// Friction of all seals of one rotor about its centre.
    pub seal_drag: Option<Torque>,
    /// Play of the teeth along the pitch circle.
    pub backlash: Option<Length>,
}

/// Moments of inertia of one rotor about its mass centre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Inertia {
    /// About its axis.
    pub rotor_polar: Option<MomentOfInertia>,
    /// About a line square to its axis.
    pub rotor_diametral: Option<MomentOfInertia>,
}

/// Standard uncertainties; relative where they are plain numbers.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Uncertainty {
    /// Of the tilt that the model gives.
    pub model: Option<f64>,
    /// Of each rise of temperature at the duty.
    pub temperature: Option<TemperatureDifference>,
    /// Of each expansion.
    pub expansion: Option<f64>,
    /// Of the peak pressure.
    pub peak_pressure: Option<f64>,
    /// Of the shaft's stiffness.
    pub shaft_stiffness: Option<f64>,
    /// Of the force in the gear's mesh.
    pub mesh: Option<f64>,
    /// Of the moment of gas that is not balanced across the rotor.
    pub side_gas: Option<f64>,
}
