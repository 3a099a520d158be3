//! Local civil time: which stretch of time a night is, and when the clocks of a place show a time.

use chrono::{
    DateTime, Days, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone, Timelike,
    Utc,
};
use chrono_tz::{GapInfo, Tz};

use crate::plan::refusal::NoInstant;
use crate::plan::time_span::TimeSpan;

/// The night that begins on a local date, from noon to noon. 23 or 25 hours long when the clocks change.
///
/// `None` when that date has no noon in the zone: a zone that moved across the date line skipped it.
pub fn night_window(on: NaiveDate, zone: Tz) -> Option<TimeSpan> {
    Some(TimeSpan {
        from: local_noon(on, zone)?,
        // The day after may be the skipped one.
        until: (1..=2).find_map(|days| local_noon(on.checked_add_days(Days::new(days))?, zone))?,
    })
}

fn local_noon(on: NaiveDate, zone: Tz) -> Option<DateTime<Utc>> {
    let noon = on.and_hms_opt(12, 0, 0)?;
    let local = zone.from_local_datetime(&noon).earliest()?;
    Some(local.to_utc())
}

/// The date on the clock of the place.
pub(super) fn date_there(at: DateTime<Utc>, zone: Tz) -> NaiveDate {
    at.with_timezone(&zone).date_naive()
}

/// The local date on which the night of an instant begins: yesterday's before noon.
pub fn night_date(now: DateTime<Utc>, zone: Tz) -> NaiveDate {
    let local = now.with_timezone(&zone);
    let today = local.date_naive();
    if local.hour() < 12 {
        today.pred_opt().unwrap_or(today)
    } else {
        today
    }
}

/// The first moment of a local date; of the next one that exists where the zone skipped it.
pub(super) fn local_midnight(date: NaiveDate, zone: Tz) -> Option<DateTime<Utc>> {
    Some(showings(date.and_time(NaiveTime::MIN), zone)?.0)
}

/// The first and the last instant at which the clocks of a place show a time. A time that they leave out is the moment
/// at which they go on.
///
/// `None` where the zone's records end.
pub(super) fn showings(local: NaiveDateTime, zone: Tz) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) => Some((at.to_utc(), at.to_utc())),
        LocalResult::Ambiguous(first, last) => Some((first.to_utc(), last.to_utc())),
        LocalResult::None => {
            let goes_on = GapInfo::new(&local, &zone)?.end?.to_utc();
            Some((goes_on, goes_on))
        }
    }
}

/// An instant as somebody says it: `21:40`, the last time the clocks of the place showed it;
/// `2026-12-01 21:40`, local; or with its distance from UTC, `2026-12-01T20:40:00Z`.
pub fn instant_said(text: &str, zone: Tz, now: DateTime<Utc>) -> Result<DateTime<Utc>, NoInstant> {
    if let Ok(instant) = DateTime::parse_from_rfc3339(text) {
        return Ok(instant.to_utc());
    }
    if let Ok(time) = NaiveTime::parse_from_str(text, "%H:%M") {
        let today = now.with_timezone(&zone).date_naive();
        // Two days back: yesterday's may be the hour that the clocks left out.
        let days = (0..3).filter_map(|days| today.checked_sub_days(Days::new(days)));
        let shown = days.flat_map(|day| {
            let local = zone.from_local_datetime(&day.and_time(time));
            [local.earliest(), local.latest()]
        });
        let shown = shown.flatten().map(|at| at.to_utc());
        return shown.filter(|at| *at <= now).max().ok_or(NoInstant::Never);
    }
    let local = [
        "%Y-%m-%d %H:%M",
        "%Y-%m-%dT%H:%M",
        "%Y-%m-%d %H:%M:%S",
        "%Y-%m-%dT%H:%M:%S",
    ]
    .into_iter()
    .find_map(|format| NaiveDateTime::parse_from_str(text, format).ok())
    .ok_or(NoInstant::NotUnderstood)?;
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) => Ok(at.to_utc()),
        LocalResult::Ambiguous(..) => Err(NoInstant::Twice),
        LocalResult::None => Err(NoInstant::Never),
    }
}

