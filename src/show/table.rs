//! Tables that fit the page.

use tabled::builder::Builder;
use tabled::settings::Padding;
use tabled::settings::Style;
use tabled::settings::Width;
use tabled::settings::object::Columns;
use tabled::settings::object::Rows;

/// Columns of the narrowest terminal and of a printed page.
pub const PAGE_COLUMNS: usize = 80;

/// A table without frames: a heading, a line, rows; wrapped at words so that it fits the page, the
/// widest column giving way first. Lines are indented by `indent` spaces.
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
        .map(|line| {
            format!("{margin}{}\n", line.trim_end())
                .trim_start_matches('\r')
                .to_string()
        })
        .map(|line| {
            if line.trim().is_empty() {
                String::from("\n")
            } else {
                line
            }
        })
        .collect()
}
