//! The wavefront whose bands are those of the pictures.
//!
//! Variable projection: for any wavefront, angle and rim the light's own amplitudes (even light, strength of each harmonic and
//! how both change over the disc) follow by linear least squares; the rest is found by damped Gauss-Newton steps on what those
//! leave. Several pictures share the wavefront; each has its own offset, angle, ruling and rim.
//!
//! The order matters: correction and offset first, then the smooth terms, then all, and only then less weight to what does not fit.

use rayon::prelude::*;

use crate::linear::{cholesky, dot, solved};

use super::light::{Light, N_LINEAR, by_harmonic, columns};
use super::orders::{N_HARMONICS, Ruled};
use super::samples::Samples;
use super::setup::PhotoSetup;
use super::unknowns::{Free, N_OWN, N_SHARED, OWN_FROM, OfPicture, Unknowns, prior_mean, prior_sd};

/// One picture to be fitted.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// Its places.
    pub samples: &'a Samples,
    /// Of the grating, as stated, mm.
    pub offset_mm: f64,
    /// By how much the mirror was turned for it, radians, as the picture is seen.
    pub turned_rad: f64,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// All of it.
    pub unknowns: Unknowns,
    /// Covariance of the shared terms and the astigmatism, nm².
    pub covariance: Vec<Vec<f64>>,
    /// Of each picture.
    pub pictures: Vec<OfFit>,
}

/// How one picture was fitted.
#[derive(Debug, Clone)]
pub struct OfFit {
    /// Share of the light's variance that is explained, 0 to 1.
    pub explained: f64,
    /// Of the bands over the even light.
    pub contrast: f64,
    /// At every place: what was computed.
    pub computed: Vec<f64>,
}

/// Neighbouring places are not independent: so many count as one.
const ALIKE: f64 = 25.0;

/// The fit from a rough beginning.
pub fn coarse(setup: &PhotoSetup, cases: &[Case], mut unknowns: Unknowns) -> (Unknowns, f64) {
    let mut problem = Problem::new(setup, cases, false);
    problem.stage(&mut unknowns, Free::Correction, 10);
    problem.stage(&mut unknowns, Free::Smooth, 8);
    let explained = problem.explained(&unknowns);
    (unknowns, explained)
}

/// The same to the end. `has_astigmatism`: the mirror was turned between pictures.
pub fn fitted(
    setup: &PhotoSetup,
    cases: &[Case],
    mut unknowns: Unknowns,
    has_astigmatism: bool,
) -> Fitted {
    let mut problem = Problem::new(setup, cases, has_astigmatism);
    problem.stage(&mut unknowns, Free::Smooth, 4);
    problem.stage(&mut unknowns, Free::All, 20);
    for _ in 0..2 {
        problem.weigh(&unknowns);
        problem.stage(&mut unknowns, Free::All, 6);
    }
    let covariance = problem.covariance(&unknowns);
    let pictures = (0..cases.len())
        .map(|idx| problem.of_fit(&unknowns, idx))
        .collect();
    Fitted {
        unknowns,
        covariance,
        pictures,
    }
}

struct Problem<'a> {
    setup: &'a PhotoSetup,
    cases: &'a [Case<'a>],
    has_astigmatism: bool,
    weights: Vec<Vec<f64>>,
}

/// Sums over one picture.
struct Sums {
    /// Of Jacobian by Jacobian, with what the linear numbers take.
    normal: Vec<Vec<f64>>,
    right: Vec<f64>,
    squares: f64,
}

