//! Every steepness that fits the readings, and how well: a smoothing spline whose smoothness is not
//! chosen but weighed.
//!
//! The glass is taken as a conic of unknown correction plus departures that wander along `x` as an
//! integrated Wiener process (the prior whose most likely curve is a cubic spline; Wahba 1978,
//! J. R. Statist. Soc. B 40, 364). How far off the conic is, how rough the rest, and how large
//! the reading error: all three are unknown, run over a row of sizes and count as much as the
//! readings make them likely. What is drawn from that, curve by curve, goes through the same
//! arithmetic as a wavefront that was known.

use crate::optics::knife::chance::Chance;
use crate::optics::knife::disc::Disc;

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
}

pub(super) fn posterior(disc: &Disc, measured: &Measured, errors: &[ReadingError]) -> Posterior {
    let shapes = Shapes::of(disc, measured);
    let sizes = weighed(&shapes, measured, errors);
    let mut mean_nm = vec![0.0; disc.x.len()];
    let mut log_error = 0.0;
    for (size, weight) in &sizes {
        let fit = Fit::of(&shapes, measured, *size);
        let (level, pull) = fit.correction(&measured.steepness_nm);
        shapes.add_corrected(&mut mean_nm, *size, (level, &pull), *weight);
        log_error += weight * size.error_mm.ln();
    }
    Posterior {
        mean_nm,
        draws_nm: draws(disc, &shapes, measured, &sizes),
        reading_error_mm: log_error.exp(),
    }
}

/// Size of everything unknown: wavefront RMS of the conic's error, of the rest, and the reading's.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Size {
    smooth_nm: f64,
    rough_nm: f64,
    error_mm: f64,
}

/// How steepness of unit size is spread over rings and zones.
struct Shapes {
    /// A conic with 1 nm of wavefront RMS, on the rings.
    conic: Vec<f64>,
    /// The same as the zones see it.
    conic_seen: Vec<f64>,
    /// Covariance of a rough departure of 1 nm: of each ring with each zone.
    rough_to_zones: Vec<Vec<f64>>,
    /// Of each zone with each zone.
    rough_seen: Vec<Vec<f64>>,
}

impl Shapes {
    fn of(disc: &Disc, measured: &Measured) -> Shapes {
        let conic: Vec<f64> = disc.x.iter().map(|x| CONIC_NM * (x - 0.5)).collect();
        let n = disc.x.len();
        let wander = wander_covariance(&disc.x);
        let line = LineFit::over(&disc.x);
        let to_zone = |row: &Vec<f64>| -> Vec<f64> {
            // The line is taken out on both sides; taking it out is its own transpose.
            let flat = line.rest(row);
            let along: Vec<f64> = (0..n).map(|j| dot(&wander[j], &flat)).collect();
            line.rest(&along)
        };
        let by_zone: Vec<Vec<f64>> = measured.rows.iter().map(to_zone).collect();
        Shapes {
            conic_seen: measured.rows.iter().map(|row| dot(row, &conic)).collect(),
            rough_seen: measured
                .rows
                .iter()
                .map(|row| by_zone.iter().map(|zone| dot(row, zone)).collect())
                .collect(),
            rough_to_zones: (0..n)
                .map(|j| by_zone.iter().map(|zone| zone[j]).collect())
                .collect(),
            conic,
        }
    }

    /// Adds a share of the steepness that a level and the zones' pulls stand for.
    fn add_corrected(&self, to: &mut [f64], size: Size, (level, pull): (f64, &[f64]), share: f64) {
        let conic_pull = size.smooth_nm.powi(2) * dot(&self.conic_seen, pull);
        let rough = size.rough_nm.powi(2);
        for (j, steepness) in to.iter_mut().enumerate() {
            let of_rough = rough * dot(&self.rough_to_zones[j], pull);
            *steepness += share * (level + conic_pull * self.conic[j] + of_rough);
        }
    }
}

/// The zones' covariance for one size of everything, factored.
struct Fit {
    factor: Vec<Vec<f64>>,
    /// Covariance inverse times ones, and the sum of that.
    ones: Vec<f64>,
    ones_sum: f64,
}

