//! What happens in the sky within the hours of an evening and is seen from the place: people come for it.

use chrono::{Datelike, Months, NaiveDate, NaiveTime, TimeDelta, TimeZone, Utc};

use crate::plan::best_moment::Chance;
use crate::plan::dates::ask::Audience;
use crate::plan::dates::evening::{Event, Happens};
use crate::plan::dates::score;
use crate::plan::happenings::{FAINTEST_PENUMBRAL_MAGNITUDE, Listed, happenings_between};
use crate::sky::almanac::Span;
use crate::sky::happenings::What;
use crate::sky::happenings::lunar_eclipse::{EclipseContact, LunarEclipse, LunarEclipseKind};
use crate::sky::happenings::pairings::CLOSE_DEG;
use crate::sky::occultations::{Occultation, Occulted};
use crate::sky::spans::common;
use crate::sky::time::tt_days;
use crate::workshop::Site;

/// Everything about a calendar month: the same for an evening whatever range it is asked in. Empty where the
/// ephemeris ends within it.
pub(super) fn of_month(site: &Site, some_day: NaiveDate) -> Vec<Listed> {
    let first = some_day.with_day(1).unwrap_or(some_day);
    let from = Utc.from_utc_datetime(&first.and_time(NaiveTime::MIN));
    let until = from.checked_add_months(Months::new(1));
    // A day more on both sides for the clocks of the place, another for a pair that is best the night after.
    let around = TimeDelta::days(2);
    let listed = until.and_then(|until| happenings_between(site, from - around, until + around));
    listed.unwrap_or_default()
}

/// Those seen within the hours of an evening; `moon`: while the Moon is clear of the skyline.
pub(super) fn within(
    audience: &Audience,
    listed: &[Listed],
    hours: Span,
    moon: &[Span],
) -> Vec<Happens> {
    let happens = listed.iter().filter_map(|listed| {
        let (event, points) = seen(listed, hours, moon)?;
        Some(Happens {
            listed: listed.clone(),
            event,
            points: if *audience == Audience::Public {
                points
            } else {
                0.0
            },
        })
    });
    happens.collect()
}

/// What it is and what it is worth to the public; `None` where it is not seen in these hours.
fn seen(listed: &Listed, hours: Span, moon: &[Span]) -> Option<(Event, f64)> {
    match &listed.happening.what {
        What::LunarEclipse(eclipse) => {
            let points = score::eclipse_points(covered(eclipse, hours, moon)?);
            Some((Event::LunarEclipse, points))
        }
        // A caution, and never a target.
        What::SolarEclipse(eclipse) => {
            let here = eclipse.here.as_ref()?;
            let is_then = tt_days(here.first.at) < hours.until_tt_days
                && hours.from_tt_days < tt_days(here.last.at);
            is_then.then_some((Event::SolarEclipse, 0.0))
        }
        What::Occultation(it) => {
            let event = Event::Occultation {
                name: it.occulted.name(),
            };
            contact_seen(it, &listed.moon_clear, hours).then(|| {
                let points = score::occultation_points(match it.occulted {
                    Occulted::Star(star) => star.magnitude,
                    Occulted::Planet(_) => 0.0,
                });
                (event, points)
            })
        }
        What::Pairing(pair) => {
            let Some(Chance::Seen(moment)) = listed.chance else {
                return None;
            };
            let apart_deg = moment.apart?.separation_deg;
            let is_then = hours.contains(tt_days(moment.at)) && apart_deg < CLOSE_DEG;
            let event = Event::Pairing {
                first: pair.first,
                second: pair.second,
            };
            is_then.then(|| (event, score::pairing_points(apart_deg)))
        }
        What::Phase(_)
        | What::Meeting(_)
        | What::Elongation(_)
        | What::Nearest(_)
        | What::Station(_)
        | What::RingPlane(_) => None,
    }
}

