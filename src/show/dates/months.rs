//! Evenings month by month, three months across: a cell each, with its day, its Moon and its grade.

use chrono::{Datelike, NaiveDate};

use crate::plan::dates::{Dates, Evening, Happens};
use crate::show::dates;
use crate::show::page::{Block, Page};
use crate::targets::subject::Subject;

/// Months beside each other, on the page and in the picture.
pub const ACROSS: usize = 3;

/// From the left edge of one month to that of the next; each day has three columns.
const MONTH: usize = 26;

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

/// The best few in words: `1. Tue 16 March, 37 points: Moon, Jupiter, stars`.
pub fn best_few(dates: &Dates) -> Vec<String> {
    let best = dates.best.iter().enumerate();
    best.map(|(idx, best)| {
        let evening = &best.evening;
        format!(
            "{}. {}, {} points: {}",
            idx + 1,
            evening.on.format("%a %-d %B"),
            dates::score_words(evening.score),
            made_by(evening).join(", ")
        )
    })
    .collect()
}

/// How the page marks the Moon, by the share of its disc that is lit: up to the first, and so on.
const MOON_MARKS: [(f64, char); 5] = [(0.1, 'n'), (0.4, 'c'), (0.6, 'h'), (0.9, 'g'), (1.0, 'f')];

const LEGEND: &str = "Under each day the Moon and the evening's grade. Moon: n new, c crescent, h half, g gibbous, f full, in \
     capitals where it is above your skyline in these hours; E eclipse of the Moon. Grade: fifths of the best evening's \
     points, 1 to 5; - little shows, ~ civil twilight or day all the time. *: the best few. Stars: pairs, clusters, \
     nebulae.";

/// The calendar.
pub fn page(dates: &Dates) -> Page {
    let months = months(dates);
    let legend = std::iter::once(Block::say(LEGEND));
    let best = best_few(dates).into_iter().map(Block::say);
    let rows = months.chunks(ACROSS).flat_map(|row| {
        let lines = abreast(row.iter().map(|month| month_lines(dates, month)).collect());
        [Block::Space, Block::Verbatim(lines.join("\n"))]
    });
    dates::around(dates, legend.chain(best).chain(rows).collect())
}

/// Beside each other.
fn abreast(months: Vec<Vec<String>>) -> Vec<String> {
    let n_lines = months.iter().map(Vec::len).max().unwrap_or(0);
    let line = |idx: usize| -> String {
        let of_month = |month: &Vec<String>| month.get(idx).cloned().unwrap_or_default();
        let parts = months
            .iter()
            .map(|month| format!("{:<MONTH$}", of_month(month)));
        parts.collect::<String>().trim_end().to_string()
    };
    (0..n_lines).map(line).collect()
}

/// Title, days of the week, then two lines a week: days, and what they bring.
fn month_lines(dates: &Dates, month: &Month) -> Vec<String> {
    let days: String = WEEK.iter().map(|name| format!("{} ", &name[..2])).collect();
    let mut lines = vec![month.title.clone(), days];
    for week in &month.weeks {
        let line = |part: &dyn Fn(&CalendarDay) -> String| -> String {
            let cell = |cell: &Option<CalendarDay>| cell.as_ref().map_or(String::new(), part);
            week.iter().map(|it| format!("{:<3}", cell(it))).collect()
        };
        lines.push(line(&|day| {
            let best = if day.rank.is_some() { "*" } else { "" };
            format!("{:>2}{best}", day.day)
        }));
        lines.push(line(&|day| {
            (day.evening).map_or(String::new(), |it| marks(dates, it))
        }));
    }
    lines
}

/// Moon and grade: `H5`.
fn marks(dates: &Dates, evening: &Evening) -> String {
    let moon = &evening.moon;
    let by_share = MOON_MARKS.iter().find(|(most, _)| moon.lit <= *most);
    let mark = by_share.map_or('f', |(_, mark)| *mark);
    let moon = match moon.altitude_deg {
        _ if evening.moon.is_eclipsed => 'E',
        Some(_) => mark.to_ascii_uppercase(),
        None => mark,
    };
    let grade = match fifths(dates, evening) {
        _ if is_light(evening) => String::from("~"),
        0 => String::from("-"),
        fifths => fifths.to_string(),
    };
    format!("{moon}{grade}")
}

/// No dark minute, and nothing shows.
fn is_light(evening: &Evening) -> bool {
    evening.dark.minutes <= 0.0 && evening.shown.is_empty()
}
