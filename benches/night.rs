//! Whole jobs, by the name a user would give them, and beside the year of events the same asked the
//! slow, obvious way. `almanac_reference.py` times the same year by somebody else's almanac.

use std::hint::black_box;

use chrono::{DateTime, TimeDelta, Utc};
use divan::Bencher;
use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::night::{Wish, night};
use skyworthy::sky::almanac::{Almanac, Span};
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::small_bodies::asteroids;
use skyworthy::sky::time::tt_days;
use skyworthy::sky::{Appearance, Body};
use skyworthy::targets::look::Look;
use skyworthy::targets::verdict::{ThreeAirs, grades, verdicts};

fn main() {
    divan::main();
}

/// A roof in a town at 43 degrees north, in an invented place.
fn roof() -> Place {
    Place::new(43.2, -2.9, 40.0)
}

fn start() -> DateTime<Utc> {
    "2026-12-01T12:00:00Z".parse().expect("an instant")
}

fn days(n_days: f64) -> Span {
    let from_tt_days = tt_days(start());
    Span {
        from_tt_days,
        until_tt_days: from_tt_days + n_days,
    }
}

/// Saturn from the roof: place, phase, brightness, ring; everything `sky` says of one body.
#[divan::bench]
fn one_apparent_place(bencher: Bencher) {
    bencher.bench(|| {
        let scene = Scene::new(black_box(roof()), black_box(start())).expect("in range");
        scene.appearance(Body::Saturn)
    });
}

/// All risings, settings and upper transits of a body in an almanac.
fn n_events(almanac: &Almanac, body: Body) -> usize {
    almanac.risings_and_settings(body).len() + almanac.upper_transits(body).len()
}

/// From nothing to some 9,800 events: the almanac's own making is counted.
#[divan::bench]
fn rise_set_transit_of_nine_bodies_over_365_days(bencher: Bencher) {
    bencher.bench(|| {
        let almanac = Almanac::over(black_box(roof()), days(365.0)).expect("in range");
        Body::ALL.map(|body| n_events(&almanac, body))
    });
}

/// One body over a month, for the ratio to the one below.
#[divan::bench]
fn rise_and_set_of_mars_over_30_days(bencher: Bencher) {
    bencher.bench(|| {
        let almanac = Almanac::over(black_box(roof()), days(30.0)).expect("in range");
        almanac.risings_and_settings(Body::Mars).len()
    });
}

/// The slow, obvious way: the exact chain every five minutes, a straight line between.
#[divan::bench(sample_count = 5)]
fn rise_and_set_of_mars_over_30_days_by_looking_every_5_minutes(bencher: Bencher) {
    bencher.bench(|| {
        let height_deg = |minutes: i64| {
            let scene = Scene::new(black_box(roof()), start() + TimeDelta::minutes(minutes));
            let seen = scene.expect("in range").appearance(Body::Mars);
            seen.expect("in range").place.altitude_deg + 34.0 / 60.0
        };
        let looks: Vec<_> = (0..=30 * 24 * 12).map(|idx| height_deg(5 * idx)).collect();
        let changes = looks.windows(2).enumerate();
        changes
            .filter(|(_, pair)| (pair[0] > 0.0) != (pair[1] > 0.0))
            .map(|(idx, pair)| 5.0 * (idx as f64 + pair[0] / (pair[0] - pair[1])))
            .collect::<Vec<_>>()
    });
}

/// What the program does when called: three telescopes, eight bodies, a hundred details, three airs.
/// From the epoch of the table, 2026-06-09, over a number of years to a night.
#[divan::bench(args = [0.5, 3.0, 20.0])]
fn courses_of_all_asteroids_to_a_night(bencher: Bencher, years: f64) {
    let from = asteroids()[0].elements.epoch_tt_days + 365.25 * years;
    let n_found = || {
        let courses = asteroids().iter().map(|body| body.course(from, from + 1.0));
        courses.filter(|course| course.is_ok()).count()
    };
    assert_eq!(n_found(), asteroids().len());
    bencher.bench(n_found);
}

#[divan::bench]
fn one_asteroid_seen(bencher: Bencher) {
    let tt_days = tt_days(start());
    let course = asteroids()[0].course(tt_days, tt_days + 1.0);
    let course = course.expect("near its epoch");
    let scene = Scene::new(roof(), start()).expect("inside the ephemeris");
    bencher.bench(|| scene.small_body(&course));
}

#[divan::bench]
fn night_for_three_telescopes(bencher: Bencher) {
    let workshop = skyworthy::workshop::example();
    let wish = Wish {
        on: start().date_naive(),
        daylight: false,
    };
    bencher.bench(|| night(black_box(&workshop), black_box(wish)).expect("a night"));
}

/// Of the last quarter Moon, which has more details than any other body: one telescope, three airs, all eyepieces.
#[divan::bench]
fn every_detail_of_the_moon_graded(bencher: Bencher) {
    let (instrument, moon) = hazel_and_moon();
    let look = look_at(&moon);
    bencher.bench_local(|| grades(black_box(&instrument), black_box(&look)));
}

/// The same with eyepiece and reason for each.
#[divan::bench]
fn every_detail_of_the_moon_with_eyepiece_and_reason(bencher: Bencher) {
    let (instrument, moon) = hazel_and_moon();
    let look = look_at(&moon);
    bencher.bench_local(|| verdicts(black_box(&instrument), black_box(&look)));
}

fn hazel_and_moon() -> (Instrument, Appearance) {
    let workshop = skyworthy::workshop::example();
    let on = start().date_naive();
    let instrument = Instrument::of(&workshop, &workshop.telescopes[0], on).expect("it is read");
    let scene = Scene::new(roof(), start() + TimeDelta::hours(18)).expect("in range");
    let moon = scene.appearance(Body::Moon).expect("in range");
    (instrument, moon)
}

fn look_at(moon: &Appearance) -> Look<'_> {
    Look {
        appearance: Some(moon),
        at_tt_days: None,
        highest_deg: None,
        altitude_deg: moon.place.altitude_deg,
        sun_altitude_deg: -20.0,
        airmass: 1.5,
        extinction_mag_airmass: 0.25,
        sky_brightness_mag_arcsec2: 19.5,
        seeing_zenith_arcsec: ThreeAirs {
            good: 1.2,
            typical: 2.2,
            poor: 3.5,
        },
        observer: skyworthy::workshop::example().observer,
        red_spot_longitude_deg: None,
    }
}
