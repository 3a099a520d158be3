//! What is asked for: who comes, with what, in which hours of which nights.

use chrono::{Datelike, Days, NaiveDate, Weekday};

use crate::plan::clock_window::ClockWindow;
use crate::plan::refusal::NoDates;
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::subject::{Subject, subject_of};
use crate::workshop::Telescope;

/// More evenings than these nobody chooses among, nor plans for: two years and a bit.
pub const MOST_EVENINGS: u64 = 800;

/// Shorter hours are no session.
pub const SHORTEST_MINUTES: i64 = 30;

/// An evening to fall back on lies this near, days: people keep a fortnight free, not a season.
pub const BACKUP_WITHIN_DAYS: u64 = 10;

/// Who comes.
#[derive(Debug, Clone, PartialEq)]
pub enum Audience {
    /// Anybody: the Moon near first quarter, bright planets, showpieces; dark before children's bedtime.
    Public,
    /// Makers who try their mirrors: planets that stand high, with fine detail; pairs on the edge of
    /// what a telescope parts.
    FigureTest,
    /// Whoever wants to see just these.
    OwnList(Vec<Wished>),
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted<'a> {
    /// First local date.
    pub from: NaiveDate,
    /// Last local date, included.
    pub to: NaiveDate,
    /// On the clocks of the place.
    pub window: ClockWindow,
    /// Who comes.
    pub audience: Audience,
    /// Which telescopes come.
    pub telescopes: Vec<&'a Telescope>,
    /// On which days of the week; empty: on all.
    pub weekdays: Vec<Weekday>,
}

/// Something one person wants to see: a subject, or one detail.
#[derive(Debug, Clone, PartialEq)]
pub struct Wished {
    /// On which it is.
    pub subject: Subject,
    /// The one detail; `None`: whatever shows of the subject.
    pub detail_id: Option<String>,
}

impl Wished {
    /// By the id of a body, of a pair, of a cluster, nebula or galaxy, or of a detail as in `night`; `None`
    /// where nothing is called so. Nobody wishes for the Sun.
    pub fn of(id: &str) -> Option<Wished> {
        let body = Body::from_id(id).filter(|body| *body != Body::Sun);
        let there = || beyond().find(|there| there.id() == id);
        let whole = body
            .map(Subject::Body)
            .or_else(|| there().map(Subject::Beyond));
        let detail = || {
            Some(Wished {
                subject: subject_of(id)?,
                detail_id: Some(id.to_string()),
            })
        };
        let whole = whole.map(|subject| Wished {
            subject,
            detail_id: None,
        });
        whole.or_else(detail)
    }
}

impl Wanted<'_> {
    /// An evening that was asked for, not one to fall back on.
    pub(super) fn takes(&self, on: NaiveDate) -> bool {
        self.is_day(on.weekday()) && self.from <= on && on <= self.to
    }

    pub(super) fn is_day(&self, day: Weekday) -> bool {
        self.weekdays.is_empty() || self.weekdays.contains(&day)
    }
}

/// Those asked for and those to fall back on, in order.
pub(super) fn nights(wanted: &Wanted) -> Result<Vec<NaiveDate>, NoDates> {
    let (from, to) = (wanted.from, wanted.to);
    if to < from {
        return Err(NoDates::Backwards { from, to });
    }
    let evenings = (to - from).num_days() as u64 + 1;
    if MOST_EVENINGS < evenings {
        return Err(NoDates::TooMany {
            from,
            evenings,
            most: MOST_EVENINGS,
        });
    }
    let day = |days| from.checked_add_days(Days::new(days));
    let asked: Vec<NaiveDate> = (0..evenings)
        .filter_map(day)
        .filter(|on| wanted.takes(*on))
        .collect();
    let is_near = |on: &NaiveDate| {
        let first = asked.partition_point(|asked| *asked + Days::new(BACKUP_WITHIN_DAYS) < *on);
        asked.get(first).is_some_and(|asked| asked <= on)
    };
    Ok((0..evenings + BACKUP_WITHIN_DAYS)
        .filter_map(day)
        .filter(is_near)
        .collect())
}
