//! Which evenings suit, for reading: the best few, every point with its reason, and where to fall back.

use chrono::Weekday;
use chrono_tz::Tz;

use crate::plan::caution::Caution;
use crate::plan::dates::{
    Audience, BACKUP_WITHIN_DAYS, Backup, Best, CHILDRENS_BEDTIME, Dates, Evening, Happens, Shown,
    Term, TermKind, WishMet,
};
use crate::plan::outlook::{Edge, Stretch};
use crate::show::dates_words::{event_words, grouped, missing_words};
use crate::show::table::PAGE_COLUMNS;
use crate::show::{assumed, caution, happenings, words};
use crate::targets::grade::Grade;

/// A Moon fuller than this drowns what is faint.
const BRIGHT_MOON_LIT: f64 = 0.85;

/// Fewer dark minutes are no evening under the stars.
const TOO_LIGHT_MINUTES: f64 = 60.0;

/// What is there but for so many minutes is there from the start, or to the end.
const SAME_MINUTES: i64 = 5;

/// In a range of so many months each has its best evening named.
const MANY_MONTHS: usize = 3;

/// Under the words, beside the points.
const INDENT: usize = 8;

/// The best few and why.
pub fn text(dates: &Dates) -> String {
    let best: String = (dates.best.iter().enumerate())
        .map(|(idx, best)| best_text(dates, idx + 1, best))
        .collect();
    let body = if dates.best.is_empty() {
        format!(
            "\n{}\n",
            words::wrapped(&nothing(dates), PAGE_COLUMNS, "  ")
        )
    } else {
        best
    };
    head(dates) + &body + &months_text(dates) + &wishes_text(dates) + &foot(dates)
}

/// Whose evenings, for whom, with what.
pub(super) fn head(dates: &Dates) -> String {
    let date = |date: chrono::NaiveDate| date.format("%-d %B %Y").to_string();
    let days = weekdays_words(&dates.weekdays);
    let lines = [
        format!(
            "{}: {days} from {} to {}",
            dates.site_name,
            date(dates.from),
            date(dates.to)
        ),
        format!(
            "{}, {}, with {}. Grades for typical air ({}\" at the zenith), as if every evening were clear.",
            audience_words(&dates.audience),
            window_words(dates),
            words::list(&dates.telescopes),
            words::short(dates.typical_seeing_arcsec)
        ),
    ];
    let left_out = (dates.not_judged.iter()).map(|why| format!("Not counted: {why}"));
    (lines.into_iter())
        .chain(words::observer_margin(dates.observer_margin_dex))
        .chain(too_light(dates))
        .chain(left_out)
        .map(|line| words::wrapped(&line, PAGE_COLUMNS, "  ") + "\n")
        .collect()
}

/// For hours that end before any night has well begun.
fn too_light(dates: &Dates) -> Option<String> {
    let minutes = (dates.evenings.iter()).map(|it| it.dark.minutes);
    let most = minutes.fold(0.0, f64::max);
    (0.0 < most && most < TOO_LIGHT_MINUTES).then(|| {
        format!(
            "In these hours no evening has more than {most:.0} dark minutes: later hours with --window, or \
             another season, show more."
        )
    })
}

/// `For the public`.
pub(super) fn audience_words(audience: &Audience) -> &'static str {
    match audience {
        Audience::Public => "For the public",
        Audience::FigureTest => "For mirrors to be tried",
        Audience::OwnList(_) => "For a list of wishes",
    }
}

/// `19:00 to 22:00 on the clocks of the place`.
pub(super) fn window_words(dates: &Dates) -> String {
    format!(
        "{} to {} on the clocks of the place",
        dates.window.from().format("%H:%M"),
        dates.window.until().format("%H:%M")
    )
}

