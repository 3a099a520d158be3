//! The turns of a public evening as a table for a spreadsheet: one row a turn, units in the names of the columns.

use crate::plan::session::{Path, Session, ShownTarget, Station, Turn};
use crate::show::session::wording;
use crate::show::words::{clock, rfc3339};

/// Names of the columns; new ones are added at the end. Direction, azimuth and altitude without a time in their names are
/// those of the middle of the turn.
pub const COLUMNS: [&str; 31] = [
    "telescope",
    "place",
    "from_local",
    "until_local",
    "from_utc",
    "until_utc",
    "id",
    "target",
    "direction",
    "azimuth_deg",
    "altitude_deg",
    "eyepiece",
    "magnification",
    "true_field_deg",
    "drift_s",
    "eyepiece_height_m",
    "look_for",
    "grade_typical",
    "say",
    "clear_until_utc",
    "fallback",
    "fallback_direction",
    "seconds_per_look",
    "recentre_s",
    "direction_at_start",
    "azimuth_at_start_deg",
    "altitude_at_start_deg",
    "direction_at_end",
    "azimuth_at_end_deg",
    "altitude_at_end_deg",
    "evening_date",
];

/// The whole evening, head line first, lines ended by CR LF (RFC 4180).
///
/// Text of the user's own that a spreadsheet would take for a formula gets an apostrophe before it.
pub fn csv(session: &Session) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let rows = session.telescopes.iter().flat_map(|station| {
        let turns = station.turns.iter();
        turns.map(move |turn| row(session, station, turn))
    });
    let head = COLUMNS.map(String::from);
    for row in std::iter::once(head).chain(rows) {
        writer.write_record(&row).expect("memory takes every row");
    }
    let bytes = writer.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("made of text")
}

fn row(session: &Session, station: &Station, turn: &Turn) -> [String; COLUMNS.len()] {
    let shown = &turn.shown;
    let fallback = turn.fallback.as_ref().map(|fallback| &fallback.shown);
    let of_fallback =
        |words: &dyn Fn(&ShownTarget) -> String| fallback.map_or(String::new(), words);
    let number = |value: Option<f64>, digits: usize| {
        value.map_or(String::new(), |value| format!("{value:.digits$}"))
    };
    let Path { start, end, .. } = &shown.path;
    [
        no_formula(&station.name),
        no_formula(station.place.as_deref().unwrap_or_default()),
        clock(turn.from, session.zone),
        clock(turn.until, session.zone),
        rfc3339(turn.from),
        rfc3339(turn.until),
        shown.subject.id().to_string(),
        shown.subject.name().to_string(),
        wording::direction(&shown.direction),
        format!("{:.1}", shown.direction.azimuth_deg),
        format!("{:.1}", shown.direction.altitude_deg),
        no_formula(&shown.view.eyepiece),
        format!("{:.0}", shown.view.magnification),
        format!("{:.2}", shown.view.true_field_deg),
        number(shown.drift_s, 0),
        number(shown.eyepiece_height_m, 2),
        wording::named(&shown.look_for, session.zone),
        shown.look_for.grade.typical.word().to_string(),
        shown.look_for.caption.say.clone(),
        rfc3339(shown.limits.until),
        of_fallback(&|shown| shown.subject.name().to_string()),
        of_fallback(&|shown| wording::direction(&shown.direction)),
        format!("{:.0}", station.queue.seconds_per_look),
        format!("{:.1}", station.queue.recentre_s),
        wording::direction(start),
        format!("{:.1}", start.azimuth_deg),
        format!("{:.1}", start.altitude_deg),
        wording::direction(end),
        format!("{:.1}", end.azimuth_deg),
        format!("{:.1}", end.altitude_deg),
        session.evening_date.to_string(),
    ]
}

fn no_formula(text: &str) -> String {
    match text.starts_with(['=', '+', '-', '@']) {
        true => format!("'{text}"),
        false => text.to_string(),
    }
}
