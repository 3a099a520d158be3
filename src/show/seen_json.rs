//! Looks and what came of them, for machines.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::plan::record::{
    Correction, DetailRecord, Estimate, Found, NIGHTS_NEEDED, PromiseRecord, Record,
    TELLING_LOOKS_NEEDED, Tally, TelescopeRecord,
};
use crate::plan::seen::Ticked;
use crate::show::json;
use crate::show::json::AirsJson;
use crate::show::seen::{LogFile, absent_words};
use crate::show::words::rfc3339;
use crate::workshop::log::{JudgedAir, SeenBy, Unread};

#[derive(Serialize)]
struct TickedJson<'a> {
    log: &'a str,
    looks: usize,
    at_utc: String,
    telescope: &'a str,
    detail: &'a str,
    name: &'a str,
    eyepiece: Option<&'a str>,
    by: &'static str,
    air: Option<&'static str>,
    note: &'a str,
    grade: Option<&'static str>,
    /// The observer's own margin included; null for what was not thought to be there.
    margin_dex: Option<f64>,
    absent: Option<String>,
    unread: Vec<UnreadJson<'a>>,
}

#[derive(Serialize)]
struct RecordJson<'a> {
    log: &'a str,
    looks: usize,
    nights: usize,
    first_utc: Option<String>,
    last_utc: Option<String>,
    telescopes: Vec<TelescopeJson<'a>>,
    promises: Vec<PromiseJson>,
    unpromised: usize,
    correction: CorrectionJson,
    unread: Vec<UnreadJson<'a>>,
}

#[derive(Serialize)]
struct TelescopeJson<'a> {
    name: &'a str,
    details: Vec<DetailJson<'a>>,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    id: &'a str,
    name: &'a str,
    on: Option<&'a str>,
    looks: usize,
    /// Grade: how often; only those promised.
    promised: Map<String, Value>,
    /// Answer: how often; all of them.
    seen: Map<String, Value>,
}

#[derive(Serialize)]
struct PromiseJson {
    grade: &'static str,
    looks: usize,
    by_most: TallyJson,
    by_anyone: TallyJson,
}

#[derive(Serialize)]
struct TallyJson {
    seen: usize,
    of: usize,
    expected: Option<f64>,
}

#[derive(Serialize)]
struct CorrectionJson {
    telling_looks: usize,
    telling_looks_needed: usize,
    telling_nights: usize,
    nights_needed: usize,
    /// Null until there are enough.
    found: Option<FoundJson>,
}

/// Intervals of 90 %.
#[derive(Serialize)]
struct FoundJson {
    margin_dex: f64,
    margin_low_dex: f64,
    margin_high_dex: f64,
    margin_now_dex: f64,
    seeing_factor: f64,
    seeing_factor_low: f64,
    seeing_factor_high: f64,
    correlation: f64,
    seeing_now_arcsec: AirsJson<f64>,
    differs: bool,
    proposed_margin_dex: f64,
    proposed_seeing_arcsec: AirsJson<f64>,
}

#[derive(Serialize)]
struct UnreadJson<'a> {
    line: usize,
    why: &'a str,
}

/// One look that is in the log now, the last of so many.
pub fn ticked(ticked: &Ticked, log: &LogFile, looks: usize) -> String {
    let look = &ticked.look;
    let margins = look.promise.and_then(|promise| promise.margins);
    let observer_dex = look.promise.map_or(0.0, |promise| promise.observer_dex);
    json::document(&TickedJson {
        log: log.name,
        looks,
        at_utc: rfc3339(look.at),
        telescope: &look.telescope,
        detail: &look.detail,
        name: &ticked.name,
        eyepiece: look.eyepiece.as_deref(),
        by: look.by.word(),
        air: look.air.map(JudgedAir::word),
        note: &look.note,
        grade: look.promise.map(|promise| promise.grade.word()),
        margin_dex: margins.map(|margins| margins.margin_dex + observer_dex),
        absent: ticked.absent.as_ref().map(absent_words),
        unread: unread(log.unread),
    })
}

/// Promised against seen.
pub fn record(record: &Record, log: &LogFile) -> String {
    json::document(&RecordJson {
        log: log.name,
        looks: record.looks,
        nights: record.nights,
        first_utc: record.span.map(|(first, _)| rfc3339(first)),
        last_utc: record.span.map(|(_, last)| rfc3339(last)),
        telescopes: record.telescopes.iter().map(telescope).collect(),
        promises: record.promises.iter().map(promise).collect(),
        unpromised: record.unpromised,
        correction: correction(&record.correction),
        unread: unread(log.unread),
    })
}

fn telescope(telescope: &TelescopeRecord) -> TelescopeJson<'_> {
    TelescopeJson {
        name: &telescope.name,
        details: telescope.details.iter().map(detail).collect(),
    }
}

fn detail(detail: &DetailRecord) -> DetailJson<'_> {
    DetailJson {
        id: &detail.id,
        name: &detail.name,
        on: detail.on.as_deref(),
        looks: detail.looks,
        promised: (detail.promised.iter())
            .map(|(grade, times)| (grade.word().to_string(), Value::from(*times)))
            .collect(),
        seen: (SeenBy::ALL.iter().zip(detail.seen))
            .map(|(by, times)| (by.word().to_string(), Value::from(times)))
            .collect(),
    }
}

fn promise(promise: &PromiseRecord) -> PromiseJson {
    let tally = |tally: Tally| TallyJson {
        seen: tally.seen,
        of: tally.of,
        expected: tally.expected,
    };
    PromiseJson {
        grade: promise.grade.word(),
        looks: promise.looks,
        by_most: tally(promise.by_most),
        by_anyone: tally(promise.by_anyone),
    }
}

fn correction(correction: &Correction) -> CorrectionJson {
    CorrectionJson {
        telling_looks: correction.telling_looks,
        telling_looks_needed: TELLING_LOOKS_NEEDED,
        telling_nights: correction.telling_nights,
        nights_needed: NIGHTS_NEEDED,
        found: correction.found.as_ref().map(found),
    }
}

fn found(found: &Found) -> FoundJson {
    let ends = |estimate: &Estimate| estimate.ninety();
    let (margin_low_dex, margin_high_dex) = ends(&found.margin_dex);
    let (ln_low, ln_high) = ends(&found.ln_seeing);
    FoundJson {
        margin_dex: found.margin_dex.value,
        margin_low_dex,
        margin_high_dex,
        margin_now_dex: found.margin_now_dex,
        seeing_factor: found.ln_seeing.value.exp(),
        seeing_factor_low: ln_low.exp(),
        seeing_factor_high: ln_high.exp(),
        correlation: found.correlation,
        seeing_now_arcsec: found.seeing_now_arcsec.into(),
        differs: found.differs,
        proposed_margin_dex: found.proposed_margin_dex,
        proposed_seeing_arcsec: found.proposed_seeing_arcsec.into(),
    }
}

fn unread(lines: &[Unread]) -> Vec<UnreadJson<'_>> {
    (lines.iter())
        .map(|unread| UnreadJson {
            line: unread.line,
            why: &unread.why,
        })
        .collect()
}
