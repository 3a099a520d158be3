//! The sum of the nerves' answer against the published model (Watson & Ahumada 2005) worked out on a picture, pixel by pixel.

use std::f64::consts::PI;

use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

use skyworthy::eye::contrast::{effective_illuminance_td, neural_noise, photon_noise};
use skyworthy::eye::detect::{AidedEye, Pattern, RetinalDetail, visibility};
use skyworthy::eye::fovea;

/// Pixels a side and pixels a degree: Watson & Ahumada's own sampling, on a wider field.
const SIDE: usize = 512;
const PER_DEG: f64 = 120.0;

const MAGNIFICATION: f64 = 180.0;
const PUPIL_MM: f64 = 1.0;
const ILLUMINANCE_TD: f64 = 200.0;

/// A telescope and air that keep a bell.
fn mtf(cycles_per_arcsec: f64) -> f64 {
    (-(cycles_per_arcsec / 0.5).powi(2)).exp()
}

fn at(idx: usize) -> f64 {
    (idx as f64 - SIDE as f64 / 2.0) / PER_DEG
}

/// Forwards or back, rows then columns.
fn transform(picture: &mut [Complex<f64>], back: bool) {
    let mut planner = FftPlanner::new();
    let fft = if back {
        planner.plan_fft_inverse(SIDE)
    } else {
        planner.plan_fft_forward(SIDE)
    };
    for _ in 0..2 {
        fft.process(picture);
        for row in 0..SIDE {
            for column in 0..row {
                picture.swap(row * SIDE + column, column * SIDE + row);
            }
        }
    }
}

/// Watson & Ahumada's observer: filter, window, sum with their exponent; the light scaled as Barten's noise has it, for
/// one eye.
fn seen_on_picture(covered: impl Fn(f64, f64) -> f64) -> f64 {
    let mut picture: Vec<Complex<f64>> = (0..SIDE * SIDE)
        .map(|idx| Complex::new(covered(at(idx % SIDE), at(idx / SIDE)), 0.0))
        .collect();
    transform(&mut picture, false);
    let accepted_td =
        ILLUMINANCE_TD * effective_illuminance_td(1.0, PUPIL_MM) / (PI / 4.0 * PUPIL_MM * PUPIL_MM);
    let cycles_deg = |idx: usize| {
        let signed = if idx < SIDE / 2 {
            idx as f64
        } else {
            idx as f64 - SIDE as f64
        };
        signed * PER_DEG / SIDE as f64
    };
    for (idx, value) in picture.iter_mut().enumerate() {
        let u = cycles_deg(idx % SIDE)
            .hypot(cycles_deg(idx / SIDE))
            .max(1e-3);
        let noise = |td: f64| photon_noise(td) + neural_noise(u);
        let light = (noise(fovea::measured_at_td()) / noise(accepted_td)).sqrt();
        let kept = if u < 60.0 {
            mtf(u * MAGNIFICATION / 3600.0) * fovea::own_blur_mtf(u, PUPIL_MM)
        } else {
            0.0
        };
        *value *= fovea::nerve_sensitivity(u) * kept * light;
    }
    transform(&mut picture, true);
    let sum: f64 = (picture.iter().enumerate())
        .map(|(idx, value)| {
            let (x, y) = (at(idx % SIDE), at(idx / SIDE));
            let window = (-(x * x + y * y) / (2.0 * fovea::WINDOW_DEG.powi(2))).exp();
            (value.re / (SIDE * SIDE) as f64 * window)
                .abs()
                .powf(fovea::SUMMATION)
        })
        .sum();
    let threshold = (sum / PER_DEG.powi(2)).powf(1.0 / fovea::SUMMATION);
    // Every other look, a look of a second, one eye, a small exit pupil: as in the product.
    threshold * 1.152 * 1.397 / 2f64.sqrt() / (1.0 + 0.25f64.powi(3))
}

#[track_caller]
fn check(pattern: Pattern, on_picture: f64) {
    let eye = AidedEye::new(MAGNIFICATION, PUPIL_MM, &mtf);
    let detail = RetinalDetail {
        pattern,
        contrast: 1.0,
        within_arcsec: f64::INFINITY,
        illuminance_td: ILLUMINANCE_TD,
        veil_td: 0.0,
    };
    let got = visibility(&eye, &detail);
    // What src/eye/detect.rs states for its sum.
    assert!(
        (got / on_picture - 1.0).abs() < 0.08,
        "{pattern:?}: on the picture {on_picture}, by energy and area {got}"
    );
}

/// Share of a pixel inside an edge at that distance.
fn within(distance_deg: f64) -> f64 {
    (distance_deg * PER_DEG + 0.5).clamp(0.0, 1.0)
}

#[test]
fn spots_as_on_a_picture() {
    for diameter_deg in [0.04, 0.1, 0.3, 0.8] {
        let want = seen_on_picture(|x, y| within(0.5 * diameter_deg - x.hypot(y)));
        let diameter_arcsec = diameter_deg * 3600.0 / MAGNIFICATION;
        check(Pattern::Spot { diameter_arcsec }, want);
    }
}

#[test]
fn bars_as_on_a_picture() {
    for (width_deg, length_deg) in [(0.05, 0.3), (0.05, 1.2), (0.2, 0.6), (0.2, 3.0), (0.5, 1.5)] {
        let want = seen_on_picture(|x, y| {
            within(0.5 * width_deg - x.abs()) * within(0.5 * length_deg - y.abs())
        });
        let arcsec = 3600.0 / MAGNIFICATION;
        check(
            Pattern::Bar {
                width_arcsec: width_deg * arcsec,
                length_arcsec: length_deg * arcsec,
            },
            want,
        );
    }
}
