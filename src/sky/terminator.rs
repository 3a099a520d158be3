//! Morning and evening on the Moon: how high the Sun stands over a place there, and when it passes a height.

use crate::constants::{LIGHT_TIME_AU_DAYS, SECONDS_PER_DAY};
use crate::sky::Body;
use crate::sky::apparent::{Sighting, aberrated, geocentric_sighting};
use crate::sky::ephemeris::{EphemerisBody, barycentric_state};
use crate::sky::rotation::rotation;
use crate::sky::search::{Crossing, Search, crossings};
use crate::sky::vector::{angle_rad, direction, dot, scaled, unit};

/// A place on the Moon, mean-Earth frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Selenographic {
    /// East (toward Mare Crisium) positive.
    pub longitude_deg: f64,
    /// North positive.
    pub latitude_deg: f64,
}

impl Selenographic {
    /// Angle between two places, seen from the Moon's middle, degrees.
    pub fn from_deg(&self, other: &Selenographic) -> f64 {
        let toward = |place: &Selenographic| direction(place.longitude_deg, place.latitude_deg);
        angle_rad(toward(self), toward(other)).to_degrees()
    }
}

/// The place below the Sun, as the light that reaches the Earth's centre now shows it. `None` outside the
/// ephemeris, 1950-2100.
pub fn subsolar_place(tt_days: f64) -> Option<Selenographic> {
    subsolar_as_seen(&geocentric_sighting(EphemerisBody::Moon, tt_days)?, tt_days)
}

/// The same as the light of a sighting of the Moon shows it.
pub(super) fn subsolar_as_seen(seen: &Sighting, tt_days: f64) -> Option<Selenographic> {
    let emitted_days = tt_days - seen.distance_au * LIGHT_TIME_AU_DAYS;
    let moon = barycentric_state(EphemerisBody::Moon, emitted_days)?;
    let to_sun = unit(scaled(seen.heliocentric_au, -1.0));
    // The moving Moon meets the sunlight aslant, by 0.0057 degrees: 20 s of the terminator's way.
    let to_sun = aberrated(to_sun, moon.velocity_au_day);
    let (longitude_deg, latitude_deg) =
        rotation(Body::Moon, emitted_days).longitude_latitude_deg(to_sun);
    Some(Selenographic {
        longitude_deg,
        latitude_deg,
    })
}

/// Height of the Sun's middle over a place on the Moon, degrees. `None` outside the ephemeris.
pub fn sun_altitude_deg(place: &Selenographic, tt_days: f64) -> Option<f64> {
    Some(90.0 - place.from_deg(&subsolar_place(tt_days)?))
}

/// When the Sun passes a height over a place on the Moon: rising in its morning, falling in its evening; all
/// instants in `[from, until)`, days of TT since J2000.0. `None` outside the ephemeris.
///
/// Accuracy: the theory of the Moon's turning, 0.005 degrees of longitude: 40 s at the equator. Level ground: a
/// hill that is a kilometre high sees the Sun two degrees earlier.
pub fn sun_passages(
    place: &Selenographic,
    altitude_deg: f64,
    from_tt_days: f64,
    until_tt_days: f64,
) -> Option<Vec<Crossing>> {
    subsolar_place(from_tt_days - 2.0 * STEP_DAYS)?;
    subsolar_place(until_tt_days + 2.0 * STEP_DAYS)?;
    let search = Search {
        from: from_tt_days,
        until: until_tt_days,
        step: STEP_DAYS,
        tolerance: 1.0 / SECONDS_PER_DAY,
    };
    let overhead = direction(place.longitude_deg, place.latitude_deg);
    let sin_wanted = altitude_deg.to_radians().sin();
    Some(crossings(search, |tt_days| {
        let sun = subsolar_place(tt_days).map_or([f64::NAN; 3], |sun| {
            direction(sun.longitude_deg, sun.latitude_deg)
        });
        dot(overhead, sun) - sin_wanted
    }))
}

/// The Sun goes round once in 29.5 days.
const STEP_DAYS: f64 = 3.0;

/// A stretch of time in which the Sun stands between two heights over a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowSun {
    /// Days of TT since J2000.0; the start of the search if it began before.
    pub from_tt_days: f64,
    /// The end of the search if it lasts longer.
    pub until_tt_days: f64,
    /// The Sun is rising there: the morning terminator has just passed. Else it is setting.
    pub morning: bool,
}

/// All stretches between two heights, `low_deg < high_deg`, in a span: how long a place stands at the
/// terminator. Where the Sun does not climb past `high_deg` (near the poles), one stretch lasts from morning to
/// evening and counts as morning. `None` outside the ephemeris.
pub fn low_sun(
    place: &Selenographic,
    (low_deg, high_deg): (f64, f64),
    (from_tt_days, until_tt_days): (f64, f64),
) -> Option<Vec<LowSun>> {
    let passages = |altitude_deg| sun_passages(place, altitude_deg, from_tt_days, until_tt_days);
    let mut edges: Vec<Crossing> = passages(low_deg)?;
    edges.extend(passages(high_deg)?);
    edges.sort_by(|a, b| a.at.total_cmp(&b.at));
    let inside = |tt_days: f64| {
        let altitude_deg = sun_altitude_deg(place, tt_days)?;
        Some(low_deg <= altitude_deg && altitude_deg <= high_deg)
    };
    let mut bounds = vec![from_tt_days];
    bounds.extend(edges.iter().map(|edge| edge.at));
    bounds.push(until_tt_days);
    let mut stretches = Vec::new();
    for two in bounds.windows(2) {
        let middle = 0.5 * (two[0] + two[1]);
        if two[0] < two[1] && inside(middle)? {
            stretches.push(LowSun {
                from_tt_days: two[0],
                until_tt_days: two[1],
                morning: is_rising(place, two[0], two[1])?,
            });
        }
    }
    Some(stretches)
}

