//! The mirror's disc by area: rings at even steps of `x = (r / rim)^2`, and what a wavefront on them
//! comes to.
//!
//! In `x` every conic is a straight line of steepness and a parabola of wavefront, focus is a straight
//! line, and weighting by area is weighting evenly.

use std::f64::consts::TAU;

use crate::linear::NormalEquations;
use crate::optics::knife::Mirror;

/// Rings of the disc, from the middle to the rim.
pub(in crate::optics) struct Disc {
    /// `(r / rim)^2`, from 0 to 1.
    pub(in crate::optics) x: Vec<f64>,
    /// Share of the light; 0 in the diagonal's shadow, sum 1 (Simpson's rule).
    pub(in crate::optics) share: Vec<f64>,
    /// Mean of x over the light.
    mean_x: f64,
    /// Half the clear aperture, mm.
    pub(in crate::optics) rim_mm: f64,
    /// Primary spherical aberration, `x^2` at the focus of least RMS.
    spherical: Vec<f64>,
    /// Square of rim radius over radius of curvature.
    rim_slope_squared: f64,
    wavelength_nm: f64,
}

/// Figures of one wavefront.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::optics) struct Figures {
    pub(in crate::optics) wavefront_pv_nm: f64,
    pub(in crate::optics) wavefront_rms_nm: f64,
    pub(in crate::optics) strehl: f64,
}

impl Disc {
    pub(in crate::optics) fn of(mirror: &Mirror) -> Disc {
        let rim_mm = mirror.aperture_mm / 2.0;
        let rim_slope = rim_mm / mirror.radius_of_curvature_mm;
        Disc {
            rim_mm,
            ..Disc::new(mirror.obstruction, rim_slope, mirror.wavelength_nm)
        }
    }

    /// Of radius 1 mm; `rim_slope` is the rim's radius over the radius of curvature.
    pub(in crate::optics) fn new(obstruction: f64, rim_slope: f64, wavelength_nm: f64) -> Disc {
        let inner = obstruction * obstruction;
        let dark = (inner * LIT_STEPS as f64).ceil() as usize;
        let step = (1.0 - inner) / LIT_STEPS as f64;
        let shadow = (0..dark).map(|i| inner * i as f64 / dark as f64);
        let light = (0..=LIT_STEPS).map(|i| inner + step * i as f64);
        let x: Vec<f64> = shadow.chain(light).collect();
        let share: Vec<f64> = (0..x.len())
            .map(|j| match j.checked_sub(dark) {
                None => 0.0,
                Some(0 | LIT_STEPS) => 1.0,
                Some(odd) if odd % 2 == 1 => 4.0,
                Some(_) => 2.0,
            })
            .map(|weight| weight / (3 * LIT_STEPS) as f64)
            .collect();
        let squares: Vec<f64> = x.iter().map(|x| x * x).collect();
        let disc = Disc {
            mean_x: (1.0 + inner) / 2.0,
            x,
            share,
            spherical: Vec::new(),
            rim_mm: 1.0,
            rim_slope_squared: rim_slope * rim_slope,
            wavelength_nm,
        };
        Disc {
            spherical: disc.refocused(&squares),
            ..disc
        }
    }

    /// Weights on the rings that give a quantity's mean over the area from one radius to another
    /// (fractions of the rim's), or its value where the two are equal.
    pub(in crate::optics) fn mean_between(&self, from: f64, to: f64) -> Vec<f64> {
        let mut weights = vec![0.0; self.x.len()];
        let (low, high) = (from * from, to * to);
        for spot in 0..SPOTS {
            let x = low + (high - low) * (spot as f64 + 0.5) / SPOTS as f64;
            let (ring, along) = self.place(x);
            weights[ring] += (1.0 - along) / SPOTS as f64;
            weights[ring + 1] += along / SPOTS as f64;
        }
        weights
    }

