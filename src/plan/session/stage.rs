//! What there is to show: everything that is clear of the skyline for at least one whole slot while the Sun is far enough
//! down, and how it stands in the middle of each such slot.

use chrono::{DateTime, TimeDelta, Utc};
use rayon::prelude::*;

use crate::plan::lookout::NEAR_SUN_DEG;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Absence, Edge, Outlook, Stretch};
use crate::plan::refusal::NoNight;
use crate::plan::session::answer::{Limits, Slot};
use crate::plan::session::crew::Member;
use crate::plan::session::impossible::Shutter;
use crate::plan::session::worth::points;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::targets::beyond::beyond;
use crate::targets::subject::Subject;

/// Lower than this nothing beyond the planets is worth the trouble of finding it, degrees. Common practice, no source.
const LOWEST_BEYOND_DEG: f64 = 25.0;

/// A stretch is known to seconds: a slot keeps so far from its ends.
const CLOSE: TimeDelta = TimeDelta::seconds(5);

/// As many showpieces beyond the planets are considered.
const MOST_BEYOND: usize = 17;

/// One target of the evening.
pub(super) struct Act {
    pub(super) subject: Subject,
    /// Of the whole night.
    stretches: Vec<Stretch>,
    /// In the middle of each slot; `None` where it is not clear throughout the slot.
    pub(super) at: Vec<Option<Outlook>>,
    /// Organisers want it.
    is_wanted: bool,
}

/// Something that cannot be shown in any slot.
pub(super) struct Closed {
    pub(super) subject: Subject,
    pub(super) why: Shutter,
}

/// What can be shown, and what can not.
pub(super) struct Stage {
    pub(super) acts: Vec<Act>,
    pub(super) closed: Vec<Closed>,
}

/// Who asks for a stage.
pub(super) struct House<'a> {
    pub(super) watch: &'a Watch<'a>,
    pub(super) slots: &'a [Slot],
    pub(super) crew: &'a [Member<'a>],
    pub(super) onlooker: Onlooker,
    /// Wanted whatever it is worth.
    pub(super) wanted: &'a [Subject],
}

