//! Stars through a telescope by Schaefer 1990, to stand beside [`super::crumey`].
//!
//! Source: B. E. Schaefer, "Telescopic limiting magnitudes", PASP 102, 212 (1990): Hecht's threshold
//! with a correction for everything between star and nerve. The coefficients are his; how the
//! corrections combine is from memory of the paper. Practised observers: about half a magnitude
//! fainter than [`super::crumey`] has it for most people. His observers scattered by half a
//! magnitude too.

use crate::eye::pupil::dark_adapted_pupil_mm;

/// How a star is looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StarLook {
    /// Sky at that place, V mag/arcsec².
    pub sky_mag_arcsec2: f64,
    /// Clear aperture.
    pub aperture_mm: f64,
    /// Times.
    pub magnification: f64,
    /// Light that arrives of what fell on the aperture, mirrors and obstruction included, 0 to 1.
    pub transmission: f64,
    /// Of the observer.
    pub age_years: f64,
    /// Diameter of the seeing disc.
    pub star_width_arcsec: f64,
    /// Colour B - V of the star: rods prefer blue.
    pub color_index: f64,
}

/// Magnitude of the faintest star seen, as it arrives below the air (the caller takes extinction
/// off).
pub fn telescopic_limit_mag(look: &StarLook) -> f64 {
    let eye_pupil_mm = dark_adapted_pupil_mm(look.age_years);
    let exit_pupil_mm = look.aperture_mm / look.magnification;
    let one_eye = 1.41;
    let loss = 1.0 / look.transmission;
    let wasted = (exit_pupil_mm / eye_pupil_mm).powi(2).max(1.0);
    let gathering = (eye_pupil_mm / look.aperture_mm).powi(2);
    let rim_rays = rod_acceptance(exit_pupil_mm.min(eye_pupil_mm)) / rod_acceptance(eye_pupil_mm);
    let color = 10f64.powf(-0.4 * (1.0 - look.color_index / 2.0));
    let spread = (look.star_width_arcsec * look.magnification / RESOLVED_ARCSEC)
        .sqrt()
        .max(1.0);
    let both = one_eye * loss * wasted * gathering * rim_rays * color;
    let ground_nl = nanolamberts(look.sky_mag_arcsec2) / (both * look.magnification.powi(2));
    magnitude_of_foot_candles(hecht_foot_candles(ground_nl) * both * spread)
}

/// Width at the eye from which a star stops being a point to night vision, arcseconds.
const RESOLVED_ARCSEC: f64 = 900.0;

/// Share of the light the rods accept through a pupil (their weak Stiles-Crawford effect).
fn rod_acceptance(pupil_mm: f64) -> f64 {
    1.0 - (pupil_mm / 12.4).powi(4)
}

/// Threshold of a point for two naked eyes on a ground of that many nanolamberts, foot-candles.
fn hecht_foot_candles(ground_nl: f64) -> f64 {
    let (c, k) = if ground_nl.log10() < 3.17 {
        (-9.80, -1.90)
    } else {
        (-8.35, -5.90)
    };
    10f64.powf(c) * (1.0 + (10f64.powf(k) * ground_nl).sqrt()).powi(2)
}

fn magnitude_of_foot_candles(foot_candles: f64) -> f64 {
    -16.57 - 2.5 * foot_candles.log10()
}

/// Garstang's conversion, which the paper uses.
fn nanolamberts(mag_arcsec2: f64) -> f64 {
    34.08 * (20.7233 - 0.92104 * mag_arcsec2).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::{Eyes, PRACTISED, crumey};

    const LOOK: StarLook = StarLook {
        sky_mag_arcsec2: 21.5,
        aperture_mm: 200.0,
        magnification: 100.0,
        transmission: 0.75,
        age_years: 35.0,
        star_width_arcsec: 2.0,
        color_index: 0.7,
    };

    #[test]
    fn naked_eye_as_published() {
        // Night vision, quoted widely from the paper: 7.93 - 5 log(1 + 10^(4.316 - mu/5)).
        for sky in [19.0, 20.0, 21.5, 22.0] {
            let want = 7.93 - 5.0 * (1.0 + 10f64.powf(4.316 - sky / 5.0)).log10();
            let got = magnitude_of_foot_candles(hecht_foot_candles(nanolamberts(sky)));
            assert!((got - want).abs() < 5e-3, "{sky}: want {want}, got {got}");
        }
    }

    #[test]
    fn about_half_a_magnitude_beyond_most_people() {
        // An independent evaluation: 14.5 at 100x and 14.8 at 200x for this aperture, sky and age,
        // colour and transmission not stated, which are worth 0.2 mag.
        for (magnification, want) in [(100.0, 14.52), (200.0, 14.80)] {
            let got = telescopic_limit_mag(&StarLook {
                magnification,
                ..LOOK
            });
            assert!(
                (got - want).abs() < 0.2,
                "{magnification}x: want {want}, got {got}"
            );
        }
    }

    #[test]
    fn a_practised_observer_in_both_models() {
        // The two models' own scatter is half a magnitude each.
        for magnification in [60.0, 100.0, 200.0] {
            let here = telescopic_limit_mag(&StarLook {
                magnification,
                ..LOOK
            });
            let there = crumey::telescopic_limit_mag(&crumey::StarSearch {
                sky_mag_arcsec2: LOOK.sky_mag_arcsec2,
                veil_cd_m2: 0.0,
                aperture_mm: LOOK.aperture_mm,
                magnification,
                transmission: LOOK.transmission,
                eye_pupil_mm: dark_adapted_pupil_mm(LOOK.age_years),
                field_factor: PRACTISED,
                eyes: Eyes::One,
            });
            assert!(
                (here - there).abs() < 0.5,
                "{magnification}x: {here} and {there}"
            );
        }
    }

    #[test]
    fn darker_sky_and_younger_eye_see_more() {
        let base = telescopic_limit_mag(&LOOK);
        assert!(
            telescopic_limit_mag(&StarLook {
                sky_mag_arcsec2: 22.0,
                ..LOOK
            }) > base
        );
        assert!(
            telescopic_limit_mag(&StarLook {
                star_width_arcsec: 12.0,
                ..LOOK
            }) < base
        );
        assert!(
            telescopic_limit_mag(&StarLook {
                color_index: 1.5,
                ..LOOK
            }) < base
        );
    }
}
