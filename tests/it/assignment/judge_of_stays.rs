//! The same problem once more as an integer program, a variable a stay: for shares that fall and costs of repeats, which a
//! variable a slot cannot tell. Middling sizes only, as there are many stays.

use std::time::Duration;

use microlp::ComparisonOp::{Ge, Le};
use microlp::{OptimizationDirection, SolutionStatus, SolveOutcome, Variable};

use skyworthy::plan::assignment::{OrganiserWish, Problem};

use super::rules::{fresh, may_show, repeat_cost};

/// One that a telescope may make, from the first slot to before the last.
struct Stay {
    telescope: usize,
    target: usize,
    from: usize,
    until: usize,
    is_made: Variable,
}

impl Stay {
    fn covers(&self, slot: usize) -> bool {
        (self.from..self.until).contains(&slot)
    }
}

/// The best total with these wishes met; `None` if not proven in the time given or if there is no plan.
pub fn best_total(
    problem: &Problem,
    granted: &[OrganiserWish],
    time_limit: Duration,
) -> Option<f64> {
    let mut program = microlp::Problem::new(OptimizationDirection::Maximize);
    program.set_time_limit(time_limit);
    let stays: Vec<Stay> = (0..problem.telescopes.len())
        .flat_map(|t| stays_of(&mut program, problem, granted, t))
        .collect();
    let all = |is_one: &dyn Fn(&Stay) -> bool| -> Vec<(Variable, f64)> {
        let ones = stays.iter().filter(|stay| is_one(stay));
        ones.map(|stay| (stay.is_made, 1.0)).collect()
    };
    for (t, of) in problem.telescopes.iter().enumerate() {
        for s in 0..problem.n_slots {
            program.add_constraint(all(&|stay| stay.telescope == t && stay.covers(s)), Le, 1.0);
        }
        let own = all(&|stay| stay.telescope == t);
        if let Some(most) = of.repointings_at_most {
            program.add_constraint(own.clone(), Le, most as f64 + 1.0);
        }
        // The first pointing costs nothing.
        let is_used = program.add_var(of.repointing_cost, (0.0, 1.0));
        let mut used = own;
        used.push((is_used, -1.0));
        program.add_constraint(used, Ge, 0.0);
    }
    for (k, target) in problem.targets.iter().enumerate() {
        for s in 0..problem.n_slots {
            let on_it = all(&|stay| stay.target == k && stay.covers(s));
            program.add_constraint(on_it, Le, target.room(s) as f64);
        }
        // One begun in the slot in which another ends would be one longer stay.
        for (t, s) in
            (0..problem.telescopes.len()).flat_map(|t| (0..problem.n_slots).map(move |s| (t, s)))
        {
            let meet = all(&|stay| {
                (stay.telescope, stay.target) == (t, k) && (stay.from == s || stay.until == s)
            });
            program.add_constraint(meet, Le, 1.0);
        }
        let mut on_it = all(&|stay| stay.target == k);
        let costs = (0..on_it.len()).map(|nth| repeat_cost(target, nth));
        // Never falling, so that the cheap ones fill first by themselves.
        let paid: Vec<_> = costs
            .map(|cost| program.add_var(-cost, (0.0, 1.0)))
            .collect();
        on_it.extend(paid.into_iter().map(|z| (z, -1.0)));
        program.add_constraint(on_it, Le, 0.0);
    }
    for wish in granted {
        let meets = match *wish {
            OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            } => all(&|stay| {
                (stay.telescope, stay.target) == (telescope, target) && stay.covers(slot)
            }),
            OrganiserWish::Must { target } => all(&|stay| stay.target == target),
        };
        program.add_constraint(meets, Ge, 1.0);
    }
    match program.solve() {
        Ok(SolveOutcome::Solution(found)) if found.status() == SolutionStatus::Optimal => {
            Some(found.objective())
        }
        _ => None,
    }
}

fn stays_of(
    program: &mut microlp::Problem,
    problem: &Problem,
    granted: &[OrganiserWish],
    t: usize,
) -> Vec<Stay> {
    let of = &problem.telescopes[t];
    let mut stays = Vec::new();
    for (target, rules) in problem.targets.iter().enumerate() {
        let is_open = |s: usize| s < problem.n_slots && may_show(problem, granted, t, s, target);
        let least = of.stay_slots.max(rules.stay_slots).max(1);
        for from in 0..problem.n_slots {
            let mut worth = 0.0;
            for until in from + 1..=problem.n_slots {
                if !is_open(until - 1) {
                    break;
                }
                worth += of.worth[until - 1][target] * fresh(rules, until - 1 - from);
                let has_no_more_time = !is_open(until) && (from == 0 || !is_open(from - 1));
                if least <= until - from || has_no_more_time {
                    stays.push(Stay {
                        telescope: t,
                        target,
                        from,
                        until,
                        is_made: program.add_binary_var(worth - of.repointing_cost),
                    });
                }
            }
        }
    }
    stays
}
