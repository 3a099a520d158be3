//! What happens between two dates as a table for a spreadsheet: a row for whatever the page has.

use chrono::{DateTime, Utc};

use crate::plan::happenings::Happenings;
use crate::show::happenings::entry::Entry;
use crate::show::happenings::{entry_of, json};
use crate::show::words::{clock, local_minute, rfc3339, utc_offset};

/// Names of the columns; new ones are added at the end.
pub const COLUMNS: [&str; 7] = [
    "date_local",
    "time_local",
    "offset",
    "at_utc",
    "kind",
    "what",
    "more",
];

/// One entry of the page, with what kind of happening it is.
pub(super) struct Row {
    /// As the JSON calls it.
    pub(super) kind: String,
    /// For the Earth's centre; the entry stands where the place has it best.
    pub(super) happens: DateTime<Utc>,
    pub(super) entry: Entry,
}

/// In order of time, as the page has them.
pub(super) fn rows(happenings: &Happenings) -> Vec<Row> {
    let (telescopes, zone) = (&happenings.telescopes, happenings.zone);
    let row = |listed| {
        let kind = json::happening(listed, telescopes)["kind"].clone();
        Some(Row {
            kind: kind.as_str().unwrap_or_default().to_string(),
            happens: listed.happening.at,
            entry: entry_of(listed, telescopes, zone)?,
        })
    };
    let mut rows: Vec<Row> = happenings.listed.iter().filter_map(row).collect();
    rows.sort_by_key(|row| row.entry.at);
    rows
}

/// The whole list, head line first, lines ended by CR LF (RFC 4180).
pub fn csv(happenings: &Happenings) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let zone = happenings.zone;
    let row = |row: Row| {
        [
            local_minute(row.entry.at, zone)
                .format("%Y-%m-%d")
                .to_string(),
            clock(row.entry.at, zone),
            utc_offset(row.entry.at, zone),
            rfc3339(row.entry.at),
            row.kind,
            row.entry.words,
            row.entry.more.join(" "),
        ]
    };
    let rows = rows(happenings).into_iter().map(row);
    for row in std::iter::once(COLUMNS.map(String::from)).chain(rows) {
        writer.write_record(&row).expect("memory takes every row");
    }
    let bytes = writer.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("made of text")
}
