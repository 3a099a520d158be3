//! The mirror's rim in a picture: the ellipse near a circle, to a tenth of a pixel.
//!
//! Dark bands cut the rim, ghosts of it stand beside it, and the room has edges of its own. So several circles are
//! [proposed](super::circles::proposed), and whoever asks keeps the one with which the bands fit best.

use std::f64::consts::TAU;

use crate::linear::{NormalEquations, dot};

use super::photo::Photo;

/// An ellipse: `centre + shape * (cos t, sin t)`, `shape` symmetric, so that it turns nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Pixels from the middle of the first one, right and down.
    pub centre_px: [f64; 2],
    /// `[[a, b], [b, d]]` as `[a, b, d]`, pixels.
    pub shape_px: [f64; 3],
}

impl Ellipse {
    /// Of a circle.
    pub fn circle(centre_px: [f64; 2], radius_px: f64) -> Ellipse {
        Ellipse {
            centre_px,
            shape_px: [radius_px, 0.0, radius_px],
        }
    }

    /// Where a place of the unit disc lies in the picture.
    pub fn px(&self, [u, v]: [f64; 2]) -> [f64; 2] {
        let [a, b, d] = self.shape_px;
        [
            self.centre_px[0] + a * u + b * v,
            self.centre_px[1] + b * u + d * v,
        ]
    }

    /// Half of the sum of its half axes.
    pub fn radius_px(&self) -> f64 {
        0.5 * (self.shape_px[0] + self.shape_px[2])
    }

    /// Long axis over short one.
    pub fn axes_ratio(&self) -> f64 {
        let [a, b, d] = self.shape_px;
        let (mean, apart) = (0.5 * (a + d), (0.5 * (a - d)).hypot(b));
        (mean + apart) / (mean - apart)
    }

    /// Whether two are one to a third of a percent.
    pub fn is_like(&self, other: &Ellipse) -> bool {
        let apart = |a: &[f64], b: &[f64]| {
            let each = a.iter().zip(b).map(|(a, b)| (a - b).abs());
            each.fold(0.0, f64::max)
        };
        let off =
            apart(&self.centre_px, &other.centre_px).max(apart(&self.shape_px, &other.shape_px));
        off < self.radius_px() / 300.0
    }

    /// Moved and bent by what its own disc's rim is off by: `gain + move · (cos, sin) + bend · (cos 2t, sin 2t)`.
    fn mended(&self, gain: f64, shift: [f64; 2], bend: [f64; 2]) -> Ellipse {
        let [a, b, d] = self.shape_px;
        let centre_px = self.px(shift);
        let (p, q, s) = (1.0 + gain + bend[0], bend[1], 1.0 + gain - bend[0]);
        // The product's symmetric part: its turn is of second order.
        let upper = 0.5 * (a * q + b * s + b * p + d * q);
        Ellipse {
            centre_px,
            shape_px: [a * p + b * q, upper, b * q + d * s],
        }
    }
}

/// Why no rim is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoRim {
    /// No circle stands out.
    NoCircle,
    /// Too little of it shows.
    Cut {
        /// Share of the directions in which it was found.
        found: f64,
    },
    /// It is no ellipse: something else was taken for it.
    Ragged {
        /// Scatter about the ellipse, of its radius.
        scatter: f64,
    },
    /// The camera looked from too far aside.
    Slanted {
        /// Long axis over short one.
        axes_ratio: f64,
    },
    /// A part of it lies outside the picture.
    Outside {
        /// Share of the rim.
        share: f64,
    },
}

/// The ellipse about a circle that is near enough.
pub fn refined(photo: &Photo, start: Ellipse) -> Result<Ellipse, NoRim> {
    let mut ellipse = start;
    let mut found = Found::default();
    for reach in REACHES {
        found = Found::about(photo, &ellipse, reach);
        ellipse = found.mended(&ellipse)?;
    }
    let outside = share_outside(photo, &ellipse);
    match () {
        () if MOST_OUTSIDE < outside => Err(NoRim::Outside { share: outside }),
        () if found.n_octants() < LEAST_OCTANTS || found.share() < LEAST_FOUND => Err(NoRim::Cut {
            found: found.share(),
        }),
        () if MOST_SCATTER < found.scatter => Err(NoRim::Ragged {
            scatter: found.scatter,
        }),
        () if MOST_SLANTED < ellipse.axes_ratio() => Err(NoRim::Slanted {
            axes_ratio: ellipse.axes_ratio(),
        }),
        () => Ok(ellipse),
    }
}

