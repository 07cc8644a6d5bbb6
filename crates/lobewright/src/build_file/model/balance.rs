//! What balancing depends on, as the file says it: the grade, what the rotors carry, readings of
//! each rotor about its own bore, where metal may be taken from rotors and counterweights, what
//! the balancing machine showed. Everything may be left out; what is left out is `None` or empty.
//!
//! Angles of the shaft and its counterweights are counted from the throw of rotor 1, in the sense
//! of rotation; only what an instrument showed is counted as [`Instrument`] says. Angles of a
//! rotor are counted from its tip 1 towards its tip 2.

use kernel::balance::Grade;
pub use kernel::balance::{Counted, Phase, Spot};
use kernel::units::{Angle, Density, Length, Mass, Speed, Unbalance, Velocity};

/// Everything about balance that the file gives: `[balance]`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Balance {
    /// Of the shaft with everything that turns with it.
    pub grade: Option<Grade>,
    /// Of a rotor about its own bore, at a third of the shaft's speed.
    pub rotor_grade: Option<Grade>,
    /// Service speed of the shaft; left out, the duty's.
    pub speed: Option<Speed>,
    /// Most that the masses of the rotors may differ, with all they carry: `match`.
    pub matching: Option<Mass>,
    /// Standard uncertainty of the scale.
    pub scale_u: Option<Mass>,
    /// Mass of everything that spins on the machine, bob weights and all.
    pub mass: Option<Mass>,
    /// Where the tolerance holds, front and rear, along the shaft; left out, the outer mains.
    pub tolerance_planes: Option<[Length; 2]>,
    /// Own unbalance of each rotor journal's metal about the shaft's axis, along its throw.
    pub journal_unbalance: Option<Unbalance>,
    /// The bob weights that were on the journals, from the front, one for each rotor.
    pub bob_weights: Option<Vec<Mass>>,
    /// How its angles are counted, and how well the machine reads: `[balance.instrument]`.
    pub instrument: Instrument,
    /// What every rotor, or one, carries beside its own metal: `[[balance.carried]]`.
    pub carried: Vec<Carried>,
    /// Oil that each rotor carries: `[balance.oil]`.
    pub oil: Option<CarriedOil>,
    /// Readings of the rotors: `[[balance.rotor]]`.
    pub rotors: Vec<BalanceRotor>,
    /// Where metal may be taken from every rotor: `[[balance.pocket]]`.
    pub pockets: Vec<Pocket>,
    /// `[balance.front]`
    pub front: Option<CorrectionPlane>,
    /// `[balance.rear]`
    pub rear: Option<CorrectionPlane>,
    /// What the machine showed with bob weights on: `[balance.measured]`.
    pub measured: Option<MeasuredUnbalance>,
    /// The same after correction: `[balance.after]`.
    pub after: Option<MeasuredUnbalance>,
    /// Runs with and without trial weights: `[[balance.run]]`.
    pub runs: Vec<Run>,
}

/// How an instrument's angles are counted, and how well it reads.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Instrument {
    /// `spot = "heavy"` or `"light"`.
    pub spot: Option<Spot>,
    /// `angles = "with rotation"` or `"against rotation"`.
    pub angles: Option<Counted>,
    /// `phase = "lag"` or `"lead"`.
    pub phase: Option<Phase>,
    /// Where its zero lies, from the throw of rotor 1, in the sense of rotation.
    pub zero: Option<Angle>,
    /// Standard uncertainty of each component of an unbalance that it shows in one plane.
    pub u: Option<Unbalance>,
    /// The same as a share of what it shows; the two add as squares.
    pub u_share: Option<f64>,
    /// Standard uncertainty of a component of vibration, a share of the sensor's largest.
    pub vibration_u: Option<f64>,
    /// Speed at which the shaft is spun on it.
    pub speed: Option<Speed>,
}

/// Something that a rotor carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// What it is; no two are the same.
    pub name: String,
    /// Of all of it in one rotor.
    pub mass: Mass,
    /// Its mass centre from the mid-plane, towards the gear face.
    pub offset: Option<Length>,
    /// Serial of the only rotor that has it; left out, every rotor.
    pub rotor: Option<String>,
    /// `weighed = "with rotor"`: the rotor's mass reading has it in already; `"apart"`.
    pub with_rotor: bool,
}

/// Oil in a rotor, as an unbalance on its journal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarriedOil {
    /// Of one rotor, about the shaft's axis.
    pub amount: Unbalance,
    /// From the rotor's own throw, in the sense of rotation.
    pub angle: Option<Angle>,
    /// From the mid-plane, towards the gear face.
    pub offset: Option<Length>,
}

/// What was read of one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct BalanceRotor {
    /// Of a rotor of the build.
    pub serial: String,
    /// `state = "before cut"` or `"after cut"`: when all of this was read.
    pub after_cut: Option<bool>,
    /// Of the rotor without what it carries, from the mid-plane, towards the gear face.
    pub mass_centre: Option<Length>,
    /// Standard uncertainty of that.
    pub mass_centre_u: Option<Length>,
    /// On a mandrel, turned on it or not.
    pub mandrel: Vec<MandrelReading>,
    /// On its axis between rollers, a scale under one point after another.
    pub rollers: Vec<RollerReading>,
    /// From the axis to where the scale is under it.
    pub arm: Option<Length>,
}

