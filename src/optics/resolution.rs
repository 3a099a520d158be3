//! How fine a perfect, unobstructed aperture can be: the spot it makes and the pairs it splits.
//!
//! All in arcseconds on the sky, proportional to wavelength and inversely to aperture. An
//! obstruction shrinks the spot by a few percent and feeds the rings; the MTF tells that story.

use crate::units::{MM_PER_INCH, NM_PER_MM, arcsec_from_rad};

/// First zero of the Bessel function J1, over pi: radius of the first dark ring in units of
/// wavelength over aperture. Airy 1835; digits from scipy's `jn_zeros(1, 1)`.
pub const FIRST_DARK_RING: f64 = 1.219_669_891_266_504_5;

/// Full width at half maximum of the Airy pattern, same unit: root of (2 J1(x)/x)^2 = 1/2.
const FULL_WIDTH_HALF_MAXIMUM: f64 = 1.028_993_969_961_992;

/// Separation at which the dip between two equal Airy patterns just vanishes, same unit: root of
/// the second derivative of (2 J1(x)/x)^2. Sparrow 1916.
const DIP_JUST_GONE: f64 = 0.947_155_252_709_18;

/// Dawes 1867: two equal sixth-magnitude stars are just divided at 4.56" by one inch of aperture.
const DAWES_ARCSEC_INCHES: f64 = 4.56;

/// Radius of the first dark ring around a star's image, arcseconds.
pub fn airy_radius_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    FIRST_DARK_RING * spot_unit_arcsec(aperture_mm, wavelength_nm)
}

/// Full width at half maximum of a star's image, arcseconds.
pub fn star_fwhm_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    FULL_WIDTH_HALF_MAXIMUM * spot_unit_arcsec(aperture_mm, wavelength_nm)
}

/// Rayleigh's limit, arcseconds: one star on the other's first dark ring. 138.4 / D at 550 nm.
pub fn rayleigh_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    airy_radius_arcsec(aperture_mm, wavelength_nm)
}

/// Dawes's limit, arcseconds: what practised eyes divided, equal stars, steady air. 116 / D.
pub fn dawes_arcsec(aperture_mm: f64) -> f64 {
    DAWES_ARCSEC_INCHES * MM_PER_INCH / aperture_mm
}

/// Sparrow's limit, arcseconds: equal stars closer than this make one oblong spot. 107.5 / D at
/// 550 nm.
pub fn sparrow_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    DIP_JUST_GONE * spot_unit_arcsec(aperture_mm, wavelength_nm)
}

/// Wavelength over aperture.
fn spot_unit_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    arcsec_from_rad(wavelength_nm / (aperture_mm * NM_PER_MM))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// The rules as the trade prints them, times the aperture: half of their last digit.
    #[test]
    fn rules_of_the_trade() {
        // Rayleigh's 5.5"/inch (handbooks, yellow-green light) is 140 / D mm; at 550 nm 138.4.
        close(
            "Rayleigh",
            150.0 * rayleigh_arcsec(150.0, 550.0),
            138.4,
            0.05,
        );
        // Handbooks: 116 / D.
        close("Dawes", 150.0 * dawes_arcsec(150.0), 116.0, 0.5);
        // Sparrow: 0.947 wavelength over aperture (common in textbooks).
        let unit = spot_unit_arcsec(150.0, 550.0);
        close("Sparrow", sparrow_arcsec(150.0, 550.0) / unit, 0.947, 5e-4);
        // FWHM 1.029 wavelength over aperture (textbooks).
        close("FWHM", star_fwhm_arcsec(150.0, 550.0) / unit, 1.029, 5e-4);
    }

    /// Dawes's own list, 1867, as handbooks repeat it: inches, arcseconds.
    #[test]
    fn dawes_own_inches() {
        for (inches, arcsec) in [
            (1.0, 4.56),
            (2.0, 2.28),
            (4.0, 1.14),
            (6.0, 0.76),
            (8.0, 0.57),
        ] {
            close("Dawes", dawes_arcsec(inches * MM_PER_INCH), arcsec, 5e-3);
        }
    }

    /// Radius of the first dark ring, 200 mm at 550 nm: 1.2197 x 0.5672".
    #[test]
    fn first_dark_ring_of_200_mm() {
        close("Airy", airy_radius_arcsec(200.0, 550.0), 0.6918, 5e-5);
        close("at 400 nm", airy_radius_arcsec(200.0, 400.0), 0.5031, 5e-5);
    }
}
