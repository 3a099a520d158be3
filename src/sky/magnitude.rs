//! How bright a body is, outside the atmosphere.
//!
//! Planets: Mallama & Hilton 2018, Astronomy and Computing 25, 10 (the model of the Astronomical
//! Almanac). Its stated fit is 0.02-0.05 mag. Left out: Mars' turning and season (up to 0.06 mag),
//! Saturn beyond a phase angle of 6.5 degrees (never seen from Earth).
//!
//! Leaf formulas: distances in au, angles in degrees, magnitudes in V.

/// What a planet's magnitude depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circumstances {
    /// From the Sun.
    pub sun_distance_au: f64,
    /// From the observer.
    pub distance_au: f64,
    /// Sun-planet-observer.
    pub phase_angle_deg: f64,
}

impl Circumstances {
    /// Magnitude at unit distances brought to these distances.
    fn at_distance(&self, at_unit_distances_mag: f64) -> f64 {
        at_unit_distances_mag + 5.0 * (self.sun_distance_au * self.distance_au).log10()
    }

    fn phase_polynomial(&self, coefficients: &[f64]) -> f64 {
        let a = self.phase_angle_deg;
        coefficients.iter().rev().fold(0.0, |sum, c| sum * a + c)
    }
}

/// The Sun. Source: Willmer 2018, ApJS 236, 47: V = -26.76 at 1 au (from memory).
pub fn sun_mag(distance_au: f64) -> f64 {
    -26.76 + 5.0 * distance_au.log10()
}

/// The Moon. Source: Allen, Astrophysical Quantities, as used by Krisciunas & Schaefer 1991, PASP
/// 103, 1033, eq. 20, brought to the distances of the hour. Some 0.1 mag; the surge within 5 degrees
/// of full is not modelled (up to 0.3 mag).
pub fn moon_mag(circumstances: Circumstances) -> f64 {
    const MEAN_DISTANCE_AU: f64 = 384_400.0 / crate::constants::AU_KM;
    let a = circumstances.phase_angle_deg;
    let at_mean_distance_mag = -12.73 + 0.026 * a + 4e-9 * a.powi(4);
    at_mean_distance_mag
        + 5.0
            * (circumstances.distance_au / MEAN_DISTANCE_AU * circumstances.sun_distance_au).log10()
}

/// The Earth, seen from outside; to a phase angle of 170 degrees. Source: eq. 5 (number from memory).
pub fn earth_mag(circumstances: Circumstances) -> f64 {
    circumstances.at_distance(circumstances.phase_polynomial(&[-3.99, -1.060e-3, 2.054e-4]))
}

/// Mercury. Source: eq. 2.
pub fn mercury_mag(circumstances: Circumstances) -> f64 {
    circumstances.at_distance(circumstances.phase_polynomial(&[
        -0.613,
        6.3280e-2,
        -1.6336e-3,
        3.3644e-5,
        -3.4265e-7,
        1.6893e-9,
        -3.0334e-12,
    ]))
}

/// Venus. Source: eqs. 3 and 4; the second for the thinnest crescents.
pub fn venus_mag(circumstances: Circumstances) -> f64 {
    let coefficients: &[f64] = if circumstances.phase_angle_deg < 163.7 {
        &[-4.384, -1.044e-3, 3.687e-4, -2.814e-6, 8.938e-9]
    } else {
        &[236.05828, -2.81914, 8.39034e-3]
    };
    circumstances.at_distance(circumstances.phase_polynomial(coefficients))
}

/// Mars, mean over rotation and season. Source: eqs. 6 and 7.
pub fn mars_mag(circumstances: Circumstances) -> f64 {
    let coefficients: &[f64] = if circumstances.phase_angle_deg <= 50.0 {
        &[-1.601, 2.267e-2, -1.302e-4]
    } else {
        &[-0.367, -0.025_73, 3.445e-4]
    };
    circumstances.at_distance(circumstances.phase_polynomial(coefficients))
}

/// Jupiter. Source: eq. 8 (phase angles up to 12 degrees: all that Earth sees).
pub fn jupiter_mag(circumstances: Circumstances) -> f64 {
    circumstances.at_distance(circumstances.phase_polynomial(&[-9.395, -3.7e-4, 6.16e-4]))
}

