//! Means over azimuth of what is known at whole lags.

use crate::optics::wave::field::Field;
use crate::optics::wave::radial::RadialOtf;
use crate::optics::wave::ring_plan::RingPlan;
use crate::optics::wave::transform::Transform;
use rustfft::num_complex::Complex;
use std::sync::Arc;

/// Sums of the autocorrelation over rings that fade into each other: each lag is shared between
/// the two whole radii it lies between.
pub(super) struct Rings {
    plan: Arc<RingPlan>,
    is_even: bool,
    /// The autocorrelation at rest.
    unit: f64,
    rings: Vec<Ring>,
    /// Of one line and its mirror image.
    both: Vec<Ring>,
}

#[derive(Clone, Copy, Default)]
struct Ring {
    modulus: f64,
    real: f64,
}

impl Rings {
    pub(super) fn new(transform: &Transform, field: &Field) -> Rings {
        let plan = Arc::clone(transform.ring_plan());
        Rings {
            is_even: field.is_even(),
            unit: unit(field),
            rings: vec![Ring::default(); plan.shares.len()],
            both: vec![Ring::default(); plan.lines.len()],
            plan,
        }
    }

    /// The autocorrelation of the whole open area, as it comes from the transform.
    pub(super) fn unit(&self) -> f64 {
        self.unit
    }

    /// Takes in one line of the autocorrelation, by lag in `x`.
    pub(super) fn add(&mut self, y: usize, line: &[Complex<f32>]) {
        let sum = |here: Complex<f32>, mirrored: Complex<f32>| Ring {
            modulus: f64::from(here.norm_sqr().sqrt() + mirrored.norm_sqr().sqrt()),
            real: f64::from(here.re + mirrored.re),
        };
        if self.is_even {
            for (both, here) in self.both.iter_mut().zip(line) {
                *both = sum(*here, *here);
            }
        } else {
            let beyond_axis = self.both.iter_mut().zip(line).skip(1);
            for ((both, here), mirrored) in beyond_axis.zip(line.iter().rev()) {
                *both = sum(*here, *mirrored);
            }
        }
        self.both[0] = sum(line[0], Complex::ZERO);
        for (Ring { modulus, real }, place) in self.both.iter().zip(&self.plan.lines[y]) {
            let inner = usize::from(place.inner);
            let outward = f64::from(place.outward);
            let inward = f64::from(place.weight) - outward;
            self.rings[inner].modulus += inward * modulus;
            self.rings[inner].real += inward * real;
            self.rings[inner + 1].modulus += outward * modulus;
            self.rings[inner + 1].real += outward * real;
        }
    }

    /// The transfer function at whole radii, by straight lines between the rings' mean radii.
    pub(super) fn otf(&self) -> RadialOtf {
        let shares = &self.plan.shares;
        let table = |of: fn(&Ring) -> f64| {
            let mean = |ring: usize| of(&self.rings[ring]) / (shares[ring].weight * self.unit);
            let at_radius = |radius: usize| {
                let here = shares[radius].radius;
                let other = if here <= radius as f64 {
                    radius + 1
                } else {
                    radius - 1
                };
                let part = (radius as f64 - here) / (shares[other].radius - here);
                mean(radius) + (mean(other) - mean(radius)) * part
            };
            (0..self.plan.lines.len()).map(at_radius).collect()
        };
        RadialOtf::from_tables(table(|ring| ring.modulus), table(|ring| ring.real))
    }
}

impl RadialOtf {
    /// In light of one wavelength.
    pub fn of(transform: &mut Transform, field: &Field, wavelength_nm: f64) -> RadialOtf {
        let mut rings = Rings::new(transform, field);
        transform.autocorrelation(field, wavelength_nm, |lag, line| rings.add(lag, line));
        rings.otf()
    }
}

/// The autocorrelation of the whole open area, as it comes from the transform.
fn unit(field: &Field) -> f64 {
    let padded = 2.0 * field.samples() as f64;
    field.area_pixels() * padded * padded
}
