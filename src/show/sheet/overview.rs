//! What the leader of the evening holds: all telescopes along one time line, the flow of people, what moved since the
//! last print, what could not be had. May take more than one page where there is much to say.

use chrono::{DateTime, Utc};
use maud::{Markup, html};

use crate::plan::session::{Heights, Session, Station, Unkept};
use crate::show::page::document::tidy;
use crate::show::session::{advice, changed, lines, stale, wording};
use crate::show::words;
use crate::workshop::SessionNotes;

use super::safety::{Stops, safety_box};
use super::shell::page;
use super::timeline::timeline;

/// What stands on it beside the plan.
pub(super) struct Beside<'a> {
    pub(super) notes: &'a SessionNotes,
    pub(super) unkept: &'a [Unkept],
    /// `None` where nothing was printed before.
    pub(super) changes: Option<Vec<String>>,
    pub(super) stops: Stops,
}

/// The page.
pub(super) fn overview(session: &Session, beside: &Beside) -> String {
    let unkept = beside
        .unkept
        .iter()
        .map(|unkept| unkept_words(unkept, session));
    let cannot: Vec<String> = unkept.chain(advice::impossible(session)).collect();
    let warm = [advice::late(session), advice::warm(session)];
    let warm: Vec<String> = warm.into_iter().flatten().collect();
    let body = html! {
        header {
            h1 { bdi { (tidy(&session.site_name)) } }
            p { (wording::dated(session)) ", times " (wording::offsets(session)) }
            p { (hours(session)) }
            p { (wording::sun(session)) " " (wording::moon(session)) }
            @if let Some(moments) = wording::for_all(session) { p { b { (moments) } } }
            @if let Some(decision) = decision(session) { p { b { (decision) } } }
        }
        @if let Some(after) = &session.changed {
            (told(&changed::heading(session, after), &changed::told(session, after), ""))
        }
        h2 { "Who shows what when" }
        (timeline(session))
        h2 { "Telescopes" }
        (stations(session))
        p { (flow(session)) }
        @if !warm.is_empty() {
            h2 { "To put out in good time" }
            @for line in &warm { p { bdi { (tidy(line)) } } }
        }
        @if let Some(changes) = &beside.changes { (told("Changed since the last print", changes, "nothing")) }
        @if !cannot.is_empty() { (told("What could not be had", &cannot, "")) }
        @let notes = notes(session, beside.notes);
        @if !notes.is_empty() { (told("Notes", &notes, "")) }
        (safety_box(&beside.stops))
    };
    page(
        &format!("Overview, {}", session.site_name),
        "overview",
        body,
    )
}

fn told(title: &str, lines: &[String], nothing: &str) -> Markup {
    html! {
        @if lines.is_empty() { h2 { (title) ": " (nothing) } }
        @else {
            h2 { (title) ":" }
            ul { @for line in lines { li { bdi { (tidy(line)) } } } }
        }
    }
}

fn hours(session: &Session) -> String {
    let window = session.window;
    let look = |at: Option<DateTime<Utc>>| words::clock_or_never(at, session.zone);
    format!(
        "Helpers {}; first look {}, last look {}; {} visitors expected",
        words::clock_beside(window.gather, session.window.from, session.zone),
        look(window.first_look),
        look(window.last_look),
        session.visitors
    )
}

