//! The best few evenings, apart from each other, each with others near it and what changes then; the best of each
//! month and of each wish.

use chrono::{Datelike, Days, NaiveDate, Weekday};

use crate::plan::dates::{BACKUP_WITHIN_DAYS, Evening, Event, Shown};
use crate::targets::grade::Grade;

/// How many are offered.
const FEW: usize = 5;

/// Days between two of them at least: the evenings around a good one are what it falls back on.
const APART_DAYS: i64 = 7;

/// Days between the two evenings to fall back on: clouds stay for some, and a school does not call people out on
/// every one.
const BACKUPS_APART_DAYS: i64 = 4;

/// Less than a quarter of an hour more or less of darkness nobody notices.
const DARK_CHANGES_MINUTES: f64 = 15.0;

/// A Moon that is lit by so much more or less looks different.
const MOON_CHANGES_LIT: f64 = 0.05;

/// One of the best evenings.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// Which.
    pub evening: Evening,
    /// Where to go when it is cloudy: the best evening within [`BACKUP_WITHIN_DAYS`], whatever its day of the week;
    /// `None` where nothing shows on any.
    pub backup: Option<Backup>,
    /// Where to go when that will not do, because the clouds stay or the people cannot come again so soon: a few
    /// days away from the first, on a day of the week that was asked for.
    pub other_backup: Option<Backup>,
}

/// The best evening of a month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfMonth {
    /// Which.
    pub on: NaiveDate,
    /// Its points.
    pub score: f64,
}

/// How often a wish is met, and when first at its surest.
#[derive(Debug, Clone, PartialEq)]
pub struct WishMet {
    /// As it is called.
    pub name: String,
    /// On how many of the evenings it shows.
    pub n_evenings: usize,
    /// The first of those evenings on which it brings most, and its grade then; `None` where it never shows.
    pub best: Option<(NaiveDate, Grade)>,
}

/// Another evening, and what changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Backup {
    /// Which.
    pub evening: Evening,
    /// What is different then, in the order of importance.
    pub changes: Vec<Change>,
}

/// What is different on the evening to fall back on.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The share of the Moon's disc that is lit, clear of the skyline on one evening at least.
    MoonLit {
        /// First.
        from: f64,
        /// Then.
        to: f64,
    },
    /// Shows no more.
    Gone(Offer),
    /// Shows only then.
    New(Offer),
    /// Shows more or less surely.
    Graded {
        /// What.
        name: String,
        /// First.
        from: Grade,
        /// Then.
        to: Grade,
    },
    /// How many minutes of the hours are dark.
    DarkMinutes {
        /// First.
        from: f64,
        /// Then.
        to: f64,
    },
}

/// What an evening offers.
#[derive(Debug, Clone, PartialEq)]
pub enum Offer {
    /// Something to look at, as it is called.
    Target(String),
    /// Something that happens in the sky.
    Happening(Event),
}

/// Chooses among `asked`; falls back on any of `all`, both in order of date. `takes`: the days of the week asked for.
pub(super) fn best(
    asked: &[Evening],
    all: &[Evening],
    takes: impl Fn(Weekday) -> bool,
) -> Vec<Best> {
    let mut by_score: Vec<&Evening> = asked.iter().filter(|it| 0.0 < it.score).collect();
    // A stable sort: of equals the earlier one.
    by_score.sort_by(|a, b| b.score.total_cmp(&a.score));
    let mut few: Vec<&Evening> = Vec::new();
    for evening in by_score {
        let is_apart = |other: &&Evening| APART_DAYS <= (evening.on - other.on).num_days().abs();
        if few.len() < FEW && few.iter().all(is_apart) {
            few.push(evening);
        }
    }
    (few.into_iter())
        .map(|evening| {
            let backup = backup(evening, all, |_| true);
            let is_other = |other: &Evening| {
                let days = |backup: &Backup| (other.on - backup.evening.on).num_days().abs();
                takes(other.on.weekday())
                    && backup
                        .as_ref()
                        .is_some_and(|it| BACKUPS_APART_DAYS <= days(it))
            };
            Best {
                other_backup: self::backup(evening, all, is_other),
                backup,
                evening: evening.clone(),
            }
        })
        .collect()
}

