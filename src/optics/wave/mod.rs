//! Wave optics: from the wavefront over the pupil to the image of a star and what it keeps of
//! contrast.
//!
//! A square raster covers the pupil, `x` to the right and `y` up, both from -1 to 1 at the rim;
//! pixel centres lie at `(2 i + 1) / samples - 1`. The field is `A exp(+2 pi i W / wavelength)`
//! with `A` the share of the pixel that transmits and `W` the path error (positive: too long); the
//! image at `(u, v)`, in units of wavelength times focal ratio, is the squared modulus of
//! `sum of field exp(-i pi (u x + v y))`. The transfer function is the autocorrelation of the field
//! over the area that transmits; its frequencies are shares of the cutoff, aperture over wavelength.

mod map;

mod field;

mod ring_plan;

mod transform;

pub mod radial;

mod rings;

pub mod otf;

pub mod photopic;

pub mod image;

pub mod spot;

pub mod defocus;

pub use field::Field;
pub use image::StarImage;
pub use map::PathMap;
pub use transform::Transform;

/// Pixels across the pupil from which a telescope's MTF is computed.
///
/// With grey edges MTF and encircled energy agree within 3e-4 with other libraries' finer grids, for
/// errors up to a wave (`tests/it/wave.rs`).
pub const SAMPLES: usize = 512;
