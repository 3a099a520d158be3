//! A middling telescope of a workshop: what the hours of a night are compared through.

use std::sync::LazyLock;

use crate::optics::mtf::Mtf;
use crate::targets::chain::{Chain, Links};
use crate::targets::look::Hour;

/// With a middling eyepiece; before any air.
static MIDDLING: LazyLock<Links> = LazyLock::new(|| Links {
    aperture_mm: 150.0,
    obstruction: 0.2,
    mtf: Mtf::annular(0.2),
    transmission: 0.75,
    magnifications: vec![75.0],
    seeing_zenith_arcsec: 2.0,
    airmass: 1.0,
    extinction_mag_airmass: 0.0,
    sky_brightness_mag_arcsec2: 21.0,
    age_years: 40.0,
    figure_blur_arcsec: 0.0,
});

/// At that hour, in air of that FWHM at the zenith, 550 nm, arcseconds.
pub fn middling_telescope(hour: &Hour, seeing_zenith_arcsec: f64) -> Chain {
    Chain::new(Links {
        seeing_zenith_arcsec,
        airmass: hour.airmass,
        extinction_mag_airmass: hour.extinction_mag_airmass,
        sky_brightness_mag_arcsec2: hour.sky_brightness_mag_arcsec2,
        ..MIDDLING.clone()
    })
}