impl Fit {
    fn of(shapes: &Shapes, measured: &Measured, size: Size) -> Fit {
        let n = measured.rows.len();
        let (smooth, rough) = (size.smooth_nm.powi(2), size.rough_nm.powi(2));
        let mut covariance = vec![vec![0.0; n]; n];
        for i in 0..n {
            for j in 0..=i {
                covariance[i][j] = smooth * shapes.conic_seen[i] * shapes.conic_seen[j]
                    + rough * shapes.rough_seen[i][j];
            }
            covariance[i][i] += (measured.nm_per_mm[i] * size.error_mm).powi(2);
        }
        let factor = cholesky(covariance);
        let ones = solved(&factor, &vec![1.0; n]);
        Fit {
            ones_sum: ones.iter().sum(),
            factor,
            ones,
        }
    }

    /// The level that fits best (it is focus, and free) and the zones' pulls from there.
    fn correction(&self, steepness_nm: &[f64]) -> (f64, Vec<f64>) {
        let level = dot(&self.ones, steepness_nm) / self.ones_sum;
        let left: Vec<f64> = steepness_nm.iter().map(|s| s - level).collect();
        (level, solved(&self.factor, &left))
    }

    /// Logarithm of the likelihood of differences between zones.
    fn log_likelihood(&self, steepness_nm: &[f64]) -> f64 {
        let (_, pull) = self.correction(steepness_nm);
        let misfit = dot(steepness_nm, &pull);
        let log_volume: f64 = (0..pull.len()).map(|i| self.factor[i][i].ln()).sum();
        -log_volume - self.ones_sum.ln() / 2.0 - misfit / 2.0
    }
}

/// All sizes that matter, with weights that sum to 1.
fn weighed(shapes: &Shapes, measured: &Measured, errors: &[ReadingError]) -> Vec<(Size, f64)> {
    let mut sizes = Vec::new();
    for error in errors {
        for (smooth_nm, smooth_log) in smooth_sizes() {
            for (rough_nm, rough_log) in rough_sizes() {
                let size = Size {
                    smooth_nm,
                    rough_nm,
                    error_mm: error.mm,
                };
                let fit = Fit::of(shapes, measured, size);
                let likelihood = fit.log_likelihood(&measured.steepness_nm);
                sizes.push((size, error.log_weight + smooth_log + rough_log + likelihood));
            }
        }
    }
    let best = sizes.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    sizes.iter_mut().for_each(|s| s.1 = (s.1 - best).exp());
    sizes.retain(|s| s.1 > NEGLIGIBLE);
    let sum: f64 = sizes.iter().map(|s| s.1).sum();
    sizes.iter_mut().for_each(|s| s.1 /= sum);
    sizes
}

/// Conic errors from nothing to the largest that still makes an image, evenly by ratio.
fn smooth_sizes() -> impl Iterator<Item = (f64, f64)> {
    (0..12).map(|k| (0.5 * f64::from(1 << k), 0.0))
}

/// Nothing but a conic, or departures of a size.
fn rough_sizes() -> impl Iterator<Item = (f64, f64)> {
    let grown = (0..10).map(|k| 0.5 * f64::from(1 << k));
    std::iter::once(0.0)
        .chain(grown)
        .map(|rough_nm: f64| (rough_nm, 0.0))
}

/// A curve from the prior, corrected by what the readings say of it (Matheron's rule): sizes come
/// in proportion to their weight.
fn draws(
    disc: &Disc,
    shapes: &Shapes,
    measured: &Measured,
    sizes: &[(Size, f64)],
) -> Vec<Vec<f64>> {
    let mut chance = Chance::new();
    let line = LineFit::over(&disc.x);
    let mut draws = Vec::with_capacity(DRAWS);
    let mut weight_so_far = 0.0;
    for (size, weight) in sizes {
        weight_so_far += weight;
        let until = (weight_so_far * DRAWS as f64 + 0.5) as usize;
        if until <= draws.len() {
            continue;
        }
        let fit = Fit::of(shapes, measured, *size);
        while draws.len() < until.min(DRAWS) {
            let wander = line.rest(&wander(&disc.x, &mut chance));
            let conic = size.smooth_nm * chance.normal();
            let mut curve: Vec<f64> = (0..disc.x.len())
                .map(|j| conic * shapes.conic[j] + size.rough_nm * wander[j])
                .collect();
            let missed: Vec<f64> = (0..measured.rows.len())
                .map(|i| {
                    let error = measured.nm_per_mm[i] * size.error_mm * chance.normal();
                    measured.steepness_nm[i] - dot(&measured.rows[i], &curve) - error
                })
                .collect();
            let (level, pull) = fit.correction(&missed);
            shapes.add_corrected(&mut curve, *size, (level, &pull), 1.0);
            draws.push(curve);
        }
    }
    draws
}

