//! Two-dimensional Fourier transforms of a padded pupil and of its image.
//!
//! The pupil is padded to twice its width, which makes the autocorrelation exact. Rows of zeros are
//! not transformed; columns are gathered a few at a time, transformed while they are in the cache,
//! and handed on. Single precision carries three digits more than the raster is good for. A pupil that is the same mirrored either way is done by its half and quarter.

use crate::optics::wave::field::Field;
use crate::optics::wave::ring_plan::RingPlan;
use realfft::{RealFftPlanner, RealToComplex};
use rustfft::num_complex::Complex;
use rustfft::{Fft, FftPlanner};
use std::sync::Arc;

/// Plans and room for pupils of one size; made once, used for every wavelength.
pub struct Transform {
    samples: usize,
    complex: Arc<dyn Fft<f32>>,
    real: Arc<dyn RealToComplex<f32>>,
    amplitudes: Vec<Complex<f64>>,
    /// Rows of the padded pupil that are not zero, transformed along `x`.
    rows: Vec<Complex<f32>>,
    /// Columns of the image, transformed along `y`: frequencies 0 to `samples`.
    lines: Vec<Complex<f32>>,
    block: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
    real_scratch: Vec<Complex<f32>>,
    image_line: Vec<f32>,
    ring_plan: Arc<RingPlan>,
}

impl Transform {
    /// For pupils of so many pixels across; an even number.
    pub fn new(samples: usize) -> Transform {
        let padded = 2 * samples;
        let complex = FftPlanner::new().plan_fft_forward(padded);
        let real = RealFftPlanner::new().plan_fft_forward(padded);
        let zeros = |count: usize| vec![Complex::ZERO; count];
        Transform {
            samples,
            amplitudes: vec![Complex::ZERO; samples],
            rows: Vec::new(),
            lines: Vec::new(),
            block: zeros(COLUMNS * (padded + APART)),
            scratch: zeros(complex.get_inplace_scratch_len()),
            real_scratch: zeros(real.get_scratch_len()),
            image_line: vec![0.0; padded],
            ring_plan: Arc::new(RingPlan::new(samples)),
            complex,
            real,
        }
    }

    /// The image, a column (fixed `u`) at a time from the left, handed to `column(u_idx, values)`.
    ///
    /// Both indices count half units of wavelength times focal ratio from the peak of the perfect
    /// image and wrap around at twice the pupil's samples. Values are squared moduli of the sum.
    /// Of an even pupil only columns 0 to `samples` are handed on; the others mirror them.
    pub fn image(
        &mut self,
        field: &Field,
        wavelength_nm: f64,
        mut column: impl FnMut(usize, &mut [f32]),
    ) {
        assert_eq!(
            field.samples(),
            self.samples,
            "a transform is made for one size of pupil"
        );
        self.transform_rows(field, wavelength_nm);
        let padded = 2 * self.samples;
        let columns = self.columns(field);
        for first in (0..columns).step_by(COLUMNS) {
            let count = COLUMNS.min(columns - first);
            self.gather_columns(field, first, count);
            for (idx, values) in self
                .block
                .chunks_exact_mut(padded + APART)
                .take(count)
                .enumerate()
            {
                let values = &mut values[..padded];
                self.complex.process_with_scratch(values, &mut self.scratch);
                for (intensity, amplitude) in self.image_line.iter_mut().zip(values) {
                    *intensity = amplitude.norm_sqr();
                }
                column(first + idx, &mut self.image_line);
            }
        }
    }

    /// The field's autocorrelation, a line at a time, handed to `line(y_lag, values)` for lags 0 to
    /// `samples` in `y`; values are by lag in `x`, which wraps around at twice the samples (or, of
    /// an even pupil, runs from 0 to `samples`, the rest being its mirror image).
    ///
    /// Unit: pixels of area times the square of twice the samples (the transforms are not scaled);
    /// at lag 0 the sum of squared shares, a little less than the area.
    pub fn autocorrelation(
        &mut self,
        field: &Field,
        wavelength_nm: f64,
        mut line: impl FnMut(usize, &[Complex<f32>]),
    ) {
        let lags = self.samples + 1;
        let mut lines = std::mem::take(&mut self.lines);
        grow(&mut lines, self.columns(field) * (lags + APART));
        let real = Arc::clone(&self.real);
        let mut real_scratch = std::mem::take(&mut self.real_scratch);
        self.image(field, wavelength_nm, |column, values| {
            let spectrum = &mut lines[column * (lags + APART)..][..lags];
            real.process_with_scratch(values, spectrum, &mut real_scratch)
                .expect("lengths are those of the plan");
        });
        (self.lines, self.real_scratch) = (lines, real_scratch);
        if field.is_even() {
            self.transform_real_lines(&mut line);
        } else {
            self.transform_lines(&mut line);
        }
    }

