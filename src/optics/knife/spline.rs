//! Every steepness that fits the readings, and how well: a smoothing spline whose smoothness is not
//! chosen but weighed.
//!
//! How far the glass is off the paraboloid as a conic, how rough the rest is, and how large the
//! reading error: all three are unknown, run over a row of sizes, and count as much as the
//! readings make them likely. What is drawn from that, curve by curve, goes through the same
//! arithmetic as a wavefront that is known.

use crate::linear::{cholesky, dot, half_solved, solved};
use crate::optics::evidence::chance::Chance;
use crate::optics::evidence::disc::Disc;
use crate::optics::evidence::fault::Fault;
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
    /// A zone that may be anything within so many nm.
    pub(super) apart: Option<(usize, f64)>,
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

pub(super) fn posterior(
    disc: &Disc,
    measured: &Measured,
    errors: &[ReadingError],
    faults: &[Fault],
) -> Posterior {
    let seen = Seen::of(disc, &measured.rows, faults);
    let model = Model {
        measured,
        seen: &seen,
    };
    let sizes = model.weighed_sizes(errors);
    let mut mean_nm = vec![0.0; disc.x.len()];
    let (mut log_error, mut rings_likely) = (0.0, 0.0);
    for (size, weight) in &sizes {
        let correction = model.fit(*size).correction(&model.without_known(*size));
        model.add(&mut mean_nm, *size, &correction, *weight);
        if let Some(fault) = seen.fault(*size)
            && (fault.is_known || fault.is_read)
        {
            add_times(&mut mean_nm, &fault.unit, weight * fault.expected_nm());
        }
        log_error += weight * size.error_mm.ln();
        let is_ring = seen.fault(*size).is_some_and(|fault| fault.is_alone);
        if is_ring || size.rough.nm >= PLAIN_RING_NM {
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
pub(super) struct Size {
    /// Wavefront RMS of the conic's error.
    pub(super) smooth_nm: f64,
    pub(super) rough: Rough,
    /// Of a single reading.
    pub(super) error_mm: f64,
    /// Index into the faults there may be; `None`: none.
    pub(super) fault: Option<usize>,
}

/// Departures of one kind and size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rough {
    /// Index into [`WANDERS`].
    pub(super) wander: usize,
    /// Wavefront RMS.
    pub(super) nm: f64,
}

/// The glass as the zones see it, whatever was read through them.
pub(super) struct Seen<'a> {
    glass: Glass,
    /// A conic of unit size, by zone.
    conic: Vec<f64>,
    /// Covariance of departures of unit size: by zone, of all rings.
    rings_with: [Vec<Vec<f64>>; WANDERS.len()],
    /// Of zone with zone.
    zones_with: [Vec<Vec<f64>>; WANDERS.len()],
    faults: &'a [Fault],
    /// A fault of 1 nm, by zone: nothing where the readings do not answer to it.
    faults_by_zone: Vec<Vec<f64>>,
}

impl Seen<'_> {
    pub(super) fn of<'a>(disc: &Disc, rows: &[Vec<f64>], faults: &'a [Fault]) -> Seen<'a> {
        let glass = Glass::on(disc);
        let by_zone =
            |curve: &[f64]| -> Vec<f64> { rows.iter().map(|row| dot(row, curve)).collect() };
        let rings_with = std::array::from_fn(|wander| glass.covariances(wander, rows));
        let fault_by_zone = |fault: &Fault| match fault.is_none() || !fault.is_read {
            true => vec![0.0; rows.len()],
            false => by_zone(&fault.unit),
        };
        Seen {
            conic: by_zone(&glass.conic),
            zones_with: std::array::from_fn(|wander: usize| {
                let of_wander: &Vec<Vec<f64>> = &rings_with[wander];
                of_wander.iter().map(|rings| by_zone(rings)).collect()
            }),
            faults_by_zone: faults.iter().map(fault_by_zone).collect(),
            rings_with,
            glass,
            faults,
        }
    }

    fn fault(&self, size: Size) -> Option<&Fault> {
        size.fault.map(|idx| &self.faults[idx])
    }

    /// By zone, the fault's unit and its spread.
    fn fault_by_zone(&self, size: Size) -> Option<(&Fault, &[f64])> {
        size.fault
            .map(|idx| (&self.faults[idx], &self.faults_by_zone[idx][..]))
    }
}

/// Readings, and the glass as the zones see it.
pub(super) struct Model<'a> {
    pub(super) measured: &'a Measured,
    pub(super) seen: &'a Seen<'a>,
}

