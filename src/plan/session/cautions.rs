//! What can hurt in an evening: of what is shown, and of what is offered under cloud.

use crate::plan::caution::{Caution, MorningStop, Offered, sun_cautions};
use crate::plan::outlook::Edge;
use crate::plan::session::answer::{Limits, Session, Turn};
use crate::plan::sun::SunTimes;
use crate::targets::subject::Subject;

impl Session {
    /// Cautions of the morning's and the evening's Sun for what is shown in these turns, or turned to under cloud.
    pub fn sun_cautions<'a>(&self, turns: impl IntoIterator<Item = &'a Turn>) -> Vec<Caution> {
        of_turns(turns, &self.sun, self.morning_stop)
    }

    /// Those that hold for one turn alone: the morning's only where the Sun ends it.
    pub fn cautions_of(&self, turn: &Turn) -> Vec<Caution> {
        let ends_it = offered(turn).any(|it| it.ends == Edge::BeforeSunrise);
        of_turns([turn], &self.sun, self.morning_stop.filter(|_| ends_it))
    }
}

/// Those of all turns, and of every night.
pub(super) fn cautions<'a>(
    turns: impl IntoIterator<Item = &'a Turn>,
    sun: &SunTimes,
    morning_stop: Option<MorningStop>,
) -> Vec<Caution> {
    let of_turns = of_turns(turns, sun, morning_stop).into_iter();
    (std::iter::once(Caution::Sun).chain(of_turns))
        .chain([Caution::Terrace])
        .collect()
}

/// In a morning one stop for all says what else would be said body by body.
fn of_turns<'a>(
    turns: impl IntoIterator<Item = &'a Turn>,
    sun: &SunTimes,
    morning_stop: Option<MorningStop>,
) -> Vec<Caution> {
    let mut offered: Vec<Offered> = turns.into_iter().flat_map(offered).collect();
    offered.sort_by_key(|it| it.subject.body());
    let mut all = sun_cautions(&offered, sun);
    if let Some(stop) = morning_stop {
        all.retain(|caution| !matches!(caution, Caution::MorningStop { .. }));
        all.insert(0, Caution::Sunrise(stop));
    }
    all
}

/// What is shown, what to turn to the whole turn through, and what slot by slot.
fn offered(turn: &Turn) -> impl Iterator<Item = Offered> {
    let fallback = turn.fallback.as_ref().map(|fallback| &fallback.shown);
    let throughout = std::iter::once(&turn.shown).chain(fallback);
    let by_slot = turn.fallback_by_slot.iter().flatten();
    (throughout.map(|shown| (&shown.subject, &shown.limits)))
        .chain(by_slot.map(|passing| (&passing.subject, &passing.limits)))
        .map(|(subject, limits)| within(subject, limits))
}

fn within(subject: &Subject, limits: &Limits) -> Offered {
    Offered {
        subject: subject.clone(),
        begins: limits.begins,
        ends: limits.ends,
        until: limits.until,
    }
}
