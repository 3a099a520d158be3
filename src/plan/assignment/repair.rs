//! From what telescopes ask for to plans that keep every rule, and from plans to better ones.

use crate::plan::assignment::board::{Board, Limits, Path, Plan, showings};
use crate::plan::assignment::route::{Ask, Prices, Walk};

/// What every repair works with.
pub(super) struct Repair<'a> {
    pub board: &'a Board,
    pub limits: &'a [Limits],
    pub walk: &'a mut Walk,
}

impl Repair<'_> {
    /// One telescope after another in this order takes the best path left at these prices; then each looks
    /// again at true worth. `None` where somebody is left without a legal path.
    pub fn plan(&mut self, order: &[usize], prices: &Prices) -> Option<Plan> {
        let mut plan: Plan = vec![vec![None; self.board.n_slots]; self.board.rows.len()];
        let mut demand = self.reserved();
        for telescope in order {
            self.reserve(&mut demand, *telescope, false);
            let full = self.full(&demand);
            plan[*telescope] = self.route(*telescope, prices, &full)?;
            self.count(&mut demand, &plan[*telescope], true);
        }
        let missing: Vec<_> = self.board.missing(&plan).collect();
        for target in missing {
            self.squeeze_in(&mut plan, target)?;
        }
        self.polish(&mut plan);
        Some(plan)
    }

    /// Each telescope in turn takes the best path the others leave it, until nobody gains.
    pub fn polish(&mut self, plan: &mut Plan) {
        let mut n_content = 0;
        let n_telescopes = self.board.rows.len();
        let mut telescope = 0;
        while n_content < n_telescopes {
            match self.better_path(plan, telescope) {
                Some(path) => {
                    plan[telescope] = path;
                    n_content = 1;
                }
                None => n_content += 1,
            }
            telescope = (telescope + 1) % n_telescopes;
        }
    }

    fn better_path(&mut self, plan: &Plan, telescope: usize) -> Option<Path> {
        let others = self.without(plan, telescope);
        let full = self.full(&self.board.demand(&others));
        let path = self.route(telescope, &self.free(&others), &full)?;
        let mut better = others;
        better[telescope] = path;
        let gain = self.board.total(&better) - self.board.total(plan);
        let is_better = 1e-9 < gain && self.board.missing(&better).next().is_none();
        is_better.then(|| better.swap_remove(telescope))
    }

    /// Makes the telescope that loses least show a target that has to be shown.
    fn squeeze_in(&mut self, plan: &mut Plan, target: usize) -> Option<()> {
        let mut best: Option<(f64, Plan)> = None;
        let n_missing = self.board.missing(plan).count();
        for telescope in 0..self.board.rows.len() {
            let others = self.without(plan, telescope);
            let full = self.full(&self.board.demand(&others));
            let prices = self.free(&others);
            for slot in 0..self.board.n_slots {
                let at = slot * self.board.n_targets + target;
                if !self.limits[telescope].permitted[at] || full[at] {
                    continue;
                }
                let mut limits = self.limits[telescope].clone();
                limits.force(slot, target, self.board.n_targets);
                let ask = Ask {
                    board: self.board,
                    telescope,
                    limits: &limits,
                    prices: &prices,
                    full: &full,
                };
                let Some(route) = self.walk.route(&ask) else {
                    continue;
                };
                let mut with = others.clone();
                with[telescope] = route.path;
                let total = self.board.total(&with);
                let is_best = best.as_ref().is_none_or(|(most, _)| *most < total);
                if is_best && self.board.missing(&with).count() < n_missing {
                    best = Some((total, with));
                }
            }
        }
        *plan = best?.1;
        Some(())
    }

    fn route(&mut self, telescope: usize, prices: &Prices, full: &[bool]) -> Option<Path> {
        let ask = Ask {
            board: self.board,
            telescope,
            limits: &self.limits[telescope],
            prices,
            full,
        };
        self.walk.route(&ask).map(|route| route.path)
    }

    /// No prices but the true ones: what a stay costs after those of the others.
    fn free(&self, others: &Plan) -> Prices {
        let n_stays = self.board.n_stays(others);
        let repeats = self.board.repeats.iter().zip(n_stays);
        Prices {
            again: repeats.map(|(repeats, n)| repeats.step(n)).collect(),
            ..Prices::none(self.board)
        }
    }

    fn without(&self, plan: &Plan, telescope: usize) -> Plan {
        let mut others = plan.clone();
        others[telescope] = vec![None; self.board.n_slots];
        others
    }

    /// What is forced on telescopes, kept for them until it is their turn.
    fn reserved(&self) -> Vec<usize> {
        let mut demand = vec![0; self.board.room.len()];
        for telescope in 0..self.limits.len() {
            self.reserve(&mut demand, telescope, true);
        }
        demand
    }

    fn reserve(&self, demand: &mut [usize], telescope: usize, add: bool) {
        self.count(demand, &self.limits[telescope].forced, add);
    }

    fn count(&self, demand: &mut [usize], path: &Path, add: bool) {
        for (slot, target) in showings(path) {
            let n = &mut demand[slot * self.board.n_targets + target];
            *n = if add { *n + 1 } else { *n - 1 };
        }
    }

    fn full(&self, demand: &[usize]) -> Vec<bool> {
        let pairs = demand.iter().zip(&self.board.room);
        pairs.map(|(n, room)| room <= n).collect()
    }
}

impl Limits {
    /// In this slot this target and nothing else.
    pub fn force(&mut self, slot: usize, target: usize, n_targets: usize) {
        for other in (0..n_targets).filter(|other| *other != target) {
            self.permitted[slot * n_targets + other] = false;
        }
        self.forced[slot] = Some(target);
    }
}
