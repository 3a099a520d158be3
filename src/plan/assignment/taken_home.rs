//! What visitors take home: sights, each new to them, as surely as it is seen and as much as it is loved.
//!
//! Looks fill by chance: after `n` looks at a target a share exp(-n/V) of V visitors has not seen it, whichever telescopes showed
//! it, and only they take something new home. Finding a target takes its minutes from the looks.
//!
//! No walk over one telescope at a time prices that exactly, as each look makes all later ones staler. So the best plan by worth
//! is where this begins: each telescope in turn takes the path that adds most to what the others send home, until none
//! gains; once more from nothing, and from what each would choose slot by slot. What it comes to is never less than those.

use std::ops::Range;

use crate::plan::assignment::board::{Board, Cell, Path, Plan, stays};
use crate::plan::assignment::problem::Problem;
use crate::plan::assignment::repeats::Repeats;
use crate::plan::assignment::route::{Ask, Prices, Walk, is_legal};

/// The evening as far as looks go.
#[derive(Debug, Clone, PartialEq)]
pub struct Crowd {
    /// People, at least one.
    pub visitors: u32,
    /// Length of a slot.
    pub slot_s: f64,
    /// One look, with bringing the target back.
    pub look_s: f64,
    /// By telescope: what finding a target takes.
    pub pointing_s: Vec<f64>,
    /// A target that is as welcome to those who have seen it.
    pub anchor: Option<usize>,
}

impl Crowd {
    /// Of a plan, by telescope and slot: what one visitor takes home, in the unit of worth.
    pub fn taken_home(&self, problem: &Problem, shown: &[Vec<Option<usize>>]) -> f64 {
        let worth = |telescope: usize, slot: usize, target: usize| {
            problem.telescopes[telescope].worth[slot][target]
        };
        self.sum(problem.n_slots, problem.targets.len(), shown, worth)
    }

    fn sum(
        &self,
        n_slots: usize,
        n_targets: usize,
        shown: &[Path],
        worth: impl Fn(usize, usize, usize) -> f64,
    ) -> f64 {
        let mut looks = vec![0.0; n_targets];
        let mut total = 0.0;
        for slot in 0..n_slots {
            for (telescope, path) in shown.iter().enumerate() {
                let Some(target) = path[slot] else { continue };
                let n = self.looks_in(telescope, path, slot);
                total += self.gain(target, looks[target], n) * worth(telescope, slot, target);
                looks[target] += n;
            }
        }
        total
    }

    /// Fewer in a slot in which the target has to be found.
    fn looks_in(&self, telescope: usize, path: &Path, slot: usize) -> f64 {
        let is_found_anew = slot == 0 || path[slot - 1] != path[slot];
        self.looks(telescope, is_found_anew)
    }

    /// Looks in one slot of a telescope.
    pub fn looks(&self, telescope: usize, is_found_anew: bool) -> f64 {
        let taken_s = match is_found_anew {
            true => self.pointing_s[telescope],
            false => 0.0,
        };
        (self.slot_s - taken_s).max(0.0) / self.look_s
    }

    /// New sights a visitor in `n` looks more at a target that had `looks`.
    pub fn gain(&self, target: usize, looks: f64, n: f64) -> f64 {
        let visitors = f64::from(self.visitors.max(1));
        let share_new = |looks: f64| (-looks / visitors).exp();
        match self.anchor == Some(target) {
            true => share_new(0.0) - share_new(n),
            false => share_new(looks) - share_new(looks + n),
        }
    }
}

/// The plan that sends most home of those that keep the rules of the board and were found from this one, from nothing, and from
/// what each telescope would choose slot by slot.
pub(super) fn sent_home(board: &Board, crowd: &Crowd, plan: Plan) -> Plan {
    let home = Home { board, crowd };
    let nothing = vec![vec![None; board.n_slots]; board.rows.len()];
    let mut best = home.bettered(plan);
    let chosen = home.slot_by_slot();
    let starts = [nothing, chosen]
        .into_iter()
        .filter(|start| board.has_room(start));
    for start in starts {
        let found = home.bettered(start);
        if home.is_plan(&found) && home.total(&best) < home.total(&found) {
            best = found;
        }
    }
    best
}

struct Home<'a> {
    board: &'a Board,
    crowd: &'a Crowd,
}

