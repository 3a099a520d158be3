//! What the leader of a public evening has to know: what could not be had, and what to do in good time.

use chrono_tz::Tz;

use crate::plan::session::{Impossible, Session, Step, WarmStart, WhyIdle};
use crate::plan::time_span::TimeSpan;
use crate::show::session::impossible;
use crate::show::session::wording;
use crate::show::words::clock;

/// What could not be had, a sentence each; telescopes that rest at the same time for the same reason together.
pub fn impossible(session: &Session) -> Vec<String> {
    let is_had =
        |what: &&Impossible| matches!(what, Impossible::Warm { .. } | Impossible::Late { .. });
    let mut told: Vec<Rest> = Vec::new();
    let all = session.infeasible.iter().filter(|what| !is_had(what));
    all.filter_map(|what| match Rest::of(what) {
        None => Some(impossible::words_of(what, session.zone)),
        Some(rest) if told.contains(&rest) => None,
        Some(rest) => {
            told.push(rest);
            let same = session.infeasible.iter();
            let same = same.filter(|what| Rest::of(what) == Some(rest));
            let names: Vec<String> = same.filter_map(resting).collect();
            Some(impossible::rests(&names, rest.span, rest.why, session.zone))
        }
    })
    .collect()
}

/// When and why a telescope rests that shows something at other times.
#[derive(Clone, Copy, PartialEq)]
struct Rest {
    span: TimeSpan,
    why: WhyIdle,
}

impl Rest {
    fn of(what: &Impossible) -> Option<Rest> {
        match *what {
            Impossible::Idle {
                from,
                until,
                why,
                all_along: false,
                ..
            } => Some(Rest {
                span: TimeSpan { from, until },
                why,
            }),
            _ => None,
        }
    }
}

fn resting(what: &Impossible) -> Option<String> {
    match what {
        Impossible::Idle { telescope, .. } => Some(telescope.clone()),
        _ => None,
    }
}

/// How warm telescopes begin, all in one line. `None` where all are cool.
pub fn late(session: &Session) -> Option<String> {
    let each = together(session, |what| match what {
        Impossible::Late { telescope, start } => Some(late_words(telescope, start, session.zone)),
        _ => None,
    })?;
    Some(format!(
        "People meet too late to have all mirrors cool; these begin softer: {each}."
    ))
}

/// `Hazel 6 degrees warm at 19:00 (stars 2.1" wider), cool at 20:46`
fn late_words(telescope: &str, start: &WarmStart, zone: Tz) -> String {
    format!(
        "{telescope} {:.0} degrees warm at {} (stars {:.1}\" wider), cool at {}",
        start.warmth.warm_k,
        clock(start.at, zone),
        start.softer_arcsec,
        clock(start.cool_at, zone)
    )
}

/// Which telescopes stand outside before sunset: all at once, since they stand in one shade. `None` where none has to.
pub fn warm(session: &Session) -> Option<String> {
    let each = together(session, |what| match what {
        Impossible::Warm {
            telescope,
            from_sunset,
        } => Some(format!(
            "{telescope} cool at {}",
            clock(from_sunset.cool_at, session.zone)
        )),
        _ => None,
    })?;
    Some(format!(
        "To be cool at the first look these stand outside before sunset, capped and in the shade. Put out \
         at sunset: {each}."
    ))
}

/// Of each of them, `;` between.
fn together<'a>(
    session: &'a Session,
    words: impl Fn(&'a Impossible) -> Option<String>,
) -> Option<String> {
    let each: Vec<String> = session.infeasible.iter().filter_map(words).collect();
    (!each.is_empty()).then(|| each.join("; "))
}

/// What is done before the first look, as a part of a line: `outside by 16:30, capped, in the shade`.
pub fn step(step: Step, zone: Tz) -> String {
    match step {
        Step::PutOut { by, by_day } => {
            let shade = if by_day { ", in the shade" } else { "" };
            format!("outside by {}, capped{shade}", clock(by, zone))
        }
        Step::Collimate {
            by,
            again_on_a_star,
        } => wording::aiming(by, again_on_a_star, zone),
        Step::Ready { at } => format!("ready {}", clock(at, zone)),
    }
}
