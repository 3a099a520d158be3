//! The problem laid out flat for the search, with the wishes that were granted built in.

use std::ops::Range;

use crate::plan::assignment::answer::OrganiserWish;
use crate::plan::assignment::problem::Problem;
use crate::plan::assignment::repeats::Repeats;

/// What one telescope shows, by slot.
pub(super) type Path = Vec<Option<usize>>;

/// The paths of all telescopes.
pub(super) type Plan = Vec<Path>;

/// Relative accuracy of totals and bounds: sums of a thousand terms in double precision are good to far better.
pub(super) const ACCURACY: f64 = 1e-9;

/// One telescope's row of the board.
#[derive(Debug, Clone)]
pub(super) struct TelescopeRow {
    /// By slot and target.
    pub worth: Vec<f64>,
    /// By slot and target: can be shown, and no wish stands against it.
    pub open: Vec<bool>,
    /// Its open showings, slot by slot.
    pub cells: Vec<Cell>,
    /// By slot, and one more: where its cells begin.
    pub first_cell: Vec<usize>,
    /// By slot: the wish.
    pub forced: Vec<Option<usize>>,
    /// Most stays; `None` where there may be as many as there are slots.
    pub most_stays: Option<usize>,
    /// Of each stay but the first.
    pub cost: f64,
}

/// One showing that is open to a telescope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub target: usize,
    /// Its place in tables by slot and target.
    pub at: usize,
    /// A stay can begin here: there is time for the least one, or it is all the time there is.
    pub may_begin: bool,
    /// The slot before which a stay begun here cannot end.
    pub end: usize,
}

/// The whole board.
#[derive(Debug, Clone)]
pub(super) struct Board {
    pub n_slots: usize,
    pub n_targets: usize,
    pub rows: Vec<TelescopeRow>,
    /// By slot and target: telescopes that may show it.
    pub room: Vec<usize>,
    /// By target: has to be shown.
    pub must: Vec<bool>,
    /// By target and slot of a stay: the share of its worth that is left.
    pub fresh: Vec<Vec<f64>>,
    /// By target: what a stay on it and another cost.
    pub repeats: Vec<Repeats>,
    /// By target: no more stays than this can be asked for, crowd or not.
    pub most_stays: Vec<usize>,
    /// All totals are whole multiples of this, where such a number is known.
    pub grain: Option<f64>,
}

/// What branching leaves of a row.
#[derive(Debug, Clone)]
pub(super) struct Limits {
    /// By slot and target.
    pub permitted: Vec<bool>,
    /// By slot: nothing else may be shown, and something has to be.
    pub forced: Vec<Option<usize>>,
}

impl Board {
    /// The board of a problem that fits, with these of its wishes; each must be possible for its telescope.
    pub fn new(problem: &Problem, granted: &[OrganiserWish]) -> Self {
        let mut forced = vec![vec![None; problem.n_slots]; problem.telescopes.len()];
        let mut must = vec![false; problem.targets.len()];
        for wish in granted {
            match *wish {
                OrganiserWish::Fixed {
                    telescope,
                    slot,
                    target,
                } => forced[telescope][slot] = Some(target),
                OrganiserWish::Must { target } => must[target] = true,
            }
        }
        let rows: Vec<_> = (forced.into_iter().enumerate())
            .map(|(telescope, forced)| row(problem, telescope, forced))
            .collect();
        let of_slot = |slot: usize| problem.targets.iter().map(move |target| target.room(slot));
        let room = (0..problem.n_slots).flat_map(of_slot).collect();
        let fresh: Vec<_> = (problem.targets.iter())
            .map(|target| fresh(&target.fresh, problem.n_slots))
            .collect();
        let repeats: Vec<_> = (problem.targets.iter())
            .map(|target| Repeats::new(&target.repeat_cost))
            .collect();
        Board {
            n_slots: problem.n_slots,
            n_targets: problem.targets.len(),
            grain: grain(&rows, &fresh, &repeats),
            fresh,
            repeats,
            most_stays: most_stays(&rows, problem.targets.len()),
            rows,
            room,
            must,
        }
    }