    /// A quantity on the rings at any radius, a fraction of the rim's.
    pub(in crate::optics) fn at(&self, on_rings: &[f64], radius_fraction: f64) -> f64 {
        let (ring, along) = self.place(radius_fraction * radius_fraction);
        on_rings[ring] * (1.0 - along) + on_rings[ring + 1] * along
    }

    /// Path error from steepness, nm: zero in the middle, too long where the glass is low.
    ///
    /// A height dz of the glass takes `2 dz cos^2` of the slope's angle off the path: exact to
    /// first order, which is all there is at these sizes.
    pub(in crate::optics) fn wavefront_nm(&self, steepness_nm: &[f64]) -> Vec<f64> {
        let mut fallen = 0.0;
        let mut path = Vec::with_capacity(self.x.len());
        for (j, x) in self.x.iter().enumerate() {
            if j > 0 {
                fallen += (steepness_nm[j] + steepness_nm[j - 1]) / 2.0 * (x - self.x[j - 1]);
            }
            path.push(-fallen / (1.0 + x * self.rim_slope_squared));
        }
        path
    }

    /// The same less piston and focus, by least squares over the light.
    pub(in crate::optics) fn refocused(&self, path_nm: &[f64]) -> Vec<f64> {
        let lit = || self.share.iter().zip(&self.x).zip(path_nm);
        let mean: f64 = lit().map(|((share, _), path)| share * path).sum();
        let (along, norm) = lit().fold((0.0, 0.0), |(along, norm), ((share, x), path)| {
            let from_mean = x - self.mean_x;
            (
                along + share * from_mean * path,
                norm + share * from_mean * from_mean,
            )
        });
        let left = |(x, path): (&f64, &f64)| path - mean - along / norm * (x - self.mean_x);
        self.x.iter().zip(path_nm).map(left).collect()
    }

    /// The parabola in x that fits a wavefront best by these weights: piston, focus, primary spherical aberration, nm for
    /// each power of x.
    pub(in crate::optics) fn parabola_in_x(&self, path_nm: &[f64], weights: &[f64]) -> [f64; 3] {
        let powers = |x: f64| [1.0, x, x * x];
        let mut equations = NormalEquations::new(3);
        for ((x, weight), path) in self.x.iter().zip(weights).zip(path_nm) {
            equations.add(&powers(*x), *path, *weight);
        }
        let (terms, _) = equations.solved();
        [terms[0], terms[1], terms[2]]
    }

    /// Primary spherical aberration of a refocused wavefront over the light, nm per unit of x^2.
    pub(in crate::optics) fn spherical_nm(&self, refocused_nm: &[f64]) -> f64 {
        let with = |curve: &[f64]| -> f64 {
            let lit = self.share.iter().zip(&self.spherical).zip(curve);
            lit.map(|((share, shape), path)| share * shape * path).sum()
        };
        with(refocused_nm) / with(&self.spherical)
    }

    /// Figures of a refocused wavefront; the Strehl ratio at the focus that makes it highest.
    pub(in crate::optics) fn figures(&self, refocused_nm: &[f64]) -> Figures {
        let lit: Vec<Lit> = (0..self.x.len())
            .filter(|j| self.share[*j] > 0.0)
            .map(|j| Lit {
                share: self.share[j],
                from_mean: self.x[j] - self.mean_x,
                path_nm: refocused_nm[j],
            })
            .collect();
        let highest = lit.iter().map(|ring| ring.path_nm).fold(f64::MIN, f64::max);
        let lowest = lit.iter().map(|ring| ring.path_nm).fold(f64::MAX, f64::min);
        let square: f64 = lit.iter().map(|r| r.share * r.path_nm * r.path_nm).sum();
        let wavefront_rms_nm = square.max(0.0).sqrt();
        let wavefront_pv_nm = highest - lowest;
        Figures {
            wavefront_pv_nm,
            wavefront_rms_nm,
            strehl: highest_peak(&lit, self.wavelength_nm, wavefront_pv_nm),
        }
    }