/// What the others show now, and till when each keeps to it.
#[derive(Clone, Copy)]
struct Taken<'a> {
    now: &'a Path,
    busy_until: &'a [usize],
}

impl Taken<'_> {
    /// Telescopes known to be on a target in a slot that is not before this one.
    fn n_on(&self, target: usize, at: usize, slot: usize) -> usize {
        let each = self.now.iter().zip(self.busy_until);
        let on_it =
            each.filter(|(shown, until)| **shown == Some(target) && (at == slot || at < **until));
        on_it.count()
    }
}

/// Rounds over all telescopes: most evenings are content after three.
const MOST_ROUNDS: usize = 12;

/// A gain below this is none.
const LEAST_GAIN: f64 = 1e-6;

impl Home<'_> {
    fn total(&self, plan: &[Path]) -> f64 {
        let Board {
            n_slots, n_targets, ..
        } = *self.board;
        let worth = |telescope: usize, slot: usize, target: usize| {
            self.board.rows[telescope].worth[slot * n_targets + target]
        };
        self.crowd.sum(n_slots, n_targets, plan, worth)
    }

    fn is_plan(&self, plan: &Plan) -> bool {
        let mut each = plan.iter().enumerate();
        self.board.is_plan(plan) && each.all(|(idx, path)| is_legal(self.board, idx, path))
    }

    /// Each telescope in turn takes a better path while there is one.
    fn bettered(&self, mut plan: Plan) -> Plan {
        let mut walk = Walk::default();
        for _ in 0..MOST_ROUNDS {
            let mut has_gained = false;
            for telescope in 0..plan.len() {
                has_gained |= self.better(&mut plan, telescope, &mut walk);
            }
            if !has_gained {
                break;
            }
        }
        plan
    }

    /// Whoever may turn takes what sends most home then, and stays for the least stay.
    fn slot_by_slot(&self) -> Plan {
        let mut plan: Plan = vec![Vec::new(); self.board.rows.len()];
        let mut looks = vec![0.0; self.board.n_targets];
        let mut busy_until = vec![0; plan.len()];
        for slot in 0..self.board.n_slots {
            let before: Path = (plan.iter())
                .map(|path| path.last().copied().flatten())
                .collect();
            let mut now: Path = (0..plan.len())
                .map(|telescope| before[telescope].filter(|_| slot < busy_until[telescope]))
                .collect();
            for telescope in 0..plan.len() {
                if slot < busy_until[telescope] {
                    continue;
                }
                let taken = Taken {
                    now: &now,
                    busy_until: &busy_until,
                };
                let best = self.newest(&plan[telescope], telescope, taken, &looks);
                if let Some((target, end)) = best.filter(|it| Some(it.0) != before[telescope]) {
                    busy_until[telescope] = end;
                    now[telescope] = Some(target);
                } else {
                    now[telescope] = best.map(|(target, _)| target);
                }
            }
            for (telescope, target) in now.into_iter().enumerate() {
                plan[telescope].push(target);
                if let Some(target) = target {
                    looks[target] += self.crowd.looks_in(telescope, &plan[telescope], slot);
                }
            }
        }
        plan
    }

    /// What sends most home in that slot, and the slot before which a stay on it does not end.
    fn newest(
        &self,
        path: &Path,
        telescope: usize,
        taken: Taken,
        looks: &[f64],
    ) -> Option<(usize, usize)> {
        let slot = path.len();
        let row = &self.board.rows[telescope];
        let before = path.last().copied().flatten();
        let has_stays = (row.most_stays).is_none_or(|most| stays(path).count() < most);
        let cells = &row.cells[row.first_cell[slot]..row.first_cell[slot + 1]];
        let has_room = |at: usize, target: usize| {
            taken.n_on(target, at, slot) < self.board.room[at * self.board.n_targets + target]
        };
        let fits = |cell: &&Cell| match before == Some(cell.target) {
            true => has_room(slot, cell.target),
            false => {
                let mut stay = slot..cell.end;
                has_stays && cell.may_begin && stay.all(|at| has_room(at, cell.target))
            }
        };
        let gain = |cell: &Cell| {
            let n = self.crowd.looks(telescope, before != Some(cell.target));
            self.crowd.gain(cell.target, looks[cell.target], n) * row.worth[cell.at]
        };
        let best = (cells.iter().filter(fits)).max_by(|a, b| gain(a).total_cmp(&gain(b)));
        best.map(|cell| (cell.target, cell.end))
    }

    fn better(&self, plan: &mut Plan, telescope: usize, walk: &mut Walk) -> bool {
        let Some(path) = self.best_path(plan, telescope, walk) else {
            return false;
        };
        let before = (self.n_missing(plan), self.total(plan));
        let old = std::mem::replace(&mut plan[telescope], path);
        let after = (self.n_missing(plan), self.total(plan));
        let is_better =
            after.0 < before.0 || (after.0 == before.0 && before.1 + LEAST_GAIN < after.1);
        if !is_better {
            plan[telescope] = old;
        }
        is_better
    }

    fn n_missing(&self, plan: &[Path]) -> usize {
        self.board.missing(plan).count()
    }

    /// The path of one telescope that is best if each of its stays were all that it shows of that target.
    fn best_path(&self, plan: &Plan, telescope: usize, walk: &mut Walk) -> Option<Path> {
        let mut part = self.board.part(&[telescope], plan);
        let (n_slots, n_targets) = (part.n_slots, part.n_targets);
        let n = self.crowd.looks(telescope, false);
        let mut looks = vec![0.0; n_targets];
        for slot in 0..n_slots {
            self.count(plan, 0..telescope, slot, &mut looks);
            let worth = &mut part.rows[0].worth[slot * n_targets..][..n_targets];
            for (target, worth) in worth.iter_mut().enumerate() {
                *worth *= self.crowd.gain(target, looks[target], n);
            }
            self.count(plan, telescope + 1..plan.len(), slot, &mut looks);
        }
        for (target, fresh) in part.fresh.iter_mut().enumerate() {
            *fresh = self.fresh(telescope, target, n_slots);
        }
        part.repeats.fill(Repeats::default());
        part.rows[0].cost = 0.0;
        let full: Vec<bool> = part.room.iter().map(|room| *room == 0).collect();
        let limits = part.limits();
        let ask = Ask {
            board: &part,
            telescope: 0,
            limits: &limits[0],
            prices: &Prices::none(&part),
            full: &full,
        };
        walk.route(&ask).map(|route| route.path)
    }

    fn count(&self, plan: &Plan, telescopes: Range<usize>, slot: usize, looks: &mut [f64]) {
        for telescope in telescopes {
            let path = &plan[telescope];
            if let Some(target) = path[slot] {
                looks[target] += self.crowd.looks_in(telescope, path, slot);
            }
        }
    }

    /// By slot of a stay: its new sights over those of a first slot without finding.
    fn fresh(&self, telescope: usize, target: usize, n_slots: usize) -> Vec<f64> {
        let crowd = self.crowd;
        let first = crowd.gain(target, 0.0, crowd.looks(telescope, false));
        let mut looks = 0.0;
        let of_slot = |nth: usize| {
            let n = crowd.looks(telescope, nth == 0);
            let gain = crowd.gain(target, looks, n);
            looks += n;
            gain / first
        };
        (0..n_slots).map(of_slot).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    fn crowd() -> Crowd {
        Crowd {
            visitors: 30,
            slot_s: 900.0,
            look_s: 60.0,
            pointing_s: vec![120.0],
            anchor: None,
        }
    }

    /// By hand: 13 looks in the first slot and 15 in the next, among 30 visitors.
    #[test]
    fn who_has_seen_it_takes_nothing_new() {
        let problem = Problem {
            n_slots: 2,
            telescopes: vec![TelescopeOptions::unrestricted(vec![vec![100.0, 50.0]; 2])],
            targets: vec![TargetRules::ordinary(2); 2],
        };
        let home = |shown: [Option<usize>; 2]| crowd().taken_home(&problem, &[shown.to_vec()]);
        let seen_by = |looks: f64| 1.0 - (-looks / 30.0f64).exp();
        assert!((home([Some(0), Some(0)]) - 100.0 * seen_by(28.0)).abs() < 1e-9);
        assert!((home([Some(0), Some(1)]) - 150.0 * seen_by(13.0)).abs() < 1e-9);
        // To come back after a rest is no new sight.
        assert!((home([None, Some(0)]) - 100.0 * seen_by(13.0)).abs() < 1e-9);
    }
}
