//! Where a tip's gap goes: one cause after the other, at the tip and the moment of the least gap.
//!
//! Causes are added in a fixed order and each is what it changes on top of those before it; in
//! another order the parts would differ a little, their sum would not. The film comes after what
//! bends the shaft: before it, rotors follow their journals exactly.

use super::super::pose::TiltFilm;
use super::error::SpeedError;
use super::point::{Engine, Point, RotorFilm, Scales};
use crate::heat::ThermalState;
use crate::room::{ColdSizes, HotSizes, TipGap};

/// Tilt stiffness of a film that gives no way.
const RIGID_N_M_PER_RAD: f64 = 1e9;

/// What changes a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cause {
    /// Rotor and housing hot.
    Heat,
    /// What turns with the shaft bends it.
    Inertia,
    /// Gas bends the shaft.
    Gas,
    /// Rotors lag and lead their journals in the film; their tilt inertia with it.
    Film,
    /// The mesh tilts the rotor.
    Gear,
    /// Gas on the sides tilts the rotor.
    SideGas,
    /// Walls hold the rotor.
    Walls,
}

impl Cause {
    /// In the order in which they are added.
    pub const ALL: [Self; 7] =
        [Self::Heat, Self::Inertia, Self::Gas, Self::Film, Self::Gear, Self::SideGas, Self::Walls];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Heat => "heat",
            Self::Inertia => "shaft bent by inertia",
            Self::Gas => "shaft bent by gas",
            Self::Film => "oil film and tilt inertia",
            Self::Gear => "gear",
            Self::SideGas => "gas on the sides",
            Self::Walls => "held by the walls",
        }
    }
}

/// The budget of one tip.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// Which tip (0, 1, 2).
    pub tip: usize,
    /// At which wall: 0 behind, 1 in front.
    pub side: usize,
    /// Degree of the shaft.
    pub at_deg: usize,
    /// At 20 °C, upright: at worst float this is the step, as the land under and across lets it.
    pub start: Gap,
    /// Each cause with what it leaves.
    pub causes: Vec<(Cause, Gap)>,
}

/// A gap at worst float and centred, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// With the land at the wall.
    pub worst_float_m: f64,
    /// In the middle of its float.
    pub centred_m: f64,
}

impl From<TipGap> for Gap {
    fn from(gap: TipGap) -> Self {
        Self { worst_float_m: gap.worst_float_m, centred_m: gap.centred_m }
    }
}

impl Engine {
    /// The budget of the tip of a rotor that comes nearest to its wall; nothing where no tip has
    /// metal opposite.
    ///
    /// # Errors
    /// [`SpeedError`] where a step of it cannot be computed.
    pub fn budget(&self, point: &Point, index: usize) -> Result<Option<Budget>, SpeedError> {
        let gaps = &point.poses.real().gaps[index];
        let Some((tip, side, least)) = gaps.least() else { return Ok(None) };
        let n = self.model.rotors.len();
        let rotor = &self.model.rotors[index];
        let at_deg = least.at;
        let own = at_deg + rotor.throw_deg;
        let read = |sizes: &HotSizes, lean: [f64; 2]| -> Option<Gap> {
            rotor.room.tip_gaps_at(sizes, own, lean)[tip][side].map(Gap::from)
        };
        let cold = rotor.room.sizes(&ColdSizes { state: ThermalState::COLD, ..rotor.cold });
        let hot = &self.sizes[index];
        let (Some(start), Some(heat)) = (read(&cold, [0.0; 2]), read(hot, [0.0; 2])) else {
            return Ok(None);
        };
        let mut scales =
            Scales { gas: 0.0, mesh: 0.0, side: 0.0, tilt_inertia: 0.0, ..Scales::as_modelled(n) };
        let rigid = rigid(&point.films);
        let mut causes = vec![(Cause::Heat, heat)];
        let mut add =
            |cause: Cause, scales: &Scales, films: &[RotorFilm]| -> Result<(), SpeedError> {
                let free = self.free_leans(&point.loads, films, scales)?;
                if let Some(gap) = read(hot, free[index][at_deg]) {
                    causes.push((cause, gap));
                }
                Ok(())
            };
        add(Cause::Inertia, &scales, &rigid)?;
        scales.gas = 1.0;
        add(Cause::Gas, &scales, &rigid)?;
        scales.tilt_inertia = 1.0;
        add(Cause::Film, &scales, &point.films)?;
        scales.mesh = 1.0;
        add(Cause::Gear, &scales, &point.films)?;
        scales.side = 1.0;
        add(Cause::SideGas, &scales, &point.films)?;
        if let Some(held) = &point.poses.held
            && let Some(gap) = read(hot, held.cycle.rotors[index][at_deg].lean)
        {
            causes.push((Cause::Walls, gap));
        }
        Ok(Some(Budget { tip, side, at_deg, start, causes }))
    }
}

/// Films that give no way.
fn rigid(films: &[RotorFilm]) -> Vec<RotorFilm> {
    films
        .iter()
        .map(|film| RotorFilm {
            tilt: vec![
                TiltFilm {
                    stiffness: [[RIGID_N_M_PER_RAD, 0.0], [0.0, RIGID_N_M_PER_RAD]],
                    damping: [[0.0; 2]; 2],
                    edges: None,
                };
                film.tilt.len()
            ],
            ..film.clone()
        })
        .collect()
}
