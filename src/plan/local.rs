//! Local civil time: which stretch of time a night is.

use chrono::DateTime;
use chrono::Days;
use chrono::NaiveDate;
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
}
