//! Which markings the turning of Mars and the Moon's sunrise bring tonight, and until when.

use chrono::{DateTime, Utc};

use crate::sky::terminator::{Selenographic, libration_gain_deg, low_sun, sun_altitude_deg};
use crate::sky::time::utc_from_tt;
use crate::sky::{Appearance, Body, Face};
use crate::targets::details::{Detail, details_of};
use crate::units::wrap_180_deg;

/// A marking of Mars on the side turned to us.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarsMarking {
    /// Which.
    pub detail: &'static Detail,
    /// West longitude from the middle of the disc: positive, it is still to come there, 14.6 degrees an hour;
    /// negative, it has passed.
    pub to_come_deg: f64,
    /// Cosine of its angle from the middle of the disc: 1 in the middle, 0 at the edge.
    pub facing: f64,
}

/// The albedo markings of Mars that face us, the most central first. Empty for any other body.
///
/// A marking counts within the window of its row, usually 50 degrees of longitude from the middle. Dust and
/// season are not in.
pub fn mars_markings(seen: &Appearance) -> Vec<MarsMarking> {
    let Face::Mars {
        central_meridian_deg,
        sub_earth_latitude_deg,
        ..
    } = seen.face
    else {
        return Vec::new();
    };
    let mut found: Vec<MarsMarking> = details_of(Body::Mars)
        .filter_map(|detail| {
            let to_come_deg = wrap_180_deg(detail.longitude_deg? - central_meridian_deg);
            let middle = Selenographic {
                longitude_deg: 0.0,
                latitude_deg: sub_earth_latitude_deg,
            };
            let place = Selenographic {
                longitude_deg: to_come_deg,
                latitude_deg: detail.latitude_deg?,
            };
            (to_come_deg.abs() <= detail.conditions.good_window_deg?).then_some(MarsMarking {
                detail,
                to_come_deg,
                facing: place.from_deg(&middle).to_radians().cos(),
            })
        })
        .collect();
    found.sort_by(|a, b| b.facing.total_cmp(&a.facing));
    found
}

/// A place on the Moon in low sunlight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtTerminator {
    /// Which.
    pub detail: &'static Detail,
    /// Height of the Sun over it now, degrees.
    pub sun_altitude_deg: f64,
    /// The Sun is rising there; else it is setting.
    pub morning: bool,
    /// Since when the light has been right, days of TT since J2000.0.
    pub from_tt_days: f64,
    /// Until when it will be.
    pub until_tt_days: f64,
}

impl AtTerminator {
    /// Since when.
    pub fn from_utc(&self) -> Option<DateTime<Utc>> {
        utc_from_tt(self.from_tt_days)
    }

    /// Until when.
    pub fn until_utc(&self) -> Option<DateTime<Utc>> {
        utc_from_tt(self.until_tt_days)
    }
}

/// The lunar details that stand in the low light they need, lowest Sun first: those whose rows bound the Sun's
/// height from both sides. `None` outside the ephemeris, 1950-2100.
///
/// Whether the Moon is up, and whether a telescope shows them, is decided elsewhere.
pub fn at_terminator(tt_days: f64) -> Option<Vec<AtTerminator>> {
    let mut found = Vec::new();
    for detail in details_of(Body::Moon) {
        let wanted = detail.conditions.good_sun_deg;
        let (Some(place), Some(low_deg), Some(high_deg)) =
            (place_of(detail), wanted.least, wanted.most)
        else {
            continue;
        };
        let sun_altitude_deg = sun_altitude_deg(&place, tt_days)?;
        if !wanted.holds(sun_altitude_deg) {
            continue;
        }
        // The light lasts days; ten before and after hold it whole, and no other.
        let span = (tt_days - 10.0, tt_days + 10.0);
        let lights = low_sun(&place, (low_deg, high_deg), span)?;
        let now = lights
            .iter()
            .find(|light| light.from_tt_days <= tt_days && tt_days <= light.until_tt_days);
        found.extend(now.map(|light| AtTerminator {
            detail,
            sun_altitude_deg,
            morning: light.morning,
            from_tt_days: light.from_tt_days,
            until_tt_days: light.until_tt_days,
        }));
    }
    found.sort_by(|a, b| a.sun_altitude_deg.total_cmp(&b.sun_altitude_deg));
    Some(found)
}

fn place_of(detail: &Detail) -> Option<Selenographic> {
    Some(Selenographic {
        longitude_deg: detail.longitude_deg?,
        latitude_deg: detail.latitude_deg?,
    })
}

/// A place near the Moon's edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearLimb {
    /// Which.
    pub detail: &'static Detail,
    /// Its angle from the edge now, degrees; negative beyond it.
    pub from_limb_deg: f64,
    /// How much of that it owes to tonight's libration: positive, tilted toward us.
    pub gain_deg: f64,
}

/// Farther from the disc's mean middle than this, libration decides how a place looks, degrees: at 60, seven
/// degrees change its foreshortening by a quarter.
const NEAR_LIMB_DEG: f64 = 60.0;

