//! Which of the organiser's notes a plan has no place for, and why.

use crate::plan::session::answer::Session;
use crate::plan::session::ask::Skip;
use crate::plan::session::stale_note::{NoteSort, StaleNote, WhyStale};
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::workshop::near::near_miss;
use crate::workshop::{SessionNotes, TelescopeNotes, Workshop};

/// In the order of the file.
pub(super) fn stale_notes(
    workshop: &Workshop,
    notes: &SessionNotes,
    session: &Session,
) -> Vec<StaleNote> {
    let of_each = notes
        .telescopes
        .iter()
        .map(|of| stale(workshop, of, session));
    of_each.flatten().collect()
}

fn stale(workshop: &Workshop, notes: &TelescopeNotes, session: &Session) -> Vec<StaleNote> {
    let mut stations = session.telescopes.iter();
    let Some(station) = stations.find(|station| station.name == notes.name) else {
        return vec![StaleNote {
            line: notes.line,
            telescope: notes.name.clone(),
            target: None,
            sort: NoteSort::Telescope,
            why: no_part(workshop, &notes.name),
        }];
    };
    let shows: Vec<&str> = (station.turns.iter())
        .map(|turn| turn.shown.subject.id())
        .collect();
    let is_shown = |target: &str| shows.contains(&target);
    let is_skipped = |target: &str| {
        let mut skipped = session.skipped.iter();
        skipped.any(|skip: &Skip| skip.telescope == notes.name && skip.target == target)
    };
    let order = (notes.order.iter()).map(|target| (target, notes.order_line, NoteSort::Order));
    let turns = notes.turns.iter().map(|turn| {
        let sort = if turn.skip {
            NoteSort::Skip
        } else {
            NoteSort::Note
        };
        (&turn.target, turn.line, sort)
    });
    let stale = order.chain(turns).filter(|(target, _, sort)| {
        !is_skipped(target) && (*sort == NoteSort::Skip || !is_shown(target))
    });
    stale
        .map(|(target, line, sort)| StaleNote {
            line,
            telescope: notes.name.clone(),
            target: Some(target.clone()),
            sort,
            why: not_shown(target, &shows),
        })
        .collect()
}

fn no_part(workshop: &Workshop, name: &str) -> WhyStale {
    let known = || workshop.telescopes.iter().map(|known| known.name.as_str());
    match known().any(|known| known == name) {
        true => WhyStale::TakesNoPart,
        false => WhyStale::NoTelescope(near_miss(name, known()).map(String::from)),
    }
}

fn not_shown(target: &str, shows: &[&str]) -> WhyStale {
    let is_known = Body::from_id(target).is_some() || beyond().any(|there| there.id() == target);
    if is_known {
        return WhyStale::NotShown;
    }
    let near = near_miss(target, shows.iter().copied());
    let anything = || {
        let bodies = Body::ALL.into_iter().map(Body::id);
        let known = bodies.chain(beyond().map(|there| there.id()));
        near_miss(target, known.collect::<Vec<_>>()).map(String::from)
    };
    WhyStale::NoTarget(near.map(String::from).or_else(anything))
}
