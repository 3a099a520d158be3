//! A public evening, for reading: what the leader has to know, who shows what when, then a page a telescope.

pub mod wording;

pub mod sizes;

pub mod lines;

pub mod warmth;

pub mod impossible;

pub mod advice;

pub mod moments;

pub mod changed;
pub mod stale;

mod json;

pub mod csv;

mod ics;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::plan::session::{
    Decision, First, Session, ShownTarget, Station, Step, Total, Turn, TurnFallback,
};
use crate::show::page::{Block, Page, Table};
use crate::show::words::{self, assumed, caution, clock, figure, list, short};
use crate::targets::verdict::Grade;

pub use self::csv::csv;
pub use self::ics::{FormerTurn, ics, ics_of_helper};
pub use self::json::json;

/// Telescopes beside each other in one timetable.
const ABREAST: usize = 4;

/// Letters beside the times in a timetable, for all its telescopes.
const ABREAST_LETTERS: usize = 64;

/// Other details named after the one to look for.
const MOST_OTHERS: usize = 4;

/// The whole evening.
pub fn page(session: &Session) -> Page {
    let title = format!(
        "{}, public {} of {}, times {}",
        session.site_name,
        wording::part_of_night(session),
        wording::evening_date(session),
        wording::offsets(session)
    );
    let stations = session.telescopes.iter();
    Page::new(title)
        .with(head(session).into_iter().map(Block::say))
        .with(changed::section(session))
        .with(timetables(session))
        .with(cannot(session))
        .with(waiting(session))
        .with(stations.map(|station| station_section(session, station)))
        .with([caution::section(&session.cautions, session.zone)])
        .with(assumed::section(&session.assumed))
}

fn head(session: &Session) -> Vec<String> {
    let time = |at| clock(at, session.zone);
    let window = &session.window;
    let first = match session.first {
        Some(First::Children) => ", children first",
        Some(First::Wheelchair) => ", wheelchair first",
        None => "",
    };
    let airs = session.seeing_zenith_arcsec;
    let mut lines = vec![
        format!(
            "{} to {}, people meet at {}; {} visitors{first}.",
            time(window.from),
            time(window.until),
            wording::meeting(session),
            session.visitors
        ),
        format!("{} {}", wording::sun(session), wording::moon(session)),
        format!(
            "Air, zenith: good {:.1}\", typical {:.1}\", poor {:.1}\"; grades below are for typical air.",
            airs.good, airs.typical, airs.poor
        ),
        format!(
            "Reckoned with {:.0} s a look, {} minutes at least on a target, {} changes at most.",
            session.evening.seconds_per_look,
            session.evening.minimum_stay_minutes,
            session.evening.most_changes
        ),
    ];
    lines.extend(wording::for_all(session));
    lines.extend(words::observer_margin(session.observer_margin_dex));
    lines.extend(decision_words(session, &session.decision));
    if session.queue.looks > 0 {
        lines.push(looks_words(session));
    }
    lines
}

fn looks_words(session: &Session) -> String {
    let queue = &session.queue;
    let longest = lines::longest_wait(session);
    format!(
        "{} looks in all, {} for each visitor; {} in line for each look {}{}.",
        queue.looks,
        lines::looks_each(queue),
        lines::minutes(queue.wait_minutes()),
        lines::if_they_come(session.evening.arrival),
        longest.map_or(String::new(), |longest| format!(" ({longest})"))
    )
}

fn decision_words(session: &Session, decision: &Decision) -> Option<String> {
    let by = decision.by.map(|by| {
        format!(
            "Weather decided by {}",
            words::clock_beside(by, session.window.from, session.zone)
        )
    });
    let who = decision
        .leader
        .as_ref()
        .map(|leader| format!("by: {leader}"));
    let backup = decision
        .backup
        .map(|on| format!("backup {}", words::date(on)));
    let known: Vec<String> = [by, who, backup].into_iter().flatten().collect();
    (!known.is_empty()).then(|| format!("{}.", known.join("; ")))
}