/// What the machine showed of a rotor on its mandrel, heavy or light spot as `instrument` says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MandrelReading {
    /// How far the rotor was turned on the mandrel: from the mandrel's mark to tip 1.
    pub turned: Angle,
    /// What it showed.
    pub amount: Unbalance,
    /// From the mandrel's mark.
    pub angle: Angle,
}

/// What a scale showed under one point of a rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollerReading {
    /// The point that is level with the axis and rests on the scale, from tip 1.
    pub at: Angle,
    /// What it showed.
    pub mass: Mass,
}

/// A place on every rotor from which metal may be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Pocket {
    /// What the shop calls it; no two are the same.
    pub name: String,
    /// From tip 1 towards tip 2.
    pub angle: Angle,
    /// From the rotor's axis to the mass centre of what is taken.
    pub radius: Length,
    /// From the mid-plane, towards the gear face.
    pub offset: Option<Length>,
    /// Most that may be taken.
    pub most: Mass,
}

/// A counterweight and what may be done to it.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionPlane {
    /// Name of its weight on the shaft.
    pub weight: Option<String>,
    /// Where corrections lie along the shaft; left out, where the weight is.
    pub at: Option<Length>,
    /// Of what is drilled or milled.
    pub material: Option<String>,
    /// Diameters of drills that are there.
    pub drills: Vec<Length>,
    /// Of their points, the whole angle.
    pub point_angle: Option<Angle>,
    /// A shallower hole is not drilled; to full diameter.
    pub least_depth: Option<Length>,
    /// Depths are multiples of this.
    pub depth_step: Option<Length>,
    /// Least metal between two holes.
    pub between: Option<Length>,
    /// Least metal between a hole and an edge.
    pub to_edge: Option<Length>,
    /// Of what a slug is made of.
    pub slug_density: Option<Density>,
    /// Where: `[[balance.front.place]]`.
    pub places: Vec<Place>,
}

/// What is done at a place of a counterweight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// A hole along the shaft: `"face hole"`.
    FaceHole,
    /// A hole towards the axis from the rim: `"rim hole"`.
    RimHole,
    /// A hole along the shaft, filled with something heavier: `"slug"`.
    Slug,
    /// A flat milled on the rim: `"flat"`.
    Flat,
    /// A mass fixed there: `"added"`.
    Added,
}

impl How {
    /// Each of them.
    pub const ALL: [Self; 5] = [Self::FaceHole, Self::RimHole, Self::Slug, Self::Flat, Self::Added];

    /// As the file says it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::FaceHole => "face hole",
            Self::RimHole => "rim hole",
            Self::Slug => "slug",
            Self::Flat => "flat",
            Self::Added => "added",
        }
    }

    /// Whether a drill makes it.
    #[must_use]
    pub const fn is_drilled(self) -> bool {
        matches!(self, Self::FaceHole | Self::RimHole | Self::Slug)
    }
}

/// Places of one kind on a counterweight.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What is done there.
    pub how: How,
    /// Where, from the throw of rotor 1, in the sense of rotation.
    pub angles: Vec<Angle>,
    /// From the axis: of a hole along the shaft and of a mass their centre, of rim hole and flat
    /// the rim.
    pub radius: Length,
    /// Deepest: of a hole to the tip of the drill, of a flat from the rim.
    pub deepest: Option<Length>,
    /// From a hole's centre to the nearest edge.
    pub edge: Option<Length>,
    /// Where the face that is drilled lies along the shaft; left out, the metal is taken to lie in
    /// the plane.
    pub face_at: Option<Length>,
    /// Of a flat, along the shaft.
    pub width: Option<Length>,
    /// The masses that can be added.
    pub masses: Vec<Mass>,
}

/// An unbalance as an instrument showed it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// How much.
    pub amount: Unbalance,
    /// As the instrument counts.
    pub angle: Angle,
}

/// What the machine showed in both correction planes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredUnbalance {
    /// In the front plane.
    pub front: Shown,
    /// In the rear plane.
    pub rear: Shown,
}

/// One run of the shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// `state = "before correction"` or `"after correction"`: of the latter, what is left is told
    /// by what the others say of weights.
    pub after_correction: bool,
    /// Speed.
    pub speed: Speed,
    /// Trial weight in the front plane.
    pub front: Option<Shown>,
    /// Trial weight in the rear plane.
    pub rear: Option<Shown>,
    /// What the sensors showed, at least one.
    pub sensors: Vec<SensorReading>,
}

/// What one sensor showed.
#[derive(Debug, Clone, PartialEq)]
pub struct SensorReading {
    /// What the shop calls it; the same in every run.
    pub name: String,
    /// How much.
    pub amplitude: Amplitude,
    /// As the instrument says it.
    pub phase: Angle,
}

/// Vibration as displacement or as velocity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amplitude {
    /// `amplitude`
    Displacement(Length),
    /// `velocity`
    Velocity(Velocity),
}
