//! How the shaft moves: the answer of one steady speed.

use super::harmonics::Harmonics;
use super::response::factors;
use super::shaft::Shaft;
use nalgebra::Complex;

type C = Complex<f64>;

/// Motion of one place of the shaft, in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// Deflection `u_x + i u_y`, m.
    pub deflection_m: Harmonics,
    /// Slope `(du_x/dz) + i (du_y/dz)` of the section, rad. Under a load at the very place the
    /// axis itself has a kink from shear, half of it on either side of this.
    pub slope_rad: Harmonics,
}

/// What one support does to the shaft, in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Reaction {
    /// Force on the shaft, N; the bearing takes its opposite.
    pub force_n: Harmonics,
    /// Moment on the shaft in slope coordinates, N m.
    pub moment_n_m: Harmonics,
}

/// Periodic motion at one speed.
#[derive(Debug, Clone)]
pub struct Response {
    pub(super) shaft: Shaft,
    pub(super) omega_rad_s: f64,
    pub(super) highest: usize,
    /// Amplitudes of all unknowns, harmonic after harmonic from `−H`.
    motion: Vec<C>,
}

/// Motion of all unknowns at one instant.
pub(super) struct Instant {
    /// The unknowns.
    pub(super) plain: Vec<C>,
    /// `Σ n²ω² u_n e^{inθ}`: what mass multiplies, with the opposite sign of an acceleration.
    pub(super) second: Vec<C>,
    /// `Σ nω² u_n e^{inθ}`: what the gyroscopic matrix multiplies.
    pub(super) first: Vec<C>,
}

impl Response {
    pub(super) fn new(shaft: Shaft, omega_rad_s: f64, highest: usize, motion: Vec<C>) -> Self {
        Self { shaft, omega_rad_s, highest, motion }
    }

    /// Speed of the shaft.
    #[must_use]
    pub fn omega_rad_s(&self) -> f64 {
        self.omega_rad_s
    }

    /// Number of the highest harmonic.
    #[must_use]
    pub fn highest(&self) -> usize {
        self.highest
    }

    fn series(&self, of: impl Fn(isize) -> C) -> Harmonics {
        let highest = self.highest as isize;
        // An odd number of values by construction, so that the default stands for nothing.
        Harmonics::new((-highest..=highest).map(of).collect()).unwrap_or_default()
    }

    fn of(&self, unknown: usize, n: isize) -> C {
        let order = self.shaft.beam.order();
        usize::try_from(n + self.highest as isize)
            .ok()
            .and_then(|k| self.motion.get(k * order + unknown))
            .copied()
            .unwrap_or_default()
    }

    /// Motion of a node, counted from 0 at the front end as in [`Shaft::nodes_m`]; `None` beyond
    /// the last.
    #[must_use]
    pub fn node(&self, node: usize) -> Option<Motion> {
        (node < self.shaft.nodes_m().len()).then(|| Motion {
            deflection_m: self.series(|n| self.of(2 * node, n)),
            slope_rad: self.series(|n| self.of(2 * node + 1, n)),
        })
    }

    /// Motion of the stations, in the model's order.
    #[must_use]
    pub fn stations(&self) -> Vec<Motion> {
        self.shaft.beam.station_nodes.iter().filter_map(|node| self.node(*node)).collect()
    }

    /// Motion of the shaft at the supports, in the model's order.
    #[must_use]
    pub fn at_supports(&self) -> Vec<Motion> {
        self.shaft.beam.support_nodes.iter().filter_map(|node| self.node(*node)).collect()
    }

    /// What the supports do to the shaft, in the model's order.
    #[must_use]
    pub fn reactions(&self) -> Vec<Reaction> {
        self.shaft
            .held()
            .map(|(node, rates)| {
                let answer = |unknown: usize, [k, c]: [super::support::Turned; 2]| {
                    self.series(|n| {
                        let (_, _, rate) = factors(self.omega_rad_s, n);
                        let (u, w) = (self.of(unknown, n), self.of(unknown, -n).conj());
                        -(k.direct + rate * c.direct) * u - (k.mirrored + rate * c.mirrored) * w
                    })
                };
                Reaction {
                    force_n: answer(2 * node, rates.radial()),
                    moment_n_m: answer(2 * node + 1, rates.moment()),
                }
            })
            .collect()
    }

    /// All unknowns at a shaft angle.
    pub(super) fn instant(&self, theta_rad: f64) -> Instant {
        let order = self.shaft.beam.order();
        let mut instant = Instant {
            plain: vec![C::default(); order],
            second: vec![C::default(); order],
            first: vec![C::default(); order],
        };
        for (k, amplitudes) in self.motion.chunks_exact(order).enumerate() {
            let n = k as isize - self.highest as isize;
            let (n2, n1, _) = factors(self.omega_rad_s, n);
            let turn = C::cis(n as f64 * theta_rad);
            for (unknown, amplitude) in amplitudes.iter().enumerate() {
                let value = amplitude * turn;
                instant.plain[unknown] += value;
                instant.second[unknown] += value * n2;
                instant.first[unknown] += value * n1;
            }
        }
        instant
    }
}
