//! A mirror's figure from photographed Ronchi bands.
//!
//! Rays do not do: the ruling makes copies of the mirror that lie side by side, and where they interfere the bands lose their
//! contrast and reverse ([`orders`]). So bands are computed from a wavefront and compared with the picture, until they agree.

pub mod terms;

pub mod orders;

pub mod photo;

pub mod rim;

pub mod circles;

pub mod setup;

pub mod samples;

pub mod start;

pub mod unknowns;

mod light;

pub mod fit;

pub mod reading;
