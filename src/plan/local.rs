//! Local civil time: which stretch of time a night is.

use chrono::DateTime;
use chrono::Days;
use chrono::LocalResult;
use chrono::NaiveDate;
use chrono::NaiveDateTime;
use chrono::NaiveTime;
use chrono::TimeZone;
use chrono::Timelike;
use chrono::Utc;
use chrono_tz::Tz;

/// From local noon of a date to the next local noon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NightWindow {
    /// Included.
    pub from: DateTime<Utc>,
    /// Not included.
    pub until: DateTime<Utc>,
}

/// The night that begins on a local date. 23 or 25 hours long when the clocks change.
///
/// `None` when that date has no noon in the zone: a zone that moved across the date line skipped it.
pub fn night_window(on: NaiveDate, zone: Tz) -> Option<NightWindow> {
    Some(NightWindow {
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

/// Why a time that somebody said is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoInstant {
    /// Written in no way that is known here.
    NotUnderstood,
    /// The clocks went back over it.
    Twice,
    /// The clocks went forward over it.
    Never,
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
}
