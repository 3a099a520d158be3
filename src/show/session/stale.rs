//! Notes for which the plan has no place, in words.

use crate::plan::session::{NoteSort, Session, StaleNote, WhyStale};

/// `Rowan, saturn: it does not show it in this plan; nothing is left out (line 7)`
pub fn line(stale: &StaleNote) -> String {
    let meanwhile = match stale.sort {
        NoteSort::Telescope => "",
        NoteSort::Note => "; the note waits",
        NoteSort::Skip => "; nothing had to be left out",
        NoteSort::Order => "; the order is kept without it",
    };
    format!(
        "{}: {}{meanwhile} (line {})",
        whose(stale),
        why(&stale.why),
        stale.line
    )
}

/// All of them in one line; `None` where every note has its place.
pub fn in_one_line(session: &Session) -> Option<String> {
    let all = &session.stale_notes;
    (!all.is_empty()).then(|| {
        let each: Vec<String> = all.iter().map(whose).collect();
        let notes = if all.len() == 1 {
            "note waits"
        } else {
            "notes wait"
        };
        format!(
            "{} {notes} for another plan: {}.",
            all.len(),
            each.join("; ")
        )
    })
}

fn whose(stale: &StaleNote) -> String {
    match &stale.target {
        Some(target) => format!("{}, {target}", stale.telescope),
        None => stale.telescope.clone(),
    }
}

fn why(why: &WhyStale) -> String {
    let meant = |near: &Option<String>| {
        (near.as_ref()).map_or(String::new(), |near| format!(" (did you mean {near}?)"))
    };
    match why {
        WhyStale::NoTelescope(near) => {
            format!("the workshop has no telescope of that name{}", meant(near))
        }
        WhyStale::TakesNoPart => String::from("it takes no part this time"),
        WhyStale::NoTarget(near) => {
            format!("nothing to look at is called so{}", meant(near))
        }
        WhyStale::NotShown => String::from("it does not show it in this plan"),
    }
}
