//! Looks and what came of them, for machines. Names carry units and stay; fields are only ever added.

use serde_json::{Map, Value, json};

use crate::plan::record::{
    Correction, DetailRecord, Found, NIGHTS_NEEDED, PromiseRecord, Record, TELLING_LOOKS_NEEDED,
    TelescopeRecord,
};
use crate::plan::seen::Ticked;
use crate::show::json;
use crate::show::seen::sheet::{AlreadyThere, KeptRow, SheetKept};
use crate::show::seen::{LogFile, absent_words};
use crate::show::words::{caption, rfc3339};
use crate::workshop::log::{JudgedAir, SeenBy};

/// One look that is in the log now, the last of so many. The margin has the observer's own in it, and is null
/// for what was not thought to be there.
pub fn ticked(ticked: &Ticked, log: &LogFile, looks: usize) -> String {
    let of_log = json!({ "log": log.name, "looks": looks });
    let with_log = json::joined(of_log, look(ticked));
    json::document(json::joined(with_log, json!({ "unread": log.unread })))
}

fn look(ticked: &Ticked) -> Value {
    let look = &ticked.look;
    let margins = look.promise.and_then(|promise| promise.margins);
    let observer_dex = look.promise.map_or(0.0, |promise| promise.observer_dex);
    json!({
        "at_utc": rfc3339(look.at),
        "telescope": look.telescope,
        "detail": look.detail,
        "name": caption::name(&ticked.name),
        "eyepiece": look.eyepiece,
        "by": look.by.word(),
        "air": look.air.map(JudgedAir::word),
        "note": look.note,
        "grade": look.promise.map(|promise| promise.grade.word()),
        "margin_dex": margins.map(|margins| margins.margin_dex + observer_dex),
        "absent": ticked.absent.as_ref().map(absent_words),
    })
}

/// A sheet's worth of looks, the log having so many now. Looks kept are as one alone, with the row's code; `already` are those
/// that the log had before, with who saw it as it has that.
pub fn sheet(sheet: &SheetKept, log: &LogFile, looks: usize) -> String {
    let kept = |kept: &KeptRow| json::joined(json!({ "row": kept.row.row }), look(&kept.ticked));
    let already = |there: &AlreadyThere| {
        json!({
            "row": there.row.row,
            "telescope": there.row.telescope,
            "detail": there.row.detail,
            "at_utc": rfc3339(there.row.at),
            "by": there.row.by.map(SeenBy::word),
            "by_in_log": there.by.word(),
        })
    };
    json::document(json!({
        "log": log.name,
        "looks": looks,
        "sheet": sheet.file,
        "kept": sheet.kept.iter().map(kept).collect::<Value>(),
        "already": sheet.already.iter().map(already).collect::<Value>(),
        "unanswered": sheet.unanswered,
        "unread": log.unread,
    }))
}

/// Promised against seen.
pub fn record(record: &Record, log: &LogFile) -> String {
    json::document(json!({
        "log": log.name,
        "looks": record.looks,
        "nights": record.nights,
        "first_utc": record.span.map(|(first, _)| rfc3339(first)),
        "last_utc": record.span.map(|(_, last)| rfc3339(last)),
        "telescopes": record.telescopes.iter().map(telescope).collect::<Value>(),
        "promises": record.promises.iter().map(promise).collect::<Value>(),
        "unpromised": record.unpromised,
        "correction": correction(&record.correction),
        "unread": log.unread,
    }))
}

fn telescope(telescope: &TelescopeRecord) -> Value {
    json!({
        "name": telescope.name,
        "details": telescope.details.iter().map(detail).collect::<Value>(),
    })
}

/// How often each grade was promised, if it was, and how often each answer came.
fn detail(detail: &DetailRecord) -> Value {
    let promised = detail.promised.iter();
    let seen = SeenBy::ALL.iter().zip(detail.seen);
    json!({
        "id": detail.ids[0],
        "ids": detail.ids,
        "name": detail.name,
        "on": detail.on,
        "looks": detail.looks,
        "promised": counts(promised.map(|(grade, times)| (grade.word(), *times))),
        "seen": counts(seen.map(|(by, times)| (by.word(), times))),
    })
}

fn counts(times: impl Iterator<Item = (&'static str, usize)>) -> Map<String, Value> {
    times
        .map(|(word, times)| (word.to_string(), times.into()))
        .collect()
}

fn promise(promise: &PromiseRecord) -> Value {
    json!({
        "grade": promise.grade.word(),
        "looks": promise.looks,
        "by_most": promise.by_most,
        "by_anyone": promise.by_anyone,
    })
}

/// Nothing is found until there are enough.
fn correction(correction: &Correction) -> Value {
    json!({
        "telling_looks": correction.telling_looks,
        "telling_looks_needed": TELLING_LOOKS_NEEDED,
        "telling_nights": correction.telling_nights,
        "nights_needed": NIGHTS_NEEDED,
        "found": correction.found.as_ref().map(found),
    })
}

/// Intervals of 90 %.
fn found(found: &Found) -> Value {
    let (margin_low_dex, margin_high_dex) = found.margin_dex.ninety();
    let (ln_low, ln_high) = found.ln_seeing.ninety();
    json!({
        "margin_dex": found.margin_dex.value,
        "margin_low_dex": margin_low_dex,
        "margin_high_dex": margin_high_dex,
        "margin_now_dex": found.margin_now_dex,
        "seeing_factor": found.ln_seeing.value.exp(),
        "seeing_factor_low": ln_low.exp(),
        "seeing_factor_high": ln_high.exp(),
        "correlation": found.correlation,
        "seeing_now_arcsec": found.seeing_now_arcsec,
        "differs": found.differs,
        "proposed_margin_dex": found.proposed_margin_dex,
        "proposed_seeing_arcsec": found.proposed_seeing_arcsec,
    })
}
