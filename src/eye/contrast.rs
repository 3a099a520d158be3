//! Contrast sensitivity of the eye: Barten's physical model.
//!
//! Source: P. G. J. Barten, "Contrast Sensitivity of the Human Eye and its Effects on Image
//! Quality" (SPIE 1999), with his standard constants. The eye as an optical blur, a photon counter
//! with a neural noise, and a neural high-pass filter. Daylight vision only (above some 0.1 Td);
//! stars on dark ground are [`super::crumey`]'s business.
//!
//! The pieces are public because [`super::detect`] writes the same signal-to-noise ratio for
//! patterns that are not gratings.

use std::f64::consts::PI;

use crate::eye::Eyes;
use crate::eye::glare::retinal_illuminance_td;
use crate::units::ARCMIN_PER_DEG;

/// Signal-to-noise ratio at the 50 % threshold.
pub const THRESHOLD_SNR: f64 = 3.0;

/// Time the eye adds up light, s.
pub const INTEGRATION_S: f64 = 0.1;

/// Width of field the eye adds up, degrees.
pub const WIDEST_INTEGRATION_DEG: f64 = 12.0;

/// Number of cycles the eye adds up.
pub const MOST_CYCLES: f64 = 15.0;

/// Sharpness of the eye at a small pupil: standard deviation of its line spread, degrees.
const BLUR_DEG: f64 = 0.5 / ARCMIN_PER_DEG;

/// What a wider pupil adds to it, degrees per mm.
const BLUR_PER_PUPIL_DEG_MM: f64 = 0.08 / ARCMIN_PER_DEG;

/// Share of photons that count.
const QUANTUM_EFFICIENCY: f64 = 0.03;

/// Photons per s, square degree and troland.
const PHOTONS_PER_S_DEG2_TD: f64 = 1.2274e6;

/// Noise of the nerves, s deg².
const NEURAL_NOISE_S_DEG2: f64 = 3e-8;

/// Below this frequency the nerves suppress, cycles/degree.
const LATERAL_INHIBITION_CYCLES_DEG: f64 = 7.0;

/// A sinusoidal grating and who looks at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grating {
    /// Cycles per degree at the eye.
    pub frequency_cycles_deg: f64,
    /// Side of the square field it fills, degrees.
    pub field_deg: f64,
    /// Effective retinal illuminance, Td: see [`effective_illuminance_td`].
    pub illuminance_td: f64,
    /// Pupil the light comes through.
    pub pupil_mm: f64,
    /// One or two.
    pub eyes: Eyes,
}

/// Contrast sensitivity: 1 over the modulation seen half of the time.
pub fn contrast_sensitivity(grating: &Grating) -> f64 {
    let u = grating.frequency_cycles_deg;
    let per_area = 1.0 / grating.field_deg.powi(2)
        + 1.0 / WIDEST_INTEGRATION_DEG.powi(2)
        + (u / MOST_CYCLES).powi(2);
    let noise = photon_noise(grating.illuminance_td) + neural_noise(u);
    let modulation_noise = (2.0 / INTEGRATION_S * per_area * noise).sqrt();
    eye_mtf(u, grating.pupil_mm)
        / (THRESHOLD_SNR * modulation_noise * grating.eyes.threshold_factor())
}

/// Retinal illuminance that counts, Td: what enters through a pupil, less the light near the
/// pupil's rim that the cones hardly accept.
pub fn effective_illuminance_td(luminance_cd_m2: f64, pupil_mm: f64) -> f64 {
    retinal_illuminance_td(luminance_cd_m2, pupil_mm) * stiles_crawford(pupil_mm)
}

/// Share of the light through a pupil that the cones accept (Stiles & Crawford), 0 to 1; pupils
/// up to 8 mm.
pub fn stiles_crawford(pupil_mm: f64) -> f64 {
    1.0 - (pupil_mm / 9.7).powi(2) + (pupil_mm / 12.4).powi(4)
}

/// Contrast the eye's own optics keep at a frequency (cycles/degree at the eye), 0 to 1. Holds the
/// eye's diffraction at ordinary pupils; that of an exit pupil is the telescope's.
pub fn eye_mtf(frequency_cycles_deg: f64, pupil_mm: f64) -> f64 {
    let blur_deg = BLUR_DEG.hypot(BLUR_PER_PUPIL_DEG_MM * pupil_mm);
    (-2.0 * (PI * blur_deg * frequency_cycles_deg).powi(2)).exp()
}

/// Spectral density of photon noise, s deg².
pub fn photon_noise(illuminance_td: f64) -> f64 {
    1.0 / (QUANTUM_EFFICIENCY * PHOTONS_PER_S_DEG2_TD * illuminance_td)
}

/// Spectral density of neural noise at a frequency (cycles/degree at the eye), lateral inhibition
/// included, s deg².
pub fn neural_noise(frequency_cycles_deg: f64) -> f64 {
    let x = frequency_cycles_deg / LATERAL_INHIBITION_CYCLES_DEG;
    NEURAL_NOISE_S_DEG2 / -(-x * x).exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sensitivity_as_published() {
        let grating = Grating {
            frequency_cycles_deg: 4.0,
            field_deg: 60.0,
            illuminance_td: effective_illuminance_td(20.0, 2.1),
            pupil_mm: 2.1,
            eyes: Eyes::Two,
        };
        // Published worked value of a public colour-science library: 20 cd/m², 2.1 mm pupil.
        let got = contrast_sensitivity(&grating);
        assert!(
            (got - 360.869_112_2).abs() < 5e-7,
            "want 360.8691122, got {got}"
        );
        let one_eye = contrast_sensitivity(&Grating {
            eyes: Eyes::One,
            ..grating
        });
        assert!((got / one_eye - 2f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn agrees_with_bartens_own_short_form() {
        // Barten 2003's short form of his model for a standard observer, ordinary office light
        // (100 cd/m², the 2.8 mm pupil he assigns to it), 10° field. He calls it an approximation;
        // 25 % covers its departure from the full model between 1 and 20 cycles/degree.
        let short = |u: f64, l: f64, x0: f64| {
            5200.0 * (-0.0016 * u * u * (1.0 + 100.0 / l).powf(0.08)).exp()
                / ((1.0 + 144.0 / (x0 * x0) + 0.64 * u * u)
                    * (63.0 / l.powf(0.83) + 1.0 / (1.0 - (-0.02 * u * u).exp())))
                .sqrt()
        };
        for u in [1.0, 2.0, 4.0, 8.0, 12.0, 20.0] {
            let got = contrast_sensitivity(&Grating {
                frequency_cycles_deg: u,
                field_deg: 10.0,
                illuminance_td: effective_illuminance_td(100.0, 2.8),
                pupil_mm: 2.8,
                eyes: Eyes::Two,
            });
            let want = short(u, 100.0, 10.0);
            assert!(
                (got / want - 1.0).abs() < 0.25,
                "{u} c/deg: want {want}, got {got}"
            );
        }
    }
}
