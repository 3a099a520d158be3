//! The best few evenings, apart from each other, each with others near it and what changes then; the best of each
//! month and of each wish.

use chrono::{Datelike, Days, NaiveDate, Weekday};

use crate::plan::dates::answer::{Backup, Best, Change, OfMonth, Offer, WishMet};
use crate::plan::dates::ask::BACKUP_WITHIN_DAYS;
use crate::plan::dates::evening::{Evening, Event, Shown};

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
