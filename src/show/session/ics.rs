//! A public evening as calendar files: the evening itself with its reminders, and every turn of every telescope; or what one
//! helper needs of it.

use chrono::{DateTime, TimeDelta, Utc};
use icalendar::{Alarm, Component, Event, EventLike, EventStatus};

use crate::plan::caution::Caution;
use crate::plan::session::{Session, Station, Step, Turn};
use crate::show::calendar::{Maker, hashed, text};
use crate::show::session::{advice, impossible, moments, wording};
use crate::show::words::{self, caution, clock};

/// A helper is reminded of the next turn.
const REMIND_MINUTES: i64 = 5;

/// The whole evening, made at that time.
pub fn ics(session: &Session, now: DateTime<Utc>) -> String {
    let making = Making::of(session, now);
    let title = title(session);
    let mut calendar = making.maker.calendar(&title);
    calendar.push(making.evening());
    for station in &session.telescopes {
        making.turns(station).for_each(|turn| {
            calendar.push(turn);
        });
    }
    making.moments().for_each(|moment| {
        calendar.push(moment);
    });
    text(&calendar)
}

/// A turn of an earlier plan: from when until when, and what it was to show.
#[derive(Debug, Clone, PartialEq)]
pub struct FormerTurn {
    /// As it was planned.
    pub from: DateTime<Utc>,
    /// As it was planned.
    pub until: DateTime<Utc>,
    /// Name of its target.
    pub name: String,
}

/// One telescope's evening for whoever helps there. Of its turns in the print before, those that this plan has no more are
/// called off.
pub fn ics_of_helper(
    session: &Session,
    station: &Station,
    former: &[FormerTurn],
    now: DateTime<Utc>,
) -> String {
    let making = Making::of(session, now);
    let title = format!("{}, {}", station.name, wording::evening_date(session));
    let mut calendar = making.maker.calendar(&title);
    calendar.push(making.evening_of(station));
    making.turns(station).for_each(|turn| {
        calendar.push(turn);
    });
    for (nth, gone) in former.iter().enumerate().skip(station.turns.len()) {
        calendar.push(making.called_off(station, nth, gone));
    }
    making.moments().for_each(|moment| {
        calendar.push(moment);
    });
    text(&calendar)
}

/// What every event is made with.
struct Making<'a> {
    session: &'a Session,
    maker: Maker<'a>,
}

impl<'a> Making<'a> {
    fn of(session: &'a Session, now: DateTime<Utc>) -> Self {
        let place = &session.site_name;
        Making {
            session,
            maker: Maker { place, now },
        }
    }

    /// Of that evening.
    fn key(&self, of: &str) -> String {
        format!("{}-{of}", self.session.on)
    }

    /// By its telescope's name: another one may have taken no part when the evening was printed before.
    fn turn_key(&self, station: &Station, nth: usize) -> String {
        self.key(&format!("{}-{}", hashed(&station.name), nth + 1))
    }

    fn evening(&self) -> Event {
        let session = self.session;
        let window = &session.window;
        let mut event = self
            .maker
            .event(&self.key("evening"), (window.gather, window.until));
        event
            .summary(&title(session))
            .description(&overview(session));
        if let Some(by) = session.decision.by {
            let (key, from_start) = (self.key("decide"), by - window.gather);
            event.alarm(
                self.maker
                    .reminder(&key, "Decide on the weather", from_start),
            );
        }
        for station in &session.telescopes {
            self.remind_to_put_out(&mut event, station);
        }
        event.done()
    }

    /// The same for one helper.
    fn evening_of(&self, station: &Station) -> Event {
        let session = self.session;
        let window = &session.window;
        let key = self.key(&format!("{}-evening", hashed(&station.name)));
        let mut event = self.maker.event(&key, (window.gather, window.until));
        let turns = station.turns.iter().map(|turn| {
            let name = turn.shown.subject.name();
            format!("{} {name}", clock(turn.from, session.zone))
        });
        let mut lines = vec![format!(
            "{}. Times here {}.",
            wording::evening_date(session),
            wording::offsets(session)
        )];
        lines.extend(
            station
                .before
                .iter()
                .map(|step| words::capitalised(&advice::step(*step, session.zone))),
        );
        lines.push(match station.turns.is_empty() {
            true => String::from("Nothing to show with this telescope."),
            false => turns.collect::<Vec<_>>().join(", "),
        });
        lines.extend(cautions(session, session.sun_cautions(&station.turns)));
        event
            .summary(&format!("{}, public evening", station.name))
            .description(&lines.join("\n"));
        self.remind_to_put_out(&mut event, station);
        event.done()
    }

