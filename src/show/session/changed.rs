//! What has happened, and what becomes of the plan: for whoever runs from telescope to telescope to say so.

use chrono_tz::Tz;
use serde_json::{Value, json};

use crate::plan::session::{Changed, ChangedStretch, Sector, Session, TelescopeChange, Upset};
use crate::show::json;
use crate::show::page::Block;
use crate::show::session::lines;
use crate::show::session::wording::short_name;
use crate::show::words::{clock, list, rfc3339, wind_in_words};
use crate::targets::subject::Subject;

/// The section of the page; `None` where all goes as planned.
pub(super) fn section(session: &Session) -> Option<Block> {
    let changed = session.changed.as_ref()?;
    let lines = Block::List(told(session, changed));
    Some(Block::section(
        format!("{}:", heading(session, changed)),
        [lines],
    ))
}

/// `From 20:45 on`
pub fn heading(session: &Session, changed: &Changed) -> String {
    format!("From {} on", clock(changed.from, session.zone))
}

/// What has happened, each telescope that does something else, and how many go on.
pub fn told(session: &Session, changed: &Changed) -> Vec<String> {
    let zone = session.zone;
    let happened = happened(&changed.upset);
    let heard = format!("at {}: {happened}", clock(changed.now, zone));
    let changes = (changed.telescopes.iter()).map(|change| of_telescope(change, zone));
    let kept = session.telescopes.len() - changed.telescopes.len();
    let kept = match (kept, session.telescopes.len()) {
        (0, _) => None,
        (kept, all) if kept == all => Some(String::from("all telescopes go on as planned")),
        (1, _) => Some(String::from("one telescope goes on as planned")),
        (kept, _) => Some(format!("{kept} telescopes go on as planned")),
    };
    std::iter::once(heard).chain(changes).chain(kept).collect()
}

/// `the evening begins 20 minutes late; Rowan is out; cloud from south-west to west; it ends at 21:30`
fn happened(upset: &Upset) -> String {
    let mut words = Vec::new();
    if upset.late_minutes > 0 {
        let minutes = lines::minutes(upset.late_minutes);
        words.push(format!("the evening begins {minutes} late"));
    }
    let are = |names: &[String], what: &str| match names {
        [] => None,
        [one] => Some(format!("{one} is {what}")),
        names => Some(format!("{} are {what}", list(names))),
    };
    words.extend(are(&upset.out, "out"));
    words.extend(are(&upset.back, "back"));
    let clouds: Vec<String> = upset.clouds.iter().map(sector).collect();
    words.extend((!clouds.is_empty()).then(|| format!("cloud {}", list(&clouds))));
    if let Some(end) = upset.end {
        words.push(format!("it ends at {}", end.format("%H:%M")));
    }
    match words.is_empty() {
        true => String::from("nothing has changed"),
        false => words.join("; "),
    }
}

/// `from south-west to west`
fn sector(sector: &Sector) -> String {
    let [from, until] = [sector.from_deg, sector.until_deg].map(wind_in_words);
    match from == until {
        _ if sector.is_all_round() => String::from("all round"),
        true if 180.0 < sector.width_deg() => format!("all round but for a part in the {from}"),
        true => format!("in the {from}"),
        false => format!("from {from} to {until}"),
    }
}

/// `From 20:50 on: 20:50-21:30 Saturn instead of Moon`, for whoever stands at that telescope; `None` where it goes on as planned.
pub fn of_one(session: &Session, telescope: &str) -> Option<String> {
    let changed = session.changed.as_ref()?;
    let mut changes = changed.telescopes.iter();
    let change = changes.find(|change| change.telescope == telescope)?;
    let heading = heading(session, changed);
    Some(format!("{heading}: {}", stretches(change, session.zone)))
}

fn of_telescope(change: &TelescopeChange, zone: Tz) -> String {
    format!("{}: {}", change.telescope, stretches(change, zone))
}

fn stretches(change: &TelescopeChange, zone: Tz) -> String {
    let stretches: Vec<String> = (change.stretches.iter())
        .map(|stretch| of_stretch(stretch, zone))
        .collect();
    stretches.join("; ")
}

/// `20:45-21:30 Saturn instead of the Moon`
fn of_stretch(stretch: &ChangedStretch, zone: Tz) -> String {
    let (from, until) = (
        clock(stretch.span.from, zone),
        clock(stretch.span.until, zone),
    );
    let name = |subject: &Subject| short_name(subject).to_string();
    let what = match (&stretch.before, &stretch.instead) {
        (Some(before), Some(now)) => format!("{} instead of {}", name(now), name(before)),
        (Some(before), None) => format!("rests, no {}", name(before)),
        (None, Some(now)) => format!("{} instead of a rest", name(now)),
        (None, None) => String::from("rests"),
    };
    format!("{from}-{until} {what}")
}

/// `before` and `instead` are ids, null where the telescope rests.
pub(super) fn json(changed: &Changed) -> Value {
    let upset = &changed.upset;
    let id = |subject: &Option<Subject>| subject.as_ref().map(|it| it.id().to_string());
    let stretch = |it: &ChangedStretch| {
        let what = json!({ "before": id(&it.before), "instead": id(&it.instead) });
        json::joined(json::span(it.span.from, it.span.until), what)
    };
    let telescope = |it: &TelescopeChange| {
        json!({
            "name": it.telescope,
            "stretches": it.stretches.iter().map(stretch).collect::<Value>(),
        })
    };
    let cloud = |it: &Sector| json!({ "from_deg": it.from_deg, "until_deg": it.until_deg });
    json!({
        "now_utc": rfc3339(changed.now),
        "from_utc": rfc3339(changed.from),
        "late_minutes": upset.late_minutes,
        "out": upset.out,
        "back": upset.back,
        "clouds": upset.clouds.iter().map(cloud).collect::<Value>(),
        "end": upset.end.map(|end| end.format("%H:%M").to_string()),
        "telescopes_that_had_to": changed.had_to,
        "telescopes": changed.telescopes.iter().map(telescope).collect::<Value>(),
    })
}
