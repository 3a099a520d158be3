//! Public evenings through the public door: cases by name here, random ones in `rules`, the calendar in `calendar`, the renderers compared in `agreement`, the
//! program in `program`, lines in `lines`, warm mirrors in `warm`.

mod agreement;
pub mod calendar;
mod lines;
mod moments;
mod program;
mod rules;
mod upsets;
mod warm;

use crate::support::{printed_at, workshop_of};
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::refusal::{NoHours, NoSession, NoSuchTelescope};
use skyworthy::plan::session::{Ask, First, Impossible, Session, Station, Want, WhyNot, session};
use skyworthy::show;
use skyworthy::sky::Body;
use skyworthy::workshop::{EXAMPLE_TOML, Workshop};

/// The example workshop with more lines of its own: below `[site]`, below each telescope's name, and headings.
fn workshop(site: &str, of_telescopes: &[(&str, &str)], headings: &str) -> Workshop {
    let mut toml = EXAMPLE_TOML.replacen("[site]\n", &format!("[site]\n{site}\n"), 1);
    for (name, lines) in of_telescopes {
        let line = format!("name = \"{name}\"\n");
        assert!(toml.contains(&line), "{name}");
        toml = toml.replacen(&line, &format!("{line}{lines}\n"), 1);
    }
    workshop_of(&format!("{headings}\n{toml}"))
}

fn plain() -> Workshop {
    workshop("", &[], "")
}

/// The evening of 12 February 2027: a third of the Moon is lit, Jupiter is up, Saturn sets, Mars rises.
fn february(window: &str) -> Ask {
    Ask {
        on: "2027-02-12".parse().expect("a date"),
        window: ClockWindow::said(window).expect("hours"),
        visitors: 120,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    }
}

fn want(subject: &str, telescope: Option<&str>) -> Want {
    Want {
        subject: subject.to_string(),
        telescope: telescope.map(String::from),
    }
}

#[track_caller]
fn planned(workshop: &Workshop, ask: &Ask) -> Session {
    session(workshop, ask).unwrap_or_else(|why| panic!("{why:?}"))
}

#[track_caller]
fn station<'a>(session: &'a Session, name: &str) -> &'a Station {
    let found = session
        .telescopes
        .iter()
        .find(|station| station.name == name);
    found.unwrap_or_else(|| panic!("no {name}"))
}

fn shows(station: &Station, id: &str) -> bool {
    station
        .turns
        .iter()
        .any(|turn| turn.shown.subject.id() == id)
}

#[test]
fn an_evening_as_it_is_printed() {
    let workshop = workshop(
        "marks = [ { azimuth_deg = 150, name = \"bell tower\" }, { azimuth_deg = 262, name = \"gymnasium\" } ]",
        &[
            (
                "Hazel",
                "helper = \"practised\"\nstation = \"by the stairs\"",
            ),
            ("Rowan", "helper = \"new\"\nfor_children = true"),
            ("Alder", "low_eyepiece = true"),
        ],
        "[session]\nseconds_per_look = 45\ngather = \"18:30\"\ndecide_at = \"15:00\"\nbackup_on = 2027-02-19\n\
         leader = \"whoever holds the keys\"",
    );
    let ask = Ask {
        first: Some(First::Children),
        wants: vec![want("saturn", None), want("jupiter", Some("Alder"))],
        ..february("19:00-22:00")
    };
    let session = planned(&workshop, &ask);
    super::golden::check("session.txt", &show::session::page(&session).text());
    super::golden::check("session.csv", &show::session::csv(&session));
}

/// Trade practice: setting things first, the Moon as anchor, planets to the good mirrors.
#[test]
fn what_sets_comes_first_and_planets_go_to_good_mirrors() {
    let session = planned(&plain(), &february("18:00-22:00"));
    let saturn = (session.telescopes.iter())
        .flat_map(|station| &station.turns)
        .find(|turn| turn.shown.subject.id() == "saturn")
        .expect("Saturn sets at eight");
    assert!(saturn.slots.end <= 8, "{saturn:?}");
    for planet in ["jupiter", "saturn", "mars"] {
        assert!(!shows(station(&session, "Alder"), planet), "{planet}");
    }
    assert!(
        shows(station(&session, "Hazel"), "jupiter")
            || shows(station(&session, "Rowan"), "jupiter")
    );
    assert_eq!(session.total.gap, 0.0);
}

