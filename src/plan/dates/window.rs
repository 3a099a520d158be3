//! Hours of an evening on the clocks of a place.

use chrono::{
    DateTime, Days, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone, Timelike, Utc,
};
use chrono_tz::Tz;

use crate::plan::local::night_window;

/// Shorter is no session.
const SHORTEST_MINUTES: u32 = 30;

/// From a time of the clock to a later one of the same night, which runs from noon to noon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockWindow {
    from: NaiveTime,
    until: NaiveTime,
}

impl ClockWindow {
    /// `None` where the end does not come half an hour after the beginning or later, within the night
    /// from one noon to the next.
    pub fn new(from: NaiveTime, until: NaiveTime) -> Option<ClockWindow> {
        let is_long = since_noon(from) + SHORTEST_MINUTES <= since_noon(until);
        is_long.then_some(ClockWindow { from, until })
    }

    /// Its first moment.
    pub fn from(&self) -> NaiveTime {
        self.from
    }

    /// Its last moment.
    pub fn until(&self) -> NaiveTime {
        self.until
    }

    /// On the evening of a local date; times before noon are those of the morning after.
    ///
    /// A time that the clocks leave out is the moment when they go on, one that they show twice makes
    /// the evening longer. `None` where nothing is left of it, or the zone skipped the date.
    pub fn on(&self, date: NaiveDate, zone: Tz) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
        night_window(date, zone)?;
        let (from, _) = shown(self.local(self.from, date)?, zone)?;
        let (_, until) = shown(self.local(self.until, date)?, zone)?;
        let shortest = TimeDelta::minutes(SHORTEST_MINUTES.into());
        (from + shortest <= until).then_some((from, until))
    }

    /// A time of the clock on the evening of a date, as long as it is after [`ClockWindow::from`].
    pub(super) fn local(&self, time: NaiveTime, date: NaiveDate) -> Option<NaiveDateTime> {
        let days = u64::from(time.hour() < 12);
        Some(date.checked_add_days(Days::new(days))?.and_time(time))
    }
}

/// Minutes since noon: 19:00 is 420, 01:00 is 780.
fn since_noon(time: NaiveTime) -> u32 {
    (time.hour() * 60 + time.minute() + 720) % 1440
}

/// The first and the last time the clocks show it, or when they go on after leaving it out.
pub(super) fn shown(local: NaiveDateTime, zone: Tz) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
    (0..=48).find_map(|half_hours| {
        let local = local.checked_add_signed(TimeDelta::minutes(30 * half_hours))?;
        let shown = zone.from_local_datetime(&local);
        Some((shown.earliest()?.to_utc(), shown.latest()?.to_utc()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(from: &str, until: &str) -> Option<ClockWindow> {
        let time = |text| NaiveTime::parse_from_str(text, "%H:%M").unwrap();
        ClockWindow::new(time(from), time(until))
    }

    #[track_caller]
    fn check((from, until): (&str, &str), on: &str, zone: Tz, want: Option<(&str, &str)>) {
        let got = window(from, until).unwrap().on(on.parse().unwrap(), zone);
        let utc = |text: &str| text.parse::<DateTime<Utc>>().unwrap();
        assert_eq!(got, want.map(|(from, until)| (utc(from), utc(until))));
    }

    #[test]
    fn hours_follow_the_clock_of_the_place() {
        // IANA time zone database: clocks back on 25 October 2026 in Madrid and 1 November in New York,
        // forward on 4 October in Sydney, 29 March in Madrid; Samoa without 2011-12-30.
        use chrono_tz::America::New_York;
        use chrono_tz::Australia::Sydney;
        use chrono_tz::Europe::Madrid;
        use chrono_tz::Pacific::Apia;
        let evening = ("19:00", "22:00");
        let utc = |from, until| Some((from, until));
        let want = utc("2026-10-24T17:00:00Z", "2026-10-24T20:00:00Z");
        check(evening, "2026-10-24", Madrid, want);
        let want = utc("2026-10-25T18:00:00Z", "2026-10-25T21:00:00Z");
        check(evening, "2026-10-25", Madrid, want);
        let want = utc("2026-10-31T23:00:00Z", "2026-11-01T02:00:00Z");
        check(evening, "2026-10-31", New_York, want);
        let want = utc("2026-11-02T00:00:00Z", "2026-11-02T03:00:00Z");
        check(evening, "2026-11-01", New_York, want);
        let want = utc("2026-10-03T09:00:00Z", "2026-10-03T12:00:00Z");
        check(evening, "2026-10-03", Sydney, want);
        let want = utc("2026-10-04T08:00:00Z", "2026-10-04T11:00:00Z");
        check(evening, "2026-10-04", Sydney, want);
        // Through midnight and the change itself: an hour more, an hour less.
        let late = ("23:00", "02:30");
        let want = utc("2026-10-24T21:00:00Z", "2026-10-25T01:30:00Z");
        check(late, "2026-10-24", Madrid, want);
        let want = utc("2026-03-28T22:00:00Z", "2026-03-29T01:00:00Z");
        check(late, "2026-03-28", Madrid, want);
        // Nothing left of it, and a day that never was.
        check(("02:00", "02:30"), "2026-03-28", Madrid, None);
        check(evening, "2011-12-30", Apia, None);
    }

    #[test]
    fn a_night_runs_from_noon_to_noon() {
        for (from, until, is_window) in [
            ("19:00", "22:00", true),
            ("21:00", "01:00", true),
            ("04:00", "06:30", true),
            ("19:00", "19:29", false),
            ("19:00", "19:00", false),
            ("22:00", "19:00", false),
            ("06:00", "13:00", false),
        ] {
            assert_eq!(window(from, until).is_some(), is_window, "{from}-{until}");
        }
    }
}
