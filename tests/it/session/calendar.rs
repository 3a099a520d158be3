//! The calendar file, read back by the rules of RFC 5545 alone, over changes of the clocks; `tests/reference/session_calendar.tsv`
//! is what another library reads in the same file.

use crate::support::{printed_at, rows};
use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use skyworthy::plan::session::Ask;
use skyworthy::show;
use skyworthy::show::session::FormerTurn;

use super::{february, planned, workshop};

/// The properties of one VEVENT, alarms left out, names with their parameters cut.
pub struct Event {
    properties: Vec<(String, String)>,
    n_alarms: usize,
}

impl Event {
    #[track_caller]
    fn raw(&self, name: &str) -> &str {
        let found = self.properties.iter().find(|(key, _)| key == name);
        &found.unwrap_or_else(|| panic!("no {name}")).1
    }

    /// Unescaped (section 3.3.11).
    #[track_caller]
    pub fn text(&self, name: &str) -> String {
        let mut text = String::new();
        let mut chars = self.raw(name).chars();
        while let Some(c) = chars.next() {
            match c {
                '\\' => match chars.next() {
                    Some('n' | 'N') => text.push('\n'),
                    Some(c @ ('\\' | ';' | ',')) => text.push(c),
                    other => panic!("no such escape: {other:?}"),
                },
                ';' | ',' => panic!("{name} is not escaped: {}", self.raw(name)),
                c => text.push(c),
            }
        }
        text
    }

    /// Form 2 of section 3.3.5: UTC.
    #[track_caller]
    pub fn utc(&self, name: &str) -> DateTime<Utc> {
        let raw = self.raw(name);
        let local = NaiveDateTime::parse_from_str(raw, "%Y%m%dT%H%M%SZ");
        local.unwrap_or_else(|why| panic!("{raw}: {why}")).and_utc()
    }
}

/// Unfolds and reads; complains about whatever is not in order.
#[track_caller]
pub fn events(ics: &str) -> Vec<Event> {
    assert!(ics.ends_with("\r\n"));
    for line in ics.split("\r\n") {
        assert!(!line.contains(['\r', '\n']), "a bare line break: {line:?}");
        assert!(line.len() <= 75, "longer than 75 octets: {line}");
    }
    let unfolded = ics.replace("\r\n ", "").replace("\r\n\t", "");
    let named = |name: &str| {
        let line = unfolded
            .split("\r\n")
            .find_map(|line| line.strip_prefix(name));
        line.unwrap_or_else(|| panic!("no {name}")).to_string()
    };
    // RFC 7986: text, so its commas are escaped.
    assert_eq!(named("NAME:"), named("X-WR-CALNAME:"));
    assert!(!named("NAME:").replace("\\,", "").contains(','));
    let mut open: Vec<String> = Vec::new();
    let mut events: Vec<Event> = Vec::new();
    for line in unfolded.split_terminator("\r\n") {
        let (name, value) = line
            .split_once(':')
            .unwrap_or_else(|| panic!("no property: {line}"));
        let name = name.split(';').next().unwrap_or_default();
        match name {
            "BEGIN" => {
                match value {
                    "VEVENT" => events.push(Event {
                        properties: Vec::new(),
                        n_alarms: 0,
                    }),
                    "VALARM" => events.last_mut().expect("inside an event").n_alarms += 1,
                    _ => assert_eq!(value, "VCALENDAR"),
                }
                open.push(value.to_string());
            }
            "END" => assert_eq!(open.pop().as_deref(), Some(value)),
            _ if open.last().is_some_and(|open| open == "VEVENT") => {
                let event = events.last_mut().expect("inside an event");
                event.properties.push((name.to_string(), value.to_string()));
            }
            _ => {}
        }
    }
    assert!(open.is_empty());
    events
}

/// In Rome the clocks go back on 25 October 2026 and forward on 28 March 2027 (IANA).
fn night_of(on: &str) -> Ask {
    Ask {
        on: on.parse().expect("a date"),
        slot_minutes: 30,
        ..february("22:00-04:00")
    }
}

#[track_caller]
fn check(on: &str, want_from: &str, want_until: &str) {
    let session = planned(&workshop("", &[], ""), &night_of(on));
    let events = events(&show::session::ics(&session, printed_at()));
    let instant = |text: &str| text.parse::<DateTime<Utc>>().expect("an instant");
    assert_eq!(events[0].utc("DTSTART"), instant(want_from));
    assert_eq!(events[0].utc("DTEND"), instant(want_until));
    let turns: Vec<_> = session
        .telescopes
        .iter()
        .flat_map(|station| &station.turns)
        .collect();
    assert_eq!(events.len(), 1 + turns.len());
    for (event, turn) in events[1..].iter().zip(turns) {
        assert_eq!(event.utc("DTSTART"), turn.from);
        assert_eq!(event.utc("DTEND"), turn.until);
        assert!(event.text("SUMMARY").ends_with(turn.shown.subject.name()));
        assert_eq!(event.n_alarms, 1);
    }
    let mut uids: Vec<_> = events.iter().map(|event| event.raw("UID")).collect();
    uids.sort_unstable();
    uids.dedup();
    assert_eq!(uids.len(), events.len());
}

#[test]
fn instants_over_a_change_of_the_clocks() {
    // A quarter of an hour to gather before 22:00 on the local clock; the nights have seven and five hours.
    check("2026-10-24", "2026-10-24T19:45:00Z", "2026-10-25T03:00:00Z");
    check("2027-03-27", "2027-03-27T20:45:00Z", "2027-03-28T02:00:00Z");
    check("2027-02-12", "2027-02-12T20:45:00Z", "2027-02-13T03:00:00Z");
}