/// Trade practice, no source: one telescope goes through what there is, what sets first, and stays long enough for all to
/// look.
#[test]
fn one_telescope_shows_one_thing_after_the_other() {
    let ask = Ask {
        telescopes: vec!["Rowan".to_string()],
        visitors: 60,
        ..february("18:30-21:30")
    };
    let session = planned(&plain(), &ask);
    let turns = &session.telescopes[0].turns;
    let ids: Vec<_> = turns.iter().map(|turn| turn.shown.subject.id()).collect();
    assert_eq!(ids, ["saturn", "moon", "jupiter"]);
}

/// Trade practice, no source: with three telescopes somebody has the Moon as long as it is up (it goes behind the skyline
/// at 21:45), and only one; nobody else stays on one thing when everybody has seen it.
#[test]
fn the_moon_is_the_anchor_and_the_others_move_on() {
    let ask = Ask {
        visitors: 30,
        ..february("18:30-21:30")
    };
    let session = planned(&plain(), &ask);
    for slot in 0..session.slots.len() {
        let turns = session.telescopes.iter().flat_map(|station| &station.turns);
        let now = turns.filter(|turn| turn.slots.contains(&slot));
        let n_on_it = now.filter(|turn| turn.shown.subject.id() == "moon").count();
        assert_eq!(n_on_it, 1, "slot {slot}");
    }
    let turns = session.telescopes.iter().flat_map(|station| &station.turns);
    for turn in turns.filter(|turn| turn.shown.subject.id() != "moon") {
        // 15 looks a slot: after six slots each of thirty had three.
        assert!(turn.slots.len() <= 6, "{turn:?}");
    }
}

/// Where no better mirror is there, a mirror for low power shows what there is.
#[test]
fn a_mirror_for_low_power_alone_shows_planets() {
    let ask = Ask {
        telescopes: vec!["Alder".to_string()],
        wants: vec![want("jupiter", Some("Alder"))],
        ..february("20:00-22:00")
    };
    let session = planned(&plain(), &ask);
    assert!(shows(station(&session, "Alder"), "jupiter"));
    assert_eq!(session.telescopes.len(), 1);
}

#[track_caller]
fn check_want(wanted: Want, window: &str, met: Option<&WhyNot>) {
    let ask = Ask {
        wants: vec![wanted.clone()],
        ..february(window)
    };
    let session = planned(&plain(), &ask);
    let unmet = session.infeasible.iter().find_map(|what| match what {
        Impossible::Want { why, want, .. } => Some((want, why)),
        _ => None,
    });
    assert_eq!(unmet.map(|(_, why)| why), met, "{wanted:?}");
    match (unmet, &wanted.telescope) {
        (Some((want, _)), _) => assert_eq!(*want, wanted),
        (None, Some(name)) => assert!(shows(station(&session, name), &wanted.subject)),
        (None, None) => {
            let mut stations = session.telescopes.iter();
            assert!(stations.any(|station| shows(station, &wanted.subject)));
        }
    }
}

#[test]
fn wants_are_met_or_named() {
    check_want(want("rigel", None), "20:00-22:00", None);
    check_want(want("m45", Some("Alder")), "20:00-22:00", None);
    check_want(want("mars", Some("Rowan")), "20:00-22:00", None);
    check_want(want("jupiter", Some("Alder")), "20:00-22:00", None);
    check_want(want("venus", None), "20:00-22:00", Some(&WhyNot::Skyline));
    check_want(want("sun", None), "20:00-22:00", Some(&WhyNot::Sun));
    check_want(want("saturn", None), "21:00-22:00", Some(&WhyNot::Skyline));
}

#[test]
fn what_makes_no_sense_is_refused() {
    let refused = |ask: Ask| session(&plain(), &ask).expect_err("makes no sense");
    let with = |wanted: Want| Ask {
        wants: vec![wanted],
        ..february("20:00-22:00")
    };
    assert_eq!(
        refused(with(want("nibiru", None))),
        NoSession::UnknownSubject {
            id: "nibiru".to_string()
        }
    );
    assert!(matches!(
        refused(with(want("moon", Some("Elm")))),
        NoSession::Telescope(NoSuchTelescope { name, .. }) if name == "Elm"
    ));
    assert_eq!(
        refused(february("20:00-20:10")),
        NoSession::WindowTooShort { slot_minutes: 15 }
    );
    let long = Ask {
        slot_minutes: 3,
        ..february("14:00-11:00")
    };
    assert!(matches!(refused(long), NoSession::TooManySlots { .. }));
    // A night goes from noon to noon.
    let over_noon = ClockWindow::said("14:00-12:00");
    assert_eq!(over_noon, Err(NoHours::Backwards));
}

