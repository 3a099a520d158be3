//! The spectra of patterns, how much of them the eye takes in, and over what area it adds the answer up.
//!
//! Sizes on the sky, spectra in cycles per degree at the eye, contrast 1.

use std::f64::consts::PI;

use crate::eye::aided::{AidedEye, STEP};
use crate::eye::bessel::jinc;
use crate::eye::fovea::WINDOW_DEG;

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

/// What the nerves make of a pattern of contrast 1.
#[derive(Clone, Copy)]
pub(super) struct Answer {
    /// Square of the answer, summed over the picture inside the window of attention.
    pub(super) energy: f64,
    /// Area over which it spreads, square degrees.
    pub(super) area_deg2: f64,
}

/// Across and along, arcseconds.
pub(super) struct Strip {
    pub(super) width_arcsec: f64,
    pub(super) length_arcsec: f64,
}

/// The surroundings that a pattern is part of, so wide: what blur makes of them together could as well be surroundings
/// without it, a little dimmer and of another width. Only what departs from the smooth bell of the same light and the same
/// second moment, as wide as they are, betrays the pattern.
#[derive(Clone, Copy)]
pub(super) struct Scene {
    width_deg: f64,
}

impl Scene {
    pub(super) fn new(eye: &AidedEye, width_arcsec: f64) -> Scene {
        Scene {
            width_deg: eye.at_eye_deg(width_arcsec),
        }
    }

    /// Spectrum of that bell, 1 at frequency 0, across a strip of this width whose own spectrum begins as 1 - `bend` u².
    fn smooth(&self, u: f64, bend: f64, per_width: f64) -> f64 {
        if !self.width_deg.is_finite() {
            return 0.0;
        }
        let wide = per_width * self.width_deg.powi(2);
        (-wide * u * u).exp() * (1.0 + (wide - bend) * u * u)
    }
}

/// Of a bar: its spectrum begins as 1 - π² w² u² / 6.
const BEND_OF_BAR: f64 = PI * PI / 6.0;

/// Of a round patch: 1 - π² w² u² / 8.
const BEND_OF_SPOT: f64 = PI * PI / 8.0;

/// Straight with sharp edges.
pub(super) fn bar(eye: &AidedEye, strip: &Strip, scene: Scene, light: &Light) -> Answer {
    let w = eye.at_eye_deg(strip.width_arcsec);
    let section = |u: f64| {
        let smooth = scene.smooth(u, BEND_OF_BAR * w * w, BEND_OF_BAR);
        let mixed = if smooth == 0.0 {
            0.0
        } else {
            smooth * (smooth - 2.0 * sinc(w * u))
        };
        w * w * (mean_sinc_squared(w * u) + mixed).max(0.0)
    };
    along(eye, strip, light, section)
}

/// Straight with the profile of a bell.
pub(super) fn dip(eye: &AidedEye, strip: &Strip, scene: Scene, light: &Light) -> Answer {
    let sigma = eye.at_eye_deg(strip.width_arcsec) / FWHM_PER_SIGMA;
    let bend = 2.0 * (PI * sigma).powi(2);
    let section = |u: f64| {
        let left = (-bend * u * u).exp() - scene.smooth(u, bend, BEND_OF_BAR);
        2.0 * PI * sigma * sigma * left * left
    };
    along(eye, strip, light, section)
}

/// A straight step of contrast.
pub(super) fn edge(eye: &AidedEye, length_arcsec: f64, scene: Scene, light: &Light) -> Answer {
    let strip = Strip {
        width_arcsec: 0.0,
        length_arcsec,
    };
    along(eye, &strip, light, |u| {
        let left = 1.0 - scene.smooth(u, 0.0, BEND_OF_BAR);
        left * left / ((2.0 * PI * u).powi(2) + EDGE_ENDS_PER_DEG.powi(2))
    })
}

/// Where the window of attention ends a step's even sides: 2 / (√π · window), so that the even sides answer as strongly as
/// inside it.
const EDGE_ENDS_PER_DEG: f64 = 2.0 / (1.772_453_85 * WINDOW_DEG);

/// The same for a pattern on a wide ground, whose contrast a veil dilutes.
fn on_ground(eye: &AidedEye, light: &Light, spectrum: impl Fn(f64) -> f64) -> f64 {
    if light.ground_td <= 0.0 {
        return 0.0;
    }
    let diluted = light.ground_td / light.total_td();
    diluted * diluted * eye.integral(light.total_td(), spectrum)
}

