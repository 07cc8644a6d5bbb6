//! An invented stock in closed form: grams are linear in the land width.

use super::numbers::Numbers;
use kernel::shelf::{Least, Pairing, Planned, Stock};
use kernel::units::{Length, Mass};

/// A rotor: the widest square land it gives, mass, and what must come off its tips anyhow.
#[derive(Debug, Clone)]
pub(crate) struct LineRotor {
    pub(crate) width_mm: f64,
    pub(crate) mass_g: f64,
    pub(crate) tips_g: f64,
    /// Left as it is where its clearance is right.
    pub(crate) right: bool,
}

/// A stock in closed form. Lengths in millimetres.
#[derive(Debug, Clone)]
pub(crate) struct Lines {
    pub(crate) rotors: Vec<LineRotor>,
    pub(crate) housings_mm: Vec<f64>,
    /// By kind: target and tolerance of the side clearance, and match.
    pub(crate) kinds: Vec<[f64; 3]>,
    pub(crate) guard_mm: f64,
    pub(crate) g_per_mm: f64,
    /// Pairings that cannot be planned at all, and ways that do not hold, by chance.
    pub(crate) unfit: f64,
    pub(crate) unheld: f64,
    /// How far the bound lies below the truth.
    pub(crate) slack_g: f64,
}

impl Lines {
    fn chance(&self, p: Pairing, salt: u64) -> f64 {
        let seed = (p.kind as u64) << 40 | (p.rotor as u64) << 20 | p.housing as u64;
        Numbers(seed ^ salt.wrapping_mul(0x2545_f491_4f6c_dd1d)).between(0.0, 1.0)
    }

    fn at(&self, p: Pairing, clearance_mm: f64) -> Option<Planned> {
        let (rotor, [target, tolerance, matching]) = (&self.rotors[p.rotor], self.kinds[p.kind]);
        let stock = self.housings_mm[p.housing] - rotor.width_mm;
        let clearance_mm = clearance_mm.max(stock);
        (clearance_mm <= target + tolerance + 1e-9).then(|| Planned {
            clearance: Length::mm(clearance_mm),
            removed: Mass::g(rotor.tips_g + self.g_per_mm * (clearance_mm - stock)),
            beside: Length::mm(clearance_mm + matching),
            left: false,
        })
    }
}

impl Stock for Lines {
    fn kinds(&self) -> usize {
        self.kinds.len()
    }
    fn rotors(&self) -> usize {
        self.rotors.len()
    }
    fn housings(&self) -> usize {
        self.housings_mm.len()
    }
    fn mass(&self, rotor: usize) -> Mass {
        Mass::g(self.rotors[rotor].mass_g)
    }
    fn at_least(&self, p: Pairing, loosest: Option<Length>) -> Option<Least> {
        let planned = match loosest {
            None => self.alone(p),
            Some(loosest) => self.brought_down(p, loosest),
        };
        if planned.is_none() && self.chance(p, 3) < 0.5 {
            return None;
        }
        let (slack, mm) = (self.chance(p, 4), Length::mm);
        Some(planned.map_or_else(Least::default, |planned| Least {
            clearance: planned.clearance - mm(0.02) * (slack * f64::from(self.slack_g > 0.0)),
            removed: Mass::g((planned.removed.to_g() - self.slack_g * slack).max(0.0)),
        }))
    }
    fn alone(&self, p: Pairing) -> Option<Planned> {
        if self.chance(p, 1) < self.unfit {
            return None;
        }
        let (rotor, [target, tolerance, matching]) = (&self.rotors[p.rotor], self.kinds[p.kind]);
        let now = self.housings_mm[p.housing] - rotor.width_mm;
        if rotor.right && (now - target).abs() <= tolerance {
            return Some(Planned {
                clearance: Length::mm(now),
                removed: Mass::ZERO,
                beside: Length::mm(now + matching - self.guard_mm),
                left: true,
            });
        }
        self.at(p, target)
    }
    fn brought_down(&self, p: Pairing, loosest: Length) -> Option<Planned> {
        let [target, _, matching] = self.kinds[p.kind];
        self.at(p, target.max(loosest.to_mm() - matching))
    }
    fn holds(&self, p: Pairing, loosest: Option<Length>) -> bool {
        self.chance(p, 5 + u64::from(loosest.is_some())) >= self.unheld
    }
}