/// How far from the rim it is looked for, of the radius: nearer each time.
const REACHES: [f64; 4] = [0.08, 0.05, 0.04, 0.04];

/// Directions.
const RAYS: usize = 1080;

const LEAST_OCTANTS: usize = 6;
const LEAST_FOUND: f64 = 0.15;
const MOST_SCATTER: f64 = 0.006;
const MOST_SLANTED: f64 = 1.08;
const MOST_OUTSIDE: f64 = 0.02;

fn share_outside(photo: &Photo, ellipse: &Ellipse) -> f64 {
    let is_out = |ray: &usize| {
        let [x, y] = ellipse.px(direction(*ray));
        let is_in = |at: f64, n: usize| -0.5 <= at && at <= n as f64 - 0.5;
        !is_in(x, photo.width) || !is_in(y, photo.height)
    };
    (0..RAYS).filter(is_out).count() as f64 / RAYS as f64
}

fn direction(ray: usize) -> [f64; 2] {
    let (sin, cos) = (TAU * ray as f64 / RAYS as f64).sin_cos();
    [cos, sin]
}

/// The rim in each direction in which it was found: by how much it is off an ellipse, of the radius.
#[derive(Default)]
struct Found {
    off: Vec<Option<f64>>,
    scatter: f64,
}

impl Found {
    fn about(photo: &Photo, ellipse: &Ellipse, reach: f64) -> Found {
        let step = 0.5 / ellipse.radius_px();
        let n = (reach / step).ceil() as usize;
        let along = |ray: usize| -> Vec<f64> {
            let [u, v] = direction(ray);
            (0..=2 * n)
                .map(|k| {
                    let radius = 1.0 + (k as f64 - n as f64) * step;
                    let [x, y] = ellipse.px([u * radius, v * radius]);
                    photo.light_at(x, y)
                })
                .collect()
        };
        let profiles: Vec<Vec<f64>> = (0..RAYS).map(along).collect();
        let levels: Vec<(f64, f64)> = (profiles.iter())
            .map(|profile| (median(&profile[..n]), median(&profile[n + 1..])))
            .collect();
        let mut inside: Vec<f64> = levels.iter().map(|it| it.0).collect();
        inside.sort_by(f64::total_cmp);
        let bright = inside[(0.9 * (inside.len() - 1) as f64) as usize];
        let crossing = |(profile, (within, without)): (&Vec<f64>, &(f64, f64))| {
            if *within < LEAST_LIGHT * bright || within <= without {
                return None;
            }
            let half = 0.5 * (within + without);
            let last = (1..profile.len())
                .rev()
                .find(|k| half <= profile[k - 1] && profile[*k] < half)?;
            let share = (profile[last - 1] - half) / (profile[last - 1] - profile[last]);
            Some((last as f64 - 1.0 + share - n as f64) * step)
        };
        Found {
            off: profiles.iter().zip(&levels).map(crossing).collect(),
            scatter: 0.0,
        }
    }

    /// The ellipse mended by what was found, without what lies far off.
    fn mended(&mut self, ellipse: &Ellipse) -> Result<Ellipse, NoRim> {
        for _ in 0..ROUNDS {
            if self.n_octants() < 3 {
                return Err(NoRim::Cut {
                    found: self.share(),
                });
            }
            let fit = self.fitted();
            let off = |ray: usize, it: f64| (it - value(&fit, ray)).abs();
            let mut all: Vec<f64> = (self.off.iter().enumerate())
                .filter_map(|(ray, it)| Some(off(ray, (*it)?)))
                .collect();
            all.sort_by(f64::total_cmp);
            let limit = (REJECTED * all[all.len() / 2]).max(LEAST_REJECTED);
            for ray in 0..self.off.len() {
                self.off[ray] = self.off[ray].filter(|it| off(ray, *it) <= limit);
            }
        }
        let fit = self.fitted();
        let squares = (self.off.iter().enumerate())
            .filter_map(|(ray, it)| Some(((*it)? - value(&fit, ray)).powi(2)));
        let n = self.off.iter().flatten().count().max(1) as f64;
        self.scatter = (squares.sum::<f64>() / n).sqrt();
        Ok(ellipse.mended(fit[0], [fit[1], fit[2]], [fit[3], fit[4]]))
    }

