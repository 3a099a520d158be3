//! Everything that happens, of all kinds, in order of time.

use chrono::{DateTime, Utc};

use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::earth::Place;
use crate::sky::ephemeris::{FIRST_TDB_DAYS, LAST_TDB_DAYS};
use crate::sky::happenings::frame::utc;
use crate::sky::happenings::happening::{Happening, What};
use crate::sky::happenings::phases::MoonPhase;
use crate::sky::happenings::planets::Definition;
use crate::sky::happenings::ring_plane::Passer;
use crate::sky::happenings::{lunar_eclipse, pairings, phases, planets, ring_plane, solar_eclipse};
use crate::sky::occultations::{Occultation, occultations};
use crate::sky::time::tt_days;

/// Everything that happens in `[from, until)`, in order of time.
///
/// `None` where that leaves the ephemeris, 1950-2100. A night takes a millisecond or two, a year some tens.
///
/// ```
/// use skyworthy::sky::earth::Place;
/// use skyworthy::sky::happenings::What;
/// use skyworthy::sky::happenings::happenings;
///
/// let place = Place::new(46.3, 13.1, 200.0);
/// let from = "2026-08-27T10:00:00Z".parse().unwrap();
/// let until = "2026-08-28T10:00:00Z".parse().unwrap();
/// let night = happenings(from, until, &place).expect("inside the ephemeris");
/// assert!(night.iter().any(|happening| matches!(happening.what, What::LunarEclipse(_))));
/// ```
pub fn happenings(
    from: DateTime<Utc>,
    until: DateTime<Utc>,
    place: &Place,
) -> Option<Vec<Happening>> {
    let span = Span {
        from_tt_days: tt_days(from),
        until_tt_days: tt_days(until),
    };
    if span.from_tt_days < FIRST_TDB_DAYS || LAST_TDB_DAYS < span.until_tt_days {
        return None;
    }
    if span.until_tt_days <= span.from_tt_days {
        return Some(Vec::new());
    }
    let mut found = moon(span, place);
    found.extend(planets(span));
    found.extend(close_pairs(span, place));
    found.extend(covered_by_moon(span, place)?);
    found.retain(|(at, _)| span.from_tt_days <= *at && *at < span.until_tt_days);
    found.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let found = found
        .into_iter()
        .map(|(at, what)| Happening { at: utc(at), what });
    Some(found.collect())
}

/// Phases, and the eclipses about them.
fn moon(span: Span, place: &Place) -> Vec<(f64, What)> {
    // An eclipse is deepest a quarter of a day from its phase at most: the phase may lie just outside.
    let wider = Span {
        from_tt_days: span.from_tt_days - 0.25,
        until_tt_days: span.until_tt_days + 0.25,
    };
    let mut found = Vec::new();
    for (at, phase) in phases::phases(wider) {
        found.push((at, What::Phase(phase)));
        match phase {
            MoonPhase::New => found.extend(
                solar_eclipse::eclipse_at_new_moon(at, place)
                    .map(|(at, eclipse)| (at, What::SolarEclipse(eclipse))),
            ),
            MoonPhase::Full => found.extend(
                lunar_eclipse::eclipse_at_full_moon(at, place)
                    .map(|(at, eclipse)| (at, What::LunarEclipse(eclipse))),
            ),
            MoonPhase::FirstQuarter | MoonPhase::LastQuarter => {}
        }
    }
    found
}

fn tagged<T>(found: Vec<(f64, T)>, what: fn(T) -> What) -> impl Iterator<Item = (f64, What)> {
    found.into_iter().map(move |(at, it)| (at, what(it)))
}

/// What each planet does by itself.
fn planets(span: Span) -> Vec<(f64, What)> {
    let mut found = Vec::new();
    for &body in Body::PLANETS {
        for definition in [Definition::EclipticLongitude, Definition::RightAscension] {
            let meetings = planets::sun_meetings(span, body, definition);
            found.extend(tagged(meetings, What::Meeting));
        }
        if matches!(body, Body::Mercury | Body::Venus) {
            let elongations = planets::greatest_elongations(span, body);
            found.extend(tagged(elongations, What::Elongation));
        }
        found.extend(tagged(planets::nearest_to_earth(span, body), What::Nearest));
        found.extend(tagged(planets::stations(span, body), What::Station));
    }
    for passer in [Passer::Earth, Passer::Sun] {
        let crossings = ring_plane::ring_plane_crossings(span, passer);
        found.extend(tagged(crossings, What::RingPlane));
    }
    found
}

fn covered_by_moon(span: Span, place: &Place) -> Option<Vec<(f64, What)>> {
    let found = occultations(place, span.from_tt_days, span.until_tt_days)?;
    let at = |it: &Occultation| it.disappearance.tt_days;
    Some(
        found
            .into_iter()
            .map(|it| (at(&it), What::Occultation(it)))
            .collect(),
    )
}

/// Every planet with every other, and the Moon with each.
fn close_pairs(span: Span, place: &Place) -> Vec<(f64, What)> {
    let mut found = Vec::new();
    let paired = |first, second| {
        let pairs = pairings::pairings(span, place, first, second);
        tagged(pairs, What::Pairing)
    };
    for (idx, &second) in Body::PLANETS.iter().enumerate() {
        found.extend(paired(Body::Moon, second));
        for &first in &Body::PLANETS[..idx] {
            found.extend(paired(first, second));
        }
    }
    found
}
