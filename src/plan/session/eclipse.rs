//! The Moon in the Earth's shadow: it is never left alone, and on as many telescopes as people need to see it.

use crate::plan::assignment::Problem;
use crate::plan::session::candidates::CandidateTarget;
use crate::plan::session::moments::{Moment, MomentKind};
use crate::plan::session::worth::is_in_eclipse;
use crate::plan::time_span::TimeSpan;
use crate::sky::Body;
use crate::targets::subject::Subject;

/// When the Moon is in the umbra, by slot.
pub(super) struct Eclipse {
    /// Its number among the targets.
    moon: usize,
    is_on: Vec<bool>,
    /// A contact or the middle falls into it.
    has_moment: Vec<bool>,
}

impl Eclipse {
    /// `None` where there is none.
    pub(super) fn of(
        targets: &[CandidateTarget],
        slots: &[TimeSpan],
        moments: &[Moment],
    ) -> Option<Eclipse> {
        let is_moon = |it: &CandidateTarget| it.subject == Subject::Body(Body::Moon);
        let moon = targets.iter().position(is_moon)?;
        let at = &targets[moon].at;
        let is_on: Vec<bool> = (at.iter())
            .map(|outlook| outlook.as_ref().is_some_and(is_in_eclipse))
            .collect();
        let has_moment = slots.iter().map(|slot| {
            moments.iter().any(|it| {
                let is_within = slot.from <= it.at && it.at < slot.until;
                is_within && matches!(it.what, MomentKind::Eclipse(_))
            })
        });
        is_on.contains(&true).then(|| Eclipse {
            moon,
            has_moment: has_moment.collect(),
            is_on,
        })
    }

    /// Half of the telescopes may show it at once.
    pub(super) fn make_room(&self, problem: &mut Problem) {
        let most = problem.telescopes.len().div_ceil(2);
        let of = &mut problem.targets[self.moon];
        of.more_in.resize(problem.n_slots, 0);
        for (more, is_on) in of.more_in.iter_mut().zip(&self.is_on) {
            if *is_on {
                *more = most.saturating_sub(of.at_once).max(*more);
            }
        }
    }

    /// One telescope keeps to it from beginning to end, the same one as long as it can; where there is no other, it does so
    /// while something happens. Nothing is changed where the organiser wants it otherwise.
    pub(super) fn hold(
        &self,
        problem: &mut Problem,
        planned: Option<&[Vec<Option<usize>>]>,
        from: usize,
    ) {
        let has_others = 1 < problem.telescopes.len();
        let is_held = |slot: &usize| self.has_moment[*slot] || has_others && self.is_on[*slot];
        let mut holder = None;
        for slot in (from..problem.n_slots).filter(is_held) {
            let before = holder;
            holder = self.holder(problem, planned, slot, before);
            if let Some(telescope) = holder {
                let is_on_it = planned.is_none_or(|it| it[telescope][slot] == Some(self.moon));
                let of = &mut problem.telescopes[telescope];
                of.wishes[slot] = Some(self.moon);
                if before != holder && !is_on_it {
                    // Whoever has to take over may turn there and away, however often it has turned before.
                    of.repointings_at_most = of.repointings_at_most.map(|most| most + 2);
                }
            }
        }
    }

    /// Whoever shows it already goes on; otherwise whoever has planned to, or would show it best until the end.
    fn holder(
        &self,
        problem: &Problem,
        planned: Option<&[Vec<Option<usize>>]>,
        slot: usize,
        before: Option<usize>,
    ) -> Option<usize> {
        let is_free = |telescope: &usize| {
            let wish = problem.telescopes[*telescope].wishes[slot];
            problem.is_showable(*telescope, slot, self.moon)
                && wish.is_none_or(|wish| wish == self.moon)
        };
        if before.as_ref().is_some_and(is_free) {
            return before;
        }
        let rest = || (slot..problem.n_slots).filter(|slot| self.is_on[*slot]);
        let n_planned = |telescope: usize| {
            let is_on_it =
                |slot: &usize| planned.is_some_and(|it| it[telescope][*slot] == Some(self.moon));
            rest().filter(is_on_it).count()
        };
        let worth = |telescope: usize| -> f64 {
            rest()
                .map(|slot| problem.telescopes[telescope].worth[slot][self.moon])
                .sum()
        };
        let able = (0..problem.telescopes.len()).filter(is_free);
        able.max_by(|a, b| {
            let by_plan = n_planned(*a).cmp(&n_planned(*b));
            by_plan.then(worth(*a).total_cmp(&worth(*b))).then(b.cmp(a))
        })
    }

    /// Of the Moon, in a slot of the eclipse.
    pub(super) fn is_of(&self, target: usize, slot: usize) -> bool {
        target == self.moon && self.is_on.get(slot) == Some(&true)
    }
}