fn weekdays_words(weekdays: &[Weekday]) -> String {
    if weekdays.is_empty() {
        return String::from("evenings");
    }
    let name = |day: &Weekday| match day {
        Weekday::Mon => "Mondays",
        Weekday::Tue => "Tuesdays",
        Weekday::Wed => "Wednesdays",
        Weekday::Thu => "Thursdays",
        Weekday::Fri => "Fridays",
        Weekday::Sat => "Saturdays",
        Weekday::Sun => "Sundays",
    };
    words::list(
        &weekdays
            .iter()
            .map(|day| name(day).to_string())
            .collect::<Vec<_>>(),
    )
}

fn nothing(dates: &Dates) -> String {
    let n = dates.evenings.len();
    let evenings = if n == 1 {
        String::from("this evening")
    } else {
        format!("any of these {n} evenings")
    };
    let advice = if dates.evenings.iter().all(|it| it.dark.minutes <= 0.0) {
        "; in these hours it is never dark. Try later hours with --window, or another season."
    } else {
        ". Try other hours with --window, another audience with --for, or more dates."
    };
    let middle = &dates.evenings[n / 2];
    let why: Vec<String> = middle.missing.iter().map(missing_words).collect();
    let why = if why.is_empty() {
        String::new()
    } else {
        let on = middle.on.format("%-d %B");
        format!(" So it is on {on}: {}.", why.join("; "))
    };
    format!("Nothing of what is asked for shows on {evenings}{advice}{why}")
}

/// The best evening of each month of a long range.
fn months_text(dates: &Dates) -> String {
    if dates.of_months.len() < MANY_MONTHS {
        return String::new();
    }
    // What would be printed as nought is no evening.
    let months: Vec<String> = (dates.of_months.iter())
        .filter(|it| 0.5 <= it.score)
        .map(|it| format!("{} ({:.0})", it.on.format("%a %-d %B"), it.score))
        .collect();
    let line = format!("The best of each month (points): {}.", months.join(", "));
    format!("\n{}\n", words::wrapped(&line, PAGE_COLUMNS, "  "))
}

/// What becomes of each wish.
fn wishes_text(dates: &Dates) -> String {
    let lines: String = (dates.wishes.iter())
        .map(|wish| {
            let line = wish_words(wish, dates.evenings.len());
            format!("  {}\n", words::wrapped(&line, PAGE_COLUMNS - 2, "    "))
        })
        .collect();
    if lines.is_empty() {
        return lines;
    }
    format!("\nWish by wish:\n{lines}")
}

fn wish_words(wish: &WishMet, n_all: usize) -> String {
    match wish.best {
        None => format!("{}: on none of these evenings.", wish.name),
        Some((on, grade)) => format!(
            "{}: on {} of {n_all} evenings; at its surest {}, first on {}.",
            wish.name,
            wish.n_evenings,
            grade.word(),
            on.format("%A %-d %B %Y")
        ),
    }
}

fn best_text(dates: &Dates, rank: usize, best: &Best) -> String {
    let evening = &best.evening;
    let mut out = format!(
        "\n{rank}. {}: {:.0} points, times {}\n",
        evening.on.format("%A %-d %B %Y"),
        evening.score,
        words::utc_offset(evening.from, dates.zone)
    );
    out += &beside("", &sky_words(evening, dates.zone));
    for happens in &evening.happens {
        let brought = Some(happens.points).filter(|points| 0.0 < *points);
        let brought = brought.map_or(String::new(), points);
        out += &beside(&brought, &happens_words(happens, dates.zone));
    }
    for shown in &evening.shown {
        out += &beside(&points(shown.points), &shown_words(shown, evening, dates));
    }
    for term in &evening.terms {
        out += &beside(&points(term.points), &term_words(term, evening, dates.zone));
    }
    if !evening.missing.is_empty() {
        let missing: Vec<String> = evening.missing.iter().map(missing_words).collect();
        out += &beside("", &format!("Not then: {}.", missing.join("; ")));
    }
    let mut backup = match &best.backup {
        Some(backup) => format!("If cloudy: {}", backup_words(backup)),
        None => format!("Nothing to fall back on within {BACKUP_WITHIN_DAYS} days."),
    };
    if let Some(other) = &best.other_backup {
        backup += &format!(" Or {}", backup_words(other));
    }
    out + &beside("", &backup)
}

