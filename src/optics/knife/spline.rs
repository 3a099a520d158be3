//! Every steepness that fits the readings, and how well: a smoothing spline whose smoothness is not
//! chosen but weighed.
//!
//! How far the glass is off the paraboloid as a conic, how rough the rest is, and how large the
//! reading error: all three are unknown, run over a row of sizes, and count as much as the
//! readings make them likely. What is drawn from that, curve by curve, goes through the same
//! arithmetic as a wavefront that is known.

use crate::linear::{cholesky, dot, solved};
use crate::optics::knife::chance::Chance;
use crate::optics::knife::disc::Disc;
use crate::optics::knife::glass::{Glass, WANDERS, Wander};

/// The readings as steepness: the excess of slope / r over the paraboloid's, times the square of the
/// rim's radius, nm. The wavefront falls by that much per unit of x.
pub(super) struct Measured {
    /// For each zone, weights on the rings.
    pub(super) rows: Vec<Vec<f64>>,
    /// For each zone.
    pub(super) steepness_nm: Vec<f64>,
    /// For each zone, error of its mean by error of a single reading.
    pub(super) nm_per_mm: Vec<f64>,
}

/// A size that the error of a single reading may have.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReadingError {
    pub(super) mm: f64,
    /// Logarithm of how well it fits what is known of it beforehand and from repeats.
    pub(super) log_weight: f64,
}

/// What is known after the readings.
pub(super) struct Posterior {
    /// Mean steepness on the rings.
    pub(super) mean_nm: Vec<f64>,
    /// Equally likely steepnesses.
    pub(super) draws_nm: Vec<Vec<f64>>,
    /// Of a single reading (geometric mean).
    pub(super) reading_error_mm: f64,
    /// How likely departures from every conic are that anybody would care about.
    pub(super) rings_likely: f64,
}

pub(super) fn posterior(disc: &Disc, measured: &Measured, errors: &[ReadingError]) -> Posterior {
    let model = Model::of(disc, measured);
    let sizes = model.weighed_sizes(errors);
    let mut mean_nm = vec![0.0; disc.x.len()];
    let (mut log_error, mut rings_likely) = (0.0, 0.0);
    for (size, weight) in &sizes {
        let correction = model.fit(*size).correction(&measured.steepness_nm);
        model.add(&mut mean_nm, *size, &correction, *weight);
        log_error += weight * size.error_mm.ln();
        if size.rough_nm >= PLAIN_RING_NM {
            rings_likely += weight;
        }
    }
    Posterior {
        mean_nm,
        draws_nm: model.draws(&sizes),
        reading_error_mm: log_error.exp(),
        rings_likely,
    }
}

/// Size of everything unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Size {
    /// Wavefront RMS of the conic's error.
    smooth_nm: f64,
    /// Wavefront RMS of the rest.
    rough_nm: f64,
    wander: Wander,
    /// Of a single reading.
    error_mm: f64,
}

/// The glass as the zones see it.
struct Model<'a> {
    measured: &'a Measured,
    glass: Glass,
    /// A conic of unit size, by zone.
    conic_seen: Vec<f64>,
    /// Covariance of departures of unit size: by zone, of all rings.
    rings_with: [Vec<Vec<f64>>; 2],
    /// Of zone with zone.
    zones_with: [Vec<Vec<f64>>; 2],
}

