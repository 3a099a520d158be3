//! The night at a glance, for reading: a row a target, a column a telescope; more telescopes than fit the page stand in
//! further tables of the same rows. What all telescopes share of a target's hours stands below, once.

use chrono_tz::Tz;
use serde_json::{Value, json};

use crate::plan::night::{Night, TelescopeNight};
use crate::plan::night_table::TableRow;
use crate::show::night::telescope::{named, outside_by, size};
use crate::show::night::{goings_on, whereabouts};
use crate::show::page::{Block, Labelled, Table};
use crate::show::words::{self, rfc3339};
use crate::targets::by_grade::ByGrade;

/// Telescopes beside each other in 80 columns, each in a column of at most nine letters.
const AT_MOST: usize = 4;

/// A longer name is too wide for a column.
const SHORT_NAME: usize = 9;

/// Columns of the labels below the tables.
const LABELS: usize = 11;

/// The tables, and what their words mean.
pub(super) fn section(night: &Night) -> Block {
    let heading = "What shows tonight, in typical air";
    if night.table.is_empty() {
        return Block::section(heading, [Block::say("Nothing: see below why.")]);
    }
    let names = short_names(night);
    let n_tables = names.len().div_ceil(AT_MOST).max(1);
    // None of them much narrower than the others.
    let each = names.len().div_ceil(n_tables).max(1);
    let columns: Vec<usize> = (0..names.len()).collect();
    let tables = (columns.chunks(each))
        .flat_map(|columns| [table(night, &names, columns).into(), Block::Space]);
    Block::section(heading, tables.chain([Block::say(MEANING)]))
}

const MEANING: &str = "plain: any visitor sees it; patient: whoever takes a quiet minute; fleeting: moments of steady air; \
                       beyond: do not promise it. 7: so many details show so surely; 7+2: two more ask for a quiet minute.";

/// A letter each where a name is too long.
fn short_names(night: &Night) -> Vec<String> {
    let names = || night.telescopes.iter().map(|it| it.name.as_str());
    if names().all(|name| name.chars().count() <= SHORT_NAME) {
        return names().map(String::from).collect();
    }
    (0..night.telescopes.len())
        .map(|idx| words::nth_letter('A', idx))
        .collect()
}

fn table(night: &Night, names: &[String], columns: &[usize]) -> Table {
    let heading = ["", "best at"].map(String::from);
    let heading = heading
        .into_iter()
        .chain(columns.iter().map(|&idx| names[idx].clone()));
    let rows = night.table.iter().map(|row| {
        let cells = columns.iter().map(|&idx| cell(row.by_grade[idx].as_ref()));
        let first = [
            target_words(row),
            words::clock(row.outlook.best, night.zone),
        ];
        first.into_iter().chain(cells).collect()
    });
    Table::of(heading.collect(), rows.collect()).first_to_page(0)
}

/// A planet by its name, as its hours stand below; what lies beyond with where it stands at its best.
fn target_words(row: &TableRow) -> String {
    let subject = row.outlook.subject();
    let chart = if row.needs_a_chart {
        ", with a chart"
    } else {
        ""
    };
    match subject.body() {
        Some(body) => format!("{}{chart}", body.name()),
        None => {
            let place = whereabouts::place(&row.outlook);
            format!("{}{chart}; {place}", subject.name())
        }
    }
}

/// `plain 8+3`; the word alone where it is one detail.
fn cell(by_grade: Option<&ByGrade>) -> String {
    let Some(by_grade) = by_grade else {
        return String::from("-");
    };
    let word = by_grade.grade().word();
    match (by_grade.n_so_surely(), by_grade.n_for_a_minute()) {
        (0 | 1, 0) => word.to_string(),
        (n, 0) => words::together(&format!("{word} {n}")),
        (n, more) => words::together(&format!("{word} {n}+{more}")),
    }
}

/// `Hazel  200 mm f/6, outside by 13:50, capped, in shade`
pub(super) fn who_is_who(night: &Night) -> Block {
    let mut lines = Labelled::new(LABELS).hanging();
    for (telescope, label) in night.telescopes.iter().zip(short_names(night)) {
        let words = who(telescope, &label, night.zone);
        lines.say(label, words);
    }
    Block::section("Telescopes", [lines.into()])
}

/// Somebody's name is too long for the table.
pub(super) fn has_letters(night: &Night) -> bool {
    let mut named = night.telescopes.iter().zip(short_names(night));
    named.any(|(telescope, label)| telescope.name != label)
}

fn who(telescope: &TelescopeNight, label: &str, zone: Tz) -> String {
    let what = match &telescope.instrument {
        Ok(instrument) if telescope.name == label => size(instrument),
        Ok(instrument) => named(&telescope.name, instrument),
        Err(why) => why.to_string(),
    };
    let put_out = telescope.put_out.map(|put_out| outside_by(put_out, zone));
    let all: Vec<String> = [what].into_iter().chain(put_out).collect();
    all.join(", ")
}

/// Hours of the Moon and the planets, and what goes on at them: the same for all telescopes.
pub(super) fn hours(night: &Night) -> Option<Block> {
    let mut lines = Labelled::new(LABELS).hanging();
    let outlooks = night.table.iter().map(|row| &row.outlook);
    let bodies: Vec<_> = outlooks
        .filter(|it| it.subject().body().is_some())
        .collect();
    for outlook in &bodies {
        let hours = whereabouts::hours(outlook, night.zone);
        let up = format!("{hours}, {}", whereabouts::at_best(outlook, night.zone));
        let more = goings_on::lines(outlook, night);
        let all = [up].into_iter().chain(more).collect();
        lines.say_all(outlook.subject().name(), all);
    }
    (!bodies.is_empty()).then(|| Block::section("Moon and planets, when and where", [lines.into()]))
}

/// The same for machines.
pub(super) fn json(night: &Night) -> Value {
    night.table.iter().map(|row| row_json(row, night)).collect()
}

/// `details`: how many have which grade in typical air; null for a telescope that cannot be judged, as is its `grade`.
fn row_json(row: &TableRow, night: &Night) -> Value {
    let subject = row.outlook.subject();
    let telescopes = night.telescopes.iter().zip(&row.by_grade);
    json!({
        "body": subject.id(),
        "name": subject.name(),
        "best_utc": rfc3339(row.outlook.best),
        "needs_a_chart": row.needs_a_chart,
        "telescopes": telescopes.map(|(telescope, by_grade)| json!({
            "name": telescope.name,
            "grade": by_grade.map(|it| it.grade().word()),
            "details": by_grade.map(|it| json!({
                "plain": it.n_plain, "patient": it.n_patient, "fleeting": it.n_fleeting,
            })),
        })).collect::<Value>(),
    })
}
