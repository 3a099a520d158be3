//! # knife: from knife-edge readings through a zonal mask to a wavefront, and how surely
//!
//! [`reduce`] turns readings into slopes by exact geometry, weighs every smooth surface that fits
//! them, and gives each figure with the interval that holds it nine times in ten. Focus and
//! vertex radius are free: the readings' zero is arbitrary, and a star is looked at where it is
//! sharpest.
//!
//! The value given is that of the mean of all wavefronts that fit. Noise makes a good mirror read as a
//! worse one, and a mean over what fits undoes most of that: `tests/it/knife.rs` says how much
//! is left, and how often the interval holds the truth. Where a mirror without error might have read
//! so, the interval reaches perfection.
//!
//! What no reduction can see stands among the [`Doubt`]s: first of all a turned edge inside the
//! outermost window. Of a mirror that is not the same all around, this sees the mean of
//! the diameter that was tested.

pub mod geometry;

pub mod tolerance;

mod mirror;

mod reduction;

mod doubt;

mod repeats;

mod glass;

mod spline;

mod cross_check;

mod bench;

mod take_off;

mod judge;

mod suspicion;

mod slip;

pub use self::doubt::{Doubt, LoneReading, Slip, Suspected, Unreadable};
pub use self::judge::{reduce, reduce_with_star};
pub use self::mirror::Mirror;
pub use self::reduction::{CrossCheck, HiddenRing, Reduction, ZoneOutcome};
pub use self::repeats::{ReadingErrorFrom, USUAL_READING_ERROR_MM};
