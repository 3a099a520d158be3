//! Nights that never get dark, days that never come, the poles, the date line: what everybody knows.

use chrono::{DateTime, Utc};
use skyworthy::sky::Body;
use skyworthy::sky::almanac::{Almanac, Span};
use skyworthy::sky::earth::Place;
use skyworthy::sky::ephemeris::{FIRST_TDB_DAYS, LAST_TDB_DAYS};
use skyworthy::sky::time::{tt_days, utc_from_tt};

fn almanac(latitude_deg: f64, longitude_deg: f64, from: &str, until: &str) -> Almanac {
    let tt = |date: &str| {
        let midnight: DateTime<Utc> = format!("{date}T00:00:00Z").parse().expect("a date");
        tt_days(midnight)
    };
    let span = Span {
        from_tt_days: tt(from),
        until_tt_days: tt(until),
    };
    Almanac::over(Place::new(latitude_deg, longitude_deg, 0.0), span).expect("in range")
}

/// Risings and settings of the Sun, as dates.
fn sun_dates(almanac: &Almanac) -> (Vec<String>, Vec<String>) {
    let (ups, downs): (Vec<_>, Vec<_>) = almanac
        .risings_and_settings(Body::Sun)
        .into_iter()
        .partition(|passage| passage.rising);
    let dates = |passages: Vec<skyworthy::sky::search::Crossing>| {
        let utc = passages.iter().map(|p| utc_from_tt(p.at).expect("a date"));
        utc.map(|utc| utc.date_naive().to_string()).collect()
    };
    (dates(ups), dates(downs))
}

#[test]
fn midnight_sun_and_polar_night_at_68_north() {
    // Common knowledge of Lofoten (68.2 N): midnight sun from the last days of May to mid July, no
    // sunrise for some weeks about the winter solstice.
    let june = almanac(68.2, 14.5, "2026-06-05", "2026-07-10");
    assert!(june.risings_and_settings(Body::Sun).is_empty());
    assert!(june.is_up(Body::Sun, june.span().from_tt_days));
    let december = almanac(68.2, 14.5, "2026-12-12", "2026-12-31");
    assert!(december.risings_and_settings(Body::Sun).is_empty());
    assert!(!december.is_up(Body::Sun, december.span().from_tt_days));
    // But there is twilight at noon.
    let dawns = december.altitude_crossings(Body::Sun, -6.0);
    assert_eq!(dawns.iter().filter(|dawn| dawn.rising).count(), 19);
}

#[test]
fn the_suns_year_at_68_north_has_two_gaps() {
    let year = almanac(68.2, 14.5, "2026-01-01", "2027-01-01");
    let (rises, sets) = sun_dates(&year);
    // Each winter and summer gap lies between a day with and a day without; nothing in between. In
    // common tables (from memory, a few days' uncertainty by refraction and hills): sunless from
    // about 9 December to 4 January, midnight sun from about 26 May to 17 July.
    let none_in = |dates: &[String], from: &str, until: &str| {
        dates
            .iter()
            .all(|date| !(from < &date[..] && &date[..] < until))
    };
    assert!(none_in(&rises, "2026-05-30", "2026-07-13"), "{rises:?}");
    assert!(none_in(&sets, "2026-05-30", "2026-07-13"), "{sets:?}");
    assert!(none_in(&rises, "2026-12-12", "2026-12-31"), "{rises:?}");
    assert!(rises.contains(&"2026-05-20".to_owned()), "{rises:?}");
    assert!(rises.contains(&"2026-12-04".to_owned()), "{rises:?}");
    assert!((280..=300).contains(&rises.len()), "{}", rises.len());
}

#[test]
fn one_sunrise_a_year_at_the_poles() {
    // Common knowledge: refraction and the upper limb (50') move the equinoctial sunrise and sunset
    // two days into the dark half (the Sun climbs 24' a day): 18 March and 25 September at the north
    // pole for equinoxes on 20 March and 23 September 2026.
    let check = |latitude_deg: f64, want_rise: &[&str], want_set: &[&str]| {
        let year = almanac(latitude_deg, 0.0, "2026-01-01", "2027-01-01");
        let (rises, sets) = sun_dates(&year);
        assert!(
            rises.len() == 1 && want_rise.contains(&&rises[0][..]),
            "{rises:?}"
        );
        assert!(
            sets.len() == 1 && want_set.contains(&&sets[0][..]),
            "{sets:?}"
        );
    };
    check(90.0, &["2026-03-18"], &["2026-09-25"]);
    check(
        -90.0,
        &["2026-09-20", "2026-09-21"],
        &["2026-03-22", "2026-03-23"],
    );
}

