//! Why a telescope rests: each reason as the tables of the evening have it.

use std::ops::Range;

use serde::Serialize;

use crate::plan::assignment::{Assignment, Problem};

/// Why a telescope that works shows nothing for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WhyIdle {
    /// People have only just met: its mirrors are being aimed.
    Aiming,
    /// Nothing is clear of the skyline in a dark enough sky.
    NothingClear,
    /// What there is are planets, and better mirrors show them.
    LeftToBetter,
    /// What is clear would not show in it, is nothing for a new helper, or is not there for a whole stay.
    NothingShows,
    /// All that it could show is on as many telescopes as may show it at once.
    Taken,
    /// Something is free, but for less than the shortest stay.
    TooShort,
    /// It has changed its target as often as it may.
    NoMoreChanges,
    /// What is free was on show already, or for too short a while to be worth the minutes of finding it.
    NotWorthFinding,
    /// The evening has begun later than planned.
    NotBegun,
    /// It can no longer be used.
    Out,
    /// Cloud covers all that would be clear.
    Clouded,
    /// The evening ends sooner than planned.
    Over,
}

impl WhyIdle {
    /// The evening itself begins later or ends sooner.
    pub fn is_of_all(self) -> bool {
        matches!(self, WhyIdle::NotBegun | WhyIdle::Over)
    }
}

/// Slots without a target, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Rest {
    pub(super) slots: Range<usize>,
    pub(super) why: WhyIdle,
}

/// What is known besides the tables: by slot, whether anything is clear, and whether anything is left to a better mirror.
pub(super) struct Sight {
    pub(super) is_anything_clear: Vec<bool>,
    pub(super) is_any_left: Vec<bool>,
    /// By slot: why it shows nothing then, whatever there is.
    pub(super) shut: Vec<Option<WhyIdle>>,
}

impl Sight {
    pub(super) fn of(
        slots: Range<usize>,
        targets: Range<usize>,
        is_up: impl Fn(usize, usize) -> bool,
        is_left: impl Fn(usize, usize) -> bool,
    ) -> Sight {
        let by_slot = |holds: &dyn Fn(usize, usize) -> bool| {
            let any = |slot| targets.clone().any(|target| holds(slot, target));
            slots.clone().map(any).collect()
        };
        Sight {
            is_anything_clear: by_slot(&is_up),
            is_any_left: by_slot(&|slot, target| is_up(slot, target) && is_left(slot, target)),
            shut: vec![None; slots.len()],
        }
    }
}

/// By telescope.
pub(super) fn rests_of_all(
    problem: &Problem,
    assignment: &Assignment,
    sights: &[Sight],
) -> Vec<Vec<Rest>> {
    let of_each = sights.iter().enumerate();
    of_each
        .map(|(idx, sight)| rests(problem, assignment, idx, sight))
        .collect()
}

/// Of one telescope, in order; slots beside each other with one reason are one.
fn rests(problem: &Problem, assignment: &Assignment, telescope: usize, sight: &Sight) -> Vec<Rest> {
    let resting = Resting {
        problem,
        assignment,
        telescope,
    };
    let shown = &assignment.shown[telescope];
    let mut rests: Vec<Rest> = Vec::new();
    for slot in (0..shown.len()).filter(|slot| shown[*slot].is_none()) {
        let why = resting.why(slot, sight);
        match rests.last_mut() {
            Some(last) if last.slots.end == slot && last.why == why => last.slots.end += 1,
            _ => rests.push(Rest {
                slots: slot..slot + 1,
                why,
            }),
        }
    }
    rests
}

#[derive(Clone, Copy)]
struct Resting<'a> {
    problem: &'a Problem,
    assignment: &'a Assignment,
    telescope: usize,
}

