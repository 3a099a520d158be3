//! Calendar files (RFC 5545): what all of them share.
//!
//! All instants are UTC, so that no calendar has to know a zone. The same answer at the same time gives the same file, byte for
//! byte. An event is known again by date, place and what of it, and the file that was made later takes the place of the one
//! before, event by event: DTSTAMP is when it was made, and SEQUENCE, which only has to grow from one revision to the next,
//! counts minutes up to then, since nobody keeps count of prints.

use chrono::{DateTime, TimeDelta, Utc};
use icalendar::{Alarm, Calendar, Component, Event, EventLike};

/// Who wrote the file.
const PRODID: &str = concat!(
    "-//skyworthy//skyworthy ",
    env!("CARGO_PKG_VERSION"),
    "//EN"
);

/// SEQUENCE counts from here: a whole number of 32 bits lasts for millennia.
const FIRST_MINUTE: &str = "2020-01-01T00:00:00Z";

/// As text has to be (RFC 5545, section 3.3.11), where the writer does not know a property for text.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => escaped.push_str("\\n"),
            '\\' | ';' | ',' => escaped.extend(['\\', c]),
            c => escaped.push(c),
        }
    }
    escaped
}

/// One place's calendar, made at one time.
#[derive(Clone, Copy)]
pub(super) struct Maker<'a> {
    /// Name of the place.
    pub(super) place: &'a str,
    /// When the file is made.
    pub(super) now: DateTime<Utc>,
}

impl Maker<'_> {
    /// Without events; `name` is how calendars call it (RFC 7986).
    pub(super) fn calendar(self, name: &str) -> Calendar {
        let mut calendar = Calendar::empty();
        calendar.append_property(("VERSION", "2.0"));
        calendar.append_property(("PRODID", PRODID));
        calendar.append_property(("CALSCALE", "GREGORIAN"));
        calendar.append_property(("NAME", escaped(name).as_str()));
        // The same for calendars that go by the name which was usual before.
        calendar.append_property(("X-WR-CALNAME", name));
        calendar
    }

    /// Unique and always the same.
    pub(super) fn uid(self, key: &str) -> String {
        // Names may hold anything, a uid should not.
        format!("{key}-{}@skyworthy.invalid", hashed(self.place))
    }

    /// What all events share.
    pub(super) fn event(self, key: &str, (from, until): (DateTime<Utc>, DateTime<Utc>)) -> Event {
        let first: DateTime<Utc> = FIRST_MINUTE.parse().expect("an instant");
        let mut event = Event::new();
        event
            .uid(&self.uid(key))
            .timestamp(self.now)
            .starts(from)
            .ends(until)
            .location(self.place);
        let minutes = (self.now - first).num_minutes().max(0);
        event.add_property("SEQUENCE", minutes.to_string());
        event
    }

    /// So long after the start; before it where that is negative.
    pub(super) fn reminder(self, key: &str, words: &str, from_start: TimeDelta) -> Alarm {
        let mut alarm = Alarm::display(words, from_start);
        // Left out, the writer would take the clock and chance.
        alarm
            .uid(&self.uid(&format!("{key}-reminder")))
            .timestamp(self.now);
        alarm.done()
    }
}

/// Sixteen digits for any name (FNV-1a).
pub(super) fn hashed(name: &str) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in name.bytes() {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    format!("{hash:016x}")
}

/// Octets of a line, its break not counted (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;

/// As text, folded within what the standard asks for: the writer counts one octet too many in lines that go on.
pub(super) fn text(calendar: &Calendar) -> String {
    let ics = calendar.to_string();
    let mut folded = String::with_capacity(ics.len());
    for line in ics.replace("\r\n ", "").split_terminator("\r\n") {
        let mut used = 0;
        for c in line.chars() {
            if LONGEST_LINE < used + c.len_utf8() {
                folded.push_str("\r\n ");
                used = 1;
            }
            folded.push(c);
            used += c.len_utf8();
        }
        folded.push_str("\r\n");
    }
    folded
}
