//! A plan that is known already, kept as far as it can be: telescopes that have to change do, and at most one more.
//!
//! Whoever can go on as planned does; the others are planned anew among what that leaves them, and are rewarded for
//! every slot that stays as it was. Then each of those that could go on is tried once with them: the one whose change brings
//! most changes too, if that is more than a change costs.

use crate::plan::assignment::answer::Assignment;
use crate::plan::assignment::board::{Board, Plan, showings};
use crate::plan::assignment::effort::Effort;
use crate::plan::assignment::exact::Search;
use crate::plan::assignment::fallback;
use crate::plan::assignment::problem::{Misfit, Problem};
use crate::plan::assignment::route::is_legal;
use crate::plan::assignment::wishes;

/// A plan to be kept, and what changes cost.
#[derive(Debug, Clone, Copy)]
pub struct Steady<'a> {
    /// By telescope, then by slot: what was planned. What can no longer be shown may stand in it.
    pub planned: &'a [Vec<Option<usize>>],
    /// What it has to bring that a telescope changes which need not, 0 to 1e6 in the unit of worth.
    pub telescope_cost: f64,
    /// What a slot kept as planned is worth to a telescope that has to change, beside what it shows; likewise.
    pub slot_bonus: f64,
}

/// The best plan found that keeps to another as far as it can be kept; the [gap](Assignment::gap) is to the best of all plans,
/// kept or not. However little the effort, every rule holds in the answer. Where no telescope has to change, none does.
pub fn assignment_kept(
    problem: &Problem,
    steady: &Steady,
    effort: Effort,
) -> Result<Assignment, Misfit> {
    problem.check()?;
    problem.check_planned(steady.planned)?;
    let mut left = effort;
    let granted = wishes::granted(problem, &mut left);
    let (planned, bonus) = (steady.planned, steady.slot_bonus);
    let keeper = Keeper {
        board: &granted.board,
        rewarded: &granted.board.clone().rewarding(planned, bonus),
        steady: *steady,
        effort: Effort {
            steps: left.steps / (problem.telescopes.len() as u64 + 2),
        },
    };
    let plan = keeper
        .plan()
        .unwrap_or_else(|| keeper.all_anew(granted.plan));
    let mut best = Search::new(&granted.board, Some(plan.clone()), keeper.effort);
    best.run_root();
    Ok(Assignment {
        total: granted.board.total(&plan),
        bound: best.into_best().1,
        fallbacks: fallback::fallbacks(problem, &plan),
        shown: plan,
        unmet: granted.unmet,
    })
}

struct Keeper<'a> {
    board: &'a Board,
    /// The same where what was planned is worth more.
    rewarded: &'a Board,
    steady: Steady<'a>,
    /// For each question.
    effort: Effort,
}

