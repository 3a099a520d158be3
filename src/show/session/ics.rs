//! A public evening as a calendar file (RFC 5545): the evening itself with its reminders, and every turn of every telescope.
//!
//! All instants are UTC, so that no calendar has to know a zone. The same plan gives the same file, byte for byte: an event is
//! known again by date, place and telescope, so that a plan made anew replaces the one before.

use chrono::{DateTime, TimeDelta, Utc};
use icalendar::{Alarm, Calendar, Component, Event, EventLike};

use crate::plan::caution::Caution;
use crate::plan::session::{Moment, Session, Station, Step, Turn};
use crate::show::session::{moments, wording};
use crate::show::words::{self, caution, clock};

/// Who wrote the file.
const PRODID: &str = concat!(
    "-//skyworthy//skyworthy ",
    env!("CARGO_PKG_VERSION"),
    "//EN"
);

/// A helper is reminded of the next turn.
const REMIND_MINUTES: i64 = 5;

/// The whole evening.
pub fn ics(session: &Session) -> String {
    let mut calendar = Calendar::empty();
    calendar.append_property(("VERSION", "2.0"));
    calendar.append_property(("PRODID", PRODID));
    calendar.append_property(("CALSCALE", "GREGORIAN"));
    calendar.push(evening(session));
    for (n_station, station) in session.telescopes.iter().enumerate() {
        for (n_turn, turn) in station.turns.iter().enumerate() {
            let key = format!("{}-{}", n_station + 1, n_turn + 1);
            calendar.push(turn_event(session, station, turn, &key));
        }
    }
    let moments = session.moments.iter().filter(|it| it.is_worth_coming());
    for (n_moment, moment) in moments.enumerate() {
        calendar.push(moment_event(
            session,
            moment,
            &format!("moment-{}", n_moment + 1),
        ));
    }
    refolded(&calendar.to_string())
}

/// Octets of a line, its break not counted (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;

/// The same lines folded within what the standard asks for: the writer counts one octet too many in lines that go on.
fn refolded(ics: &str) -> String {
    let mut folded = String::with_capacity(ics.len());
    for line in ics.replace("\r\n ", "").split_terminator("\r\n") {
        let mut used = 0;
        for c in line.chars() {
            if LONGEST_LINE < used + c.len_utf8() {
                folded.push_str("\r\n ");
                used = 1;
            }
            folded.push(c);
            used += c.len_utf8();
        }
        folded.push_str("\r\n");
    }
    folded
}

/// Unique and always the same: a date, a place, and what of it.
fn uid(session: &Session, key: &str) -> String {
    // FNV-1a: names may hold anything, a uid should not.
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in session.site_name.bytes() {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    format!("{}-{hash:016x}-{key}@skyworthy.invalid", session.on)
}

/// What all events share.
fn event(session: &Session, key: &str, (from, until): (DateTime<Utc>, DateTime<Utc>)) -> Event {
    let mut event = Event::new();
    event
        .uid(&uid(session, key))
        // No clock here: the plan's own date stands for when it was made.
        .timestamp(session.window.from)
        .starts(from)
        .ends(until)
        .location(&session.site_name);
    event
}

fn evening(session: &Session) -> Event {
    let window = &session.window;
    let mut event = event(session, "evening", (window.gather, window.until));
    event
        .summary(&format!(
            "Public {}, {}",
            wording::part_of_night(session),
            session.site_name
        ))
        .description(&overview(session));
    if let Some(by) = session.decision.by {
        event.alarm(reminder(
            session,
            "decide",
            "Decide on the weather",
            by - window.gather,
        ));
    }
    if let Some(first) = first_step(session) {
        let words = "Put the first telescope outside";
        event.alarm(reminder(session, "out", words, first - window.gather));
    }
    event.done()
}

/// The earliest put-out.
fn first_step(session: &Session) -> Option<DateTime<Utc>> {
    let steps = session
        .telescopes
        .iter()
        .flat_map(|station| &station.before);
    let out = steps.filter_map(|step| match step {
        Step::PutOut { by, .. } => Some(*by),
        _ => None,
    });
    out.min()
}

/// So long after the start; before it where that is negative.
fn reminder(session: &Session, key: &str, words: &str, from_start: TimeDelta) -> Alarm {
    let mut alarm = Alarm::display(words, from_start);
    // Left out, the writer would take the clock and chance.
    alarm
        .uid(&uid(session, &format!("{key}-reminder")))
        .timestamp(session.window.from);
    alarm.done()
}

fn overview(session: &Session) -> String {
    let zone = session.zone;
    let mut lines = vec![format!(
        "{}. {} visitors, {} looks. Times here {}.",
        wording::evening_date(session),
        session.visitors,
        session.queue.looks,
        wording::offsets(session)
    )];
    for station in session
        .telescopes
        .iter()
        .filter(|station| !station.turns.is_empty())
    {
        let turns = station
            .turns
            .iter()
            .map(|turn| format!("{} {}", clock(turn.from, zone), turn.shown.subject.name()));
        lines.push(format!(
            "{}: {}",
            station.name,
            turns.collect::<Vec<_>>().join(", ")
        ));
    }
    let impossible = session.infeasible.iter();
    lines.extend(impossible.map(|what| wording::impossible(what, zone)));
    let turns = (session.telescopes.iter()).flat_map(|station| &station.turns);
    lines.extend(cautions(session, session.sun_cautions(turns)));
    lines.join("\n")
}

/// Those that name a time, a line each, as the text has them.
fn cautions(session: &Session, told: Vec<Caution>) -> impl Iterator<Item = String> {
    let zone = session.zone;
    told.into_iter().map(move |one| caution::words(one, zone))
}

/// A minute long.
fn moment_event(session: &Session, moment: &Moment, key: &str) -> Event {
    let until = moment.at + TimeDelta::minutes(1);
    let words = words::capitalised(&moments::words(moment));
    let mut event = event(session, key, (moment.at, until));
    event.summary(&words).alarm(reminder(
        session,
        key,
        &words,
        -TimeDelta::minutes(REMIND_MINUTES),
    ));
    event.add_property("TRANSP", "TRANSPARENT");
    event.done()
}

fn turn_event(session: &Session, station: &Station, turn: &Turn, key: &str) -> Event {
    let shown = &turn.shown;
    let mut event = event(session, key, (turn.from, turn.until));
    let fallback = turn.fallback.as_ref().map_or(String::new(), |fallback| {
        format!("\nIf cloud comes: {}", fallback.shown.subject.name())
    });
    let mut lines = vec![format!(
        "{}\n{}\nLook for: {}. {}{fallback}",
        wording::path(shown, turn.until, session.zone),
        wording::view(shown),
        wording::named(&shown.look_for, session.zone),
        shown.look_for.caption.say
    )];
    lines.extend(wording::meanwhile(turn, session.zone).map(|it| format!("Meanwhile: {it}")));
    lines.extend(cautions(session, session.cautions_of(turn)));
    event
        .summary(&format!("{}: {}", station.name, shown.subject.name()))
        .description(&lines.join("\n"))
        .alarm(reminder(
            session,
            key,
            &format!("{}: next {}", station.name, shown.subject.name()),
            -TimeDelta::minutes(REMIND_MINUTES),
        ));
    // Nobody is busy with all telescopes at once.
    event.add_property("TRANSP", "TRANSPARENT");
    event.done()
}
