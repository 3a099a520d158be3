//! Whole answers: a night, a telescope's reach.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use proptest::prelude::*;

use crate::support::larch_at;
use skyworthy::plan::caution::Caution;
use skyworthy::plan::explain::detail_explained;
use skyworthy::plan::night::{Night, Wish, night};
use skyworthy::plan::outlook::{Absence, Edge, Outlook, Target};
use skyworthy::plan::refusal::NoNight;
use skyworthy::sky::almanac::Span;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::moons::view::moon_facing;
use skyworthy::sky::satellite_events::{Phase, SatelliteEventKind};
use skyworthy::sky::time::tt_days;
use skyworthy::sky::{Appearance, Body, Face};
use skyworthy::targets::conditions::{Told, Unmet, outside_good_light_deg, shows_tonight};
use skyworthy::targets::details::{Shape, detail};
use skyworthy::targets::verdict::Grade;
use skyworthy::units::wrap_180_deg;
use skyworthy::workshop::Workshop;
use skyworthy::{plan, show, workshop};

fn on(date: &str) -> Wish {
    Wish {
        on: date.parse().expect("a date"),
        daylight: false,
    }
}

/// A 150 mm f/8 with a perfect mirror and the usual eyepieces, flat horizon.
fn perfect_150(latitude_deg: f64, longitude_deg: f64, zone: &str) -> Workshop {
    larch_at(latitude_deg, longitude_deg, zone, "")
}

fn outlook(night: &Night, body: Body) -> Option<&Outlook> {
    let targets = &night.telescopes[0].targets;
    let found = targets
        .iter()
        .find(|target| target.outlook.subject().body() == Some(body));
    found.map(|target| &target.outlook)
}

fn body_of(target: &Target) -> Body {
    target
        .outlook
        .subject()
        .body()
        .expect("a body of the solar system")
}

fn appearance(workshop: &Workshop, body: Body, at: DateTime<Utc>) -> Appearance {
    let site = &workshop.site;
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let scene = Scene::new(place, at).expect("inside the ephemeris");
    scene.appearance(body).expect("inside the ephemeris")
}

fn grade(night: &Night, body: Body, id: &str) -> Option<Grade> {
    let target = (night.telescopes[0].targets.iter())
        .find(|target| target.outlook.subject().body() == Some(body))?;
    let verdict = (target.verdicts.iter()).find(|verdict| verdict.caption.id == id)?;
    Some(verdict.grade.typical)
}

#[test]
fn the_skyline_ends_a_stretch_where_the_body_meets_it() {
    // The chain of appearances is the independent road: at the end the body stands on the skyline.
    let workshop = workshop::example();
    let night = night(&workshop, on("2027-02-20")).expect("a night");
    let mut met = 0;
    for target in &night.telescopes[0].targets {
        for stretch in &target.outlook.stretches {
            if stretch.ends != Edge::Skyline {
                continue;
            }
            let seen = appearance(&workshop, body_of(target), stretch.until);
            let skyline_deg = workshop.site.horizon.altitude_deg(seen.place.azimuth_deg);
            let over_deg = seen.place.refracted_altitude_deg - skyline_deg;
            // A second of time is 0.004 degrees of altitude at most.
            assert!(over_deg.abs() < 0.01, "{:?}: {over_deg}", body_of(target));
            met += 1;
        }
    }
    assert!(
        met >= 4,
        "four bodies set behind the gymnasium that night, got {met}"
    );
}

#[test]
fn morning_venus_stops_a_quarter_of_an_hour_before_sunrise() {
    let night = night(&workshop::example(), on("2027-02-20")).expect("a night");
    let sunrise = night.sun.rise.expect("the Sun rises in Italy");
    let venus = outlook(&night, Body::Venus).expect("a morning star");
    let until = venus.stretches.last().expect("a stretch").until;
    assert!(
        ((sunrise - until) - TimeDelta::minutes(15))
            .num_seconds()
            .abs()
            <= 1
    );
    let caution = night.cautions.iter().any(
        |caution| matches!(caution, Caution::MorningStop { body: Body::Venus, stop, .. } if *stop == until),
    );
    assert!(caution, "{:?}", night.cautions);
}

