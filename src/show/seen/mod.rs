//! Looks and what came of them, in words.

pub mod json;

pub mod sheet;

use chrono::DateTime;
use chrono_tz::Tz;

use crate::plan::record::{
    Correction, DetailRecord, Found, NIGHTS_NEEDED, PromiseRecord, Record, TELLING_LOOKS_NEEDED,
    Tally,
};
use crate::plan::seen::{Absent, Ticked};
use crate::show::page::{Block, Page, Table};
use crate::show::words::{self, caption, unmet};
use crate::workshop::log::{JudgedAir, PromisedGrade, SeenBy, Unread};

/// The file the looks stand in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogFile<'a> {
    /// As its user calls it.
    pub name: &'a str,
    /// Lines that are no looks.
    pub unread: &'a [Unread],
}

/// More lines than this are counted, not listed.
const LISTED_LINES: usize = 5;

/// One look that is in the log now, the last of so many; `now` on the clocks of the place.
pub fn look(ticked: &Ticked, log: &LogFile, looks: usize, now: DateTime<Tz>) -> Page {
    let look = &ticked.look;
    let zone = now.timezone();
    let with = (look.eyepiece.as_ref()).map_or_else(String::new, |name| format!(", {name}"));
    let what = format!(
        "{}{with}: {}, {} {} ({}): {}.",
        look.telescope,
        caption::name(&ticked.name),
        words::plain_date(words::local_minute(look.at, zone).date_naive()),
        words::clock(look.at, zone),
        words::utc_offset(look.at, zone),
        seen_words(look.by)
    );
    let air = match look.air {
        Some(air) => format!("in {} air", air.word()),
        None => format!("in {} air, as nobody judged it", JudgedAir::Typical.word()),
    };
    let promised = match (&ticked.absent, look.promise) {
        (Some(absent), _) => format!("Nothing had been promised: {}.", absent_words(absent)),
        (None, Some(promise)) => format!("Promised for it {air}: {}.", promise.grade.word()),
        (None, None) => String::new(),
    };
    let kept = format!("Look {looks} in {}.", log.name);
    let to_come = (now < look.at).then(|| {
        Block::say(
            "That time is still to come by the clock of this machine: if another was meant, correct the line in the \
             log.",
        )
    });
    Page::named("A look kept")
        .with([Block::say(format!("{what} {promised} {kept}"))])
        .with(to_come)
        .with(unread(log))
}

/// Why it was not thought to be there.
pub(super) fn absent_words(absent: &Absent) -> String {
    (absent.why.as_ref()).map_or_else(
        || String::from("it was not to be seen that night"),
        unmet::words,
    )
}

fn seen_words(by: SeenBy) -> &'static str {
    match by {
        SeenBy::Most => "seen by most",
        SeenBy::Some => "seen by some",
        SeenBy::Helper => "seen by the helper only",
        SeenBy::Alone => "seen, by one who was alone",
        SeenBy::Nobody => "not seen",
    }
}

/// Promised against seen, local dates.
pub fn record(record: &Record, log: &LogFile, zone: Tz) -> Page {
    let Some((first, last)) = record.span else {
        return Page::new(format!("No looks in {} yet.", log.name)).with(unread(log));
    };
    let date = |at| words::plain_date(words::local_minute(at, zone).date_naive());
    let title = format!(
        "{}: {} on {}, {} to {}.",
        log.name,
        counted(record.looks, "look"),
        counted(record.nights, "night"),
        date(first),
        date(last)
    );
    let mut looks: Vec<(&str, Vec<Block>)> = (record.telescopes.iter())
        .map(|telescope| {
            (
                telescope.name.as_str(),
                vec![details(&telescope.details).into()],
            )
        })
        .collect();
    if !record.promises.is_empty() {
        looks.push(("Promised and kept", promises(&record.promises)));
    }
    if let Some((_, last)) = looks.last_mut() {
        last.extend(unpromised(record.unpromised));
    }
    looks.push(("Air and eyes", correction(&record.correction)));
    let sections = looks.into_iter();
    Page::new(title)
        .with(sections.map(|(heading, blocks)| Block::section(heading, blocks)))
        .with(unread(log))
}

/// A sentence under a table.
fn note(words: impl Into<String>) -> Block {
    Block::Paragraph(words.into(), 0)
}

fn unpromised(looks: usize) -> Option<Block> {
    (0 < looks).then(|| {
        note(format!(
            "{} without a promise, written by hand: counted above, and no more.",
            counted(looks, "look")
        ))
    })
}

pub(super) fn counted(number: usize, what: &str) -> String {
    match number {
        1 => format!("1 {what}"),
        _ => format!("{number} {what}s"),
    }
}

