//! What can be wrong with a shaft.

use thiserror::Error;

/// Why a shaft could not be modelled or computed. Parts are counted from the front, from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ShaftError {
    /// A shaft without any stretch.
    #[error("the shaft has no sections")]
    NoStretch,
    /// A shaft without any support.
    #[error("the shaft has no main bearing")]
    NoSupport,
    /// A quantity that is to be more than nothing and finite.
    #[error("{part} {number}: {what} is {value} {unit}; it is to be more than nothing")]
    Size {
        /// Kind of part.
        part: &'static str,
        /// Its number.
        number: usize,
        /// Which quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A quantity that is to be zero or more and finite.
    #[error("{part} {number}: {what} is {value} {unit}; it is to be zero or more")]
    Negative {
        /// Kind of part.
        part: &'static str,
        /// Its number.
        number: usize,
        /// Which quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A quantity that is to be a finite number.
    #[error("{part} {number}: {what} is {value} {unit}; it is to be a finite number")]
    NotFinite {
        /// Kind of part.
        part: &'static str,
        /// Its number.
        number: usize,
        /// Which quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A hollow that leaves no wall.
    #[error("section {number}: a hollow of {inner_m} m leaves no wall in {outer_m} m")]
    Hollow {
        /// Which section.
        number: usize,
        /// Diameter of the hollow.
        inner_m: f64,
        /// Diameter of the section.
        outer_m: f64,
    },
    /// A length that no shaft has for its diameter.
    #[error(
        "section {number}: {length_m} m long and {outer_m} m thick; at most {most} diameters, at least {least_m} m are allowed"
    )]
    Length {
        /// Which section.
        number: usize,
        /// Its length.
        length_m: f64,
        /// Its diameter.
        outer_m: f64,
        /// Most diameters.
        most: f64,
        /// Least length.
        least_m: f64,
    },
    /// A Poisson's ratio that no isotropic metal has.
    #[error("section {number}: a Poisson's ratio of {value}; it is to be from 0 to below 0.5")]
    Poisson {
        /// Which section.
        number: usize,
        /// What was given.
        value: f64,
    },
    /// A disc whose inertias no body has.
    #[error(
        "disc {number}: a polar inertia of {polar_kg_m2} kg m2 is more than twice the diametral one, {diametral_kg_m2} kg m2; no body has that"
    )]
    Inertia {
        /// Which disc.
        number: usize,
        /// Its polar inertia.
        polar_kg_m2: f64,
        /// Its diametral inertia.
        diametral_kg_m2: f64,
    },
    /// A place off the shaft.
    #[error("{part} {number} is at {at_m} m; the shaft runs from 0 to {length_m} m")]
    Outside {
        /// Kind of part.
        part: &'static str,
        /// Its number.
        number: usize,
        /// Where it was to be.
        at_m: f64,
        /// Length of the shaft.
        length_m: f64,
    },
    /// Two parts of a kind at one place.
    #[error("{part}s {one} and {other} are both at {at_m} m")]
    Overlap {
        /// Kind of part.
        part: &'static str,
        /// Number of one.
        one: usize,
        /// Number of the other.
        other: usize,
        /// Where both are.
        at_m: f64,
    },
    /// Supports that leave the shaft free to move as a whole.
    #[error(
        "the main bearings do not hold the shaft: it can move or tilt as a whole (least stiffness {ratio:.1e} of the greatest, at least {least:.0e} needed)"
    )]
    NotHeld {
        /// Least over greatest stiffness of the shaft taken as rigid.
        ratio: f64,
        /// What it is to be at least.
        least: f64,
    },
    /// Another number of supports than the shaft was built with.
    #[error("stiffness for {given} main bearings, but the shaft has {wanted}")]
    SupportCount {
        /// How many were given.
        given: usize,
        /// How many there are.
        wanted: usize,
    },
    /// A speed that is negative or not finite.
    #[error("a shaft speed of {omega_rad_s} rad/s; it is to be zero or more")]
    Speed {
        /// What was given.
        omega_rad_s: f64,
    },
    /// A load on a station that the shaft does not have.
    #[error("a load at station {station}, but the shaft has {stations} stations")]
    NoStation {
        /// Which was asked for, from 1.
        station: usize,
        /// How many there are.
        stations: usize,
    },
    /// A load that is not a finite number.
    #[error("the load at station {station} is not finite in harmonic {harmonic}")]
    Load {
        /// Which station, from 1.
        station: usize,
        /// Which harmonic of the shaft's speed.
        harmonic: isize,
    },
    /// A series of harmonics cannot be made of this many values.
    #[error("{given} values cannot be a series of harmonics; it takes an odd number, from -H to H")]
    Series {
        /// How many were given.
        given: usize,
    },
    /// Too few samples for the harmonics asked for.
    #[error("{samples} samples cannot give harmonics up to {highest}; it takes more than {least}")]
    Samples {
        /// How many were given.
        samples: usize,
        /// Highest harmonic asked for.
        highest: usize,
        /// Twice that.
        least: usize,
    },
    /// Harmonic excitation on an undamped natural frequency.
    #[error(
        "at {omega_rad_s} rad/s harmonic {harmonic} meets a natural frequency of the shaft without any damping: there is no steady motion"
    )]
    Resonance {
        /// Speed of the shaft.
        omega_rad_s: f64,
        /// Which harmonic.
        harmonic: isize,
    },
    /// Supports that push the shaft away.
    #[error(
        "the main bearings' stiffness pushes the shaft away from rest: natural frequencies do not exist"
    )]
    Indefinite,
    /// Eigenvalues that did not settle.
    #[error(
        "natural frequencies of a shaft with {unknowns} unknowns did not settle in {steps} steps"
    )]
    NoConvergence {
        /// Size of the problem.
        unknowns: usize,
        /// Steps that were allowed.
        steps: usize,
    },
    /// A cycle looked at in no steps.
    #[error("a cycle cannot be looked at in {steps} steps; it takes at least {least}")]
    Steps {
        /// What was asked for.
        steps: usize,
        /// The least.
        least: usize,
    },
}
