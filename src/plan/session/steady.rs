//! What it costs to change a plan that people know, and what a plan shows, to be kept by the next.

use crate::plan::assignment::Steady;
use crate::plan::session::answer::Session;
use crate::plan::session::ask::Pin;

/// What it has to bring that a telescope changes which need not: a sheet to print anew, somebody to tell. As much as two plain
/// details in a slot. The project's own choice.
const TELESCOPE_POINTS: f64 = 200.0;

/// What keeping a slot as it was is worth to a telescope that has to change: as much as a plain detail. The project's own choice.
const SLOT_POINTS: f64 = 100.0;

/// That plan, to be kept.
pub(super) fn steady(planned: &[Vec<Option<usize>>]) -> Steady<'_> {
    Steady {
        planned,
        telescope_cost: TELESCOPE_POINTS,
        slot_bonus: SLOT_POINTS,
    }
}

/// What a plan shows.
pub(super) fn shown(session: &Session) -> Vec<Pin> {
    let mut pins = Vec::new();
    for station in &session.telescopes {
        pins.extend(station.turns.iter().map(|turn| Pin {
            telescope: station.name.clone(),
            target: turn.shown.subject.id().to_string(),
            slots: turn.slots.clone(),
        }));
    }
    pins
}
