//! Where a moon stands, by the theory of its planet.

use crate::sky::Body;
use crate::sky::moons::satellite::Satellite;
use crate::sky::moons::{galilean, saturnian};
use crate::sky::vector::Vec3;

impl Satellite {
    /// From the planet's centre to the moon, geometric, ICRF axes, au, at days of TDB since J2000.0.
    ///
    /// Against JPL's ephemerides: Io within 50 km, Europa 180, Ganymede 150, Callisto 190, at 1,831 instants of 1999-2050 and
    /// six of the 1950s; Enceladus 250, Tethys, Dione and Titan 290, Rhea 240, Iapetus 840, at ten instants of
    /// 1950-2010. From the Earth that is at most 0.06", and 0.14" for Iapetus. After 2050 nothing is known.
    pub fn position_au(self, tdb_days: f64) -> Vec3 {
        match self.planet() {
            Body::Jupiter => galilean::position_au(self, tdb_days),
            _ => saturnian::position_au(self, tdb_days),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::AU_KM;
    use crate::sky::vector::length;

    /// Nearest and farthest over many revolutions against a(1 - e) and a(1 + e).
    #[track_caller]
    fn check_distance(moon: Satellite, axis_km: f64, eccentricity: f64) {
        let (mut nearest, mut farthest) = (f64::INFINITY, 0f64);
        for idx in 0..20_000 {
            let km = length(moon.position_au(-18_000.0 + 2.731 * f64::from(idx))) * AU_KM;
            (nearest, farthest) = (nearest.min(km), farthest.max(km));
        }
        // Forced and free eccentricities add up to as much as 0.002 more or less than the mean one.
        let slack_km = 0.002 * axis_km;
        for (what, got_km, want_km) in [
            ("nearest", nearest, axis_km * (1.0 - eccentricity)),
            ("farthest", farthest, axis_km * (1.0 + eccentricity)),
        ] {
            assert!(
                (got_km - want_km).abs() < slack_km,
                "{moon:?} {what}: want {want_km} ± {slack_km} km, got {got_km} km"
            );
        }
    }

    #[test]
    fn distances_are_those_of_the_mean_orbits() {
        // Mean semi-major axes and eccentricities: JPL planetary satellite mean elements (from memory).
        check_distance(Satellite::Io, 421_800.0, 0.0041);
        check_distance(Satellite::Europa, 671_100.0, 0.0094);
        check_distance(Satellite::Ganymede, 1_070_400.0, 0.0013);
        check_distance(Satellite::Callisto, 1_882_700.0, 0.0074);
        check_distance(Satellite::Enceladus, 238_000.0, 0.0047);
        check_distance(Satellite::Tethys, 294_700.0, 0.0001);
        check_distance(Satellite::Dione, 377_400.0, 0.0022);
        check_distance(Satellite::Rhea, 527_100.0, 0.0010);
        check_distance(Satellite::Titan, 1_221_900.0, 0.0288);
        check_distance(Satellite::Iapetus, 3_561_700.0, 0.0286);
    }
}
