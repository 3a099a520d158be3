//! A table in text: no frames, cells of several lines, never wider than the page.

use tabled::builder::Builder;
use tabled::settings::object::{Columns, Rows};
use tabled::settings::peaker::Priority;
use tabled::settings::{Alignment, Padding, Style, Width};

use crate::show::page::model::{Table, Widths};
use crate::show::words::wrapped;

/// Columns of the narrowest terminal and of a printed page.
pub(super) const PAGE_COLUMNS: usize = 80;

/// Between two columns.
const GAP: usize = 2;

/// Less of the first column is not worth reading.
const LEAST_FIRST: usize = 20;

/// To be written upon.
const ROOM: &str = "______";

/// Heading and rows, indented.
pub(super) fn table(table: &Table, indent: usize) -> String {
    let lines = match &table.widths {
        Widths::Fitted => fitted(table, &table.rows, indent),
        Widths::FirstAtMost(columns) => fitted(table, &broken(&table.rows, *columns), indent),
        Widths::FirstToPage(spare) => {
            let columns = left_of_page(&table.rows, PAGE_COLUMNS - indent + spare);
            fitted(table, &broken(&table.rows, columns), indent)
        }
        Widths::Fixed(left_edges) => fixed(table, left_edges),
    };
    (lines.lines())
        .map(|line| format!("{}\n", format!("{:indent$}{line}", "").trim_end()))
        .collect()
}

/// Rows whose first cell is broken at words.
fn broken(rows: &[Vec<String>], columns: usize) -> Vec<Vec<String>> {
    let mut rows = rows.to_vec();
    for first in rows.iter_mut().filter_map(|row| row.first_mut()) {
        *first = wrapped(first, columns, "");
    }
    rows
}

/// For the first column.
fn left_of_page(rows: &[Vec<String>], page_columns: usize) -> usize {
    let widest = |column: usize| {
        let widths = rows.iter().map(|row| row[column].chars().count());
        // Hardly a heading of ours is longer.
        widths.max().unwrap_or_default().max("typical".len())
    };
    let columns = rows.first().map_or(1, Vec::len);
    let others: usize = (1..columns).map(|column| GAP + widest(column)).sum();
    page_columns.saturating_sub(others).max(LEAST_FIRST)
}

/// Whatever is still wider than the page is wrapped at words, the widest column giving way first.
fn fitted(table: &Table, rows: &[Vec<String>], indent: usize) -> String {
    let mut builder = Builder::with_capacity(rows.len() + 1, table.heading.len());
    builder.push_record(&table.heading);
    for row in rows {
        let cells = row.iter().enumerate();
        builder.push_record(cells.map(|(column, cell)| match table.is_room(column) {
            true => ROOM,
            false => cell,
        }));
    }
    let mut laid_out = builder.build();
    laid_out
        .with(Style::blank())
        .modify(Columns::new(..), Padding::new(0, 1, 0, 0))
        .modify(Columns::last(), Padding::zero())
        .modify(Rows::first(), Padding::new(0, 1, 0, 0));
    if let Some(numbers) = &table.numbers {
        laid_out.modify(Columns::new(numbers.clone()), Alignment::right());
    }
    laid_out.with(
        Width::wrap(PAGE_COLUMNS - indent)
            .keep_words(true)
            .priority(Priority::max(true)),
    );
    laid_out.to_string()
}

/// Every column where it was told to begin.
fn fixed(table: &Table, left_edges: &[usize]) -> String {
    let mut out = String::new();
    for row in std::iter::once(&table.heading).chain(&table.rows) {
        let height = row.iter().map(|cell| cell.lines().count()).max();
        for idx in 0..height.unwrap_or_default() {
            let mut line = String::new();
            for (cell, left) in row.iter().zip(left_edges) {
                line = format!("{line:left$}{}", cell.lines().nth(idx).unwrap_or_default());
            }
            out += &(line + "\n");
        }
    }
    out
}