/// The first instant, to the second, at which the clocks of a zone stand otherwise than at the start of a stretch;
/// `None` where they are the same at its end. Two changes within one stretch there are none.
pub fn clock_change(span: TimeSpan, zone: Tz) -> Option<DateTime<Utc>> {
    let offset = |second: i64| {
        let at = DateTime::from_timestamp(second, 0)?;
        Some(zone.offset_from_utc_datetime(&at.naive_utc()).fix())
    };
    let (mut before, mut after) = (span.from.timestamp(), span.until.timestamp());
    let first = offset(before);
    if first == offset(after) {
        return None;
    }
    while 1 < after - before {
        let middle = before + (after - before) / 2;
        match first == offset(middle) {
            true => before = middle,
            false => after = middle,
        }
    }
    DateTime::from_timestamp(after, 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(on: &str, zone: Tz, want_from: &str, want_hours: i64) {
        let window = night_window(on.parse().unwrap(), zone).expect("a night");
        assert_eq!(window.from, want_from.parse::<DateTime<Utc>>().unwrap());
        assert_eq!((window.until - window.from).num_hours(), want_hours);
    }

    #[test]
    fn nights_follow_the_clock_of_the_place() {
        // IANA time zone database: clock changes of Europe/Madrid and America/St_Johns in 2026,
        // Samoa without 2011-12-30, and the oddest offset in use.
        check(
            "2026-12-01",
            chrono_tz::Europe::Madrid,
            "2026-12-01T11:00:00Z",
            24,
        );
        check(
            "2026-10-24",
            chrono_tz::Europe::Madrid,
            "2026-10-24T10:00:00Z",
            25,
        );
        check(
            "2026-03-28",
            chrono_tz::Europe::Madrid,
            "2026-03-28T11:00:00Z",
            23,
        );
        check(
            "2011-12-29",
            chrono_tz::Pacific::Apia,
            "2011-12-29T22:00:00Z",
            24,
        );
        check(
            "2026-12-01",
            chrono_tz::Pacific::Chatham,
            "2026-11-30T22:15:00Z",
            24,
        );
    }

    #[test]
    fn a_date_that_never_was_has_no_night() {
        let skipped = NaiveDate::from_ymd_opt(2011, 12, 30).unwrap();
        assert_eq!(night_window(skipped, chrono_tz::Pacific::Apia), None);
    }

    #[test]
    fn before_noon_it_is_still_last_night() {
        let zone = chrono_tz::Europe::Madrid;
        for (now, want) in [
            ("2026-12-02T10:59:00Z", "2026-12-01"),
            ("2026-12-02T11:00:00Z", "2026-12-02"),
        ] {
            assert_eq!(
                night_date(now.parse().unwrap(), zone),
                want.parse().unwrap()
            );
        }
    }

    #[test]
    fn times_as_people_say_them() {
        let zone = chrono_tz::Europe::Madrid;
        let now = "2026-12-01T20:45:00Z".parse().unwrap();
        let said = |text: &str| instant_said(text, zone, now).map(|at| at.to_rfc3339());
        let is = |utc: &str| Ok(format!("{utc}+00:00"));
        assert_eq!(said("21:40"), is("2026-12-01T20:40:00"));
        assert_eq!(said("21:50"), is("2026-11-30T20:50:00"));
        assert_eq!(said("2026-12-01 21:40"), is("2026-12-01T20:40:00"));
        assert_eq!(said("2026-12-01T21:40"), is("2026-12-01T20:40:00"));
        assert_eq!(said("2026-12-01T21:40:00+02:00"), is("2026-12-01T19:40:00"));
        // IANA: clocks back on 25 October, forward on 29 March 2026.
        assert_eq!(said("2026-10-25 02:30"), Err(NoInstant::Twice));
        assert_eq!(said("2026-03-29 02:30"), Err(NoInstant::Never));
        for text in ["", "tonight", "25:00", "21.40", "2026-13-01 21:40"] {
            assert_eq!(said(text), Err(NoInstant::NotUnderstood), "{text}");
        }
    }

    #[test]
    fn clocks_change_when_the_zone_says() {
        // IANA: Europe/Madrid at 01:00 UTC; Australia/Lord_Howe goes back half an hour on 5 April 2026.
        for (from, zone, want) in [
            (
                "2026-10-24T16:00:00Z",
                chrono_tz::Europe::Madrid,
                Some("2026-10-25T01:00:00Z"),
            ),
            (
                "2026-03-28T16:00:00Z",
                chrono_tz::Europe::Madrid,
                Some("2026-03-29T01:00:00Z"),
            ),
            (
                "2026-04-04T08:00:00Z",
                chrono_tz::Australia::Lord_Howe,
                Some("2026-04-04T15:00:00Z"),
            ),
            ("2026-12-01T16:00:00Z", chrono_tz::Europe::Madrid, None),
        ] {
            let from: DateTime<Utc> = from.parse().unwrap();
            let until = from + chrono::TimeDelta::hours(14);
            let want = want.map(|at| at.parse::<DateTime<Utc>>().unwrap());
            assert_eq!(clock_change(TimeSpan { from, until }, zone), want);
        }
    }

    #[test]
    fn a_date_begins_when_its_clocks_say() {
        // IANA time zone database: Beirut springs forward at midnight, Samoa skipped a day.
        use chrono_tz::{Asia, Europe, Pacific};
        for (date, zone, want) in [
            ("2026-12-01", Europe::Madrid, "2026-11-30T23:00:00Z"),
            ("2026-03-29", Asia::Beirut, "2026-03-28T22:00:00Z"),
            ("2011-12-30", Pacific::Apia, "2011-12-30T10:00:00Z"),
        ] {
            let got = local_midnight(date.parse().unwrap(), zone);
            assert_eq!(got, Some(want.parse().unwrap()), "{date}");
        }
    }
}
