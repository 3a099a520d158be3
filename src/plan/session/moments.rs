//! What happens in the sky at a minute of the evening: an eclipse's contacts, a star behind the Moon, Jupiter's moons, the Red
//! Spot, Moonrise and Moonset, the first stars.

use chrono::{DateTime, TimeDelta, Utc};

use crate::plan::happenings::{FAINTEST_PENUMBRAL_MAGNITUDE, Listed, happenings_between};
use crate::plan::refusal::NoNight;
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::happenings::What;
use crate::sky::happenings::lunar_eclipse::{EclipseContact, LunarEclipse, LunarEclipseKind};
use crate::sky::happenings::solar_eclipse::SolarEclipseHere;
use crate::sky::meridian::Meridian;
use crate::sky::occultations::{Occultation, Occulted};
use crate::sky::satellite_events::SatelliteEvent;
use crate::sky::time::utc_from_tt;
use crate::workshop::Site;

/// Something that happens at a minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// When.
    pub at: DateTime<Utc>,
    /// Where one has to look; `None` where no telescope is needed.
    pub body: Option<Body>,
    /// What.
    pub what: MomentKind,
}

/// What happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MomentKind {
    /// The Moon meets the Earth's shadow.
    Eclipse(EclipseContact),
    /// The Moon's dark or bright edge covers a star or planet, or lets it out.
    Covered {
        /// What.
        occulted: Occulted,
        /// It comes out.
        is_back: bool,
    },
    /// Of a moon of Jupiter.
    Satellite(SatelliteEvent),
    /// The Great Red Spot stands in the middle of the disc.
    RedSpot,
    /// The Moon's upper limb on the horizon.
    Moonrise,
    /// The same in the west.
    Moonset,
    /// Civil twilight ends.
    FirstStars,
    /// Most of the Sun is covered, while it is up: nobody looks at it with what stands here, and people who come early have to
    /// be told.
    SunCovered {
        /// Of its diameter, at most 1.
        share: f64,
    },
}

impl MomentKind {
    /// As it stands in machine-readable output.
    pub fn word(&self) -> &'static str {
        match self {
            MomentKind::Eclipse(_) => "eclipse",
            MomentKind::Covered { .. } => "occultation",
            MomentKind::Satellite(_) => "satellite",
            MomentKind::RedSpot => "red_spot",
            MomentKind::Moonrise => "moonrise",
            MomentKind::Moonset => "moonset",
            MomentKind::FirstStars => "first_stars",
            MomentKind::SunCovered { .. } => "solar_eclipse",
        }
    }
}

impl Moment {
    /// What people come for: it stands on the poster and in the calendar.
    pub fn is_worth_coming(&self) -> bool {
        matches!(
            self.what,
            MomentKind::Eclipse(_) | MomentKind::Covered { .. } | MomentKind::SunCovered { .. }
        )
    }

    /// What the whole terrace looks up for.
    pub fn is_for_all(&self) -> bool {
        !matches!(self.what, MomentKind::Satellite(_) | MomentKind::RedSpot)
    }
}

/// Who sets up before an evening or packs up after a morning is there for so long.
const AROUND: TimeDelta = TimeDelta::hours(3);

/// In a longer dusk than this the first stars are long out when it ends. Common practice, no source.
const SLOW_DUSK: TimeDelta = TimeDelta::minutes(60);

/// Those of a window, in order of time; of Jupiter whether it is up or not: a turn picks its own.
pub(super) fn moments(
    watch: &Watch,
    site: &Site,
    sun: &SunTimes,
    window: TimeSpan,
) -> Result<Vec<Moment>, NoNight> {
    // What is deepest outside the window may touch it: half a day on either side holds all of it.
    let span = watch.almanac().span();
    let night = |at: f64| utc_from_tt(at).ok_or(NoNight::OutsideEphemeris);
    let (from, until) = (night(span.from_tt_days)?, night(span.until_tt_days)?);
    let happenings = happenings_between(site, from, until).ok_or(NoNight::OutsideEphemeris)?;
    let mut all: Vec<Moment> = happenings.iter().flat_map(of_happening).collect();
    all.extend(watch.satellite_events().iter().filter_map(of_satellite));
    all.extend(red_spot(watch));
    let moon = watch.body_times(Body::Moon);
    let of_moon = |what| {
        move |at: DateTime<Utc>| Moment {
            at,
            body: Some(Body::Moon),
            what,
        }
    };
    all.extend(moon.rises.into_iter().map(of_moon(MomentKind::Moonrise)));
    all.extend(moon.sets.into_iter().map(of_moon(MomentKind::Moonset)));
    let is_told = |dusk: &DateTime<Utc>| sun.set.is_none_or(|set| *dusk - set <= SLOW_DUSK);
    all.extend(sun.twilights[0].dusk.filter(is_told).map(|at| Moment {
        at,
        body: None,
        what: MomentKind::FirstStars,
    }));
    all.retain(|moment| {
        let around = match moment.what {
            MomentKind::SunCovered { .. } => AROUND,
            _ => TimeDelta::zero(),
        };
        window.from - around <= moment.at && moment.at <= window.until + around
    });
    all.sort_by_key(|moment| moment.at);
    Ok(all)
}