#[test]
fn daylight_is_only_listed_when_asked_for_and_far_from_the_sun() {
    // Venus 40 degrees west of the Sun, Mercury 6 degrees from it.
    let workshop = workshop::example();
    let wish = Wish {
        daylight: true,
        ..on("2027-02-20")
    };
    let asked = night(&workshop, wish).expect("a night");
    let venus = outlook(&asked, Body::Venus).expect("up by day");
    let sun_up = |at| appearance(&workshop, Body::Sun, at).place.altitude_deg > 0.0;
    assert!(
        venus
            .stretches
            .iter()
            .any(|stretch| sun_up(stretch.until) || sun_up(stretch.from))
    );
    assert!(asked.cautions.contains(&Caution::Daylight));
    assert!(outlook(&asked, Body::Sun).is_none());
    for target in &asked.telescopes[0].targets {
        for stretch in &target.outlook.stretches {
            let seen = appearance(&workshop, body_of(target), stretch.from);
            let by_day = sun_up(stretch.from) || sun_up(stretch.until);
            assert!(
                !by_day || seen.place.elongation_deg > 24.0,
                "{:?}",
                body_of(target)
            );
        }
    }
    let unasked = night(&workshop, on("2027-02-20")).expect("a night");
    assert!(!unasked.cautions.contains(&Caution::Daylight));
    let mercury = unasked
        .not_tonight
        .iter()
        .find(|absent| absent.body == Body::Mercury);
    let reason = mercury.expect("Mercury is not on the list").reason;
    assert!(matches!(reason, Absence::NearSun { elongation_deg } if elongation_deg < 10.0));
}

#[test]
fn a_150_mm_mirror_shows_what_everybody_knows_it_shows() {
    // Common practice, no source: belts, four moons, ring, lunar craters in a good 150 mm mirror.
    let workshop = perfect_150(43.0, 0.0, "UTC");
    let night = night(&workshop, on("2026-12-17")).expect("a night");
    for (body, id) in [
        (Body::Jupiter, "jupiter_north_belt"),
        (Body::Jupiter, "jupiter_south_belt"),
        (Body::Jupiter, "jupiter_europa"),
        (Body::Saturn, "saturn_ring"),
        (Body::Moon, "moon_clavius"),
        (Body::Moon, "moon_plato"),
    ] {
        assert_eq!(grade(&night, body, id), Some(Grade::Plain), "{id}");
    }
}

#[test]
fn nothing_is_promised_that_an_old_hand_would_not() {
    // Common practice, no source. Mars 4.3 arcseconds wide; the ring 6 degrees open.
    let workshop = perfect_150(43.0, 0.0, "UTC");
    let small_mars = night(&workshop, on("2026-07-20")).expect("a night");
    let mars = (small_mars.telescopes[0].targets.iter())
        .find(|target| target.outlook.subject().body() == Some(Body::Mars))
        .expect("up before dawn");
    for verdict in mars
        .verdicts
        .iter()
        .filter(|verdict| verdict.caption.id != "mars_disc")
    {
        assert_eq!(verdict.grade.good, Grade::Beyond, "{}", verdict.caption.id);
    }
    let closed = night(&workshop, on("2026-12-17")).expect("a night");
    // Glimpses at the most.
    assert!(grade(&closed, Body::Saturn, "saturn_cassini") < Some(Grade::Patient));
}

#[test]
fn nights_that_cannot_be_planned_say_why() {
    let workshop = workshop::example();
    assert_eq!(
        night(&workshop, on("1949-12-31")),
        Err(NoNight::OutsideEphemeris)
    );
    assert_eq!(
        night(&workshop, on("2100-12-31")),
        Err(NoNight::OutsideEphemeris)
    );
    assert!(night(&workshop, on("2100-12-30")).is_ok());
    let samoa = perfect_150(-13.8, -171.8, "Pacific/Apia");
    assert_eq!(night(&samoa, on("2011-12-30")), Err(NoNight::NoSuchDate));
    assert!(night(&samoa, on("2011-12-29")).is_ok());
}

