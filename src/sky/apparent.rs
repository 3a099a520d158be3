//! From where a body is to where it appears: light time, bending of light at the Sun, aberration.
//!
//! All vectors in GCRS axes, au; instants in days of TT (taken as TDB) since J2000.0. Outside the
//! ephemeris, 1950-2100, every function returns `None`.

use crate::constants::LIGHT_TIME_AU_DAYS;
use crate::sky::ephemeris::{EphemerisBody, State, barycentric_position_au, barycentric_state};
use crate::sky::vector::{Vec3, cross, difference, dot, length, scaled, sum, unit};

/// Schwarzschild radius of the Sun, au: 2 GM/c². IAU 2015 nominal solar mass parameter over c².
const SUN_SCHWARZSCHILD_AU: f64 = 1.974_125_743e-8;

/// A body seen by light that reaches the observer now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sighting {
    /// Where it appears: direction with aberration and light bending, length = `distance_au`.
    pub apparent_au: Vec3,
    /// From the observer to the body as it was when the light left.
    pub astrometric_au: Vec3,
    /// From the Sun (then) to the body (then).
    pub heliocentric_au: Vec3,
    /// Length of `astrometric_au`.
    pub distance_au: f64,
}

/// A body as seen by an observer moving with `observer` (barycentric).
///
/// Accuracy: that of the ephemeris (0.05") plus 0.001" for light bending by planets and the Sun's own
/// motion, left out.
pub fn sighting(target: EphemerisBody, observer: State, tt_days: f64) -> Option<Sighting> {
    let place_au = |days| barycentric_position_au(target, days);
    match target {
        EphemerisBody::Sun | EphemerisBody::Moon => {
            sighting_along(place_au, straight, observer, tt_days)
        }
        _ => sighting_of(place_au, observer, tt_days),
    }
}

/// The same of anything beyond the Moon whose barycentric place is known at each instant.
pub fn sighting_of(
    place_au: impl Fn(f64) -> Option<Vec3>,
    observer: State,
    tt_days: f64,
) -> Option<Sighting> {
    sighting_along(place_au, bent_by_sun, observer, tt_days)
}

/// How light bends on its way: the direction, the body and the observer as seen from the Sun.
type Bend = fn(Vec3, Vec3, Vec3) -> Vec3;

fn straight(direction: Vec3, _: Vec3, _: Vec3) -> Vec3 {
    direction
}

fn sighting_along(
    place_au: impl Fn(f64) -> Option<Vec3>,
    bend: Bend,
    observer: State,
    tt_days: f64,
) -> Option<Sighting> {
    let (astrometric_au, emitted_days) =
        light_time_solution(place_au, observer.position_au, tt_days)?;
    let sun_then_au = barycentric_position_au(EphemerisBody::Sun, emitted_days)?;
    let heliocentric_au = difference(sum(observer.position_au, astrometric_au), sun_then_au);
    let distance_au = length(astrometric_au);
    let direction = bend(
        scaled(astrometric_au, 1.0 / distance_au),
        heliocentric_au,
        difference(observer.position_au, sun_then_au),
    );
    let direction = aberrated(direction, observer.velocity_au_day);
    Some(Sighting {
        apparent_au: scaled(direction, distance_au),
        astrometric_au,
        heliocentric_au,
        distance_au,
    })
}

/// A body as seen from the Earth's centre.
pub fn geocentric_sighting(target: EphemerisBody, tt_days: f64) -> Option<Sighting> {
    sighting(
        target,
        barycentric_state(EphemerisBody::Earth, tt_days)?,
        tt_days,
    )
}

/// Where a body appears from the Earth's centre but for the bending of light at the Sun (0.02" at 20
/// degrees from it, 1.75" at its limb): half the work of [`geocentric_sighting`], and smooth enough
/// to interpolate.
pub fn geocentric_unbent_au(target: EphemerisBody, tt_days: f64) -> Option<Vec3> {
    geocentric_unbent_of_au(|days| barycentric_position_au(target, days), tt_days)
}

/// The same of anything whose barycentric place is known at each instant.
pub fn geocentric_unbent_of_au(
    place_au: impl Fn(f64) -> Option<Vec3>,
    tt_days: f64,
) -> Option<Vec3> {
    let earth = barycentric_state(EphemerisBody::Earth, tt_days)?;
    let (astrometric_au, _) = light_time_solution(place_au, earth.position_au, tt_days)?;
    let direction = aberrated(unit(astrometric_au), earth.velocity_au_day);
    Some(scaled(direction, length(astrometric_au)))
}

/// Vector from the observer to the body when its light left, and that instant.
pub(super) fn light_time_solution(
    place_au: impl Fn(f64) -> Option<Vec3>,
    observer_au: Vec3,
    tt_days: f64,
) -> Option<(Vec3, f64)> {
    let mut emitted_days = tt_days;
    let mut to_body = difference(place_au(emitted_days)?, observer_au);
    // Each round shrinks the error by v/c, 1e-4: from 40,000 km to a metre.
    for _ in 0..2 {
        emitted_days = tt_days - length(to_body) * LIGHT_TIME_AU_DAYS;
        to_body = difference(place_au(emitted_days)?, observer_au);
    }
    Some((to_body, emitted_days))
}

/// Direction after bending by the Sun's gravity.
///
/// Source: Klioner 2003, AJ 125, 1580. The Sun counts as a point even for a body behind its disc,
/// whose light does not reach us anyway: so do others, and places agree with theirs. Nearer to its
/// centre than its own radius as a lens (41") the formula has no meaning and is held.
pub(super) fn bent_by_sun(direction: Vec3, sun_to_body: Vec3, sun_to_observer: Vec3) -> Vec3 {
    let sun_distance_au = length(sun_to_observer);
    let from_sun = unit(sun_to_observer);
    let body_from_sun = unit(sun_to_body);
    let at_lens_radius = SUN_SCHWARZSCHILD_AU / sun_distance_au;
    let denominator = (1.0 + dot(body_from_sun, from_sun)).max(at_lens_radius);
    let strength = SUN_SCHWARZSCHILD_AU / sun_distance_au / denominator;
    let bend = cross(direction, cross(from_sun, body_from_sun));
    unit(sum(direction, scaled(bend, strength)))
}

/// Direction after stellar aberration, special relativity, for an observer of that barycentric
/// velocity.
pub fn aberrated(direction: Vec3, velocity_au_day: Vec3) -> Vec3 {
    let beta = scaled(velocity_au_day, LIGHT_TIME_AU_DAYS);
    let inverse_gamma = (1.0 - dot(beta, beta)).sqrt();
    let along = dot(direction, beta);
    unit(sum(
        scaled(direction, inverse_gamma),
        scaled(beta, 1.0 + along / (1.0 + inverse_gamma)),
    ))
}
