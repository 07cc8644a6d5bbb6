//! Facing a rotor's side face: what the shop's machine is, where its cutter goes, how fast, and
//! what that leaves.
//!
//! A face is cut in one set-up ([`FaceJob`]): its land down to a level, what lies outside the land
//! down to another one or to a taper. On a mill the cutter goes round the land; on a lathe it
//! faces from the outside in ([`cuts`]). Both do it twice: rough passes leave
//! [`Finish::stock`](machine::Finish) proud, the spindle stops so that the land can be measured,
//! and the finishing pass takes the rest. Before anything is cut the outermost and innermost ways
//! are gone over above the part with the spindle at rest.
//!
//! # Axes and datum
//! Those of the machinist who looks at the face that is up: `x` from the axis of the bearing bore
//! towards tip 1, `z` out of the face, `x, y, z` right-handed. On the gear face these are rotor
//! axes, tips clockwise; the plain face is seen from the other side, so its `y` is minus that of
//! rotor axes and its tips run counter-clockwise. `z = 0` is the finished land, or, where the land
//! is not cut, the highest of its three heights as found. Land and outside as found are each the
//! plane through three heights, as [`CutAreas`](crate::plan::CutAreas) has them.
//!
//! Angles of a way are sampled, arcs are not used: a chord of a circle is the same on every
//! control, and a facing cut does not show it. A way round the land keeps clear of it by its chords.
//!
//! A plan has one level per area, so every plan can be turned: what lies below the level at one
//! tip is simply not touched there.

mod error;
mod face;
mod finish;
mod lathe;
mod machine;
mod mill;
mod nose;
mod outline;
mod passes;
mod speeds;

pub use error::CuttingError;
pub use face::{FaceGiven, FaceJob};
pub use finish::{FinishLeft, finish_left};
pub use machine::{
    Finish, Fixture, HeldBy, Kind, LatheTool, MachineTool, MillCutter, Rough, Units, UnitsWord,
    XReads,
};
pub use nose::Nose;
pub use outline::Outline;
pub use passes::{Cuts, PASS_LIMIT, Stroke, cuts, outside_tolerance, shoulder_width};
pub use speeds::{Pace, Paces, paces};
