//! Looks and lines in words.

use crate::plan::session::{Queue, Session};
use crate::show::words::{clock, short};
use crate::workshop::Arrival;

/// A line so much longer than the mean, and so long, is told, minutes. The project's own choice.
const LONGER: f64 = 1.25;
const LONGER_MIN: f64 = 10.0;

/// `60 looks an hour, 238 in all; about 11 minutes in line for each.`
pub fn queue(queue: &Queue, arrival: Arrival) -> String {
    if queue.looks == 0 {
        return String::from("No looks.");
    }
    let wait = match queue.wait_minutes() {
        0 => String::from("hardly a line"),
        wait => format!(
            "about {} in line for each {}",
            minutes(wait),
            if_they_come(arrival)
        ),
    };
    format!(
        "{:.0} looks an hour, {} in all; {wait}.",
        queue.looks_per_hour, queue.looks
    )
}

/// Looks for each visitor, if all queue alike: `3.5`, `62`.
pub fn looks_each(queue: &Queue) -> String {
    match queue.looks_per_visitor {
        many if 10.0 <= many => format!("{many:.0}"),
        few => short(few),
    }
}

/// `a minute`, `19 minutes`: no false promise of none.
pub fn minutes(wait: u32) -> String {
    match wait {
        0 | 1 => String::from("a minute"),
        more => format!("{more} minutes"),
    }
}

/// `73 minutes at 20:00`: where the line is longest, if it is much longer then.
pub fn longest_wait(session: &Session) -> Option<String> {
    let by_slot = session.slots.iter().zip(&session.queue_by_slot);
    let known = by_slot.filter_map(|(slot, queue)| Some((slot.from, queue.wait_min?)));
    let (at, wait_min) = known.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let is_much_longer = LONGER_MIN.max(LONGER * session.queue.expected_wait_min) <= wait_min;
    is_much_longer.then(|| {
        format!(
            "{} at {}",
            minutes(wait_min.round() as u32),
            clock(at, session.zone)
        )
    })
}

/// What the mean wait is of.
pub fn if_they_come(arrival: Arrival) -> &'static str {
    match arrival {
        Arrival::Together => "if all are there",
        Arrival::OverTime => "if they come one by one",
    }
}
