//! A calendar of evenings: a cell each, with its date, its score in boxes, and what makes it.

use maud::{Markup, html};

use crate::plan::dates::Dates;
use crate::show::dates::months::{CalendarDay, Month, WEEK, fifths, legend, made_by, months};
use crate::show::dates::{audience_words, window_words};
use crate::show::picture::chart::{WIDTH, heading, px, sheet};
use crate::show::words;

const LEFT: f64 = 20.0;

/// Above the first month.
const TOP: f64 = 70.0;

/// A month's name and the days of the week.
const MONTH_TOP: f64 = 54.0;

const CELL_WIDTH: f64 = (WIDTH - 2.0 * LEFT) / 7.0;

const CELL_HEIGHT: f64 = 82.0;

/// Between two months.
const GAP: f64 = 22.0;

/// One of five boxes.
const BOX: f64 = 11.0;

/// Letters of a legend that fit the sheet at twelve units.
const LEGEND_COLUMNS: usize = 100;

/// Letters that fit a cell at eleven units.
const CELL_COLUMNS: usize = 14;

/// All months, one under the other.
pub fn svg(dates: &Dates) -> String {
    let months = months(dates);
    let height = |month: &Month| MONTH_TOP + CELL_HEIGHT * month.weeks.len() as f64 + GAP;
    let mut top = TOP;
    let mut body = Vec::new();
    for month in &months {
        body.push(month_markup(dates, month, top));
        top += height(month);
    }
    let legend = words::wrapped(legend(), LEGEND_COLUMNS, "");
    let n_lines = legend.lines().count() as f64;
    let what = format!(
        "{}, {}, with {}",
        audience_words(&dates.audience).to_lowercase(),
        window_words(dates),
        words::list(&dates.telescopes)
    );
    let markup = html! {
        (heading(&dates.site_name, &what, (LEFT, WIDTH - 2.0 * LEFT)))
        @for part in &body { (part) }
        @for (idx, line) in legend.lines().enumerate() {
            text x=(px(LEFT)) y=(px(top + 4.0 + 17.0 * idx as f64)) font-size="12" { (line) }
        }
    };
    sheet((WIDTH, (top + 17.0 * n_lines).ceil()), markup)
}

fn month_markup(dates: &Dates, month: &Month, top: f64) -> Markup {
    let x = |day: usize| LEFT + CELL_WIDTH * day as f64;
    let y = |week: usize| top + MONTH_TOP + CELL_HEIGHT * week as f64;
    html! {
        text x=(px(LEFT)) y=(px(top + 22.0)) font-size="17" font-weight="bold" { (month.title) }
        @for (day, name) in WEEK.iter().enumerate() {
            text x=(px(x(day) + 6.0)) y=(px(top + MONTH_TOP - 7.0)) font-size="12" { (name) }
        }
        @for (idx, week) in month.weeks.iter().enumerate() {
            @for (day, cell) in week.iter().enumerate() {
                @if let Some(cell) = cell { (cell_markup(dates, cell, (x(day), y(idx)))) }
            }
        }
    }
}

fn cell_markup(dates: &Dates, cell: &CalendarDay, (left, top): (f64, f64)) -> Markup {
    let width = if cell.rank.is_some() { "3" } else { "0.6" };
    // A thick frame lies inside its cell, so that neighbours do not hide it.
    let inset = if cell.rank.is_some() { 2.5 } else { 0.0 };
    html! {
        rect x=(px(left + inset)) y=(px(top + inset)) width=(px(CELL_WIDTH - 2.0 * inset))
            height=(px(CELL_HEIGHT - 2.0 * inset)) fill="none" stroke="black" stroke-width=(width) {}
        text x=(px(left + 7.0)) y=(px(top + 19.0)) font-size="14" { (cell.day) }
        @if let Some(rank) = cell.rank {
            text x=(px(left + CELL_WIDTH - 7.0)) y=(px(top + 18.0)) font-size="12" font-weight="bold"
                text-anchor="end" { "(" (rank) ")" }
        }
        @if let Some(evening) = cell.evening {
            (boxes(fifths(dates, evening), (left + 7.0, top + 25.0)))
            @for (idx, line) in lines(&made_by(evening)).iter().enumerate() {
                text x=(px(left + 7.0)) y=(px(top + 48.5 + 13.0 * idx as f64)) font-size="11" { (line) }
            }
        }
    }
}

fn lines(made_by: &[String]) -> Vec<String> {
    let wrapped = words::wrapped(&made_by.join(" "), CELL_COLUMNS, "");
    wrapped.lines().take(3).map(String::from).collect()
}

/// Five boxes, so many of them full.
fn boxes(n_full: usize, (left, top): (f64, f64)) -> Markup {
    html! {
        @for idx in 0..5 {
            @let fill = if idx < n_full { "black" } else { "white" };
            rect x=(px(left + (BOX + 1.5) * idx as f64)) y=(px(top)) width=(px(BOX - 1.0)) height=(px(BOX))
                fill=(fill) stroke="black" stroke-width="0.6" {}
        }
    }
}
