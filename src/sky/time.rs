//! Time scales: UTC in the user's hands, TT (taken as TDB) in the theories, UT1 in the Earth's
//! rotation.
//!
//! - TT - UTC follows the table of leap seconds from 1972 and stays at its last value afterwards:
//!   nobody knows the leap seconds to come.
//! - Before 1972, UTC is taken as UT1, and TT - UT1 from the polynomials of Espenak & Meeus 2006.
//! - From 1972, UT1 is taken equal to UTC: less than 0.9 s off by the definition of UTC, at most 14"
//!   of hour angle.
//! - TDB - TT never exceeds 2 ms and is left out: the Moon moves 0.001" in that time.
//!
//! Inside the library an instant is a number of days since J2000.0 (JD 2451545.0) of the scale its
//! name says; a double holds it to a microsecond.

use std::sync::LazyLock;

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};
use serde::Deserialize;

use crate::constants::{J2000_JD, JULIAN_YEAR_DAYS, SECONDS_PER_DAY, UNIX_EPOCH_JD};
use crate::tables;

/// TT - TAI, seconds: a definition.
const TT_MINUS_TAI_S: f64 = 32.184;

/// One row of data/leap_seconds.tsv.
#[derive(Deserialize)]
struct LeapSecondRow {
    #[serde(deserialize_with = "tables::parsed")]
    date_utc: NaiveDate,
    tai_minus_utc_s: f64,
}

/// The leap seconds: `(UTC days since J2000.0 from which it holds, TAI - UTC in seconds)`.
static LEAP_SECONDS: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let rows = tables::rows(include_str!("../../data/leap_seconds.tsv"));
    let from = |row: &LeapSecondRow| utc_days(row.date_utc.and_time(NaiveTime::MIN).and_utc());
    (rows.iter())
        .map(|row| (from(row), row.tai_minus_utc_s))
        .collect()
});

/// Days of UTC since 2000-01-01T12:00:00Z, every day 86,400 s long.
pub fn utc_days(utc: DateTime<Utc>) -> f64 {
    let since_unix_epoch_s = utc.timestamp() - seconds_from_unix_epoch_to_j2000();
    // Whole days apart from the rest: the sum keeps the last microsecond.
    let whole_days = since_unix_epoch_s.div_euclid(86_400);
    let rest_s = since_unix_epoch_s.rem_euclid(86_400) as f64
        + f64::from(utc.timestamp_subsec_nanos()) * 1e-9;
    whole_days as f64 + rest_s / SECONDS_PER_DAY
}

/// The instant that many days of UTC after 2000-01-01T12:00:00Z, to the millisecond.
/// `None` beyond the calendar's own limits.
pub fn utc_from_utc_days(utc_days: f64) -> Option<DateTime<Utc>> {
    let milliseconds = (utc_days * SECONDS_PER_DAY * 1e3).round();
    if !milliseconds.is_finite() || milliseconds.abs() > 1e15 {
        return None;
    }
    DateTime::from_timestamp_millis(milliseconds as i64 + seconds_from_unix_epoch_to_j2000() * 1000)
}

fn seconds_from_unix_epoch_to_j2000() -> i64 {
    ((J2000_JD - UNIX_EPOCH_JD) * SECONDS_PER_DAY) as i64
}

/// TT - UTC at an instant of UTC, seconds.
pub fn tt_minus_utc_s(utc_days: f64) -> f64 {
    // The newest row first: nearly every question is about the present.
    LEAP_SECONDS
        .iter()
        .rev()
        .find(|(from, _)| utc_days >= *from)
        .map_or_else(
            || delta_t_before_1972_s(utc_days),
            |(_, tai_minus_utc_s)| tai_minus_utc_s + TT_MINUS_TAI_S,
        )
}

