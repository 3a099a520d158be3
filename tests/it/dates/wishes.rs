//! What becomes of wishes: the evening named for each has nearly the most that a plain reckoning finds in the year; every
//! stated hour is the detail's own.

use chrono::{NaiveDate, NaiveTime, TimeDelta, Timelike};

use skyworthy::plan::dates::{Dates, WhyMissing};
use skyworthy::sky::Body;
use skyworthy::sky::air::{CLEAR_NIGHT_HAZE_MAG, airmass, extinction_mag_per_airmass};
use skyworthy::sky::appearance::{ApparentPlace, Scene};
use skyworthy::sky::earth::Place;
use skyworthy::sky::glow::{Glow, Moonlight, sky_brightness_mag_arcsec2};
use skyworthy::sky::vector::angle_rad;
use skyworthy::targets::beyond::{Beyond, beyond};
use skyworthy::targets::subject::Subject;
use skyworthy::workshop::{self, Workshop};

use super::{date, found, hours, in_one_line, on, town, wanted, wishes};

const DARK_MAG_ARCSEC2: f64 = 18.5;

/// Lower than this nobody looks.
const LOWEST_DEG: f64 = 10.0;

const STEP_MINUTES: i64 = 15;

/// An evening's merit for one subject, reckoned from the sky alone: the sum over its hours of
///
/// `signal x airmass^-0.6 x Moon factor`
///
/// The signal is a planet's diameter: what there is to see on it grows with it; of a pair always 1. Airmass^0.6 is how a star's
/// image widens toward the horizon (Kolmogorov). Of a glow the signal is the light it has left below the air, and the Moon
/// factor what the sky is brighter than without Moon and twilight: contrast is the one over the other. The sum over the hours
/// is the duration. An instant counts from ten degrees up and from civil dusk on, of a glow from nautical dusk.
fn merit(subject: &Subject, on: NaiveDate, town: &Workshop) -> f64 {
    let site = &town.site;
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let window = hours("20:00", "23:00")
        .on(on, site.time_zone)
        .expect("hours");
    let n_steps = (window.until - window.from).num_minutes() / STEP_MINUTES;
    let at = |step| window.from + TimeDelta::minutes(STEP_MINUTES * step);
    let scenes = (0..=n_steps).filter_map(|step| Scene::new(place, at(step)));
    scenes.map(|scene| merit_now(subject, &scene, town)).sum()
}

fn merit_now(subject: &Subject, scene: &Scene, town: &Workshop) -> f64 {
    let look = |body| scene.appearance(body).expect("inside the ephemeris");
    let sun_deg = look(Body::Sun).place.altitude_deg;
    let (there, dark_from_deg): (ApparentPlace, f64) = match subject {
        Subject::Body(body) => (look(*body).place, -6.0),
        Subject::Beyond(it @ Beyond::Double(_)) => (scene.star(&it.star()), -6.0),
        Subject::Beyond(it) => (scene.star(&it.star()), -12.0),
        Subject::Small(_) => unreachable!("nobody wishes for one here"),
    };
    if dark_from_deg < sun_deg || there.refracted_altitude_deg < LOWEST_DEG {
        return 0.0;
    }
    let airmass = airmass(there.refracted_altitude_deg).expect("above the horizon");
    let signal = match subject {
        Subject::Body(body) => look(*body).diameter_arcsec,
        Subject::Beyond(Beyond::DeepSky(_)) => {
            let elevation_m = town.site.elevation_m;
            let extinction_mag = extinction_mag_per_airmass(elevation_m, CLEAR_NIGHT_HAZE_MAG);
            let moon = look(Body::Moon);
            let to_moon = moon.place.topocentric_direction();
            let apart_rad = angle_rad(to_moon, there.topocentric_direction());
            let glow = Glow {
                sun_altitude_deg: sun_deg,
                moon: Some(Moonlight {
                    phase_angle_deg: moon.phase_angle_deg,
                    altitude_deg: moon.place.altitude_deg,
                    separation_deg: apart_rad.to_degrees(),
                    left: 1.0,
                }),
                ..Glow::dark(DARK_MAG_ARCSEC2, elevation_m)
            };
            let sky_mag = sky_brightness_mag_arcsec2(&glow, there.altitude_deg);
            10f64.powf(0.4 * (sky_mag - DARK_MAG_ARCSEC2 - extinction_mag * airmass))
        }
        _ => 1.0,
    };
    signal * airmass.powf(-0.6)
}

fn subject(id: &str) -> Subject {
    let body = Body::from_id(id).map(Subject::Body);
    let there = || beyond().find(|it| it.id() == id).map(Subject::Beyond);
    body.or_else(there).expect("an id")
}

