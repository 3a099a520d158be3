//! What happens between two dates as a calendar file: an event for whatever the page has.

use chrono::{DateTime, TimeDelta, Utc};
use icalendar::Component;

use crate::plan::happenings::Happenings;
use crate::show::calendar::{Maker, text};
use crate::show::happenings::table::{Row, rows};
use crate::show::happenings::title;

/// All of it, made at that time.
pub fn ics(happenings: &Happenings, now: DateTime<Utc>) -> String {
    let maker = Maker {
        place: &happenings.site_name,
        now,
    };
    let mut calendar = maker.calendar(&title(happenings));
    let mut before = String::new();
    let mut n_same = 0;
    for Row {
        kind,
        happens,
        entry,
    } in rows(happenings)
    {
        // Known again whichever dates were asked for.
        let key = format!("{}-{kind}", happens.format("%Y%m%dT%H%M%S"));
        n_same = if key == before { n_same + 1 } else { 0 };
        let own = match n_same {
            0 => key.clone(),
            n => format!("{key}-{}", n + 1),
        };
        before = key;
        let mut event = maker.event(&own, (entry.at, entry.at + TimeDelta::minutes(1)));
        event.summary(&entry.words);
        if !entry.more.is_empty() {
            event.description(&entry.more.join("\n"));
        }
        // Nobody is busy because the Moon is full.
        event.add_property("TRANSP", "TRANSPARENT");
        calendar.push(event.done());
    }
    text(&calendar)
}
