//! How likely a mirror is to show a star's rings as they were seen, inside and outside focus.
//!
//! Likelihoods are from memory of what star tests tell apart (about an eighth of a wave of spherical aberration), no
//! source; they narrow what readings leave open and are never a measurement.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::workshop::StarTest;

/// Up to a constant; `spherical_nm`: wavefront per unit of x^2, positive where over-corrected; `rim_nm`: height of the glass
/// at the rim.
pub(super) fn likelihood(star: StarTest, spherical_nm: f64, rim_nm: f64) -> f64 {
    // Peak to valley at best focus is a quarter of what the rim has.
    let spherical_waves = spherical_nm / 4.0 / REFERENCE_WAVELENGTH_NM;
    let rim_waves = 2.0 * rim_nm / REFERENCE_WAVELENGTH_NM;
    match star {
        StarTest::Alike => {
            let off =
                (spherical_waves / NOTICED_WAVES).powi(2) + (rim_waves / NOTICED_RIM_WAVES).powi(2);
            MISJUDGED + (-off / 2.0).exp()
        }
        // The rim's light comes to its focus before that of the middle.
        StarTest::BrightRimInside => {
            let shows = -spherical_waves / NOTICED_WAVES + rim_waves / NOTICED_RIM_WAVES;
            MISJUDGED + 1.0 / (1.0 + (-3.0 * (shows - 1.0)).exp())
        }
        StarTest::Hairy | StarTest::NotRound => 1.0,
    }
}

const NOTICED_WAVES: f64 = 0.15;
const NOTICED_RIM_WAVES: f64 = 0.3;
const MISJUDGED: f64 = 0.02;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rings_alike_speak_for_good_mirrors_and_a_bright_rim_for_under_corrected_ones() {
        let alike = |nm| likelihood(StarTest::Alike, nm, 0.0);
        assert!(alike(0.0) > 5.0 * alike(700.0) && alike(700.0) == alike(-700.0));
        let bright = |nm| likelihood(StarTest::BrightRimInside, nm, 0.0);
        assert!(bright(-700.0) > 5.0 * bright(0.0) && bright(0.0) > bright(700.0));
        let hairy = |nm| likelihood(StarTest::Hairy, nm, 0.0);
        assert_eq!(hairy(0.0), hairy(700.0));
    }
}
