//! A wavefront over the pupil: what is left of it at best focus, and the Strehl ratio.
//!
//! The pupil runs from the obstruction to 1 (the rim), less the vanes. Figures are weighted by the
//! area that transmits. Tilt and focus belong to where one looks, not to the mirror: piston, tilt and
//! `rho^2` focus are removed by least squares before anything is called an error.

use crate::optics::opening::Opening;
use crate::optics::quadrature::gauss_legendre;
use std::f64::consts::TAU;

/// How to cover the pupil.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// What transmits.
    pub opening: Opening,
    /// Radii where the wavefront has a corner, in any order; those inside the annulus count.
    pub corners: Vec<f64>,
    /// Rings in all, shared out between the corners (at least eight each).
    pub rings: usize,
    /// Points on each ring; 1 says that the wavefront has no azimuth and no tilt.
    pub spokes: usize,
}

/// Figures of a wavefront over the pupil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    /// Highest less lowest, nm, at the focus of least RMS. Sampled: low by at most 0.5 %.
    pub wavefront_pv_nm: f64,
    /// Root mean square, nm, at the focus of least RMS.
    pub wavefront_rms_nm: f64,
    /// Peak of a star's image over that of the same pupil without error, at the tilt and focus
    /// that make it highest.
    pub strehl: f64,
    /// That tilt and focus.
    pub sharpest: BestFocus,
}

/// Tilt and focus of a wavefront that belong to where one looks: the part to take off.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BestFocus {
    /// Coefficient of `x = rho cos(theta)`, nm.
    pub tilt_x_nm: f64,
    /// Coefficient of `y = rho sin(theta)`, nm.
    pub tilt_y_nm: f64,
    /// Coefficient of `rho^2`, nm.
    pub focus_nm: f64,
}

impl BestFocus {
    /// What to take off at a point of the pupil, nm.
    pub fn path_nm(self, x: f64, y: f64) -> f64 {
        self.tilt_x_nm * x + self.tilt_y_nm * y + self.focus_nm * (x * x + y * y)
    }
}

/// The Strehl ratio of a small error of any shape, from its RMS in waves: `exp(-(2 pi rms)^2)`.
///
/// Within 0.01 above a ratio of 0.7 for smooth figures (Mahajan 1983); too low for a turned edge.
pub fn strehl_of_small_error(wavefront_rms_waves: f64) -> f64 {
    (-(TAU * wavefront_rms_waves).powi(2)).exp()
}

/// Judges a wavefront given as path error in nm at `(rho, theta_rad)`.
pub fn quality(grid: &Grid, wavelength_nm: f64, path_nm: impl Fn(f64, f64) -> f64) -> Quality {
    let (samples, mean_square) = samples(grid, &path_nm);
    let best = Reference::least_squares(&samples);
    let variance: f64 = samples
        .iter()
        .map(|s| s.weight * best.left_of(s).powi(2))
        .sum();
    let (low, high) = extremes(grid, &path_nm, (&best, mean_square));
    let (strehl, sharpest) = highest_peak(&samples, best, (high - low, wavelength_nm));
    Quality {
        wavefront_pv_nm: high - low,
        wavefront_rms_nm: variance.max(0.0).sqrt(),
        strehl,
        sharpest: sharpest.best_focus(),
    }
}

/// One point of the pupil; weights sum to 1, those in the shadow of a vane being negative.
struct Sample {
    /// 1, x, y (both 0 without azimuth), and `rho^2` less its mean over the pupil: orthogonal.
    basis: [f64; 4],
    weight: f64,
    path_nm: f64,
}

/// The sphere that the wavefront is compared with: coefficients of the basis, nm.
#[derive(Clone, Copy)]
struct Reference([f64; 4]);

impl Reference {
    fn least_squares(samples: &[Sample]) -> Reference {
        let norms = norms(samples);
        Reference(std::array::from_fn(|i| {
            let along: f64 = samples
                .iter()
                .map(|s| s.weight * s.basis[i] * s.path_nm)
                .sum();
            along / norms[i]
        }))
    }

    fn left_of(&self, sample: &Sample) -> f64 {
        sample.path_nm - self.path_nm(&sample.basis)
    }

