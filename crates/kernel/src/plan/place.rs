//! A rotor put in its place: everything that limits it, from its sizes, its housing, its walls,
//! the heat of the duty and its seals.

use super::candidate::{
    Area, Candidate, Depth, DepthLimit, Guards, JamLimit, NeedLine, SealMargin, greatest, least,
};
use crate::heat::{STATES, ThermalState, grown};
use crate::readings::{Face, Heights, TIPS};
use crate::room::{StepNeed, TrackWear};
use crate::seals::{SealLimits, SealedRotor, Seals, margins};
use crate::units::{Expansion, Length};

/// What lies under the faces, and what of it must remain.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reserves {
    /// How far the gear lies below the gear face's land.
    pub gear_recess: Option<Length>,
    /// How far the bearing's edge lies below either land.
    pub bearing_recess: Option<Length>,
    /// Depth of the treated layer of both faces.
    pub treated_layer: Option<Length>,
    /// Depth of the lead-ins at the mouths of the seal grooves.
    pub lead_in: Option<Length>,
    /// Least recess that must remain.
    pub recess_least: Length,
    /// Least treated layer that must remain.
    pub treated_least: Length,
    /// Least lead-in that must remain.
    pub lead_in_least: Length,
}

impl Reserves {
    fn limits(&self) -> Vec<DepthLimit> {
        let mut limits = Vec::new();
        let mut limit =
            |depth, have: Option<Length>, keep: Length, faces: &[Face], areas: &[Area]| {
                let Some(have) = have else { return };
                let most = (have - keep).max(Length::ZERO);
                for face in faces {
                    limits.extend(areas.iter().map(|area| DepthLimit {
                        depth,
                        face: *face,
                        area: *area,
                        most,
                    }));
                }
            };
        let (land, both) = ([Area::Land], [Area::Land, Area::Tip]);
        limit(Depth::GearRecess, self.gear_recess, self.recess_least, &[Face::Gear], &land);
        limit(Depth::BearingRecess, self.bearing_recess, self.recess_least, &Face::BOTH, &land);
        limit(Depth::TreatedLayer, self.treated_layer, self.treated_least, &Face::BOTH, &both);
        limit(Depth::LeadIn, self.lead_in, self.lead_in_least, &Face::BOTH, &both);
        limits
    }
}

/// A rotor with its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placing<'a> {
    /// Its faces as they are.
    pub heights: Heights,
    /// Its faces before any cut of this plan, when the depths of its grooves were measured.
    pub first_heights: Heights,
    /// What was cut before, see [`Candidate::taken`].
    pub taken: [[Length; TIPS]; 4],
    /// Least width of its housing.
    pub width_least: Length,
    /// Greatest width of its housing.
    pub width_greatest: Length,
    /// Distance of the bore's waist from the shaft axis.
    pub waist: Length,
    /// Outer radius of the land.
    pub land_radius: Length,
    /// Outermost radius of the side face at a tip.
    pub tip_radius: Length,
    /// Wear of the wall in front.
    pub front: TrackWear,
    /// Wear of the wall behind.
    pub rear: TrackWear,
    /// Expansion of the rotor.
    pub rotor_expansion: Expansion,
    /// Expansion of the housing.
    pub housing_expansion: Expansion,
    /// Thermal states, cold first.
    pub states: &'a [ThermalState; STATES],
    /// Sizes of its seals.
    pub seals: &'a Seals,
    /// What the spec asks of them.
    pub seal_limits: &'a SealLimits,
    /// What lies under its faces.
    pub reserves: Reserves,
    /// Guards of its finished sizes.
    pub guards: Guards,
    /// Guards of its sizes as they are, see [`Candidate::guards_now`].
    pub guards_now: Guards,
}

impl Placing<'_> {
    /// The rotor ready to be planned.
    #[must_use]
    pub fn candidate(&self) -> Candidate {
        let need = StepNeed {
            greatest_width: self.width_greatest,
            land_width: self.width_greatest,
            land_radius: self.land_radius,
            tip_radius: self.tip_radius,
            front: self.front,
            rear: self.rear,
            rotor_expansion: self.rotor_expansion,
            housing_expansion: self.housing_expansion,
        };
        let jam = |state| {
            let (housing, rotor) = (self.housing_expansion, self.rotor_expansion);
            JamLimit::of(self.width_least, self.waist, housing, rotor, state)
        };
        Candidate {
            heights: self.heights,
            taken: self.taken,
            width_least: self.width_least,
            width_greatest: self.width_greatest,
            land_radius: self.land_radius,
            tip_radius: self.tip_radius,
            touches: false,
            guards: self.guards,
            guards_now: self.guards_now,
            step_needed: self.states.iter().map(|state| NeedLine::of(&need, state)).collect(),
            jams: self.states.iter().map(jam).collect(),
            seals: self.seal_margins(),
            depths: self.reserves.limits(),
        }
    }

    /// The rotor as its seals see it in one thermal state.
    #[must_use]
    pub fn sealed_in(&self, state: &ThermalState) -> SealedRotor {
        let width =
            grown(self.width_greatest, self.housing_expansion, state.housing + state.hot_arc);
        let beyond = |wall: TrackWear| wall.tip - wall.land;
        let both = |of: fn(&crate::readings::FaceHeights) -> [Length; 3]| {
            let (gear, plain) = (of(&self.first_heights.gear), of(&self.first_heights.plain));
            [least(&gear).min(least(&plain)), greatest(&gear).max(greatest(&plain))]
        };
        SealedRotor {
            room: width + self.front.land + self.rear.land,
            tip_wear: [
                beyond(self.front).min(beyond(self.rear)),
                beyond(self.front).max(beyond(self.rear)),
            ],
            land_radius: self.land_radius,
            land_growth: 1.0 + self.rotor_expansion * state.land,
            step_lost_per_width: 0.5 * (self.rotor_expansion * (state.tip - state.land)),
            tip_height: both(|face| face.tip),
            land_height: both(|face| face.land),
        }
    }

    fn seal_margins(&self) -> Vec<SealMargin> {
        self.states
            .iter()
            .flat_map(|state| margins(self.seals, self.seal_limits, &self.sealed_in(state)))
            .collect()
    }
}
