//! How bright a moon is, outside the atmosphere and outside its planet's shadow.

use crate::sky::magnitude::Circumstances;
use crate::sky::moons::Satellite;

/// Saturn's mean distance from the Sun, au: what "mean opposition" means below.
const SATURN_MEAN_AU: f64 = 9.555;

/// Apparent V magnitude.
///
/// `west_of_planet`: sine of the moon's place in its orbit as seen from the Earth, 1 at western, -1 at eastern
/// elongation; only Iapetus has two faces that differ by more than 0.2 mag.
///
/// Jupiter's moons: Harris 1961 (in Kuiper & Middlehurst, Planets and Satellites, p. 272), as the
/// Explanatory Supplement has them, zero points and phase laws from memory; means over their turning, some 0.1
/// mag. Saturn's: mean opposition magnitudes of the Astronomical Almanac, from memory; phase laws Noland et
/// al. 1974, Icarus 23, 334, or (Titan, Tethys, Dione, Enceladus) an estimate; some 0.2 mag.
pub fn satellite_mag(
    satellite: Satellite,
    circumstances: Circumstances,
    west_of_planet: f64,
) -> f64 {
    let a = circumstances.phase_angle_deg;
    let [at_unit_mag, slope, bend] = match satellite {
        Satellite::Io => [-1.90, 0.046, -0.0010],
        Satellite::Europa => [-1.53, 0.0312, -0.001_25],
        Satellite::Ganymede => [-2.16, 0.0323, -0.000_66],
        Satellite::Callisto => [-1.20, 0.078, -0.002_74],
        Satellite::Titan => [unit_mag(8.28), 0.004, 0.0],
        Satellite::Rhea => [unit_mag(9.7), 0.028, 0.0],
        Satellite::Tethys => [unit_mag(10.2), 0.02, 0.0],
        Satellite::Dione => [unit_mag(10.4), 0.02, 0.0],
        Satellite::Enceladus => [unit_mag(11.7), 0.02, 0.0],
        Satellite::Iapetus => {
            // Bright trailing face at western, dark leading face at eastern elongation; between them the disc
            // turns from one to the other.
            let bright = 0.5 * (1.0 + west_of_planet.clamp(-1.0, 1.0));
            let between = |at_west: f64, at_east: f64| at_east + (at_west - at_east) * bright;
            [unit_mag(between(10.2, 11.9)), between(0.03, 0.05), 0.0]
        }
    };
    at_unit_mag
        + slope * a
        + bend * a * a
        + 5.0 * (circumstances.sun_distance_au * circumstances.distance_au).log10()
}

/// Magnitude at unit distances of a moon of Saturn from the one at mean opposition.
fn unit_mag(at_mean_opposition_mag: f64) -> f64 {
    at_mean_opposition_mag - 5.0 * (SATURN_MEAN_AU * (SATURN_MEAN_AU - 1.0)).log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(satellite: Satellite, phase_angle_deg: f64, west: f64, want: f64, tolerance: f64) {
        let sun_distance_au = match satellite.planet() {
            crate::sky::Body::Jupiter => 5.203,
            _ => SATURN_MEAN_AU,
        };
        let circumstances = Circumstances {
            sun_distance_au,
            distance_au: sun_distance_au - 1.0,
            phase_angle_deg,
        };
        let got = satellite_mag(satellite, circumstances, west);
        assert!(
            (got - want).abs() <= tolerance,
            "{satellite:?}: want {want} ± {tolerance}, got {got}"
        );
    }

    #[test]
    fn as_bright_at_opposition_as_commonly_said() {
        // Mean opposition magnitudes of the Astronomical Almanac (from memory). Its zero points leave the surge
        // near opposition out: met at 6 degrees of phase, where Harris' curves have left it behind. The two
        // differ by 0.2 mag for Callisto.
        check(Satellite::Io, 6.0, 0.0, 5.02, 0.1);
        check(Satellite::Europa, 6.0, 0.0, 5.29, 0.1);
        check(Satellite::Ganymede, 6.0, 0.0, 4.61, 0.15);
        check(Satellite::Callisto, 6.0, 0.0, 5.65, 0.25);
        check(Satellite::Titan, 0.0, 0.0, 8.28, 0.005);
        check(Satellite::Iapetus, 0.0, 1.0, 10.2, 0.05);
        check(Satellite::Iapetus, 0.0, -1.0, 11.9, 0.05);
    }
}