/// TT - UT1 between 1941 and 1972, seconds; beyond, the nearer branch is followed.
///
/// Source: Espenak & Meeus 2006, Five Millennium Canon of Solar Eclipses (NASA TP-2006-214141),
/// polynomial expressions for delta T. They follow the observed values within about 0.3 s here.
fn delta_t_before_1972_s(utc_days: f64) -> f64 {
    let year = 2000.0 + utc_days / JULIAN_YEAR_DAYS;
    if year < 1961.0 {
        let t = year - 1950.0;
        29.07 + 0.407 * t - t * t / 233.0 + t.powi(3) / 2547.0
    } else {
        let t = year - 1975.0;
        45.45 + 1.067 * t - t * t / 260.0 - t.powi(3) / 718.0
    }
}

/// Days of TT since J2000.0 from days of UTC.
pub fn tt_from_utc_days(utc_days: f64) -> f64 {
    utc_days + tt_minus_utc_s(utc_days) / SECONDS_PER_DAY
}

/// Days of UTC since J2000.0 from days of TT.
pub fn utc_from_tt_days(tt_days: f64) -> f64 {
    // TT - UTC is constant for months or creeps by 3e-8: a second step settles it.
    let near = tt_days - tt_minus_utc_s(tt_days) / SECONDS_PER_DAY;
    tt_days - tt_minus_utc_s(near) / SECONDS_PER_DAY
}

/// Days of TT since J2000.0 of an instant of UTC.
pub fn tt_days(utc: DateTime<Utc>) -> f64 {
    tt_from_utc_days(utc_days(utc))
}

/// The instant of UTC of so many days of TT since J2000.0, to the millisecond.
pub fn utc_from_tt(tt_days: f64) -> Option<DateTime<Utc>> {
    utc_from_utc_days(utc_from_tt_days(tt_days))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<Utc> {
        text.parse().expect("an RFC 3339 instant")
    }

    #[track_caller]
    fn check_offset(utc: &str, want_s: f64, tolerance_s: f64) {
        let got = tt_minus_utc_s(utc_days(at(utc)));
        assert!(
            (got - want_s).abs() <= tolerance_s,
            "TT - UTC at {utc}: want {want_s} ± {tolerance_s} s, got {got} s"
        );
    }

    #[test]
    fn offset_follows_the_leap_seconds() {
        // IERS Bulletin C: the second before and after a leap.
        check_offset("1972-01-01T00:00:00Z", 42.184, 1e-9);
        check_offset("2016-12-31T23:59:59Z", 68.184, 1e-9);
        check_offset("2017-01-01T00:00:00Z", 69.184, 1e-9);
        check_offset("2090-06-01T00:00:00Z", 69.184, 1e-9);
    }

    #[test]
    fn offset_before_1972_is_delta_t() {
        // Observed delta T, Astronomical Almanac K8 as commonly reprinted (from memory):
        // 1950.0 29.15, 1960.0 33.15, 1970.0 40.18 s; the polynomials claim some 0.3 s.
        check_offset("1950-01-01T00:00:00Z", 29.15, 0.3);
        check_offset("1960-01-01T00:00:00Z", 33.15, 0.3);
        check_offset("1970-01-01T00:00:00Z", 40.18, 0.3);
    }

    #[test]
    fn julian_dates_as_published() {
        // Meeus, Astronomical Algorithms 2nd ed., p. 62 (from memory), as days from JD 2451545.0.
        for (utc, jd) in [
            ("1957-10-04T19:26:24Z", 2_436_116.31),
            ("1987-01-27T00:00:00Z", 2_446_822.5),
            ("1999-01-01T00:00:00Z", 2_451_179.5),
            ("2000-01-01T12:00:00Z", 2_451_545.0),
        ] {
            assert!(
                (utc_days(at(utc)) + J2000_JD - jd).abs() < 1e-8,
                "{utc} should be JD {jd}"
            );
        }
    }

    #[test]
    fn there_and_back_keeps_the_millisecond() {
        for utc in [
            "1950-01-01T00:00:00.001Z",
            "2016-12-31T23:59:59.999Z",
            "2026-12-01T20:00:00.123Z",
            "2100-12-31T23:59:59.500Z",
        ] {
            assert_eq!(utc_from_tt(tt_days(at(utc))), Some(at(utc)));
        }
    }
}
