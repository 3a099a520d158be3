//! The log of looks through the public door: promises for ticks, and what a log says of air and eyes.

mod invented;
mod program;
mod recovery;
mod sheet;

use chrono::{DateTime, Utc};
use skyworthy::plan::night::{Wish, night};
use skyworthy::plan::record::record;
use skyworthy::plan::refusal::NoLook;
use skyworthy::plan::seen::{Tick, ticked};
use skyworthy::sky::Body;
use skyworthy::sky::time::utc_from_tt;
use skyworthy::targets::conditions::Unmet;
use skyworthy::targets::details::{detail, details_of};
use skyworthy::workshop;
use skyworthy::workshop::Workshop;
use skyworthy::workshop::log::{JudgedAir, PromisedGrade, SeenBy};

fn tick<'a>(workshop: &'a Workshop, detail: &'a str, at: DateTime<Utc>) -> Tick<'a> {
    Tick {
        at,
        telescope: &workshop.telescopes[1],
        detail,
        eyepiece: None,
        by: SeenBy::Most,
        air: None,
        note: "",
    }
}

fn at(text: &str) -> DateTime<Utc> {
    text.parse().expect("an instant")
}

/// Whether a turning globe or the Moon's morning gives it hours of its own.
fn has_its_hours(id: &str) -> bool {
    detail(id).is_some_and(|row| {
        let conditions = &row.conditions;
        conditions.good_window_deg.is_some() || conditions.good_sun_deg.least.is_some()
    })
}

#[test]
fn the_promise_is_that_of_the_night_at_its_best_time() {
    let workshop = workshop::example();
    let on = "2027-02-20".parse().expect("a date");
    let daylight = false;
    let night = night(&workshop, Wish { on, daylight }).expect("a night");
    let mut n = 0;
    for target in &night.telescopes[1].targets {
        // Every one takes a telescope of its own to be put together: some will do.
        for verdict in target.verdicts.iter().step_by(3).take(5) {
            let id = &verdict.caption.id;
            let own = verdict.best_tt_days.and_then(utc_from_tt);
            let mut tick = tick(&workshop, id, own.unwrap_or(target.outlook.best));
            for (air, margin_dex, grade) in [
                (JudgedAir::Good, verdict.margin.good, verdict.grade.good),
                (
                    JudgedAir::Typical,
                    verdict.margin.typical,
                    verdict.grade.typical,
                ),
                (JudgedAir::Poor, verdict.margin.poor, verdict.grade.poor),
            ] {
                tick.air = Some(air);
                let promise = ticked(&workshop, &tick).expect("a look").look.promise;
                let promise = promise.expect("one is made");
                match promise.margins {
                    Some(margins) => {
                        let better_dex = margins.margin_dex - margin_dex;
                        if has_its_hours(id) {
                            // What turned since the body's own look was carried on from it.
                            assert!(better_dex.abs() < 0.01, "{id}: {better_dex}");
                        } else {
                            assert!(better_dex.abs() < 1e-6, "{id}"); // its time went through UTC
                            assert_eq!(promise.grade.word(), grade.word(), "{id}");
                        }
                        assert!(margins.rougher_dex <= margins.margin_dex + 1e-9, "{id}");
                        assert!(margins.margin_dex <= margins.steadier_dex + 1e-9, "{id}");
                    }
                    None => assert_eq!(promise.grade, PromisedGrade::Absent, "{id}"),
                }
                n += 1;
            }
        }
    }
    assert!(30 < n, "{n}");
}