/// The lunar details near the edge, best tilted toward us first. Empty for any other body.
pub fn near_limb(seen: &Appearance) -> Vec<NearLimb> {
    let Face::Moon {
        libration_longitude_deg,
        libration_latitude_deg,
        ..
    } = seen.face
    else {
        return Vec::new();
    };
    let middle = Selenographic {
        longitude_deg: libration_longitude_deg,
        latitude_deg: libration_latitude_deg,
    };
    let mut found: Vec<NearLimb> = details_of(Body::Moon)
        .filter_map(|detail| {
            let place = place_of(detail)?;
            let gain_deg = libration_gain_deg(&place, &middle);
            let from_limb_deg = 90.0 - place.from_deg(&middle);
            (from_limb_deg - gain_deg < 90.0 - NEAR_LIMB_DEG).then_some(NearLimb {
                detail,
                from_limb_deg,
                gain_deg,
            })
        })
        .collect();
    found.sort_by(|a, b| b.gain_deg.total_cmp(&a.gain_deg));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::appearance::Scene;
    use crate::sky::earth::Place;
    use crate::sky::meridian::Meridian;
    use crate::sky::time::tt_days;
    use crate::targets::details::detail;
    use crate::targets::moon::{MoonPlace, sun_altitude_on_moon_deg};

    fn seen(body: Body, tt_days: f64) -> Appearance {
        let utc = utc_from_tt(tt_days).expect("in range");
        let scene = Scene::new(Place::new(43.2, -2.9, 40.0), utc).expect("in range");
        scene.appearance(body).expect("in range")
    }

    #[test]
    fn a_marking_in_the_middle_crosses_the_meridian() {
        let syrtis = detail("mars_syrtis").expect("a row of the table");
        let from = tt_days("2027-02-15T00:00:00Z".parse().expect("an instant"));
        // One or two a day, 24 h 37 min apart, seen 0.01 degrees from the topocentric middle at most.
        let longitude_deg = syrtis.longitude_deg.expect("it has a place");
        let transits = Meridian::Mars.transits(longitude_deg, from, from + 5.0);
        let transits = transits.expect("in range");
        assert!((4..=5).contains(&transits.len()), "{transits:?}");
        for at in transits {
            let markings = mars_markings(&seen(Body::Mars, at));
            let here = markings
                .iter()
                .find(|marking| marking.detail.id == "mars_syrtis")
                .expect("in the middle");
            assert!(here.to_come_deg.abs() < 0.02, "{here:?}");
            // An hour before, 14.6 degrees to come.
            let before = mars_markings(&seen(Body::Mars, at - 1.0 / 24.0));
            let here = before
                .iter()
                .find(|marking| marking.detail.id == "mars_syrtis")
                .expect("still near");
            assert!((here.to_come_deg - 14.6).abs() < 0.1, "{here:?}");
        }
        assert!(mars_markings(&seen(Body::Moon, from)).is_empty());
    }

    #[test]
    fn light_lasts_while_the_sun_is_low() {
        let at = tt_days("2026-12-17T19:00:00Z".parse().expect("an instant"));
        let found = at_terminator(at).expect("in range");
        assert!(!found.is_empty());
        let Face::Moon {
            colongitude_deg,
            subsolar_latitude_deg,
            ..
        } = seen(Body::Moon, at).face
        else {
            panic!("the Moon has a Moon's face");
        };
        for one in &found {
            assert!(one.from_tt_days <= at && at <= one.until_tt_days, "{one:?}");
            // First quarter: it is morning everywhere along the terminator.
            assert!(one.morning, "{one:?}");
            let place = MoonPlace {
                latitude_deg: one.detail.latitude_deg.expect("it has a place"),
                longitude_deg: one.detail.longitude_deg.expect("it has a place"),
            };
            // Meeus' formula: the other road.
            let formula_deg =
                sun_altitude_on_moon_deg(&place, colongitude_deg, subsolar_latitude_deg);
            assert!(
                (one.sun_altitude_deg - formula_deg).abs() < 0.005,
                "{one:?}"
            );
        }
        assert_eq!(at_terminator(50_000.0), None);
    }

    #[test]
    fn libration_shows_one_edge_and_hides_the_other() {
        let at = tt_days("2026-12-17T19:00:00Z".parse().expect("an instant"));
        let moon = seen(Body::Moon, at);
        let Face::Moon {
            libration_longitude_deg,
            ..
        } = moon.face
        else {
            panic!("the Moon has a Moon's face");
        };
        let found = near_limb(&moon);
        assert!(
            found
                .iter()
                .any(|one| one.detail.id == "moon_grimaldi_floor")
        );
        for one in found {
            // Near the equator the gain is the libration in longitude, east for the eastern edge.
            let longitude_deg = one.detail.longitude_deg.expect("it has a place");
            let latitude_deg = one.detail.latitude_deg.expect("it has a place");
            if latitude_deg.abs() < 12.0 {
                let want_deg =
                    libration_longitude_deg.copysign(libration_longitude_deg * longitude_deg);
                assert!((one.gain_deg - want_deg).abs() < 1.5, "{one:?}, {want_deg}");
            }
            assert!(one.from_limb_deg < 40.0, "{one:?}");
        }
    }
}
