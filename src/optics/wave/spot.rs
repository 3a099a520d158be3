//! The core of a star's image, as finely as a picture wants it.

use crate::optics::wave::field::Field;
use crate::optics::wave::photopic::{Colour, close_colours, colours};
use rustfft::num_complex::Complex;
use std::f64::consts::PI;

/// A square piece of the image around the peak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// From the middle to an edge, in units of wavelength times focal ratio.
    pub half_width_lambda_n: f64,
    /// Points across; the outermost lie on the edges.
    pub points: usize,
}

impl Frame {
    fn at(self, idx: usize) -> f64 {
        let steps = self.points.saturating_sub(1).max(1) as f64;
        (2.0 * idx as f64 / steps - 1.0) * self.half_width_lambda_n
    }
}

/// Brightness over a frame, 1 at the peak of the same pupil without error; row by row in `v`, `u`
/// running along a row.
///
/// By the matrix Fourier transform: only what is asked for is computed, at any spacing.
pub fn spot(field: &Field, wavelength_nm: f64, frame: Frame) -> Vec<f64> {
    let area = field.area_pixels();
    amplitudes(field, wavelength_nm, (frame, 1.0))
        .iter()
        .map(|amplitude| amplitude.norm_sqr() / (area * area))
        .collect()
}

/// The same in daylight as the eye weighs it; the frame in units of 550 nm times focal ratio.
pub fn photopic_spot(field: &Field, frame: Frame) -> Vec<f64> {
    spot_in(&colours(), field, frame)
}

/// The same far out of focus.
pub fn photopic_patch(field: &Field, frame: Frame) -> Vec<f64> {
    spot_in(&close_colours(), field, frame)
}

fn spot_in(colours: &[Colour], field: &Field, frame: Frame) -> Vec<f64> {
    let area = field.area_pixels();
    let peak: f64 = colours
        .iter()
        .map(|c| c.weight / c.wavelength_nm.powi(2))
        .sum();
    let mut sum = vec![0.0; frame.points * frame.points];
    for colour in colours {
        let finer = crate::constants::REFERENCE_WAVELENGTH_NM / colour.wavelength_nm;
        // Light of one energy spreads over the square of the wavelength.
        let brightness = colour.weight / colour.wavelength_nm.powi(2) / peak;
        let spot = amplitudes(field, colour.wavelength_nm, (frame, finer));
        for (total, amplitude) in sum.iter_mut().zip(spot) {
            *total += brightness * amplitude.norm_sqr() / (area * area);
        }
    }
    sum
}

/// The sum over the pupil at each point of the frame, its coordinates times `finer`.
fn amplitudes(
    field: &Field,
    wavelength_nm: f64,
    (frame, finer): (Frame, f64),
) -> Vec<Complex<f64>> {
    let samples = field.samples();
    let kernel: Vec<Vec<Complex<f64>>> = (0..frame.points)
        .map(|point| {
            let u = frame.at(point) * finer;
            let centre = |pixel: usize| (2 * pixel + 1) as f64 / samples as f64 - 1.0;
            (0..samples)
                .map(|pixel| Complex::from_polar(1.0, -PI * u * centre(pixel)))
                .collect()
        })
        .collect();
    let mut spot = vec![Complex::ZERO; frame.points * frame.points];
    let mut row = vec![Complex::ZERO; samples];
    for row_idx in 0..samples {
        field.amplitudes(row_idx, wavelength_nm, &mut row);
        let along: Vec<Complex<f64>> = kernel.iter().map(|wave| dot(wave, &row)).collect();
        for (wave, line) in kernel.iter().zip(spot.chunks_exact_mut(frame.points)) {
            let turn = wave[row_idx];
            for (sum, value) in line.iter_mut().zip(&along) {
                *sum += value * turn;
            }
        }
    }
    spot
}

fn dot(a: &[Complex<f64>], b: &[Complex<f64>]) -> Complex<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
