//! Two bodies side by side: planets with each other, and with the Moon.

use chrono::{DateTime, Utc};

use crate::sky::Body;
use crate::sky::almanac::{Almanac, Span};
use crate::sky::earth::{Place, equator};
use crate::sky::happenings::frame::{apparent_au, search_over, separation_rad, utc};
use crate::sky::search::minima;
use crate::sky::track::Horizontal;
use crate::sky::vector::{angle_rad, direction, position_angle_deg, rotated};
use crate::units::HOURS_PER_DAY;

/// Nearer than this they are called together: the field of the smallest binoculars, three fingers at arm's
/// length. Common practice, no source.
pub const CLOSE_DEG: f64 = 5.0;

/// The closest apparent approach of two bodies, closer than [`CLOSE_DEG`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pairing {
    /// The Moon, or the planet nearer to the Sun.
    pub first: Body,
    /// The other.
    pub second: Body,
    /// Geocentric, centre to centre.
    pub separation_deg: f64,
    /// Of the first as seen from the second, from celestial north of date through east.
    pub position_angle_deg: f64,
    /// Geocentric angle from the Sun of whichever is nearer to it.
    pub elongation_deg: f64,
    /// As the place sees it.
    pub here: PairHere,
}

/// The closest apparent approach from a place, below the horizon or not: the Moon stands up to a degree
/// elsewhere than for the Earth's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairHere {
    /// When.
    pub at: DateTime<Utc>,
    /// Topocentric, centre to centre.
    pub separation_deg: f64,
    /// Of the first, without refraction.
    pub first_altitude_deg: f64,
    /// Of the second, without refraction.
    pub second_altitude_deg: f64,
    /// Of the Sun, without refraction.
    pub sun_altitude_deg: f64,
    /// The first covers the second's centre: only the Moon does.
    pub covers: bool,
}

/// The Moon meets a planet every month; Mercury and Venus may draw near twice within days, as they dance about
/// the Sun; the others take weeks.
fn step_days(first: Body) -> f64 {
    match first {
        Body::Moon => 3.0,
        Body::Mercury | Body::Venus => 1.0,
        _ => 4.0,
    }
}

/// From a place the Moon may be nearest up to so much earlier or later: it is shifted by a degree of parallax
/// at most and moves by half a degree an hour.
const PARALLAX_DAYS: f64 = 0.25;

/// All closest approaches of two bodies: days of TT since J2000.0, and what they are.
pub fn pairings(span: Span, place: &Place, first: Body, second: Body) -> Vec<(f64, Pairing)> {
    let search = search_over(span, step_days(first));
    let found = minima(search, |tt_days| separation_rad(first, second, tt_days));
    (found.into_iter())
        .filter(|least| least.value.to_degrees() < CLOSE_DEG)
        .filter_map(|least| Some((least.at, pairing(place, first, second, least.at)?)))
        .collect()
}

fn pairing(place: &Place, first: Body, second: Body, tt_days: f64) -> Option<Pairing> {
    let to_true = equator(tt_days).true_of_date;
    let of_date = |body| rotated(&to_true, apparent_au(body, tt_days));
    let from_sun_deg = |body| separation_rad(body, Body::Sun, tt_days).to_degrees();
    Some(Pairing {
        first,
        second,
        separation_deg: separation_rad(first, second, tt_days).to_degrees(),
        position_angle_deg: position_angle_deg(of_date(second), of_date(first)),
        elongation_deg: from_sun_deg(first).min(from_sun_deg(second)),
        here: pair_here(place, first, second, tt_days)?,
    })
}

fn pair_here(place: &Place, first: Body, second: Body, about_tt_days: f64) -> Option<PairHere> {
    let span = Span {
        from_tt_days: about_tt_days - PARALLAX_DAYS,
        until_tt_days: about_tt_days + PARALLAX_DAYS,
    };
    let almanac = Almanac::of(&[Body::Sun, first, second], *place, span)?;
    let apart_rad = |tt_days: f64| topocentric_separation_rad(&almanac, first, second, tt_days);
    // An hour's steps: from a spinning Earth the approach may have two minima.
    let found = minima(search_over(span, 1.0 / HOURS_PER_DAY), apart_rad);
    let nearest = (found.into_iter()).min_by(|a, b| a.value.total_cmp(&b.value));
    let tt_days = nearest.map_or(about_tt_days, |nearest| nearest.at);
    let at = |body| almanac.horizontal(body, tt_days);
    let separation_rad = apart_rad(tt_days);
    Some(PairHere {
        at: utc(tt_days),
        separation_deg: separation_rad.to_degrees(),
        first_altitude_deg: at(first).altitude_deg,
        second_altitude_deg: at(second).altitude_deg,
        sun_altitude_deg: at(Body::Sun).altitude_deg,
        covers: separation_rad < first.semidiameter_rad(at(first).distance_au),
    })
}

/// Angle between two bodies as the almanac's place sees them, radians.
pub fn topocentric_separation_rad(almanac: &Almanac, a: Body, b: Body, tt_days: f64) -> f64 {
    let toward = |at: Horizontal| direction(at.azimuth_deg, at.altitude_deg);
    angle_rad(
        toward(almanac.horizontal(a, tt_days)),
        toward(almanac.horizontal(b, tt_days)),
    )
}
