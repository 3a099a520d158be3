//! The search: prices first, then better plans among a few telescopes at a time, then branch and bound.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::plan::assignment::board::{ACCURACY, Board, Limits, Plan};
use crate::plan::assignment::effort::Effort;
use crate::plan::assignment::price::{Dual, Sweeps};
use crate::plan::assignment::repair::Repair;
use crate::plan::assignment::route::{Prices, Walk};

/// A search over one board, from the best plan known to a better one and a bound.
pub(super) struct Search<'a> {
    board: &'a Board,
    effort: Effort,
    walk: Walk,
    best: Best<'a>,
    bound: f64,
}

/// The best plan so far.
struct Best<'a> {
    board: &'a Board,
    plan: Option<Plan>,
    /// Its total; without a plan, less than any plan has.
    line: f64,
    n_offers: usize,
}

/// One decision of branching.
#[derive(Debug, Clone, Copy)]
struct Decision {
    telescope: usize,
    slot: usize,
    target: usize,
    is_shown: bool,
}

/// A part of all plans, still to be divided.
#[derive(Debug)]
struct Node {
    bound: f64,
    number: usize,
    decisions: Vec<Decision>,
    prices: Prices,
    next: Decision,
}

/// Sweeps over everything.
const AT_ROOT: usize = 400;

/// Sweeps over a few telescopes.
const AT_GROUP: usize = 30;

/// Sweeps over each part, from the prices of the part it was cut from.
const AT_NODE: usize = 30;

/// Share of the effort after which branching stops, to leave the rest for groups of three.
const FOR_REGROUPING: (u64, u64) = (3, 4);

/// Sweeps between two repairs.
const REPAIR_EVERY: usize = 5;

impl<'a> Search<'a> {
    /// A search that starts from a plan, if one is known.
    pub fn new(board: &'a Board, plan: Option<Plan>, effort: Effort) -> Self {
        let line = plan.as_ref().map(|plan| board.total(plan));
        Search {
            board,
            effort,
            walk: Walk::default(),
            bound: f64::INFINITY,
            best: Best {
                board,
                plan,
                line: line.unwrap_or(board.below_all()),
                n_offers: 0,
            },
        }
    }

    /// Searches until the best plan is proven or the effort is spent.
    pub fn run(&mut self) {
        let limits = self.board.limits();
        let mut root = self.dual(&limits, &Prices::none(self.board), AT_ROOT);
        self.bound = self.board.rounded(root.bound);
        if self.is_done() {
            return;
        }
        let before = self.best.line;
        self.improve(2);
        if before < self.best.line && !self.is_done() {
            let again = self.dual(&limits, &root.prices, AT_ROOT);
            if again.bound < root.bound {
                root = again;
            }
            self.bound = self.board.rounded(root.bound);
        }
        let all = self.effort;
        self.effort.steps = all.steps / FOR_REGROUPING.1 * FOR_REGROUPING.0;
        if !self.is_done() {
            self.branch(root);
        }
        self.effort = all;
        self.improve(3);
    }

    /// The root alone, for the bound.
    pub fn run_root(&mut self) {
        let limits = self.board.limits();
        let root = self.dual(&limits, &Prices::none(self.board), AT_ROOT);
        self.bound = self.board.rounded(root.bound);
    }

    /// The best plan, if any, and the bound: equal to its total where it is proven.
    pub fn into_best(self) -> (Option<Plan>, f64) {
        let is_proven = self.bound <= self.best.proof_line();
        let bound = if is_proven {
            self.best.line
        } else {
            self.bound
        };
        (self.best.plan, bound)
    }

    /// It is proven that no plan keeps the rules.
    pub fn is_refuted(&self) -> bool {
        self.best.plan.is_none() && self.bound <= self.best.proof_line()
    }

    /// Elementary steps spent.
    pub fn steps(&self) -> u64 {
        self.walk.steps
    }

    fn is_done(&self) -> bool {
        self.bound <= self.best.proof_line() || self.effort.steps <= self.walk.steps
    }

    fn dual(&mut self, limits: &[Limits], start: &Prices, n: usize) -> Dual {
        let best = &mut self.best;
        let most_steps = self.effort.steps;
        let mut offer = |paths: &Plan, prices: &Prices, walk: &mut Walk| {
            best.consider(limits, paths, prices, walk);
            match walk.steps < most_steps {
                true => best.proof_line(),
                false => f64::INFINITY,
            }
        };
        let sweeps = Sweeps {
            board: self.board,
            limits,
            start,
            n,
        };
        sweeps.dual(&mut self.walk, &mut offer)
    }

    /// Searches among each so many telescopes while the others keep to the plan.
    fn improve(&mut self, n_together: usize) {
        let Some(mut plan) = self.best.plan.clone() else {
            return;
        };
        for group in groups(self.board.rows.len(), n_together) {
            if self.is_done() {
                return;
            }
            let part = self.board.part(&group, &plan);
            let own = group.iter().map(|idx| plan[*idx].clone()).collect();
            let mut search = Search::new(&part, Some(own), Effort { steps: u64::MAX });
            search.run_small();
            self.walk.steps += search.walk.steps;
            for (idx, path) in group.iter().zip(search.best.plan.unwrap_or_default()) {
                plan[*idx] = path;
            }
            self.best.take(&plan);
        }
    }

    /// The root alone, and not for long.
    fn run_small(&mut self) {
        let limits = self.board.limits();
        let root = self.dual(&limits, &Prices::none(self.board), AT_GROUP);
        self.bound = self.board.rounded(root.bound);
    }

