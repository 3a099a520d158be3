//! What a telescope shows of something in three airs, a row each: one table for planets and for what is beyond them.

use crate::optics::instrument::Instrument;
use crate::show::page::Table;
use crate::show::words;
use crate::targets::verdict::{Grade, Verdict};

/// The rows under their heading.
pub(super) fn table(rows: Vec<[String; 5]>) -> Table {
    let heading = ["what it shows", "good", "typical", "poor", "with"];
    Table::new(heading, rows).first_to_page(0)
}

/// What is named, with the reason where it is not sure; three grades; the eyepiece.
pub(super) fn row(
    named: String,
    verdict: &Verdict,
    reason: &str,
    instrument: &Instrument,
) -> [String; 5] {
    let reason = match verdict.grade.typical {
        Grade::Plain | Grade::Patient => String::new(),
        _ => format!(" ({reason})"),
    };
    [
        named + &reason,
        verdict.grade.good.word().to_string(),
        verdict.grade.typical.word().to_string(),
        verdict.grade.poor.word().to_string(),
        words::together(&format!(
            "{} {:.0}x",
            instrument.views[verdict.view].eyepiece, verdict.magnification
        )),
    ]
}
