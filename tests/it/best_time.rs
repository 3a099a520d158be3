//! Thirty random nights: nothing is best in a bright sky that stands as well in a dark one.

use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use skyworthy::plan::night::{Night, Wish, night};
use skyworthy::plan::outlook::{Outlook, Target};
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::{Appearance, Body};
use skyworthy::targets::subject::Seen;

use crate::support::larch_at;

const NIGHTS: u32 = 30;

/// In the dark what stands so much lower than at its best is still the better choice.
const HARDLY_LOWER_DEG: f64 = 10.0;

/// The hours tried are five minutes apart: at the ends of a condition the Sun or the object moves by so much between.
const BETWEEN_TRIES_DEG: f64 = 0.7;

/// A night somewhere between 45 south and 58 north, under a dark or a town sky.
fn random_night(seed: u32) -> (Place, Night) {
    // Steele and Vigna's mixer of 64 bits.
    let mut state = 0x51AB_5EED_u64.wrapping_add(u64::from(seed) << 20);
    let mut next = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let latitude_deg = -45.0 + 103.0 * next();
    let site = [
        "sky_brightness_mag_arcsec2 = 18.3",
        "sky_brightness_mag_arcsec2 = 21.4",
    ];
    let site = site[(2.0 * next()) as usize];
    let first: NaiveDate = "2024-01-01".parse().expect("a date");
    let on = first + Days::new((3650.0 * next()) as u64);
    let workshop = larch_at(latitude_deg, 0.0, "UTC", site);
    let wish = Wish {
        on,
        daylight: false,
    };
    let night = night(&workshop, wish).unwrap_or_else(|why| panic!("{latitude_deg} {on}: {why:?}"));
    (
        Place::new(latitude_deg, 0.0, workshop.site.elevation_m),
        night,
    )
}

/// One instant while it can be looked at.
struct Instant {
    at: DateTime<Utc>,
    altitude_deg: f64,
    sun_deg: f64,
    moon: Appearance,
}

fn instant(place: Place, seen: &Seen, at: DateTime<Utc>) -> Instant {
    let scene = Scene::new(place, at).expect("inside the ephemeris");
    let body = |body| scene.appearance(body).expect("inside the ephemeris");
    let altitude_deg = match seen {
        Seen::Body(seen) => body(seen.body).place.altitude_deg,
        Seen::Beyond(there, _) => scene.star(&there.star()).altitude_deg,
        Seen::Small(course, _) => {
            let seen = scene.small_body(course).expect("on its course");
            seen.place.altitude_deg
        }
    };
    Instant {
        at,
        altitude_deg,
        sun_deg: body(Body::Sun).place.altitude_deg,
        moon: body(Body::Moon),
    }
}

/// Ten minutes apart.
fn instants(place: Place, outlook: &Outlook) -> Vec<Instant> {
    let mut instants = Vec::new();
    for stretch in &outlook.stretches {
        let mut at = stretch.from;
        while at <= stretch.until {
            instants.push(instant(place, &outlook.at_best, at));
            at += TimeDelta::minutes(10);
        }
    }
    instants
}

#[test]
fn nothing_among_the_stars_is_best_in_twilight_or_moonlight_without_need() {
    let (mut n_rows, mut n_moonlit, mut n_twilit) = (0, 0, 0);
    for seed in 0..NIGHTS {
        let (place, night) = random_night(seed);
        for Target { outlook, .. } in &night.telescopes[0].beyond {
            n_rows += 1;
            let best = instant(place, &outlook.at_best, outlook.best);
            let others = instants(place, outlook);
            let what = |other: &Instant| {
                let name = outlook.subject().id().to_string();
                format!(
                    "{name} {}: {:.1} up, Sun {:.1}; {}: {:.1} up, Sun {:.1}",
                    best.at,
                    best.altitude_deg,
                    best.sun_deg,
                    other.at,
                    other.altitude_deg,
                    other.sun_deg
                )
            };
            if -15.0 + BETWEEN_TRIES_DEG < best.sun_deg {
                n_twilit += 1;
                let better = others.iter().find(|other| {
                    other.sun_deg < -15.0 - BETWEEN_TRIES_DEG
                        && best.altitude_deg - HARDLY_LOWER_DEG + BETWEEN_TRIES_DEG
                            < other.altitude_deg
                });
                assert!(better.is_none(), "{}", better.map(what).unwrap_or_default());
            }
            let moonlit =
                3.0 < best.moon.place.altitude_deg && 0.3 < best.moon.illuminated_fraction;
            if moonlit {
                n_moonlit += 1;
                let better = others.iter().find(|other| {
                    other.sun_deg < -18.0
                        && other.moon.place.altitude_deg < -1.0
                        && best.altitude_deg < other.altitude_deg
                });
                assert!(
                    better.is_none(),
                    "Moon: {}",
                    better.map(what).unwrap_or_default()
                );
            }
        }
    }
    assert!(150 < n_rows && 30 < n_moonlit, "{n_rows} {n_moonlit}");
    assert!(10 * n_twilit < n_rows, "{n_twilit} of {n_rows} in twilight");
}

#[test]
fn a_planet_is_best_in_bright_twilight_only_if_it_is_much_higher_then() {
    const BRIGHT_SUN_DEG: f64 = -5.0;
    const MUCH_DEG: f64 = 3.0;
    let mut n_rows = 0;
    for seed in 0..NIGHTS {
        let (place, night) = random_night(seed);
        for Target { outlook, .. } in &night.telescopes[0].targets {
            n_rows += 1;
            let best = instant(place, &outlook.at_best, outlook.best);
            // The Moon and Venus outshine a twilight.
            let outshines = [Some(Body::Moon), Some(Body::Venus)];
            if best.sun_deg < BRIGHT_SUN_DEG || outshines.contains(&outlook.subject().body()) {
                continue;
            }
            for other in instants(place, outlook) {
                assert!(
                    other.sun_deg > -9.0 || other.altitude_deg < best.altitude_deg - MUCH_DEG,
                    "{} {}: {:.1} up, Sun {:.1}; {}: {:.1} up, Sun {:.1}",
                    outlook.subject().id(),
                    best.at,
                    best.altitude_deg,
                    best.sun_deg,
                    other.at,
                    other.altitude_deg,
                    other.sun_deg
                );
            }
        }
    }
    assert!(80 < n_rows, "{n_rows}");
}