impl House<'_> {
    pub(super) fn stage(&self) -> Result<Stage, NoNight> {
        let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
        let subjects: Vec<Subject> = bodies
            .map(Subject::Body)
            .chain(beyond().map(Subject::Beyond))
            .collect();
        let opened: Vec<_> = subjects
            .into_par_iter()
            .map(|subject| self.opened(subject))
            .collect::<Result<_, _>>()?;
        let mut stage = Stage {
            acts: Vec::new(),
            closed: Vec::new(),
        };
        for opened in opened {
            match opened {
                Ok(act) => stage.acts.push(act),
                Err(closed) => stage.closed.push(closed),
            }
        }
        stage.acts = self.showpieces(stage.acts)?;
        stage.acts = (stage.acts.into_par_iter())
            .map(|act| self.filled(act))
            .collect::<Result<_, _>>()?;
        let (acts, low) = std::mem::take(&mut stage.acts)
            .into_iter()
            .partition(|act: &Act| act.at.iter().any(Option::is_some));
        stage.acts = acts;
        stage.closed.extend(low.into_iter().map(|act| Closed {
            subject: act.subject,
            why: Shutter::Skyline,
        }));
        Ok(stage)
    }

    /// With empty slots still.
    fn opened(&self, subject: Subject) -> Result<Result<Act, Closed>, NoNight> {
        let closed = |why| {
            Err(Closed {
                subject: subject.clone(),
                why,
            })
        };
        let outlook = match self.watch.outlook(subject.clone(), false)? {
            Ok(outlook) => outlook,
            Err(Absence::NeverClear { .. }) => return Ok(closed(Shutter::Skyline)),
            Err(Absence::OnlyInDaylight { .. } | Absence::NearSun { .. }) => {
                return Ok(closed(Shutter::Sun));
            }
        };
        let act = Act {
            is_wanted: self.wanted.contains(&subject),
            subject: subject.clone(),
            stretches: outlook.stretches,
            at: Vec::new(),
        };
        if self.slots.iter().any(|slot| act.is_clear(*slot)) {
            return Ok(Ok(act));
        }
        Ok(closed(act.shut_by(self.slots)))
    }

    /// Moon and planets, what is wanted, and the best of the rest, by what the best telescope shows.
    fn showpieces(&self, acts: Vec<Act>) -> Result<Vec<Act>, NoNight> {
        let (mut kept, rest): (Vec<Act>, Vec<Act>) = acts
            .into_iter()
            .partition(|act| act.subject.body().is_some() || act.is_wanted);
        let mut scored = (rest.into_par_iter())
            .map(|act| Ok((self.score(&act)?, act)))
            .collect::<Result<Vec<_>, NoNight>>()?;
        scored.retain(|(score, _)| 0.0 < *score);
        // Stable: the tables' order among equals.
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        kept.extend(scored.into_iter().take(MOST_BEYOND).map(|(_, act)| act));
        Ok(kept)
    }

    fn score(&self, act: &Act) -> Result<f64, NoNight> {
        let clear = self.slots.iter().filter(|slot| act.is_clear(**slot));
        let clear: Vec<_> = clear.collect();
        // What sets is at its best at the beginning.
        let probes = [0, clear.len() / 2, clear.len() - 1];
        let scores = probes.map(|idx| self.score_at(act, *clear[idx]));
        (scores.into_iter()).try_fold(0.0, |best: f64, score| Ok(best.max(score?)))
    }

    fn score_at(&self, act: &Act, slot: Slot) -> Result<f64, NoNight> {
        let outlook = (self.watch).outlook_at(act.subject.clone(), slot.middle())?;
        if outlook.at_best.refracted_altitude_deg() < LOWEST_BEYOND_DEG {
            return Ok(0.0);
        }
        let instruments = self.crew.iter().filter_map(|member| member.instrument());
        let points = instruments.map(|instrument| points(instrument, &outlook, &self.onlooker));
        Ok(points.map(|points| points.all).fold(0.0, f64::max))
    }

    fn filled(&self, mut act: Act) -> Result<Act, NoNight> {
        act.at = (self.slots.iter())
            .map(|slot| self.stands(&act, *slot))
            .collect::<Result<_, _>>()?;
        Ok(act)
    }

    fn stands(&self, act: &Act, slot: Slot) -> Result<Option<Outlook>, NoNight> {
        if !act.is_clear(slot) {
            return Ok(None);
        }
        let outlook = self.watch.outlook_at(act.subject.clone(), slot.middle())?;
        let altitude_deg = outlook.at_best.refracted_altitude_deg();
        let is_worth_it =
            act.subject.body().is_some() || act.is_wanted || LOWEST_BEYOND_DEG <= altitude_deg;
        // Its distance from the Sun was asked for the middle of the night.
        let is_safe = NEAR_SUN_DEG <= outlook.at_best.elongation_deg();
        Ok((is_worth_it && is_safe).then_some(outlook))
    }
}

impl Act {
    /// Throughout the slot.
    fn is_clear(&self, slot: Slot) -> bool {
        self.stretch(slot.from, slot.until).is_some()
    }

    /// The stretch that holds a turn from end to end.
    pub(super) fn stretch(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<&Stretch> {
        let holds =
            |stretch: &&Stretch| stretch.from + CLOSE <= from && until <= stretch.until - CLOSE;
        self.stretches.iter().find(holds)
    }

    /// The same for an answer.
    pub(super) fn limits(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<Limits> {
        self.stretch(from, until).map(|stretch| Limits {
            from: stretch.from,
            until: stretch.until,
            begins: stretch.begins,
            ends: stretch.ends,
        })
    }

    /// What keeps it out of all slots: whatever bounds the stretch nearest to them.
    fn shut_by(&self, slots: &[Slot]) -> Shutter {
        let (Some(first), Some(last)) = (slots.first(), slots.last()) else {
            return Shutter::Skyline;
        };
        let before = self
            .stretches
            .iter()
            .rev()
            .find(|stretch| stretch.until <= last.until);
        let after = self
            .stretches
            .iter()
            .find(|stretch| first.from <= stretch.from);
        let edge = match (before, after) {
            (Some(before), _) => before.ends,
            (None, Some(after)) => after.begins,
            (None, None) => Edge::Skyline,
        };
        match edge {
            Edge::Twilight | Edge::BeforeSunrise => Shutter::Sun,
            Edge::Skyline | Edge::TooLow | Edge::Noon => Shutter::Skyline,
        }
    }
}

impl Slot {
    /// Half way.
    pub fn middle(&self) -> DateTime<Utc> {
        self.from + (self.until - self.from) / 2
    }
}