/// An integrated Wiener process that makes 1 nm of wavefront RMS on the average.
fn wander(x: &[f64], chance: &mut Chance) -> Vec<f64> {
    let (mut value, mut slope) = (0.0, 0.0);
    let mut along = vec![0.0];
    for step in x.windows(2) {
        let h = step[1] - step[0];
        let (a, b) = (chance.normal(), chance.normal());
        value += h * slope + ROUGH_NM * h * h.sqrt() * (a / 2.0 + b / 12f64.sqrt());
        slope += ROUGH_NM * h.sqrt() * a;
        along.push(value);
    }
    along
}

/// Its covariance between rings.
fn wander_covariance(x: &[f64]) -> Vec<Vec<f64>> {
    let between = |a: f64, b: f64| {
        let (near, far) = (a.min(b), a.max(b));
        ROUGH_NM * ROUGH_NM * near * near * (3.0 * far - near) / 6.0
    };
    x.iter()
        .map(|a| x.iter().map(|b| between(*a, *b)).collect())
        .collect()
}

/// What a straight line leaves of a curve on the rings: the line is the conic's share.
struct LineFit {
    /// Orthogonal to each other under equal weight: ones and centred x.
    centred: Vec<f64>,
    norm: f64,
}

impl LineFit {
    fn over(x: &[f64]) -> LineFit {
        let mean = x.iter().sum::<f64>() / x.len() as f64;
        let centred: Vec<f64> = x.iter().map(|x| x - mean).collect();
        LineFit {
            norm: dot(&centred, &centred),
            centred,
        }
    }

    fn rest(&self, curve: &[f64]) -> Vec<f64> {
        let mean = curve.iter().sum::<f64>() / curve.len() as f64;
        let slope = dot(&self.centred, curve) / self.norm;
        let left = |(y, x): (&f64, &f64)| y - mean - slope * x;
        curve.iter().zip(&self.centred).map(left).collect()
    }
}

/// Lower triangle of a positive definite matrix, of which the lower triangle is given.
pub(super) fn cholesky(mut matrix: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    for i in 0..matrix.len() {
        for j in 0..=i {
            let done: f64 = (0..j).map(|k| matrix[i][k] * matrix[j][k]).sum();
            let left = matrix[i][j] - done;
            matrix[i][j] = match i == j {
                true => left.max(f64::MIN_POSITIVE).sqrt(),
                false => left / matrix[j][j],
            };
        }
    }
    matrix
}

/// Solves with both triangles.
pub(super) fn solved(factor: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let n = right.len();
    let mut x = right.to_vec();
    for i in 0..n {
        let done: f64 = (0..i).map(|k| factor[i][k] * x[k]).sum();
        x[i] = (x[i] - done) / factor[i][i];
    }
    for i in (0..n).rev() {
        let done: f64 = (i + 1..n).map(|k| factor[k][i] * x[k]).sum();
        x[i] = (x[i] - done) / factor[i][i];
    }
    x
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Steepness per unit of x of a conic whose wavefront has 1 nm RMS over the full disc: 12 sqrt 5.
const CONIC_NM: f64 = 26.832_815_729_997_478;

/// Strength of the wandering whose wavefront has 1 nm RMS, on the average: a test computes it.
const ROUGH_NM: f64 = 225.0;

const DRAWS: usize = 400;

/// Of the best.
const NEGLIGIBLE: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wandering_of_one_nanometre() {
        let disc = Disc::new(0.0, 0.0, 550.0);
        let mut chance = Chance::new();
        let line = LineFit::over(&disc.x);
        let count = 4000;
        let square: f64 = (0..count)
            .map(|_| {
                let steepness = line.rest(&wander(&disc.x, &mut chance));
                let path = disc.refocused(&disc.wavefront_nm(&steepness));
                dot(&disc.share, &path.iter().map(|p| p * p).collect::<Vec<_>>())
            })
            .sum::<f64>()
            / f64::from(count);
        println!("one over {}", 1.0 / square.sqrt());
        assert!((square.sqrt() - 1.0).abs() < 0.03, "{}", square.sqrt());
    }
}
