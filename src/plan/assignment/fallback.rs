//! What to turn to when cloud covers a part of the sky.

use crate::plan::assignment::answer::{Fallback, Refuge};
use crate::plan::assignment::board::Plan;
use crate::plan::assignment::problem::Problem;

/// By telescope and slot; see [`Refuge`] for what is preferred. Among refuges of one kind worth decides, then the
/// fallback of the slot before, then the lowest target.
pub(super) fn fallbacks(problem: &Problem, plan: &Plan) -> Vec<Vec<Option<Fallback>>> {
    let mut all = vec![vec![None; problem.n_slots]; problem.telescopes.len()];
    for slot in 0..problem.n_slots {
        for part in parts(problem, plan, slot) {
            let cloud = Cloud {
                problem,
                plan,
                slot,
                part,
                covered: covered(problem, plan, slot, part),
            };
            cloud.scatter(&mut all);
        }
    }
    all
}

/// Parts of the sky in which something is shown in a slot.
fn parts(problem: &Problem, plan: &Plan, slot: usize) -> Vec<usize> {
    let shown = plan.iter().filter_map(|path| path[slot]);
    let mut parts: Vec<_> = shown
        .map(|target| problem.targets[target].sky_part[slot])
        .collect();
    parts.sort_unstable();
    parts.dedup();
    parts
}

/// Targets in that part of the sky, and those so near to one shown there that the cloud over it covers them too.
fn covered(problem: &Problem, plan: &Plan, slot: usize, part: usize) -> Vec<bool> {
    let in_part = |target: &usize| problem.targets[*target].sky_part[slot] == part;
    let shown: Vec<usize> = (plan.iter().filter_map(|path| path[slot]))
        .filter(in_part)
        .collect();
    let is_covered = |target: usize| {
        let mut shown = shown.iter();
        in_part(&target) || shown.any(|it| problem.is_under_one_cloud(slot, *it, target))
    };
    (0..problem.targets.len()).map(is_covered).collect()
}

/// One part of the sky closed in one slot.
struct Cloud<'a> {
    problem: &'a Problem,
    plan: &'a Plan,
    slot: usize,
    part: usize,
    /// By target.
    covered: Vec<bool>,
}

impl Cloud<'_> {
    /// Finds a fallback for every telescope whose target is covered.
    ///
    /// As many as possible find room elsewhere: a telescope that finds none free may push another on to its next
    /// choice (augmenting paths, as in bipartite matching).
    fn scatter(&self, all: &mut [Vec<Option<Fallback>>]) {
        let covered: Vec<_> = (0..self.plan.len())
            .filter(|telescope| {
                self.target(*telescope)
                    .is_some_and(|on| self.is_covered(on))
            })
            .collect();
        let choices: Vec<_> = (0..self.plan.len())
            .map(|telescope| self.choices(telescope, all))
            .collect();
        let mut taken: Vec<Option<usize>> = vec![None; self.plan.len()];
        for telescope in &covered {
            let mut seen = vec![false; self.problem.targets.len()];
            self.place(*telescope, &choices, &mut taken, &mut seen);
        }
        // Those that only stand near have their answer by the cloud over their own part.
        let is_of_part = |telescope: &usize| {
            let own = self.target(*telescope);
            own.is_some_and(|own| self.problem.targets[own].sky_part[self.slot] == self.part)
        };
        for telescope in covered.into_iter().filter(is_of_part) {
            let place = |target, refuge| Fallback { target, refuge };
            let elsewhere = taken[telescope].map(|target| place(target, Refuge::Elsewhere));
            let crowded = || {
                choices[telescope]
                    .first()
                    .map(|target| place(*target, Refuge::Crowded))
            };
            let near = || {
                let near = self.ranked(telescope, all, |target| self.is_covered(target));
                near.first().map(|target| place(*target, Refuge::SamePart))
            };
            all[telescope][self.slot] = elsewhere.or_else(crowded).or_else(near);
        }
    }

    fn place(
        &self,
        telescope: usize,
        choices: &[Vec<usize>],
        taken: &mut [Option<usize>],
        seen: &mut [bool],
    ) -> bool {
        for target in &choices[telescope] {
            if std::mem::replace(&mut seen[*target], true) {
                continue;
            }
            let keepers = (0..self.plan.len()).filter(|t| self.target(*t) == Some(*target));
            let guests: Vec<_> = (0..taken.len())
                .filter(|guest| taken[*guest] == Some(*target))
                .collect();
            let room = self.problem.targets[*target].room(self.slot);
            let has_room = keepers.count() + guests.len() < room;
            let makes_room = |taken: &mut [Option<usize>], seen: &mut [bool]| {
                let mut guests = guests.iter();
                guests.any(|guest| self.place(*guest, choices, taken, seen))
            };
            if has_room || makes_room(taken, seen) {
                taken[telescope] = Some(*target);
                return true;
            }
        }
        false
    }

    /// What a telescope could show outside the cloud, best first.
    fn choices(&self, telescope: usize, all: &[Vec<Option<Fallback>>]) -> Vec<usize> {
        self.ranked(telescope, all, |target| !self.is_covered(target))
    }

    fn ranked(
        &self,
        telescope: usize,
        all: &[Vec<Option<Fallback>>],
        wanted: impl Fn(usize) -> bool,
    ) -> Vec<usize> {
        let mut found: Vec<_> = (0..self.problem.targets.len())
            .filter(|target| self.problem.is_showable(telescope, self.slot, *target))
            .filter(|target| self.target(telescope) != Some(*target) && wanted(*target))
            .collect();
        let worth = |target: usize| self.problem.telescopes[telescope].worth[self.slot][target];
        let before = self
            .slot
            .checked_sub(1)
            .and_then(|slot| all[telescope][slot]);
        let is_new = |target: usize| before.is_none_or(|before| before.target != target);
        // Stable: the lowest target first among equals.
        found.sort_by(|a, b| {
            let by_worth = worth(*b).total_cmp(&worth(*a));
            by_worth.then(is_new(*a).cmp(&is_new(*b)))
        });
        found
    }

    fn target(&self, telescope: usize) -> Option<usize> {
        self.plan[telescope][self.slot]
    }

    fn is_covered(&self, target: usize) -> bool {
        self.covered[target]
    }
}