/// `Decision by 16:00 (the workshop's leader). Backup date: Saturday 19 December 2026.`
fn decision(session: &Session) -> Option<String> {
    let decision = &session.decision;
    let by = decision
        .by
        .map(|at| {
            format!(
                " by {}",
                words::clock_beside(at, session.window.from, session.zone)
            )
        })
        .unwrap_or_default();
    let who = decision
        .leader
        .as_ref()
        .map(|who| format!(" ({})", tidy(who)))
        .unwrap_or_default();
    let first = (!by.is_empty() || !who.is_empty()).then(|| format!("Decision{by}{who}."));
    let backup = (decision.backup).map(|on| format!("Backup date: {}.", words::date(on)));
    let all: Vec<String> = [first, backup].into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// Headings of a telescope's numbers, in two lines; on a narrow screen they stand before each number.
const NUMBERS: [(&str, &str); 6] = [
    ("Outside", "by"),
    ("Looks", "an hour"),
    ("Looks", "in all"),
    ("In line,", "min"),
    ("Child", "step"),
    ("Adult", "step"),
];

/// Numbers in columns no wider than they are: a word broken in two is read twice.
fn stations(session: &Session) -> Markup {
    html! {
        table {
            tr {
                th { "Telescope" }
                @for (above, below) in NUMBERS { th.number { (above) br; (below) } }
            }
            @for station in &session.telescopes {
                tr {
                    td { b { bdi { (tidy(&station.name)) } } @if let Some(place) = &station.place { ", " bdi { (tidy(place)) } } }
                    @match station.turns.is_empty() {
                        true => td colspan="6" { (resting(station)) },
                        false => @for (number, (above, below)) in numbers(session, station).iter().zip(NUMBERS) {
                            td.number data-label=(format!("{above} {below}:")) { (number) }
                        },
                    }
                }
            }
        }
    }
}

fn numbers(session: &Session, station: &Station) -> [String; 6] {
    let not_known = || String::from("?");
    let queue = &station.queue;
    let step = |step_m: fn(&Heights) -> Option<f64>| {
        let heights = station.heights.as_ref();
        heights.map_or_else(not_known, |heights| match step_m(heights) {
            None => String::from("–"),
            Some(step_m) => format!("{:.0} cm", wording::step_cm(step_m)),
        })
    };
    [
        (station.put_out).map_or_else(not_known, |out| words::clock(out.by, session.zone)),
        format!("{:.0}", queue.looks_per_hour),
        queue.looks.to_string(),
        queue.wait_minutes().to_string(),
        step(|heights| heights.child_step_m),
        step(|heights| heights.adult_step_m),
    ]
}

fn resting(station: &Station) -> String {
    match &station.summary {
        Ok(_) => String::from("shows nothing"),
        Err(why) => tidy(&why.to_string()),
    }
}

fn flow(session: &Session) -> String {
    let queue = session.queue;
    let longest = lines::longest_wait(session);
    format!(
        "Together {:.0} looks an hour, {} in all: {} for each of {} visitors, {} in line for each look{}.",
        queue.looks_per_hour,
        queue.looks,
        lines::looks_each(&queue),
        session.visitors,
        lines::minutes(queue.wait_minutes()),
        longest.map_or(String::new(), |longest| format!(" ({longest})"))
    )
}

/// Those for which the plan has no place in one line.
fn notes(session: &Session, notes: &SessionNotes) -> Vec<String> {
    let mut lines = Vec::new();
    let is_stale = |line: usize| session.stale_notes.iter().any(|stale| stale.line == line);
    for telescope in notes.telescopes.iter().filter(|of| !is_stale(of.line)) {
        let name = &telescope.name;
        lines.extend(
            telescope
                .note
                .as_ref()
                .map(|note| format!("{name}: {note}")),
        );
        for turn in telescope.turns.iter().filter(|turn| !is_stale(turn.line)) {
            let skip = if turn.skip { " is left out" } else { "" };
            let note = turn
                .note
                .as_ref()
                .map(|note| format!(": {note}"))
                .unwrap_or_default();
            if turn.skip || !note.is_empty() {
                lines.push(format!("{name}, {}{skip}{note}", turn.target));
            }
        }
    }
    lines.extend(stale::in_one_line(session));
    lines
}

/// Why the organiser's order is not kept.
pub fn unkept_words(unkept: &Unkept, session: &Session) -> String {
    let order = &unkept.order;
    let why = match &unkept.too_late_or_early {
        Some((name, limits)) => format!(
            "{name} can be looked at from {} to {} only",
            words::clock(limits.from, session.zone),
            words::clock(limits.until, session.zone)
        ),
        None => String::from("the telescopes' other rules leave no room for it"),
    };
    let names: Vec<&str> = (order.targets.iter())
        .map(|id| name_of(session, id))
        .collect();
    format!(
        "{}: the order {} is not kept: {why}",
        order.telescope,
        names.join(", ")
    )
}

/// As the sheets call it; its id, where none of them has it.
fn name_of<'a>(session: &'a Session, id: &'a str) -> &'a str {
    let turns = session.telescopes.iter().flat_map(|it| &it.turns);
    let mut subjects = turns.map(|turn| &turn.shown.subject);
    (subjects.find(|subject| subject.id() == id)).map_or(id, wording::short_name)
}
