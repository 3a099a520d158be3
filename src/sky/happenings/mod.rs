//! What happens in the sky between two instants: phases, meetings, eclipses.
//!
//! Everything is apparent and geocentric unless a field says `here`; eclipses and pairings carry what the place
//! sees. Each kind has its file: [`phases`], [`planets`], [`pairings`], [`lunar_eclipse`], [`solar_eclipse`],
//! [`ring_plane`].
//!
//! Against the same definitions applied to JPL DE440 every instant agrees within a minute
//! (tests/it/sky/happenings.rs has the figures); contacts of lunar eclipses with the published canon likewise.

pub mod phases;

pub mod planets;

pub mod pairings;

pub mod lunar_eclipse;

pub mod solar_eclipse;

pub mod ring_plane;

mod frame;

use chrono::{DateTime, Utc};

use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::earth::Place;
use crate::sky::ephemeris::{FIRST_TDB_DAYS, LAST_TDB_DAYS};
use crate::sky::occultations::{Occultation, occultations};
use crate::sky::search::Search;
use crate::sky::time::{tt_days, utc_from_tt};

use lunar_eclipse::LunarEclipse;
use pairings::Pairing;
use phases::MoonPhase;
use planets::{Definition, GreatestElongation, NearestToEarth, Station, SunMeeting};
use ring_plane::{Passer, RingPlaneCrossing};
use solar_eclipse::SolarEclipse;

/// One thing that happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Happening {
    /// When, for the Earth's centre; of an eclipse its deepest moment; of an occultation its beginning at the place.
    pub at: DateTime<Utc>,
    /// What.
    pub what: What,
}

/// What happens.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A phase of the Moon.
    Phase(MoonPhase),
    /// An opposition or conjunction.
    Meeting(SunMeeting),
    /// Mercury or Venus farthest from the Sun in the sky.
    Elongation(GreatestElongation),
    /// A planet nearest to the Earth.
    Nearest(NearestToEarth),
    /// A planet standing still.
    Station(Station),
    /// Two bodies close together.
    Pairing(Pairing),
    /// The Moon in the Earth's shadow.
    LunarEclipse(LunarEclipse),
    /// The Sun behind the Moon: a caution.
    SolarEclipse(SolarEclipse),
    /// Saturn's ring edge on.
    RingPlane(RingPlaneCrossing),
    /// A star or planet behind the Moon, as the place sees it; by day too.
    Occultation(Occultation),
}

/// A twentieth of a second: far finer than anything is promised.
const TOLERANCE_DAYS: f64 = 0.05 / crate::constants::SECONDS_PER_DAY;

const PLANETS: [Body; 7] = [
    Body::Mercury,
    Body::Venus,
    Body::Mars,
    Body::Jupiter,
    Body::Saturn,
    Body::Uranus,
    Body::Neptune,
];

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

/// For the doors.
fn utc(tt_days: f64) -> DateTime<Utc> {
    utc_from_tt(tt_days).expect("the ephemeris' years stand in the calendar")
}

/// A search over a span with that step, no longer than the span.
fn search_over(span: Span, step_days: f64) -> Search {
    Search {
        from: span.from_tt_days,
        until: span.until_tt_days,
        step: step_days,
        tolerance: TOLERANCE_DAYS,
    }
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
    for body in PLANETS {
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
    for (idx, &second) in PLANETS.iter().enumerate() {
        found.extend(paired(Body::Moon, second));
        for &first in &PLANETS[..idx] {
            found.extend(paired(first, second));
        }
    }
    found
}