#[test]
fn at_the_poles_and_beyond_the_circle() {
    // Common knowledge: no sunset at the north pole in June, no sunrise in December, and no sunset
    // at 69.6 degrees north at midsummer.
    let pole = perfect_150(90.0, 0.0, "UTC");
    let june = night(&pole, on("2027-06-21")).expect("a night");
    assert!(june.sun.set.is_none() && june.sun.rise.is_none() && june.sun.up_at_noon);
    assert!(june.telescopes[0].targets.is_empty());
    let december = night(&pole, on("2027-12-21")).expect("a night");
    assert!(december.sun.set.is_none() && !december.sun.up_at_noon);
    assert!(!december.telescopes[0].targets.is_empty());
    let north = perfect_150(69.6, 18.9, "Europe/Oslo");
    let midsummer = night(&north, on("2027-06-21")).expect("a night");
    assert!(midsummer.sun.set.is_none() && midsummer.sun.up_at_noon);
}

#[test]
fn reach_of_the_example_is_the_textbooks() {
    // Dawes 4.56 arcseconds per inch, Rayleigh 1.22 wavelengths over the aperture at 550 nm.
    let reaches = plan::reach::reach(&workshop::example(), on("2026-12-01").on);
    let hazel = &reaches[0];
    assert!((hazel.dawes_arcsec - 4.56 * 25.4 / 200.0).abs() < 0.005);
    assert!((hazel.rayleigh_arcsec - 0.692).abs() < 0.0005);
    assert_eq!(hazel.instrument.focal_ratio, 6.0);
    assert_eq!(hazel.views.len(), hazel.instrument.views.len());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// The rule that must never fail: nothing while any part of the Sun is up, nothing near it.
    #[test]
    fn nothing_is_ever_listed_while_the_sun_is_up_or_near_it(
        latitude_deg in -90.0..90.0f64,
        longitude_deg in -180.0..180.0f64,
        day in 0..36_500i64,
    ) {
        let workshop = perfect_150(latitude_deg, longitude_deg, "UTC");
        let date = NaiveDate::from_ymd_opt(2000, 1, 2).expect("a date") + TimeDelta::days(day);
        let night = night(&workshop, Wish { on: date, daylight: false }).expect("a night");
        for target in &night.telescopes[0].targets {
            for stretch in &target.outlook.stretches {
                let middle = stretch.from + (stretch.until - stretch.from) / 2;
                for at in [stretch.from, middle, stretch.until] {
                    let sun = appearance(&workshop, Body::Sun, at);
                    prop_assert!(sun.place.altitude_deg < -50.0 / 60.0 + 0.01, "{at}: Sun at {}", sun.place.altitude_deg);
                    let seen = appearance(&workshop, body_of(target), at);
                    prop_assert!(seen.place.refracted_altitude_deg > 4.9, "{:?} at {at}", body_of(target));
                    // The limit of ten degrees is asked at the middle of the night; the Moon moves on.
                    prop_assert!(seen.place.elongation_deg > 3.0, "{:?} at {at}", body_of(target));
                }
                prop_assert!(stretch.from < stretch.until);
            }
            let best = target.outlook.best;
            prop_assert!(target.outlook.stretches.iter().any(|s| s.from <= best && best <= s.until));
            for verdict in &target.verdicts {
                prop_assert!(verdict.margin.typical.is_finite() && verdict.magnification.is_finite());
            }
        }
    }
}

/// The face carried through a night agrees with the exact one: what a planet turns in half a day, less what
/// the Earth's own motion does.
#[test]
fn a_face_carried_through_the_night() {
    let workshop = workshop::example();
    let start: DateTime<Utc> = "2027-02-20T18:00:00Z".parse().expect("an instant");
    let at = |hours: i64| start + TimeDelta::hours(hours);
    for body in [Body::Moon, Body::Mars, Body::Jupiter] {
        let first = appearance(&workshop, body, at(0));
        for hours in [3, 6, 12] {
            let exact = appearance(&workshop, body, at(hours));
            let carried = first.turned(hours as f64 / 24.0);
            let off_deg = wrap_180_deg(meridian_deg(&exact) - meridian_deg(&carried)).abs();
            assert!(off_deg < 0.5, "{body:?} after {hours} h: {off_deg}");
        }
    }
}