#[test]
fn the_first_choice_has_nearly_the_most_of_a_year() {
    let ids = [
        "jupiter",
        "saturn",
        "mars",
        "albireo",
        "castor",
        "mizar",
        "gamma_leo",
        "gamma_and",
        "m42",
        "m13",
        "m57",
        "m31",
        "m27",
    ];
    let town = town(46.0, 8.0, "Europe/Zurich");
    let mut wanted = wanted(&town, "2027-01-01", "2027-12-31", wishes(&ids));
    wanted.window = hours("20:00", "23:00");
    let found = found(&town, &wanted);
    let mut short = Vec::new();
    for (id, met) in ids.iter().zip(&found.wishes) {
        let subject = subject(id);
        let (chosen, _) = met.best.expect("it shows within the year");
        let merits = found
            .evenings
            .iter()
            .map(|it| (it.on, merit(&subject, it.on, &town)));
        let merits: Vec<(NaiveDate, f64)> = merits.collect();
        let best = merits
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .expect("a year");
        let share = merit(&subject, chosen, &town) / best.1;
        println!("{id}: {chosen} has {share:.3} of {}'s", best.0);
        if share < 0.9 {
            short.push(format!("{id} on {chosen}: {share:.3} of {}", best.0));
        }
    }
    assert!(short.is_empty(), "{short:?}");
}

/// The hour of day on the clocks of the place at which a wish is stated, and how high it stands.
fn stated(found: &Dates) -> (f64, f64) {
    let shown = &found.evenings[0].shown[0];
    let local = shown.outlook.best.with_timezone(&found.zone);
    let hour = f64::from(local.hour()) + f64::from(local.minute()) / 60.0;
    (hour, shown.outlook.at_best.place().refracted_altitude_deg)
}

#[test]
fn a_detail_is_stated_at_its_own_hour_or_not_at_all() {
    // On 13 April 2027 the Red Spot comes to the meridian about midnight of the clocks and shows well an hour before and
    // after; Jupiter stands highest at nine.
    let workshop = workshop::example();
    let day = "2027-04-13";
    let seen = |id: &str, from: &str, until: &str| {
        let mut wanted = wanted(&workshop, day, day, wishes(&[id]));
        wanted.window = hours(from, until);
        found(&workshop, &wanted)
    };
    let (planet_hour, planet_deg) = stated(&seen("jupiter", "20:00", "23:30"));
    assert!((20.5..21.5).contains(&planet_hour), "{planet_hour}");
    let spot = seen("jupiter_red_spot", "20:00", "23:30");
    let (hour, altitude_deg) = stated(&spot);
    assert!((22.9..=23.5).contains(&hour), "{hour}");
    assert!(altitude_deg < planet_deg - 5.0);
    let from = spot.evenings[0].shown[0].outlook.stretches[0].from;
    let early =
        from.with_timezone(&spot.zone).time() - NaiveTime::from_hms_opt(22, 57, 0).expect("a time");
    assert!(early.num_seconds().abs() < 120, "{from}");
    assert!(in_one_line(&spot).contains("from 22:57"));
    let early = seen("jupiter_red_spot", "20:00", "22:00");
    assert_eq!(early.evenings[0].missing[0].why, WhyMissing::NotWell);
    assert_eq!(early.evenings[0].score, 0.0);
}

#[test]
fn the_saturn_of_the_readme_stands_high() {
    let workshop = workshop::example();
    let mut wanted = wanted(
        &workshop,
        "2027-01-01",
        "2027-12-31",
        wishes(&["saturn_cassini"]),
    );
    wanted.window = hours("20:00", "23:00");
    let cassini = found(&workshop, &wanted);
    let first = &cassini.best[0].evening;
    assert!(
        (date("2027-10-25")..=date("2027-12-05")).contains(&first.on),
        "{}",
        first.on
    );
    assert!(
        48.0 < first.shown[0]
            .outlook
            .at_best
            .place()
            .refracted_altitude_deg
    );
    assert!(on(&cassini, "2027-09-28").score < 0.8 * first.score);
}

#[test]
fn a_glow_waits_for_the_moon_to_leave() {
    // Full Moon on 15 September 2027, new on the 30th.
    let town = town(46.0, 8.0, "Europe/Zurich");
    let found = found(
        &town,
        &wanted(&town, "2027-09-01", "2027-09-30", wishes(&["m31"])),
    );
    for best in &found.best[..2] {
        let moon = &best.evening.moon;
        assert!(
            moon.altitude_deg.is_none() || moon.lit < 0.35,
            "{}",
            best.evening.on
        );
    }
    let score = |day| on(&found, day).score;
    assert!(score("2027-09-15") < 0.9 * score("2027-09-29"));
}