    /// Of 1, cos, sin, cos 2t, sin 2t by least squares.
    fn fitted(&self) -> [f64; 5] {
        let mut equations = NormalEquations::new(5);
        for (ray, off) in self.off.iter().enumerate() {
            if let Some(off) = off {
                equations.add(&basis(ray), *off, 1.0);
            }
        }
        let (fit, _) = equations.ridged().solved();
        std::array::from_fn(|idx| fit[idx])
    }

    fn share(&self) -> f64 {
        self.off.iter().flatten().count() as f64 / self.off.len().max(1) as f64
    }

    fn n_octants(&self) -> usize {
        let each = self.off.len().div_ceil(8).max(1);
        let octants = self.off.chunks(each);
        octants
            .filter(|octant| octant.len() < 20 * octant.iter().flatten().count())
            .count()
    }
}

/// Rays whose mirror is darker than this share of the light ones end in a dark band.
const LEAST_LIGHT: f64 = 0.25;

/// What is farther off than so many medians is none of the rim's.
const REJECTED: f64 = 2.5;
const LEAST_REJECTED: f64 = 0.0008;
const ROUNDS: usize = 4;

fn basis(ray: usize) -> [f64; 5] {
    let [cos, sin] = direction(ray);
    [1.0, cos, sin, cos * cos - sin * sin, 2.0 * cos * sin]
}

fn value(fit: &[f64; 5], ray: usize) -> f64 {
    dot(&basis(ray), fit)
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[sorted.len() / 2]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::bands_photo::circles::proposed;
    use crate::testing::close;

    /// A soft-edged ellipse full of dark stripes, before a room with a lamp in it.
    fn striped(centre: [f64; 2], half_axes: [f64; 2]) -> Photo {
        let (width, height) = (700, 620);
        let code = |x: usize, y: usize| {
            let [u, v] = [
                (x as f64 - centre[0]) / half_axes[0],
                (y as f64 - centre[1]) / half_axes[1],
            ];
            let edge = 1.0 / (1.0 + ((u.hypot(v) - 1.0) * 200.0).exp());
            let stripes = 0.5 + 0.45 * (u * 17.0 + 0.3).cos();
            let lamp = f64::from(u8::from((x as f64 - 40.0).hypot(y as f64 - 50.0) < 18.0));
            let light = (0.02 + 0.7 * edge * stripes + 0.5 * lamp).min(1.0);
            (255.0 * (1.055 * light.powf(1.0 / 2.4) - 0.055).max(0.0)) as u8
        };
        let all = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        Photo {
            width,
            height,
            coded: all.map(|(x, y)| code(x, y)).collect(),
        }
    }

    #[test]
    fn the_rim_of_a_striped_disc() {
        let photo = striped([352.4, 301.7], [251.0, 246.0]);
        let best = proposed(&photo)[0];
        let rim = refined(&photo, best).expect("a rim");
        // A third of a percent for the middle, which the fit finds itself, and an eighth for the size.
        close("x", rim.centre_px[0], 352.4, 0.9);
        close("y", rim.centre_px[1], 301.7, 0.9);
        close("size", rim.radius_px(), 248.5, 0.3);
        close("ratio", rim.axes_ratio(), 251.0 / 246.0, 0.004);
    }

    #[test]
    fn what_is_no_rim_is_refused() {
        let cut = striped([560.0, 301.7], [251.0, 246.0]);
        let start = Ellipse::circle([560.0, 301.7], 249.0);
        assert!(matches!(refined(&cut, start), Err(NoRim::Outside { .. })));
        let slanted = striped([352.4, 301.7], [260.0, 225.0]);
        let start = Ellipse::circle([352.4, 301.7], 242.0);
        assert!(refined(&slanted, start).is_err());
        let grey = Photo {
            width: 80,
            height: 80,
            coded: vec![90; 6400],
        };
        assert!(proposed(&grey).is_empty());
    }
}
