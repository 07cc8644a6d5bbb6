//! Pressure of a film on lines round and along the bearing: the two-dimensional solution.
//!
//! Laminar, isoviscous, rigid. With the journal's centre at `e` from the bearing's, the film is
//! `h = c − e·n(α)` thick in the direction `n(α)`, and Reynolds' equation reads
//! `∇·(h³∇p) = 12μ(∂h/∂t + ω̄ ∂h/∂α) = −12μ (ė − iω̄e)·n`, `ω̄ = (ω_j + ω_b)/2` [CAMERON] (from
//! memory, derived again). So motion enters through one vector, the squeeze velocity
//! `v = ė − iω̄e` seen from axes that turn with the film; steady running is a squeeze a quarter
//! turn behind the eccentricity. This is what the method of mobility rests on [BOOKER].
//!
//! The film holds no tension: where pressure would fall below nothing, it is nothing. Pressure is
//! the solution of the complementarity problem `p ≥ 0`, `−∇·(h³∇p) − 12μ v·n ≥ 0`, one of both
//! being zero everywhere. At its end that is the condition of Swift and Stieber (`p` and its
//! slope vanish). It is taken instead of half a film because it is a film's own doing in any
//! motion, needs no angle to be told, and its force is the gradient of a convex function of the
//! velocity, so that damping is symmetric and positive whatever the motion. The published tables
//! for steady loads start the film at the widest gap; [`Supply::WidestGap`] does so too.
//!
//! Figures here carry no unit: length over clearance, `H = 1 − ε·n`; `ζ` is 0 at the mid-plane
//! and 1 at the edge; pressure over `12μR²/c³` times velocity, force over [`scale`]. Axes: `r`
//! along the eccentricity, `t` a quarter turn ahead.
//!
//! [`scale`]: super::Bearing

use super::error::FilmError;
use super::grid::Fineness;
use super::matrix::{Matrix2, solve, times};
use super::sheet::Sheet;

/// Where pressure is held at nothing by a supply of oil.
#[derive(Debug, Clone, PartialEq)]
pub enum Supply {
    /// Nowhere: the film begins and ends where it will.
    Free,
    /// On a line at the widest gap, as the published tables for steady loads have it.
    WidestGap,
    /// In axial grooves, each from one angle to another, radians from the thinnest place, the
    /// second one larger.
    Grooves(Vec<[f64; 2]>),
}

/// A film whose pressure is solved on the spot.
#[derive(Debug, Clone, PartialEq)]
pub struct DirectFilm {
    /// Length of the bearing over its diameter.
    pub length_over_diameter: f64,
    /// How fine.
    pub fineness: Fineness,
    /// Where oil comes in.
    pub supply: Supply,
}

/// What a film does for one eccentricity and one motion, without units, in the axes `r`, `t`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectForces {
    /// Force of the film on the bearing: what the journal carries.
    pub force: [f64; 2],
    /// Force per squeeze velocity; symmetric.
    pub damping: Matrix2,
    /// Force per displacement at the same squeeze velocity.
    pub stiffness: Matrix2,
    /// Moment per velocity of the journal's edge; symmetric. The moment is that of the pressure
    /// times `ζ`.
    pub tilt_damping: Matrix2,
    /// Moment per displacement of the journal's edge at the same squeeze velocities.
    pub tilt_stiffness: Matrix2,
}

/// Rounds in which a load's motion is looked for; it settles in five.
const LOAD_ROUNDS: usize = 40;
/// How closely the film carries the load asked for, relative.
const LOAD_TOLERANCE: f64 = 1e-10;

impl DirectFilm {
    /// Forces at an eccentricity ratio in `0..1` and a squeeze velocity.
    ///
    /// # Errors
    /// [`FilmError::NotConverged`] if the extent of the film does not settle.
    pub fn forces(
        &self,
        eccentricity_ratio: f64,
        velocity: [f64; 2],
    ) -> Result<DirectForces, FilmError> {
        let mut sheet = Sheet::new(self, eccentricity_ratio, velocity);
        sheet.settle(velocity)?;
        Ok(sheet.forces(velocity))
    }

