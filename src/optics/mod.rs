//! # optics: what the finished mirror does to a point of light
//!
//! Knows glass, wavefronts, pupils and eyepieces. Does not know the sky, the air or the eye: an
//! observer's pupil and the seeing come in as plain numbers.
//!
//! Leaf formulas take numbers; [`instrument`] puts them together for one telescope of a workshop.

pub mod conic;

pub mod feeler;

pub mod focal_length;

pub mod resolution;

pub mod zernike;

pub mod quadrature;

pub mod opening;

pub mod pupil;

pub mod wavefront;

pub mod evidence;

pub mod knife;

pub mod mask;

pub mod figure;

pub mod mtf;

pub mod wave;

pub mod bands;

pub mod bands_photo;

pub mod eyepiece;

pub mod layout;

pub mod diagonal;

pub mod coma;

pub mod coating;

pub mod cooling;

pub mod mount;

pub mod sphere;

pub mod instrument;

pub use instrument::{Instrument, View};
