//! Evenings month by month: a cell each, with its score in marks and what makes it.

use chrono::{Datelike, NaiveDate};

use crate::plan::dates::{Dates, Evening, Happens};
use crate::show::page::{Block, Page, Table};
use crate::show::{dates, words};
use crate::targets::subject::Subject;

/// Between the left edges of two days: seven of them and the margin fill the page.
const CELL: usize = 11;

/// Lines of what makes an evening.
const MADE_BY_LINES: usize = 2;

/// Letters that tell Jupiter from Saturn.
const SHORT: usize = 4;

/// Less than this does not make an evening.
const MAKES_POINTS: f64 = 2.0;

/// The days of a week, as calendars here have them.
pub const WEEK: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// One month of the range, week by week.
#[derive(Debug, Clone, PartialEq)]
pub struct Month<'a> {
    /// `March 2027`.
    pub title: String,
    /// From Monday to Sunday; `None` where the month has not begun or is over.
    pub weeks: Vec<[Option<CalendarDay<'a>>; 7]>,
}

/// One day of a month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalendarDay<'a> {
    /// Of the month.
    pub day: u32,
    /// `None` where it was not asked for.
    pub evening: Option<&'a Evening>,
    /// Its place among the best few, from 1.
    pub rank: Option<usize>,
}

/// All months of a range.
pub fn months(dates: &Dates) -> Vec<Month<'_>> {
    let mut months = Vec::new();
    let mut first = dates.from.with_day(1);
    while let Some(month) = first.filter(|first| *first <= dates.to) {
        months.push(Month {
            title: month.format("%B %Y").to_string(),
            weeks: weeks(dates, month),
        });
        first = month.checked_add_months(chrono::Months::new(1));
    }
    months
}

fn weeks(dates: &Dates, month: NaiveDate) -> Vec<[Option<CalendarDay<'_>>; 7]> {
    let mut weeks = vec![[None; 7]];
    for day in month
        .iter_days()
        .take_while(|day| day.month() == month.month())
    {
        let place = day.weekday().num_days_from_monday() as usize;
        if place == 0 && day.day() != 1 {
            weeks.push([None; 7]);
        }
        let found = dates
            .evenings
            .binary_search_by_key(&day, |evening| evening.on);
        let rank = dates.best.iter().position(|best| best.evening.on == day);
        if let Some(week) = weeks.last_mut() {
            week[place] = Some(CalendarDay {
                day: day.day(),
                evening: found.ok().map(|idx| &dates.evenings[idx]),
                rank: rank.map(|idx| idx + 1),
            });
        }
    }
    weeks
}

/// Fifths of the best score of the range, rounded up: 1 to 5, and 0 where nothing shows.
pub fn fifths(dates: &Dates, evening: &Evening) -> usize {
    let best = dates.best.first().map_or(0.0, |best| best.evening.score);
    if best <= 0.0 {
        return 0;
    }
    (5.0 * evening.score / best).ceil().clamp(0.0, 5.0) as usize
}

/// What makes an evening, a word each, most points first; `light` or `-` where nothing does.
pub fn made_by(evening: &Evening) -> Vec<String> {
    let eclipse = evening.happens.iter().any(Happens::is_umbral_eclipse);
    let eclipse = eclipse.then(|| String::from("eclipse"));
    let mut made_by: Vec<String> = eclipse.into_iter().collect();
    for shown in (evening.shown.iter()).filter(|shown| MAKES_POINTS <= shown.points) {
        let word = match shown.outlook.subject() {
            Subject::Body(body) => body.name(),
            Subject::Beyond(_) | Subject::Small(_) => "stars",
        };
        if made_by.iter().all(|known| known != word) {
            made_by.push(String::from(word));
        }
    }
    match (made_by.is_empty(), evening.dark.minutes <= 0.0) {
        (false, _) => made_by,
        (true, true) => vec![String::from("light")],
        (true, false) => vec![String::from("-")],
    }
}

/// What marks and words mean.
pub fn legend() -> &'static str {
    "Marks: fifths of the best evening's points. Stars: pairs, clusters, nebulae. Eclipse: of the Moon. Light: \
     civil twilight or day all the time. -: little shows. (1): the best evening."
}

/// The calendar.
pub fn page(dates: &Dates) -> Page {
    let months = months(dates).into_iter();
    let months = months.map(|month| month_section(dates, month));
    let legend = format!("{} Names are cut after {SHORT} letters.", legend());
    dates::around(dates, months.chain([Block::say(legend)]).collect())
}

fn month_section(dates: &Dates, month: Month) -> Block {
    let weeks = month.weeks.iter().map(|week| {
        week.map(|cell| cell.map_or(String::new(), |cell| cell_lines(dates, &cell).join("\n")))
    });
    let left_edges: [usize; 7] = std::array::from_fn(|day| day * CELL);
    let days = Table::new(WEEK, weeks.collect())
        .fixed(&left_edges)
        .without_row_names();
    Block::section(month.title, [days.into()])
}

/// Date, marks and place among the best; then what makes it.
fn cell_lines(dates: &Dates, cell: &CalendarDay) -> Vec<String> {
    let Some(evening) = cell.evening else {
        return vec![format!("{:>2}", cell.day)];
    };
    let marks = "*".repeat(fifths(dates, evening));
    let rank = cell.rank.map_or(String::new(), |rank| format!("({rank})"));
    // Five marks and a place fill the cell: `13*****(1)`.
    let gap = if rank.is_empty() { " " } else { "" };
    let mut lines = vec![format!("{:>2}{gap}{marks}{rank}", cell.day)];
    let short: Vec<String> = (made_by(evening).iter())
        .map(|word| word.chars().take(SHORT).collect())
        .collect();
    let made_by = words::wrapped(&short.join(" "), CELL - 1, "");
    lines.extend(made_by.lines().take(MADE_BY_LINES).map(String::from));
    lines
}