    /// The same rules where nothing is worth or costs anything: is there a plan at all?
    pub fn worthless(mut self) -> Self {
        for row in &mut self.rows {
            row.worth.fill(0.0);
            row.cost = 0.0;
        }
        self.repeats.fill(Repeats::default());
        self.grain = Some(1.0);
        self
    }

    /// The same rules where what a plan shows is worth more by that, in telescopes that can still show it.
    pub fn rewarding(mut self, planned: &[Path], bonus: f64) -> Self {
        for (row, path) in self.rows.iter_mut().zip(planned) {
            for (slot, target) in showings(path) {
                let at = slot * self.n_targets + target;
                if row.open[at] {
                    row.worth[at] += bonus;
                }
            }
        }
        self.grain = grain(&self.rows, &self.fresh, &self.repeats);
        self
    }

    /// The board of some of the telescopes while the others keep to the plan.
    pub fn part(&self, telescopes: &[usize], plan: &[Path]) -> Self {
        let mut part = Board {
            rows: telescopes
                .iter()
                .map(|idx| self.rows[*idx].clone())
                .collect(),
            ..self.clone()
        };
        for (idx, path) in plan.iter().enumerate() {
            if telescopes.contains(&idx) {
                continue;
            }
            for (slot, target) in showings(path) {
                part.room[slot * self.n_targets + target] -= 1;
                part.must[target] = false;
            }
            for (_, target) in stays(path) {
                part.repeats[target].after_one();
            }
        }
        part.most_stays = most_stays(&part.rows, part.n_targets);
        part
    }

    /// No limits but the board's own.
    pub fn limits(&self) -> Vec<Limits> {
        let limits = |row: &TelescopeRow| Limits {
            permitted: row.open.clone(),
            forced: row.forced.clone(),
        };
        self.rows.iter().map(limits).collect()
    }

    /// What a plan is worth less what its re-pointings and repeats cost.
    pub fn total(&self, plan: &[Path]) -> f64 {
        let pairs = self.rows.iter().zip(plan);
        let worth: f64 = pairs.map(|(row, path)| self.worth(row, path)).sum();
        let repeats = self.repeats.iter().zip(self.n_stays(plan));
        worth - repeats.map(|(repeats, n)| repeats.cost(n)).sum::<f64>()
    }

    /// Less than any plan is worth.
    pub fn below_all(&self) -> f64 {
        let turning = self.rows.iter().map(|row| row.cost * self.n_slots as f64);
        let repeats = self.repeats.iter().zip(&self.most_stays);
        let repeating = repeats.map(|(repeats, n)| repeats.cost(*n));
        -turning.sum::<f64>() - repeating.sum::<f64>() - 1.0
    }

    /// By target: stays of all telescopes.
    pub fn n_stays(&self, plan: &[Path]) -> Vec<usize> {
        let mut n_stays = vec![0; self.n_targets];
        for (_, target) in plan.iter().flat_map(stays) {
            n_stays[target] += 1;
        }
        n_stays
    }

    fn worth(&self, row: &TelescopeRow, path: &Path) -> f64 {
        let of_stay = |(slots, target): (Range<usize>, usize)| -> f64 {
            let worth = slots.map(|slot| row.worth[slot * self.n_targets + target]);
            let fresh = &self.fresh[target];
            worth.zip(fresh).map(|(worth, fresh)| worth * fresh).sum()
        };
        let shown: f64 = stays(path).map(of_stay).sum();
        let n_repointings = stays(path).count().saturating_sub(1);
        shown - row.cost * n_repointings as f64
    }

    /// Telescopes on each target, by slot and target.
    pub fn demand(&self, plan: &[Path]) -> Vec<usize> {
        let mut demand = vec![0; self.room.len()];
        for (slot, target) in plan.iter().flat_map(showings) {
            demand[slot * self.n_targets + target] += 1;
        }
        demand
    }

