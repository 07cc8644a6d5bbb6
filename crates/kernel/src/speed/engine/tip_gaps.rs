//! The gap of every tip by two scales, one of the lean and one of the heat: what marks found at a
//! teardown are held against.
//!
//! A free rotor's lean goes straight with the scale of what makes it lean, at every instant; what
//! that and the heat leave a tip does not, since the point of the land that bears changes with the
//! lean and with the wedge of a hot housing. So the least gap over the cycle is taken at some scales
//! of each and goes straight between them. A lean that both lands stop takes no more of a gap: a tip
//! is never left less than what the lands hold.

use super::super::pose::Slope;
use super::chance::UPRIGHT_DEG;
use super::error::SpeedError;
use super::model::{CYCLE_DEG, Running};
use super::point::{Engine, Point, Scales};
use super::uncertain::Uncertainty;
use crate::heat::ThermalState;
use crate::readings::{Face, TIPS};
use crate::room::{ColdSizes, HotSizes, SIDES};
use crate::units::{Expansion, Length, TemperatureDifference};

/// Scales of the lean at which gaps are taken: none, then as far apart as the gap bends.
pub const TILTS: [f64; 8] = [0.0, 0.4, 0.7, 1.0, 1.3, 1.7, 2.3, 3.2];
/// Scales of the rises, likewise.
pub const HEATS: [f64; 5] = [0.0, 0.6, 1.0, 1.4, 2.0];
/// Heights of a rotor: gear land, plain land, gear tip, plain tip.
const HEIGHTS: usize = 4 * TIPS;

/// A gap by the scales of lean and heat: a row for each of [`TILTS`], in it a value for each of
/// [`HEATS`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapTable(pub [[f64; HEATS.len()]; TILTS.len()]);

/// In which part of a row of places a value lies, and how far along; past the ends the last part
/// goes on.
fn part(places: &[f64], value: f64) -> (usize, f64) {
    let after = places.partition_point(|place| *place <= value).clamp(1, places.len() - 1);
    let (low, high) = (places[after - 1], places[after]);
    (after - 1, (value - low) / (high - low))
}

impl GapTable {
    /// A gap that goes straight with both scales: what is left with none of either, less so much for
    /// each of the lean and of the heat.
    #[must_use]
    pub fn straight(at_none_m: f64, per_tilt_m: f64, per_heat_m: f64) -> Self {
        Self(TILTS.map(|tilt| HEATS.map(|heat| at_none_m - tilt * per_tilt_m - heat * per_heat_m)))
    }

    /// The gap at these scales, in metres.
    #[must_use]
    pub fn at(&self, tilt: f64, heat: f64) -> f64 {
        let ((i, s), (j, h)) = (part(&TILTS, tilt), part(&HEATS, heat));
        let along = |row: &[f64; HEATS.len()]| row[j] + h * (row[j + 1] - row[j]);
        let (low, high) = (along(&self.0[i]), along(&self.0[i + 1]));
        low + s * (high - low)
    }
}

/// The least gap of one tip of one face over a cycle, at worst float.
#[derive(Debug, Clone, PartialEq)]
pub struct TipGaps {
    /// Which tip (0, 1, 2).
    pub tip: usize,
    /// Which face.
    pub face: Face,
    /// The gap; negative: the tip would touch before the land.
    pub gap: GapTable,
    /// Standard uncertainty from this tip's own heights.
    pub own_m: f64,
}

/// The gaps of all tips of one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorTips {
    /// Its serial.
    pub serial: String,
    /// Those that ever have metal opposite, face by face.
    pub tips: Vec<TipGaps>,
    /// Standard uncertainty that all its tips share: temperatures, expansions, width and peak
    /// pressure of this engine, at its nearest tip.
    pub shared_m: f64,
}

/// A rotor as it is looked at: hot in its own state so many times over, leaning so much.
struct Look<'a> {
    engine: &'a Engine,
    index: usize,
    leans: &'a [Slope],
}

/// The least gap of each tip over a cycle, with the degree of the shaft it is at.
type Least = [[Option<(f64, usize)>; SIDES]; TIPS];