impl Keeper<'_> {
    /// `None` where two telescopes more would have to change.
    fn plan(&self) -> Option<Plan> {
        let must = self.that_must();
        let first = self.changed(&must);
        match must.is_empty() && first.is_some() {
            true => first,
            false => self.one_more(&must, first.as_ref()).or(first),
        }
    }

    /// Telescopes that cannot go on as planned, by the rules or for want of room; of those that crowd a target the last.
    fn that_must(&self) -> Vec<usize> {
        let n_telescopes = self.board.rows.len();
        let mut room = self.board.room.clone();
        let mut must = Vec::new();
        for telescope in 0..n_telescopes {
            let path = &self.steady.planned[telescope];
            let at = |(slot, target): (usize, usize)| slot * self.board.n_targets + target;
            let has_room = showings(path).all(|showing| 0 < room[at(showing)]);
            match has_room && is_legal(self.board, telescope, path) {
                true => showings(path).for_each(|showing| room[at(showing)] -= 1),
                false => must.push(telescope),
            }
        }
        must
    }

    /// The best plan in which these change and the others go on; `None` where there is none.
    fn changed(&self, these: &[usize]) -> Option<Plan> {
        let mut plan = self.steady.planned.to_vec();
        if these.is_empty() {
            return self.board.is_plan(&plan).then_some(plan);
        }
        let part = self.rewarded.part(these, &plan);
        let mut search = Search::new(&part, None, self.effort);
        search.run();
        for (telescope, path) in these.iter().zip(search.into_best().0?) {
            plan[*telescope] = path;
        }
        Some(plan)
    }

    /// A better plan than `first`, if there is one, in which one telescope more changes.
    fn one_more(&self, must: &[usize], first: Option<&Plan>) -> Option<Plan> {
        let others = (0..self.board.rows.len()).filter(|telescope| !must.contains(telescope));
        let with = others.filter_map(|other| {
            let mut these = must.to_vec();
            these.push(other);
            these.sort_unstable();
            self.changed(&these)
        });
        let mut best = None;
        let mut line = first.map_or(f64::NEG_INFINITY, |first| self.value(first));
        for plan in with {
            let value = self.value(&plan);
            if line < value {
                (line, best) = (value, Some(plan));
            }
        }
        best
    }

    /// What a plan is worth with what it keeps and changes.
    fn value(&self, plan: &Plan) -> f64 {
        let pairs = plan.iter().zip(self.steady.planned);
        let n_changed = pairs.filter(|(now, before)| now != before).count();
        self.rewarded.total(plan) - self.steady.telescope_cost * n_changed as f64
    }

    fn all_anew(&self, granted: Plan) -> Plan {
        let mut search = Search::new(self.rewarded, Some(granted.clone()), self.effort);
        search.run();
        search.into_best().0.unwrap_or(granted)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions, assignment};

    const MUCH: Effort = Effort { steps: 10_000_000 };

    /// Three telescopes, three targets; the plan would turn round altogether for a point.
    fn round_table() -> Problem {
        let row = |worths: [f64; 3]| TelescopeOptions::unrestricted(vec![worths.to_vec(); 4]);
        Problem {
            n_slots: 4,
            telescopes: vec![
                row([9.0, 8.0, 1.0]),
                row([8.0, 8.0, 7.0]),
                row([1.0, 8.0, 8.0]),
            ],
            targets: vec![TargetRules::ordinary(4); 3],
        }
    }

    fn kept(problem: &Problem, planned: &[Vec<Option<usize>>], telescope_cost: f64) -> Assignment {
        let steady = Steady {
            planned,
            telescope_cost,
            slot_bonus: 1.0,
        };
        assignment_kept(problem, &steady, MUCH).expect("tables that fit")
    }

    #[test]
    fn nobody_changes_who_need_not() {
        let problem = round_table();
        let worst = [vec![Some(1); 4], vec![Some(0); 4], vec![Some(2); 4]];
        let answer = kept(&problem, &worst, 0.0);
        assert_eq!((answer.gap(), answer.total), (4.0, 96.0));
        assert_eq!(answer.shown, worst);
    }

    #[test]
    fn who_must_change_does_and_one_more_where_it_pays() {
        let mut problem = round_table();
        let best = assignment(&problem).expect("fits").shown;
        assert_eq!(best, [vec![Some(0); 4], vec![Some(1); 4], vec![Some(2); 4]]);
        for row in &mut problem.telescopes[0].worth {
            row[0] = 0.0;
        }
        // Alone, the first has nothing left; with the second on its target it can take that one's.
        let dear = kept(&problem, &best, 100.0);
        assert_eq!(
            dear.shown,
            [vec![None; 4], vec![Some(1); 4], vec![Some(2); 4]]
        );
        let cheap = kept(&problem, &best, 5.0);
        assert_eq!(
            cheap.shown,
            [vec![Some(1); 4], vec![Some(0); 4], vec![Some(2); 4]]
        );
        assert_eq!((cheap.total, cheap.gap()), (96.0, 0.0));
        assert_eq!((dear.total, dear.gap()), (64.0, 32.0));
    }

    /// A telescope that loses its second half keeps its first, though something a little better is free there.
    #[test]
    fn who_changes_keeps_what_it_can() {
        let row = |first: f64| vec![3.0, first, 0.0];
        let mut table = vec![row(3.5), row(3.5), row(0.0), row(0.0)];
        table[2][2] = 2.0;
        table[3][2] = 2.0;
        table[2][0] = 0.0;
        table[3][0] = 0.0;
        let problem = Problem {
            n_slots: 4,
            telescopes: vec![TelescopeOptions::unrestricted(table)],
            targets: vec![TargetRules::ordinary(4); 3],
        };
        let answer = kept(&problem, &[vec![Some(0); 4]], 0.0);
        assert_eq!(answer.shown[0], [Some(0), Some(0), Some(2), Some(2)]);
    }

    /// A must that only telescopes which could go on can meet is met.
    #[test]
    fn wishes_come_before_the_plan() {
        let mut problem = round_table();
        problem.targets.push(TargetRules {
            must: true,
            ..TargetRules::ordinary(4)
        });
        for (idx, telescope) in problem.telescopes.iter_mut().enumerate() {
            let last = if idx == 1 { 0.5 } else { 0.0 };
            telescope.worth.iter_mut().for_each(|row| row.push(last));
        }
        let planned = [vec![Some(0); 4], vec![Some(1); 4], vec![Some(2); 4]];
        let answer = kept(&problem, &planned, 100.0);
        assert_eq!(answer.unmet, []);
        assert!(answer.shown[1].contains(&Some(3)));
        assert_eq!(
            [&answer.shown[0], &answer.shown[2]],
            [&planned[0], &planned[2]]
        );
    }

    #[test]
    fn a_plan_of_another_size_is_refused() {
        let problem = round_table();
        let steady = Steady {
            planned: &[vec![Some(0); 4]],
            telescope_cost: 0.0,
            slot_bonus: 0.0,
        };
        assert!(assignment_kept(&problem, &steady, MUCH).is_err());
    }
}
