//! The turning Earth: precession-nutation, rotation, and an observer on its surface.
//!
//! Precession IAU 2006, nutation IAU 2000B (1 mas), Earth rotation angle IAU 2000; polar motion
//! (0.5" of the place, 15 m) is left out.
//!
//! Frames used in this room: GCRS (the star catalogue's axes, centred on the Earth), *true* (true
//! equator and equinox of date), *intermediate* (the same equator, but the longitude origin that
//! does not rotate: hour angles are Earth rotation angle minus longitude, nothing else).

use std::sync::LazyLock;

use erfa::time::S06;
use erfa::transform::geodetic_to_geocentric;
use erfa::{Ellipsoid, prenut};

use crate::constants::{AU_KM, J2000_JD, JULIAN_CENTURY_DAYS};
use crate::sky::vector::{
    Mat3, Vec3, cross, difference, dot, length, rotated, scaled, sum, turned_about_z,
};
use crate::tables;
use crate::units::{M_PER_KM, rad_from_arcsec};

/// Rotation of the Earth, radians per day of UT1. IERS Conventions 2010, eq. 5.15.
const ROTATION_RAD_DAY: f64 = 1.002_737_811_911_354_5 * std::f64::consts::TAU;

/// How the Earth's equator lies among the stars at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equator {
    /// GCRS to true equator and equinox of date.
    pub true_of_date: Mat3,
    /// Equation of the origins, radians: longitude (true) minus longitude (intermediate), negated;
    /// apparent sidereal time = Earth rotation angle - this.
    pub origins_rad: f64,
}

impl Equator {
    /// GCRS to the intermediate frame of date: the true equator, longitudes counted from the origin
    /// that does not rotate.
    pub fn intermediate(&self) -> Mat3 {
        let [x, y, z] = self.true_of_date;
        let (sin, cos) = self.origins_rad.sin_cos();
        [
            difference(scaled(x, cos), scaled(y, sin)),
            sum(scaled(x, sin), scaled(y, cos)),
            z,
        ]
    }
}

/// The equator at so many days of TT since J2000.0.
///
/// Within 1 mas of IAU 2006/2000A from 1995 to 2050 (McCarthy & Luzum 2003), some mas in 1950-2100.
pub fn equator(tt_days: f64) -> Equator {
    let (gamma, phi, psi, epsilon) = prenut::precession_angles_fw06(J2000_JD, tt_days);
    let nutation = nutation_2000b(tt_days);
    let true_of_date = prenut::fw_to_matrix(
        gamma,
        phi,
        psi + nutation.longitude_rad,
        epsilon + nutation.obliquity_rad,
    );
    let (x, y) = prenut::bpn_to_xy(true_of_date);
    let s = S06(J2000_JD, tt_days, x, y);
    Equator {
        true_of_date,
        origins_rad: prenut::eors(true_of_date, s),
    }
}

/// Mean obliquity of the ecliptic of date, radians, IAU 2006.
pub fn mean_obliquity_rad(tt_days: f64) -> f64 {
    prenut::obliquity_06(J2000_JD, tt_days)
}

/// Earth rotation angle, radians in `[0, 4 pi)`, at so many days of UT1 since J2000.0.
///
/// Whole turns are dropped before they can eat digits: within 1e-9 rad over 1950-2100.
/// Source: IERS Conventions 2010, eq. 5.15.
pub fn rotation_angle_rad(ut1_days: f64) -> f64 {
    let beyond_solar_turns = 0.779_057_273_264_0 + 0.002_737_811_911_354_48 * ut1_days;
    let turns = (beyond_solar_turns - beyond_solar_turns.floor()) + (ut1_days - ut1_days.floor());
    turns * std::f64::consts::TAU
}

/// Nutation of the true pole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nutation {
    /// In longitude.
    pub longitude_rad: f64,
    /// In obliquity.
    pub obliquity_rad: f64,
}

/// One term of the series: multipliers of the five fundamental arguments; then amplitudes in units of 0.1 microarcsecond, `t`
/// in Julian centuries: in longitude sine, `t` sine and cosine, in obliquity cosine, `t` cosine and sine.
type NutationTerm = ([f64; 5], [f64; 3], [f64; 3]);

static NUTATION_TERMS: LazyLock<Vec<NutationTerm>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/nutation_2000b.tsv")));

/// Nutation IAU 2000B: 77 luni-solar terms and a constant for the planets.
///
/// Source: McCarthy & Luzum 2003, Celest. Mech. Dyn. Astr. 85, 37; table in data/.
pub fn nutation_2000b(tt_days: f64) -> Nutation {
    let t = tt_days / JULIAN_CENTURY_DAYS;
    let arguments = fundamental_arguments_rad(t);
    let (mut longitude, mut obliquity) = (0.0, 0.0);
    // Smallest terms first: the sum loses less.
    for (multipliers, in_longitude, in_obliquity) in NUTATION_TERMS.iter().rev() {
        let argument: f64 = (multipliers.iter().zip(arguments))
            .map(|(m, a)| m * a)
            .sum();
        let (sin, cos) = argument.sin_cos();
        let [sin_0, sin_t, cos_0] = in_longitude;
        longitude += (sin_0 + sin_t * t) * sin + cos_0 * cos;
        let [cos_0, cos_t, sin_0] = in_obliquity;
        obliquity += (cos_0 + cos_t * t) * cos + sin_0 * sin;
    }
    // Mean effect of the planetary terms that were cut, mas: same source.
    let (planets_longitude_mas, planets_obliquity_mas) = (-0.135, 0.388);
    Nutation {
        longitude_rad: rad_from_arcsec(longitude * 1e-7 + planets_longitude_mas * 1e-3),
        obliquity_rad: rad_from_arcsec(obliquity * 1e-7 + planets_obliquity_mas * 1e-3),
    }
}

