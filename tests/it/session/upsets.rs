//! The evening as it changes: what is past and what runs stays, what must change does, and little else.

use chrono::{NaiveTime, Timelike};

use super::lines::ask_of;
use super::{planned, workshop_of};
use crate::support::{Dice, evening};
use skyworthy::plan::session::{Ask, Sector, Session, Upset, WhyHere, session_as_noted};
use skyworthy::show;
use skyworthy::workshop::{SessionNotes, Workshop};

/// What each telescope shows, slot by slot.
fn shown(session: &Session) -> Vec<Vec<Option<String>>> {
    let of_station = |station: &skyworthy::plan::session::Station| {
        let mut path = vec![None; session.slots.len()];
        for turn in &station.turns {
            path[turn.slots.clone()].fill(Some(turn.shown.subject.id().to_string()));
        }
        path
    };
    session.telescopes.iter().map(of_station).collect()
}

fn changed(workshop: &Workshop, ask: &Ask, upset: &Upset) -> Session {
    let none = SessionNotes::default();
    let upsets = std::slice::from_ref(upset);
    session_as_noted(workshop, ask, &none, upsets)
        .expect("a plan")
        .0
}

fn nothing_at(now: NaiveTime) -> Upset {
    Upset {
        now,
        late_minutes: 0,
        out: Vec::new(),
        back: Vec::new(),
        clouds: Vec::new(),
        end: None,
    }
}

/// Forty random evenings with a random upset each: a telescope out, a quarter of the sky covered, an end that comes sooner.
#[test]
fn an_upset_changes_what_it_must_and_little_else() {
    let (mut n_upsets, mut n_within) = (0, 0);
    for number in 0..40u64 {
        let drawn = evening(number);
        let workshop = workshop_of(&drawn.toml);
        let ask = ask_of(&drawn);
        let before = planned(&workshop, &ask);
        let mut dice = Dice(1 + number);
        let known_from = dice.below(before.slots.len() as u64) as usize;
        let zone = before.zone;
        let now = before.slots[known_from].from.with_timezone(&zone).time();
        let now = now.with_nanosecond(0).expect("a second");
        let mut upset = nothing_at(now);
        match dice.below(3) {
            0 => {
                let out = dice.below(before.telescopes.len() as u64) as usize;
                upset.out.push(before.telescopes[out].name.clone());
            }
            1 => {
                let from_deg = dice.below(360) as f64;
                upset.clouds.push(Sector {
                    from_deg,
                    until_deg: (from_deg + 90.0) % 360.0,
                });
            }
            _ => {
                let last = known_from + (before.slots.len() - known_from) / 2;
                let end = before.slots[last].until.with_timezone(&zone).time();
                upset.end = (before.slots[last].until < before.window.until).then_some(end);
            }
        }
        let after = changed(&workshop, &ask, &upset);
        let (old, new) = (shown(&before), shown(&after));
        for (old, new) in old.iter().zip(&new) {
            assert_eq!(old[..known_from], new[..known_from], "{number}: the past");
        }
        // Nobody has wanted anything: what is settled by the clock is no wish.
        let turns = after.telescopes.iter().flat_map(|station| &station.turns);
        for turn in turns {
            assert_ne!(turn.why_here, WhyHere::Wanted, "{number}");
        }
        // Nothing in a telescope that is out, nothing under the cloud, nothing after the end.
        for (station, path) in after.telescopes.iter().zip(&new) {
            if upset.out.contains(&station.name) {
                assert!(path[known_from..].iter().all(Option::is_none), "{number}");
            }
            for turn in &station.turns {
                let starts_later = known_from <= turn.slots.start;
                let place = &turn.shown.direction;
                let is_covered = upset.clouds.iter().any(|it| it.covers(place.azimuth_deg));
                let near_rim = upset.clouds.iter().any(|it| {
                    !it.covers(place.azimuth_deg - 12.0) || !it.covers(place.azimuth_deg + 12.0)
                });
                assert!(
                    !(starts_later && is_covered && !near_rim && place.altitude_deg < 60.0),
                    "{number}: {} under cloud",
                    turn.shown.subject.name()
                );
            }
        }
        let told = after.changed.as_ref().expect("something was said");
        n_upsets += 1;
        n_within += usize::from(told.telescopes.len() <= told.had_to + 1);
        // The page says all of it, and so does the answer for programs.
        let page = show::session::page(&after).text();
        assert!(page.contains("\nFrom "), "{number}");
        for change in &told.telescopes {
            assert!(
                page.contains(&format!("- {}: ", change.telescope)),
                "{number}"
            );
        }
    }
    assert!(
        9 * n_upsets <= 10 * n_within,
        "{n_within} of {n_upsets} changed one telescope at most that need not"
    );
}

