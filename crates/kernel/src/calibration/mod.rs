//! What a shop's own teardowns teach: two scales and a margin, from the marks on the tips.
//!
//! The engine at speed predicts for one tip of one face what gap `g(s_tilt, s_heat)` is left at the
//! highest speed and boost that it saw ([`GapTable`](crate::speed::engine::GapTable)). `s_tilt`
//! scales all that leans, `s_heat` all that growth takes: marks cannot separate more. Contact is seen where `g + noise < m`, and is heavy
//! where `g + noise < m − d`. Each tip has noise of its own, and each rotor one that its tips
//! share. A small chance stands that a mark has another cause, or was overlooked, so that no single
//! mark rules the result.
//!
//! A shop has few builds, so what is assumed before them matters, and is data: [`Priors`]. The
//! posterior of the two scales, the margin and `d` is summed on a lattice that is laid along its
//! own axes and flooded from its top until nothing of weight is left outside. For functions that
//! are smooth and fall off as a normal one does such a sum converges faster than any power of its
//! spacing [TREFETHEN]; the spacing is made finer until nothing moves, and what still moved is part
//! of the result. Nothing is drawn by chance, and the number of threads makes no difference.
//!
//! - `seen`: what goes in; `priors`: what is assumed, with reasons
//! - `model`: the logarithm of the likelihood, build by build; `tilt_test`: that of a clamped
//!   housing; `normal` under the first
//! - `top`, `lattice`, `marginal`: the sum; `posterior`: what comes out
//! - `left_out`: each build as the others would have expected it
//! - `moved`: how far the data moved it, as sentences; `step_missing`: what a step lacks with it
//!
//! Nothing here is applied by itself: it is offered to whoever owns a spec.

mod error;
mod lattice;
mod left_out;
mod marginal;
mod model;
mod moved;
mod normal;
mod posterior;
mod priors;
mod seen;
mod step_missing;
mod tilt_test;
mod top;

pub use error::CalibrationError;
pub use left_out::{Checked, LeftOut};
pub use marginal::Marginal;
pub use moved::Moved;
pub use posterior::{Parameter, Posterior, Predicted, calibrate};
pub use priors::{ASSUMED, Assumption, Priors};
pub use seen::{BuildSeen, Contact, TiltTest, TipSeen};
pub use step_missing::StepMissing;
pub use tilt_test::Measured;