    /// Whether paths that are each legal make a plan together.
    pub fn is_plan(&self, paths: &[Path]) -> bool {
        self.has_room(paths) && self.missing(paths).next().is_none()
    }

    /// Whether no target is on more telescopes than may show it.
    pub fn has_room(&self, paths: &[Path]) -> bool {
        let demand = self.demand(paths);
        demand.iter().zip(&self.room).all(|(n, room)| n <= room)
    }

    /// Targets that have to be shown and are not.
    pub fn missing<'a>(&'a self, plan: &'a [Path]) -> impl Iterator<Item = usize> + 'a {
        let is_shown = |target| plan.iter().any(|path| path.contains(&Some(target)));
        (0..self.n_targets).filter(move |target| self.must[*target] && !is_shown(*target))
    }

    /// The largest total a plan under this bound can have.
    pub fn rounded(&self, bound: f64) -> f64 {
        let slack = ACCURACY * bound.abs().max(1.0);
        match self.grain {
            Some(grain) if bound.is_finite() => ((bound + slack) / grain).floor() * grain,
            _ => bound,
        }
    }
}

impl TelescopeRow {
    /// How many counts of stays are told apart: none yet, one, two ... or, without a limit, none yet and some.
    pub fn n_layers(&self) -> usize {
        self.most_stays.unwrap_or(1) + 1
    }

    /// The count after one stay more, or `None` if that is one too many.
    pub fn next_layer(&self, layer: usize) -> Option<usize> {
        match self.most_stays {
            None => Some(1),
            Some(most) => (layer < most).then_some(layer + 1),
        }
    }
}

/// Slots in which something is shown, and what.
pub(super) fn showings(path: &Path) -> impl Iterator<Item = (usize, usize)> + '_ {
    let slots = path.iter().enumerate();
    slots.filter_map(|(slot, target)| target.map(|target| (slot, target)))
}

/// Stays a path consists of: their slots, and on what.
pub(super) fn stays(path: &Path) -> impl Iterator<Item = (Range<usize>, usize)> + '_ {
    let mut from = 0;
    let runs = path.chunk_by(|a, b| a == b).map(move |run| {
        from += run.len();
        (from - run.len()..from, run[0])
    });
    runs.filter_map(|(slots, target)| Some((slots, target?)))
}

/// One entry a slot, whatever was given.
fn fresh(given: &[f64], n_slots: usize) -> Vec<f64> {
    let of_slot = |nth: usize| given.get(nth).or(given.last()).copied().unwrap_or(1.0);
    (0..n_slots).map(of_slot).collect()
}

fn most_stays(rows: &[TelescopeRow], n_targets: usize) -> Vec<usize> {
    let mut times = vec![0; n_targets];
    for cell in rows.iter().flat_map(|row| &row.cells) {
        times[cell.target] += 1;
    }
    times
}

fn row(problem: &Problem, telescope: usize, forced: Vec<Option<usize>>) -> TelescopeRow {
    let n_targets = problem.targets.len();
    let of = &problem.telescopes[telescope];
    let is_open = |slot: usize, target: usize| {
        problem.is_showable(telescope, slot, target)
            && forced[slot].is_none_or(|wished| wished == target)
    };
    let mut open = Vec::with_capacity(problem.n_slots * n_targets);
    for slot in 0..problem.n_slots {
        open.extend((0..n_targets).map(|target| is_open(slot, target)));
    }
    let most_stays = (of.repointings_at_most)
        .map(|most| most.saturating_add(1))
        .filter(|most| *most < problem.n_slots);
    TelescopeRow {
        worth: of.worth.concat(),
        cells: cells(&open, n_targets, |target| {
            problem.stay_slots(telescope, target)
        }),
        first_cell: first_cells(&open, n_targets, problem.n_slots),
        open,
        forced,
        most_stays,
        cost: of.repointing_cost,
    }
}

