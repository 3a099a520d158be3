//! Thirty random nights: nothing is best in a bright sky that stands as well in a dark one.

use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use skyworthy::plan::night::{Night, Wish, night};
use skyworthy::plan::outlook::{Outlook, Target};
use skyworthy::sky::almanac::Span;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::time::{tt_days, utc_from_tt};
use skyworthy::sky::{Appearance, Body};
use skyworthy::targets::asked::Asked;
use skyworthy::targets::sight::Sight;
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

/// A body's faint moons and the Moon's night side have an hour of their own where the body's is too bright for them.
#[test]
fn faint_lights_wait_for_the_dark() {
    const FAINT_MAG: f64 = 9.0;
    const NEAR_ITS_PLANET: [&str; 4] = [
        "saturn_enceladus",
        "saturn_tethys",
        "saturn_dione",
        "saturn_rhea",
    ];
    let (mut n_rows, mut n_own) = (0, 0);
    for seed in 0..NIGHTS {
        let (place, night) = random_night(seed);
        for Target { outlook, .. } in &night.telescopes[0].targets {
            let is_faint = |asked: &&Asked| match asked.today.sight {
                // Where a moon goes round in days its place in the glare counts for more than the twilight.
                Sight::Point { magnitude, .. } => {
                    FAINT_MAG < magnitude && !NEAR_ITS_PLANET.contains(&asked.caption.id.as_str())
                }
                Sight::Glow { .. } => true,
                _ => false,
            };
            for asked in outlook.asked.iter().filter(is_faint) {
                n_rows += 1;
                let own = asked.hour.and_then(|hour| utc_from_tt(hour.at_tt_days));
                n_own += usize::from(own.is_some());
                let then = instant(place, &outlook.at_best, own.unwrap_or(outlook.best));
                let is_better = |other: &Instant| {
                    -10.0 < then.sun_deg
                        && other.sun_deg < -16.0
                        && then.altitude_deg <= other.altitude_deg
                        && other.moon.place.altitude_deg <= then.moon.place.altitude_deg.max(-1.0)
                };
                let others = instants(place, outlook);
                let better = others.iter().find(|other| is_better(other));
                assert!(
                    better.is_none(),
                    "{} at {} with the Sun at {:.1}; {} is darker",
                    asked.caption.id,
                    then.at,
                    then.sun_deg,
                    better.map(|it| it.at.to_string()).unwrap_or_default()
                );
            }
        }
    }
    assert!(30 < n_rows && 5 < n_own, "{n_rows} {n_own}");
}

/// What is graded for an hour of its own is there at that hour, in its window and in one of its body's stretches.
#[test]
fn every_hour_is_the_details_own() {
    let mut n_own = 0;
    for seed in 0..NIGHTS {
        let (_, night) = random_night(seed);
        for Target { outlook, .. } in &night.telescopes[0].targets {
            for asked in &outlook.asked {
                let at = asked.hour.map_or(tt_days(outlook.best), |it| it.at_tt_days);
                let is_within = |it: &Span| it.contains(at);
                // An instant of the clock is kept to the millisecond.
                const MILLISECOND_DAYS: f64 = 1.2e-8;
                let mut stretches = outlook.stretches.iter();
                let in_stretch = stretches.any(|it| {
                    tt_days(it.from) - MILLISECOND_DAYS <= at
                        && at <= tt_days(it.until) + MILLISECOND_DAYS
                });
                assert!(in_stretch, "{} at {:?}", asked.caption.id, asked.hour);
                let in_window = asked.during.is_empty() || asked.during.iter().any(is_within);
                assert!(in_window, "{} at {:?}", asked.caption.id, asked.hour);
                let minutes = asked.during.iter().map(|it| 1440.0 * it.days());
                assert!(
                    minutes.fold(f64::MAX, f64::min) > 0.5,
                    "{}",
                    asked.caption.id
                );
                n_own += usize::from(asked.hour.is_some());
            }
        }
    }
    assert!(200 < n_own, "{n_own}");
}
