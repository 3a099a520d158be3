//! Which evenings suit, for reading: the best few, every point with its reason, and where to fall back.

mod wording;

pub mod months;

mod json;

use chrono::Weekday;
use chrono_tz::Tz;

use crate::plan::caution::Caution;
use crate::plan::dates::{
    Audience, BACKUP_WITHIN_DAYS, Backup, Best, CHILDRENS_BEDTIME, Dates, Evening, Happens, Shown,
    Term, TermKind, WishMet,
};
use crate::plan::outlook::{Edge, Stretch};
use crate::show::dates::wording::{event_words, grouped, missing_words};
use crate::show::page::{Block, Labelled, Page};
use crate::show::words::{assumed, caption, caution};
use crate::show::{happenings, words};
use crate::targets::grade::Grade;

pub use self::json::json;

/// A Moon fuller than this drowns what is faint.
const BRIGHT_MOON_LIT: f64 = 0.85;

/// Fewer dark minutes are no evening under the stars.
const TOO_LIGHT_MINUTES: f64 = 60.0;

/// What is there but for so many minutes is there from the start, or to the end.
const SAME_MINUTES: i64 = 5;

/// In a range of so many months each has its best evening named.
const MANY_MONTHS: usize = 3;

/// Of the points before their reasons.
const POINTS_COLUMNS: usize = 6;

/// The best few and why.
pub fn page(dates: &Dates) -> Page {
    let best = dates.best.iter().enumerate();
    let mut blocks: Vec<Block> = best
        .map(|(idx, best)| best_section(dates, idx + 1, best))
        .collect();
    if dates.best.is_empty() {
        blocks.extend([Block::Space, Block::say(nothing(dates))]);
    }
    blocks.extend(months_words(dates).map(Block::say));
    blocks.extend(wishes_section(dates));
    around(dates, blocks)
}

/// Whose evenings, for whom, with what; then the page; then how the points come about.
pub(super) fn around(dates: &Dates, blocks: Vec<Block>) -> Page {
    let title = format!(
        "{}: {} from {} to {}",
        dates.site_name,
        weekdays_words(&dates.weekdays),
        words::plain_date(dates.from),
        words::plain_date(dates.to)
    );
    Page::new(title)
        .with(head(dates).into_iter().map(Block::say))
        .with(blocks)
        .with([Block::Space])
        .with(foot(dates).into_iter().map(Block::say))
        .with(assumed::section(&dates.assumed))
}

fn head(dates: &Dates) -> Vec<String> {
    let asked = format!(
        "{}, {}, with {}. Grades for typical air ({}\" at the zenith), as if every evening were clear.",
        audience_words(&dates.audience),
        window_words(dates),
        words::list(&dates.telescopes),
        words::short(dates.typical_seeing_arcsec)
    );
    let left_out = (dates.not_judged.iter()).map(|why| format!("Not counted: {why}"));
    std::iter::once(asked)
        .chain(words::observer_margin(dates.observer_margin_dex))
        .chain(too_light(dates))
        .chain(left_out)
        .collect()
}

