//! A calendar of evenings on one sheet, three months across: a cell each, with its day, its Moon and its grade in boxes.

use maud::{Markup, html};

use crate::plan::dates::{Dates, MoonThen};
use crate::show::dates::months::{ACROSS, CalendarDay, Month, WEEK, best_few, fifths, months};
use crate::show::dates::{audience_words, window_words};
use crate::show::picture::chart::{WIDTH, fitting, heading, px, sheet};
use crate::show::words;

const LEFT: f64 = 20.0;

/// Above the legend.
const TOP: f64 = 76.0;

/// Between two months.
const GAP: f64 = 18.0;

const MONTH_WIDTH: f64 = (WIDTH - 2.0 * LEFT - GAP * (ACROSS - 1) as f64) / ACROSS as f64;

/// A month's name and the days of the week.
const MONTH_TOP: f64 = 36.0;

const CELL_WIDTH: f64 = MONTH_WIDTH / 7.0;

/// A year with its legend is then as high to its width as a sheet of A4.
const CELL_HEIGHT: f64 = 26.0;

/// One of five boxes.
const BOX_WIDTH: f64 = 4.2;
const BOX_HEIGHT: f64 = 6.0;

const MOON_RADIUS: f64 = 4.6;

/// Of a Moon that is not above the skyline.
const HIDDEN_MOON_RADIUS: f64 = 2.8;

/// Letters of a legend that fit the sheet at twelve units.
const LEGEND_COLUMNS: usize = 100;

const LINE: f64 = 16.0;

const LEGEND: &str = "Disc: the Moon, small where it is not above your skyline in these hours; E: its eclipse. Boxes: fifths \
     of the best evening's points. Thick frames: the best few. Stars: pairs, clusters, nebulae.";

/// All months.
pub fn svg(dates: &Dates) -> String {
    let months = months(dates);
    let said = legend(dates);
    let mut top = TOP + LINE * said.len() as f64;
    let mut body = Vec::new();
    for row in months.chunks(ACROSS) {
        for (idx, month) in row.iter().enumerate() {
            let left = LEFT + (MONTH_WIDTH + GAP) * idx as f64;
            body.push(month_markup(dates, month, (left, top)));
        }
        let n_weeks = row.iter().map(|month| month.weeks.len()).max().unwrap_or(0);
        top += MONTH_TOP + CELL_HEIGHT * n_weeks as f64 + 0.5 * GAP;
    }
    let what = format!(
        "{}, {}, with {}",
        audience_words(&dates.audience).to_lowercase(),
        window_words(dates),
        words::list(&dates.telescopes)
    );
    let width = WIDTH - 2.0 * LEFT;
    let markup = html! {
        (heading(&dates.site_name, &what, (LEFT, width)))
        @for (idx, line) in said.iter().enumerate() {
            text x=(px(LEFT)) y=(px(TOP + LINE * idx as f64)) font-size=(px(fitting(line, 12.0, width))) { (line) }
        }
        @for part in &body { (part) }
    };
    sheet((WIDTH, top.ceil()), markup)
}

/// What the marks mean, then the best few.
fn legend(dates: &Dates) -> Vec<String> {
    let legend = words::wrapped(LEGEND, LEGEND_COLUMNS, "");
    let mut lines: Vec<String> = legend.lines().map(String::from).collect();
    lines.extend(best_few(dates));
    lines
}

fn month_markup(dates: &Dates, month: &Month, (left, top): (f64, f64)) -> Markup {
    let x = |day: usize| left + CELL_WIDTH * day as f64;
    let y = |week: usize| top + MONTH_TOP + CELL_HEIGHT * week as f64;
    html! {
        text x=(px(left)) y=(px(top + 17.0)) font-size="14" font-weight="bold" { (month.title) }
        @for (day, name) in WEEK.iter().enumerate() {
            text x=(px(x(day) + 3.0)) y=(px(top + MONTH_TOP - 4.0)) font-size="10" { (name) }
        }
        @for (idx, week) in month.weeks.iter().enumerate() {
            @for (day, cell) in week.iter().enumerate() {
                @if let Some(cell) = cell { (cell_markup(dates, cell, (x(day), y(idx)))) }
            }
        }
    }
}

fn cell_markup(dates: &Dates, cell: &CalendarDay, (left, top): (f64, f64)) -> Markup {
    // A thick frame lies inside its cell, so that neighbours do not hide it.
    let (width, inset) = if cell.rank.is_some() {
        ("2.2", 1.1)
    } else {
        ("0.5", 0.0)
    };
    html! {
        rect x=(px(left + inset)) y=(px(top + inset)) width=(px(CELL_WIDTH - 2.0 * inset))
            height=(px(CELL_HEIGHT - 2.0 * inset)) fill="none" stroke="black" stroke-width=(width) {}
        text x=(px(left + 3.5)) y=(px(top + 12.0)) font-size="10" { (cell.day) }
        @if let Some(evening) = cell.evening {
            (moon(&evening.moon, (left + CELL_WIDTH - 6.4, top + 8.6)))
            (boxes(fifths(dates, evening), (left + 3.0, top + 16.5)))
        }
    }
}

/// Its disc, dark where the Sun does not shine; an E where it goes through the Earth's shadow.
fn moon(moon: &MoonThen, (x, y): (f64, f64)) -> Markup {
    let radius = match moon.altitude_deg {
        Some(_) => MOON_RADIUS,
        None => HIDDEN_MOON_RADIUS,
    };
    if moon.is_eclipsed {
        return html! {
            text x=(px(x)) y=(px(y + 4.0)) font-size="11" font-weight="bold" text-anchor="middle" { "E" }
        };
    }
    html! {
        circle cx=(px(x)) cy=(px(y)) r=(px(radius)) fill="black" stroke="black" stroke-width="0.7" {}
        path d=(lit(moon, (x, y), radius)) fill="white" {}
    }
}

/// From the upper horn along the limb to the lower one, and back along the terminator: half an ellipse.
fn lit(moon: &MoonThen, (x, y): (f64, f64), radius: f64) -> String {
    let (limb_turns, is_gibbous) = (moon.lit_on_right, 0.5 < moon.lit);
    let flag = |is_clockwise: bool| u8::from(is_clockwise);
    format!(
        "M {x:.2} {:.2} A {radius:.2} {radius:.2} 0 0 {} {x:.2} {:.2} A {:.2} {radius:.2} 0 0 {} {x:.2} {:.2} Z",
        y - radius,
        flag(limb_turns),
        y + radius,
        (2.0 * moon.lit - 1.0).abs() * radius,
        flag(limb_turns == is_gibbous),
        y - radius
    )
}

/// Five boxes, so many of them full.
fn boxes(n_full: usize, (left, top): (f64, f64)) -> Markup {
    html! {
        @for idx in 0..5 {
            @let fill = if idx < n_full { "black" } else { "white" };
            rect x=(px(left + (BOX_WIDTH + 0.9) * idx as f64)) y=(px(top)) width=(px(BOX_WIDTH))
                height=(px(BOX_HEIGHT)) fill=(fill) stroke="black" stroke-width="0.5" {}
        }
    }
}