    fn moved(&self, direction: [f64; 4], by: f64) -> Reference {
        Reference(std::array::from_fn(|i| self.0[i] + direction[i] * by))
    }

    fn best_focus(&self) -> BestFocus {
        BestFocus {
            tilt_x_nm: self.0[1],
            tilt_y_nm: self.0[2],
            focus_nm: self.0[3],
        }
    }

    fn path_nm(&self, basis: &[f64; 4]) -> f64 {
        self.0.iter().zip(basis).map(|(c, b)| c * b).sum()
    }
}

/// Mean squares of the basis functions; 1 where one is absent, so that it can be divided by.
fn norms(samples: &[Sample]) -> [f64; 4] {
    std::array::from_fn(|i| {
        let norm: f64 = samples.iter().map(|s| s.weight * s.basis[i].powi(2)).sum();
        if norm > 0.0 { norm } else { 1.0 }
    })
}

/// Gauss-Legendre along the radius between corners, evenly around: exact for polynomials. The
/// vanes are taken off by an integral of their own. Also returns the mean of `rho^2`.
fn samples(grid: &Grid, path_nm: impl Fn(f64, f64) -> f64) -> (Vec<Sample>, f64) {
    let mut samples = Vec::new();
    let mut add = |rho: f64, theta: f64, area: f64| {
        samples.push(Sample {
            basis: basis(grid, rho, theta),
            weight: area,
            path_nm: path_nm(rho, theta),
        });
    };
    let edges = edges(grid);
    let nodes = gauss_legendre((grid.rings / (edges.len() - 1)).max(LEAST_RINGS));
    for pair in edges.windows(2) {
        let (middle, half) = ((pair[0] + pair[1]) / 2.0, (pair[1] - pair[0]) / 2.0);
        for (x, w) in &nodes {
            let rho = middle + x * half;
            for theta in spokes(grid.spokes) {
                add(rho, theta, TAU * w * half * rho / grid.spokes as f64);
            }
        }
    }
    let vanes: &[f64] = if grid.spokes == 1 { &[0.0] } else { &QUARTERS };
    for point in grid.opening.vane_points(&edges) {
        let (rho, theta) = (point.x.hypot(point.y), point.y.atan2(point.x));
        for vane in vanes {
            add(rho, theta + vane, -4.0 * point.area / vanes.len() as f64);
        }
    }
    let mean_square = normalise(&mut samples);
    (samples, mean_square)
}

/// Makes weights sum to 1 and the basis orthogonal; returns the mean of `rho^2`.
fn normalise(samples: &mut [Sample]) -> f64 {
    let area: f64 = samples.iter().map(|s| s.weight).sum();
    let moment: f64 = samples.iter().map(|s| s.weight * s.basis[3]).sum();
    let mean_square = moment / area;
    for sample in samples {
        sample.weight /= area;
        sample.basis[3] -= mean_square;
    }
    mean_square
}

/// 1, x, y (both 0 without azimuth), and `rho^2`.
fn basis(grid: &Grid, rho: f64, theta_rad: f64) -> [f64; 4] {
    let (x, y) = if grid.spokes == 1 {
        (0.0, 0.0)
    } else {
        (rho * theta_rad.cos(), rho * theta_rad.sin())
    };
    [1.0, x, y, rho * rho]
}

/// Lowest and highest of what is left, nm.
fn extremes(
    grid: &Grid,
    path_nm: impl Fn(f64, f64) -> f64,
    (best, mean_square): (&Reference, f64),
) -> (f64, f64) {
    let edges = edges(grid);
    let steps = (FINER_ALONG * grid.rings / (edges.len() - 1)).max(LEAST_RINGS);
    let finer_around = if grid.spokes == 1 { 1 } else { FINER_AROUND };
    let mut range = (f64::INFINITY, f64::NEG_INFINITY);
    for pair in edges.windows(2) {
        for step in 0..=steps {
            let rho = pair[0] + (pair[1] - pair[0]) * step as f64 / steps as f64;
            for theta in spokes(grid.spokes * finer_around) {
                let mut basis = basis(grid, rho, theta);
                basis[3] -= mean_square;
                let left = path_nm(rho, theta) - best.path_nm(&basis);
                range = (range.0.min(left), range.1.max(left));
            }
        }
    }
    range
}