#[test]
fn what_cannot_have_happened_is_refused() {
    let drawn = evening(4);
    let workshop = workshop_of(&drawn.toml);
    let ask = ask_of(&drawn);
    let session = planned(&workshop, &ask);
    let local = |at: chrono::DateTime<chrono::Utc>| at.with_timezone(&session.zone).time();
    let why = |upset: &Upset| {
        let none = SessionNotes::default();
        let refused = session_as_noted(&workshop, &ask, &none, std::slice::from_ref(upset));
        refused.expect_err("refused").to_string()
    };
    let begin = nothing_at(local(session.window.from));
    let over = nothing_at(local(session.window.until));
    assert!(why(&over).starts_with("no slot of the evening begins after that"));
    let past = Upset {
        end: Some(local(session.slots[0].from)),
        ..nothing_at(local(session.slots[1].from))
    };
    assert!(why(&past).starts_with("the new end is past already"));
    let nobody = Upset {
        out: vec![String::from("Nobody")],
        ..begin.clone()
    };
    assert!(why(&nobody).starts_with("no telescope is called `Nobody`"));
    // Nothing said, nothing changed.
    let same = changed(&workshop, &ask, &begin);
    assert_eq!(shown(&same), shown(&session));
    assert_eq!(same.changed.expect("it was said").telescopes, []);
}

/// What the notes say has happened is heard as if it were said, one thing after the other.
#[test]
fn what_happened_may_stand_in_the_notes() {
    let drawn = evening(4);
    let workshop = workshop_of(&drawn.toml);
    let ask = ask_of(&drawn);
    let before = planned(&workshop, &ask);
    let local = |slot: usize| before.slots[slot].from.with_timezone(&before.zone).time();
    let out = before.telescopes[0].name.clone();
    let (now, later) = (local(1), local(3));
    let said = [
        Upset {
            out: vec![out.clone()],
            ..nothing_at(now)
        },
        Upset {
            back: vec![out.clone()],
            clouds: vec![Sector {
                from_deg: 200.0,
                until_deg: 290.0,
            }],
            ..nothing_at(later)
        },
    ];
    let none = SessionNotes::default();
    let (as_said, _) = session_as_noted(&workshop, &ask, &none, &said).expect("a plan");
    let text = format!(
        "[[happened]]\nnow = \"{}\"\nout = [{out:?}]\n[[happened]]\nnow = \"{}\"\nback = [{out:?}]\ncloud_deg = [[200, 290]]\n",
        now.format("%H:%M"),
        later.format("%H:%M")
    );
    let notes = SessionNotes::from_toml_bytes(text.as_bytes(), "notes").expect("notes");
    let (as_noted, _) = session_as_noted(&workshop, &ask, &notes, &[]).expect("a plan");
    assert_eq!(shown(&as_noted), shown(&as_said));
    assert_eq!(as_noted.changed, as_said.changed);
    // An end said before holds for who comes back, until another is said.
    let ended = Upset {
        end: Some(local(before.slots.len() - 2)),
        ..nothing_at(now)
    };
    let back = Upset {
        out: vec![out.clone()],
        ..nothing_at(now)
    };
    let all = [ended, back, said[1].clone()];
    let (cut, _) = session_as_noted(&workshop, &ask, &none, &all).expect("a plan");
    for path in shown(&cut) {
        assert!(path[before.slots.len() - 2..].iter().all(Option::is_none));
    }
    // Out for two slots, then back.
    let path = &shown(&as_noted)[0];
    assert!(path[1].is_none() && path[2].is_none());
    for (wrong, part) in [
        ("[[happened]]\nout = []\n", "now"),
        ("[[happened]]\nnow = \"25:99\"\n", "now"),
        (
            "[[happened]]\nnow = \"20:00\"\ncloud_deg = [[200]]\n",
            "cloud_deg",
        ),
        (
            "[[happened]]\nnow = \"20:00\"\nlate_minutes = -3\n",
            "late_minutes",
        ),
        ("[[happened]]\nnow = \"20:00\"\nout = [3]\n", "out"),
    ] {
        let why = SessionNotes::from_toml_bytes(wrong.as_bytes(), "notes");
        let why = why.expect_err(wrong).to_string();
        assert!(why.contains(part), "{wrong}: {why}");
    }
}
