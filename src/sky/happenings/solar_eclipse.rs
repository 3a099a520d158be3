//! Eclipses of the Sun: a caution, never a target.
//!
//! Where on the Earth the Moon's shadow falls is asked only as far as it names the kind; for the place, when
//! the Moon covers how much of the Sun's width.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::constants::AU_KM;
use crate::sky::Body;
use crate::sky::almanac::{Almanac, Span};
use crate::sky::earth::Place;
use crate::sky::happenings::frame::{apparent_au, search_over, utc};
use crate::sky::happenings::pairings::topocentric_separation_rad;
use crate::sky::search::{crossings, minima};
use crate::sky::vector::{Vec3, difference, dot, length, scaled};

/// The Earth's equatorial radius, au (WGS 84).
const EARTH_RADIUS_AU: f64 = 6_378.137 / AU_KM;

/// The Sun's radius in Earth radii: 959.63" at 1 au (Auwers 1891).
const SUN_RADIUS_EARTHS: f64 = 109.123;

/// The Moon's radius in Earth radii, with its mountains for the outer shadow, down to its valleys for the inner.
/// Espenak & Meeus 2006, Five Millennium Canon of Solar Eclipses (NASA TP-2006-214141).
const MOON_RADIUS_EARTHS: (f64, f64) = (0.272_488, 0.272_281);

/// How far from the Earth's centre, in equatorial radii, the shadow's axis may pass and still meet the flattened
/// Earth, on average. Meeus, Astronomical Algorithms 2nd ed., ch. 54.
const EARTH_SHADE_EARTHS: f64 = 0.9972;

/// What somebody somewhere sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SolarEclipseKind {
    /// Nowhere more than a part of the Sun covered.
    Partial,
    /// In a narrow track the Moon stands within the Sun.
    Annular,
    /// Annular in one part of the track and total in another.
    Hybrid,
    /// In a narrow track the Moon covers the Sun.
    Total,
}

/// One eclipse of the Sun.
#[derive(Debug, Clone, PartialEq)]
pub struct SolarEclipse {
    /// What somebody somewhere sees.
    pub kind: SolarEclipseKind,
    /// Least distance of the shadow's axis from the Earth's centre, equatorial radii.
    pub gamma_earths: f64,
    /// What the place sees; `None` where the Moon's shadow does not reach it while the Sun is up.
    pub here: Option<SolarEclipseHere>,
}

/// One moment of it at the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunMoment {
    /// When.
    pub at: DateTime<Utc>,
    /// Of the Sun's centre, topocentric, without refraction.
    pub sun_altitude_deg: f64,
    /// Whether its upper limb is above the almanac's horizon.
    pub sun_is_up: bool,
}

/// What the place sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolarEclipseHere {
    /// The Moon touches the Sun, perhaps below the horizon.
    pub first: SunMoment,
    /// Most of the Sun covered, perhaps below the horizon.
    pub deepest: SunMoment,
    /// The Moon leaves the Sun, perhaps below the horizon.
    pub last: SunMoment,
    /// Part of the Sun's diameter covered at the deepest; above 1 where it is total, by how much the Moon is the larger.
    pub magnitude: f64,
    /// The deepest while the Sun is up: where the Sun rises or sets eclipsed, that moment.
    pub deepest_up: SunMoment,
    /// Part of the diameter covered then.
    pub magnitude_up: f64,
}

/// The Moon's shadow cones where they cross the plane through the Earth's centre square to their axis; Earth radii.
struct Cones {
    axis_from_centre: f64,
    penumbra_radius: f64,
    /// Negative where the umbra reaches: total.
    umbra_radius: f64,
}

impl Cones {
    fn at(tt_days: f64) -> Cones {
        let in_earths = |body| scaled(apparent_au(body, tt_days), 1.0 / EARTH_RADIUS_AU);
        let (moon, sun): (Vec3, Vec3) = (in_earths(Body::Moon), in_earths(Body::Sun));
        let moon_to_sun = difference(sun, moon);
        let apart = length(moon_to_sun);
        let axis = scaled(moon_to_sun, 1.0 / apart);
        let height = dot(moon, axis);
        let (outer, inner) = MOON_RADIUS_EARTHS;
        let sin_outer = (SUN_RADIUS_EARTHS + outer) / apart;
        let sin_inner = (SUN_RADIUS_EARTHS - inner) / apart;
        let cos = |sin: f64| (1.0 - sin * sin).sqrt();
        Cones {
            axis_from_centre: length(difference(moon, scaled(axis, height))),
            penumbra_radius: (height * sin_outer + outer) / cos(sin_outer),
            umbra_radius: (height * sin_inner - inner) / cos(sin_inner),
        }
    }