/// Climbs from the best of a row of focus settings to the highest peak.
///
/// The climb steps along the gradient as if the wavefront were already flat, which never lowers
/// the peak (the cosine lies above that parabola).
fn highest_peak(
    samples: &[Sample],
    start: Reference,
    (pv_nm, wavelength_nm): (f64, f64),
) -> (f64, Reference) {
    let norms = norms(samples);
    let per_nm = TAU / wavelength_nm;
    let step_nm = wavelength_nm / FOCUS_STEPS_PER_WAVE;
    let either_side = (pv_nm / step_nm).ceil().clamp(0.0, MOST_FOCUS_STEPS) as i32;
    let refocused = |step: i32| start.moved([0.0, 0.0, 0.0, 1.0], f64::from(step) * step_nm);
    let mut reference = (-either_side..=either_side)
        .map(|step| (Field::of(samples, &refocused(step), per_nm).peak(), step))
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map_or(start, |(_, step)| refocused(step));
    let mut peak = 0.0;
    for _ in 0..MOST_CLIMBS {
        let field = Field::of(samples, &reference, per_nm);
        let gain = field.peak() - peak;
        peak = field.peak();
        if gain < PEAK_TOLERANCE {
            break;
        }
        reference = reference.moved(field.pull(&norms), 1.0 / per_nm);
    }
    (peak.min(1.0), reference)
}

/// Mean of the complex amplitude over the pupil, weighted with each basis function.
struct Field {
    cos: [f64; 4],
    sin: [f64; 4],
}

impl Field {
    fn of(samples: &[Sample], reference: &Reference, per_nm: f64) -> Field {
        let mut field = Field {
            cos: [0.0; 4],
            sin: [0.0; 4],
        };
        for sample in samples {
            let (sin, cos) = (per_nm * reference.left_of(sample)).sin_cos();
            for i in 0..4 {
                field.cos[i] += sample.weight * sample.basis[i] * cos;
                field.sin[i] += sample.weight * sample.basis[i] * sin;
            }
        }
        field
    }

    /// What the phase left over looks like, as coefficients of the basis, radians. Piston excepted.
    fn pull(&self, norms: &[f64; 4]) -> [f64; 4] {
        let (sin, cos) = self.sin[0].atan2(self.cos[0]).sin_cos();
        let mut pull = std::array::from_fn(|i| (self.sin[i] * cos - self.cos[i] * sin) / norms[i]);
        pull[0] = 0.0;
        pull
    }

    fn peak(&self) -> f64 {
        self.cos[0].powi(2) + self.sin[0].powi(2)
    }
}

/// The annulus cut at the wavefront's corners: radii in order.
fn edges(grid: &Grid) -> Vec<f64> {
    let inner = grid.opening.obstruction;
    let inside = |r: &f64| inner < *r && *r < 1.0;
    let mut edges = vec![inner, 1.0];
    edges.extend(grid.corners.iter().copied().filter(inside));
    edges.sort_by(f64::total_cmp);
    edges
}

fn spokes(count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |spoke| TAU * spoke as f64 / count as f64)
}

/// Where the four vanes point.
const QUARTERS: [f64; 4] = [0.0, TAU / 4.0, TAU / 2.0, 3.0 * TAU / 4.0];

/// Per stretch between corners.
const LEAST_RINGS: usize = 8;

/// How much finer extremes are looked for than integrals.
const FINER_ALONG: usize = 2;
const FINER_AROUND: usize = 4;

/// Fine enough that one setting stands on the flank of the highest peak: a quarter wave of
/// defocus costs a fifth of it.
const FOCUS_STEPS_PER_WAVE: f64 = 4.0;

/// 25 waves of defocus either side: beyond that there is no image to speak of.
const MOST_FOCUS_STEPS: f64 = 100.0;

const MOST_CLIMBS: usize = 200;

/// A climb that gains less than this is at the top.
const PEAK_TOLERANCE: f64 = 1e-9;
