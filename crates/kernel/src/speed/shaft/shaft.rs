//! A shaft on its supports: what the answers are asked of.

use super::beam::Beam;
use super::error::ShaftError;
use super::model::{Disc, ShaftModel};
use super::stretch::Stretch;
use super::support::{Rates, Support, check_held};
use std::sync::Arc;

/// A shaft on its main bearings. Cheap to copy: copies share the assembled beam.
#[derive(Debug, Clone)]
pub struct Shaft {
    pub(super) beam: Arc<Beam>,
    pub(super) rates: Vec<Rates>,
}

impl Shaft {
    /// Checks a model and assembles it.
    ///
    /// # Errors
    /// What [`ShaftError`] names: parts off the shaft or at one place, sizes that cannot be,
    /// supports that do not hold the shaft.
    pub fn new(model: ShaftModel) -> Result<Self, ShaftError> {
        model.check()?;
        check_held(&model.supports, model.length_m())?;
        let rates = model.supports.iter().map(|support| support.rates).collect();
        Ok(Self { beam: Arc::new(Beam::new(model)), rates })
    }

    /// The same shaft on other springs and dampers at the same places, in the model's order.
    /// Nothing is assembled again.
    ///
    /// # Errors
    /// Another number of supports, an entry that is not finite, a shaft that is not held.
    pub fn with_rates(&self, rates: &[Rates]) -> Result<Self, ShaftError> {
        let supports = &self.beam.model.supports;
        if rates.len() != supports.len() {
            return Err(ShaftError::SupportCount { given: rates.len(), wanted: supports.len() });
        }
        for (index, one) in rates.iter().enumerate() {
            one.check(index + 1)?;
        }
        let placed: Vec<Support> =
            supports.iter().zip(rates).map(|(s, rates)| Support { rates: *rates, ..*s }).collect();
        check_held(&placed, self.length_m())?;
        Ok(Self { beam: Arc::clone(&self.beam), rates: rates.to_vec() })
    }

    /// Length of the shaft.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.beam.model.length_m()
    }

    /// The stretches, front to rear: twist is computed from them elsewhere.
    #[must_use]
    pub fn stretches(&self) -> &[Stretch] {
        &self.beam.model.stretches
    }

    /// The bodies fixed to the shaft.
    #[must_use]
    pub fn discs(&self) -> &[Disc] {
        &self.beam.model.discs
    }

    /// Places of the stations, in the model's order.
    #[must_use]
    pub fn stations_m(&self) -> &[f64] {
        &self.beam.model.stations_m
    }

    /// Places of the nodes, front to rear.
    #[must_use]
    pub fn nodes_m(&self) -> &[f64] {
        &self.beam.nodes_m
    }

    /// Node of each support with what it does.
    pub(super) fn held(&self) -> impl Iterator<Item = (usize, &Rates)> {
        self.beam.support_nodes.iter().copied().zip(&self.rates)
    }

    /// Whether some support makes forward and backward motion meet.
    pub(super) fn mixes(&self) -> bool {
        self.rates.iter().any(Rates::mixes)
    }
}
