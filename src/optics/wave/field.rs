//! The pupil as a raster: how much of each pixel transmits, and the light's phase there.

use crate::optics::opening::Opening;
use crate::optics::pupil::BestFocus;
use crate::optics::wave::map::{PathMap, centre};
use rustfft::num_complex::Complex;
use std::f64::consts::PI;

/// A pupil with its wavefront, ready to be transformed.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    samples: usize,
    /// Share of each pixel that transmits, row by row.
    lit: Vec<f64>,
    /// Path error less tilt and focus, nm.
    path_nm: Vec<f64>,
    is_even: bool,
}

impl Field {
    /// The wavefront of a mirror behind its opening, as seen at one tilt and focus.
    pub fn new(map: &PathMap, opening: Opening, seen_at: BestFocus) -> Field {
        let samples = map.samples();
        let mut path_nm = map.nm().to_vec();
        for (row_idx, row) in path_nm.chunks_exact_mut(samples).enumerate() {
            let y = centre(samples, row_idx);
            for (column_idx, nm) in row.iter_mut().enumerate() {
                *nm -= seen_at.path_nm(centre(samples, column_idx), y);
            }
        }
        Field {
            samples,
            lit: lit(samples, opening),
            path_nm,
            is_even: map.is_even() && seen_at.tilt_x_nm == 0.0 && seen_at.tilt_y_nm == 0.0,
        }
    }

    /// Without error.
    pub fn perfect(samples: usize, opening: Opening) -> Field {
        let flat = PathMap::symmetric(samples, |_| 0.0);
        Field::new(&flat, opening, BestFocus::default())
    }

    /// Pixels across.
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// The same mirrored left to right, and top to bottom.
    pub fn is_even(&self) -> bool {
        self.is_even
    }

    /// Sum of what transmits, in pixels.
    pub fn area_pixels(&self) -> f64 {
        self.lit.iter().sum()
    }

    /// One row of complex amplitudes in light of that wavelength, into `row`.
    pub(super) fn amplitudes(&self, row_idx: usize, wavelength_nm: f64, row: &mut [Complex<f64>]) {
        let pixels = row_idx * self.samples..(row_idx + 1) * self.samples;
        let lit_and_path = self.lit[pixels.clone()].iter().zip(&self.path_nm[pixels]);
        let per_nm = 1.0 / wavelength_nm;
        for (amplitude, (lit, path_nm)) in row.iter_mut().zip(lit_and_path) {
            *amplitude = turned(path_nm * per_nm) * lit;
        }
    }
}

/// `exp(2 pi i turns)`, within 1e-13, without a branch: the compiler does several at a time.
///
/// For up to 1e9 turns either way.
fn turned(turns: f64) -> Complex<f64> {
    // Adding this leaves no bits for a fraction, so that taking it off again rounds.
    const ROUNDER: f64 = 1.5 * (1u64 << 52) as f64;
    let part = turns - ((turns + ROUNDER) - ROUNDER);
    let half_angle = PI * part;
    let square = half_angle * half_angle;
    // Taylor: half a turn leaves at most a right angle.
    let sin = half_angle * series(&SINE, square);
    let cos = series(&COSINE, square);
    Complex::new(cos * cos - sin * sin, 2.0 * sin * cos)
}

fn series<const N: usize>(coefficients: &[f64; N], square: f64) -> f64 {
    let highest_first = coefficients.iter().rev();
    highest_first.fold(0.0, |sum, coefficient| sum * square + coefficient)
}

/// `(-1)^k / (2k + 1)!`
const SINE: [f64; 10] = taylor(1);

/// `(-1)^k / (2k)!`
const COSINE: [f64; 10] = taylor(0);

const fn taylor(first: usize) -> [f64; 10] {
    let mut coefficients = [1.0; 10];
    let mut k = 1;
    while k < coefficients.len() {
        let n = (2 * k + first) as f64;
        coefficients[k] = -coefficients[k - 1] / (n * (n - 1.0));
        k += 1;
    }
    coefficients
}

/// Shares of the pixels that transmit: exact across each of the strips a row is cut into, so that
/// areas are right to 1e-6.
fn lit(samples: usize, opening: Opening) -> Vec<f64> {
    let half = samples / 2;
    let mut lit = vec![0.0; samples * samples];
    for row in 0..half {
        let quarter = quarter_row(half, row, opening);
        for (column, share) in quarter.into_iter().enumerate() {
            for y in [half + row, half - 1 - row] {
                lit[y * samples + half + column] = share;
                lit[y * samples + half - 1 - column] = share;
            }
        }
    }
    lit
}

/// The pixels to the right of the middle in a row above it.
fn quarter_row(half: usize, row: usize, opening: Opening) -> Vec<f64> {
    let pixel = 1.0 / half as f64;
    // A vane's half width in shares of the radius is its width in shares of the diameter.
    let half_vane = opening.vane;
    let top = (row + 1) as f64 * pixel;
    let bottom = (row as f64 * pixel).max(half_vane).min(top);
    let strip = (top - bottom) / STRIPS as f64;
    let mut shares = vec![0.0; half];
    for idx in 0..STRIPS {
        let y = bottom + (idx as f64 + 0.5) * strip;
        let chord = |rho: f64| (rho * rho - y * y).max(0.0).sqrt();
        let (from, to) = (chord(opening.obstruction).max(half_vane), chord(1.0));
        let from_pixel = ((from / pixel) as usize).min(half);
        let to_pixel = ((to / pixel).ceil() as usize).min(half);
        for (column, share) in shares[..to_pixel].iter_mut().enumerate().skip(from_pixel) {
            let left = column as f64 * pixel;
            let covered = (to.min(left + pixel) - from.max(left)).max(0.0);
            *share += covered / pixel * strip / pixel;
        }
    }
    shares
}

/// That each row of pixels is cut into.
const STRIPS: usize = 16;

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    #[test]
    fn turns_are_those_of_the_standard_library() {
        for step in -3000..3000 {
            let turns = f64::from(step) * 0.001_37;
            let (sin, cos) = (TAU * turns).sin_cos();
            let got = turned(turns);
            let miss = (got.re - cos).hypot(got.im - sin);
            assert!(miss < 2e-13, "{turns} turns: {miss}");
        }
    }

    #[test]
    fn areas_are_those_of_the_opening() {
        for (obstruction, vane) in [
            (0.0, 0.0),
            (0.35, 0.0),
            (0.2, 0.0067),
            (0.0, 0.013),
            (0.3, 0.03),
        ] {
            let opening = Opening { obstruction, vane };
            for samples in [64, 512] {
                let half = samples as f64 / 2.0;
                let got = Field::perfect(samples, opening).area_pixels() / (PI * half * half);
                let want = opening.open_share();
                let tolerance = if samples == 64 { 2e-5 } else { 1e-6 };
                assert!(
                    (got - want).abs() < tolerance,
                    "{opening:?} {samples}: {got}, {want}"
                );
            }
        }
    }
}