    pub(super) fn ring_plan(&self) -> &Arc<RingPlan> {
        &self.ring_plan
    }

    fn columns(&self, field: &Field) -> usize {
        if field.is_even() {
            self.samples + 1
        } else {
            2 * self.samples
        }
    }

    fn transform_rows(&mut self, field: &Field, wavelength_nm: f64) {
        let padded = 2 * self.samples;
        let count = if field.is_even() {
            self.samples / 2
        } else {
            self.samples
        };
        grow(&mut self.rows, count * (padded + APART));
        let rows = self.rows.chunks_exact_mut(padded + APART).take(count);
        for (row_idx, row) in rows.enumerate() {
            field.amplitudes(row_idx, wavelength_nm, &mut self.amplitudes);
            for (single, double) in row.iter_mut().zip(&self.amplitudes) {
                *single = Complex::new(double.re as f32, double.im as f32);
            }
            row[self.samples..].fill(Complex::ZERO);
            self.complex
                .process_with_scratch(&mut row[..padded], &mut self.scratch);
        }
    }

    /// Columns of the half-transformed pupil, padded with zeros, side by side.
    fn gather_columns(&mut self, field: &Field, first: usize, count: usize) {
        let stride = 2 * self.samples + APART;
        for column in self.block.chunks_exact_mut(stride) {
            column[self.samples..].fill(Complex::ZERO);
        }
        for row in 0..self.samples {
            let stored = if field.is_even() {
                row.min(self.samples - 1 - row)
            } else {
                row
            };
            let from = &self.rows[stored * stride + first..][..count];
            for (idx, value) in from.iter().enumerate() {
                self.block[idx * stride + row] = *value;
            }
        }
    }

    /// Along `x`, the half-transformed image of an even field, which is real, to the
    /// autocorrelation, which is real too.
    fn transform_real_lines(&mut self, line: &mut impl FnMut(usize, &[Complex<f32>])) {
        let padded = 2 * self.samples;
        let lags = self.samples + 1;
        let mut spectrum = vec![Complex::ZERO; lags];
        let mut block = vec![0.0; COLUMNS * (padded + APART)];
        for first in (0..lags).step_by(COLUMNS) {
            let count = COLUMNS.min(lags - first);
            for column in 0..lags {
                let from = &self.lines[column * (lags + APART) + first..][..count];
                for (idx, value) in from.iter().enumerate() {
                    block[idx * (padded + APART) + column] = value.re;
                    block[idx * (padded + APART) + (padded - column) % padded] = value.re;
                }
            }
            for (idx, values) in block
                .chunks_exact_mut(padded + APART)
                .take(count)
                .enumerate()
            {
                self.real
                    .process_with_scratch(
                        &mut values[..padded],
                        &mut spectrum,
                        &mut self.real_scratch,
                    )
                    .expect("lengths are those of the plan");
                line(first + idx, &spectrum);
            }
        }
    }

    /// Along `x`, the half-transformed image to the autocorrelation.
    fn transform_lines(&mut self, line: &mut impl FnMut(usize, &[Complex<f32>])) {
        let padded = 2 * self.samples;
        let lags = self.samples + 1;
        let stride = padded + APART;
        for first in (0..lags).step_by(COLUMNS) {
            let count = COLUMNS.min(lags - first);
            for column in 0..padded {
                let from = &self.lines[column * (lags + APART) + first..][..count];
                for (idx, value) in from.iter().enumerate() {
                    self.block[idx * stride + column] = *value;
                }
            }
            for (idx, values) in self.block.chunks_exact_mut(stride).take(count).enumerate() {
                let values = &mut values[..padded];
                self.complex.process_with_scratch(values, &mut self.scratch);
                line(first + idx, values);
            }
        }
    }
}

/// Room is made when it is first needed: an even field needs half.
fn grow(room: &mut Vec<Complex<f32>>, length: usize) {
    if room.len() < length {
        room.resize(length, Complex::ZERO);
    }
}

/// Left free between rows: rows a power of two apart would compete for the same few lines of the
/// cache.
const APART: usize = 8;

/// Gathered at a time: four cache lines of each row, and few enough to stay in the cache.
const COLUMNS: usize = 16;