impl Model<'_> {
    fn of<'a>(disc: &Disc, measured: &'a Measured) -> Model<'a> {
        let glass = Glass::on(disc);
        let seen = |curve: &[f64]| -> Vec<f64> {
            measured.rows.iter().map(|row| dot(row, curve)).collect()
        };
        let rings_with = WANDERS.map(|wander| glass.covariances(wander, &measured.rows));
        Model {
            conic_seen: seen(&glass.conic),
            zones_with: std::array::from_fn(|wander| {
                rings_with[wander].iter().map(|rings| seen(rings)).collect()
            }),
            rings_with,
            glass,
            measured,
        }
    }

    fn fit(&self, size: Size) -> Fit {
        let n = self.conic_seen.len();
        let (smooth, rough) = (size.smooth_nm.powi(2), size.rough_nm.powi(2));
        let departures = &self.zones_with[size.wander as usize];
        let mut covariance = vec![vec![0.0; n]; n];
        for i in 0..n {
            for j in 0..=i {
                let conic = self.conic_seen[i] * self.conic_seen[j];
                covariance[i][j] = smooth * conic + rough * departures[i][j];
            }
            covariance[i][i] += (self.measured.nm_per_mm[i] * size.error_mm).powi(2);
        }
        let factor = cholesky(covariance);
        let ones = solved(&factor, &vec![1.0; n]);
        Fit {
            ones_sum: ones.iter().sum(),
            factor,
            ones,
        }
    }

    /// Adds a share of the steepness that a correction stands for.
    fn add(&self, to: &mut [f64], size: Size, correction: &Correction, share: f64) {
        let Correction { level, pulls } = correction;
        let conic = size.smooth_nm.powi(2) * dot(&self.conic_seen, pulls);
        for (steepness, unit) in to.iter_mut().zip(&self.glass.conic) {
            *steepness += share * (level + conic * unit);
        }
        let rough = size.rough_nm.powi(2);
        for (rings, pull) in self.rings_with[size.wander as usize].iter().zip(pulls) {
            for (steepness, unit) in to.iter_mut().zip(rings) {
                *steepness += share * rough * pull * unit;
            }
        }
    }

    /// All sizes that matter, with weights that sum to 1.
    fn weighed_sizes(&self, errors: &[ReadingError]) -> Vec<(Size, f64)> {
        let mut sizes = Vec::new();
        for error in errors {
            for size in sizes_with(error.mm) {
                let likelihood = self.fit(size).log_likelihood(&self.measured.steepness_nm);
                sizes.push((size, error.log_weight + likelihood));
            }
        }
        let best = sizes.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
        sizes.iter_mut().for_each(|s| s.1 = (s.1 - best).exp());
        sizes.retain(|s| s.1 > NEGLIGIBLE);
        let sum: f64 = sizes.iter().map(|s| s.1).sum();
        sizes.iter_mut().for_each(|s| s.1 /= sum);
        sizes
    }

    /// Curves as likely as each other: each size in proportion to its weight.
    fn draws(&self, sizes: &[(Size, f64)]) -> Vec<Vec<f64>> {
        let mut chance = Chance::new();
        let mut draws = Vec::with_capacity(DRAWS);
        let mut weight_so_far = 0.0;
        for (size, weight) in sizes {
            weight_so_far += weight;
            let until = ((weight_so_far * DRAWS as f64).round() as usize).min(DRAWS);
            if until > draws.len() {
                let fit = self.fit(*size);
                draws.resize_with(until, || self.drawn(*size, &fit, &mut chance));
            }
        }
        draws
    }

    /// A mirror that might have been, misread as it might have been, and then corrected by how
    /// far its readings are from the real ones (Matheron's rule).
    fn drawn(&self, size: Size, fit: &Fit, chance: &mut Chance) -> Vec<f64> {
        let departure = self.glass.drawn(size.wander, chance);
        let conic = size.smooth_nm * chance.normal();
        let units = self.glass.conic.iter().zip(departure);
        let mut curve: Vec<f64> = units
            .map(|(unit, rest)| conic * unit + size.rough_nm * rest)
            .collect();
        let missed: Vec<f64> = (0..self.conic_seen.len())
            .map(|zone| {
                let error = self.measured.nm_per_mm[zone] * size.error_mm * chance.normal();
                let read = dot(&self.measured.rows[zone], &curve) + error;
                self.measured.steepness_nm[zone] - read
            })
            .collect();
        self.add(&mut curve, size, &fit.correction(&missed), 1.0);
        curve
    }
}

/// The zones' covariance for one size of everything, factored.
struct Fit {
    factor: Vec<Vec<f64>>,
    /// Its inverse times ones, and the sum of that.
    ones: Vec<f64>,
    ones_sum: f64,
}

/// What readings say of the glass, as a level (it is focus, and free) and a pull of each zone.
struct Correction {
    level: f64,
    pulls: Vec<f64>,
}

impl Fit {
    fn correction(&self, steepness_nm: &[f64]) -> Correction {
        let level = dot(&self.ones, steepness_nm) / self.ones_sum;
        let left: Vec<f64> = steepness_nm.iter().map(|s| s - level).collect();
        Correction {
            level,
            pulls: solved(&self.factor, &left),
        }
    }

    /// Logarithm of the likelihood of the differences between zones.
    fn log_likelihood(&self, steepness_nm: &[f64]) -> f64 {
        let misfit = dot(steepness_nm, &self.correction(steepness_nm).pulls);
        let volume: f64 = (0..self.ones.len()).map(|i| self.factor[i][i].ln()).sum();
        -volume - self.ones_sum.ln() / 2.0 - misfit / 2.0
    }
}

/// Sizes of glass errors, evenly by ratio: each as likely as the next beforehand.
///
/// Conics begin at 32 nm, a sphere of 114 mm at f/8. The mirror is not thought better than that
/// beforehand: a guess that it might as well be nearly perfect would draw poor readings of a
/// poor mirror toward perfection.
fn sizes_with(error_mm: f64) -> impl Iterator<Item = Size> {
    let departures = WANDERS.into_iter().flat_map(|wander| {
        let grown = (0..9).map(move |k| (wander, f64::from(1 << k)));
        grown.chain((wander == Wander::Bends).then_some((wander, 0.0)))
    });
    departures.flat_map(move |(wander, rough_nm)| {
        (5..11).map(move |k| Size {
            smooth_nm: f64::from(1 << k),
            rough_nm,
            wander,
            error_mm,
        })
    })
}

/// Wavefront RMS of a departure that costs a hundredth of the Strehl ratio, nearly.
const PLAIN_RING_NM: f64 = 8.0;

/// Enough that an end of the interval lies within a fiftieth of where it should be by rank.
const DRAWS: usize = 400;

/// Of the best.
const NEGLIGIBLE: f64 = 1e-6;
