//! Hours of one night on the clocks of a place, as people say them: `20:00-22:30`.
//!
//! One rule wherever hours are asked for: what the clocks show twice makes the window longer, from the first showing
//! of its beginning to the last of its end; a time that they leave out is the moment at which they go on.

use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta, Timelike, Utc};
use chrono_tz::Tz;

use crate::plan::local::{night_window, showings};
use crate::plan::refusal::NoHours;
use crate::plan::time_span::TimeSpan;

/// From a time of the clock to a later one of the same night, which runs from noon to noon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockWindow {
    from: NaiveTime,
    until: NaiveTime,
}

/// The last hour that may be counted on through midnight: six in the morning after.
const LAST_COUNTED_HOUR: u32 = 30;

impl ClockWindow {
    /// `None` where the end comes before the beginning in a night from one noon to the next.
    pub fn new(from: NaiveTime, until: NaiveTime) -> Option<ClockWindow> {
        let window = ClockWindow { from, until };
        // The same time twice may be an hour: the one that clocks show again when they go back.
        (since_noon(from) <= since_noon(until)).then_some(window)
    }

    /// As somebody says it, the earlier time first: `20:00-22:30`, `22:00-01:00`, or counted on through midnight,
    /// `20:00-24:30`, up to 30:00.
    pub fn said(text: &str) -> Result<ClockWindow, NoHours> {
        let said = text
            .split_once(['-', '\u{2013}'])
            .and_then(|(from, until)| Some((clock_time(from)?, clock_time(until)?)));
        let (from, until) = said.ok_or(NoHours::NotUnderstood)?;
        ClockWindow::new(from, until).ok_or(NoHours::Backwards)
    }

    /// Its first moment.
    pub fn from(&self) -> NaiveTime {
        self.from
    }

    /// Its last moment.
    pub fn until(&self) -> NaiveTime {
        self.until
    }

    /// As the clock counts them, whatever becomes of them in a night in which it is changed.
    pub fn minutes(&self) -> i64 {
        (since_noon(self.until) - since_noon(self.from)).num_minutes()
    }

    /// In the night that begins on a local date.
    pub fn on(&self, date: NaiveDate, zone: Tz) -> Result<TimeSpan, NoHours> {
        let (from, _) = showings_in_night(self.from, date, zone)?;
        let (_, until) = showings_in_night(self.until, date, zone)?;
        match (from < until, self.minutes()) {
            (true, _) => Ok(TimeSpan { from, until }),
            (false, 0) => Err(NoHours::Backwards),
            (false, _) => Err(NoHours::NothingLeft),
        }
    }

    /// A time of the same night as minutes from the beginning, negative before it.
    pub(super) fn minutes_to(&self, time: NaiveTime) -> i64 {
        (since_noon(time) - since_noon(self.from)).num_minutes()
    }
}

/// The first and the last instant at which the clocks show a time in the night that begins on a date: before noon it
/// is the next day's.
pub(super) fn showings_in_night(
    time: NaiveTime,
    date: NaiveDate,
    zone: Tz,
) -> Result<(DateTime<Utc>, DateTime<Utc>), NoHours> {
    night_window(date, zone).ok_or(NoHours::NoSuchDate)?;
    let days = Days::new(u64::from(time.hour() < 12));
    (date.checked_add_days(days))
        .and_then(|date| showings(date.and_time(time), zone))
        .ok_or(NoHours::NoSuchDate)
}

fn since_noon(time: NaiveTime) -> TimeDelta {
    // Times of the clock wrap round.
    (time - TimeDelta::hours(12)) - NaiveTime::MIN
}