/// Where the cells of each slot begin, and where all end.
fn first_cells(open: &[bool], n_targets: usize, n_slots: usize) -> Vec<usize> {
    let n_before = |slot: usize| {
        open[..slot * n_targets]
            .iter()
            .filter(|open| **open)
            .count()
    };
    (0..=n_slots).map(n_before).collect()
}

/// The open showings, and what stays can begin with them.
fn cells(open: &[bool], n_targets: usize, stay_slots: impl Fn(usize) -> usize) -> Vec<Cell> {
    let is_open = |at: usize| open.get(at).copied().unwrap_or(false);
    let cell = |at: usize| {
        let target = at % n_targets;
        let least_end = at / n_targets + stay_slots(target);
        let is_first = at < n_targets || !open[at - n_targets];
        let mut end = at / n_targets;
        while end < least_end && is_open(end * n_targets + target) {
            end += 1;
        }
        Cell {
            target,
            at,
            may_begin: is_first || end == least_end,
            end,
        }
    };
    (0..open.len()).filter(|at| open[*at]).map(cell).collect()
}

/// Parts of the unit in which worths and shares are usually given.
const PARTS: f64 = 1000.0;

/// The largest number of which all totals are surely whole multiples, if worths, shares and costs are all whole thousandths.
fn grain(rows: &[TelescopeRow], fresh: &[Vec<f64>], repeats: &[Repeats]) -> Option<f64> {
    let worth = parts_of_all(rows.iter().flat_map(|row| &row.worth))?;
    let share = parts_of_all(fresh.iter().flatten())?;
    let turning = rows.iter().map(|row| &row.cost);
    let cost = parts_of_all(turning.chain(repeats.iter().flat_map(Repeats::steps)))?;
    // In millionths: what is shown comes in products of worth and share.
    let common = common_divisor(worth * share, cost * PARTS as u64);
    (common > 0).then(|| common as f64 / PARTS / PARTS)
}

/// In thousandths: the largest number of which all are whole multiples; 0 if all are 0.
fn parts_of_all<'a>(mut amounts: impl Iterator<Item = &'a f64>) -> Option<u64> {
    amounts.try_fold(0, |common, amount| {
        let parts = amount * PARTS;
        let is_whole = (parts - parts.round()).abs() <= ACCURACY * PARTS;
        is_whole.then(|| common_divisor(common, parts.round() as u64))
    })
}

fn common_divisor(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    #[track_caller]
    fn check(worth: &[f64], repointing_cost: f64, want: Option<f64>) {
        let problem = Problem {
            n_slots: 1,
            telescopes: vec![TelescopeOptions {
                repointing_cost,
                ..TelescopeOptions::unrestricted(vec![worth.to_vec()])
            }],
            targets: vec![TargetRules::ordinary(1); worth.len()],
        };
        assert_eq!(Board::new(&problem, &[]).grain, want, "{worth:?}");
    }

    #[test]
    fn totals_come_in_whole_grains() {
        check(&[1.0, 2.0, 4.0], 0.0, Some(1.0));
        check(&[2.0, 4.0, 0.0], 0.0, Some(2.0));
        check(&[1.0, 2.0, 4.0], 0.5, Some(0.5));
        check(&[0.3, 1.2], 0.0, Some(0.3));
        check(&[1.0 / 3.0, 1.0], 0.0, None);
        check(&[0.0], 0.0, None);
    }

    #[test]
    fn bounds_are_rounded_down_to_whole_grains() {
        let problem = Problem {
            n_slots: 1,
            telescopes: vec![TelescopeOptions::unrestricted(vec![vec![2.0]])],
            targets: vec![TargetRules::ordinary(1)],
        };
        let board = Board::new(&problem, &[]);
        assert_eq!(board.rounded(5.9), 4.0);
        assert_eq!(board.rounded(6.0 - 1e-12), 6.0);
        assert_eq!(board.rounded(f64::NEG_INFINITY), f64::NEG_INFINITY);
    }
}
