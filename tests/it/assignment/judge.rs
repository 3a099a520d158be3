//! The same problem as a mixed-integer linear program, for a solver that knows nothing of telescopes: another method
//! by other hands. It may take minutes where the search takes milliseconds. Knows no shares that fall and no costs of repeats:
//! for these see `judge_of_stays`.

use std::time::Duration;

use microlp::ComparisonOp::{Ge, Le};
use microlp::{OptimizationDirection, SolutionStatus, SolveOutcome, Variable};

use skyworthy::plan::assignment::{OrganiserWish, Problem};

use super::rules::may_show;

/// One telescope's showings, by slot and target.
type Row = Vec<Vec<Option<Variable>>>;

/// The best total with these wishes met; `None` if not proven in the time given or if there is no plan.
pub fn best_total(
    problem: &Problem,
    granted: &[OrganiserWish],
    time_limit: Duration,
) -> Option<f64> {
    let mut program = microlp::Problem::new(OptimizationDirection::Maximize);
    program.set_time_limit(time_limit);
    let rows: Vec<_> = (0..problem.telescopes.len())
        .map(|t| row(&mut program, problem, granted, t))
        .collect();
    for (k, target) in problem.targets.iter().enumerate() {
        for s in 0..problem.n_slots {
            let sum: Vec<_> = rows.iter().filter_map(|row| row[s][k]).collect();
            at_most(&mut program, &sum, target.room(s) as f64);
        }
    }
    for wish in granted {
        let any: Vec<_> = match *wish {
            OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            } => rows[telescope][slot][target].into_iter().collect(),
            OrganiserWish::Must { target } => {
                let slots = rows.iter().flatten();
                slots.filter_map(|targets| targets[target]).collect()
            }
        };
        let sum: Vec<_> = any.into_iter().map(|x| (x, 1.0)).collect();
        program.add_constraint(sum, Ge, 1.0);
    }
    match program.solve() {
        Ok(SolveOutcome::Solution(found)) if found.status() == SolutionStatus::Optimal => {
            Some(found.objective())
        }
        _ => None,
    }
}

fn row(
    program: &mut microlp::Problem,
    problem: &Problem,
    granted: &[OrganiserWish],
    t: usize,
) -> Row {
    let of = &problem.telescopes[t];
    let is_open = |s: usize, k: usize| may_show(problem, granted, t, s, k);
    let mut variables = |worth: &dyn Fn(usize, usize) -> f64| -> Vec<Vec<_>> {
        let mut slot = |s: usize| -> Vec<_> {
            (0..problem.targets.len())
                .map(|k| is_open(s, k).then(|| program.add_binary_var(worth(s, k))))
                .collect()
        };
        (0..problem.n_slots).map(&mut slot).collect()
    };
    let shown = variables(&|s, k| of.worth[s][k]);
    let begun = variables(&|_, _| -of.repointing_cost);
    let is_used = program.add_binary_var(of.repointing_cost);
    let all: Vec<_> = begun.iter().flatten().flatten().copied().collect();
    let mut used = vec![(is_used, -1.0)];
    used.extend(all.iter().map(|y| (*y, 1.0)));
    program.add_constraint(used, Ge, 0.0);
    if let Some(most) = of.repointings_at_most {
        at_most(program, &all, most as f64 + 1.0);
    }
    for s in 0..problem.n_slots {
        let sum: Vec<_> = shown[s].iter().flatten().copied().collect();
        at_most(program, &sum, 1.0);
        for k in 0..problem.targets.len() {
            let (Some(x), Some(y)) = (shown[s][k], begun[s][k]) else {
                continue;
            };
            // Shown now and not before: begun.
            let mut change = vec![(y, 1.0), (x, -1.0)];
            if let Some(before) = s.checked_sub(1).and_then(|before| shown[before][k]) {
                change.push((before, 1.0));
            }
            program.add_constraint(change, Ge, 0.0);
            // Begun not long ago: still shown.
            let stay = of.stay_slots.max(problem.targets[k].stay_slots).max(1);
            let has_time = (s..s + stay).all(|s| s < problem.n_slots && is_open(s, k));
            if !has_time && 0 < s && is_open(s - 1, k) {
                program.add_constraint([(y, 1.0)], Le, 0.0);
            }
            let mut recent = vec![(x, -1.0)];
            for from in (0..=s).rev().take(stay).map_while(|from| begun[from][k]) {
                recent.push((from, 1.0));
            }
            program.add_constraint(recent, Le, 0.0);
        }
    }
    shown
}

fn at_most(program: &mut microlp::Problem, sum: &[Variable], most: f64) {
    let terms: Vec<_> = sum.iter().map(|x| (*x, 1.0)).collect();
    if most < terms.len() as f64 {
        program.add_constraint(terms, Le, most);
    }
}
