//! Which wishes can be met together; those that cannot are named, with the reason.

use crate::plan::assignment::answer::{OrganiserWish, UnmetWish, WhyUnmet};
use crate::plan::assignment::board::{Board, Plan};
use crate::plan::assignment::effort::Effort;
use crate::plan::assignment::exact::Search;
use crate::plan::assignment::problem::Problem;
use crate::plan::assignment::route::{Ask, Prices, Walk};

/// The wishes granted: a board with them, a plan that meets them, and what was left out.
pub(super) struct Granted {
    pub board: Board,
    pub plan: Plan,
    pub unmet: Vec<UnmetWish>,
}

/// One question whether wishes can be met together gets one part of the effort in so many.
const A_QUESTION: u64 = 50;

/// All of them get one in so many.
const ALL_QUESTIONS: u64 = 2;

/// Grants as many wishes as go together; where they do not all, those of earlier telescopes and slots first, then musts.
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
    fn ask(&mut self, wishes: &[OrganiserWish]) -> Ruling {
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

    /// Grants wishes one by one as long as one can be added. One refused may be granted later: a later wish for the same
    /// telescope can cut short the stay that was in the way.
    fn one_by_one(
        &mut self,
        mut pending: Vec<OrganiserWish>,
        at_rest: Plan,
        unmet: &mut Vec<UnmetWish>,
    ) -> (Vec<OrganiserWish>, Plan) {
        let mut kept = Vec::new();
        let mut plan = at_rest;
        loop {
            let mut refused = Vec::new();
            let n_kept = kept.len();
            for wish in pending {
                kept.push(wish);
                let why = match plain_clash(self.problem, &kept, wish) {
                    Some(why) => why,
                    None => match self.ask(&kept) {
                        Ruling::Can(with) => {
                            plan = with;
                            continue;
                        }
                        Ruling::Cannot => WhyUnmet::Clashes { with: Vec::new() },
                        Ruling::Unknown => WhyUnmet::NotFound,
                    },
                };
                kept.pop();
                refused.push(UnmetWish { wish, why });
            }
            if kept.len() == n_kept {
                for UnmetWish { wish, why } in &mut refused {
                    if let WhyUnmet::Clashes { with } = why {
                        *with = self.adversaries(*wish, &kept);
                    }
                }
                unmet.extend(refused);
                return (kept, plan);
            }
            pending = refused.into_iter().map(|unmet| unmet.wish).collect();
        }
    }

    /// Of the wishes kept, those without which there would be no clash, as far as can be found out.
    fn adversaries(&mut self, wish: OrganiserWish, kept: &[OrganiserWish]) -> Vec<OrganiserWish> {
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

/// Wishes that can be met, each for itself.
fn possible(problem: &Problem, unmet: &mut Vec<UnmetWish>) -> Vec<OrganiserWish> {
    let mut wishes = Vec::new();
    for (telescope, of) in problem.telescopes.iter().enumerate() {
        for (slot, wished) in of.wishes.iter().enumerate() {
            wishes.extend(wished.map(|target| OrganiserWish::Fixed {
                telescope,
                slot,
                target,
            }));
        }
    }
    let musts = (0..problem.targets.len()).filter(|target| problem.targets[*target].must);
    wishes.extend(musts.map(|target| OrganiserWish::Must { target }));
    wishes.retain(|wish| match obstacle(problem, *wish) {
        None => true,
        Some(why) => {
            unmet.push(UnmetWish { wish: *wish, why });
            false
        }
    });
    wishes
}

/// Why a wish could not be met even if it were the only one.
fn obstacle(problem: &Problem, wish: OrganiserWish) -> Option<WhyUnmet> {
    match wish {
        OrganiserWish::Fixed {
            telescope,
            slot,
            target,
        } => {
            let of = &problem.telescopes[telescope];
            let ready_from = of.ready_from;
            if of.worth[slot][target] <= 0.0 || problem.targets[target].room(slot) == 0 {
                Some(WhyUnmet::CannotBeShown)
            } else if of.blocked[slot] {
                Some(WhyUnmet::Blocked)
            } else if slot < ready_from {
                Some(WhyUnmet::NotReady { ready_from })
            } else {
                None
            }
        }
        OrganiserWish::Must { target } => {
            let can = |telescope: usize| {
                let mut slots =
                    (0..problem.n_slots).filter(|slot| 0 < problem.targets[target].room(*slot));
                slots.any(|slot| problem.is_showable(telescope, slot, target))
            };
            let somebody_can = (0..problem.telescopes.len()).any(can);
            (!somebody_can).then_some(WhyUnmet::NobodyCan)
        }
    }
}

/// Why a wish for a telescope clashes with others, where that is plain to see: its own too many, or those of others
/// for the same target and slot.
fn plain_clash(
    problem: &Problem,
    wishes: &[OrganiserWish],
    wish: OrganiserWish,
) -> Option<WhyUnmet> {
    let OrganiserWish::Fixed {
        telescope,
        slot,
        target,
    } = wish
    else {
        return None;
    };
    let is_on_it = |other: &usize| {
        *other != telescope
            && wishes.contains(&OrganiserWish::Fixed {
                telescope: *other,
                slot,
                target,
            })
    };
    let by: Vec<_> = (0..problem.telescopes.len()).filter(is_on_it).collect();
    if problem.targets[target].room(slot) <= by.len() {
        return Some(WhyUnmet::Crowded { by });
    }
    let at_most = problem.telescopes[telescope].repointings_at_most?;
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
        None => Some(WhyUnmet::TooManyRepointings { at_most }),
    }
}
