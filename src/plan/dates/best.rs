//! The best few evenings, apart from each other, each with another one near it and what changes then.

use chrono::Days;

use crate::plan::dates::BACKUP_WITHIN_DAYS;
use crate::plan::dates::Evening;
use crate::plan::dates::Shown;
use crate::targets::grade::Grade;

/// How many are offered.
const FEW: usize = 5;

/// Days between two of them at least: the evenings around a good one are what it falls back on.
const APART_DAYS: i64 = 7;

/// Less than a quarter of an hour more or less of darkness nobody notices.
const DARK_CHANGES_MINUTES: f64 = 15.0;

/// A Moon that is lit by so much more or less looks different.
const MOON_CHANGES_LIT: f64 = 0.05;

/// One of the best evenings.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// Which.
    pub evening: Evening,
    /// Where to go when it is cloudy; `None` where nothing shows on any evening near.
    pub backup: Option<Backup>,
}

/// The best evening within the ten days after, whatever its day of the week.
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
    Gone(String),
    /// Shows only then.
    New(String),
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

/// Chooses among `asked`; falls back on any of `all`, both in order of date.
pub(super) fn best(asked: &[Evening], all: &[Evening]) -> Vec<Best> {
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
        .map(|evening| Best {
            backup: backup(evening, all),
            evening: evening.clone(),
        })
        .collect()
}

fn backup(evening: &Evening, all: &[Evening]) -> Option<Backup> {
    let last = evening.on.checked_add_days(Days::new(BACKUP_WITHIN_DAYS))?;
    let is_near = |other: &&Evening| evening.on < other.on && other.on <= last;
    let mut near: Vec<&Evening> = all.iter().filter(is_near).collect();
    near.sort_by(|a, b| b.score.total_cmp(&a.score));
    let other = *near.first().filter(|other| 0.0 < other.score)?;
    Some(Backup {
        evening: other.clone(),
        changes: changes(evening, other),
    })
}

fn changes(first: &Evening, then: &Evening) -> Vec<Change> {
    let mut changes = Vec::new();
    let (from, to) = (first.moon.lit, then.moon.lit);
    let is_up = first.moon.altitude_deg.or(then.moon.altitude_deg).is_some();
    if is_up && MOON_CHANGES_LIT <= (from - to).abs() {
        changes.push(Change::MoonLit { from, to });
    }
    let name = |shown: &Shown| shown.name.clone();
    let same = |a: &Shown, b: &Shown| {
        a.outlook.subject() == b.outlook.subject() && a.detail_id == b.detail_id
    };
    for shown in &first.shown {
        match then.shown.iter().find(|other| same(shown, other)) {
            None => changes.push(Change::Gone(name(shown))),
            Some(other) if other.grade() != shown.grade() => changes.push(Change::Graded {
                name: name(shown),
                from: shown.grade(),
                to: other.grade(),
            }),
            Some(_) => {}
        }
    }
    let is_new = |shown: &&Shown| first.shown.iter().all(|other| !same(shown, other));
    let new = then.shown.iter().filter(is_new);
    changes.extend(new.map(|shown| Change::New(name(shown))));
    let (from, to) = (first.dark.minutes, then.dark.minutes);
    if DARK_CHANGES_MINUTES <= (from - to).abs() {
        changes.push(Change::DarkMinutes { from, to });
    }
    changes
}