    /// `None`: no part of the shadow meets the Earth. The rules of Meeus, ch. 54.
    fn kind(&self) -> Option<SolarEclipseKind> {
        let gamma = self.axis_from_centre;
        let narrow = if gamma < EARTH_SHADE_EARTHS {
            0.0
        } else {
            self.umbra_radius.abs()
        };
        if gamma > EARTH_SHADE_EARTHS + self.penumbra_radius {
            return None;
        }
        if gamma > EARTH_SHADE_EARTHS + narrow {
            return Some(SolarEclipseKind::Partial);
        }
        // The Earth's bulge reaches so far up the inner cone.
        let bulge = 0.004_64 * (1.0 - (gamma * gamma).min(1.0)).sqrt();
        Some(match self.umbra_radius {
            u if u < 0.0 => SolarEclipseKind::Total,
            u if u < bulge => SolarEclipseKind::Hybrid,
            _ => SolarEclipseKind::Annular,
        })
    }
}

/// The deepest moment for the whole Earth lies so near to new Moon by longitude.
const GREATEST_WITHIN_DAYS: f64 = 0.2;

/// A shadow sweeps over all of the Earth in six hours.
const HALF_DAYS: f64 = 0.16;

/// Half an hour: the Moon takes longer over any but the slightest bite of the Sun.
const STEP_DAYS: f64 = 0.02;

/// The eclipse about a new Moon, if there is one: days of TT since J2000.0 of its deepest moment for the whole
/// Earth, and what it is.
pub fn eclipse_at_new_moon(new_tt_days: f64, place: &Place) -> Option<(f64, SolarEclipse)> {
    let span = about(new_tt_days, GREATEST_WITHIN_DAYS);
    let from_centre = |tt_days: f64| Cones::at(tt_days).axis_from_centre;
    let greatest = minima(search_over(span, GREATEST_WITHIN_DAYS), from_centre)
        .first()?
        .at;
    let cones = Cones::at(greatest);
    let eclipse = SolarEclipse {
        kind: cones.kind()?,
        gamma_earths: cones.axis_from_centre,
        here: here(greatest, place),
    };
    Some((greatest, eclipse))
}

fn about(middle: f64, half: f64) -> Span {
    Span {
        from_tt_days: middle - half,
        until_tt_days: middle + half,
    }
}

fn here(greatest: f64, place: &Place) -> Option<SolarEclipseHere> {
    let span = about(greatest, HALF_DAYS);
    let almanac = Almanac::of(&[Body::Sun, Body::Moon], *place, span)?;
    let discs = |tt_days: f64| Discs::at(&almanac, tt_days);
    let search = search_over(span, STEP_DAYS);
    let nearest = minima(search, |tt_days| discs(tt_days).apart);
    let deepest = (nearest.into_iter())
        .min_by(|a, b| a.value.total_cmp(&b.value))?
        .at;
    let touches = crossings(search, |tt_days| discs(tt_days).overlap());
    let first = touches.iter().find(|touch| touch.rising)?.at;
    let last = touches.iter().rfind(|touch| !touch.rising)?.at;
    let moment = |tt_days| SunMoment {
        at: utc(tt_days),
        sun_altitude_deg: almanac.horizontal(Body::Sun, tt_days).altitude_deg,
        sun_is_up: almanac.is_up(Body::Sun, tt_days),
    };
    let magnitude = |tt_days: f64| discs(tt_days).magnitude();
    let horizon = almanac.risings_and_settings(Body::Sun);
    let deepest_up = if almanac.is_up(Body::Sun, deepest) {
        deepest
    } else {
        (horizon.into_iter())
            .map(|passage| passage.at)
            .filter(|at| first < *at && *at < last)
            .max_by(|a, b| magnitude(*a).total_cmp(&magnitude(*b)))?
    };
    Some(SolarEclipseHere {
        first: moment(first),
        deepest: moment(deepest),
        last: moment(last),
        magnitude: magnitude(deepest),
        deepest_up: moment(deepest_up),
        magnitude_up: magnitude(deepest_up),
    })
}

/// Sun and Moon as the place sees them, radians.
struct Discs {
    apart: f64,
    sun_radius: f64,
    moon_radius: f64,
}

impl Discs {
    fn at(almanac: &Almanac, tt_days: f64) -> Discs {
        let radius =
            |body: Body| body.semidiameter_rad(almanac.horizontal(body, tt_days).distance_au);
        Discs {
            apart: topocentric_separation_rad(almanac, Body::Sun, Body::Moon, tt_days),
            sun_radius: radius(Body::Sun),
            moon_radius: radius(Body::Moon),
        }
    }

    fn overlap(&self) -> f64 {
        self.sun_radius + self.moon_radius - self.apart
    }

    /// Part of the Sun's diameter covered; where one disc stands within the other, the ratio of the two.
    fn magnitude(&self) -> f64 {
        if self.apart < (self.moon_radius - self.sun_radius).abs() {
            self.moon_radius / self.sun_radius
        } else {
            self.overlap() / (2.0 * self.sun_radius)
        }
    }
}
