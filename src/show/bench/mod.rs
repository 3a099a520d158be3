//! The sheet to take to the tester, and how glass that is still being ground stands to its plan.

mod grinding;
mod json;
mod length;
mod tester;

use crate::plan::bench::BenchSheet;
use crate::show::bench::length::measured_words;
use crate::show::page::{Block, Page};
use crate::show::picture::mask::svg;
use crate::show::words::{self, caution};

pub use self::json::json;

/// Every telescope on a sheet of its own.
pub fn page(sheets: &[BenchSheet]) -> Page {
    let name = match sheets {
        [one] => format!("Before the test of {}", one.name),
        _ => String::from("Before the test"),
    };
    Page::named(name)
        .for_paper()
        .with((sheets.iter().enumerate()).map(|(idx, sheet)| {
            let note = (idx + 1 == sheets.len()).then_some(TO_PRINT);
            of_telescope(sheet, note)
        }))
}

const TO_PRINT: &str = "To print, with the mask drawn to scale: --output bench.html; one mask alone: --telescope and \
     --output mask.svg.";

fn of_telescope(sheet: &BenchSheet, note: Option<&str>) -> Block {
    let title = format!(
        "{}, {} mm f/{}",
        sheet.name,
        words::short(sheet.aperture_mm),
        words::short(sheet.focal_length.mm / sheet.aperture_mm)
    );
    let measured = Block::say(words::capitalised(&measured_words(sheet)) + ".");
    let grinding = sheet.grinding.as_ref();
    Block::section(
        title,
        [measured]
            .into_iter()
            .chain(grinding.map(|grinding| grinding::section(sheet, grinding)))
            .chain([tester::section(sheet), Block::say(caution::AT_THE_BENCH)])
            .chain(note.map(Block::say))
            .chain([Block::Picture(svg(sheet))]),
    )
}
