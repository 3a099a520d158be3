//! Means over azimuth of what is known at whole lags.

use crate::optics::wave::field::Field;
use crate::optics::wave::otf::RadialOtf;
use crate::optics::wave::transform::Transform;
use rustfft::num_complex::Complex;
use std::sync::Arc;

/// Sums of the autocorrelation over rings that fade into each other: each lag is shared between
/// the two whole radii it lies between.
pub(super) struct Rings {
    plan: Arc<RingPlan>,
    is_even: bool,
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
            rings: vec![Ring::default(); plan.shares.len()],
            both: vec![Ring::default(); plan.lines.len()],
            plan,
        }
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
    ///
    /// `unit` is the autocorrelation at rest.
    pub(super) fn otf(&self, unit: f64) -> RadialOtf {
        let shares = &self.plan.shares;
        let table = |of: fn(&Ring) -> f64| {
            let mean = |ring: usize| of(&self.rings[ring]) / (shares[ring].weight * unit);
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

/// Which lag counts for which rings.
pub(super) struct RingPlan {
    /// By lag in `y`, then in `x`, as far as the cutoff.
    lines: Vec<Vec<Place>>,
    /// Of every ring, from 0 to one beyond the cutoff.
    shares: Vec<RingShare>,
}

/// Where a lag of the quarter plane lies, between two whole radii.
struct Place {
    inner: u16,
    /// Lines of the whole plane that this one stands for: the half below is its mirror image.
    weight: f32,
    /// The part of the weight that goes to the outer radius.
    outward: f32,
}

/// What a ring gathers.
#[derive(Clone, Copy, Default)]
struct RingShare {
    /// Lags in it, in all.
    weight: f64,
    /// Their mean radius, close to the ring's number.
    radius: f64,
}

impl RingPlan {
    pub(super) fn new(samples: usize) -> RingPlan {
        let mut shares = vec![RingShare::default(); samples + 2];
        let mut line = |y: usize| {
            let weight = if y == 0 { 1.0 } else { 2.0 };
            let mut places = Vec::with_capacity(samples + 1);
            for x in 0..=samples {
                let radius = ((x * x + y * y) as f64).sqrt();
                let inner = radius as usize;
                if inner > samples {
                    break;
                }
                let place = Place {
                    inner: u16::try_from(inner).expect("no raster is that wide"),
                    weight,
                    outward: weight * (radius - inner as f64) as f32,
                };
                let lags = if x == 0 { 1.0 } else { 2.0 };
                for (ring, part) in [(inner, weight - place.outward), (inner + 1, place.outward)] {
                    shares[ring].weight += lags * f64::from(part);
                    shares[ring].radius += lags * f64::from(part) * radius;
                }
                places.push(place);
            }
            places
        };
        let lines = (0..=samples).map(&mut line).collect();
        for share in &mut shares {
            share.radius /= share.weight;
        }
        RingPlan { lines, shares }
    }
}
