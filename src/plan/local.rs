//! Local civil time: which stretch of time a night is.

use chrono::{
    DateTime, Days, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeDelta, TimeZone,
    Timelike, Utc,
};
use chrono_tz::Tz;

/// From local noon of a date to the next local noon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NightWindow {
    /// Included.
    pub from: DateTime<Utc>,
    /// Not included.
    pub until: DateTime<Utc>,
}

/// A stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimeSpan {
    /// Its start.
    pub from: DateTime<Utc>,
    /// Its end, later.
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

/// Why hours that somebody said are none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoHours {
    /// Written in no way that is known here.
    NotUnderstood,
    /// The clocks went forward over one of them.
    Never,
    /// The first is not before the second in a night that goes from noon to noon.
    Backwards,
}

/// The last hour that may be counted on through midnight: six in the morning after.
const LAST_COUNTED_HOUR: u32 = 30;

/// Two times of one night's clock as somebody says them, the earlier first: `20:00-22:30`, `22:00-01:00`, or counted on
/// through midnight, `20:00-24:30`, up to 30:00. The night goes from noon to noon.
pub fn clock_hours_said(text: &str) -> Result<(NaiveTime, NaiveTime), NoHours> {
    let said = text
        .split_once(['-', '\u{2013}'])
        .and_then(|(from, until)| Some((clock_time(from)?, clock_time(until)?)));
    let (from, until) = said.ok_or(NoHours::NotUnderstood)?;
    let since_noon = |time: NaiveTime| time - TimeDelta::hours(12);
    // The same time twice may be an hour: the one that clocks show again when they go back.
    match since_noon(from) <= since_noon(until) {
        true => Ok((from, until)),
        false => Err(NoHours::Backwards),
    }
}

/// `22:30`; `24:30` is half past midnight.
fn clock_time(text: &str) -> Option<NaiveTime> {
    let (hour, minute) = text.trim().split_once(':')?;
    let number = |digits: &str| {
        let is_plain = digits.len() <= 2 && digits.bytes().all(|digit| digit.is_ascii_digit());
        digits.parse::<u32>().ok().filter(|_| is_plain)
    };
    let (hour, minute) = (number(hour)?, number(minute)?);
    let is_counted = hour < LAST_COUNTED_HOUR || (hour, minute) == (LAST_COUNTED_HOUR, 0);
    NaiveTime::from_hms_opt(hour % 24, minute, 0).filter(|_| is_counted)
}

/// Hours of the night that begins on a local date, as somebody says them: see [`clock_hours_said`].
/// What the clocks show twice is taken so that the stretch is the longest.
pub fn hours_said(text: &str, on: NaiveDate, zone: Tz) -> Result<TimeSpan, NoHours> {
    let (from, until) = clock_hours_said(text)?;
    let local = |time: NaiveTime| {
        let date = match time.hour() {
            0..12 => on.checked_add_days(Days::new(1)).unwrap_or(on),
            _ => on,
        };
        zone.from_local_datetime(&date.and_time(time))
    };
    let from = local(from).earliest().ok_or(NoHours::Never)?.to_utc();
    let until = local(until).latest().ok_or(NoHours::Never)?.to_utc();
    match from < until {
        true => Ok(TimeSpan { from, until }),
        false => Err(NoHours::Backwards),
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
    fn hours_counted_on_through_midnight() {
        let time = |text| NaiveTime::parse_from_str(text, "%H:%M").unwrap();
        for (text, want) in [
            ("18:30-24:30", Ok(("18:30", "00:30"))),
            ("18:30-00:30", Ok(("18:30", "00:30"))),
            ("19:00-24:00", Ok(("19:00", "00:00"))),
            ("22:00-30:00", Ok(("22:00", "06:00"))),
            ("24:30-26:00", Ok(("00:30", "02:00"))),
            ("9:15-11:45", Ok(("09:15", "11:45"))),
            ("22:00-30:01", Err(NoHours::NotUnderstood)),
            ("22:00-31:00", Err(NoHours::NotUnderstood)),
            ("22:00-23:60", Err(NoHours::NotUnderstood)),
            ("22:00-+1:00", Err(NoHours::NotUnderstood)),
            ("22:00", Err(NoHours::NotUnderstood)),
            ("25:00-24:00", Err(NoHours::Backwards)),
            ("24:30-20:00", Err(NoHours::Backwards)),
        ] {
            let want = want.map(|(from, until)| (time(from), time(until)));
            assert_eq!(clock_hours_said(text), want, "{text}");
        }
    }

    #[test]
    fn hours_as_people_say_them() {
        let zone = chrono_tz::Europe::Madrid;
        let said = |text: &str, on: &str| {
            let span = hours_said(text, on.parse().unwrap(), zone)?;
            Ok((span.from.to_rfc3339(), span.until.to_rfc3339()))
        };
        let is = |from: &str, until: &str| Ok((format!("{from}+00:00"), format!("{until}+00:00")));
        let winter = "2026-12-01";
        let want = is("2026-12-01T19:00:00", "2026-12-01T21:30:00");
        assert_eq!(said("20:00-22:30", winter), want);
        assert_eq!(said(" 20:00 \u{2013} 22:30 ", winter), want);
        let want = is("2026-12-01T21:00:00", "2026-12-02T00:15:00");
        assert_eq!(said("22:00-01:15", winter), want);
        // IANA: clocks back on 25 October, forward on 29 March 2026.
        let want = is("2026-10-25T00:30:00", "2026-10-25T01:30:00");
        assert_eq!(said("02:30-02:30", "2026-10-24"), want);
        assert_eq!(said("01:30-02:30", "2026-03-28"), Err(NoHours::Never));
        for text in ["22:30-20:00", "20:00-20:00", "11:00-13:00"] {
            assert_eq!(said(text, winter), Err(NoHours::Backwards), "{text}");
        }
        for text in [
            "",
            "20:00",
            "20-22",
            "20:00-31:00",
            "-",
            "20:00-22:00-23:00",
        ] {
            assert_eq!(said(text, winter), Err(NoHours::NotUnderstood), "{text}");
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
}