impl Model<'_> {
    /// Readings, focus, conic and faults seen through departures and reading error of that size.
    pub(super) fn whitened(&self, rough: Rough, error_mm: f64) -> Whitened<'_> {
        let n = self.seen.conic.len();
        let factor = cholesky(self.covariance(rough, error_mm));
        let white = |vector: &[f64]| half_solved(&factor, vector);
        let (ones, read) = (white(&vec![1.0; n]), white(&self.measured.steepness_nm));
        let conic = white(&self.seen.conic);
        let with = |vector: &[f64]| [dot(&ones, vector), dot(&read, vector), dot(&conic, vector)];
        let of_fault = |unit: &Vec<f64>| {
            let unit = white(unit);
            (with(&unit), dot(&unit, &unit))
        };
        Whitened {
            log_volume: (0..n).map(|i| factor[i][i].ln()).sum(),
            ones: with(&ones),
            read: with(&read),
            conic: with(&conic),
            of_faults: self.seen.faults_by_zone.iter().map(of_fault).collect(),
            faults: self.seen.faults,
        }
    }

    /// Of zone with zone, by departures and reading error alone; the lower triangle.
    fn covariance(&self, rough: Rough, error_mm: f64) -> Vec<Vec<f64>> {
        let n = self.seen.conic.len();
        let departures = &self.seen.zones_with[rough.wander];
        let mut covariance = vec![vec![0.0; n]; n];
        for i in 0..n {
            for j in 0..=i {
                covariance[i][j] = rough.nm.powi(2) * departures[i][j];
            }
            covariance[i][i] += (self.measured.nm_per_mm[i] * error_mm).powi(2);
        }
        if let Some((zone, nm)) = self.measured.apart {
            covariance[zone][zone] += nm * nm;
        }
        covariance
    }

    fn fit(&self, size: Size) -> Fit {
        let mut covariance = self.covariance(size.rough, size.error_mm);
        add_direction(&mut covariance, &self.seen.conic, size.smooth_nm);
        if let Some((fault, unit)) = self.seen.fault_by_zone(size) {
            add_direction(&mut covariance, unit, fault.spread_nm);
        }
        let factor = cholesky(covariance);
        let ones = solved(&factor, &vec![1.0; self.seen.conic.len()]);
        Fit {
            ones_sum: ones.iter().sum(),
            factor,
            ones,
        }
    }

    /// What was read, less the edge that somebody measured.
    fn without_known(&self, size: Size) -> Vec<f64> {
        let mut left = self.measured.steepness_nm.clone();
        if let Some((fault, unit)) = self.seen.fault_by_zone(size) {
            add_times(&mut left, unit, -fault.mean_nm);
        }
        left
    }

    /// Adds a share of the steepness that a correction stands for.
    fn add(&self, to: &mut [f64], size: Size, correction: &Correction, share: f64) {
        let Correction { level, pulls } = correction;
        let conic = size.smooth_nm.powi(2) * dot(&self.seen.conic, pulls);
        for (steepness, unit) in to.iter_mut().zip(&self.seen.glass.conic) {
            *steepness += share * (level + conic * unit);
        }
        let rough = size.rough.nm.powi(2);
        for (rings, pull) in self.seen.rings_with[size.rough.wander].iter().zip(pulls) {
            add_times(to, rings, share * rough * pull);
        }
        if let Some((fault, unit)) = self.seen.fault_by_zone(size) {
            let fault_nm = fault.spread_nm.powi(2) * dot(unit, pulls);
            add_times(to, &fault.unit, share * fault_nm);
        }
    }

    /// All sizes that matter, with weights that sum to 1.
    fn weighed_sizes(&self, errors: &[ReadingError]) -> Vec<(Size, f64)> {
        let mut sizes = Vec::new();
        for error in errors {
            for rough in roughs() {
                let whitened = self.whitened(rough, error.mm);
                for (idx, fault) in self.seen.faults.iter().enumerate() {
                    if fault.is_alone && rough.nm > 0.0 {
                        continue;
                    }
                    let beforehand = error.log_weight + fault.share.ln();
                    sizes.extend(SMOOTH_NM.map(|smooth_nm| {
                        let size = Size {
                            smooth_nm,
                            rough,
                            error_mm: error.mm,
                            fault: Some(idx),
                        };
                        (
                            size,
                            beforehand
                                + whitened
                                    .log_likelihood(ConicPrior::about_none(smooth_nm), Some(idx)),
                        )
                    }));
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
        let conic = size.smooth_nm * chance.normal();
        let mut curve: Vec<f64> = self
            .seen
            .glass
            .conic
            .iter()
            .map(|unit| conic * unit)
            .collect();
        if size.rough.nm > 0.0 {
            let departure = self.seen.glass.drawn(size.rough.wander, chance);
            add_times(&mut curve, &departure, size.rough.nm);
        }
        let mut read: Vec<f64> = (self.measured.rows.iter())
            .map(|row| dot(row, &curve))
            .collect();
        if let Some((fault, by_zone)) = self.seen.fault_by_zone(size) {
            let fault_nm = fault.drawn_nm(chance.normal());
            add_times(&mut curve, &fault.unit, fault_nm);
            add_times(&mut read, by_zone, fault_nm);
        }
        let missed: Vec<f64> = (read.iter().enumerate())
            .map(|(zone, read)| {
                let error = self.measured.nm_per_mm[zone] * size.error_mm * chance.normal();
                self.measured.steepness_nm[zone] - read - error
            })
            .collect();
        self.add(&mut curve, size, &fit.correction(&missed), 1.0);
        curve
    }
}

/// One direction more in which the glass may be off, by so much of the unit.
fn add_direction(covariance: &mut [Vec<f64>], unit: &[f64], size: f64) {
    let square = size * size;
    for (i, row) in covariance.iter_mut().enumerate() {
        (0..=i).for_each(|j| row[j] += square * unit[i] * unit[j]);
    }
}

fn add_times(to: &mut [f64], unit: &[f64], times: f64) {
    to.iter_mut()
        .zip(unit)
        .for_each(|(to, unit)| *to += times * unit);
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
}

/// Products of ones, readings, the conic and every fault, each freed of what departures and reading error make of it.
///
/// A conic or a fault of unknown size adds one direction to the covariance: its likelihood follows from these products
/// (Sherman & Morrison 1950), without another factoring.
pub(super) struct Whitened<'a> {
    log_volume: f64,
    /// Each with ones, readings, conic.
    ones: [f64; 3],
    read: [f64; 3],
    conic: [f64; 3],
    /// The same of each fault's unit, and with itself.
    of_faults: Vec<([f64; 3], f64)>,
    faults: &'a [Fault],
}

impl Whitened<'_> {
    /// Logarithm of the likelihood of the differences between zones, with a conic error of that size.
    pub(super) fn log_likelihood(&self, prior: ConicPrior, fault: Option<usize>) -> f64 {
        let [ones, mut ones_read, mut ones_conic] = self.ones;
        let [_, mut read, mut read_conic] = self.read;
        let (mut ones, mut conic, mut log_volume) = (ones, self.conic[2], self.log_volume);
        let mean_nm = prior.mean_nm;
        read += mean_nm * (mean_nm * conic - 2.0 * read_conic);
        ones_read -= mean_nm * ones_conic;
        read_conic -= mean_nm * conic;
        if let Some(idx) = fault {
            let ([with_ones, with_read, with_conic], itself) = self.of_faults[idx];
            let Fault {
                mean_nm, spread_nm, ..
            } = self.faults[idx];
            // What is known of it is taken off the readings first.
            read += mean_nm * (mean_nm * itself - 2.0 * with_read);
            ones_read -= mean_nm * with_ones;
            read_conic -= mean_nm * with_conic;
            let with_read = with_read - mean_nm * itself;
            let direction = Direction::of(spread_nm, itself);
            ones -= direction.taken * with_ones * with_ones;
            ones_read -= direction.taken * with_ones * with_read;
            ones_conic -= direction.taken * with_ones * with_conic;
            read -= direction.taken * with_read * with_read;
            read_conic -= direction.taken * with_read * with_conic;
            conic -= direction.taken * with_conic * with_conic;
            log_volume += direction.log_volume;
        }
        let direction = Direction::of(prior.spread_nm, conic);
        ones -= direction.taken * ones_conic * ones_conic;
        ones_read -= direction.taken * ones_conic * read_conic;
        read -= direction.taken * read_conic * read_conic;
        log_volume += direction.log_volume;
        let misfit = read - ones_read * ones_read / ones;
        -log_volume - ones.ln() / 2.0 - misfit / 2.0
    }
}

