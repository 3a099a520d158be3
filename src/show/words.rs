//! Numbers, times and directions in words: one place, so that every page sounds alike.

use chrono::{DateTime, LocalResult, NaiveDate, SubsecRound, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

use crate::plan::sun::{SunCourse, SunTimes};
use crate::workshop::Glass;

/// Holds words together in a line, and is printed as a space.
pub(super) const JOINED: char = '\u{a0}';

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

/// A date in full: `Thursday 17 December 2026`.
pub fn date(on: NaiveDate) -> String {
    on.format("%A %-d %B %Y").to_string()
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

/// Beside other dates of the same months: `Friday 12 February`.
pub fn day_and_month(on: NaiveDate) -> String {
    on.format("%A %-d %B").to_string()
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

/// The same for an instant that may not come: `19:40` or `never`.
pub fn clock_or_never(at: Option<DateTime<Utc>>, zone: Tz) -> String {
    at.map_or_else(|| String::from("never"), |at| clock(at, zone))
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

/// One of sixteen winds: `SSE`.
pub fn wind(azimuth_deg: f64) -> &'static str {
    const WINDS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    WINDS[(azimuth_deg / 22.5).round().rem_euclid(16.0) as usize % 16]
}

/// An altitude as people measure it, a fist at arm's length being ten degrees: `four fists up`.
pub fn fists(altitude_deg: f64) -> &'static str {
    const FISTS: [&str; 10] = [
        "on the horizon",
        "one fist up",
        "two fists up",
        "three fists up",
        "four fists up",
        "five fists up",
        "six fists up",
        "seven fists up",
        "nearly overhead",
        "overhead",
    ];
    FISTS[((altitude_deg / 10.0).round().max(0.0) as usize).min(9)]
}

/// A fist at arm's length, degrees.
pub const FIST_DEG: f64 = 10.0;

/// So many fists along the sky: `two fists`.
pub fn n_fists(fists: f64) -> String {
    match fists.round() {
        1.0 => String::from("a fist"),
        2.0 => String::from("two fists"),
        3.0 => String::from("three fists"),
        n => format!("{n:.0} fists"),
    }
}

/// How long a target takes across a field: `104 s`, `3 min`.
pub fn crossing(drift_s: f64) -> String {
    match drift_s {
        s if s < 120.0 => format!("{s:.0} s"),
        s => format!("{:.0} min", s / 60.0),
    }
}

/// The width of a field: `26'`, from a degree on `1.3` and the word for degrees that the place has room for.
pub fn field(field_deg: f64, degrees: &str) -> String {
    match field_deg {
        deg if deg < 1.0 => format!("{:.0}'", 60.0 * deg),
        deg => format!("{deg:.1} {degrees}"),
    }
}

/// The same sentence with a capital: `Two stripes`.
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The Moon as it looks: `waxing crescent, 23 % lit`.
pub fn moon_phase(lit: f64, waxing: bool) -> String {
    let way = if waxing { "waxing" } else { "waning" };
    let shape = match lit {
        lit if lit < 0.02 => String::from("new"),
        lit if lit < 0.42 => format!("{way} crescent"),
        lit if lit < 0.58 => format!("half, {way}"),
        lit if lit < 0.98 => format!("{way} gibbous"),
        _ => String::from("full"),
    };
    format!("{shape}, {:.0} % lit", 100.0 * lit)
}

/// What an observer's margin does to every promise; `None` where it does nothing.
pub fn observer_margin(margin_dex: f64) -> Option<String> {
    (margin_dex != 0.0).then(|| {
        format!(
            "Eyes: the file's margin_dex of {margin_dex:+.2} shifts every promise: all shows {} times as strongly as \
             to the practised eyes these grades are made for.",
            two_digits(10f64.powf(margin_dex))
        )
    })
}

/// What a blank is made of: `plate`, as the workshop file has it.
pub fn glass(glass: Glass) -> &'static str {
    match glass {
        Glass::Plate => "plate",
        Glass::Borosilicate => "borosilicate",
    }
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [all_but_last @ .., last] => format!("{} and {last}", all_but_last.join(", ")),
    }
}

/// With so many digits after the point, for JSON: no digits that mean nothing.
pub fn rounded(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}

/// With one digit after the point, or none where that is a zero: `8`, `4.5`.
pub fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), String::from)
}

/// Two digits, all that most numbers here bear: `0.047`, `2.3`, `140`.
pub fn two_digits(value: f64) -> String {
    if value <= 0.0 {
        return String::from("0");
    }
    let power = value.log10().floor() as i32;
    match (1 - power).clamp(0, 4) {
        0 => {
            let unit = 10f64.powi((power - 1).max(0));
            format!("{:.0}", (value / unit).round() * unit)
        }
        decimals => format!("{value:.*}", decimals as usize),
    }
}

/// Paragraph broken to a width, never where words are held together; every line after the first begun with `indent`.
pub fn wrapped(text: &str, width: usize, indent: &str) -> String {
    let mut out = String::new();
    let mut used = 0;
    let ends_word = |c: char| c.is_whitespace() && c != JOINED;
    for word in text.split(ends_word).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            out.push('\n');
            out.push_str(indent);
            used = indent.chars().count();
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out
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
    fn two_digits_are_enough() {
        for (value, want) in [
            (136.4, "140"),
            (23.08, "23"),
            (8.04, "8.0"),
            (99.6, "100"),
            (1234.0, "1200"),
            (0.0471, "0.047"),
            (0.0, "0"),
        ] {
            assert_eq!(two_digits(value), want);
        }
    }

    #[test]
    fn winds_and_fists() {
        for (azimuth_deg, want) in [
            (0.0, "N"),
            (359.0, "N"),
            (135.0, "SE"),
            (348.7, "NNW"),
            (348.8, "N"),
        ] {
            assert_eq!(wind(azimuth_deg), want, "{azimuth_deg}");
        }
        assert_eq!(fists(38.0), "four fists up");
        assert_eq!(fists(90.0), "overhead");
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

    #[test]
    fn lines_stay_within_the_width() {
        let text = wrapped("one two three four five", 9, "  ");
        assert_eq!(text, "one two\n  three\n  four\n  five");
    }
}
