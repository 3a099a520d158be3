//! A sheet's worth of looks that went into the log, in words.

use crate::plan::seen::Ticked;
use crate::show::page::{Block, Page, Table};
use crate::show::seen::{LogFile, absent_words, counted, unread};
use crate::workshop::log::{SeenBy, SheetLook};

/// What became of a table of looks.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetKept {
    /// The table's file, as its user calls it.
    pub file: String,
    /// In the log now.
    pub kept: Vec<KeptRow>,
    /// In the log before.
    pub already: Vec<AlreadyThere>,
    /// Rows in which nobody wrote who saw it.
    pub unanswered: usize,
}

/// A row that is in the log now.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptRow {
    /// As it was filled in.
    pub row: SheetLook,
    /// With what had been promised.
    pub ticked: Ticked,
}

/// A row that was in the log before.
#[derive(Debug, Clone, PartialEq)]
pub struct AlreadyThere {
    /// As it was filled in.
    pub row: SheetLook,
    /// Who saw it, as the log has it.
    pub by: SeenBy,
}

impl SheetKept {
    /// Nobody answered anything.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty() && self.already.is_empty()
    }
}

/// What was kept, promised against seen; what was there before; what is still open.
pub fn page(sheet: &SheetKept, log: &LogFile) -> Page {
    let title = match sheet.is_empty() {
        true => format!("Nothing is filled in in {} yet.", sheet.file),
        false if sheet.kept.is_empty() => format!("Nothing new for {}.", log.name),
        false => format!(
            "{} kept in {}.",
            counted(sheet.kept.len(), "look"),
            log.name
        ),
    };
    let how = "Write most, some, helper, alone or none into the column `by`, and say this again.";
    let open = match sheet.unanswered {
        0 => None,
        n => Some(Block::say(format!(
            "{} without an answer in {}.",
            counted(n, "row"),
            sheet.file
        ))),
    };
    Page::new(title)
        .with(sheet.is_empty().then(|| Block::say(how)))
        .with(kept(sheet))
        .with(already(sheet))
        .with(open.filter(|_| !sheet.is_empty()))
        .with(unread(log))
}

fn kept(sheet: &SheetKept) -> Option<Block> {
    let row = |kept: &KeptRow| {
        let promised = match (&kept.ticked.absent, kept.ticked.look.promise) {
            (Some(absent), _) => format!("nothing: {}", absent_words(absent)),
            (None, Some(promise)) => promise.grade.word().to_string(),
            (None, None) => String::new(),
        };
        [
            format!("{} {}", kept.row.telescope, kept.row.row),
            what(&kept.row),
            promised,
            kept.ticked.look.by.word().to_string(),
        ]
    };
    let rows: Vec<[String; 4]> = sheet.kept.iter().map(row).collect();
    (!rows.is_empty()).then(|| Table::new(["", "", "promised", "seen by"], rows).into())
}

fn already(sheet: &SheetKept) -> Option<Block> {
    let line = |there: &AlreadyThere| {
        let (row, by) = (&there.row, there.by);
        let other = match row.by {
            Some(now) if now != by => format!(
                " as {}, which stays: correct it there if {} is right",
                by.word(),
                now.word()
            ),
            _ => String::new(),
        };
        format!("{} {} {}{other}", row.telescope, row.row, what(row))
    };
    let lines: Vec<String> = sheet.already.iter().map(line).collect();
    (!lines.is_empty()).then(|| Block::section("In the log already:", [Block::List(lines)]))
}

/// `Jupiter: Great Red Spot 20:58-22:00`; what is beyond the planets has its name in that of what is looked for.
fn what(row: &SheetLook) -> String {
    match row.name.starts_with(&row.target) {
        true => row.name.clone(),
        false => format!("{}: {}", row.target, row.name),
    }
}