impl Look<'_> {
    fn cold(&self) -> ColdSizes {
        self.engine.model.rotors[self.index].cold
    }

    fn sizes(&self, cold: &ColdSizes) -> HotSizes {
        self.engine.model.rotors[self.index].room.sizes(cold)
    }

    fn heated(&self, heat: f64) -> HotSizes {
        let cold = self.cold();
        self.sizes(&ColdSizes { state: cold.state.times(heat), ..cold })
    }

    fn lean(&self, degree: usize, tilt: f64) -> Slope {
        self.leans[degree].map(|lean| tilt * lean)
    }

    /// The gap of a tip at a degree of the shaft.
    fn gap_m(
        &self,
        sizes: &HotSizes,
        degree: usize,
        lean: Slope,
        at: (usize, usize),
    ) -> Option<f64> {
        let rotor = &self.engine.model.rotors[self.index];
        let gaps = rotor.room.tip_gaps_at(sizes, degree + rotor.throw_deg, lean);
        gaps[at.0][at.1].map(|gap| gap.worst_float_m)
    }

    fn least(&self, sizes: &HotSizes, tilt: f64) -> Least {
        let rotor = &self.engine.model.rotors[self.index];
        let mut least: Least = [[None; SIDES]; TIPS];
        for degree in 0..CYCLE_DEG {
            let own = degree + rotor.throw_deg;
            let gaps = rotor.room.tip_gaps_at(sizes, own, self.lean(degree, tilt));
            for (kept, found) in least.iter_mut().flatten().zip(gaps.iter().flatten()) {
                let Some(found) = found else { continue };
                if kept.is_none_or(|(gap, _)| found.worst_float_m < gap) {
                    *kept = Some((found.worst_float_m, degree));
                }
            }
        }
        least
    }

    /// What the lands leave of each tip's gap where both stop the lean: `δ − (r_T/r_L − 1) c`, at the
    /// instant where that is least.
    fn held(&self, sizes: &HotSizes) -> [[f64; SIDES]; TIPS] {
        let rotor = &self.engine.model.rotors[self.index];
        let beyond = self.engine.beyond(self.index);
        let mut least = [[f64::INFINITY; SIDES]; TIPS];
        for degree in (0..CYCLE_DEG).step_by(UPRIGHT_DEG) {
            let own = degree + rotor.throw_deg;
            let (range, gaps) = rotor.room.tips_and_float(sizes, own, [0.0; 2]);
            let stopped_m = beyond * 0.5 * (range.most_m - range.least_m);
            for (kept, gap) in least.iter_mut().flatten().zip(gaps.iter().flatten()) {
                if let Some(gap) = gap {
                    *kept = kept.min(gap.worst_float_m - stopped_m);
                }
            }
        }
        least
    }

    fn tips(&self, factor_m: &[[f64; HEIGHTS]; HEIGHTS]) -> Vec<TipGaps> {
        let room = &self.engine.model.rotors[self.index].room;
        let mut tables = [[Some(GapTable([[0.0; HEATS.len()]; TILTS.len()])); SIDES]; TIPS];
        for (j, heat) in HEATS.into_iter().enumerate() {
            let sizes = self.heated(heat);
            let held = self.held(&sizes);
            for (i, tilt) in TILTS.into_iter().enumerate() {
                let free = self.least(&sizes, tilt);
                for (tip, sides) in tables.iter_mut().enumerate() {
                    for (side, table) in sides.iter_mut().enumerate() {
                        match (table.as_mut(), free[tip][side]) {
                            (Some(table), Some((gap_m, _))) => {
                                table.0[i][j] = gap_m.max(held[tip][side]);
                            }
                            _ => *table = None,
                        }
                    }
                }
            }
        }
        (0..SIDES)
            .flat_map(|side| (0..TIPS).map(move |tip| (tip, side)))
            .filter_map(|(tip, side)| {
                let face = room.face_at(side);
                let gap = tables[tip][side]?;
                Some(TipGaps { tip, face, gap, own_m: own_m(factor_m, face, tip) })
            })
            .collect()
    }
}

impl Engine {
    /// Gaps of all tips at one speed and boost, by lean and heat: those of the engine as it is
    /// modelled without what a shop has taught of the lean.
    ///
    /// # Errors
    /// [`SpeedError`] for what cannot be computed.
    pub fn tip_gaps(
        &self,
        running: Running,
        uncertainty: &Uncertainty,
    ) -> Result<Vec<RotorTips>, SpeedError> {
        let point = self.point(running)?;
        self.tip_gaps_at(&point, uncertainty)
    }