    fn remind_to_put_out(&self, event: &mut Event, station: &Station) {
        let out = station.before.iter().find_map(|step| match step {
            Step::PutOut { by, .. } => Some(*by),
            _ => None,
        });
        if let Some(by) = out {
            let key = self.key(&format!("{}-out", hashed(&station.name)));
            let words = format!("Put {} outside, capped", station.name);
            let from_start = by - self.session.window.gather;
            event.alarm(self.maker.reminder(&key, &words, from_start));
        }
    }

    fn turns(&self, station: &'a Station) -> impl Iterator<Item = Event> {
        let turns = station.turns.iter().enumerate();
        turns.map(move |(nth, turn)| self.turn(station, nth, turn))
    }

    fn turn(&self, station: &Station, nth: usize, turn: &Turn) -> Event {
        let (session, shown, key) = (self.session, &turn.shown, self.turn_key(station, nth));
        let mut event = self.maker.event(&key, (turn.from, turn.until));
        let fallback = turn.fallback.as_ref().map_or(String::new(), |fallback| {
            format!("\nIf cloud comes: {}", fallback.shown.subject.name())
        });
        let mut lines = vec![format!(
            "{}\n{}\nLook for: {}. {}{fallback}",
            wording::path(shown, turn.until, session.zone),
            wording::view(shown),
            wording::named(&shown.look_for, session.zone),
            shown.look_for.caption.say
        )];
        lines.extend(wording::meanwhile(turn, session.zone).map(|it| format!("Meanwhile: {it}")));
        lines.extend(cautions(session, session.cautions_of(turn)));
        let next = format!("{}: next {}", station.name, shown.subject.name());
        event
            .summary(&format!("{}: {}", station.name, shown.subject.name()))
            .description(&lines.join("\n"))
            .alarm(self.remind(&key, &next));
        // Nobody is busy with all telescopes at once.
        event.add_property("TRANSP", "TRANSPARENT");
        event.done()
    }

    fn called_off(&self, station: &Station, nth: usize, gone: &FormerTurn) -> Event {
        let key = self.turn_key(station, nth);
        let mut event = self.maker.event(&key, (gone.from, gone.until));
        event
            .summary(&format!("{}: {}", station.name, gone.name))
            .status(EventStatus::Cancelled);
        event.add_property("TRANSP", "TRANSPARENT");
        event.done()
    }

    /// Those worth coming for, each a minute long.
    fn moments(&self) -> impl Iterator<Item = Event> {
        let moments = self
            .session
            .moments
            .iter()
            .filter(|it| it.is_worth_coming());
        moments.enumerate().map(|(nth, moment)| {
            let key = self.key(&format!("moment-{}", nth + 1));
            let until = moment.at + TimeDelta::minutes(1);
            let words = words::capitalised(&moments::words(moment));
            let mut event = self.maker.event(&key, (moment.at, until));
            event.summary(&words).alarm(self.remind(&key, &words));
            event.add_property("TRANSP", "TRANSPARENT");
            event.done()
        })
    }

    fn remind(&self, key: &str, words: &str) -> Alarm {
        self.maker
            .reminder(key, words, -TimeDelta::minutes(REMIND_MINUTES))
    }
}

fn overview(session: &Session) -> String {
    let zone = session.zone;
    let mut lines = vec![format!(
        "{}. {} visitors, {} looks. Times here {}.",
        wording::evening_date(session),
        session.visitors,
        session.queue.looks,
        wording::offsets(session)
    )];
    for station in session
        .telescopes
        .iter()
        .filter(|station| !station.turns.is_empty())
    {
        let turns = station
            .turns
            .iter()
            .map(|turn| format!("{} {}", clock(turn.from, zone), turn.shown.subject.name()));
        lines.push(format!(
            "{}: {}",
            station.name,
            turns.collect::<Vec<_>>().join(", ")
        ));
    }
    let impossible = session.infeasible.iter();
    lines.extend(impossible.map(|what| impossible::words_of(what, zone)));
    let turns = (session.telescopes.iter()).flat_map(|station| &station.turns);
    lines.extend(cautions(session, session.sun_cautions(turns)));
    lines.join("\n")
}

/// Those that name a time, a line each, as the text has them.
fn cautions(session: &Session, told: Vec<Caution>) -> impl Iterator<Item = String> {
    let zone = session.zone;
    told.into_iter().map(move |one| caution::words(one, zone))
}

/// `Public evening, Terrace of the school`
fn title(session: &Session) -> String {
    format!(
        "Public {}, {}",
        wording::part_of_night(session),
        session.site_name
    )
}
