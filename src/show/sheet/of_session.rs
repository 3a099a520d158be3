//! From the plan of an evening, and what the organiser wrote beside it, to the words of sheets and poster.

use chrono::{DateTime, Utc};

use crate::plan::caution::MorningStop;
use crate::plan::session::{Session, Station, Turn};
use crate::show::session::{advice, changed, lines, warmth, wording};
use crate::show::words;
use crate::workshop::{SessionNotes, TelescopeNotes, TurnNotes};

use super::card::Card;
use super::poster::{Poster, PosterRow, PosterTurn};
use super::safety::Stops;
use super::station::StationSheet;
use super::talk;

/// The sheet of one telescope.
pub(super) fn sheet(session: &Session, station: &Station, notes: &SessionNotes) -> StationSheet {
    let notes = notes.of(&station.name);
    let mut cards: Vec<Card> = (station.turns.iter().enumerate())
        .map(|(nth, turn)| {
            let of_turn = of_turn(notes, turn);
            Card {
                note: of_turn.and_then(|of_turn| of_turn.note.clone()),
                ..Card::of(session, nth, turn)
            }
        })
        .collect();
    for idx in 1..station.turns.len() {
        cards[idx - 1].is_followed = station.turns[idx - 1].until == station.turns[idx].from;
    }
    StationSheet {
        name: station.name.clone(),
        head: head(session, station),
        note: notes.and_then(|notes| notes.note.clone()),
        stops: Stops::of(&session.sun_cautions(&station.turns), session.zone),
        cards,
    }
}

/// The poster for the line.
pub(super) fn poster(session: &Session) -> Poster {
    Poster {
        site: session.site_name.clone(),
        when: format!(
            "{}, {} to {} ({})",
            wording::dated(session),
            words::clock(session.window.from, session.zone),
            words::clock(session.window.until, session.zone),
            wording::offsets(session)
        ),
        moments: wording::for_visitors(session),
        rows: (session.telescopes.iter())
            .map(|station| row(session, station))
            .collect(),
        flow: flow(session),
        weather: weather(session),
        closing: closing(session),
    }
}

/// The cautions of all telescopes.
pub(super) fn stops(session: &Session) -> Stops {
    let turns = (session.telescopes.iter()).flat_map(|station| &station.turns);
    Stops::of(&session.sun_cautions(turns), session.zone)
}

/// `If it is cloudy: decided by 16:00; the other date is Saturday 20 February 2027.`
fn weather(session: &Session) -> Option<String> {
    let decision = &session.decision;
    let by = decision.by.map(|by| {
        let by = words::clock_beside(by, session.window.from, session.zone);
        format!("decided by {by}")
    });
    let backup = (decision.backup).map(|on| format!("the other date is {}", words::date(on)));
    let known: Vec<String> = by.into_iter().chain(backup).collect();
    (!known.is_empty()).then(|| format!("If it is cloudy: {}.", known.join("; ")))
}

/// `The last look ends at 06:46: the Sun rises at 07:01.`
fn closing(session: &Session) -> Option<String> {
    let clock = |at| words::clock(at, session.zone);
    session.morning_stop.map(|MorningStop { stop, sunrise }| {
        format!(
            "The last look ends at {}: the Sun rises at {}.",
            clock(stop.min(session.window.until)),
            clock(sunrise)
        )
    })
}

fn of_turn<'a>(notes: Option<&'a TelescopeNotes>, turn: &Turn) -> Option<&'a TurnNotes> {
    let id = turn.shown.subject.id();
    notes?.turns.iter().find(|of_turn| of_turn.target == id)
}

fn row(session: &Session, station: &Station) -> PosterRow {
    let size = (station.summary.as_ref().ok())
        .map(|summary| format!("{:.0} mm mirror", summary.aperture_mm))
        // A telescope without a name of its own is called by its size.
        .filter(|_| !station.name.starts_with(|c: char| c.is_ascii_digit()));
    let about = [
        size,
        station.place.clone(),
        station.is_low.then(|| String::from("for seated viewers")),
        station
            .is_for_children
            .then(|| String::from("for children")),
    ];
    PosterRow {
        name: station.name.clone(),
        about: about.into_iter().flatten().collect::<Vec<_>>().join(", "),
        shows: (station.turns.iter())
            .map(|turn| PosterTurn {
                when: words::clock(turn.from, session.zone),
                what: wording::short_name(&turn.shown.subject).to_string(),
                sight: talk::sight(&turn.shown),
            })
            .collect(),
    }
}

fn flow(session: &Session) -> Option<String> {
    let queue = session.queue;
    (0 < queue.looks).then(|| {
        format!(
            "A look takes about {:.0} seconds; in line it may be {} for each.",
            queue.seconds_per_look,
            lines::minutes(queue.wait_minutes())
        )
    })
}

/// Lines below the telescope's name.
fn head(session: &Session, station: &Station) -> Vec<String> {
    let clock = |at| words::clock(at, session.zone);
    let what = match &station.summary {
        Ok(summary) => format!(
            "{:.0} mm f/{}",
            summary.aperture_mm,
            words::short(summary.focal_ratio)
        ),
        Err(why) => format!("cannot be judged: {why}"),
    };
    let place = station
        .place
        .as_ref()
        .map_or(String::new(), |place| format!(", {place}"));
    let look = |label: &str, at: Option<DateTime<Utc>>| {
        at.map_or(String::new(), |at| format!(", {label} {}", clock(at)))
    };
    let first = station.turns.first().map(|turn| turn.from);
    let last = station.turns.last().map(|turn| turn.until);
    let mut lines = vec![
        format!(
            "{what}{place}. {}, times {}",
            wording::dated(session),
            words::utc_offsets(session.window.from, session.window.until, session.zone)
        ),
        format!(
            "{}: helpers {}{}{}",
            session.site_name,
            words::clock_beside(session.window.gather, session.window.from, session.zone),
            look("first look", first),
            look("end", last)
        ),
    ];
    lines.extend(changed::of_one(session, &station.name));
    let before: Vec<String> = station
        .before
        .iter()
        .map(|step| advice::step(*step, session.zone))
        .collect();
    if !before.is_empty() {
        lines.push(format!("Before: {}", before.join("; ")));
    }
    lines.extend(warmth::still_warm(station, session.zone));
    lines.extend(station.heights.map(|heights| {
        let meant = match (
            station.is_low && heights.seated_throughout,
            station.is_for_children,
        ) {
            (true, _) => " For seated viewers: keep a chair here.",
            (false, true) => " For children first.",
            (false, false) => "",
        };
        wording::heights(&heights) + meant
    }));
    lines
}
