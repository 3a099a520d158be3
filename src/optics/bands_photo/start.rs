//! Where the fit begins: bands of a conic by rays, with the contrast that diffraction leaves them, over all offsets, conics and
//! angles that may be meant.
//!
//! To third order a ray meets the ruling `x = X (-k r² / R - d) / R` from the axis, and the bands there have the contrast
//! `cos(pi wavelength d' / p²)` with `d' = d + k (3 X² + Y²) / R`. Without that cosine, which changes sign, fine rulings lead astray.

use std::f64::consts::{PI, TAU};

use rustfft::num_complex::Complex64;

use crate::linear::{NormalEquations, dot};

use super::light::shape;
use super::samples::Samples;
use super::setup::PhotoSetup;

/// A conic, an offset and an angle that make bands like these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Of the grating from the centre of curvature as the bands have it, mm; twice the true one where the lamp shines through it.
    pub offset_mm: f64,
    /// Conic constant.
    pub conic: f64,
    /// From the picture's right to across the bars, radians, clockwise as the picture is seen.
    pub angle_rad: f64,
    /// Of the ruling, radians.
    pub ruling_phase: f64,
    /// How well they are alike, 0 to about 0.7.
    pub alike: f64,
}

const LEAST_CONIC: f64 = -3.2;
const MOST_CONIC: f64 = 1.8;
const ANGLES_DEG: f64 = 14.0;
const ANGLE_STEP_DEG: f64 = 2.0;

/// Of how many the fit tries.
const KEPT: usize = 4;

/// The best of all, each clearly another than those before it. `offset_mm`: as stated, its sign certain.
pub fn starts(samples: &Samples, setup: &PhotoSetup, offset_mm: f64) -> Vec<Start> {
    let light = above_ground(samples);
    let rim_mm = setup.rim_mm;
    let k_per_period = rim_mm.powi(3) / (setup.radius_mm.powi(2) * setup.period_mm);
    let conic_step = (0.25 / k_per_period).min(0.5);
    let offset_step = 0.22 * setup.radius_mm * setup.period_mm / rim_mm;
    let most_mm = 2.6 * offset_mm.abs() + rim_mm.powi(2) / setup.radius_mm;
    let n_offsets = ((most_mm - 0.25 * offset_mm.abs()) / offset_step).ceil() as usize + 1;
    let n_conics = ((MOST_CONIC - LEAST_CONIC) / conic_step).ceil() as usize + 1;
    let n_angles = (2.0 * ANGLES_DEG / ANGLE_STEP_DEG) as usize + 1;
    let angles = (0..2 * n_angles).map(|idx| {
        let upright = if idx < n_angles { 0.0 } else { 90.0 };
        (upright - ANGLES_DEG + ANGLE_STEP_DEG * (idx % n_angles) as f64).to_radians()
    });
    let mut all: Vec<Start> = Vec::new();
    for angle_rad in angles {
        let places = turned(samples, setup, angle_rad);
        for step in 0..n_conics {
            let conic = LEAST_CONIC + conic_step * step as f64;
            let offsets = Offsets {
                first_mm: offset_mm.signum() * 0.25 * offset_mm.abs(),
                step_mm: offset_mm.signum() * offset_step,
                n: n_offsets,
            };
            all.extend(best_offset(
                &light,
                &places,
                setup,
                (angle_rad, conic),
                &offsets,
            ));
        }
    }
    all.sort_by(|a, b| b.alike.total_cmp(&a.alike));
    let mut kept: Vec<Start> = Vec::new();
    for start in all {
        let is_near = |known: &Start| {
            (known.conic - start.conic).abs() < 2.5 * conic_step
                && (known.offset_mm - start.offset_mm).abs() < 2.5 * offset_step
                && (known.angle_rad - start.angle_rad).abs() < 0.06
        };
        if kept.len() < KEPT && !kept.iter().any(is_near) {
            kept.push(start);
        }
    }
    kept
}

/// A place across and along the bars, mm, and its weighed light.
struct Place {
    across_mm: f64,
    along_mm: f64,
}

struct Offsets {
    first_mm: f64,
    step_mm: f64,
    n: usize,
}

fn turned(samples: &Samples, setup: &PhotoSetup, angle_rad: f64) -> Vec<Place> {
    let (sin, cos) = angle_rad.sin_cos();
    let place = |at: &[f64; 2]| Place {
        across_mm: setup.rim_mm * (at[0] * cos + at[1] * sin),
        along_mm: setup.rim_mm * (at[1] * cos - at[0] * sin),
    };
    samples.at.iter().map(place).collect()
}

/// Of one conic and angle: the offset with which it is likest. From one offset to the next every place's bands turn by the same
/// angle, so that no sine is asked for twice.
fn best_offset(
    light: &[f64],
    places: &[Place],
    setup: &PhotoSetup,
    (angle_rad, conic): (f64, f64),
    offsets: &Offsets,
) -> Option<Start> {
    let PhotoSetup {
        radius_mm,
        period_mm,
        wavelength_nm,
        ..
    } = *setup;
    let contrast_per_mm = PI * wavelength_nm * 1e-6 / (period_mm * period_mm);
    let mut sums = vec![(Complex64::default(), 0.0); offsets.n];
    let contrast_step = Complex64::from_polar(1.0, contrast_per_mm * offsets.step_mm);
    for (place, light) in places.iter().zip(light) {
        let (x2, y2) = (place.across_mm.powi(2), place.along_mm.powi(2));
        let per_mm = place.across_mm / (radius_mm * period_mm);
        let cubic = -conic * (x2 + y2) / radius_mm;
        let mut bands = Complex64::from_polar(1.0, -TAU * per_mm * (cubic - offsets.first_mm));
        let bands_step = Complex64::from_polar(1.0, TAU * per_mm * offsets.step_mm);
        let local_mm = offsets.first_mm + conic * (3.0 * x2 + y2) / radius_mm;
        let mut contrast = Complex64::from_polar(1.0, contrast_per_mm * local_mm);
        for sum in &mut sums {
            sum.0 += bands * (light * contrast.re);
            sum.1 += contrast.re * contrast.re;
            bands *= bands_step;
            contrast *= contrast_step;
        }
    }
    let n = places.len().max(1) as f64;
    let scored = sums.iter().enumerate().map(|(idx, (sum, squares))| {
        let alike = sum.norm() / n / (squares / n + 0.05).sqrt();
        (idx, alike, sum.arg())
    });
    let (idx, alike, phase) = scored.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Start {
        offset_mm: offsets.first_mm + offsets.step_mm * idx as f64,
        conic,
        angle_rad,
        ruling_phase: -phase,
        alike,
    })
}

/// Without the even part of the light, as if it scattered by 1; 0 where nothing is known.
fn above_ground(samples: &Samples) -> Vec<f64> {
    let known = || {
        let places = samples.at.iter().map(|at| shape(*at));
        places.zip(samples.light.iter().zip(&samples.weight))
    };
    let mut equations = NormalEquations::new(6);
    known().for_each(|(row, (light, weight))| equations.add(&row, *light, *weight));
    let (ground, _) = equations.ridged().solved();
    let above: Vec<f64> = known()
        .map(|(row, (light, weight))| weight * (light - dot(&row, &ground)))
        .collect();
    let squares: f64 = above.iter().map(|it| it * it).sum();
    let scatter = (squares / above.len().max(1) as f64)
        .sqrt()
        .max(f64::MIN_POSITIVE);
    above.into_iter().map(|it| it / scatter).collect()
}