/// What the page of happenings says of it.
fn happens_words(happens: &Happens, zone: Tz) -> String {
    let entries = happenings::entries(std::slice::from_ref(&happens.listed), &[], zone);
    let told = entries.first().map(|entry| {
        let at = words::clock(entry.at, zone);
        format!("{at} {}. {}", entry.words, entry.more.join(" "))
    });
    told.map_or(
        format!("{}.", capital(&event_words(happens.event))),
        |told| told.trim_end().to_string(),
    )
}

/// Points in their column, words wrapped beside them.
fn beside(points: &str, text: &str) -> String {
    let wrapped = words::wrapped(text, PAGE_COLUMNS - INDENT, "");
    let lines = wrapped.replace('\n', &format!("\n{:INDENT$}", ""));
    format!("{points:>width$}  {lines}\n", width = INDENT - 2)
}

fn points(points: f64) -> String {
    format!("{points:.1}")
}

/// Darkness and Moon.
fn sky_words(evening: &Evening, zone: Tz) -> String {
    let moon = &evening.moon;
    let lit = format!("Moon {:.0} % lit", 100.0 * moon.lit);
    let moon = match moon.altitude_deg {
        None => format!("{lit}, not above your skyline"),
        Some(altitude_deg) if BRIGHT_MOON_LIT < moon.lit => format!(
            "{lit}, {}: bright, and the grades below allow for it",
            words::fists(altitude_deg)
        ),
        Some(altitude_deg) => format!("{lit}, {}", words::fists(altitude_deg)),
    };
    format!("{}; {moon}.", dark_words(evening, zone))
}

fn dark_words(evening: &Evening, zone: Tz) -> String {
    match evening.dark.from {
        None => String::from("Never dark in these hours"),
        Some(from) if from <= evening.from => String::from("Dark from the start"),
        Some(from) => format!("Dark from {}", words::clock(from, zone)),
    }
}

fn shown_words(shown: &Shown, evening: &Evening, dates: &Dates) -> String {
    let at_best = &shown.outlook.at_best;
    let grades: Vec<String> = [Grade::Plain, Grade::Patient, Grade::Fleeting]
        .into_iter()
        .filter_map(|grade| {
            let of_grade = (shown.details.iter()).filter(|detail| detail.grade == grade);
            let names: Vec<&str> = of_grade.map(|detail| detail.name.as_str()).collect();
            (!names.is_empty()).then(|| match names[..] {
                // The one thing asked for need not be named twice.
                [name] if shown.details.len() == 1 && name.starts_with(&shown.name) => {
                    format!("{}{}", grade.word(), &name[shown.name.len()..])
                }
                [_] if shown.detail_id.is_some() => grade.word().to_string(),
                _ => format!("{}: {}", grade.word(), names.join(", ")),
            })
        })
        .collect();
    let last = shown.outlook.stretches.last();
    let stop = last.filter(|stretch| stretch.ends == Edge::BeforeSunrise);
    let stop = stop.map_or(String::new(), |stretch| {
        format!(
            "; stop at {}, the Sun comes to you",
            words::clock(stretch.until, dates.zone)
        )
    });
    format!(
        "{}, {}, {} at {}{} ({}). {}{stop}.",
        shown.name,
        words::wind(at_best.azimuth_deg()),
        words::fists(at_best.refracted_altitude_deg()),
        words::clock(shown.outlook.best, dates.zone),
        hours_words(&shown.outlook.stretches, evening, dates.zone),
        telescopes_words(shown, dates),
        capital(&grades.join("; "))
    )
}

