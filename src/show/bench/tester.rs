//! The sheet to take to the tester: windows, what a paraboloid reads through them, room for what is read.

use crate::optics::mask::{MaskWindow, WantedReading};
use crate::plan::bench::{BenchSheet, MaskOrigin};
use crate::show::page::{Block, Labelled, Table};
use crate::show::words::{self, JOINED};
use crate::workshop::ReadingAt;

/// Where the text of a line begins.
const LABEL_COLUMNS: usize = 8;

/// A share that nobody would call unread.
const READ_SHARE: f64 = 0.02;

pub(super) fn section(sheet: &BenchSheet) -> Block {
    let mask = &sheet.mask;
    let rows = (mask.windows.iter().enumerate()).map(row).collect();
    let heading = [
        "",
        "window mm",
        "reads at",
        "lamp fixed",
        "lamp moving",
        "1st",
        "2nd",
        "3rd",
    ];
    let table = Table::new(heading, rows).numbers(1..=4).room(5..=7);
    Block::section(
        "To take to the tester",
        [
            Block::Lead(lead(sheet)),
            table.into(),
            Block::Space,
            Block::say(reading_words(sheet)),
        ]
        .into_iter()
        .chain(unread_words(sheet).map(Block::say))
        .chain([Block::Space, besides().into()])
        .chain(to_type_in(sheet)),
    )
}

fn lead(sheet: &BenchSheet) -> String {
    let n = sheet.mask.windows.len();
    match sheet.mask.origin {
        MaskOrigin::EqualTolerance => format!(
            "A mask of {n} windows, each worth the same part of what a reading may be off; what a paraboloid reads, in mm"
        ),
        MaskOrigin::Readings => format!(
            "The mask of the readings in the file, {n} windows; what a paraboloid reads, in mm"
        ),
    }
}

fn row((idx, window): (usize, &MaskWindow)) -> [String; 8] {
    let wanted =
        |wanted: WantedReading| format!("{:.2} ±{:.2}", wanted.reading_mm, wanted.tolerance_mm);
    [
        format!("{}", idx + 1),
        edges(window),
        format!("{:.1}", window.reads_at_mm),
        wanted(window.fixed),
        wanted(window.moving),
        String::new(),
        String::new(),
        String::new(),
    ]
}

/// `43.9-55.3`.
fn edges(window: &MaskWindow) -> String {
    format!("{:.1}-{:.1}", window.inner_mm, window.outer_mm)
}

fn reading_words(sheet: &BenchSheet) -> String {
    let balance = match sheet.mask.reading_at {
        ReadingAt::Window => {
            "Balance the whole opening, left against right: its reading belongs to the radius that halves its area."
        }
        ReadingAt::Middle => {
            "Balance the middle of the opening, left against right, as the file says."
        }
    };
    format!(
        "{balance} Larger is farther from the mirror, counted from window 1; the zero is free. After ±: what a reading \
         may be off either way before its light misses the star's disc. With the lamp on the knife's carriage all is \
         half as large, and has to be met twice as well. Three rounds, each from window 1 to the last."
    )
}

fn unread_words(sheet: &BenchSheet) -> Option<String> {
    let share = sheet.mask.unread_area_share;
    (READ_SHARE < share).then(|| {
        format!(
            "These windows leave {:.0} % of the glass unread: what was not measured is not certified.",
            100.0 * share
        )
    })
}

/// What the readings are worth nothing without.
fn besides() -> Labelled {
    let mut lines = Labelled::new(LABEL_COLUMNS);
    lines.say("lamp", boxes(&["fixed", "moving, on the knife's carriage"]));
    let edge = boxes(&["sound", "turned, the last ______ mm", "nobody looked"]);
    lines.say("edge", format!("by bands or a star: {edge}"));
    let side = boxes(&["inside", "outside"]);
    let looked = boxes(&["straight", "as a paraboloid's", "bowed more", "bowed less"]);
    lines.say(
        "bands",
        format!("______ lines/mm, ______ mm {side}; {looked}"),
    );
    lines.say("mirror", "mark that was up ______; hours at rest ______");
    lines.say("by", "name ______________, date ______________");
    lines
}

/// To be ticked by hand, each box beside its word.
fn boxes(choices: &[&str]) -> String {
    let each: Vec<String> = choices
        .iter()
        .map(|words| format!("[_]{JOINED}{words}"))
        .collect();
    each.join(" ")
}

/// For the workshop file afterwards.
fn to_type_in(sheet: &BenchSheet) -> Vec<Block> {
    if sheet.mask.origin == MaskOrigin::Readings {
        return Vec::new();
    }
    let zone = |window: &MaskWindow| {
        format!(
            "    {{ inner_mm = {}, outer_mm = {}, readings_mm = [ , , ] }},\n",
            words::short(window.inner_mm),
            words::short(window.outer_mm)
        )
    };
    let zones: String = sheet.mask.windows.iter().map(zone).collect();
    vec![
        Block::Space,
        Block::say("For the figure in the workshop file, readings to be filled in:"),
        Block::Verbatim(format!("zones = [\n{zones}]")),
    ]
}
