//! Means over azimuth of what is known at whole lags.

use crate::optics::wave::field::Field;
use crate::optics::wave::otf::RadialOtf;
use crate::optics::wave::transform::Transform;
use rustfft::num_complex::Complex;

/// Sums of the autocorrelation over rings that fade into each other: each lag is shared between
/// the two whole radii it lies between.
pub(super) struct Rings {
    samples: usize,
    is_even: bool,
    rings: Vec<Ring>,
    /// Of one line and its mirror image: sums of moduli and of real parts.
    both: Vec<Ring>,
}

#[derive(Clone, Copy, Default)]
struct Ring {
    modulus: f64,
    real: f64,
}

impl Rings {
    pub(super) fn new(field: &Field) -> Rings {
        Rings {
            samples: field.samples(),
            is_even: field.is_even(),
            rings: vec![Ring::default(); field.samples() + 2],
            both: vec![Ring::default(); field.samples() + 1],
        }
    }

    pub(super) fn add(&mut self, y: usize, line: &[Complex<f64>]) {
        let of = |here: Complex<f64>, mirrored: Complex<f64>| Ring {
            modulus: here.norm_sqr().sqrt() + mirrored.norm_sqr().sqrt(),
            real: here.re + mirrored.re,
        };
        self.both[0] = of(line[0], line[0]);
        if self.is_even {
            for (sum, here) in self.both.iter_mut().zip(line).skip(1) {
                *sum = of(*here, *here);
            }
        } else {
            let mirrored = line.iter().rev();
            for ((sum, here), mirrored) in self.both[1..].iter_mut().zip(&line[1..]).zip(mirrored) {
                *sum = of(*here, *mirrored);
            }
        }
        for lag in lags(self.samples, y) {
            let Ring { modulus, real } = self.both[lag.x];
            for (ring, weight) in lag.rings {
                self.rings[ring].modulus += weight * modulus;
                self.rings[ring].real += weight * real;
            }
        }
    }

    /// The transfer function at whole radii, by straight lines between the rings' mean radii.
    ///
    /// `unit` is the autocorrelation at rest.
    pub(super) fn otf(&self, transform: &Transform, unit: f64) -> RadialOtf {
        let shares = transform.ring_shares();
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
            (0..=self.samples).map(at_radius).collect()
        };
        RadialOtf::from_tables(table(|ring| ring.modulus), table(|ring| ring.real))
    }
}

/// A lag in the quarter plane, and the two rings it counts for with its weight in each.
struct Lag {
    x: usize,
    radius: f64,
    rings: [(usize, f64); 2],
}

/// Those of one line that lie within the cutoff. Every lag, with its mirror image in `x`, stands
/// for as many as there are of both in the whole plane.
fn lags(samples: usize, y: usize) -> impl Iterator<Item = Lag> {
    let lines = if y == 0 { 1.0 } else { 2.0 };
    (0..=samples)
        .map(move |x| {
            let radius = ((x * x + y * y) as f64).sqrt();
            let inner = radius as usize;
            let weight = if x == 0 { lines / 2.0 } else { lines };
            let outward = weight * (radius - inner as f64);
            Lag {
                x,
                radius,
                rings: [(inner, weight - outward), (inner + 1, outward)],
            }
        })
        .take_while(move |lag| lag.rings[0].0 <= samples)
}

/// What a ring gathers.
#[derive(Clone, Copy, Default)]
pub(super) struct RingShare {
    /// Lags in it, in all.
    weight: f64,
    /// Their mean radius, close to the ring's number.
    radius: f64,
}

/// Of every ring, from 0 to one beyond the cutoff.
pub(super) fn ring_shares(samples: usize) -> Vec<RingShare> {
    let mut sums = vec![RingShare::default(); samples + 2];
    for lag in (0..=samples).flat_map(|y| lags(samples, y)) {
        for (ring, weight) in lag.rings {
            sums[ring].weight += 2.0 * weight;
            sums[ring].radius += 2.0 * weight * lag.radius;
        }
    }
    for ring in &mut sums {
        ring.radius /= ring.weight;
    }
    sums
}