/// Rows: every time at which something changes. Columns: telescopes, a few abreast.
fn timetables(session: &Session) -> Vec<Block> {
    let busy: Vec<&Station> = (session.telescopes.iter())
        .filter(|station| !station.turns.is_empty())
        .collect();
    (busy.chunks(ABREAST))
        .flat_map(|stations| [Block::Space, timetable(session, stations).into()])
        .collect()
}

fn timetable(session: &Session, stations: &[&Station]) -> Table {
    let width = ABREAST_LETTERS / stations.len().max(1);
    let turns = || stations.iter().flat_map(|station| &station.turns);
    let mut times: Vec<DateTime<Utc>> = turns().flat_map(|turn| [turn.from, turn.until]).collect();
    times.sort_unstable();
    times.dedup();
    let row = |at: &DateTime<Utc>| {
        let cells = stations
            .iter()
            .map(|station| cell_words(station, *at, width));
        std::iter::once(clock(*at, session.zone))
            .chain(cells)
            .collect()
    };
    let names = stations.iter().map(|station| cut(&station.name, width));
    let heading = std::iter::once(String::from("from")).chain(names);
    Table::of(heading.collect(), times.iter().map(row).collect())
}

/// The target where it begins, a stroke while it lasts.
fn cell_words(station: &Station, at: DateTime<Utc>, width: usize) -> String {
    let turn = station
        .turns
        .iter()
        .find(|turn| turn.from <= at && at < turn.until);
    match turn {
        Some(turn) if turn.from == at => cut(wording::short_name(&turn.shown.subject), width),
        Some(_) => String::from("|"),
        None => String::from("-"),
    }
}

/// To the width of a cell.
fn cut(name: &str, width: usize) -> String {
    if name.chars().count() <= width {
        return name.to_string();
    }
    let kept: String = name.chars().take(width - 2).collect();
    format!("{}..", kept.trim_end())
}

fn cannot(session: &Session) -> Option<Block> {
    let mut lines = advice::impossible(session);
    lines.extend(advice::late(session));
    lines.extend(advice::warm(session));
    lines.extend(how_good(&session.total));
    (!lines.is_empty()).then(|| Block::section("To know:", [Block::List(lines)]))
}

/// What the organiser wrote for which this plan has no place.
fn waiting(session: &Session) -> Option<Block> {
    let lines: Vec<String> = session.stale_notes.iter().map(stale::line).collect();
    (!lines.is_empty()).then(|| {
        let title = "Your notes for which this plan has no place; they are kept:";
        Block::section(title, [Block::List(lines)])
    })
}

/// Up to here a plan is called near the best.
const NEAR_PERCENT: f64 = 2.0;

/// Whether a better plan was ruled out.
fn how_good(total: &Total) -> Option<String> {
    // A tenth of a percent is as fine as points mean anything.
    let gain = (100.0 * total.gap / total.plan).max(0.1);
    match gain {
        _ if total.plan <= 0.0 => None,
        _ if total.gap <= 0.0 => Some(String::from(
            "No other plan under these rules is worth more.",
        )),
        gain if gain <= NEAR_PERCENT => Some(format!(
            "No other plan under these rules can be worth more than {gain:.1} % more."
        )),
        gain => Some(format!(
            "It was chosen for what is new to each visitor; by points alone another plan might have up to {gain:.0} % more."
        )),
    }
}

fn station_section(session: &Session, station: &Station) -> Block {
    let heading = match &station.summary {
        Ok(summary) => format!(
            "{}, {:.0} mm f/{}, {}: {}",
            station.name,
            summary.aperture_mm,
            short(summary.focal_ratio),
            wording::class(summary.class),
            figure::words(&summary.figure)
        ),
        Err(why) => format!("{}: {why}", station.name),
    };
    if station.turns.is_empty() {
        return Block::section(heading, []);
    }
    let lines = [
        Some(stand_words(station)),
        Some(before_words(session, station)),
        warmth::still_warm(station, session.zone),
        station.heights.as_ref().map(wording::heights),
        Some(lines::queue(&station.queue, session.evening.arrival)),
    ];
    let turns = station.turns.iter().map(|turn| turn_section(session, turn));
    let lines = lines.into_iter().flatten().map(Block::say);
    Block::section(heading, lines.chain(turns))
}