impl<'a> Problem<'a> {
    fn new(setup: &'a PhotoSetup, cases: &'a [Case<'a>], has_astigmatism: bool) -> Self {
        Problem {
            setup,
            cases,
            has_astigmatism,
            weights: cases
                .iter()
                .map(|case| case.samples.weight.clone())
                .collect(),
        }
    }

    fn ruled(&self, unknowns: &Unknowns, picture: usize) -> Ruled {
        let own = &unknowns.pictures[picture];
        let case = &self.cases[picture];
        // Astigmatism lies in the mirror, which was turned; bars lie in the picture.
        let turn = 2.0 * (own.angle_rad - case.turned_rad);
        let [a, b] = unknowns.astigmatism_nm;
        let (sin, cos) = turn.sin_cos();
        Ruled {
            coefficients_nm: unknowns.terms_nm(picture),
            astigmatism_nm: [a * cos + b * sin, b * cos - a * sin],
            shear: self.setup.shear(case.offset_mm),
            ruling_phase: own.ruling_phase,
            wavelength_nm: self.setup.wavelength_nm,
            rim_softness: own.rim_softness,
        }
    }

    /// Across and along the bars in the mirror, of its radius.
    fn on_mirror(&self, own: &OfPicture, at: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = own.angle_rad.sin_cos();
        let [u, v] = [0, 1].map(|k| (at[k] - own.centre[k]) / (1.0 + own.wider));
        // A camera sees tangents of angles, not heights on the glass.
        let bent =
            1.0 - (u * u + v * v - 1.0) * (self.setup.rim_mm / self.setup.radius_mm).powi(2) / 2.0;
        [bent * (u * cos + v * sin), bent * (v * cos - u * sin)]
    }

    fn light(&self, unknowns: &Unknowns, picture: usize) -> Light {
        let samples = self.cases[picture].samples;
        let ruled = self.ruled(unknowns, picture);
        let own = &unknowns.pictures[picture];
        let places: Vec<_> = (samples.at.par_iter())
            .map(|at| {
                let at = self.on_mirror(own, *at);
                let seen = ruled.seen(at[0], at[1]);
                (at, seen.harmonics.map(|it| it.re))
            })
            .collect();
        Light::of(places, &samples.light, &self.weights[picture])
    }

    fn residuals(&self, unknowns: &Unknowns, picture: usize) -> Vec<f64> {
        let light = self.light(unknowns, picture);
        let seen = &self.cases[picture].samples.light;
        (seen.iter().enumerate())
            .map(|(place, seen)| seen - light.computed(place))
            .collect()
    }

    fn squares(&self, unknowns: &Unknowns) -> f64 {
        let of = |picture: usize| -> f64 {
            let residuals = self.residuals(unknowns, picture);
            let weighed = residuals.iter().zip(&self.weights[picture]);
            weighed
                .map(|(residual, weight)| weight * residual * residual)
                .sum()
        };
        (0..self.cases.len()).map(of).sum()
    }

    fn n_known(&self) -> f64 {
        self.weights.iter().flatten().sum::<f64>().max(1.0)
    }

    /// Share of the light's variance that is explained, of all pictures.
    fn explained(&self, unknowns: &Unknowns) -> f64 {
        let variance: f64 = (self.cases.iter().zip(&self.weights))
            .map(|(case, weights)| spread(&case.samples.light, weights))
            .sum();
        1.0 - self.squares(unknowns) / variance.max(f64::MIN_POSITIVE)
    }

    /// Sums of one picture, with slopes.
    fn sums(&self, unknowns: &Unknowns, picture: usize, free: &[usize]) -> Sums {
        let light = self.light(unknowns, picture);
        let samples = self.cases[picture].samples;
        let weights = &self.weights[picture];
        let n = free.len();
        let indices: Vec<usize> = (0..samples.at.len()).collect();
        let zero = || {
            (
                vec![vec![0.0; n]; n],
                vec![vec![0.0; n]; N_LINEAR],
                vec![0.0; n],
                0.0,
            )
        };
        let moved = self.moved(unknowns, picture);
        let parts = indices.par_chunks(CHUNK).map(|places| {
            let (mut normal, mut mixed, mut right, mut squares) = zero();
            for &place in places.iter().filter(|place| 0.0 < weights[**place]) {
                let residual = samples.light[place] - light.computed(place);
                let slopes = self.slopes(&moved, picture, samples.at[place], &light.linear, free);
                let columns = columns(light.places[place].0, &light.places[place].1);
                let weight = weights[place];
                squares += weight * residual * residual;
                for i in 0..n {
                    let weighed = weight * slopes[i];
                    right[i] += weighed * residual;
                    for j in 0..=i {
                        normal[i][j] += weighed * slopes[j];
                    }
                    for (row, column) in mixed.iter_mut().zip(&columns) {
                        row[i] += weighed * column;
                    }
                }
            }
            (normal, mixed, right, squares)
        });
        // Added up in one order, so that the same picture comes to the same figure each time.
        let parts: Vec<_> = parts.collect();
        let (mut normal, mixed, right, squares) = parts.into_iter().fold(zero(), |mut a, b| {
            let add = |a: &mut Vec<Vec<f64>>, b: &Vec<Vec<f64>>| {
                for (a, b) in a.iter_mut().flatten().zip(b.iter().flatten()) {
                    *a += b;
                }
            };
            add(&mut a.0, &b.0);
            add(&mut a.1, &b.1);
            a.2.iter_mut().zip(&b.2).for_each(|(a, b)| *a += b);
            a.3 += b.3;
            a
        });
        // What a change of the linear numbers would take over.
        let taken: Vec<Vec<f64>> = (0..n)
            .map(|i| {
                let column: Vec<f64> = mixed.iter().map(|row| row[i]).collect();
                solved(&light.factor, &column)
            })
            .collect();
        for i in 0..n {
            for j in 0..=i {
                let both: f64 = (0..N_LINEAR).map(|k| mixed[k][i] * taken[j][k]).sum();
                normal[i][j] -= both;
            }
        }
        Sums {
            normal,
            right,
            squares,
        }
    }

    /// One picture as it is, and with each of what has no slope in closed form moved a little.
    fn moved(&self, unknowns: &Unknowns, picture: usize) -> Moved {
        let from = OWN_FROM + N_OWN * picture;
        let of = |unknowns: &Unknowns| (self.ruled(unknowns, picture), unknowns.pictures[picture]);
        Moved {
            here: of(unknowns),
            by_own: std::array::from_fn(|nth| {
                let mut moved = unknowns.clone();
                moved.add(from + FIRST_MOVED + nth, MOVED);
                of(&moved)
            }),
        }
    }

    /// How the light at one place changes with the free unknowns.
    fn slopes(
        &self,
        moved: &Moved,
        picture: usize,
        at: [f64; 2],
        linear: &[f64],
        free: &[usize],
    ) -> Vec<f64> {
        let (ruled, own) = &moved.here;
        let here = self.on_mirror(own, at);
        let (seen, slopes) = ruled.seen_with_slopes(here[0], here[1]);
        let by_harmonic = by_harmonic(here, linear);
        let along = |slopes: &[f64; N_HARMONICS]| dot(slopes, &by_harmonic);
        let differing = |(ruled, own): &(Ruled, OfPicture)| -> f64 {
            let there = self.on_mirror(own, at);
            let moved = ruled.seen(there[0], there[1]).harmonics;
            let each = moved.iter().zip(&seen.harmonics).zip(&by_harmonic);
            each.map(|((moved, here), weight)| weight * (moved.re - here.re) / MOVED)
                .sum()
        };
        let own_from = OWN_FROM + N_OWN * picture;
        let (sin, cos) = (2.0 * (own.angle_rad - self.cases[picture].turned_rad)).sin_cos();
        free.iter()
            .map(|&idx| match idx {
                idx if idx < N_SHARED => along(&slopes.by_term[idx + 1]),
                idx if idx < OWN_FROM => {
                    let [a, b] = slopes.by_astigmatism.each_ref().map(along);
                    match idx - N_SHARED {
                        0 => a * cos - b * sin,
                        _ => a * sin + b * cos,
                    }
                }
                idx if idx < own_from || own_from + N_OWN <= idx => 0.0,
                idx => match idx - own_from {
                    0 => along(&slopes.by_term[0]),
                    1 => along(&slopes.by_phase),
                    own => differing(&moved.by_own[own - FIRST_MOVED]),
                },
            })
            .collect()
    }

    fn free(&self, unknowns: &Unknowns, free: Free) -> Vec<usize> {
        (0..unknowns.n())
            .filter(|idx| free.holds(*idx, self.has_astigmatism))
            .collect()
    }

    fn all_sums(&self, unknowns: &Unknowns, free: &[usize]) -> Sums {
        let n = free.len();
        let mut all = Sums {
            normal: vec![vec![0.0; n]; n],
            right: vec![0.0; n],
            squares: 0.0,
        };
        for picture in 0..self.cases.len() {
            let of = self.sums(unknowns, picture, free);
            for (a, b) in all
                .normal
                .iter_mut()
                .flatten()
                .zip(of.normal.iter().flatten())
            {
                *a += b;
            }
            all.right
                .iter_mut()
                .zip(&of.right)
                .for_each(|(a, b)| *a += b);
            all.squares += of.squares;
        }
        all
    }

    /// Steps until none gains, so many at most.
    fn stage(&mut self, unknowns: &mut Unknowns, free: Free, steps: usize) {
        let free = self.free(unknowns, free);
        let variance = |squares: f64| (squares / self.n_known()).max(1e-12) * ALIKE;
        let prior = |unknowns: &Unknowns| -> f64 {
            let each = free.iter().filter_map(|&idx| {
                let sd = prior_sd(idx)?;
                Some(((unknowns.get(idx) - prior_mean(idx)) / sd).powi(2))
            });
            each.sum()
        };
        let mut damping = 1e-3;
        let mut sums = self.all_sums(unknowns, &free);
        for _ in 0..steps {
            let scale = variance(sums.squares);
            let cost = sums.squares / scale + prior(unknowns);
            let mut normal = sums.normal.clone();
            let mut right = sums.right.clone();
            for (i, &idx) in free.iter().enumerate() {
                normal[i].iter_mut().for_each(|it| *it /= scale);
                right[i] /= scale;
                if let Some(sd) = prior_sd(idx) {
                    normal[i][i] += sd.powi(-2);
                    right[i] -= (unknowns.get(idx) - prior_mean(idx)) / (sd * sd);
                }
            }
            let mut has_gained = false;
            for _ in 0..6 {
                let mut damped = normal.clone();
                for (i, row) in damped.iter_mut().enumerate() {
                    row[i] = row[i] * (1.0 + damping) + 1e-12;
                }
                let step = solved(&cholesky(damped), &right);
                let mut moved = unknowns.clone();
                for (&idx, by) in free.iter().zip(&step) {
                    moved.add(idx, *by);
                }
                let squares = self.squares(&moved);
                let gain = cost - (squares / scale + prior(&moved));
                if 0.0 < gain {
                    *unknowns = moved;
                    damping = (damping * 0.2).max(1e-6);
                    has_gained = LEAST_GAIN < gain;
                    break;
                }
                damping = (damping * 10.0).max(1e-3);
            }
            if !has_gained {
                return;
            }
            sums = self.all_sums(unknowns, &free);
        }
    }

    /// Less weight to what does not fit: a quarter at twice, a twenty-fifth at four times... the usual scatter.
    fn weigh(&mut self, unknowns: &Unknowns) {
        for picture in 0..self.cases.len() {
            let residuals = self.residuals(unknowns, picture);
            let mut sizes: Vec<f64> = residuals.iter().map(|it| it.abs()).collect();
            sizes.sort_by(f64::total_cmp);
            let scatter = (1.4826 * sizes[sizes.len() / 2]).max(1e-9);
            let known = &self.cases[picture].samples.weight;
            self.weights[picture] = (residuals.iter().zip(known))
                .map(|(residual, known)| {
                    let off = residual / (4.0 * scatter);
                    known / (1.0 + off * off).powi(2)
                })
                .collect();
        }
    }

    fn covariance(&self, unknowns: &Unknowns) -> Vec<Vec<f64>> {
        let free = self.free(unknowns, Free::All);
        let sums = self.all_sums(unknowns, &free);
        let scale = (sums.squares / self.n_known()).max(1e-12) * ALIKE;
        let mut normal = sums.normal;
        for (i, &idx) in free.iter().enumerate() {
            normal[i].iter_mut().for_each(|it| *it /= scale);
            normal[i][i] += prior_sd(idx).map_or(1e-9, |sd| sd.powi(-2));
        }
        let factor = cholesky(normal);
        let n_shared = free.iter().filter(|idx| **idx < OWN_FROM).count();
        let mut covariance = vec![vec![0.0; OWN_FROM]; OWN_FROM];
        for (row, &idx) in free.iter().enumerate().take(n_shared) {
            let mut unit = vec![0.0; free.len()];
            unit[row] = 1.0;
            let column = solved(&factor, &unit);
            for (other, &other_idx) in free.iter().enumerate().take(n_shared) {
                covariance[idx][other_idx] = column[other];
            }
        }
        covariance
    }

    fn of_fit(&self, unknowns: &Unknowns, picture: usize) -> OfFit {
        let light = self.light(unknowns, picture);
        let samples = self.cases[picture].samples;
        let computed: Vec<f64> = (0..samples.at.len())
            .map(|place| light.computed(place))
            .collect();
        let squares: f64 = (computed.iter().zip(&samples.light).zip(&samples.weight))
            .map(|((computed, light), weight)| weight * (computed - light).powi(2))
            .sum();
        let n = light.places.len() as f64;
        let mean = |of: &dyn Fn([f64; 2], &[f64; N_HARMONICS]) -> f64| {
            light.places.iter().map(|(at, it)| of(*at, it)).sum::<f64>() / n
        };
        let bands = mean(&|at, it| by_harmonic(at, &light.linear)[1].abs() * it[1].abs());
        let even = mean(&|at, it| by_harmonic(at, &light.linear)[0] * it[0]).abs();
        OfFit {
            explained: 1.0 - squares / spread(&samples.light, &samples.weight),
            contrast: std::f64::consts::FRAC_PI_2 * bands / even.max(f64::MIN_POSITIVE),
            computed,
        }
    }
}

/// One picture's ruling and place for some unknowns, and for those a little moved.
struct Moved {
    here: (Ruled, OfPicture),
    by_own: [(Ruled, OfPicture); N_OWN - FIRST_MOVED],
}

/// Of a picture's own unknowns: angle, middle, size and softness of the rim have no slope in closed form.
const FIRST_MOVED: usize = 2;

/// Places that one thread sums.
const CHUNK: usize = 512;

/// A step to see what a change does.
const MOVED: f64 = 1e-4;

/// A gain below this is none.
const LEAST_GAIN: f64 = 1e-4;

/// Sum of squares about the mean.
fn spread(values: &[f64], weights: &[f64]) -> f64 {
    let all: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let mean = dot(values, weights) / all;
    let off = values
        .iter()
        .zip(weights)
        .map(|(a, b)| b * (a - mean).powi(2));
    off.sum::<f64>().max(f64::MIN_POSITIVE)
}
