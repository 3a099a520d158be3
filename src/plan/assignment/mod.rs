//! # assignment: which telescope shows what in which slot
//!
//! Plain indices and numbers: knows no sky, no clock and no names. Who asks says what each showing is
//! [worth](Telescope::worth) and which rules hold ([`Problem`]); [`assignment`] answers with a plan, its total, a
//! bound that no plan exceeds, a fallback for every slot and every wish that had to be left unmet, with the reason.
//!
//! # Rules that hold in every plan
//!
//! * Nothing is shown that is worth 0 there, by a blocked telescope, or before a telescope is ready.
//! * A target is on no more telescopes at a time than [`Target::at_once`].
//! * A stay, the slots without a break that a telescope spends on one target, lasts at least the longer of
//!   [`Target::stay_slots`] and [`Telescope::stay_slots`]. It may be shorter only where the target cannot be shown in the
//!   next slot (it set, the telescope is blocked, the organiser wishes another target) or the session ends.
//! * A telescope begins at most one stay more than [`Telescope::repointings_at_most`]. To come back to a target after
//!   a slot without one is a re-pointing too: an undriven mount has lost it.
//! * [Wishes](Telescope::wishes) and [musts](Target::must) are met, but for those the answer names as unmet.
//!
//! # How
//!
//! Without the limit of telescopes a target every telescope could be planned alone, exactly, by a walk backwards
//! through the slots (`route`). So the limit is replaced by prices on crowded targets, which are moved until telescopes
//! demand no more than there is (`price`, a Lagrangian dual by subgradients): total worth at those prices bounds every
//! plan from above. What the telescopes ask for is repaired to plans (`repair`), better ones are looked for among a few
//! telescopes at a time, and branch and bound (`exact`) closes what is left. Work is limited by counted
//! steps, never by a clock: the same problem has the same answer everywhere.

mod problem;

mod answer;

mod urgency;

mod board;

mod route;

mod excess;

mod price;

mod repair;

mod exact;

mod wishes;

mod fallback;

use crate::plan::assignment::exact::Search;

pub use self::answer::Assignment;
pub use self::answer::Fallback;
pub use self::answer::Refuge;
pub use self::answer::Unmet;
pub use self::answer::Why;
pub use self::answer::Wish;
pub use self::problem::Misfit;
pub use self::problem::Problem;
pub use self::problem::Target;
pub use self::problem::Telescope;
pub use self::urgency::setting_first;

/// How much work may be spent: elementary steps, some hundreds of millions a second.
///
/// The default suffices to prove most sessions of ten telescopes, 24 slots and 25 targets, in well under a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Visits of one target in one slot by the planning of one telescope.
    pub steps: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Effort { steps: 250_000_000 }
    }
}

/// The best plan found with the usual [`Effort`]; an error only where the tables of the problem do not fit together.
pub fn assignment(problem: &Problem) -> Result<Assignment, Misfit> {
    assignment_within(problem, Effort::default())
}

/// As [`assignment`], with as much work as is said. However little that is, every rule holds in the answer;
/// wishes that could neither be met nor refuted within it are named as such.
pub fn assignment_within(problem: &Problem, effort: Effort) -> Result<Assignment, Misfit> {
    problem.check()?;
    let mut left = effort;
    let granted = wishes::granted(problem, &mut left);
    let mut search = Search::new(&granted.board, Some(granted.plan.clone()), left);
    search.run();
    let (plan, bound) = search.into_best();
    let plan = plan.unwrap_or(granted.plan);
    Ok(Assignment {
        total: granted.board.total(&plan),
        bound,
        fallbacks: fallback::fallbacks(problem, &plan),
        shown: plan,
        unmet: granted.unmet,
    })
}
