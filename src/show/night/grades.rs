//! What a telescope shows of something in three airs, a row each: one table for planets and for what is beyond them.

use crate::optics::instrument::{Instrument, View};
use crate::show::page::Table;
use crate::show::words;
use crate::targets::verdict::{Grade, Verdict};

/// The rows under their heading.
pub(super) fn table(rows: Vec<[String; 5]>) -> Table {
    let heading = ["what it shows", "good", "typical", "poor", "with"];
    Table::new(heading, rows).first_to_page(0)
}

/// What is named, with the reason where it is not sure; three grades; the eyepiece, and the one that good air asks for.
pub(super) fn row(
    named: String,
    verdict: &Verdict,
    reason: String,
    instrument: &Instrument,
) -> [String; 5] {
    let reason = (verdict.grade.typical < Grade::Patient).then_some(reason);
    let in_good_air = (verdict.view_in_good_air)
        .map(|view| format!("{} in good air", view_words(&instrument.views[view])));
    let notes: Vec<String> = reason.into_iter().chain(in_good_air).collect();
    let notes = match notes.is_empty() {
        true => String::new(),
        false => format!(" ({})", notes.join("; ")),
    };
    [
        named + &notes,
        verdict.grade.good.word().to_string(),
        verdict.grade.typical.word().to_string(),
        verdict.grade.poor.word().to_string(),
        view_words(&instrument.views[verdict.view]),
    ]
}

/// `10 mm 120x`
fn view_words(view: &View) -> String {
    words::together(&format!("{} {:.0}x", view.eyepiece, view.magnification))
}
