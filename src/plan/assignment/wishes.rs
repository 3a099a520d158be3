//! Which wishes can be met together; those that cannot are named, with the reason.

use crate::plan::assignment::Effort;
use crate::plan::assignment::answer::Unmet;
use crate::plan::assignment::answer::Why;
use crate::plan::assignment::answer::Wish;
use crate::plan::assignment::board::Board;
use crate::plan::assignment::board::Plan;
use crate::plan::assignment::exact::Search;
use crate::plan::assignment::problem::Problem;
use crate::plan::assignment::route::Ask;
use crate::plan::assignment::route::Prices;
use crate::plan::assignment::route::Walk;

/// The wishes granted: a board with them, a plan that meets them, and what was left out.
pub(super) struct Granted {
    pub board: Board,
    pub plan: Plan,
    pub unmet: Vec<Unmet>,
}

/// Share of the effort for one question whether wishes can be met together.
const A_QUESTION: u64 = 50;

/// Share of the effort for all of them.
const ALL_QUESTIONS: u64 = 2;

/// Grants wishes in the order telescopes, slots, then musts: each that can be met together with those before it.
pub(super) fn granted(problem: &Problem, effort: &mut Effort) -> Granted {
    let mut unmet = Vec::new();
    let possible = possible(problem, &mut unmet);
    let mut court = Court {
        problem,
        a_question: effort.steps / A_QUESTION,
        left: effort.steps / ALL_QUESTIONS,
    };
    let at_rest = vec![vec![None; problem.n_slots]; problem.telescopes.len()];
    let (wishes, plan) = match court.ask(&possible) {
        Ruling::Can(plan) => (possible, plan),
        _ => court.one_by_one(possible, at_rest, &mut unmet),
    };
    effort.steps -= (effort.steps / ALL_QUESTIONS).saturating_sub(court.left);
    unmet.sort_by_key(|unmet| unmet.wish);
    Granted {
        board: Board::new(problem, &wishes),
        plan,
        unmet,
    }
}

/// What search has to say to a set of wishes.
enum Ruling {
    /// This plan meets them.
    Can(Plan),
    /// No plan does.
    Cannot,
    /// Not found out.
    Unknown,
}

struct Court<'a> {
    problem: &'a Problem,
    a_question: u64,
    left: u64,
}

impl Court<'_> {
    fn ask(&mut self, wishes: &[Wish]) -> Ruling {
        if self.left == 0 && !wishes.is_empty() {
            return Ruling::Unknown;
        }
        let board = Board::new(self.problem, wishes).worthless();
        let effort = Effort {
            steps: self.a_question.min(self.left),
        };
        let mut search = Search::new(&board, None, effort);
        search.run();
        self.left = self.left.saturating_sub(search.steps());
        match (search.is_refuted(), search.into_best()) {
            (true, _) => Ruling::Cannot,
            (false, (Some(plan), _)) => Ruling::Can(plan),
            (false, (None, _)) => Ruling::Unknown,
        }
    }

    fn one_by_one(
        &mut self,
        possible: Vec<Wish>,
        at_rest: Plan,
        unmet: &mut Vec<Unmet>,
    ) -> (Vec<Wish>, Plan) {
        let mut kept: Vec<Wish> = Vec::new();
        let mut plan = at_rest;
        for wish in possible {
            kept.push(wish);
            // What the last plan does already needs no question, unless it cuts a stay of others short.
            match self.ask(&kept) {
                Ruling::Can(with) => {
                    plan = with;
                    continue;
                }
                Ruling::Cannot => {
                    kept.pop();
                    let with = self.adversaries(wish, &kept);
                    unmet.push(Unmet {
                        wish,
                        why: Why::Clashes { with },
                    });
                }
                Ruling::Unknown => {
                    kept.pop();
                    unmet.push(Unmet {
                        wish,
                        why: Why::NotFound,
                    });
                }
            }
        }
        (kept, plan)
    }

    /// Of the wishes kept, those without which there would be no clash, as far as it can be found out.
    fn adversaries(&mut self, wish: Wish, kept: &[Wish]) -> Vec<Wish> {
        let mut needed = kept.to_vec();
        for other in kept {
            let mut fewer: Vec<_> = needed.iter().filter(|w| *w != other).copied().collect();
            fewer.push(wish);
            if matches!(self.ask(&fewer), Ruling::Cannot) {
                needed.retain(|w| w != other);
            }
        }
        needed
    }
}

/// Wishes that can be met each for itself and, of one telescope, together.
fn possible(problem: &Problem, unmet: &mut Vec<Unmet>) -> Vec<Wish> {
    let mut possible = Vec::new();
    for telescope in 0..problem.telescopes.len() {
        for slot in 0..problem.n_slots {
            let Some(target) = problem.telescopes[telescope].wishes[slot] else {
                continue;
            };
            let wish = Wish::Fixed {
                telescope,
                slot,
                target,
            };
            possible.push(wish);
            if let Some(why) = obstacle(problem, &possible, wish) {
                possible.pop();
                unmet.push(Unmet { wish, why });
            }
        }
    }
    for target in (0..problem.targets.len()).filter(|target| problem.targets[*target].must) {
        let wish = Wish::Must { target };
        let can_be = problem.targets[target].at_once > 0
            && (0..problem.telescopes.len()).any(|telescope| {
                (0..problem.n_slots).any(|slot| problem.is_showable(telescope, slot, target))
            });
        match can_be {
            true => possible.push(wish),
            false => unmet.push(Unmet {
                wish,
                why: Why::NobodyCan,
            }),
        }
    }
    possible
}

/// Why a wish for a telescope, the last of these, cannot be met, its own earlier wishes and those of others for the
/// same target given.
fn obstacle(problem: &Problem, wishes: &[Wish], last: Wish) -> Option<Why> {
    let Wish::Fixed {
        telescope,
        slot,
        target,
    } = last
    else {
        return None;
    };
    let of = &problem.telescopes[telescope];
    if of.worth[slot][target] <= 0.0 {
        return Some(Why::CannotBeShown);
    }
    if of.blocked[slot] {
        return Some(Why::Blocked);
    }
    if slot < of.ready_from {
        return Some(Why::NotReady {
            ready_from: of.ready_from,
        });
    }
    let by: Vec<_> = (0..telescope)
        .filter(|telescope| {
            wishes.contains(&Wish::Fixed {
                telescope: *telescope,
                slot,
                target,
            })
        })
        .collect();
    if problem.targets[target].at_once <= by.len() {
        return Some(Why::Crowded { by });
    }
    let at_most = of.repointings_at_most?;
    let board = Board::new(problem, wishes);
    let ask = Ask {
        board: &board,
        telescope,
        limits: &board.limits()[telescope],
        prices: &Prices::none(&board),
        full: &[],
    };
    match Walk::default().route(&ask) {
        Some(_) => None,
        None => Some(Why::TooManyRepointings { at_most }),
    }
}
