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