/// A straight pattern: its cross-section's spectrum, both signs, times the length inside the window of attention.
fn along(eye: &AidedEye, strip: &Strip, light: &Light, section: impl Fn(f64) -> f64) -> Answer {
    let length = eye.at_eye_deg(strip.length_arcsec);
    let width = eye.at_eye_deg(strip.width_arcsec);
    let point = eye.point_area_deg2();
    // Blur takes from the ends too: of a piece shorter than a point's image only its area counts.
    let of_length = length / (length * length + point).sqrt();
    let energy = length_in_window_deg(length)
        * of_length
        * share_across(width)
        * on_ground(eye, light, |u| 2.0 * section(u));
    let length_added = length / (1.0 + (length / (2.506_628 * WINDOW_DEG)).powi(2)).sqrt();
    Answer {
        energy,
        area_deg2: (width * width + point).sqrt() * (length_added + point.sqrt()),
    }
}

/// ∫ exp(-y² / window²) dy over a length.
fn length_in_window_deg(length_deg: f64) -> f64 {
    const WHOLE: f64 = 1.772_453_85 * WINDOW_DEG;
    WHOLE * error_function(0.5 * length_deg / WINDOW_DEG)
}

/// Share of a broad stripe's two edges that are looked at: both while it is narrow, else one.
fn share_across(width_deg: f64) -> f64 {
    0.5 + 0.5 * (-0.5 * (width_deg / WINDOW_DEG).powi(2)).exp()
}

/// Share of a round patch that is looked at: seen whole, or part of its rim.
fn share_of_spot(width_deg: f64) -> f64 {
    let whole = (-0.25 * (width_deg / WINDOW_DEG).powi(2)).exp();
    whole.max((0.564_19 * WINDOW_DEG / width_deg).min(1.0))
}

/// Abramowitz & Stegun 1964, 7.1.27: within 5e-4.
fn error_function(x: f64) -> f64 {
    let sum = 1.0 + x * (0.278_393 + x * (0.230_389 + x * (0.000_972 + x * 0.078_108)));
    1.0 - sum.powi(-4)
}

/// A round patch.
pub(super) fn spot(eye: &AidedEye, diameter_arcsec: f64, scene: Scene, light: &Light) -> Answer {
    let w = eye.at_eye_deg(diameter_arcsec);
    let area = PI / 4.0 * w * w;
    let bend = BEND_OF_SPOT * w * w;
    let energy = share_of_spot(w)
        * on_ground(eye, light, |u| {
            let left = jinc(PI * w * u) - scene.smooth(u, bend, BEND_OF_SPOT);
            2.0 * PI * u * (area * left).powi(2)
        });
    Answer {
        energy,
        area_deg2: area + eye.point_area_deg2(),
    }
}

/// Square of Barten's index for a pattern that is the whole light there is: `flux` (Td deg²) of it, with that peak on the
/// retina to judge it against.
pub(super) fn on_dark(
    eye: &AidedEye,
    flux: f64,
    peak_td: f64,
    spectrum: impl Fn(f64) -> f64,
) -> f64 {
    if peak_td <= 0.0 {
        return 0.0;
    }
    (flux / peak_td).powi(2) * eye.index_in_dark(peak_td, |u| 2.0 * PI * u * spectrum(u))
}

/// The disc less a bell-shaped blob of the same light and second moment. A small disc is dimmer on the retina than its
/// surface, a large one is not brighter.
pub(super) fn disc_not_star(eye: &AidedEye, diameter_arcsec: f64, light: &Light) -> Answer {
    let w = eye.at_eye_deg(diameter_arcsec);
    let flux = PI / 4.0 * w * w * light.ground_td;
    let peak_td = (flux * eye.peak_per_flux(|u| jinc(PI * w * u))).clamp(0.0, light.ground_td);
    let judged_td = peak_td + light.veil_td;
    let energy = if judged_td <= 0.0 {
        0.0
    } else {
        (flux / judged_td).powi(2)
            * eye.integral(judged_td, |u| {
                let blob = (-BEND_OF_SPOT * (w * u).powi(2)).exp();
                2.0 * PI * u * (jinc(PI * w * u) - blob).powi(2)
            })
    };
    Answer {
        energy: share_of_spot(w) * energy,
        area_deg2: PI / 4.0 * w * w + eye.point_area_deg2(),
    }
}

fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-6 {
        1.0
    } else {
        (PI * x).sin() / (PI * x)
    }
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

/// Full width at half maximum of a bell curve over its standard deviation, 2√(2 ln 2).
const FWHM_PER_SIGMA: f64 = 2.354_820_045;