/// Whether the Sun is climbing in the first minutes of a stretch.
fn is_rising(place: &Selenographic, from: f64, until: f64) -> Option<bool> {
    let soon = from + (0.01 * (until - from)).min(0.01);
    Some(sun_altitude_deg(place, soon)? > sun_altitude_deg(place, from)?)
}

/// How much farther from the limb a place stands than at mean libration, degrees; `centre` is the middle of the
/// disc (its libration). Positive: tilted toward us.
pub fn libration_gain_deg(place: &Selenographic, centre: &Selenographic) -> f64 {
    const MEAN: Selenographic = Selenographic {
        longitude_deg: 0.0,
        latitude_deg: 0.0,
    };
    place.from_deg(&MEAN) - place.from_deg(centre)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::J2000_JD;
    use crate::sky::Face;
    use crate::sky::appearance::Scene;
    use crate::sky::earth::Place;
    use crate::sky::time::tt_days;
    use crate::units::wrap_180_deg;

    /// Copernicus: IAU/USGS Gazetteer of Planetary Nomenclature.
    const COPERNICUS: Selenographic = Selenographic {
        longitude_deg: -20.08,
        latitude_deg: 9.62,
    };

    #[test]
    fn the_sun_stands_as_high_as_in_a_worked_example() {
        // Meeus, Astronomical Algorithms 2nd ed., ch. 53 (from memory): 1992 April 12.0 TD, 9.7 N, 20.0 W, Sun at
        // +2.318 degrees. 0.022 degrees of the older axes, 0.003 of its places.
        let place = Selenographic {
            longitude_deg: -20.0,
            latitude_deg: 9.7,
        };
        let at = 2_448_724.5 - J2000_JD;
        let altitude_deg = sun_altitude_deg(&place, at).expect("in range");
        assert!((altitude_deg - 2.318).abs() < 0.025, "{altitude_deg}");
        // It rose 2.318 degrees before, at 0.508 degrees an hour (360 in 29.53 days) times the cosine of 9.7.
        let passages = sun_passages(&place, 0.0, at - 5.0, at + 20.0).expect("in range");
        let rose_h = 2.318 / (0.508 * 9.7f64.to_radians().cos());
        assert!(
            ((at - passages[0].at) * 24.0 - rose_h).abs() < 0.1,
            "{passages:?}"
        );
        assert_eq!(
            passages.iter().map(|one| one.rising).collect::<Vec<_>>(),
            [true, false]
        );
    }

    #[test]
    fn the_sun_stands_where_the_moons_face_has_it() {
        // The other road to the same place, held to the Moon's integrated orientation in tests/it.
        let utc = "2026-12-17T19:30:00Z".parse().expect("an instant");
        let geocentre = Place::new(0.0, 0.0, -6_378_137.0);
        let scene = Scene::new(geocentre, utc).expect("in range");
        let Some(Face::Moon {
            colongitude_deg,
            subsolar_latitude_deg,
            ..
        }) = scene.appearance(Body::Moon).map(|moon| moon.face)
        else {
            panic!("the Moon has a Moon's face");
        };
        let sun = subsolar_place(tt_days(utc)).expect("in range");
        assert!(wrap_180_deg(90.0 - sun.longitude_deg - colongitude_deg).abs() < 1e-6);
        assert!((sun.latitude_deg - subsolar_latitude_deg).abs() < 1e-6);
    }

    #[test]
    fn a_place_stands_at_the_terminator_twice_a_month() {
        let (from, until) = (9_800.0, 9_800.0 + 5.0 * 29.530_6);
        let found = low_sun(&COPERNICUS, (0.0, 12.0), (from, until)).expect("in range");
        let mornings = found.iter().filter(|one| one.morning).count();
        assert_eq!((found.len(), mornings), (10, 5), "{found:?}");
        for one in &found {
            // 12 degrees at 12.19 degrees a day (360 / 29.53), slanted by the latitude: a day, not cut.
            let days = one.until_tt_days - one.from_tt_days;
            assert!(
                (days - 12.0 / 12.19 / 9.62f64.to_radians().cos()).abs() < 0.08,
                "{one:?}"
            );
        }
    }

    #[test]
    fn libration_brings_edges_nearer() {
        // By hand: on the equator the angles add.
        let orientale = Selenographic {
            longitude_deg: -92.0,
            latitude_deg: 0.0,
        };
        let centre = Selenographic {
            longitude_deg: -7.0,
            latitude_deg: 0.0,
        };
        assert!((libration_gain_deg(&orientale, &centre) - 7.0).abs() < 1e-9);
    }
}
