//! Everything promised at an evening as a table to be filled in; its rows are numbered as on the sheets.

use chrono::{DateTime, DurationRound, TimeDelta, Utc};

use crate::plan::session::{Session, Station, Turn};
use crate::show::session::wording;
use crate::show::words;
use crate::targets::verdict::Verdict;
use crate::workshop::log::SheetLook;

/// Beside a promise on paper and in the table: a letter for the turn, a number for the promise.
pub(super) fn code(turn: usize, promise: usize) -> String {
    let letter = char::from(b'a' + (turn % 26) as u8);
    let again = match turn / 26 {
        0 => String::new(),
        again => char::from(b'a' + (again - 1) as u8).to_string(),
    };
    format!("{again}{letter}{}", promise + 1)
}

/// A row a promise, station by station, none filled in yet.
pub(super) fn looks(session: &Session) -> Vec<SheetLook> {
    let of_station = |station: &Station| {
        let turns = station.turns.iter().enumerate();
        let of_turn = turns.flat_map(|(idx, turn)| of_turn(session, station, idx, turn));
        of_turn.collect::<Vec<_>>()
    };
    session.telescopes.iter().flat_map(of_station).collect()
}

fn of_turn(session: &Session, station: &Station, idx: usize, turn: &Turn) -> Vec<SheetLook> {
    let shown = &turn.shown;
    let promises = std::iter::once(&shown.look_for).chain(shown.others_varied());
    let look = |(nth, verdict): (usize, &Verdict)| {
        let (from, until) = hours(turn, verdict);
        SheetLook {
            telescope: station.name.clone(),
            row: code(idx, nth),
            target: shown.subject.name().to_string(),
            name: wording::named(verdict, session.zone),
            from: words::clock(from, session.zone),
            until: words::clock(until, session.zone),
            by: None,
            air: None,
            note: String::new(),
            eyepiece: Some(shown.view.eyepiece.clone()),
            detail: verdict.caption.id.clone(),
            at: best(verdict, from, until),
        }
    };
    promises.enumerate().map(look).collect()
}

fn hours(turn: &Turn, verdict: &Verdict) -> (DateTime<Utc>, DateTime<Utc>) {
    let hours = turn.hours_of(verdict);
    let from = hours.first().map_or(turn.from, |it| it.from);
    (from, hours.last().map_or(turn.until, |it| it.until))
}

/// When it shows best, or half way; to the minute, where the minute is within the hours.
fn best(verdict: &Verdict, from: DateTime<Utc>, until: DateTime<Utc>) -> DateTime<Utc> {
    let is_within = |at: &DateTime<Utc>| from <= *at && *at <= until;
    let exact = verdict.best_utc().filter(is_within);
    let exact = exact.unwrap_or(from + (until - from) / 2);
    let to = |unit| exact.duration_trunc(unit).ok();
    let minute = to(TimeDelta::minutes(1)).filter(is_within);
    minute.or(to(TimeDelta::seconds(1))).unwrap_or(exact)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_promise_has_a_code_of_its_own() {
        assert_eq!(
            [code(0, 0), code(1, 11), code(25, 0), code(26, 0)],
            ["a1", "b12", "z1", "aa1"]
        );
    }
}