/// `22:30`; `24:30` is half past midnight. `None` where it is no time of a clock.
pub fn clock_time(text: &str) -> Option<NaiveTime> {
    let (hour, minute) = text.trim().split_once(':')?;
    let number = |digits: &str| {
        let is_plain = digits.len() <= 2 && digits.bytes().all(|digit| digit.is_ascii_digit());
        digits.parse::<u32>().ok().filter(|_| is_plain)
    };
    let (hour, minute) = (number(hour)?, number(minute)?);
    let is_counted = hour < LAST_COUNTED_HOUR || (hour, minute) == (LAST_COUNTED_HOUR, 0);
    NaiveTime::from_hms_opt(hour % 24, minute, 0).filter(|_| is_counted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono_tz::Australia::{Lord_Howe, Sydney};
    use chrono_tz::Europe::Madrid;
    use chrono_tz::{America::New_York, Pacific::Apia, Pacific::Chatham};

    fn on(text: &str, date: &str, zone: Tz) -> Result<(String, String), NoHours> {
        let span = ClockWindow::said(text)?.on(date.parse().expect("a date"), zone)?;
        let utc = |at: DateTime<Utc>| at.format("%FT%H:%MZ").to_string();
        Ok((utc(span.from), utc(span.until)))
    }

    #[track_caller]
    fn check((text, date, zone): (&str, &str, Tz), want: Result<(&str, &str), NoHours>) {
        let want = want.map(|(from, until)| (from.to_string(), until.to_string()));
        assert_eq!(on(text, date, zone), want, "{text} on {date}");
    }

    #[test]
    fn hours_follow_the_clock_of_the_place() {
        // IANA time zone database: clocks back on 25 October 2026 in Madrid and 1 November in New York,
        // forward on 4 October in Sydney; Samoa without 2011-12-30.
        let evening = "19:00-22:00";
        for (date, zone, from, until) in [
            (
                "2026-10-24",
                Madrid,
                "2026-10-24T17:00Z",
                "2026-10-24T20:00Z",
            ),
            (
                "2026-10-25",
                Madrid,
                "2026-10-25T18:00Z",
                "2026-10-25T21:00Z",
            ),
            (
                "2026-10-31",
                New_York,
                "2026-10-31T23:00Z",
                "2026-11-01T02:00Z",
            ),
            (
                "2026-11-01",
                New_York,
                "2026-11-02T00:00Z",
                "2026-11-02T03:00Z",
            ),
            (
                "2026-10-03",
                Sydney,
                "2026-10-03T09:00Z",
                "2026-10-03T12:00Z",
            ),
            (
                "2026-10-04",
                Sydney,
                "2026-10-04T08:00Z",
                "2026-10-04T11:00Z",
            ),
        ] {
            check((evening, date, zone), Ok((from, until)));
        }
        check((evening, "2011-12-30", Apia), Err(NoHours::NoSuchDate));
    }

    #[test]
    fn a_change_of_the_clocks_makes_a_window_longer_or_shorter() {
        // IANA: clocks back on 25 October and forward on 29 March 2026 in Madrid, at 01:00 UTC.
        let (back, forward) = ("2026-10-24", "2026-03-28");
        for (text, date, want) in [
            (
                "20:00-02:30",
                back,
                Ok(("2026-10-24T18:00Z", "2026-10-25T01:30Z")),
            ),
            (
                "02:30-03:30",
                back,
                Ok(("2026-10-25T00:30Z", "2026-10-25T02:30Z")),
            ),
            (
                "02:30-02:30",
                back,
                Ok(("2026-10-25T00:30Z", "2026-10-25T01:30Z")),
            ),
            (
                "23:00-02:30",
                forward,
                Ok(("2026-03-28T22:00Z", "2026-03-29T01:00Z")),
            ),
            (
                "01:30-02:10",
                forward,
                Ok(("2026-03-29T00:30Z", "2026-03-29T01:00Z")),
            ),
            (
                "02:30-03:30",
                forward,
                Ok(("2026-03-29T01:00Z", "2026-03-29T01:30Z")),
            ),
            ("02:00-02:30", forward, Err(NoHours::NothingLeft)),
        ] {
            check((text, date, Madrid), want);
        }
        // Half an hour back at 02:00 on 5 April 2026, and forward at 02:00 on 4 October.
        let want = ("2026-04-04T14:45Z", "2026-04-04T15:45Z");
        check(("01:45-02:15", "2026-04-04", Lord_Howe), Ok(want));
        let want = ("2026-10-03T15:15Z", "2026-10-03T15:30Z");
        check(("01:45-02:15", "2026-10-03", Lord_Howe), Ok(want));
        // A quarter to: back at 03:45 on 5 April 2026, forward at 02:45 on 27 September.
        let want = ("2026-04-04T12:15Z", "2026-04-04T14:15Z");
        check(("02:00-03:00", "2026-04-04", Chatham), Ok(want));
        let want = ("2026-09-26T13:15Z", "2026-09-26T14:00Z");
        check(("02:00-03:00", "2026-09-26", Chatham), Ok(want));
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
            ("06:00-13:00", Err(NoHours::Backwards)),
        ] {
            let want = want.map(|(from, until)| (time(from), time(until)));
            let got = ClockWindow::said(text).map(|it| (it.from(), it.until()));
            assert_eq!(got, want, "{text}");
        }
    }

    #[test]
    fn hours_as_people_say_them() {
        let winter = "2026-12-01";
        let want = ("2026-12-01T19:00Z", "2026-12-01T21:30Z");
        check(("20:00-22:30", winter, Madrid), Ok(want));
        check((" 20:00 \u{2013} 22:30 ", winter, Madrid), Ok(want));
        let want = ("2026-12-01T21:00Z", "2026-12-02T00:15Z");
        check(("22:00-01:15", winter, Madrid), Ok(want));
        for text in ["22:30-20:00", "20:00-20:00", "11:00-13:00"] {
            check((text, winter, Madrid), Err(NoHours::Backwards));
        }
        for text in [
            "",
            "20:00",
            "20-22",
            "20:00-31:00",
            "-",
            "20:00-22:00-23:00",
        ] {
            check((text, winter, Madrid), Err(NoHours::NotUnderstood));
        }
    }

    #[test]
    fn a_window_is_as_long_as_the_clock_says() {
        for (text, minutes) in [
            ("19:00-22:00", 180),
            ("21:00-01:00", 240),
            ("04:00-06:30", 150),
            ("19:00-19:29", 29),
            ("19:00-19:00", 0),
        ] {
            let window = ClockWindow::said(text).expect("hours");
            assert_eq!(window.minutes(), minutes, "{text}");
        }
    }
}