/// For hours that end before any night has well begun.
fn too_light(dates: &Dates) -> Option<String> {
    let minutes = (dates.evenings.iter()).map(|it| it.dark.minutes);
    let most = minutes.fold(0.0, f64::max);
    (0.0 < most && most < TOO_LIGHT_MINUTES).then(|| {
        format!(
            "In these hours no evening has more than {most:.0} minutes past civil twilight: later hours with --window, or \
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
        "; in these hours it is never past civil twilight. Try later hours with --window, or another season."
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
fn months_words(dates: &Dates) -> Option<String> {
    // What would be printed as nought is no evening.
    let months: Vec<String> = (dates.of_months.iter())
        .filter(|it| 0.05 <= it.score)
        .map(|it| format!("{} ({})", it.on.format("%a %-d %B"), score_words(it.score)))
        .collect();
    let words = format!("The best of each month (points): {}.", months.join(", "));
    (MANY_MONTHS <= dates.of_months.len()).then_some(words)
}

/// What becomes of each wish.
fn wishes_section(dates: &Dates) -> Option<Block> {
    let wishes = dates.wishes.iter();
    let lines = wishes.map(|wish| Block::say(wish_words(wish, dates.evenings.len())));
    (!dates.wishes.is_empty()).then(|| Block::section("Wish by wish:", lines))
}

fn wish_words(wish: &WishMet, n_all: usize) -> String {
    match wish.best {
        None => format!("{}: on none of these evenings.", wish.name),
        Some((on, grade)) => format!(
            "{}: on {} of {n_all} evenings; best on {} ({}).",
            wish.name,
            wish.n_evenings,
            words::date(on),
            grade.word()
        ),
    }
}

fn best_section(dates: &Dates, rank: usize, best: &Best) -> Block {
    let evening = &best.evening;
    let heading = format!(
        "{rank}. {}: {} points, times {}",
        words::evening(evening.date, evening.on),
        score_words(evening.score),
        words::utc_offsets(evening.from, evening.until, dates.zone)
    );
    let mut lines = Labelled::new(POINTS_COLUMNS).right_aligned();
    lines.say("", sky_words(evening, dates.zone));
    for happens in &evening.happens {
        let brought = Some(happens.points).filter(|points| 0.0 < *points);
        let brought = brought.map_or(String::new(), points);
        lines.say(brought, happens_words(happens, dates.zone));
    }
    for shown in &evening.shown {
        lines.say(points(shown.points), shown_words(shown, evening, dates));
    }
    for term in &evening.terms {
        lines.say(points(term.points), term_words(term, evening, dates.zone));
    }
    if !evening.missing.is_empty() {
        let missing: Vec<String> = evening.missing.iter().map(missing_words).collect();
        lines.say("", format!("Not then: {}.", missing.join("; ")));
    }
    lines.say("", backups_words(best));
    Block::section(heading, [lines.into()])
}

fn backups_words(best: &Best) -> String {
    let backup = match &best.backup {
        Some(backup) => format!("If cloudy: {}", backup_words(backup)),
        None => format!("Nothing to fall back on within {BACKUP_WITHIN_DAYS} days."),
    };
    match &best.other_backup {
        Some(other) => format!("{backup} Or {}", backup_words(other)),
        None => backup,
    }
}

/// What the page of happenings says of it.
fn happens_words(happens: &Happens, zone: Tz) -> String {
    let entries = happenings::entries(std::slice::from_ref(&happens.listed), &[], zone);
    let told = entries.first().map(|entry| {
        let at = words::clock(entry.at, zone);
        format!("{at} {}. {}", entry.words, entry.more.join(" "))
    });
    told.map_or(
        format!("{}.", words::capitalised(&event_words(happens.event))),
        |told| told.trim_end().to_string(),
    )
}

/// With a tenth where a point is much: an evening for one wish brings few.
pub(super) fn score_words(score: f64) -> String {
    if score < 9.95 {
        return points(score);
    }
    format!("{score:.0}")
}

fn points(points: f64) -> String {
    format!("{points:.1}")
}

/// Darkness, which begins for a public evening when civil twilight ends, and Moon.
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
        None => String::from("Civil twilight or day in all these hours"),
        Some(from) if from <= evening.from => String::from("Civil twilight over from the start"),
        Some(from) => format!("Civil twilight ends {}", words::clock(from, zone)),
    }
}

fn shown_words(shown: &Shown, evening: &Evening, dates: &Dates) -> String {
    let at_best = &shown.outlook.at_best;
    let grades: Vec<String> = [Grade::Plain, Grade::Patient, Grade::Fleeting]
        .into_iter()
        .filter_map(|grade| {
            let of_grade = (shown.details.iter()).filter(|detail| detail.grade == grade);
            let names: Vec<String> = of_grade.map(|it| caption::name(&it.name)).collect();
            (!names.is_empty()).then(|| match &names[..] {
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
        words::wind(at_best.place().azimuth_deg),
        words::fists(at_best.place().refracted_altitude_deg),
        words::clock(shown.outlook.best, dates.zone),
        hours_words(&shown.outlook.stretches, evening, dates.zone),
        telescopes_words(shown, dates),
        words::capitalised(&grades.join("; "))
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
                None => String::from("Civil twilight or day all the time."),
                Some(_) => format!("Civil twilight takes {light:.0} of {minutes:.0} minutes."),
            }
        }
        TermKind::Bedtime => {
            let bedtime = CHILDRENS_BEDTIME.format("%H:%M");
            match evening.dark.from {
                Some(from) if 0.0 < evening.dark.minutes_before_bedtime.unwrap_or(0.0) => format!(
                    "Civil twilight ends {}, less than an hour before children's bedtime ({bedtime}).",
                    words::clock(from, zone)
                ),
                _ => format!("Civil twilight does not end before children's bedtime ({bedtime})."),
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
        "{}, {} points: {changes}.",
        words::day_and_month(backup.evening.date),
        score_words(backup.evening.score)
    )
}

/// How the points come about, what to take care of.
fn foot(dates: &Dates) -> Vec<String> {
    let of = &dates.points;
    let points = format!(
        "Points, common practice and no measure: a detail brings {} where it is just plain, {} where it is just patient, {} \
         where it stands ten times as clear, less in thick air, each further one on the same body {} of the one before; {}",
        words::short(of.plain),
        words::short(of.patient),
        words::short(of.ten_times_plain),
        words::short(of.further_share),
        match dates.audience {
            Audience::FigureTest => {
                "the mean of the telescopes, in full from 45° up, none below 20°."
            }
            Audience::Public => {
                "more for what people love, and beyond the planets only the best six; in the telescope that shows most \
                 of it, in full where it shows for three hours, a good third of that for half an hour. An eclipse of the Moon up to 12, a star or planet behind it or a \
                 close pair 2."
            }
            Audience::OwnList(_) =>
                "in the telescope that shows most of it, in good, typical and poor air together, by the share of the hours in \
                 which it shows.",
        }
    );
    let mut notes = vec![
        points,
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
    notes
}
