//! What the planets do with the Sun and the Earth: oppositions, conjunctions, greatest elongations,
//! least distances, stations.

use serde::Serialize;

use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::happenings::frame::{
    apparent_au, ecliptic_longitude_rad, ecliptic_pole, equator_pole, lead_rad, search_over, seen,
    separation_rad,
};
use crate::sky::search::{crossings, minima};
use crate::sky::vector::length;
use crate::units::wrap_180_deg;

/// By which longitude a planet is said to stand with or against the Sun. Hours lie between the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Definition {
    /// Apparent geocentric ecliptic longitudes of date: what is meant where nothing is said.
    #[serde(rename = "ecliptic longitude")]
    EclipticLongitude,
    /// Apparent geocentric right ascensions of date.
    #[serde(rename = "right ascension")]
    RightAscension,
}

/// How.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MeetingKind {
    /// Against the Sun: up all night.
    Opposition,
    /// Beyond the Sun, from Mars outward.
    Conjunction,
    /// Mercury or Venus between us and the Sun.
    InferiorConjunction,
    /// Mercury or Venus beyond the Sun.
    SuperiorConjunction,
}

/// A planet in line with Sun and Earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunMeeting {
    /// Which planet.
    pub body: Body,
    /// How.
    pub kind: MeetingKind,
    /// By which longitude.
    pub definition: Definition,
    /// Geocentric angle from the Sun's centre.
    pub elongation_deg: f64,
    /// From the Earth's centre.
    pub distance_au: f64,
    /// Nearer to the Sun's centre than its limb: behind the disc, or before it.
    pub over_sun: bool,
}

/// Mercury or Venus farthest from the Sun in the sky: the maximum of the angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GreatestElongation {
    /// Mercury or Venus.
    pub body: Body,
    /// East of the Sun, in the evening sky; else west, in the morning sky.
    pub east: bool,
    /// Geocentric angle from the Sun's centre.
    pub elongation_deg: f64,
}

/// A planet nearest to the Earth, by its light: the least distance from the Earth's centre to where the planet
/// was when its light left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearestToEarth {
    /// Which planet.
    pub body: Body,
    /// The least distance.
    pub distance_au: f64,
    /// Equatorial angular diameter then.
    pub diameter_arcsec: f64,
}

/// A planet standing still among the stars, in apparent ecliptic longitude of date.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationaryPoint {
    /// Which planet.
    pub body: Body,
    /// It turns from its usual eastward way to the west; else back.
    pub becomes_retrograde: bool,
}

/// Mercury is with the Sun every 33 days at least, and stands still every 19.
fn step_days(body: Body) -> f64 {
    match body {
        Body::Mercury | Body::Venus => 4.0,
        _ => 10.0,
    }
}

/// All meetings of one planet with the Sun, by one definition: days of TT since J2000.0, and which.
pub fn sun_meetings(span: Span, body: Body, definition: Definition) -> Vec<(f64, SunMeeting)> {
    let lead = |tt_days: f64| {
        let pole = match definition {
            Definition::EclipticLongitude => ecliptic_pole(tt_days),
            Definition::RightAscension => equator_pole(tt_days),
        };
        lead_rad(
            pole,
            apparent_au(body, tt_days),
            apparent_au(Body::Sun, tt_days),
        )
    };
    let found = crossings(search_over(span, step_days(body)), |tt_days| {
        lead(tt_days).sin()
    });
    (found.into_iter())
        .map(|crossing| {
            let opposite = lead(crossing.at).cos() < 0.0;
            let meeting = sun_meeting(body, definition, opposite, crossing.at);
            (crossing.at, meeting)
        })
        .collect()
}

fn sun_meeting(body: Body, definition: Definition, opposite: bool, tt_days: f64) -> SunMeeting {
    let (planet, sun) = (seen(body, tt_days), seen(Body::Sun, tt_days));
    let elongation_rad = separation_rad(body, Body::Sun, tt_days);
    let kind = match body {
        Body::Mercury | Body::Venus if planet.distance_au < sun.distance_au => {
            MeetingKind::InferiorConjunction
        }
        Body::Mercury | Body::Venus => MeetingKind::SuperiorConjunction,
        _ if opposite => MeetingKind::Opposition,
        _ => MeetingKind::Conjunction,
    };
    SunMeeting {
        body,
        kind,
        definition,
        elongation_deg: elongation_rad.to_degrees(),
        distance_au: planet.distance_au,
        over_sun: elongation_rad < Body::Sun.semidiameter_rad(sun.distance_au),
    }
}

/// All greatest elongations of Mercury or Venus.
pub fn greatest_elongations(span: Span, body: Body) -> Vec<(f64, GreatestElongation)> {
    let search = search_over(span, step_days(body));
    let found = minima(search, |tt_days| -separation_rad(body, Body::Sun, tt_days));
    (found.into_iter())
        .map(|greatest| {
            let lead = lead_rad(
                ecliptic_pole(greatest.at),
                apparent_au(body, greatest.at),
                apparent_au(Body::Sun, greatest.at),
            );
            let elongation = GreatestElongation {
                body,
                east: lead > 0.0,
                elongation_deg: -greatest.value.to_degrees(),
            };
            (greatest.at, elongation)
        })
        .collect()
}

/// All least distances of one planet.
pub fn nearest_to_earth(span: Span, body: Body) -> Vec<(f64, NearestToEarth)> {
    let search = search_over(span, step_days(body));
    let found = minima(search, |tt_days| length(apparent_au(body, tt_days)));
    (found.into_iter())
        .map(|least| {
            let nearest = NearestToEarth {
                body,
                distance_au: least.value,
                diameter_arcsec: body.diameter_arcsec(least.value),
            };
            (least.at, nearest)
        })
        .collect()
}

/// Half of the stretch over which the motion in longitude is taken: the fortnightly nutation must not
/// bend in it.
const MOTION_HALF_DAYS: f64 = 0.05;

/// All stations of one planet.
pub fn stations(span: Span, body: Body) -> Vec<(f64, StationaryPoint)> {
    let motion = |tt_days: f64| {
        let before_rad = ecliptic_longitude_rad(body, tt_days - MOTION_HALF_DAYS);
        let after_rad = ecliptic_longitude_rad(body, tt_days + MOTION_HALF_DAYS);
        wrap_180_deg((after_rad - before_rad).to_degrees())
    };
    let found = crossings(search_over(span, step_days(body)), motion);
    (found.into_iter())
        .map(|crossing| {
            let station = StationaryPoint {
                body,
                becomes_retrograde: !crossing.rising,
            };
            (crossing.at, station)
        })
        .collect()
}