fn backup(
    evening: &Evening,
    all: &[Evening],
    will_do: impl Fn(&Evening) -> bool,
) -> Option<Backup> {
    let last = evening.on.checked_add_days(Days::new(BACKUP_WITHIN_DAYS))?;
    let is_near = |other: &&Evening| evening.on < other.on && other.on <= last;
    let near = all.iter().filter(is_near).filter(|other| will_do(other));
    // Of equals the earlier one.
    let other = near.reduce(|a, b| if a.score < b.score { b } else { a })?;
    (0.0 < other.score).then(|| Backup {
        evening: other.clone(),
        changes: changes(evening, other),
    })
}

/// The first of the best evenings of each month, in order; none for a month in which nothing shows.
pub(super) fn of_months(asked: &[Evening]) -> Vec<OfMonth> {
    let month = |evening: &Evening| (evening.on.year(), evening.on.month());
    (asked.chunk_by(|a, b| month(a) == month(b)))
        .filter_map(|evenings| {
            let best = (evenings.iter()).reduce(|a, b| if a.score < b.score { b } else { a })?;
            (0.0 < best.score).then_some(OfMonth {
                on: best.on,
                score: best.score,
            })
        })
        .collect()
}

/// What becomes of the wish that is called so.
pub(super) fn wish_met(name: String, asked: &[Evening]) -> WishMet {
    let met: Vec<(NaiveDate, &Shown)> = (asked.iter())
        .filter_map(|evening| {
            let shown = evening.shown.iter().find(|shown| shown.name == name)?;
            Some((evening.on, shown))
        })
        .collect();
    let most = (met.iter()).reduce(|a, b| if a.1.points < b.1.points { b } else { a });
    WishMet {
        n_evenings: met.len(),
        best: most.map(|(on, shown)| (*on, shown.grade())),
        name,
    }
}

fn changes(first: &Evening, then: &Evening) -> Vec<Change> {
    let mut changes = Vec::new();
    let (from, to) = (first.moon.lit, then.moon.lit);
    let is_up = first.moon.altitude_deg.or(then.moon.altitude_deg).is_some();
    if is_up && MOON_CHANGES_LIT <= (from - to).abs() {
        changes.push(Change::MoonLit { from, to });
    }
    let target = |shown: &Shown| Offer::Target(shown.name.clone());
    let same = |a: &Shown, b: &Shown| {
        a.outlook.subject() == b.outlook.subject() && a.detail_id == b.detail_id
    };
    for shown in &first.shown {
        match then.shown.iter().find(|other| same(shown, other)) {
            None => changes.push(Change::Gone(target(shown))),
            Some(other) if other.grade() != shown.grade() => changes.push(Change::Graded {
                name: shown.name.clone(),
                from: shown.grade(),
                to: other.grade(),
            }),
            Some(_) => {}
        }
    }
    let happening = |evening: &Evening| -> Vec<Event> {
        let worth = evening.happens.iter().filter(|it| 0.0 < it.points);
        worth.map(|it| it.event).collect()
    };
    let (at_first, at_other) = (happening(first), happening(then));
    let gone = at_first.iter().filter(|event| !at_other.contains(event));
    changes.extend(gone.map(|event| Change::Gone(Offer::Happening(*event))));
    let is_new = |shown: &&Shown| first.shown.iter().all(|other| !same(shown, other));
    let new = then.shown.iter().filter(is_new);
    changes.extend(new.map(|shown| Change::New(target(shown))));
    let new = at_other.iter().filter(|event| !at_first.contains(event));
    changes.extend(new.map(|event| Change::New(Offer::Happening(*event))));
    let (from, to) = (first.dark.minutes, then.dark.minutes);
    if DARK_CHANGES_MINUTES <= (from - to).abs() {
        changes.push(Change::DarkMinutes { from, to });
    }
    changes
}