#[test]
fn an_observers_margin_moves_every_promise_and_stays_out_of_the_figures() {
    let mut workshop = workshop::example();
    let when = at("2027-02-20T22:30:00Z");
    let promise = |workshop: &Workshop, id: &str| {
        let ticked = ticked(workshop, &tick(workshop, id, when));
        ticked.expect("a look").look.promise.expect("one is made")
    };
    // Whatever is patient then, and not by much.
    let of_planets = [Body::Jupiter, Body::Saturn, Body::Mars, Body::Uranus].map(details_of);
    let rows = of_planets.into_iter().flatten();
    let mut narrow = rows.map(|row| row.id.as_str()).filter(|id| {
        let Ok(ticked) = ticked(&workshop, &tick(&workshop, id, when)) else {
            return false;
        };
        let Some(made) = ticked.look.promise else {
            return false;
        };
        made.grade == PromisedGrade::Patient
            && made
                .margins
                .is_some_and(|margins| margins.margin_dex < 0.48)
    });
    let id = narrow.next().expect("one of them");
    let before = promise(&workshop, id);
    workshop.observer.margin_dex = -0.2;
    let after = promise(&workshop, id);
    assert_eq!(before.margins, after.margins);
    assert_eq!(after.observer_dex, -0.2);
    assert_eq!(before.grade, PromisedGrade::Patient);
    assert_eq!(after.grade, PromisedGrade::Fleeting);

    // And the night's promises with them.
    let on = "2027-02-20".parse().expect("a date");
    let daylight = false;
    let mut margins = |margin_dex: f64| {
        workshop.observer.margin_dex = margin_dex;
        let night = night(&workshop, Wish { on, daylight }).expect("a night");
        let jupiter = &night.telescopes[1].targets[0];
        let verdicts = jupiter.verdicts.iter();
        verdicts
            .map(|verdict| verdict.margin.typical)
            .collect::<Vec<f64>>()
    };
    let (plain, keen) = (margins(0.0), margins(0.1));
    assert!(3 < plain.len());
    for (plain, keen) in plain.iter().zip(&keen) {
        assert!((keen - plain - 0.1).abs() < 1e-9, "{plain} {keen}");
    }
}

#[test]
fn an_eyepiece_shows_no_more_than_the_best_one_that_the_air_bears() {
    let workshop = workshop::example();
    let mut look = tick(
        &workshop,
        "jupiter_north_temperate_belt",
        at("2027-02-20T22:30:00Z"),
    );
    let margin_dex = |look: &Tick| {
        let promise = ticked(&workshop, look).expect("a look").look.promise;
        promise
            .and_then(|promise| promise.margins)
            .expect("it is there")
            .margin_dex
    };
    let best = margin_dex(&look);
    let mut found = Vec::new();
    // The air bears 136x. Stronger ones may show more and are not reckoned with.
    for eyepiece in ["32 mm", "20 mm", "10mm", "20 mm + 2X"] {
        look.eyepiece = Some(eyepiece);
        found.push(margin_dex(&look));
    }
    assert!(
        found.iter().all(|margin| *margin <= best + 1e-9),
        "{found:?}"
    );
    assert!(
        found[0] < best - 0.1,
        "{found:?}: low power hides a narrow belt"
    );
    look.eyepiece = Some("15 mm");
    match ticked(&workshop, &look) {
        Err(NoLook::NoSuchEyepiece { known, .. }) => {
            assert!(known.contains(&String::from("6 mm + 2x")), "{known:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_cannot_have_been_seen_is_refused_or_marked() {
    let workshop = workshop::example();
    let evening = at("2027-02-20T22:30:00Z");
    let refused =
        |detail, when| ticked(&workshop, &tick(&workshop, detail, when)).expect_err("no look");
    assert!(matches!(
        refused("jupiter_moustache", evening),
        NoLook::Detail(_)
    ));
    match refused("saturn_ring", evening) {
        NoLook::Below {
            subject,
            altitude_deg,
        } => {
            assert_eq!(subject, "Saturn");
            assert!((-60.0..0.0).contains(&altitude_deg), "{altitude_deg}");
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        refused("saturn_ring", at("1800-01-01T20:00:00Z")),
        NoLook::NoNight(_)
    ));

    let early = at("2027-02-20T18:00:00Z");
    let line = ticked(&workshop, &tick(&workshop, "saturn_ring_line", early)).expect("a look");
    let why = line.absent.expect("a reason").why;
    assert!(matches!(why, Some(Unmet::RingTooOpen { .. })));
    let promise = line.look.promise.expect("one is made");
    assert_eq!(
        (promise.grade, promise.margins),
        (PromisedGrade::Absent, None)
    );
}

#[test]
fn a_log_without_promises_is_counted_and_no_more() {
    let workshop = workshop::example();
    let look = ticked(
        &workshop,
        &tick(&workshop, "jupiter_flattening", at("2027-02-20T22:30:00Z")),
    );
    let mut look = look.expect("a look").look;
    look.promise = None;
    look.telescope = String::from("A guest's");
    let record = record(&workshop, &[look.clone(), look]).expect("a record");
    assert_eq!((record.looks, record.nights, record.unpromised), (2, 1, 2));
    assert_eq!(record.telescopes[0].name, "A guest's");
    assert_eq!(record.telescopes[0].details[0].seen, [2, 0, 0, 0, 0]);
    assert_eq!(record.promises, []);
    assert_eq!(record.correction.telling_looks, 0);
    assert_eq!(record.correction.found, None);
}