/// The angle that turns with the body: central meridian, or the Sun's colongitude.
fn meridian_deg(seen: &Appearance) -> f64 {
    match seen.face {
        Face::Moon {
            colongitude_deg, ..
        } => colongitude_deg,
        Face::Mars {
            central_meridian_deg,
            ..
        } => central_meridian_deg,
        Face::Jupiter {
            central_meridian_2_deg,
            ..
        } => central_meridian_2_deg,
        _ => panic!("{:?} has no meridian", seen.body),
    }
}

/// What comes and goes shows well while the list says so, by the exact sky: within the window and not ten
/// minutes beyond an edge that is not the end of the look. A place on the Moon, and what is turned away at
/// the look and never in good light, is listed for the hours in which it is turned to us and to the Sun.
#[test]
fn what_comes_and_goes_is_there_when_the_list_says_so() {
    let workshop = workshop::example();
    let mut n_edges = 0;
    for date in ["2026-12-01", "2027-02-20", "2027-03-15"] {
        let night = night(&workshop, on(date)).expect("a night");
        let told = Told {
            red_spot_longitude_deg: Some(
                workshop
                    .red_spot
                    .longitude_deg_on(night.window.from.date_naive()),
            ),
            ..Told::default()
        };
        for target in &night.telescopes[0].targets {
            let is_end = |at: DateTime<Utc>| {
                (target.outlook.stretches.iter())
                    .any(|stretch| near(stretch.from, at, 2) || near(stretch.until, at, 2))
            };
            for verdict in &target.verdicts {
                let row = detail(&verdict.caption.id).expect("a row of the table");
                // Moons have their contacts, Earthshine the dusk.
                if row.satellite.is_some() || row.shape == Shape::Glow {
                    continue;
                }
                let is_turned_away = |seen: &Appearance| match shows_tonight(row, seen, &told) {
                    Err(Unmet::NotOnTerminator {
                        sun_altitude_deg, ..
                    }) => sun_altitude_deg <= 0.0,
                    unmet => unmet == Err(Unmet::OtherFace),
                };
                let seen = |at| appearance(&workshop, body_of(target), at);
                let is_place_on_moon = row.body == Body::Moon && row.latitude_deg.is_some();
                let is_away_at_look = is_turned_away(&seen(target.outlook.best));
                let shows_well = |seen: &Appearance| {
                    outside_good_light_deg(row, seen, &told) == 0.0
                        && shows_tonight(row, seen, &told).is_ok()
                };
                let mut spans = verdict.during.iter();
                let is_never_well = !spans.any(|span| {
                    let (from, until) = (span.from_utc().unwrap(), span.until_utc().unwrap());
                    shows_well(&seen(from + (until - from) / 2))
                });
                let is_timed_by_its_day = is_place_on_moon || is_away_at_look && is_never_well;
                let there = |at: DateTime<Utc>| match is_timed_by_its_day {
                    true => !is_turned_away(&seen(at)),
                    false => shows_well(&seen(at)),
                };
                for span in &verdict.during {
                    let (from, until) = (span.from_utc().unwrap(), span.until_utc().unwrap());
                    let middle = from + (until - from) / 2;
                    assert!(there(middle), "{date}: {} at {middle}", row.id);
                    for (edge, outward) in [(from, -10), (until, 10)] {
                        if !is_end(edge) {
                            let beyond = edge + TimeDelta::minutes(outward);
                            assert!(!there(beyond), "{date}: {} at {beyond}", row.id);
                            n_edges += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(10 < n_edges, "{n_edges} edges");
}

fn near(a: DateTime<Utc>, b: DateTime<Utc>, minutes: i64) -> bool {
    (a - b).abs() < TimeDelta::minutes(minutes)
}

/// A moon's shadow is listed for as long as its contacts say, cut to when Jupiter can be looked at.
#[test]
fn shadows_are_listed_while_they_cross() {
    let workshop = workshop::example();
    let mut n_shadows = 0;
    for day in 1..20 {
        let night = night(&workshop, on(&format!("2027-02-{day:02}"))).expect("a night");
        let target = (night.telescopes[0].targets.iter())
            .find(|target| target.outlook.subject().body() == Some(Body::Jupiter))
            .expect("Jupiter is at opposition");
        let stretch = &target.outlook.stretches[0];
        for event in &night.satellite_events {
            let at = event.at();
            let inside = stretch.from < at && at < stretch.until;
            if event.kind != SatelliteEventKind::Shadow || event.phase != Phase::Start || !inside {
                continue;
            }
            let id = format!("jupiter_{}_shadow", event.satellite.id());
            let verdict = target.verdicts.iter().find(|it| it.caption.id == id);
            let verdict = verdict.unwrap_or_else(|| panic!("{id} is not listed on day {day}"));
            let starts = verdict.during.iter().filter_map(|span| span.from_utc());
            let visible = event.visible_at().expect("a shadow that comes on");
            assert!(
                starts.into_iter().any(|from| near(from, visible, 1)),
                "day {day}: {id}"
            );
            n_shadows += 1;
        }
    }
    assert!(5 <= n_shadows, "{n_shadows} shadows");
}

/// A bright moon before the disc is listed for when it is near the limb: Io and Europa are lost in the middle.
#[test]
fn moons_before_the_disc_are_listed_near_the_limb() {
    let workshop = workshop::example();
    let (mut n_moons, mut n_limbs) = (0, 0);
    for day in 1..20 {
        let night = night(&workshop, on(&format!("2027-02-{day:02}"))).expect("a night");
        let target = (night.telescopes[0].targets.iter())
            .find(|target| target.outlook.subject().body() == Some(Body::Jupiter))
            .expect("Jupiter is at opposition");
        for verdict in &target.verdicts {
            let row = detail(&verdict.caption.id).expect("a row of the table");
            if row.shape != Shape::MoonBeforeDisc {
                continue;
            }
            let satellite = row.satellite.expect("it is one");
            n_moons += 1;
            for span in &verdict.during {
                let middle = 0.5 * (span.from_tt_days + span.until_tt_days);
                let facing = moon_facing(satellite, middle).expect("in range");
                match row.id.as_str() {
                    // Darker than the clouds nearly everywhere: best in the middle.
                    "jupiter_callisto_before" => assert!(0.5 < facing, "{day}: {facing}"),
                    "jupiter_io_before" | "jupiter_europa_before" => {
                        assert!(facing < 0.75, "{day}: {} {facing}", row.id);
                        n_limbs += 1;
                    }
                    _ => {}
                }
            }
        }
    }
    assert!(
        5 <= n_moons && 5 <= n_limbs,
        "{n_moons} moons, {n_limbs} limb parts"
    );
}

#[test]
fn what_is_explained_is_still_to_come_and_has_its_own_date() {
    let workshop = workshop::example();
    let zone = workshop.site.time_zone;
    let explained = |id: &str, from: DateTime<Utc>| {
        let found = detail_explained(&workshop, id, from);
        found.expect("this century").expect("within a year")
    };
    // The Spot is best in the small hours after the evening of 20 December.
    let noon: DateTime<Utc> = "2026-12-20T11:00:00Z".parse().expect("an instant");
    let spot = explained("jupiter_red_spot", noon);
    assert_eq!(spot.on.to_string(), "2026-12-20");
    let page = show::explain::page(&spot, zone).text();
    assert!(page.contains("21 December 2026 at 04:09"), "{page}");
    // At an hour at which it is there: what comes round, and a shadow of some twenty minutes of the night.
    for (id, days) in [("jupiter_red_spot", 20), ("jupiter_io_shadow", 20)] {
        for day in 0..days {
            let from = noon + TimeDelta::days(day);
            let found = explained(id, from);
            let best = tt_days(found.outlook.best);
            let mut during = found.asked.during.iter();
            let is_there = |span: &Span| span.from_tt_days <= best && best <= span.until_tt_days;
            assert!(during.any(is_there), "{id}, {from}: {}", found.outlook.best);
        }
    }
    // Whenever it is asked for, it is not past.
    let noon: DateTime<Utc> = "2026-11-29T11:00:00Z".parse().expect("an instant");
    for hours in 0..24 {
        let now = noon + TimeDelta::hours(hours);
        let rigel = explained("rigel", now);
        assert!(now <= rigel.outlook.best, "{now}");
        assert!(rigel.outlook.best < now + TimeDelta::hours(24), "{now}");
    }
}
