//! Rising, setting, dusk, dawn and transit through the almanac, against JPL DE440.
//!
//! Source: tests/reference/rise_set.tsv; its head tells definitions and how it was computed.

use skyworthy::sky::Body;
use skyworthy::sky::almanac::{Almanac, SUNRISE_ALTITUDE_DEG, Span};
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::time::tt_days;

use super::table::{Errors, NamedRow, rows};

const EVENTS: &str = include_str!("../../reference/rise_set.tsv");

/// The table's last digit (half of 0.1 s) and the search's own tolerance.
const ROUNDING_S: f64 = 0.05 + 0.05;

/// What the tracks leave out or blur: diurnal aberration 0.3", interpolation 0.1".
const TRACK_ARCSEC: f64 = 0.3 + 0.1;

/// And the bending of light at the Sun: 1.75" at its limb, 0.267 degrees from its centre, and less in
/// proportion farther out.
fn bending_arcsec(row: &NamedRow) -> f64 {
    if matches!(row.body(), Body::Sun | Body::Moon) {
        return 0.0;
    }
    let scene = Scene::new(row.place(), row.instant("utc")).expect("in range");
    let seen = scene.appearance(row.body()).expect("in range");
    1.75 * 0.267 / seen.place.elongation_deg
}

/// What the project promises of an event that is not grazing.
const PROMISED_S: f64 = 5.0;

/// One site and night: everything the table says of it.
struct Night {
    almanac: Almanac,
    rows: Vec<NamedRow>,
}

fn nights() -> Vec<Night> {
    let mut nights: Vec<Night> = Vec::new();
    let key = |row: &NamedRow| (row.text("site"), row.text("window_start_utc"));
    for row in rows(EVENTS) {
        match nights.last_mut() {
            Some(night) if key(&night.rows[0]) == key(&row) => night.rows.push(row),
            _ => {
                let from_tt_days = tt_days(row.instant("window_start_utc"));
                let span = Span {
                    from_tt_days,
                    until_tt_days: from_tt_days + 1.0,
                };
                nights.push(Night {
                    almanac: Almanac::over(row.place(), span).expect("in range"),
                    rows: vec![row],
                });
            }
        }
    }
    nights
}

/// The Sun's altitude a twilight is named after.
fn twilight_altitude_deg(event: &str) -> Option<f64> {
    let (name, _) = event.split_once('_')?;
    Some(match name {
        "civil" => -6.0,
        "nautical" => -12.0,
        "astronomical" => -18.0,
        _ => panic!("no twilight is called {name}"),
    })
}

/// All events of one name, days of TT since J2000.0.
fn events(almanac: &Almanac, body: Body, event: &str) -> Vec<f64> {
    let passages = match (event, twilight_altitude_deg(event)) {
        ("transit", _) => return almanac.upper_transits(body),
        (_, Some(altitude_deg)) => almanac.altitude_crossings(body, altitude_deg),
        _ => almanac.risings_and_settings(body),
    };
    let rising = event == "rise" || event.ends_with("dawn");
    let mine = passages.into_iter().filter(|p| p.rising == rising);
    mine.map(|passage| passage.at).collect()
}

fn label(row: &NamedRow) -> String {
    ["site", "local_date", "body", "event"]
        .map(|column| row.text(column))
        .join(" ")
}

/// The table's events of the same kind as this row's, days of TT.
fn wanted(night: &Night, like: &NamedRow) -> Vec<f64> {
    let kind = |row: &NamedRow| (row.text("body"), row.text("event"));
    let same = (night.rows.iter())
        .filter(|row| kind(row) == kind(like) && row.text("utc") != "none")
        .map(|row| tt_days(row.instant("utc")));
    same.collect()
}

#[test]
fn every_event_happens_when_de440_says_and_no_other() {
    let mut errors = Errors::of("horizon events and transits, -55 to 68 degrees", "s");
    let mut at_poles = Errors::of("horizon events at the poles", "s");
    let mut transits = Errors::of("transits alone", "s");
    for night in nights() {
        for row in &night.rows {
            let got = events(&night.almanac, row.body(), row.text("event"));
            let want = wanted(&night, row);
            assert_eq!(got.len(), want.len(), "how often: {}", label(row));
            let Some(rate_deg_min) = row.maybe_number("rate_deg_min") else {
                continue;
            };
            let at = tt_days(row.instant("utc"));
            let nearest_days = got.iter().map(|got| got - at);
            let error_s = nearest_days.min_by(|a, b| a.abs().total_cmp(&b.abs()));
            let error_s = error_s.expect("counted above") * 86_400.0;
            let rate_arcsec_s = rate_deg_min.abs() * 60.0;
            let allowed_s = ROUNDING_S + (TRACK_ARCSEC + bending_arcsec(row)) / rate_arcsec_s;
            assert!(
                error_s.abs() <= allowed_s,
                "{}: off by {error_s} s, allowed {allowed_s} s",
                label(row)
            );
            if row.text("event") == "transit" {
                transits.push(error_s, label(row));
            }
            if row.number("latitude_deg").abs() < 89.0 {
                errors.push(error_s, label(row));
            } else {
                at_poles.push(error_s, label(row));
            }
        }
    }
    errors.check(0.1, PROMISED_S);
    transits.check(0.1, 1.0);
    // The Sun climbs 1" a minute there: 0.4" are 24 s. Each row was held to its own rate above.
    at_poles.check(0.5, 24.0);
}

#[test]
fn what_does_not_happen_stays_on_the_side_de440_says() {
    let mut compared = 0;
    for night in nights() {
        for row in night.rows.iter().filter(|row| row.text("state") != "-") {
            let from = night.almanac.span().from_tt_days;
            let body = row.body();
            let above = match twilight_altitude_deg(row.text("event")) {
                Some(line_deg) => night.almanac.horizontal(body, from).altitude_deg > line_deg,
                None => night.almanac.is_up(body, from),
            };
            assert_eq!(above, row.text("state") == "above", "{}", label(row));
            compared += 1;
        }
    }
    assert!(compared > 50, "only {compared} rows say so");
}

#[test]
fn sunrise_is_a_passage_like_the_twilights() {
    for night in nights() {
        assert_eq!(
            night.almanac.risings_and_settings(Body::Sun),
            night
                .almanac
                .altitude_crossings(Body::Sun, SUNRISE_ALTITUDE_DEG)
        );
    }
}
