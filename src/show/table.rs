//! Tables that fit the page.

use crate::show::words;

use tabled::builder::Builder;
use tabled::settings::object::{Columns, Rows};
use tabled::settings::{Padding, Style, Width};

/// Columns of the narrowest terminal and of a printed page.
pub const PAGE_COLUMNS: usize = 80;

/// Breaks the first column's texts at words to what the other columns leave of the page.
pub fn wrap_first_column<const N: usize>(rows: &mut [[String; N]], page_columns: usize) {
    const GAP: usize = 2;
    let widest = |column: usize| {
        let widths = rows.iter().map(|row| row[column].chars().count());
        // No heading of ours is longer.
        widths.max().unwrap_or_default().max("typical".len())
    };
    let others: usize = (1..N).map(|column| GAP + widest(column)).sum();
    let width = page_columns.saturating_sub(others).max(20);
    for row in rows {
        row[0] = words::wrapped(&row[0], width, "");
    }
}

/// A table without frames: a heading and rows, indented by `indent` spaces. Long cells should come
/// with their own line breaks (`words::wrapped`); whatever is still wider than the page is wrapped
/// at words, the widest column giving way first.
pub fn table<const N: usize>(heading: [&str; N], rows: &[[String; N]], indent: usize) -> String {
    let mut builder = Builder::with_capacity(rows.len() + 1, N);
    builder.push_record(heading);
    for row in rows {
        builder.push_record(row.iter().map(String::as_str));
    }
    let mut table = builder.build();
    table
        .with(Style::blank())
        .modify(Columns::new(..), Padding::new(0, 1, 0, 0))
        .modify(Columns::last(), Padding::zero())
        .modify(Rows::first(), Padding::new(0, 1, 0, 0))
        .with(
            Width::wrap(PAGE_COLUMNS - indent)
                .keep_words(true)
                .priority(tabled::settings::peaker::Priority::max(true)),
        );
    let margin = " ".repeat(indent);
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", format!("{margin}{line}").trim_end()))
        .collect()
}