impl Resting<'_> {
    fn why(&self, slot: usize, sight: &Sight) -> WhyIdle {
        let at = &self.problem.telescopes[self.telescope];
        let shows = |target: &usize| (self.problem).is_showable(self.telescope, slot, *target);
        let can: Vec<usize> = (0..self.problem.targets.len()).filter(shows).collect();
        let free = can.iter().filter(|target| self.is_free(slot, **target));
        let free: Vec<usize> = free.copied().collect();
        if let Some(why) = sight.shut[slot] {
            why
        } else if slot < at.ready_from {
            WhyIdle::Aiming
        } else if !sight.is_anything_clear[slot] {
            WhyIdle::NothingClear
        } else if can.is_empty() {
            match sight.is_any_left[slot] {
                true => WhyIdle::LeftToBetter,
                false => WhyIdle::NothingShows,
            }
        } else if free.is_empty() {
            WhyIdle::Taken
        } else if free.iter().all(|target| !self.is_stay_free(slot, *target)) {
            WhyIdle::TooShort
        } else if at
            .repointings_at_most
            .is_some_and(|most| most < self.n_stays())
        {
            WhyIdle::NoMoreChanges
        } else {
            WhyIdle::NotWorthFinding
        }
    }

    /// It can be shown there, there is room for one more, and the telescope rests.
    fn is_free(&self, slot: usize, target: usize) -> bool {
        let shown = &self.assignment.shown;
        let n_on_it = shown.iter().filter(|of| of[slot] == Some(target)).count();
        shown[self.telescope][slot].is_none()
            && (self.problem).is_showable(self.telescope, slot, target)
            && n_on_it < self.problem.targets[target].room(slot)
    }

    /// A whole stay that holds the slot fits into the rest.
    fn is_stay_free(&self, slot: usize, target: usize) -> bool {
        let is_free = |slot: &usize| self.is_free(*slot, target);
        let after = (slot..self.problem.n_slots).take_while(is_free).count();
        let before = (0..slot).rev().take_while(is_free).count();
        self.problem.telescopes[self.telescope].stay_slots <= before + after
    }

    fn n_stays(&self) -> usize {
        let shown = &self.assignment.shown[self.telescope];
        let stays = shown.chunk_by(|a, b| a == b);
        stays.filter(|stay| stay[0].is_some()).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    /// Two telescopes, two targets, six slots, a stay of two: the reasons one after the other.
    #[test]
    fn each_reason_where_it_holds() {
        let (a, b, none) = ([50.0, 0.0], [50.0, 40.0], [0.0, 0.0]);
        let of = |rows: [[f64; 2]; 6]| TelescopeOptions {
            stay_slots: 2,
            repointings_at_most: Some(0),
            ..TelescopeOptions::unrestricted(rows.map(Vec::from).to_vec())
        };
        let problem = Problem {
            n_slots: 6,
            telescopes: vec![of([a; 6]), of([none, none, a, b, a, b])],
            targets: vec![TargetRules::ordinary(6); 2],
        };
        let assignment = Assignment {
            shown: vec![vec![Some(0); 6], vec![None; 6]],
            fallbacks: Vec::new(),
            total: 0.0,
            bound: 0.0,
            unmet: Vec::new(),
        };
        let sight = Sight {
            is_anything_clear: vec![false, true, true, true, true, true],
            is_any_left: vec![false, true, false, false, false, false],
            shut: vec![None; 6],
        };
        let found: Vec<_> = rests(&problem, &assignment, 1, &sight)
            .into_iter()
            .map(|rest| (rest.slots, rest.why))
            .collect();
        let want = [
            (0..1, WhyIdle::NothingClear),
            (1..2, WhyIdle::LeftToBetter),
            (2..3, WhyIdle::Taken),
            (3..4, WhyIdle::TooShort),
            (4..5, WhyIdle::Taken),
            (5..6, WhyIdle::TooShort),
        ];
        assert_eq!(found, want);
        assert_eq!(rests(&problem, &assignment, 0, &sight), []);
    }
}