    /// The squeeze velocity at which the film carries `load`, and the forces there; `guess` is a
    /// velocity to start from.
    ///
    /// # Errors
    /// [`FilmError::NotConverged`] if it is not found.
    pub fn carrying(
        &self,
        eccentricity_ratio: f64,
        load: [f64; 2],
        guess: [f64; 2],
    ) -> Result<([f64; 2], DirectForces), FilmError> {
        let mut velocity = guess;
        let mut sheet = Sheet::new(self, eccentricity_ratio, velocity);
        let mut off = f64::INFINITY;
        for _ in 0..LOAD_ROUNDS {
            if self.supply == Supply::Free && !sheet.is_laid_for(velocity) {
                sheet = Sheet::new(self, eccentricity_ratio, velocity);
            }
            if let Some(settled) = sheet.settle_under(load)? {
                velocity = settled;
            } else {
                // Extent for one velocity, then the velocity for that extent: slower, and sure.
                sheet.settle(velocity)?;
                let Some(next) = solve(&sheet.damping(), load) else { break };
                velocity = next;
            }
            if self.supply == Supply::Free && !sheet.is_laid_for(velocity) {
                continue;
            }
            sheet.settle(velocity)?;
            let force = times(&sheet.damping(), velocity);
            off = (force[0] - load[0]).hypot(force[1] - load[1]) / load[0].hypot(load[1]);
            if off <= LOAD_TOLERANCE {
                return Ok((velocity, sheet.forces(velocity)));
            }
        }
        let what = "the motion that carries a load";
        Err(FilmError::NotConverged { what, steps: LOAD_ROUNDS, residual: off })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// A concentric journal in a full film: every place wet, and nothing on the lines square to
    /// the motion, where its pressure changes sign.
    fn full_film(length_over_diameter: f64, fineness: Fineness) -> DirectForces {
        let square = [[-0.5 * PI, -0.5 * PI], [0.5 * PI - 1e-3, 0.5 * PI + 1e-3]];
        let supply = Supply::Grooves(square.to_vec());
        let film = DirectFilm { length_over_diameter, fineness, supply };
        let mut sheet = Sheet::new(&film, 0.0, [1.0, 0.0]);
        for at in 0..sheet.free.len() {
            sheet.free[at] = !sheet.held[at / fineness.along];
        }
        assert_eq!(sheet.held.iter().filter(|held| **held).count(), 2);
        sheet.factor().unwrap();
        sheet.forces([1.0, 0.0])
    }

    /// Across: the film's profile is `1 − cosh(aζ)/cosh a`, in tilt `ζ − sinh(aζ)/sinh a`, with
    /// `a` length over diameter; short, `πa²/3` and `πa²/45`. With units the second is `πμRL⁵/60c³`
    /// and, turning, `πμωRL⁵/120c³`: `L²/60` of the first. Nobody's table; derived. The figures
    /// are a finite-difference solution's for the part that is left of the short moment.
    #[test]
    fn a_concentric_journal_resists_squeeze_and_tilt_as_it_should() {
        let fineness = Fineness { round: 192, along: 12 };
        for (a, left) in [(0.1, 0.996), (0.25, 0.991), (0.5, 0.974), (1.0, 0.910_f64)] {
            let forces = full_film(a, fineness);
            let across = PI * (1.0 - a.tanh() / a);
            let tilting = PI * (1.0 / 3.0 - (a / a.tanh() - 1.0) / (a * a));
            assert!((forces.damping[0][0] / across - 1.0).abs() < 1e-3, "{a}: {forces:?}");
            let got = forces.tilt_damping[0][0];
            assert!((got / tilting - 1.0).abs() < 6e-3, "{a}: {got} {tilting}");
            let short = PI * a * a / 45.0;
            assert!((got / short - left).abs() < 0.008, "{a}: {} {left}", got / short);
        }
    }

    #[test]
    fn force_is_damping_times_velocity_and_pressure_is_nowhere_negative() {
        let film = DirectFilm {
            length_over_diameter: 0.7,
            fineness: Fineness { round: 96, along: 6 },
            supply: Supply::Free,
        };
        for ratio in [0.0, 0.2, 0.7, 0.95, 0.995] {
            for angle in [0.0_f64, 0.7, 1.6, 2.4, 3.1, -1.2] {
                let velocity = [angle.cos(), angle.sin()];
                let mut sheet = Sheet::new(&film, ratio, velocity);
                sheet.settle(velocity).unwrap();
                let strip = sheet.force_of(&sheet.pressure);
                let forces = sheet.forces(velocity);
                let size = strip[0].hypot(strip[1]);
                for (strip, force) in strip.iter().zip(forces.force) {
                    assert!((strip - force).abs() < 1e-9 * size);
                }
                assert!(sheet.pressure.iter().all(|p| *p >= -1e-12 * size), "{ratio} {angle}");
                // Work is lost in every motion, in tilt too.
                for m in [forces.damping, forces.tilt_damping] {
                    assert!(m[0][0] > 0.0 && m[0][0] * m[1][1] > m[0][1] * m[1][0]);
                }
                // The first line is dry, and rightly so: nothing presses there.
                let mut flow = vec![0.0; sheet.free.len()];
                sheet.even.times(&sheet.pressure, &mut flow);
                for (j, flow) in flow.iter().enumerate().take(6) {
                    assert!(sheet.squeezed_out(j, velocity) - flow <= 0.0, "{ratio} {angle}");
                }
            }
        }
    }

    #[test]
    fn the_velocity_found_for_a_load_carries_it() {
        let film = DirectFilm {
            length_over_diameter: 0.5,
            fineness: Fineness { round: 96, along: 6 },
            supply: Supply::Free,
        };
        for ratio in [0.0, 0.4, 0.9, 0.99] {
            for angle in [0.0_f64, 0.3, 1.0, 2.0, 3.0, -2.5] {
                let load = [2.0 * angle.cos(), 2.0 * angle.sin()];
                let (velocity, _) = film.carrying(ratio, load, [1.0, 0.0]).unwrap();
                let forces = film.forces(ratio, velocity).unwrap();
                let off = (forces.force[0] - load[0]).hypot(forces.force[1] - load[1]);
                // Lines are laid anew for the velocity: the same film on other lines.
                assert!(off < 0.02, "{ratio} {angle}: {off}");
            }
        }
    }
}
