//! Which evenings suit, for reading: the best few, every point with its reason, and where to fall back.

use chrono::Weekday;
use chrono_tz::Tz;

use crate::plan::dates::Audience;
use crate::plan::dates::BACKUP_WITHIN_DAYS;
use crate::plan::dates::Backup;
use crate::plan::dates::Best;
use crate::plan::dates::CHILDRENS_BEDTIME;
use crate::plan::dates::Change;
use crate::plan::dates::Dates;
use crate::plan::dates::Evening;
use crate::plan::dates::Missing;
use crate::plan::dates::Shown;
use crate::plan::dates::Term;
use crate::plan::dates::TermKind;
use crate::plan::dates::WhyMissing;
use crate::plan::night::Caution;
use crate::plan::night::Edge;
use crate::show::caution;
use crate::show::table::PAGE_COLUMNS;
use crate::show::words;
use crate::targets::grade::Grade;
use crate::workshop::Assumed;

/// A Moon fuller than this drowns what is faint.
const BRIGHT_MOON_LIT: f64 = 0.85;

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
    head(dates) + &body + &foot(dates)
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
    (lines.into_iter().chain(left_out))
        .map(|line| words::wrapped(&line, PAGE_COLUMNS, "  ") + "\n")
        .collect()
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
    format!("Nothing of what is asked for shows on {evenings}{advice}")
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
    for shown in &evening.shown {
        out += &beside(&points(shown.points), &shown_words(shown, dates));
    }
    for term in &evening.terms {
        out += &beside(&points(term.points), &term_words(term, evening, dates.zone));
    }
    if !evening.missing.is_empty() {
        let missing: Vec<String> = evening.missing.iter().map(missing_words).collect();
        out += &beside("", &format!("Not then: {}.", missing.join("; ")));
    }
    let backup = match &best.backup {
        Some(backup) => backup_words(backup),
        None => format!("Nothing to fall back on within {BACKUP_WITHIN_DAYS} days."),
    };
    out + &beside("", &backup)
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
            "{lit}, {}: bright, which the grades below have already suffered",
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

fn shown_words(shown: &Shown, dates: &Dates) -> String {
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
        "{}, {}, {} at {} ({}). {}{stop}.",
        shown.name,
        words::wind(at_best.azimuth_deg()),
        words::fists(at_best.refracted_altitude_deg()),
        words::clock(shown.outlook.best, dates.zone),
        telescopes_words(shown, dates),
        capital(&grades.join("; "))
    )
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

fn missing_words(missing: &Missing) -> String {
    let why = match &missing.why {
        WhyMissing::Low => String::from("below the horizon, or too low"),
        WhyMissing::Skyline { highest_deg } => {
            format!("behind your skyline, {highest_deg:.0}° up at most")
        }
        WhyMissing::Twilight => String::from("up only in twilight too bright for it"),
        WhyMissing::NearSun => String::from("too near the Sun"),
        WhyMissing::NotThere(why) => why.clone(),
        WhyMissing::Beyond => String::from("beyond these telescopes in typical air"),
    };
    format!("{} ({why})", missing.name)
}

fn backup_words(backup: &Backup) -> String {
    let changes: Vec<String> = grouped(&backup.changes);
    let changes = if changes.is_empty() {
        String::from("much the same")
    } else {
        changes.join("; ")
    };
    format!(
        "If cloudy: {}, {:.0} points: {changes}.",
        backup.evening.on.format("%A %-d %B"),
        backup.evening.score
    )
}

/// What is gone in one breath, what is new in another.
fn grouped(changes: &[Change]) -> Vec<String> {
    let names = |wanted: fn(&Change) -> Option<&String>| -> Vec<String> {
        changes.iter().filter_map(wanted).cloned().collect()
    };
    let gone = names(|change| match change {
        Change::Gone(name) => Some(name),
        _ => None,
    });
    let new = names(|change| match change {
        Change::New(name) => Some(name),
        _ => None,
    });
    let mut words: Vec<String> = changes.iter().filter_map(change_words).collect();
    if !gone.is_empty() {
        words.push(format!("without {}", words::list(&gone)));
    }
    if !new.is_empty() {
        words.push(format!("also {}", words::list(&new)));
    }
    words
}

fn change_words(change: &Change) -> Option<String> {
    match change {
        Change::MoonLit { from, to } => Some(format!(
            "the Moon {:.0} % lit instead of {:.0} %",
            100.0 * to,
            100.0 * from
        )),
        Change::Graded { name, from, to } => {
            Some(format!("{name} {} instead of {}", to.word(), from.word()))
        }
        Change::DarkMinutes { from, to } => {
            Some(format!("{:.0} dark minutes instead of {:.0}", to, from))
        }
        Change::Gone(_) | Change::New(_) => None,
    }
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
             third a quarter, stars half as much, a mere disc too; in the telescope that shows most of it."
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
    out + &assumed(dates)
}

fn assumed(dates: &Dates) -> String {
    if dates.assumed.is_empty() {
        return String::new();
    }
    let line = |assumed: &Assumed| {
        let line = format!("{}: {}", assumed.key, assumed.value);
        format!("  {}\n", words::wrapped(&line, PAGE_COLUMNS - 2, "      "))
    };
    let lines: String = dates.assumed.iter().map(line).collect();
    format!("\nAssumed, because the file does not say:\n{lines}")
}
