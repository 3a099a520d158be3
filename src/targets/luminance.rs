//! How bright the surface of a body is, above the air.
//!
//! From the magnitude and the lit area of the day; on the Moon also from the Sun's height over the
//! place. Good to some 20 %: the eye's threshold moves by a tenth for that.

use std::f64::consts::FRAC_PI_4;

use crate::eye::glare;
use crate::sky::{Appearance, Body};
use crate::targets::details::Shape;

/// Thinnest crescent reckoned with: below it magnitudes are not given anyway.
const LEAST_LIT: f64 = 0.003;

/// Mean luminance of the lit part of the disc, cd/m². Saturn's magnitude includes the ring: use
/// [`saturn_cd_m2`].
pub fn lit_disc_cd_m2(seen: &Appearance) -> f64 {
    let disc_arcsec2 = FRAC_PI_4 * seen.diameter_arcsec.powi(2) * polar_over_equatorial(seen.body);
    let lit_arcsec2 = disc_arcsec2 * seen.illuminated_fraction.max(LEAST_LIT);
    glare::disc_luminance_cd_m2(seen.magnitude, lit_arcsec2)
}

/// Luminance of level ground on the Moon, cd/m².
///
/// The mean of the lit part, redistributed as Lommel and Seeliger have it: brightness goes as
/// `m0 / (m0 + m)` with the cosines of the Sun's and our zenith distance. Mean of the lit disc:
/// `(1 + sin(a/2) tan(a/2) ln tan(a/4)) / (2 k)` at the phase angle `a`, lit fraction `k`.
/// Gives 100 to 300 cd/m² near the terminator of a half moon, as is reported from memory.
pub fn moon_ground_cd_m2(seen: &Appearance, sun_cosine: f64, our_cosine: f64) -> f64 {
    if sun_cosine <= 0.0 {
        return 0.0;
    }
    let here = 2.0 * sun_cosine / (sun_cosine + our_cosine);
    let mean =
        lommel_seeliger_disc(seen.phase_angle_deg) / seen.illuminated_fraction.max(LEAST_LIT);
    lit_disc_cd_m2(seen) * here / mean
}

/// Surface brightness of Saturn, V mag/arcsec². Ring photometry of Cuzzi and others 2018 and the
/// globe's of Karkoschka 1998, at Saturn's mean distance from the Sun; 0.2 mag either way with it.
const SATURN_GLOBE_MAG_ARCSEC2: f64 = 6.7;
const SATURN_RING_B_MAG_ARCSEC2: f64 = 6.7;
const SATURN_RING_A_MAG_ARCSEC2: f64 = 7.1;

/// Luminance that surrounds a detail of Saturn, cd/m².
pub fn saturn_cd_m2(shape: Shape) -> f64 {
    let surface_brightness = match shape {
        Shape::RingGap | Shape::RingDip | Shape::RingStep => {
            // Between A and B: the mean of the two.
            let a = glare::luminance_cd_m2(SATURN_RING_A_MAG_ARCSEC2);
            let b = glare::luminance_cd_m2(SATURN_RING_B_MAG_ARCSEC2);
            return 0.5 * (a + b);
        }
        Shape::Ring | Shape::RingHole | Shape::RingShadow => SATURN_RING_B_MAG_ARCSEC2,
        _ => SATURN_GLOBE_MAG_ARCSEC2,
    };
    glare::luminance_cd_m2(surface_brightness)
}

/// Light of a Lommel-Seeliger sphere at a phase angle, full = 1.
fn lommel_seeliger_disc(phase_angle_deg: f64) -> f64 {
    let half_rad = 0.5 * phase_angle_deg.to_radians();
    if half_rad < 1e-3 {
        return 1.0;
    }
    1.0 + half_rad.sin() * half_rad.tan() * (0.5 * half_rad).tan().ln()
}

/// Polar over equatorial diameter. IAU 2015 radii.
fn polar_over_equatorial(body: Body) -> f64 {
    match body {
        Body::Jupiter => 66_854.0 / 71_492.0,
        Body::Saturn => 54_364.0 / 60_268.0,
        Body::Uranus => 24_973.0 / 25_559.0,
        Body::Neptune => 24_341.0 / 24_764.0,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(phase_angle_deg: f64, want: f64) {
        let got = lommel_seeliger_disc(phase_angle_deg);
        assert!(
            (got - want).abs() < 5e-5,
            "{phase_angle_deg} deg: want {want}, got {got}"
        );
    }

    #[test]
    fn a_lommel_seeliger_sphere_by_hand() {
        check(0.0, 1.0);
        check(90.0, 1.0 - std::f64::consts::FRAC_1_SQRT_2 * 0.881_374); // ln(1 + sqrt 2)
    }
}