    /// Divides what is left where telescopes disagree, the part with the largest bound first.
    fn branch(&mut self, root: Dual) {
        let mut n_nodes = 0;
        let mut open = BinaryHeap::new();
        let limits = self.board.limits();
        let all = Node::new(self.board, &limits, Vec::new(), root, n_nodes);
        open.extend(all);
        while let Some(node) = open.pop() {
            self.bound = node.bound;
            if self.is_done() {
                return;
            }
            for is_shown in [true, false] {
                let mut decisions = node.decisions.clone();
                decisions.push(Decision {
                    is_shown,
                    ..node.next
                });
                let Some(limits) = limited(self.board, &decisions) else {
                    continue;
                };
                let mut dual = self.dual(&limits, &node.prices, AT_NODE);
                dual.bound = self.board.rounded(dual.bound).min(node.bound);
                n_nodes += 1;
                if self.best.proof_line() < dual.bound {
                    open.extend(Node::new(self.board, &limits, decisions, dual, n_nodes));
                }
            }
        }
        self.bound = self.best.line;
    }
}

impl Best<'_> {
    /// A bound no higher than this proves the plan.
    fn proof_line(&self) -> f64 {
        self.line + ACCURACY * self.line.abs().max(1.0)
    }

    fn consider(&mut self, limits: &[Limits], paths: &Plan, prices: &Prices, walk: &mut Walk) {
        if self.board.is_plan(paths) {
            self.take(paths);
        }
        self.n_offers += 1;
        if self.n_offers % REPAIR_EVERY != 1 {
            return;
        }
        let n_telescopes = limits.len();
        let mut order: Vec<_> = (0..n_telescopes).collect();
        if n_telescopes > 0 {
            order.rotate_left((self.n_offers / REPAIR_EVERY) % n_telescopes);
        }
        let mut repair = Repair {
            board: self.board,
            limits,
            walk,
        };
        if let Some(plan) = repair.plan(&order, prices) {
            self.take(&plan);
        }
    }

    fn take(&mut self, plan: &Plan) {
        let total = self.board.total(plan);
        if self.plan.is_none() || self.proof_line() < total {
            self.plan = Some(plan.clone());
            self.line = total;
        }
    }
}

impl Node {
    /// `None` if there is nothing to divide.
    fn new(
        board: &Board,
        limits: &[Limits],
        decisions: Vec<Decision>,
        dual: Dual,
        number: usize,
    ) -> Option<Self> {
        let next = next_decision(board, limits, &dual)?;
        Some(Node {
            bound: dual.bound,
            number,
            decisions,
            prices: dual.prices,
            next,
        })
    }
}

/// The showing that was asked for nearest to half the time; failing that, one of a crowd; failing that, any that
/// is still free to choose.
fn next_decision(board: &Board, limits: &[Limits], dual: &Dual) -> Option<Decision> {
    let demand = board.demand(&dual.paths);
    let mut best: Option<(f64, Decision)> = None;
    for (telescope, limits) in limits.iter().enumerate() {
        for slot in (0..board.n_slots).filter(|slot| limits.forced[*slot].is_none()) {
            for target in 0..board.n_targets {
                let at = slot * board.n_targets + target;
                if !limits.permitted[at] {
                    continue;
                }
                let share = dual.share[telescope * board.room.len() + at];
                let crowd = if board.room[at] < demand[at] {
                    0.01
                } else {
                    0.0
                };
                let score = share.min(1.0 - share).max(crowd);
                if best.as_ref().is_none_or(|(most, _)| *most < score) {
                    let decision = Decision {
                        telescope,
                        slot,
                        target,
                        is_shown: true,
                    };
                    best = Some((score, decision));
                }
            }
        }
    }
    best.map(|(_, decision)| decision)
}

/// The limits after some decisions and what follows from them; `None` if they cannot all hold.
fn limited(board: &Board, decisions: &[Decision]) -> Option<Vec<Limits>> {
    let mut limits = board.limits();
    for decision in decisions {
        let of = &mut limits[decision.telescope];
        let at = decision.slot * board.n_targets + decision.target;
        match decision.is_shown {
            true => of.force(decision.slot, decision.target, board.n_targets),
            false => of.permitted[at] = false,
        }
    }
    let forced: Plan = limits.iter().map(|limits| limits.forced.clone()).collect();
    let demand = board.demand(&forced);
    for (at, n) in demand.iter().enumerate().filter(|(_, n)| 0 < **n) {
        if board.room[at] < *n {
            return None;
        }
        if board.room[at] == *n {
            let (slot, target) = (at / board.n_targets, at % board.n_targets);
            let others = limits
                .iter_mut()
                .filter(|of| of.forced[slot] != Some(target));
            others.for_each(|of| of.permitted[at] = false);
        }
    }
    Some(limits)
}

/// All groups of this size, in order.
fn groups(n: usize, size: usize) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..size {
        let grown = groups.iter().flat_map(|group| {
            let from = group.last().map_or(0, |last| last + 1);
            (from..n).map(|next| group.iter().copied().chain([next]).collect())
        });
        groups = grown.collect();
    }
    groups
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Node {}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Node {
    /// Largest bound first; among equals the youngest, which is deepest.
    fn cmp(&self, other: &Self) -> Ordering {
        let by_bound = self.bound.total_cmp(&other.bound);
        by_bound.then(self.number.cmp(&other.number))
    }
}