    /// The ring at or below x, and how far on x lies toward the next.
    fn place(&self, x: f64) -> (usize, f64) {
        let above = self.x.partition_point(|ring| *ring <= x);
        let ring = above.clamp(1, self.x.len() - 1) - 1;
        let along = (x - self.x[ring]) / (self.x[ring + 1] - self.x[ring]);
        (ring, along)
    }
}

/// Of a ring of glass about a radius, all around and alike on both sides of the axis.
pub(in crate::optics) fn ring_steepness(x: &[f64], at: f64, width: f64) -> Vec<f64> {
    let flank = |rho: f64, at: f64| {
        let off = (rho - at) / width;
        off / width * (-off * off / 2.0).exp()
    };
    (x.iter())
        .map(|x| x.sqrt().max(NEXT_TO_THE_AXIS))
        .map(|rho| (flank(rho, at) + flank(rho, -at)) / (2.0 * rho))
        .collect()
}

struct Lit {
    share: f64,
    from_mean: f64,
    path_nm: f64,
}

/// Newton's steps along the focus from the best of a row, never downhill.
fn highest_peak(lit: &[Lit], wavelength_nm: f64, pv_nm: f64) -> f64 {
    let per_nm = TAU / wavelength_nm;
    let row_nm = wavelength_nm / 4.0;
    let either_side = match pv_nm > wavelength_nm / 2.0 {
        true => (pv_nm / row_nm).ceil().min(MOST_FOCUS_STEPS) as i32,
        false => 0,
    };
    let (mut focus_nm, mut here) = (-either_side..=either_side)
        .map(|step| f64::from(step) * row_nm)
        .map(|focus_nm| (focus_nm, Peak::at(lit, focus_nm, per_nm)))
        .max_by(|a, b| a.1.height.total_cmp(&b.1.height))
        .expect("at least one focus");
    let longest_nm = row_nm / 2.0;
    let mut step_nm = here.step_nm(longest_nm);
    for _ in 0..MOST_NEWTON_STEPS {
        if step_nm.abs() < SMALLEST_STEP * wavelength_nm {
            break;
        }
        let there = Peak::at(lit, focus_nm + step_nm, per_nm);
        if there.height > here.height {
            focus_nm += step_nm;
            here = there;
            step_nm = here.step_nm(longest_nm);
        } else {
            step_nm /= 4.0;
        }
    }
    here.height.min(1.0)
}

/// Height of a star's peak at a focus, and its first two derivatives.
struct Peak {
    height: f64,
    slope: f64,
    bend: f64,
}

impl Peak {
    fn at(lit: &[Lit], focus_nm: f64, per_nm: f64) -> Peak {
        let (mut cos, mut sin) = ([0.0; 3], [0.0; 3]);
        for ring in lit {
            let phase = per_nm * (ring.path_nm - focus_nm * ring.from_mean);
            let (s, c) = phase.sin_cos();
            let mut weight = ring.share;
            for power in 0..3 {
                cos[power] += weight * c;
                sin[power] += weight * s;
                weight *= per_nm * ring.from_mean;
            }
        }
        Peak {
            height: cos[0] * cos[0] + sin[0] * sin[0],
            slope: 2.0 * (cos[0] * sin[1] - sin[0] * cos[1]),
            bend: 2.0 * (cos[1] * cos[1] + sin[1] * sin[1])
                - 2.0 * (cos[0] * cos[2] + sin[0] * sin[2]),
        }
    }

    fn step_nm(&self, longest_nm: f64) -> f64 {
        match self.bend < 0.0 {
            true => (-self.slope / self.bend).clamp(-longest_nm, longest_nm),
            false => longest_nm.copysign(self.slope),
        }
    }
}

/// Even; fine enough for an edge of a hundredth of the radius. Simpson's rule is then good to 1e-6 of a conic's RMS.
const LIT_STEPS: usize = 128;

/// For a mean over a window.
const SPOTS: usize = 16;

