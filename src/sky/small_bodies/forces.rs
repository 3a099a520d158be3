//! What pulls at a small body beside the Sun's plain attraction.

use crate::constants::{AU_KM, LIGHT_TIME_AU_DAYS, SECONDS_PER_DAY};
use crate::sky::ephemeris::{EphemerisBody, barycentric_position_au};
use crate::sky::kepler::Motion;
use crate::sky::vector::{Vec3, difference, dot, length, scaled, sum};

/// au³ per day², from km³ per s².
const fn au3_day2(km3_s2: f64) -> f64 {
    km3_s2 / AU_KM * SECONDS_PER_DAY / AU_KM * SECONDS_PER_DAY / AU_KM
}

/// Gravitational parameter of the Sun. Source of all: Park et al. 2021, AJ 161, 105 (DE440).
pub(super) const SUN_AU3_DAY2: f64 = au3_day2(132_712_440_041.279_42);

/// Those of the planets with their moons. The Moon is taken to stand where the Earth does: the pair's
/// pull on what comes no nearer than 0.05 au differs by less than 1e-5 of itself on average.
const PLANETS_AU3_DAY2: [(EphemerisBody, f64); 8] = [
    (EphemerisBody::Mercury, au3_day2(22_031.868_551)),
    (EphemerisBody::Venus, au3_day2(324_858.592)),
    (
        EphemerisBody::Earth,
        au3_day2(398_600.435_507 + 4_902.800_118),
    ),
    (EphemerisBody::Mars, au3_day2(42_828.375_816)),
    (EphemerisBody::Jupiter, au3_day2(126_712_764.1)),
    (EphemerisBody::Saturn, au3_day2(37_940_584.841_8)),
    (EphemerisBody::Uranus, au3_day2(5_794_556.4)),
    (EphemerisBody::Neptune, au3_day2(6_836_527.100_58)),
];

/// A disturbing pull at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pull {
    /// Acceleration against the Sun, ICRF axes.
    pub(super) au_day2: Vec3,
    /// The way to the nearest planet.
    pub(super) nearest_planet_au: f64,
}

/// By the eight planets, directly and by what they do to the Sun, and the first post-Newtonian term of
/// the Sun. `None` outside the ephemeris.
pub(super) fn pull(heliocentric: Motion, tt_days: f64) -> Option<Pull> {
    let sun_au = barycentric_position_au(EphemerisBody::Sun, tt_days)?;
    let mut au_day2 = beyond_newton_au_day2(heliocentric);
    let mut nearest_planet_au = f64::INFINITY;
    for (planet, mass) in PLANETS_AU3_DAY2 {
        let planet_au = difference(barycentric_position_au(planet, tt_days)?, sun_au);
        let way_au = difference(planet_au, heliocentric.position_au);
        let (distance_au, from_sun_au) = (length(way_au), length(planet_au));
        let direct = scaled(way_au, mass / distance_au.powi(3));
        let of_sun = scaled(planet_au, mass / from_sun_au.powi(3));
        au_day2 = sum(au_day2, difference(direct, of_sun));
        nearest_planet_au = nearest_planet_au.min(distance_au);
    }
    Some(Pull {
        au_day2,
        nearest_planet_au,
    })
}

/// Source: IERS Conventions 2010, eq. 10.12, first line, with the Sun in the Earth's stead.
fn beyond_newton_au_day2(heliocentric: Motion) -> Vec3 {
    let (r, v) = (heliocentric.position_au, heliocentric.velocity_au_day);
    let distance_au = length(r);
    let strength = SUN_AU3_DAY2 * LIGHT_TIME_AU_DAYS.powi(2) / distance_au.powi(3);
    let along_r = 4.0 * SUN_AU3_DAY2 / distance_au - dot(v, v);
    scaled(
        sum(scaled(r, along_r), scaled(v, 4.0 * dot(r, v))),
        strength,
    )
}
