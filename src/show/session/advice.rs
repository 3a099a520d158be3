//! What the leader of a public evening has to know: what could not be had, and what to do in good time.

use crate::plan::session::{Impossible, Session};
use crate::show::session::wording;
use crate::show::words::{clock, list};

/// What could not be had, a sentence each.
pub fn impossible(session: &Session) -> Vec<String> {
    let is_had = |what: &&Impossible| matches!(what, Impossible::Warm { .. });
    let all = session.infeasible.iter().filter(|what| !is_had(what));
    all.map(|what| wording::impossible(what, session.zone))
        .collect()
}

/// Which telescopes stand outside before sunset: all at once, since they stand in one shade. `None` where none has to.
pub fn warm(session: &Session) -> Option<String> {
    let each = session.infeasible.iter().filter_map(|what| match what {
        Impossible::Warm { telescope, cool_at } => {
            Some(format!("{telescope} {}", clock(*cool_at, session.zone)))
        }
        _ => None,
    });
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| {
        format!(
            "To be cool at the first look these stand outside before sunset, capped and in the shade; put out \
             at sunset they are cool at: {}.",
            list(&each)
        )
    })
}