/// What is known of the conic's error beforehand, nm of wavefront RMS toward the sphere; with a mean only where no fault is
/// looked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct ConicPrior {
    pub(super) mean_nm: f64,
    pub(super) spread_nm: f64,
}

impl ConicPrior {
    pub(super) fn about_none(spread_nm: f64) -> ConicPrior {
        ConicPrior {
            mean_nm: 0.0,
            spread_nm,
        }
    }
}

/// One direction of unknown size among the covariances.
struct Direction {
    taken: f64,
    log_volume: f64,
}

impl Direction {
    fn of(size: f64, itself: f64) -> Direction {
        let grown = 1.0 + size * size * itself;
        Direction {
            taken: size * size / grown,
            log_volume: grown.ln() / 2.0,
        }
    }
}

/// Departures' sizes, evenly by ratio: each as likely as the next beforehand.
fn roughs() -> impl Iterator<Item = Rough> {
    let of = |(wander, kind): (usize, &Wander)| {
        let grown = (0..9).map(move |k| Rough {
            wander,
            nm: f64::from(1 << k),
        });
        let none = Rough { wander, nm: 0.0 };
        grown.chain((*kind == Wander::Bends).then_some(none))
    };
    WANDERS.iter().enumerate().flat_map(of)
}

/// Wavefront RMS of a conic's error, each as likely as the next. They begin at a sphere of 114 mm at f/8: the mirror is not
/// thought better than that beforehand, or poor readings of a poor mirror would be drawn toward perfection.
const SMOOTH_NM: [f64; 6] = [32.0, 64.0, 128.0, 256.0, 512.0, 1024.0];

/// Wavefront RMS of a departure that costs a hundredth of the Strehl ratio, nearly.
const PLAIN_RING_NM: f64 = 8.0;

/// Enough that one in two hundred is told from one in a hundred.
const DRAWS: usize = 800;

/// Of the best.
const NEGLIGIBLE: f64 = 1e-4;
