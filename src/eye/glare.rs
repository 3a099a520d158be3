//! Light at the eye: luminance from magnitudes, trolands, and the veil a bright light draws over
//! its surroundings inside the eye.
//!
//! Sources: Crumey 2014 (zero point); CIE 146:2002, general disability glare equation.

use std::f64::consts::PI;

use crate::units::rad_from_arcsec;

/// Illuminance of a star of magnitude V = 0 outside the air, lx. Crumey 2014, after equation 4.
const MAGNITUDE_ZERO_LX: f64 = 2.54e-6;

/// Illuminance of a star, lx, on a surface facing it. Within 1 % for solar colours.
pub fn illuminance_lx(magnitude: f64) -> f64 {
    MAGNITUDE_ZERO_LX * 10f64.powf(-0.4 * magnitude)
}

/// Magnitude of a point that gives that illuminance; the inverse of [`illuminance_lx`].
pub fn magnitude_of_lx(illuminance_lx: f64) -> f64 {
    -2.5 * (illuminance_lx / MAGNITUDE_ZERO_LX).log10()
}

/// Luminance, cd/m², of a sky or disc of that surface brightness, V mag/arcsec².
pub fn luminance_cd_m2(surface_brightness_mag_arcsec2: f64) -> f64 {
    illuminance_lx(surface_brightness_mag_arcsec2) / rad_from_arcsec(1.0).powi(2)
}

/// Surface brightness, V mag/arcsec², of that luminance; the inverse of [`luminance_cd_m2`].
pub fn surface_brightness_mag_arcsec2(luminance_cd_m2: f64) -> f64 {
    magnitude_of_lx(luminance_cd_m2 * rad_from_arcsec(1.0).powi(2))
}

/// Mean luminance, cd/m², of something of that magnitude spread over that area of sky, arcsec²
/// (the lit part only: `π/4 · equatorial · polar diameter · illuminated fraction`). Put the
/// magnitude dimmed by the air in, and what reaches the telescope comes out.
pub fn disc_luminance_cd_m2(magnitude: f64, lit_area_arcsec2: f64) -> f64 {
    luminance_cd_m2(magnitude) / lit_area_arcsec2
}

/// Retinal illuminance, trolands: luminance at the eyepiece (transmission already in it) times the
/// area of the pupil it comes through, the exit pupil or the eye's own, whichever is smaller.
/// Without the Stiles-Crawford effect: see [`super::contrast::stiles_crawford`].
pub fn retinal_illuminance_td(luminance_cd_m2: f64, pupil_mm: f64) -> f64 {
    luminance_cd_m2 * PI / 4.0 * pupil_mm * pupil_mm
}

/// A glaring light and the eye it falls into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlaringLight {
    /// Illuminance at the eye's pupil, lx. Through a telescope: starlight outside times
    /// air, mirrors and `(aperture / larger of exit pupil and eye pupil)²`.
    pub illuminance_lx: f64,
    /// From the light to where one looks, at the eye (sky angle times magnification).
    pub angle_deg: f64,
    /// Of the observer.
    pub age_years: f64,
    /// 0 black, 0.5 brown, 1.0 light, 1.2 very light eyes.
    pub eye_pigment: f64,
}

/// Pigment to assume when nobody says the colour of the eyes: brown.
pub const BROWN_EYES: f64 = 0.5;

/// Luminance of the veil, cd/m², referred to the eye's own pupil.
///
/// CIE 146:2002 general equation; angles of 0.1 to 100 degrees, else `None`. It holds for a small
/// source: treat a large disc as several.
pub fn veil_cd_m2(light: &GlaringLight) -> Option<f64> {
    let angle = light.angle_deg;
    let pigment = light.eye_pigment;
    let ageing = 1.0 + (light.age_years / 62.5).powi(4);
    let share = 10.0 / angle.powi(3)
        + (5.0 / angle.powi(2) + 0.1 * pigment / angle) * ageing
        + 0.0025 * pigment;
    (0.1..=100.0)
        .contains(&angle)
        .then_some(share * light.illuminance_lx)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    #[test]
    fn dark_sky_in_cd_m2() {
        // Garstang's nanolambert form of the same conversion gives 1.719e-4 at 22 mag/arcsec²; the
        // two published zero points differ by 0.7 %.
        close("22 mag", luminance_cd_m2(22.0), 1.71e-4, 0.01 * 1.71e-4);
        // Crumey 2014: L = 10^((12.58 - mu) / 2.5); half its last digit is 0.46 %.
        close(
            "mag of 1 cd/m²",
            surface_brightness_mag_arcsec2(1.0),
            12.58,
            0.005,
        );
        // The widely used form 10.8e4 · 10^(-0.4 mu).
        close("0 mag", luminance_cd_m2(0.0), 10.8e4, 0.05e4);
    }

    #[test]
    fn discs_in_cd_m2() {
        // Full Moon 31.1' across, -12.73 (from memory): 4890, an independent hand computation.
        let moon = disc_luminance_cd_m2(-12.73, PI / 4.0 * 1866.0f64.powi(2));
        close("full Moon", moon, 4890.0, 0.01 * 4890.0);
        let jupiter = disc_luminance_cd_m2(-2.70, PI / 4.0 * 46.9 * 43.9);
        close("Jupiter", jupiter, 803.0, 0.01 * 803.0);
        close("Td", retinal_illuminance_td(803.0 * 0.8, 1.0), 505.0, 0.5);
    }

    #[test]
    fn glare_as_cie_146() {
        let light = |angle_deg, age_years| GlaringLight {
            illuminance_lx: 1.0,
            angle_deg,
            age_years,
            eye_pigment: BROWN_EYES,
        };
        let veil = |angle_deg, age| veil_cd_m2(&light(angle_deg, age)).unwrap();
        // The equation worked by hand at one degree, thirty years.
        close("1 deg", veil(1.0, 30.0), 15.319, 5e-4);
        // Stiles & Holladay 1929, 10 E / θ², which CIE 146 continues; about ±20 % for the young,
        // 3 to 30 degrees.
        close("10 deg", veil(10.0, 20.0), 0.1, 0.04);
        assert_eq!(veil_cd_m2(&light(0.05, 30.0)), None);
        assert!(veil(2.0, 70.0) > veil(2.0, 30.0));
    }
}