/// Whether the Moon covers a planet during some of a slot, as far as its going or coming back is told.
pub(super) fn is_behind_the_moon(all: &[Moment], body: Body, slot: TimeSpan) -> bool {
    let of_it = |moment: &&Moment| match moment.what {
        MomentKind::Covered { occulted, .. } => occulted == Occulted::Planet(body),
        _ => false,
    };
    let is_back =
        |moment: &Moment| matches!(moment.what, MomentKind::Covered { is_back: true, .. });
    let mut contacts = all.iter().filter(of_it);
    let next = contacts.clone().find(|moment| slot.from < moment.at);
    let goes_in_it = contacts.any(|it| !is_back(it) && slot.from <= it.at && it.at < slot.until);
    goes_in_it || next.is_some_and(is_back)
}

/// Of a telescope's stay on a body.
pub(super) fn of_stay(all: &[Moment], body: Option<Body>, stay: TimeSpan) -> Vec<Moment> {
    let is_of_it = |moment: &&Moment| {
        body.is_some() && moment.body == body && stay.from <= moment.at && moment.at <= stay.until
    };
    all.iter().filter(is_of_it).copied().collect()
}

fn of_happening(listed: &Listed) -> Vec<Moment> {
    match &listed.happening.what {
        What::LunarEclipse(eclipse) => of_eclipse(eclipse, &listed.moon_clear),
        What::Occultation(occultation) => of_occultation(occultation, &listed.moon_clear),
        What::SolarEclipse(eclipse) => Vec::from_iter(eclipse.here.map(of_sun)),
        _ => Vec::new(),
    }
}

/// With the contacts of the umbra, whatever is penumbral is left out: nobody sees its edge.
fn of_eclipse(eclipse: &LunarEclipse, clear: &[bool]) -> Vec<Moment> {
    let is_told = |contact: EclipseContact| match eclipse.kind {
        LunarEclipseKind::Penumbral => {
            contact == EclipseContact::Greatest
                && FAINTEST_PENUMBRAL_MAGNITUDE <= eclipse.penumbral_magnitude
        }
        _ => !matches!(contact, EclipseContact::P1 | EclipseContact::P4),
    };
    (eclipse.contacts.iter().zip(clear))
        .filter(|(here, clear)| **clear && is_told(here.contact))
        .map(|(here, _)| Moment {
            at: here.at,
            body: Some(Body::Moon),
            what: MomentKind::Eclipse(here.contact),
        })
        .collect()
}

fn of_sun(here: SolarEclipseHere) -> Moment {
    Moment {
        at: here.deepest_up.at,
        body: None,
        what: MomentKind::SunCovered {
            share: here.magnitude_up.min(1.0),
        },
    }
}

fn of_occultation(it: &Occultation, clear: &[bool]) -> Vec<Moment> {
    let ends = [(&it.disappearance, false), (&it.reappearance, true)];
    (ends.into_iter().zip(clear))
        .filter(|(_, clear)| **clear)
        .map(|((contact, is_back), _)| Moment {
            at: contact.at(),
            body: Some(Body::Moon),
            what: MomentKind::Covered {
                occulted: it.occulted,
                is_back,
            },
        })
        .collect()
}

fn of_satellite(event: &SatelliteEvent) -> Option<Moment> {
    Some(Moment {
        at: event.visible_at()?,
        body: Some(Body::Jupiter),
        what: MomentKind::Satellite(*event),
    })
}

fn red_spot(watch: &Watch) -> Vec<Moment> {
    let span = watch.almanac().span();
    let transits = watch.red_spot_longitude_deg().and_then(|longitude_deg| {
        Meridian::Jupiter2.transits(longitude_deg, span.from_tt_days, span.until_tt_days)
    });
    (transits.unwrap_or_default().into_iter())
        .filter_map(utc_from_tt)
        .map(|at| Moment {
            at,
            body: Some(Body::Jupiter),
            what: MomentKind::RedSpot,
        })
        .collect()
}