/// Whether it goes or comes back within the hours, seen from here.
fn contact_seen(it: &Occultation, seen: &[bool], hours: Span) -> bool {
    [it.disappearance, it.reappearance]
        .iter()
        .zip(seen)
        .any(|(contact, seen)| *seen && hours.contains(contact.tt_days))
}

/// The greatest part of the Moon's width in the umbra that is seen within the hours, 0 to 1, between contacts as
/// if the shadow moved evenly: to a few hundredths. `None` where nothing is to be noticed.
fn covered(eclipse: &LunarEclipse, hours: Span, moon: &[Span]) -> Option<f64> {
    let at = |contact| eclipse.contact(contact).map(|here| tt_days(here.at));
    let within = |from_tt_days, until_tt_days| {
        let eclipsed = Span {
            from_tt_days,
            until_tt_days,
        };
        common(&common(&[eclipsed], &[hours]), moon)
    };
    if eclipse.kind == LunarEclipseKind::Penumbral {
        let is_seen = FAINTEST_PENUMBRAL_MAGNITUDE <= eclipse.penumbral_magnitude
            && within(at(EclipseContact::P1)?, at(EclipseContact::P4)?)
                .iter()
                .any(|it| {
                    // Only about the deepest is there a shading.
                    at(EclipseContact::Greatest).is_some_and(|deepest| it.contains(deepest))
                });
        return is_seen.then_some(0.0);
    }
    let (begins, ends) = (at(EclipseContact::U1)?, at(EclipseContact::U4)?);
    let deepest = at(EclipseContact::Greatest)?;
    let full = eclipse.umbral_magnitude.min(1.0);
    let (whole_from, whole_until) = (
        at(EclipseContact::U2).unwrap_or(deepest),
        at(EclipseContact::U3).unwrap_or(deepest),
    );
    let part = |tt_days: f64| {
        let going_in = (tt_days - begins) / (whole_from - begins);
        let coming_out = (ends - tt_days) / (ends - whole_until);
        full * going_in.min(coming_out).clamp(0.0, 1.0)
    };
    (within(begins, ends).iter())
        .map(|seen| part(deepest.clamp(seen.from_tt_days, seen.until_tt_days)))
        .reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::earth::Place;
    use crate::sky::happenings::happenings;
    use chrono::DateTime;

    /// The total eclipse of 31 December 2028 from Rome: U1 15:07, U2 16:16, greatest 16:52, U3 17:28, U4 18:36 UTC
    /// (Espenak & Meeus, Five Millennium Canon), magnitude 1.246.
    #[test]
    fn an_eclipse_counts_as_deep_as_it_is_within_the_hours() {
        let utc = |text: &str| text.parse::<DateTime<Utc>>().expect("an instant");
        let day = (utc("2028-12-31T12:00:00Z"), utc("2029-01-01T12:00:00Z"));
        let place = Place::new(41.9, 12.5, 20.0);
        let found = happenings(day.0, day.1, &place).expect("inside the ephemeris");
        let eclipse = (found.iter())
            .find_map(|it| match &it.what {
                What::LunarEclipse(eclipse) => Some(eclipse),
                _ => None,
            })
            .expect("an eclipse of the Moon");
        let between = |from, until| Span {
            from_tt_days: tt_days(utc(from)),
            until_tt_days: tt_days(utc(until)),
        };
        let up = [between("2028-12-31T15:40:00Z", "2029-01-01T06:40:00Z")];
        let part = |from, until| covered(eclipse, between(from, until), &up);
        assert_eq!(
            part("2028-12-31T16:30:00Z", "2028-12-31T19:00:00Z"),
            Some(1.0)
        );
        let half = part("2028-12-31T18:02:00Z", "2028-12-31T21:00:00Z").expect("partial");
        assert!((half - 0.5).abs() < 0.05, "{half}");
        assert_eq!(part("2028-12-31T18:40:00Z", "2028-12-31T21:00:00Z"), None);
        assert_eq!(part("2028-12-31T15:00:00Z", "2028-12-31T15:39:00Z"), None);
    }
}
