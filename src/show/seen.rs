//! Looks and what came of them, in words.

use chrono::DateTime;
use chrono_tz::Tz;

use crate::plan::record::{
    Correction, DetailRecord, Found, NIGHTS_NEEDED, PromiseRecord, Record, TELLING_LOOKS_NEEDED,
    Tally,
};
use crate::plan::seen::{Absent, Ticked};
use crate::show::table::{PAGE_COLUMNS, table, wrap_first_column};
use crate::show::{unmet, words};
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
pub fn ticked(ticked: &Ticked, log: &LogFile, looks: usize, now: DateTime<Tz>) -> String {
    let look = &ticked.look;
    let zone = now.timezone();
    let with = (look.eyepiece.as_ref()).map_or_else(String::new, |name| format!(", {name}"));
    let what = format!(
        "{}{with}: {}, {} {} ({}): {}.",
        look.telescope,
        ticked.name,
        look.at.with_timezone(&zone).format("%-d %B %Y"),
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
    let to_come = if now < look.at {
        paragraph(
            "That time is still to come by the clock of this machine: if another was meant, correct the line in the \
             log.",
        )
    } else {
        String::new()
    };
    format!(
        "{}{}{}",
        paragraph(&format!("{what} {promised} {kept}")),
        to_come,
        unread(log)
    )
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

/// A line or more, with its line break; all lines but the first indented.
fn paragraph(text: &str) -> String {
    format!("{}\n", words::wrapped(text, PAGE_COLUMNS, "  "))
}

/// The same below a heading: all lines indented.
fn indented(text: &str) -> String {
    let wrapped = words::wrapped(text, PAGE_COLUMNS - 2, "");
    wrapped.lines().map(|line| format!("  {line}\n")).collect()
}

/// Promised against seen, local dates.
pub fn record(record: &Record, log: &LogFile, zone: Tz) -> String {
    let Some((first, last)) = record.span else {
        return format!(
            "{}{}",
            paragraph(&format!("No looks in {} yet.", log.name)),
            unread(log)
        );
    };
    let date = |at: DateTime<chrono::Utc>| {
        let local = at.with_timezone(&zone);
        local.format("%-d %B %Y").to_string()
    };
    let mut text = paragraph(&format!(
        "{}: {} on {}, {} to {}.",
        log.name,
        counted(record.looks, "look"),
        counted(record.nights, "night"),
        date(first),
        date(last)
    ));
    for telescope in &record.telescopes {
        text.push_str(&format!("\n{}\n", telescope.name));
        text.push_str(&details(&telescope.details));
    }
    if !record.promises.is_empty() {
        text.push_str("\nPromised and kept\n");
        text.push_str(&promises(&record.promises));
        text.push_str(&indented(
            "In brackets: as many as the promises amount to, reckoned before the look.",
        ));
        if record
            .promises
            .iter()
            .any(|it| it.grade == PromisedGrade::Absent)
        {
            text.push_str(&indented(
                "Absent: by its phase, season or turned side it was not there then.",
            ));
        }
    }
    if 0 < record.unpromised {
        text.push_str(&indented(&format!(
            "{} without a promise, written by hand: counted above, and no more.",
            counted(record.unpromised, "look")
        )));
    }
    text.push_str(&format!(
        "\nAir and eyes\n{}",
        correction(&record.correction)
    ));
    text.push_str(&unread(log));
    text
}

fn counted(number: usize, what: &str) -> String {
    match number {
        1 => format!("1 {what}"),
        _ => format!("{number} {what}s"),
    }
}

fn details(details: &[DetailRecord]) -> String {
    let count = |times: usize| match times {
        0 => String::from("-"),
        _ => times.to_string(),
    };
    let mut rows: Vec<[String; 8]> = (details.iter())
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
    // Most headings are shorter than the wrapping reckons with: together by so much.
    const SHORTER: usize = 12;
    wrap_first_column(&mut rows, PAGE_COLUMNS - 2 + SHORTER);
    let heading = [
        "", "looks", "promised", "most", "some", "helper", "alone", "none",
    ];
    table(heading, &rows, 2)
}

fn promises(promises: &[PromiseRecord]) -> String {
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
    table(["", "looks", "seen by most", "seen at all"], &rows, 2)
}

fn correction(correction: &Correction) -> String {
    match &correction.found {
        Some(found) => found_words(found),
        None => {
            let so_far = indented(&format!(
                "Of air and eyes speaks what might have been missed as well as seen, and what came otherwise than \
                 was sure: so far {} on {}.",
                counted(correction.telling_looks, "look"),
                counted(correction.telling_nights, "night"),
            ));
            let needed = indented(&format!(
                "From {TELLING_LOOKS_NEEDED} on {NIGHTS_NEEDED} nights a correction is worked out."
            ));
            so_far + &needed
        }
    }
}

fn found_words(found: &Found) -> String {
    let (low, high) = found.ln_seeing.ninety();
    let air = indented(&format!(
        "Air: stars {:.2} times as wide as the file says ({:.2} to {:.2}, nine times in ten).",
        found.ln_seeing.value.exp(),
        low.exp(),
        high.exp()
    ));
    let (low, high) = found.margin_dex.ninety();
    let eyes = indented(&format!(
        "Eyes: a margin of {:+.2} powers of ten ({low:+.2} to {high:+.2}), so that all shows {} times as strongly as \
         to practised eyes; the file has {:+.2}.",
        found.margin_dex.value + 0.0,
        words::two_digits(10f64.powf(found.margin_dex.value)),
        found.margin_now_dex
    ));
    if !found.differs {
        let agree =
            "  Both together agree with the file as well as chance allows: nothing to correct.";
        return format!("{air}{eyes}{}", indented(agree));
    }
    let airs = found.proposed_seeing_arcsec;
    let lines = format!(
        "    [site]\n    seeing_arcsec = {{ good = {:.1}, typical = {:.1}, poor = {:.1} }}\n    \
         [observer]\n    margin_dex = {:.2}\n",
        airs.good, airs.typical, airs.poor, found.proposed_margin_dex
    );
    let offer = indented(
        "If you agree, write this into the workshop file; nothing is changed for you, and the log stays as \
         it is. Both or neither: the same looks speak of air and eyes.",
    );
    format!("{air}{eyes}{offer}{lines}")
}

fn unread(log: &LogFile) -> String {
    if log.unread.is_empty() {
        return String::new();
    }
    let listed = log.unread.iter().take(LISTED_LINES);
    let lines: String = listed
        .map(|unread| indented(&format!("line {}: {}", unread.line, unread.why)))
        .collect();
    let more = match log.unread.len().saturating_sub(LISTED_LINES) {
        0 => String::new(),
        more => format!("  and {more} more\n"),
    };
    let head = format!(
        "Lines of {} that are no looks; they stay as they are:",
        log.name
    );
    format!("\n{}{lines}{more}", paragraph(&head))
}