fn stand_words(station: &Station) -> String {
    let mut words = Vec::new();
    words.extend(station.place.clone());
    words.push(wording::helper(station.helper).to_string());
    if station.is_low {
        words.push(String::from("for a seated eye"));
    }
    if station.is_for_children {
        words.push(String::from("for children"));
    }
    format!("Stands: {}.", words.join("; "))
}

fn before_words(session: &Session, station: &Station) -> String {
    let time = |at: &DateTime<Utc>| clock(*at, session.zone);
    let step = |step: &Step| match step {
        Step::PutOut { by, by_day: true } => {
            format!("Put it outside by {}, capped, in the shade.", time(by))
        }
        Step::PutOut { by, .. } => format!("Put it outside by {}.", time(by)),
        Step::Collimate {
            by,
            again_on_a_star,
        } => {
            let aiming = wording::aiming(*by, *again_on_a_star, session.zone);
            format!("{}.", words::capitalised(&aiming))
        }
        Step::Ready { at } => format!("First look {}.", time(at)),
    };
    station
        .before
        .iter()
        .map(step)
        .collect::<Vec<_>>()
        .join(" ")
}

fn turn_section(session: &Session, turn: &Turn) -> Block {
    let zone = session.zone;
    let shown = &turn.shown;
    let heading = format!(
        "{}-{} {}: {}",
        clock(turn.from, zone),
        clock(turn.until, zone),
        shown.subject.name(),
        wording::path(shown, turn.until, zone)
    );
    let facts = sizes::facts(shown);
    let fallback = match &turn.fallback {
        Some(TurnFallback { shown, .. }) => format!(
            "if cloud comes: {}",
            wording::fallback(shown, &wording::path(shown, turn.until, zone))
        ),
        None => wording::passing(session, turn).map_or_else(
            || String::from("if cloud comes: nothing else shows"),
            |words| format!("if cloud comes, nothing lasts the turn: {words}"),
        ),
    };
    let lines = [
        format!("up {}", wording::limits(shown, zone)),
        String::from(if shown.is_hard_to_hold {
            wording::HARD_TO_HOLD
        } else {
            ""
        }),
        wording::view(shown),
        look_for_words(shown, zone),
        wording::meanwhile(turn, zone)
            .map_or_else(String::new, |words| format!("meanwhile: {words}")),
        facts,
        // Of one telescope there is nothing to choose.
        match session.telescopes.len() {
            1 => String::new(),
            _ => format!("why here: {}", wording::why_here(&turn.why_here)),
        },
        fallback,
    ];
    let known = lines.into_iter().filter(|line| !line.is_empty());
    Block::section(heading, known.map(Block::say))
}

fn look_for_words(shown: &ShownTarget, zone: Tz) -> String {
    let best = &shown.look_for;
    let named = shown.others.iter().take(MOST_OTHERS).map(|other| {
        let grade = other.grade.typical;
        format!("{} ({})", wording::named(other, zone), grade.word())
    });
    let named: Vec<String> = named.collect();
    let more = shown.others.len().saturating_sub(MOST_OTHERS);
    let also = match (named.is_empty(), more) {
        (true, _) => String::new(),
        (false, 0) => format!(" Also {}.", list(&named)),
        (false, more) => format!(" Also {}, and {more} more.", named.join(", ")),
    };
    let hint = match best.grade.typical {
        Grade::Plain => "",
        Grade::Patient => ", with a quiet minute",
        Grade::Fleeting | Grade::Beyond => ", in moments",
    };
    format!(
        "look for: {}{hint}. {}{also}",
        wording::named(best, zone),
        best.caption.say
    )
}