/// By day nothing: the plan says from when.
#[test]
fn a_window_in_daylight() {
    let session = planned(&plain(), &february("15:00-16:30"));
    assert_eq!(session.window.first_look, None);
    assert!(session.infeasible.contains(&Impossible::NothingAtAll));
    assert_eq!(session.queue.looks, 0);
    let session = planned(&plain(), &february("16:00-19:00"));
    let sunset = session.sun.set.expect("it sets");
    let first = session.window.first_look.expect("a look");
    assert!(sunset < first, "{sunset} {first}");
    let named = session.infeasible.iter().any(|what| {
        matches!(
            what,
            Impossible::NothingUntil {
                sun_is_up: true,
                ..
            }
        )
    });
    assert!(named, "{:?}", session.infeasible);
}

/// Venus in the morning of 13 February 2027: a quarter of an hour before sunrise it is over.
#[test]
fn morning_venus_stops_before_sunrise() {
    let ask = Ask {
        wants: vec![want("venus", None)],
        slot_minutes: 5,
        ..february("05:30-08:00")
    };
    let workshop = workshop("", &[], "");
    let session = planned(&workshop, &ask);
    let sunrise = session.sun.rise.expect("it rises");
    let turns = session.telescopes.iter().flat_map(|station| &station.turns);
    let venus = turns.filter(|turn| turn.shown.subject.body() == Some(Body::Venus));
    let last = venus.map(|turn| turn.until).max().expect("Venus is up");
    assert!(
        (sunrise - last).num_seconds() >= 15 * 60,
        "{sunrise} {last}"
    );
}

#[test]
fn a_wheelchair_gets_a_low_eyepiece() {
    let workshop = workshop("", &[("Rowan", "low_eyepiece = true")], "");
    let ask = Ask {
        first: Some(First::Wheelchair),
        ..february("19:00-22:00")
    };
    let session = planned(&workshop, &ask);
    let rowan = station(&session, "Rowan");
    assert!(rowan.is_low && !rowan.turns.is_empty());
    for turn in &rowan.turns {
        let height_m = turn.shown.eyepiece_height_m.expect("its mount is known");
        assert!((0.85..1.25).contains(&height_m), "{height_m} m");
    }
}

/// Looks by hand: 20' in 80 s at the equator is re-centred each time, so 50 + 10 s a look, 60 an hour.
#[test]
fn the_queue_adds_up() {
    let session = planned(&plain(), &february("19:00-22:00"));
    let queues = session.telescopes.iter().map(|station| station.queue);
    let looks: u32 = queues.clone().map(|queue| queue.looks).sum();
    assert_eq!(session.queue.looks, looks);
    assert_eq!(session.queue.served, looks.min(120));
    assert!((session.queue.looks_per_visitor - f64::from(looks) / 120.0).abs() < 1e-9);
    for queue in queues {
        // Common practice: 60 to 80 looks an hour at 45 to 60 s each.
        assert!((55.0..=72.0).contains(&queue.looks_per_hour), "{queue:?}");
        // 120 people over three telescopes: 39 before me, but in the first of four and a half rounds only half as many on the average.
        let full_min = 39.0 * (queue.seconds_per_look + queue.recentre_s) / 60.0;
        let share = queue.expected_wait_min / full_min;
        assert!((0.84..=1.0).contains(&share), "{share}");
    }
    let by_slot: u32 = session.queue_by_slot.iter().map(|slot| slot.looks).sum();
    assert_eq!(by_slot, looks);
    let waited = session
        .queue_by_slot
        .iter()
        .filter_map(|slot| Some(f64::from(slot.looks) * slot.wait_min?));
    let mean_min = waited.sum::<f64>() / f64::from(looks);
    assert!((mean_min - session.queue.expected_wait_min).abs() < 1e-9);
    let crowd = Ask {
        visitors: 2000,
        ..february("19:00-22:00")
    };
    let session = planned(&plain(), &crowd);
    let without = 2000 - session.queue.looks;
    let named = |what: &Impossible| matches!(what, Impossible::TooManyVisitors { without: said, .. } if *said == without);
    assert!(
        session.infeasible.iter().any(named),
        "{:?}",
        session.infeasible
    );
}