/// Saturn with its rings. Source: eq. 10.
///
/// Ring openings: planetocentric latitudes of Sun and observer over the ring plane; with opposite
/// signs the dark side faces us and the rings add nothing.
pub fn saturn_mag(
    circumstances: Circumstances,
    opening_sun_deg: f64,
    opening_earth_deg: f64,
) -> f64 {
    let product = opening_sun_deg * opening_earth_deg;
    let sin_opening = product.max(0.0).sqrt().to_radians().sin();
    let a = circumstances.phase_angle_deg;
    circumstances.at_distance(
        -8.914 - 1.825 * sin_opening + 0.026 * a - 0.378 * sin_opening * (-2.25 * a).exp(),
    )
}

/// Uranus. Source: eqs. 13-14; latitudes of Sun and observer (planetocentric; the difference from
/// planetographic ones is below 0.001 mag).
pub fn uranus_mag(
    circumstances: Circumstances,
    latitude_sun_deg: f64,
    latitude_earth_deg: f64,
) -> f64 {
    let mean_latitude_deg = 0.5 * (latitude_sun_deg.abs() + latitude_earth_deg.abs());
    let phase = if circumstances.phase_angle_deg > 3.1 {
        circumstances.phase_polynomial(&[0.0, 6.587e-3, 1.045e-4])
    } else {
        0.0
    };
    circumstances.at_distance(-7.110 - 8.4e-4 * mean_latitude_deg + phase)
}

/// Neptune, which brightened between 1980 and 2000. Source: eqs. 16 and 17.
pub fn neptune_mag(circumstances: Circumstances, year: f64) -> f64 {
    let phase = if circumstances.phase_angle_deg > 1.9 {
        circumstances.phase_polynomial(&[0.0, 7.944e-3, 9.617e-5])
    } else {
        0.0
    };
    circumstances.at_distance((-6.89 - 0.0054 * (year - 1980.0)).clamp(-7.00, -6.89) + phase)
}

/// An asteroid by H and G, in V; the two phase functions of the IAU system of 1985. Within some 0.1 mag
/// up to phase angles of 120 degrees, beside what its turning adds (0.1 to 0.3 mag for most).
/// Source: Bowell et al. 1989, in Asteroids II, 524; its simplified phase functions.
pub fn asteroid_mag(circumstances: Circumstances, h_mag: f64, g: f64) -> f64 {
    let tan_half = (0.5 * circumstances.phase_angle_deg).to_radians().tan();
    let phase_1 = (-3.33 * tan_half.powf(0.63)).exp();
    let phase_2 = (-1.87 * tan_half.powf(1.22)).exp();
    circumstances.at_distance(h_mag - 2.5 * ((1.0 - g) * phase_1 + g * phase_2).log10())
}

/// A comet's total magnitude, the law that catalogues of comets use: what it does is its own affair, and
/// half a magnitude is a good forecast. `k1` is 2.5 times the exponent of the distance from the Sun.
pub fn comet_mag(circumstances: Circumstances, m1_mag: f64, k1: f64) -> f64 {
    m1_mag + 5.0 * circumstances.distance_au.log10() + k1 * circumstances.sun_distance_au.log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_ceres(
        h_mag: f64,
        [sun_distance_au, distance_au, phase_angle_deg]: [f64; 3],
        want_mag: f64,
    ) {
        let circumstances = Circumstances {
            sun_distance_au,
            distance_au,
            phase_angle_deg,
        };
        let got = asteroid_mag(circumstances, h_mag, 0.12);
        // The source's exact phase functions differ from its simplified ones by some thousandths.
        assert!((got - want_mag).abs() <= 0.01, "want {want_mag}, got {got}");
    }

    #[test]
    fn ceres_as_published() {
        // JPL Horizons, 1 Ceres, geocentric, 2000-01-01 and four dates of 2022 (answers kept with the tests
        // of astroquery).
        check_ceres(3.53, [2.551099, 2.263151, 22.5698], 8.459);
        check_ceres(3.33, [2.603715, 3.517316, 8.3884], 8.741);
        check_ceres(3.33, [2.598112, 3.553518, 6.5293], 8.672);
        check_ceres(3.33, [2.592764, 3.578445, 4.6879], 8.586);
        check_ceres(3.33, [2.587682, 3.591889, 2.9797], 8.487);
    }

    #[test]
    fn a_comet_brightens_toward_the_sun_and_toward_us() {
        // The law itself: m = M1 + 5 log delta + k1 log r.
        let mag = |sun_distance_au, distance_au| {
            let circumstances = Circumstances {
                sun_distance_au,
                distance_au,
                phase_angle_deg: 40.0,
            };
            comet_mag(circumstances, 6.5, 10.0)
        };
        assert_eq!(mag(1.0, 1.0), 6.5);
        assert!((mag(0.1, 1.0) + 3.5).abs() < 1e-12 && (mag(1.0, 10.0) - 11.5).abs() < 1e-12);
    }
}