/// Mean anomaly of Moon and Sun, argument of latitude, elongation, node of the Moon: the linear
/// forms that belong to IAU 2000B. Source: Simon et al. 1994, as adopted there.
fn fundamental_arguments_rad(t: f64) -> [f64; 5] {
    [
        (485_868.249_036, 1_717_915_923.217_8),
        (1_287_104.793_05, 129_596_581.048_1),
        (335_779.526_232, 1_739_527_262.847_8),
        (1_072_260.703_69, 1_602_961_601.209_0),
        (450_160.398_036, -6_962_890.543_1),
    ]
    .map(|(at_j2000, per_century)| {
        const TURN_ARCSEC: f64 = 1_296_000.0;
        rad_from_arcsec((at_j2000 + per_century * t) % TURN_ARCSEC)
    })
}

/// A place on the Earth, ready for use: vectors in the Earth-fixed frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Above the ellipsoid.
    pub elevation_m: f64,
    /// From the Earth's centre, au.
    position_au: Vec3,
    /// Unit vectors toward east, north (horizon) and the zenith.
    axes: Mat3,
}

impl Place {
    /// A place on the WGS 84 ellipsoid. Latitude -90..90 and longitude in degrees (north and east
    /// positive), elevation in metres.
    pub fn new(latitude_deg: f64, longitude_deg: f64, elevation_m: f64) -> Self {
        let (longitude_rad, latitude_rad) = (longitude_deg.to_radians(), latitude_deg.to_radians());
        let position_m =
            geodetic_to_geocentric(Ellipsoid::WGS84, longitude_rad, latitude_rad, elevation_m)
                .expect("the WGS 84 ellipsoid itself is realistic");
        let (sin_lat, cos_lat) = latitude_rad.sin_cos();
        let (sin_lon, cos_lon) = longitude_rad.sin_cos();
        let zenith = [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat];
        let east = [-sin_lon, cos_lon, 0.0];
        Place {
            elevation_m,
            position_au: position_m.map(|m| m / M_PER_KM / AU_KM),
            axes: [east, cross(zenith, east), zenith],
        }
    }

    /// Position in the intermediate frame at an Earth rotation angle, au.
    pub fn position_au(&self, rotation_rad: f64) -> Vec3 {
        turned_about_z(self.position_au, -rotation_rad)
    }

    /// Velocity by the Earth's rotation in the intermediate frame, au per day.
    pub fn velocity_au_day(&self, rotation_rad: f64) -> Vec3 {
        cross([0.0, 0.0, ROTATION_RAD_DAY], self.position_au(rotation_rad))
    }

    /// East, north and up parts of a direction given in Earth-fixed axes.
    pub fn east_north_up(&self, fixed: Vec3) -> Vec3 {
        rotated(&self.axes, fixed)
    }

    /// East, north and up parts of the way from here to a point, geocentric and Earth-fixed, au.
    pub fn east_north_up_of(&self, fixed_au: Vec3) -> Vec3 {
        self.east_north_up(difference(fixed_au, self.position_au))
    }

    /// Sine of the altitude of such a point, and its distance in au: what a search for rise and set
    /// asks a hundred thousand times.
    pub fn up_and_distance_au(&self, fixed_au: Vec3) -> (f64, f64) {
        let way_au = difference(fixed_au, self.position_au);
        let distance_au = length(way_au);
        (dot(self.axes[2], way_au) / distance_au, distance_au)
    }

    /// Part of the way to such a point that lies west of the local meridian's plane, au: its sign is
    /// that of the sine of the topocentric hour angle.
    pub fn west_of_meridian(&self, fixed_au: Vec3) -> f64 {
        -dot(self.axes[0], difference(fixed_au, self.position_au))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::ARCSEC_PER_RAD;

    #[test]
    fn nutation_table_is_whole() {
        assert_eq!(NUTATION_TERMS.len(), 77);
    }

    #[test]
    fn nutation_follows_iau_2000a_within_its_claim() {
        // Reference: IAU 2000A in the erfa crate (checked there against the C library).
        // Claim: McCarthy & Luzum 2003, the pole within 1 mas in 1995-2050.
        let mut worst_mas = 0f64;
        for idx in 0..400 {
            let tt_days = -1826.0 + idx as f64 * 50.3;
            let (longitude, obliquity) = prenut::nut00a(J2000_JD, tt_days);
            let ours = nutation_2000b(tt_days);
            let pole_rad = [
                (ours.longitude_rad - longitude) * mean_obliquity_rad(tt_days).sin(),
                ours.obliquity_rad - obliquity,
            ];
            worst_mas = worst_mas.max(pole_rad[0].hypot(pole_rad[1]) * ARCSEC_PER_RAD * 1e3);
        }
        assert!(
            worst_mas < 1.0,
            "the pole lies {worst_mas} mas from IAU 2000A"
        );
    }

    #[test]
    fn sidereal_time_of_a_worked_example() {
        // Meeus, Astronomical Algorithms 2nd ed., example 12.a (from memory): 1987 April 10, 0h UT,
        // apparent sidereal time 13h 10m 46.1351s; IAU 1980 nutation and older precession: 5 ms.
        let utc_days = 2_446_895.5 - J2000_JD;
        let equator = equator(crate::sky::time::tt_from_utc_days(utc_days));
        let sidereal_h = (rotation_angle_rad(utc_days) - equator.origins_rad).to_degrees() / 15.0;
        let want_h = 13.0 + 10.0 / 60.0 + 46.1351 / 3600.0;
        assert!(
            ((sidereal_h - want_h) * 3600.0).abs() < 0.005,
            "want {want_h} h, got {sidereal_h} h"
        );
    }
}