#[test]
fn the_same_plan_gives_the_same_file() {
    let calendar = || {
        let session = planned(&workshop("", &[], ""), &night_of("2026-10-24"));
        show::session::ics(&session, printed_at())
    };
    let ics = calendar();
    assert_eq!(ics, calendar());
    assert!(ics.contains("\r\nPRODID:-//skyworthy//skyworthy "));
    super::super::golden::check("session.ics", &ics);
}

/// The later print outranks the earlier (RFC 5546, section 2.1.5): SEQUENCE grows, and DTSTAMP, which is never to come.
#[test]
fn a_later_file_takes_the_place_of_an_earlier() {
    let session = planned(&workshop("", &[], ""), &night_of("2026-10-24"));
    let at = |now| events(&show::session::ics(&session, now));
    let (now, later) = (printed_at(), printed_at() + TimeDelta::minutes(3));
    let sequence = |event: &Event| {
        event
            .raw("SEQUENCE")
            .parse::<u32>()
            .expect("a whole number")
    };
    for (first, second) in at(now).iter().zip(at(later)) {
        assert_eq!(first.raw("UID"), second.raw("UID"));
        assert_eq!((first.utc("DTSTAMP"), second.utc("DTSTAMP")), (now, later));
        assert_eq!(sequence(&second), sequence(first) + 3);
    }
}

/// Each telescope that has to be outside is reminded of, at its own time.
#[test]
fn every_telescope_is_put_out_in_time() {
    let session = planned(&workshop("", &[], ""), &february("19:00-22:00"));
    let ics = show::session::ics(&session, printed_at()).replace("\r\n ", "");
    let mut n_out = 0;
    for station in &session.telescopes {
        let Some(out) = station.put_out else { continue };
        n_out += 1;
        let words = format!("Put {} outside\\, capped", station.name);
        let helpers = show::session::ics_of_helper(&session, station, &[], printed_at());
        for ics in [&ics, &helpers.replace("\r\n ", "")] {
            let alarms = ics.split("BEGIN:VALARM").skip(1);
            let mut own = alarms.filter(|alarm| alarm.contains(&words));
            let alarm = own.next().expect("an alarm");
            let trigger = alarm
                .lines()
                .find_map(|line| line.strip_prefix("TRIGGER:"))
                .expect("a trigger");
            assert_eq!(
                session.window.gather + duration(trigger),
                out.by,
                "{trigger}"
            );
            assert!(own.next().is_none());
        }
        let of_others = session
            .telescopes
            .iter()
            .filter(|other| other.name != station.name);
        for other in of_others {
            assert!(
                !helpers.contains(&other.name),
                "{} in the calendar of {}",
                other.name,
                station.name
            );
        }
    }
    assert!(1 < n_out);
}

/// `-PT2H15M` (RFC 5545, section 3.3.6).
fn duration(text: &str) -> TimeDelta {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text),
    };
    let mut number = String::new();
    let mut seconds = 0;
    for c in rest.chars() {
        let unit = match c {
            'P' | 'T' => continue,
            'D' => 86_400,
            'H' => 3600,
            'M' => 60,
            'S' => 1,
            digit => {
                number.push(digit);
                continue;
            }
        };
        seconds += unit * number.parse::<i64>().expect("a number");
        number.clear();
    }
    TimeDelta::seconds(sign * seconds)
}

/// A turn that a helper's calendar had and the plan has no more is called off under its own name.
#[test]
fn turns_that_are_no_more_are_called_off() {
    let session = planned(&workshop("", &[], ""), &february("19:00-22:00"));
    let station = &session.telescopes[0];
    let former = |n: usize| -> Vec<FormerTurn> {
        let one = FormerTurn {
            from: session.window.from,
            until: session.window.until,
            name: String::from("Uranus"),
        };
        vec![one; n]
    };
    let n_turns = station.turns.len();
    let statuses = |n_former: usize| -> Vec<bool> {
        let ics = show::session::ics_of_helper(&session, station, &former(n_former), printed_at());
        let all = events(&ics);
        let is_off = |event: &Event| {
            event
                .properties
                .iter()
                .any(|(key, value)| key == "STATUS" && value == "CANCELLED")
        };
        let mut uids: Vec<&str> = all.iter().map(|event| event.raw("UID")).collect();
        uids.sort_unstable();
        uids.dedup();
        assert_eq!(uids.len(), all.len());
        all.iter().map(is_off).collect()
    };
    assert_eq!(statuses(0).len(), 1 + n_turns);
    assert_eq!(statuses(n_turns), statuses(0));
    let with_more = statuses(n_turns + 2);
    assert_eq!(with_more.len(), n_turns + 3);
    assert_eq!(with_more.iter().filter(|is_off| **is_off).count(), 2);
}

/// What Python's icalendar reads in the golden file, row by row.
#[test]
fn another_library_reads_the_same() {
    let reference = include_str!("../../reference/session_calendar.tsv");
    let rows: Vec<_> = rows(reference).collect();
    let golden = include_str!("../../golden/session.ics");
    let events = events(golden);
    assert_eq!(rows.len(), events.len());
    for (row, event) in rows.iter().zip(events) {
        let instant = |name: &str| event.utc(name).format("%Y-%m-%dT%H:%M:%SZ").to_string();
        assert_eq!(row[0], event.raw("UID"));
        assert_eq!(row[1], instant("DTSTART"));
        assert_eq!(row[2], instant("DTEND"));
        assert_eq!(row[3], event.text("SUMMARY"));
        assert_eq!(row[4], event.n_alarms.to_string());
        assert_eq!(row[5], instant("DTSTAMP"));
        assert_eq!(row[6], event.raw("SEQUENCE"));
    }
}