/// A margin of the observer's, that shifts every promise, is not kept from whoever plans with it.
#[test]
fn the_observers_margin_is_said() {
    let words = |margin_dex: f64| {
        let mut workshop = plain();
        workshop.observer.margin_dex = margin_dex;
        show::session::page(&planned(&workshop, &february("19:00-20:00"))).text()
    };
    assert!(words(-0.3).contains("margin_dex of -0.30"));
    assert!(!words(0.0).contains("margin_dex"));
}

/// A date that is past helps nobody.
#[test]
fn another_date_that_is_not_later_is_named() {
    let on = |date: &str| {
        let headings = format!("[session]\nbackup_on = {date}");
        planned(&workshop("", &[], &headings), &february("19:00-22:00"))
    };
    let stale = |what: &Impossible| matches!(what, Impossible::StaleBackup { .. });
    let later = on("2027-02-19");
    assert!(later.decision.backup.is_some() && !later.infeasible.iter().any(stale));
    for date in ["2027-02-12", "2026-02-19"] {
        let session = on(date);
        assert_eq!(session.decision.backup, None);
        assert!(session.infeasible.iter().any(stale));
        let text = show::session::page(&session).text();
        assert!(text.contains(&format!("session.backup_on = {date}")));
    }
}

/// A telescope may be called anything.
#[test]
fn names_are_only_names() {
    let mut workshop = plain();
    workshop.telescopes[0].name = "<script>alert(1)</script>".to_string();
    workshop.telescopes[1].name = "=1+1, \"quoted\"; back\\slash".to_string();
    workshop.site.name = "Roof; north, \\ side".to_string();
    let session = planned(&workshop, &february("19:00-22:00"));
    let csv = show::session::csv(&session);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    assert_eq!(
        reader.headers().expect("a head"),
        show::session::csv::COLUMNS.as_slice()
    );
    let names: Vec<String> = (reader.records())
        .map(|row| row.expect("a row of the same length")[0].to_string())
        .collect();
    assert!(names.contains(&"<script>alert(1)</script>".to_string()));
    assert!(names.contains(&"'=1+1, \"quoted\"; back\\slash".to_string()));
    let json: serde_json::Value =
        serde_json::from_str(&show::session::json(&session)).expect("JSON");
    assert_eq!(
        json["telescopes"][1]["name"],
        "=1+1, \"quoted\"; back\\slash"
    );
    let ics = show::session::ics(&session, printed_at());
    let events = calendar::events(&ics);
    assert_eq!(events[0].text("LOCATION"), "Roof; north, \\ side");
    assert!(events.iter().any(|event| {
        event
            .text("SUMMARY")
            .starts_with("=1+1, \"quoted\"; back\\slash: ")
    }));
}

/// Ten telescopes, 24 slots, some 25 targets: the size that has to be planned in five seconds. `--nocapture` prints how long it took.
#[test]
fn a_large_evening() {
    let mut workshop = plain();
    for idx in 3..10 {
        let mut telescope = workshop.telescopes[idx % 3].clone();
        telescope.name = format!("No. {}", idx + 1);
        workshop.telescopes.push(telescope);
    }
    let ask = Ask {
        slot_minutes: 10,
        visitors: 500,
        ..february("18:30-22:30")
    };
    let start = std::time::Instant::now();
    let session = planned(&workshop, &ask);
    println!(
        "ten telescopes, 24 slots: {:.2} s, {:?}",
        start.elapsed().as_secs_f64(),
        session.total
    );
    assert_eq!((session.telescopes.len(), session.slots.len()), (10, 24));
    assert!(
        session
            .telescopes
            .iter()
            .all(|station| !station.turns.is_empty())
    );
    // What points could be gained is told; what a visitor takes home goes before them.
    let total = session.total;
    assert!(total.plan <= total.bound && total.gap == total.bound - total.plan);
    assert!(0.0 < total.taken_home);
}
