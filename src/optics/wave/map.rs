//! The path error at every pixel of the raster, in as few evaluations as its symmetry allows.

use crate::optics::wavefront::{Wavefront, WavefrontTerm};
use crate::optics::zernike::zernike;
use rustfft::num_complex::Complex;
use std::collections::BTreeMap;

/// Path error over a square raster, nm; positive where the path is too long.
///
/// Pixels whose middle lies just outside the rim hold the value at the rim in their direction, which
/// is what their lit part needs.
#[derive(Debug, Clone, PartialEq)]
pub struct PathMap {
    samples: usize,
    /// Row by row.
    nm: Vec<f64>,
    is_even: bool,
}

impl PathMap {
    /// Of any wavefront `(x, y) -> nm` over the unit disc; `samples` even.
    pub fn from_fn(samples: usize, path_nm: impl Fn(f64, f64) -> f64) -> PathMap {
        let mut nm = Vec::with_capacity(samples * samples);
        let farthest = 1.0 + 2.0 / samples as f64;
        for row in 0..samples {
            let y = centre(samples, row);
            for column in 0..samples {
                let x = centre(samples, column);
                let beyond = (x * x + y * y).sqrt().max(1.0);
                nm.push(if beyond < farthest {
                    path_nm(x / beyond, y / beyond)
                } else {
                    0.0
                });
            }
        }
        PathMap {
            samples,
            nm,
            is_even: false,
        }
    }

    /// Of a wavefront `rho -> nm` that is the same all around; `samples` even.
    pub fn symmetric(samples: usize, path_nm: impl Fn(f64) -> f64) -> PathMap {
        let half = samples / 2;
        let mut nm = vec![0.0; samples * samples];
        for far in 0..half {
            for near in 0..=far {
                let (x, y) = (centre(samples, half + far), centre(samples, half + near));
                let here = path_nm(x.hypot(y).min(1.0));
                for (a, b) in [(far, near), (near, far)] {
                    for row in [half + a, half - 1 - a] {
                        nm[row * samples + half + b] = here;
                        nm[row * samples + half - 1 - b] = here;
                    }
                }
            }
        }
        PathMap {
            samples,
            nm,
            is_even: true,
        }
    }

    /// Of a mirror's wavefront; `samples` even.
    pub fn of(wavefront: &Wavefront, samples: usize) -> PathMap {
        match wavefront {
            Wavefront::Terms(terms) if !wavefront.is_symmetric() => {
                let harmonics = Harmonics::of(terms);
                PathMap::from_fn(samples, |x, y| harmonics.path_nm(x, y))
            }
            _ => PathMap::symmetric(samples, |rho| wavefront.path_nm(rho, 0.0)),
        }
    }

    /// Pixels across.
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Mirrored left to right and top to bottom it is the same: known of symmetric wavefronts.
    pub fn is_even(&self) -> bool {
        self.is_even
    }

    pub(super) fn nm(&self) -> &[f64] {
        &self.nm
    }
}

/// Where the middle of a pixel lies between -1 and 1.
pub(super) fn centre(samples: usize, pixel: usize) -> f64 {
    (2 * pixel + 1) as f64 / samples as f64 - 1.0
}

/// Zernike terms gathered by how often they turn, their radial parts added up in tables.
struct Harmonics(Vec<(i32, Vec<f64>)>);

impl Harmonics {
    fn of(terms: &[WavefrontTerm]) -> Harmonics {
        let mut tables = BTreeMap::new();
        for term in terms {
            let table = tables.entry(term.m).or_insert_with(|| vec![0.0; ROWS + 2]);
            // Where the turning part is 1.
            let crest_rad = if term.m < 0 {
                std::f64::consts::FRAC_PI_2 / f64::from(term.m.unsigned_abs())
            } else {
                0.0
            };
            for (row, sum) in table.iter_mut().enumerate() {
                let rho = row as f64 / ROWS as f64;
                *sum += term.wavefront_nm * zernike(term.n, term.m, rho, crest_rad);
            }
        }
        Harmonics(tables.into_iter().collect())
    }

    fn path_nm(&self, x: f64, y: f64) -> f64 {
        let rho = (x * x + y * y).sqrt();
        let direction = if rho > 0.0 {
            Complex::new(x / rho, y / rho)
        } else {
            Complex::ONE
        };
        let row = rho * ROWS as f64;
        let (whole, part) = (row as usize, row.fract());
        let path_nm = |(m, table): &(i32, Vec<f64>)| {
            let radial = table[whole] + (table[whole + 1] - table[whole]) * part;
            let turned = direction.powu(m.unsigned_abs());
            radial * if *m < 0 { turned.im } else { turned.re }
        };
        self.0.iter().map(path_nm).sum()
    }
}

/// Straight lines between so many radii miss a polynomial of order 20 by 4e-4 of its height.
const ROWS: usize = 4096;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn harmonics_are_the_terms() {
        let terms: Vec<WavefrontTerm> = [
            (4, 0, -30.0),
            (3, 1, 20.0),
            (3, -1, 7.0),
            (6, -4, 11.0),
            (6, 0, 5.0),
        ]
        .into_iter()
        .map(|(n, m, wavefront_nm)| WavefrontTerm { n, m, wavefront_nm })
        .collect();
        let harmonics = Harmonics::of(&terms);
        let wavefront = Wavefront::Terms(terms);
        for (x, y) in [
            (0.0, 0.0),
            (0.3, -0.2),
            (-0.71, 0.5),
            (0.0, 1.0),
            (-1.0, 0.0),
        ] {
            let want = wavefront.path_nm(f64::hypot(x, y), f64::atan2(y, x));
            let got = harmonics.path_nm(x, y);
            assert!(
                (got - want).abs() < 1e-4,
                "({x}, {y}): want {want}, got {got}"
            );
        }
    }

    #[test]
    fn a_symmetric_map_is_the_same_by_either_road() {
        let by_ring = PathMap::symmetric(32, |rho| 100.0 * rho.powi(4));
        let by_pixel = PathMap::from_fn(32, |x, y| 100.0 * x.hypot(y).powi(4));
        for (a, b) in by_ring.nm.iter().zip(&by_pixel.nm) {
            assert!((a - b).abs() < 1e-12 || *b == 0.0, "{a} {b}");
        }
    }
}