    /// The same at a point that was computed.
    ///
    /// # Errors
    /// [`SpeedError`] for what cannot be computed.
    pub fn tip_gaps_at(
        &self,
        point: &Point,
        uncertainty: &Uncertainty,
    ) -> Result<Vec<RotorTips>, SpeedError> {
        let n = self.model.rotors.len();
        if uncertainty.rotors.len() != n {
            let (what, count) = ("rotors with uncertainties", uncertainty.rotors.len());
            return Err(SpeedError::Count { what, count, wanted: n });
        }
        // What was taught is taken out again: the scales are of what is computed.
        let scales = Scales { lean: 1.0 / self.model.lean(), ..Scales::as_modelled(n) };
        let leans = self.free_leans(&point.loads, &point.films, &scales)?;
        Ok((0..n)
            .map(|index| {
                let look = Look { engine: self, index, leans: &leans[index] };
                RotorTips {
                    serial: self.model.rotors[index].serial.clone(),
                    tips: look.tips(&uncertainty.rotors[index].heights_factor_m),
                    shared_m: shared_m(&look, uncertainty),
                }
            })
            .collect())
    }
}

/// Standard uncertainty of the step at a tip, from a factor of the heights' covariance.
fn own_m(factor_m: &[[f64; HEIGHTS]; HEIGHTS], face: Face, tip: usize) -> f64 {
    let land = TIPS * usize::from(face == Face::Plain) + tip;
    let (land, tip) = (&factor_m[land], &factor_m[2 * TIPS + land]);
    land.iter().zip(tip).map(|(land, tip)| (land - tip).powi(2)).sum::<f64>().sqrt()
}

/// What is uncertain of an engine's temperatures, expansions and pressure, at the gap of the tip that
/// comes nearest to its wall; nothing where no tip has metal opposite.
fn shared_m(look: &Look<'_>, uncertainty: &Uncertainty) -> f64 {
    let cold = look.cold();
    let hot = look.sizes(&cold);
    let least = look.least(&hot, 1.0);
    let nearest = least.iter().enumerate().flat_map(|(tip, sides)| {
        sides.iter().enumerate().filter_map(move |(side, gap)| Some(((tip, side), (*gap)?)))
    });
    let Some((at, (gap_m, degree))) = nearest.min_by(|a, b| a.1.0.total_cmp(&b.1.0)) else {
        return 0.0;
    };
    let off_m = |cold: &ColdSizes, tilt: f64| {
        let sizes = look.sizes(cold);
        look.gap_m(&sizes, degree, look.lean(degree, tilt), at).map_or(0.0, |gap| gap - gap_m)
    };
    let more = |state: ThermalState| ColdSizes { state, ..cold };
    let raised =
        |rise: TemperatureDifference| TemperatureDifference::k(rise.to_k() + uncertainty.rise_k);
    let state = cold.state;
    let wider = |expansion: Expansion| {
        Expansion::per_k(expansion.to_per_k() * (1.0 + uncertainty.expansion))
    };
    let changed = [
        off_m(&more(ThermalState { housing: raised(state.housing), ..state }), 1.0),
        off_m(&more(ThermalState { hot_arc: raised(state.hot_arc), ..state }), 1.0),
        off_m(&more(ThermalState { land: raised(state.land), ..state }), 1.0),
        off_m(&more(ThermalState { tip: raised(state.tip), ..state }), 1.0),
        off_m(&ColdSizes { rotor_expansion: wider(cold.rotor_expansion), ..cold }, 1.0),
        off_m(&ColdSizes { housing_expansion: wider(cold.housing_expansion), ..cold }, 1.0),
        off_m(
            &ColdSizes {
                width: cold.width + Length::m(uncertainty.rotors[look.index].width_m),
                ..cold
            },
            1.0,
        ),
        off_m(&cold, 1.0 + uncertainty.peak_pressure),
    ];
    changed.iter().map(|off| off * off).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::{GapTable, HEATS, TILTS};

    #[test]
    fn a_straight_gap_is_straight_between_its_places_and_past_them() {
        let table = GapTable::straight(110e-6, 40e-6, 25e-6);
        for tilt in [0.0, 0.2, 0.999, 1.0, 2.9, 3.2, 6.0] {
            for heat in [0.0, 0.3, 1.0, 1.7, 2.0, 3.5] {
                let wanted = 110e-6 - tilt * 40e-6 - heat * 25e-6;
                assert!((table.at(tilt, heat) - wanted).abs() < 1e-18, "{tilt} {heat}");
            }
        }
    }

    #[test]
    fn a_table_is_met_at_its_places() {
        let mut table = GapTable([[0.0; HEATS.len()]; TILTS.len()]);
        for (i, row) in table.0.iter_mut().enumerate() {
            for (j, value) in row.iter_mut().enumerate() {
                *value = (i * i + 3 * j * j) as f64;
            }
        }
        for (i, tilt) in TILTS.into_iter().enumerate() {
            for (j, heat) in HEATS.into_iter().enumerate() {
                assert!((table.at(tilt, heat) - (i * i + 3 * j * j) as f64).abs() < 1e-12);
            }
        }
    }
}
