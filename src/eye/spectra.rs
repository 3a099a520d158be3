//! The spectra of patterns, and how much of them the eye adds up.
//!
//! Sizes on the sky, spectra in cycles per degree at the eye, contrast 1.

use std::f64::consts::PI;

use crate::eye::aided::{AidedEye, STEP};
use crate::eye::bessel::jinc;
use crate::eye::contrast::{MOST_CYCLES, WIDEST_INTEGRATION_DEG};

/// Effective retinal illuminance.
#[derive(Clone, Copy)]
pub(super) struct Light {
    pub(super) ground_td: f64,
    pub(super) veil_td: f64,
}

impl Light {
    fn total_td(&self) -> f64 {
        self.ground_td + self.veil_td
    }
}

/// Across and along, arcseconds.
pub(super) struct Strip {
    pub(super) width_arcsec: f64,
    pub(super) length_arcsec: f64,
}

/// Straight with sharp edges.
pub(super) fn bar(eye: &AidedEye, strip: &Strip, light: &Light) -> f64 {
    let w = eye.at_eye_deg(strip.width_arcsec);
    along(eye, strip.length_arcsec, light, |u| {
        w * w * mean_sinc_squared(w * u)
    })
}

/// Straight with the profile of a bell.
pub(super) fn dip(eye: &AidedEye, strip: &Strip, light: &Light) -> f64 {
    let sigma = eye.at_eye_deg(strip.width_arcsec) / FWHM_PER_SIGMA;
    along(eye, strip.length_arcsec, light, |u| bell_squared(sigma, u))
}

/// A straight step of contrast.
pub(super) fn edge(eye: &AidedEye, length_arcsec: f64, light: &Light) -> f64 {
    along(eye, length_arcsec, light, |u| (2.0 * PI * u).powi(-2))
}

/// The same for a pattern on a wide ground, whose contrast a veil dilutes.
fn on_ground(eye: &AidedEye, light: &Light, spectrum: impl Fn(f64) -> f64) -> f64 {
    if light.ground_td <= 0.0 {
        return 0.0;
    }
    let diluted = light.ground_td / light.total_td();
    diluted * diluted * eye.integral(light.total_td(), spectrum)
}

/// A straight pattern: its cross-section's spectrum, both signs, times the length the eye adds up.
fn along(eye: &AidedEye, length_arcsec: f64, light: &Light, section: impl Fn(f64) -> f64) -> f64 {
    let length = eye.at_eye_deg(length_arcsec);
    let per_length = length.powi(-2) + WIDEST_INTEGRATION_DEG.powi(-2);
    let added_up = |u: f64| 1.0 / (per_length + (u / MOST_CYCLES).powi(2)).sqrt();
    on_ground(eye, light, |u| 2.0 * section(u) * added_up(u))
}

/// A round patch.
pub(super) fn spot(eye: &AidedEye, diameter_arcsec: f64, light: &Light) -> f64 {
    let w = eye.at_eye_deg(diameter_arcsec);
    let area = PI / 4.0 * w * w;
    let added_up = |u: f64| {
        1.0 / (1.0 + (w / WIDEST_INTEGRATION_DEG).powi(2) + (u * w / MOST_CYCLES).powi(2)).sqrt()
    };
    on_ground(eye, light, |u| {
        2.0 * PI * u * (area * jinc(PI * w * u)).powi(2) * added_up(u)
    })
}

/// A pattern that is the whole light there is: `flux` (Td deg²) of it, with that peak on the retina
/// to judge it against.
pub(super) fn on_dark(
    eye: &AidedEye,
    flux: f64,
    peak_td: f64,
    spectrum: impl Fn(f64) -> f64,
) -> f64 {
    if peak_td <= 0.0 {
        return 0.0;
    }
    (flux / peak_td).powi(2) * eye.integral(peak_td, |u| 2.0 * PI * u * spectrum(u))
}

/// The disc less a star of the same light. A small disc is dimmer on the retina than its surface,
/// a large one is not brighter.
pub(super) fn disc_not_star(eye: &AidedEye, diameter_arcsec: f64, light: &Light) -> f64 {
    let w = eye.at_eye_deg(diameter_arcsec);
    let flux = PI / 4.0 * w * w * light.ground_td;
    let peak_td = (flux * eye.peak_per_flux(|u| jinc(PI * w * u))).clamp(0.0, light.ground_td);
    on_dark(eye, flux, peak_td + light.veil_td, |u| {
        (jinc(PI * w * u) - 1.0).powi(2)
    })
}

/// (sin πx / πx)², averaged over one step of the axis so that a wide bar's many lobes neither fall
/// between samples nor on them.
fn mean_sinc_squared(x: f64) -> f64 {
    if x < 0.05 {
        return 1.0 - (PI * x).powi(2) / 3.0;
    }
    let half_step = PI * *STEP * x;
    let fading = half_step.sin() / half_step;
    (1.0 - (2.0 * PI * x).cos() * fading) / (2.0 * (PI * x).powi(2))
}

/// Squared spectrum of a bell curve of height 1.
fn bell_squared(sigma_deg: f64, u: f64) -> f64 {
    2.0 * PI * sigma_deg.powi(2) * (-(2.0 * PI * sigma_deg * u).powi(2)).exp()
}

/// Full width at half maximum of a bell curve over its standard deviation, 2√(2 ln 2).
const FWHM_PER_SIGMA: f64 = 2.354_820_045;
