//! What the definitions of happenings ask for: angles between apparent places, and a search over a span.
//!
//! Everything geocentric, with light time, aberration and the bending of light at the Sun. Instants
//! must lie in the ephemeris' promised span, or less than a month beyond it.

use chrono::{DateTime, Utc};
use erfa::prenut;

use crate::constants::{J2000_JD, SECONDS_PER_DAY};
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::apparent::{Sighting, geocentric_sighting};
use crate::sky::earth::{Equator, equator, mean_obliquity_rad, nutation_2000b};
use crate::sky::search::Search;
use crate::sky::time::utc_from_tt;
use crate::sky::vector::{Vec3, angle_rad, cross, dot, rotated};

/// A twentieth of a second: far finer than anything is promised.
const TOLERANCE_DAYS: f64 = 0.05 / SECONDS_PER_DAY;

/// A body as the Earth's centre sees it.
pub fn seen(body: Body, tt_days: f64) -> Sighting {
    geocentric_sighting(body.target(), tt_days)
        .expect("happenings are looked for inside the ephemeris only")
}

/// Direction in which it appears, GCRS axes, as long as its distance in au.
pub fn apparent_au(body: Body, tt_days: f64) -> Vec3 {
    seen(body, tt_days).apparent_au
}

/// Angle between two bodies, radians.
pub fn separation_rad(a: Body, b: Body, tt_days: f64) -> f64 {
    angle_rad(apparent_au(a, tt_days), apparent_au(b, tt_days))
}

/// Pole of the ecliptic of date, GCRS axes: two of the angles of IAU 2006 precession are its place.
/// Nutation moves the equator, not the ecliptic.
pub fn ecliptic_pole(tt_days: f64) -> Vec3 {
    let (gamma, phi, _, _) = prenut::precession_angles_fw06(J2000_JD, tt_days);
    let ((sin_gamma, cos_gamma), (sin_phi, cos_phi)) = (gamma.sin_cos(), phi.sin_cos());
    [sin_phi * sin_gamma, -sin_phi * cos_gamma, cos_phi]
}

/// Pole of the true equator of date, GCRS axes.
pub fn equator_pole(tt_days: f64) -> Vec3 {
    equator(tt_days).true_of_date[2]
}

/// How far `a` is ahead of `b` in longitude about a pole, radians, within half a turn either way.
pub fn lead_rad(pole: Vec3, a: Vec3, b: Vec3) -> f64 {
    let sine = dot(pole, cross(b, a));
    let cosine = dot(a, b) - dot(a, pole) * dot(b, pole);
    sine.atan2(cosine)
}

/// Apparent ecliptic longitude, true equinox of date, radians.
pub fn ecliptic_longitude_rad(body: Body, tt_days: f64) -> f64 {
    let Equator { true_of_date, .. } = equator(tt_days);
    let obliquity_rad = mean_obliquity_rad(tt_days) + nutation_2000b(tt_days).obliquity_rad;
    let (sin, cos) = obliquity_rad.sin_cos();
    let [x, y, z] = rotated(&true_of_date, apparent_au(body, tt_days));
    (cos * y + sin * z).atan2(x)
}

/// An instant of the search, for who asks from outside.
pub fn utc(tt_days: f64) -> DateTime<Utc> {
    utc_from_tt(tt_days).expect("the ephemeris' years stand in the calendar")
}

/// A search over a span with that step, no longer than the span.
pub fn search_over(span: Span, step_days: f64) -> Search {
    Search {
        from: span.from_tt_days,
        until: span.until_tt_days,
        step: step_days,
        tolerance: TOLERANCE_DAYS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::vector::unrotated;

    #[test]
    fn the_ecliptic_has_one_pole_whichever_way_round() {
        for tt_days in [-18_000.0, 0.0, 9_800.0, 36_000.0] {
            let obliquity_rad = mean_obliquity_rad(tt_days) + nutation_2000b(tt_days).obliquity_rad;
            let of_date = [0.0, -obliquity_rad.sin(), obliquity_rad.cos()];
            let by_equator = unrotated(&equator(tt_days).true_of_date, of_date);
            let apart_rad = angle_rad(by_equator, ecliptic_pole(tt_days));
            // Both from IAU 2006: the same but for rounding.
            assert!(apart_rad < 1e-12, "{tt_days}: {apart_rad} rad");
        }
    }

    #[test]
    fn a_lead_in_longitude_is_the_difference_of_longitudes() {
        let tt_days = 9_800.3;
        let longitude_rad = |body| ecliptic_longitude_rad(body, tt_days);
        let lead = lead_rad(
            ecliptic_pole(tt_days),
            apparent_au(Body::Mars, tt_days),
            apparent_au(Body::Sun, tt_days),
        );
        let difference = longitude_rad(Body::Mars) - longitude_rad(Body::Sun);
        assert!(
            (lead - difference).sin().abs() < 1e-12,
            "{lead} {difference}"
        );
    }
}