fn details(details: &[DetailRecord]) -> Table {
    let count = |times: usize| match times {
        0 => String::from("-"),
        _ => times.to_string(),
    };
    let rows: Vec<[String; 8]> = (details.iter())
        .map(|detail| {
            let mut promised: Vec<String> = (detail.promised.iter())
                .map(|(grade, times)| format!("{} {times}", grade.word()))
                .collect();
            if promised.is_empty() {
                promised.push(count(0));
            }
            let [most, some, helper, alone, nobody] = detail.seen.map(count);
            [
                match &detail.on {
                    Some(subject) => format!("{subject}: {}", detail.name),
                    None => detail.name.clone(),
                },
                detail.looks.to_string(),
                promised.join("\n"),
                most,
                some,
                helper,
                alone,
                nobody,
            ]
        })
        .collect();
    // Most headings are shorter than the breaking reckons with: together by so much.
    const SHORTER: usize = 12;
    let heading = [
        "", "looks", "promised", "most", "some", "helper", "alone", "none",
    ];
    Table::new(heading, rows).first_to_page(SHORTER)
}

fn promises(promises: &[PromiseRecord]) -> Vec<Block> {
    let tally = |tally: &Tally| match tally.expected {
        _ if tally.of == 0 => String::from("-"),
        Some(expected) => format!("{} of {} ({expected:.1})", tally.seen, tally.of),
        None => format!("{} of {}", tally.seen, tally.of),
    };
    let rows: Vec<[String; 4]> = (promises.iter())
        .map(|promise| {
            [
                promise.grade.word().to_string(),
                promise.looks.to_string(),
                tally(&promise.by_most),
                tally(&promise.by_anyone),
            ]
        })
        .collect();
    let brackets = "In brackets: as many as the promises amount to, reckoned before the look.";
    let absent = "Absent: by its phase, season or turned side it was not there then.";
    let has_absent = (promises.iter()).any(|it| it.grade == PromisedGrade::Absent);
    let rows = Table::new(["", "looks", "seen by most", "seen at all"], rows);
    let blocks = [rows.into(), note(brackets)].into_iter();
    blocks.chain(has_absent.then(|| note(absent))).collect()
}

fn correction(correction: &Correction) -> Vec<Block> {
    match &correction.found {
        Some(found) => found_words(found),
        None => {
            let so_far = note(format!(
                "Of air and eyes speaks what might have been missed as well as seen, and what came otherwise than \
                 was sure: so far {} on {}.",
                counted(correction.telling_looks, "look"),
                counted(correction.telling_nights, "night"),
            ));
            let needed = note(format!(
                "From {TELLING_LOOKS_NEEDED} on {NIGHTS_NEEDED} nights a correction is worked out."
            ));
            vec![so_far, needed]
        }
    }
}

fn found_words(found: &Found) -> Vec<Block> {
    let (low, high) = found.ln_seeing.ninety();
    let air = note(format!(
        "Air: stars {:.2} times as wide as the file says ({:.2} to {:.2}, nine times in ten).",
        found.ln_seeing.value.exp(),
        low.exp(),
        high.exp()
    ));
    let (low, high) = found.margin_dex.ninety();
    let eyes = note(format!(
        "Eyes: a margin of {:+.2} powers of ten ({low:+.2} to {high:+.2}), so that all shows {} times as strongly as \
         to practised eyes; the file has {:+.2}.",
        found.margin_dex.value + 0.0,
        words::two_digits(10f64.powf(found.margin_dex.value)),
        found.margin_now_dex
    ));
    if !found.differs {
        let agree =
            "Both together agree with the file as well as chance allows: nothing to correct.";
        return vec![air, eyes, note(agree)];
    }
    let airs = found.proposed_seeing_arcsec;
    let lines = format!(
        "[site]\nseeing_arcsec = {{ good = {:.1}, typical = {:.1}, poor = {:.1} }}\n\
         [observer]\nmargin_dex = {:.2}",
        airs.good, airs.typical, airs.poor, found.proposed_margin_dex
    );
    let offer = note(
        "If you agree, write this into the workshop file; nothing is changed for you, and the log stays as \
         it is. Both or neither: the same looks speak of air and eyes.",
    );
    vec![air, eyes, offer, Block::Verbatim(lines)]
}

pub(super) fn unread(log: &LogFile) -> Option<Block> {
    let listed = log.unread.iter().take(LISTED_LINES);
    let lines = listed.map(|unread| note(format!("line {}: {}", unread.line, unread.why)));
    let more = log.unread.len().saturating_sub(LISTED_LINES);
    let more = (0 < more).then(|| note(format!("and {more} more")));
    let heading = format!(
        "Lines of {} that are no looks; they stay as they are:",
        log.name
    );
    (!log.unread.is_empty()).then(|| Block::section(heading, lines.chain(more)))
}
