//! The little spectrum that the air makes of everything low: how far it blurs.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use crate::sky::air::{self, Air};

/// Share of the visual band's dispersion that blurs as an even line would: sunlight as the day eye weighs it is spread as
/// widely as a line of this length. The test computes it.
pub(in crate::targets) const DISPERSED_SHARE: f64 = 0.66;

/// Length of that spectrum, as it blurs, arcseconds: over √2, as a detail's direction is not known. At sea level on a mild
/// evening; mountain sites have a little less.
pub(super) fn smear_arcsec(airmass: f64) -> f64 {
    let altitude_deg = (1.0 / airmass.max(1.0)).asin().to_degrees();
    let air = Air::ordinary(0.0, 10.0);
    DISPERSED_SHARE * air::dispersion_arcsec(altitude_deg, &air::VISUAL_BAND, &air) * FRAC_1_SQRT_2
}

/// Contrast kept under that smear: a bell of the same spread as an even line, which unlike the
/// line never gives contrast back at finer patterns.
pub(super) fn smear_mtf(cycles_per_arcsec: f64, length_arcsec: f64) -> f64 {
    (-(PI * cycles_per_arcsec * length_arcsec).powi(2) / 6.0).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::air::{Band, VISUAL_BAND};

    /// CIE 1924 photopic luminous efficiency (ISO/CIE 11664), 400 to 700 nm in steps of 10.
    const V: [f64; 31] = [
        0.0004, 0.0012, 0.0040, 0.0116, 0.023, 0.038, 0.060, 0.09098, 0.13902, 0.20802, 0.323,
        0.503, 0.710, 0.862, 0.954, 0.99495, 0.995, 0.952, 0.870, 0.757, 0.631, 0.503, 0.381,
        0.265, 0.175, 0.107, 0.061, 0.032, 0.017, 0.00821, 0.004102,
    ];

    /// The spread of the dispersion under V times a black body like the Sun (5,772 K, IAU 2015), as that of an even line.
    #[test]
    fn the_share_is_that_of_daylight_to_the_eye() {
        let air = Air::ordinary(0.0, 10.0);
        let dispersed = |blue_nm: f64, red_nm: f64| {
            air::dispersion_arcsec(45.0, &Band { blue_nm, red_nm }, &air)
        };
        let colours = V.iter().enumerate().map(|(idx, v)| {
            let nm = 400.0 + 10.0 * idx as f64;
            let sunlight = nm.powi(-5) / ((1.438_777e7 / (nm * 5772.0)).exp() - 1.0);
            (v * sunlight, dispersed(nm, 700.0))
        });
        let (mut weight, mut sum, mut squares) = (0.0, 0.0, 0.0);
        for (w, x) in colours {
            weight += w;
            sum += w * x;
            squares += w * x * x;
        }
        let mean = sum / weight;
        let length = (12.0 * (squares / weight - mean * mean)).sqrt();
        let share = length / dispersed(VISUAL_BAND.blue_nm, VISUAL_BAND.red_nm);
        assert!((share - DISPERSED_SHARE).abs() < 0.01, "{share}");
    }
}