#[test]
fn the_centre_of_the_sun_passes_the_polar_horizon_at_the_equinox() {
    // Equinoxes of 2026 as published by almanac offices (from memory): 20 March 14:46 UTC and
    // 23 September 00:05 UTC. At the pole only the parallax (8.8", 13 minutes of its climb) is added.
    let year = almanac(90.0, 0.0, "2026-01-01", "2027-01-01");
    let passages = year.altitude_crossings(Body::Sun, 0.0);
    assert_eq!(passages.len(), 2);
    for (passage, want) in passages
        .iter()
        .zip(["2026-03-20T14:46:00Z", "2026-09-23T00:05:00Z"])
    {
        let late_min = (passage.at - tt_days(want.parse().expect("an instant"))) * 1440.0;
        // The parallax lowers the Sun: late in spring, early in autumn, 8.8" at 59" an hour.
        let want_min = if passage.rising { 9.0 } else { -9.0 };
        assert!((late_min - want_min).abs() < 2.0, "{want}: {late_min} min");
    }
}

#[test]
fn no_night_is_dark_at_55_north_in_june() {
    // Common knowledge: no astronomical darkness in summer north of 48.6 degrees
    // (90 - 23.4 - 18).
    let june = almanac(55.0, 10.0, "2026-06-10", "2026-07-01");
    assert!(june.altitude_crossings(Body::Sun, -18.0).is_empty());
    assert_eq!(june.risings_and_settings(Body::Sun).len(), 2 * 21);
    let farther_south = almanac(48.0, 10.0, "2026-06-10", "2026-07-01");
    let dusks = farther_south.altitude_crossings(Body::Sun, -18.0);
    assert_eq!(dusks.len(), 2 * 21);
}

#[test]
fn the_date_line_is_no_edge() {
    // The same instants from both sides of 180 degrees; a metre apart.
    let span = ("2026-03-01", "2026-03-08");
    let west = almanac(-17.0, 179.999_995, span.0, span.1);
    let east = almanac(-17.0, -179.999_995, span.0, span.1);
    for body in Body::ALL {
        let (a, b) = (
            west.risings_and_settings(body),
            east.risings_and_settings(body),
        );
        assert_eq!(a.len(), b.len(), "{body:?}");
        for (a, b) in a.iter().zip(&b) {
            // 1e-5 degrees are 2.4 ms of time; the search stops within 50 ms.
            assert!((a.at - b.at).abs() * 86_400.0 < 0.1025, "{body:?}");
        }
        let (a, b) = (west.upper_transits(body), east.upper_transits(body));
        assert_eq!(a.len(), b.len(), "{body:?}");
    }
}

#[test]
fn one_transit_a_day_everywhere() {
    // Upper transits in 360 days: the Sun 360; the Moon loses one a synodic month (29.53 d); a
    // star gains one a year, so that an outer planet makes it 360 or 361.
    for latitude_deg in [-90.0, -55.0, 0.0, 68.0, 90.0] {
        let year = almanac(latitude_deg, 30.0, "2026-01-01", "2026-12-27");
        let count = |body| year.upper_transits(body).len();
        assert_eq!(count(Body::Sun), 360, "{latitude_deg}");
        assert!((347..=349).contains(&count(Body::Moon)), "{latitude_deg}");
        assert!(
            (360..=361).contains(&count(Body::Neptune)),
            "{latitude_deg}"
        );
    }
}

#[test]
fn the_almanac_ends_with_the_ephemeris() {
    let place = Place::new(43.0, -3.0, 0.0);
    let over = |from_tt_days: f64, until_tt_days: f64| {
        let span = Span {
            from_tt_days,
            until_tt_days,
        };
        Almanac::over(place, span)
    };
    assert!(over(FIRST_TDB_DAYS, FIRST_TDB_DAYS + 1.0).is_some());
    assert!(over(LAST_TDB_DAYS - 1.0, LAST_TDB_DAYS).is_some());
    assert!(over(FIRST_TDB_DAYS - 100.0, FIRST_TDB_DAYS).is_none());
    assert!(over(LAST_TDB_DAYS, LAST_TDB_DAYS + 100.0).is_none());
}