const MOST_FOCUS_STEPS: f64 = 100.0;
const MOST_NEWTON_STEPS: usize = 40;

/// In waves: the peak is flat, 1e-8 of its height is lost.
const SMALLEST_STEP: f64 = 1e-5;

/// Where a slope over its radius is as good as at the axis itself.
pub(in crate::optics) const NEXT_TO_THE_AXIS: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::pupil::{Grid, quality};
    use crate::testing::close;

    /// Against the general quadrature of `optics::pupil`, from a good mirror to a hopeless one.
    #[test]
    fn figures_as_by_another_quadrature() {
        let shapes: [fn(f64) -> f64; 3] = [
            |x| x * x,
            |x| (9.0 * x).cos() / 12.0,
            |x| {
                if x > 0.8 {
                    (x - 0.8).powi(2) * 20.0
                } else {
                    0.0
                }
            },
        ];
        for obstruction in [0.0, 0.22, 0.35] {
            let disc = Disc::new(obstruction, 0.0, 550.0);
            for shape in shapes {
                for size_nm in [20.0, 300.0, 900.0] {
                    let path: Vec<f64> = disc.x.iter().map(|x| size_nm * shape(*x)).collect();
                    let got = disc.figures(&disc.refocused(&path));
                    let grid = Grid {
                        opening: obstruction.into(),
                        corners: vec![0.8f64.sqrt()],
                        rings: 256,
                        spokes: 1,
                    };
                    let want = quality(&grid, 550.0, |rho, _| size_nm * shape(rho * rho));
                    close(
                        "rms",
                        got.wavefront_rms_nm,
                        want.wavefront_rms_nm,
                        2e-4 * size_nm,
                    );
                    close(
                        "pv",
                        got.wavefront_pv_nm,
                        want.wavefront_pv_nm,
                        2e-3 * size_nm,
                    );
                    close("strehl", got.strehl, want.strehl, 5e-4);
                }
            }
        }
    }

    #[test]
    fn a_conic_is_a_straight_line_of_steepness() {
        let disc = Disc::new(0.0, 0.0, 550.0);
        let steepness: Vec<f64> = disc.x.iter().map(|x| 300.0 + 1000.0 * x).collect();
        let figures = disc.figures(&disc.refocused(&disc.wavefront_nm(&steepness)));
        // -500 x^2 at best focus: 500/4 P-V would be at the ends and the middle of x, -500 (x^2 - x + 1/6).
        close("pv", figures.wavefront_pv_nm, 125.0, 1e-9);
        close("rms", figures.wavefront_rms_nm, 125.0 / 3.354102, 1e-4);
    }

    #[test]
    fn a_mean_over_a_window() {
        let disc = Disc::new(0.3, 0.05, 550.0);
        let mean =
            |weights: &[f64]| -> f64 { weights.iter().zip(&disc.x).map(|(w, x)| w * x).sum() };
        close("mean", mean(&disc.mean_between(0.4, 0.6)), 0.26, 1e-12);
        close("rim", mean(&disc.mean_between(1.0, 1.0)), 1.0, 1e-12);
        close("middle", mean(&disc.mean_between(0.0, 0.0)), 0.0, 1e-12);
        close("at", disc.at(&disc.x, 0.5), 0.25, 1e-12);
    }

    /// The steepness of a ring, summed up, is the ring.
    #[test]
    fn a_ring_is_its_own_profile() {
        let disc = Disc::new(0.0, 0.0, 550.0);
        let path_nm = disc.wavefront_nm(&ring_steepness(&disc.x, 0.7, 0.15));
        let profile = |rho: f64| (-(rho - 0.7f64).powi(2) / (2.0 * 0.15f64.powi(2))).exp();
        for rho in [0.3, 0.5, 0.7, 0.85, 1.0] {
            let got = disc.at(&path_nm, rho) - disc.at(&path_nm, 0.0);
            assert!((got - profile(rho)).abs() < 0.01, "{rho}: {got}");
        }
    }
}
