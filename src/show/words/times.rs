//! Clocks, dates and the Sun's course, on the calendar of the place; instants for machines.

use chrono::{DateTime, LocalResult, NaiveDate, SubsecRound, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

use crate::plan::sun::{SunCourse, SunTimes};

/// A moment on the local clock and calendar, to the nearest minute.
pub fn local_minute(at: DateTime<Utc>, zone: Tz) -> DateTime<Tz> {
    (at + TimeDelta::seconds(30)).with_timezone(&zone)
}

/// A moment on the local clock, to the nearest minute: `19:40`; in an hour that the clocks show twice with what tells the
/// two apart, `02:40 (UTC+2)`.
pub fn clock(at: DateTime<Utc>, zone: Tz) -> String {
    let local = local_minute(at, zone);
    let comes_twice = matches!(
        zone.from_local_datetime(&local.naive_local()),
        LocalResult::Ambiguous(..)
    );
    match comes_twice {
        true => format!("{} ({})", local.format("%H:%M"), utc_offset(at, zone)),
        false => local.format("%H:%M").to_string(),
    }
}

/// With its own date, which after midnight is not that of the night: `21 December 2026 at 04:39`.
pub fn date_and_clock(at: DateTime<Utc>, zone: Tz) -> String {
    let local = local_minute(at, zone);
    local.format("%-d %B %Y at %H:%M").to_string()
}

/// Beside another moment whose date is printed: `23:40`, or `00:39 on 21 December` where the date is another.
pub fn clock_beside(at: DateTime<Utc>, beside: DateTime<Utc>, zone: Tz) -> String {
    let local = local_minute(at, zone);
    let same_date = local.date_naive() == local_minute(beside, zone).date_naive();
    let form = if same_date {
        "%H:%M"
    } else {
        "%H:%M on %-d %B"
    };
    local.format(form).to_string()
}

/// The same for an instant that may not come: `19:40` or `never`.
pub fn clock_or_never(at: Option<DateTime<Utc>>, zone: Tz) -> String {
    at.map_or_else(|| String::from("never"), |at| clock(at, zone))
}

/// A date in full: `Thursday 17 December 2026`.
pub fn date(on: NaiveDate) -> String {
    on.format("%A %-d %B %Y").to_string()
}

/// Beside other dates of the same months: `Friday 12 February`.
pub fn day_and_month(on: NaiveDate) -> String {
    on.format("%A %-d %B").to_string()
}

/// Without the day of the week: `17 December 2026`.
pub fn plain_date(on: NaiveDate) -> String {
    on.format("%-d %B %Y").to_string()
}

/// By the local date on which it begins: `the night of Thursday 17 December 2026`.
pub fn the_night_of(on: NaiveDate) -> String {
    format!("the night of {}", date(on))
}

/// The day on which people come, and the night to which it belongs where that began the day before: `Saturday 13 February
/// 2027 (the night of Friday 12 February)`.
pub fn evening(day: NaiveDate, night_on: NaiveDate) -> String {
    match day == night_on {
        true => date(day),
        false => format!("{} (the night of {})", date(day), day_and_month(night_on)),
    }
}

/// Sunset and sunrise of a night.
pub fn sunset_and_sunrise(sun: &SunTimes, zone: Tz) -> String {
    match sun.course() {
        SunCourse::NeverSets => String::from("The Sun does not set"),
        SunCourse::NeverRises => String::from("The Sun does not rise"),
        SunCourse::Crosses { set, rise } => format!(
            "Sunset {}, sunrise {}",
            clock_or_never(set, zone),
            clock_or_never(rise, zone)
        ),
    }
}

/// The local clock's distance from UTC over a stretch of time: `UTC+1`, or `UTC+2, after the clock change UTC+1`.
pub fn utc_offsets(from: DateTime<Utc>, until: DateTime<Utc>, zone: Tz) -> String {
    let (first, last) = (utc_offset(from, zone), utc_offset(until, zone));
    match first == last {
        true => first,
        false => format!("{first}, after the clock change {last}"),
    }
}

/// The local clock's distance from UTC at a moment: `UTC+1`, `UTC-3:30`, `UTC`.
pub fn utc_offset(at: DateTime<Utc>, zone: Tz) -> String {
    let digits = at.with_timezone(&zone).format("%:z").to_string();
    let (hours, minutes) = digits.split_once(':').unwrap_or((&digits, "00"));
    let sign = &hours[..1];
    let hours = hours[1..].trim_start_matches('0');
    match (hours, minutes) {
        ("", "00") => String::from("UTC"),
        ("", minutes) => format!("UTC{sign}0:{minutes}"),
        (hours, "00") => format!("UTC{sign}{hours}"),
        (hours, minutes) => format!("UTC{sign}{hours}:{minutes}"),
    }
}

/// An instant for a machine: RFC 3339, UTC, to the nearest second.
pub fn rfc3339(at: DateTime<Utc>) -> String {
    at.round_subsecs(0)
        .to_rfc3339_opts(chrono::SecondsFormat::Secs, true)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_has_its_own_date() {
        let zone = chrono_tz::Europe::Madrid;
        let utc = |text: &str| text.parse::<DateTime<Utc>>().expect("an instant");
        // Local time is an hour ahead; the last half minute of a day counts for the next.
        let evening = utc("2026-12-20T20:00:00Z");
        for (at, dated, beside) in [
            ("2026-12-20T22:59:29Z", "20 December 2026 at 23:59", "23:59"),
            (
                "2026-12-20T22:59:30Z",
                "21 December 2026 at 00:00",
                "00:00 on 21 December",
            ),
            (
                "2026-12-21T03:39:00Z",
                "21 December 2026 at 04:39",
                "04:39 on 21 December",
            ),
        ] {
            assert_eq!(date_and_clock(utc(at), zone), dated);
            assert_eq!(clock_beside(utc(at), evening, zone), beside);
        }
        let on = |text: &str| text.parse::<NaiveDate>().expect("a date");
        let named = |day, night| super::evening(on(day), on(night));
        assert_eq!(named("2026-12-20", "2026-12-20"), "Sunday 20 December 2026");
        assert_eq!(
            named("2026-12-21", "2026-12-20"),
            "Monday 21 December 2026 (the night of Sunday 20 December)"
        );
    }

    /// IANA: clocks back at 01:00 UTC on 25 October 2026, forward at 01:00 UTC on 28 March 2027.
    #[test]
    fn an_hour_that_comes_twice_is_told_apart() {
        let zone = chrono_tz::Europe::Madrid;
        let utc = |text: &str| text.parse::<DateTime<Utc>>().expect("an instant");
        for (at, want) in [
            ("2026-10-24T23:59:00Z", "01:59"),
            ("2026-10-25T00:40:00Z", "02:40 (UTC+2)"),
            ("2026-10-25T01:40:00Z", "02:40 (UTC+1)"),
            ("2026-10-25T02:00:00Z", "03:00"),
        ] {
            assert_eq!(clock(utc(at), zone), want);
        }
        let offsets = |from, until| utc_offsets(utc(from), utc(until), zone);
        assert_eq!(
            offsets("2026-10-24T20:00:00Z", "2026-10-25T00:30:00Z"),
            "UTC+2"
        );
        assert_eq!(
            offsets("2027-03-27T23:00:00Z", "2027-03-28T02:00:00Z"),
            "UTC+1, after the clock change UTC+2"
        );
    }

    #[test]
    fn offsets_in_words() {
        let at = "2026-12-01T12:00:00Z".parse().unwrap();
        for (zone, want) in [
            (chrono_tz::Europe::Madrid, "UTC+1"),
            (chrono_tz::UTC, "UTC"),
            (chrono_tz::America::St_Johns, "UTC-3:30"),
        ] {
            assert_eq!(utc_offset(at, zone), want);
        }
    }
}
