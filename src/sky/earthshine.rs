//! The night side of the Moon, lit by the Earth.

use crate::constants::ARCSEC_PER_RAD;
use crate::sky::Body;
use crate::sky::magnitude::{Circumstances, earth_mag, moon_mag, sun_mag};

/// Surface brightness of the Moon's earthlit side, V magnitudes per square arcsecond, outside the atmosphere;
/// `elongation_deg` of the Moon from the Sun, seen from the Earth (also the Earth's phase angle seen from the
/// Moon). `None` beyond the Earth's phase law, 170 degrees.
///
/// The full Moon's surface brightness, dimmed by how much fainter the Earth is than the Sun seen from there: the
/// ground sends earthlight straight back, as it does sunlight at full moon. Mean of seas (half a magnitude
/// fainter) and highlands. Weather on the Earth moves it by 0.25 magnitudes from hour to hour; published
/// measurements run from 12 to 17 (Montañés-Rodríguez, Pallé & Goode 2007, Astron. J. 134, 1145).
pub fn earthshine_mag_arcsec2(
    elongation_deg: f64,
    moon_distance_au: f64,
    sun_distance_au: f64,
) -> Option<f64> {
    if !(0.0..=EARTH_LAW_DEG).contains(&elongation_deg) {
        return None;
    }
    let full = Circumstances {
        sun_distance_au,
        distance_au: moon_distance_au,
        phase_angle_deg: 0.0,
    };
    let radius_arcsec = Body::Moon.semidiameter_rad(moon_distance_au) * ARCSEC_PER_RAD;
    let disc_arcsec2 = std::f64::consts::PI * radius_arcsec * radius_arcsec;
    let sunlit_mag_arcsec2 = moon_mag(full) + 2.5 * disc_arcsec2.log10();
    let earth_mag = earth_mag(Circumstances {
        phase_angle_deg: elongation_deg,
        ..full
    });
    Some(sunlit_mag_arcsec2 + earth_mag - sun_mag(sun_distance_au))
}

/// Largest phase angle of the Earth's law, degrees. Source: Mallama & Hilton 2018.
const EARTH_LAW_DEG: f64 = 170.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::AU_KM;

    #[track_caller]
    fn check(elongation_deg: f64, low: f64, high: f64) {
        let got = earthshine_mag_arcsec2(elongation_deg, 384_400.0 / AU_KM, 1.0).expect("in range");
        assert!(
            (low..=high).contains(&got),
            "earthshine at {elongation_deg} degrees: {got}"
        );
    }

    #[test]
    fn earthshine_lies_where_it_was_measured() {
        // Montañés-Rodríguez et al. 2007, abstract: "between +12 and +17"; their phases reach from thin crescents
        // to beyond the quarters.
        for elongation_deg in [20.0, 45.0, 90.0, 120.0] {
            check(elongation_deg, 12.0, 17.0);
        }
        // Near new moon some 13, as commonly said (from memory, half a magnitude).
        check(30.0, 12.7, 13.7);
        assert_eq!(earthshine_mag_arcsec2(175.0, 0.00257, 1.0), None);
    }
}
