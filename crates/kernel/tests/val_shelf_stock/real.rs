//! An invented shop with a shelf of worn rotors and housings, planned by the real rules.

use super::numbers::Numbers;
use kernel::geometry::{
    FaceQuadrature, Flank, LandRing, LandSizes, SideFace, SideFaceSizes, Trochoid,
};
use kernel::heat::ASSUMED;
use kernel::plan::{Aim, Candidate, CutAreas, Guards, OnePlan, Placing, Reserves, Spec};
use kernel::readings::{FaceHeights, Heights, TIPS};
use kernel::room::{Outside, TrackWear};
use kernel::seals::{FaceSeal, SealLimits, Seals};
use kernel::shelf::{Pairing, Shelf, ShelfKind, ShelfRotor};
use kernel::units::{Density, Expansion, Length, Mass};

const LAND_RADIUS: Length = Length::mm(61.0);
const TIP_RADIUS: Length = Length::mm(99.0);

/// What the parts of a shop are like. Lengths in millimetres, masses in grams.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Like {
    pub(crate) lands_mm: [f64; 2],
    pub(crate) housings_mm: [f64; 2],
    pub(crate) masses_g: [f64; 2],
    pub(crate) matching_mm: f64,
    /// How far lands and tips of one face are uneven.
    pub(crate) uneven_mm: f64,
    /// How far tips lie below the land as found.
    pub(crate) steps_mm: [f64; 2],
    pub(crate) least_cut_mm: f64,
    pub(crate) target_mm: f64,
}

impl Like {
    /// A shelf as a shop has it.
    pub(crate) const USUAL: Self = Self {
        lands_mm: [79.80, 79.95],
        housings_mm: [79.99, 80.02],
        masses_g: [4250.0, 4350.0],
        matching_mm: 0.008,
        uneven_mm: 0.006,
        steps_mm: [0.06, 0.12],
        least_cut_mm: 0.0,
        target_mm: 0.16,
    };
}

/// Parts and what is wanted of them.
pub(crate) struct Shop {
    land: FaceQuadrature,
    outside: FaceQuadrature,
    pub(crate) spec: Spec,
    pub(crate) least_cut: Length,
    pub(crate) rotors: Vec<ShelfRotor>,
    /// Least width.
    pub(crate) housings: Vec<Length>,
    greatest: Vec<Length>,
    seals: Seals,
    guards: Guards,
}

impl Shop {
    pub(crate) fn new(seed: u64, rotors: usize, housings: usize, like: Like) -> Self {
        let mut n = Numbers(seed);
        let mm = Length::mm;
        let trochoid = Trochoid::new(mm(101.5), mm(14.5), mm(2.5)).unwrap();
        let sizes = SideFaceSizes { land_radius: LAND_RADIUS, rotor_tip_radius: TIP_RADIUS };
        let flank = Flank::new(trochoid, Length::ZERO).unwrap();
        let face = SideFace::new(flank, sizes, &[]).unwrap();
        let ring = LandRing::new(LandSizes { inner: mm(46.0), outer: LAND_RADIUS }, &[]).unwrap();
        let rotor = |n: &mut Numbers| {
            let width = n.between(like.lands_mm[0], like.lands_mm[1]);
            let step = n.between(like.steps_mm[0], like.steps_mm[1]);
            let mut face = |half: f64| {
                let land: [f64; TIPS] = std::array::from_fn(|k| {
                    half + if k == 0 { 0.0 } else { n.between(0.0, like.uneven_mm) }
                });
                FaceHeights {
                    land: land.map(mm),
                    tip: land.map(|land| mm(land - step + n.between(0.0, like.uneven_mm))),
                }
            };
            let heights = Heights { gear: face(0.5 * width), plain: face(0.5 * width) };
            ShelfRotor { heights, mass: Mass::g(n.between(like.masses_g[0], like.masses_g[1])) }
        };
        let rotors = (0..rotors).map(|_| rotor(&mut n)).collect();
        let housings: Vec<Length> = (0..housings)
            .map(|_| mm(n.between(like.housings_mm[0], like.housings_mm[1])))
            .collect();
        let greatest = housings.iter().map(|w| *w + mm(n.between(0.0, 0.006))).collect();
        let corner = FaceSeal {
            height: mm(8.0),
            groove_depth: mm(8.4),
            radius: mm(97.0),
            solid: None,
            least_load: None,
        };
        Self {
            land: ring.quadrature(),
            outside: face.quadrature(),
            spec: Spec {
                side_clearance: Aim { target: mm(like.target_mm), tolerance: mm(0.03) },
                step: Aim { target: mm(0.12), tolerance: mm(0.02) },
                matching: mm(like.matching_mm),
                land_cut_limit: mm(0.15),
                tip_cut_limit: mm(0.25),
                outside: Outside::Step,
            },
            least_cut: mm(like.least_cut_mm),
            rotors,
            housings,
            greatest,
            seals: Seals { corner: Some(corner), ..Seals::default() },
            guards: Guards {
                clearance: Length::um(5.0),
                step: Length::um(7.5),
                matching: Length::um(4.0).min(mm(like.matching_mm)),
            },
        }
    }

    pub(crate) fn areas(&self) -> CutAreas<'_> {
        CutAreas {
            land: &self.land,
            outside: &self.outside,
            land_radius: LAND_RADIUS,
            tip_radius: TIP_RADIUS,
            shape: self.spec.outside,
        }
    }

    pub(crate) const fn density() -> Density {
        Density::kg_per_m3(7150.0)
    }

    pub(crate) fn kind(&self) -> ShelfKind<'_> {
        ShelfKind {
            spec: &self.spec,
            least_cut: self.least_cut,
            areas: self.areas(),
            density: Self::density(),
        }
    }

    pub(crate) fn candidate(&self, p: Pairing) -> Candidate {
        let heights = self.rotors[p.rotor].heights;
        Placing {
            heights,
            first_heights: heights,
            taken: [[Length::ZERO; TIPS]; 4],
            width_least: self.housings[p.housing],
            width_greatest: self.greatest[p.housing],
            waist: Length::mm(89.5),
            land_radius: LAND_RADIUS,
            tip_radius: TIP_RADIUS,
            front: TrackWear::default(),
            rear: TrackWear::default(),
            rotor_expansion: Expansion::per_k(11.0e-6),
            housing_expansion: Expansion::per_k(21.5e-6),
            states: &ASSUMED,
            seals: &self.seals,
            seal_limits: &SealLimits {
                corner_engagement_least: Some(Length::mm(6.0)),
                ..SealLimits::default()
            },
            reserves: Reserves { treated_layer: Some(Length::mm(0.4)), ..Reserves::default() },
            guards: self.guards,
            guards_now: self.guards,
        }
        .candidate()
    }

    /// The shop's stock, every finished rotor taken to hold between the real walls.
    pub(crate) fn stock<'a>(
        &'a self,
        kinds: &'a [ShelfKind<'a>],
    ) -> Shelf<
        'a,
        impl Fn(Pairing) -> Option<Candidate> + Sync + 'a,
        impl Fn(Pairing, &Candidate, &OnePlan) -> bool + Sync + 'a,
    > {
        let candidate = |p| Some(self.candidate(p));
        Shelf::new(kinds, &self.rotors, &self.housings, candidate, |_, _, _| true)
    }
}