/// `, from 20:40`, `, till 19:46`: where it does not show all the time.
fn hours_words(stretches: &[Stretch], evening: &Evening, zone: Tz) -> String {
    let hours: Vec<String> = (stretches.iter())
        .filter_map(|stretch| {
            let is_late = SAME_MINUTES <= (stretch.from - evening.from).num_minutes();
            let is_early = SAME_MINUTES <= (evening.until - stretch.until).num_minutes();
            let (from, until) = (
                words::clock(stretch.from, zone),
                words::clock(stretch.until, zone),
            );
            match (is_late, is_early) {
                (true, true) => Some(format!("from {from} to {until}")),
                (true, false) => Some(format!("from {from}")),
                (false, true) => Some(format!("till {until}")),
                (false, false) => None,
            }
        })
        .collect();
    if hours.is_empty() {
        return String::new();
    }
    format!(", {}", words::list(&hours))
}

/// Those that show most of it; nothing is told apart where all do.
fn telescopes_words(shown: &Shown, dates: &Dates) -> String {
    let alike = shown.telescopes.iter();
    let names: Vec<String> = alike.map(|idx| dates.telescopes[*idx].clone()).collect();
    match names.len() {
        1 => names[0].clone(),
        n if n == dates.telescopes.len() => String::from("all alike"),
        _ => words::list(&names),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

fn term_words(term: &Term, evening: &Evening, zone: Tz) -> String {
    match term.kind {
        TermKind::Terminator => String::from(
            "The Moon near its quarter: long shadows along the line of sunrise or sunset.",
        ),
        TermKind::FullMoon => {
            String::from("The Moon nearly full: flat and dazzling, without shadows.")
        }
        TermKind::Twilight => {
            let minutes = (evening.until - evening.from).num_seconds() as f64 / 60.0;
            let light = minutes - evening.dark.minutes;
            match evening.dark.from {
                None => String::from("Twilight or day all the time."),
                Some(_) => format!("Twilight takes {light:.0} of {minutes:.0} minutes."),
            }
        }
        TermKind::Bedtime => {
            let bedtime = CHILDRENS_BEDTIME.format("%H:%M");
            match evening.dark.from {
                Some(from) if 0.0 < evening.dark.minutes_before_bedtime.unwrap_or(0.0) => format!(
                    "Dark from {}, less than an hour before children's bedtime ({bedtime}).",
                    words::clock(from, zone)
                ),
                _ => format!("Not dark before children's bedtime ({bedtime})."),
            }
        }
    }
}

fn backup_words(backup: &Backup) -> String {
    let changes: Vec<String> = grouped(&backup.changes);
    let changes = if changes.is_empty() {
        String::from("much the same")
    } else {
        changes.join("; ")
    };
    format!(
        "{}, {:.0} points: {changes}.",
        backup.evening.on.format("%A %-d %B"),
        backup.evening.score
    )
}

/// How the points come about, what to take care of, what was taken for granted.
pub(super) fn foot(dates: &Dates) -> String {
    let points = match dates.audience {
        Audience::FigureTest => {
            "Points, common practice and no measure: a detail plain 4, patient 2, fleeting 1, its second \
             kind half, the third a quarter; the mean of the telescopes, in full from 45° up, none below 20°."
        }
        Audience::Public => {
            "Points, common practice and no measure: a detail plain 4, patient 2, its second kind half, the \
             third a quarter, stars half as much, a mere disc too; in the telescope that shows most of it, in full \
             from half an hour on. An eclipse of the Moon up to 12, a star or planet behind it or a close pair 2."
        }
        Audience::OwnList(_) => {
            "Points, common practice and no measure: a detail plain 4, patient 2, fleeting 1, its second \
             kind half, the third a quarter; in the telescope that shows most of it."
        }
    };
    let mut notes = vec![
        points.to_string(),
        format!(
            "Every one of the {} evenings: --calendar, --output dates.svg or --json.",
            dates.evenings.len()
        ),
    ];
    for caution in [Caution::Sun, Caution::Terrace] {
        notes.push(format!(
            "Take care: {}",
            caution::words(caution, dates.zone)
        ));
    }
    let mut out = String::from("\n");
    for note in &notes {
        out += &format!("{}\n", words::wrapped(note, PAGE_COLUMNS, "  "));
    }
    out + &assumed::text(&dates.assumed)
}
