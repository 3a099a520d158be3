//! # assignment: which telescope shows what in which slot
//!
//! Plain indices and numbers: knows no sky, no clock and no names. Who asks says what each showing is
//! [worth](TelescopeOptions::worth) and which rules hold ([`Problem`]); [`assignment`] answers with a plan, its total, a
//! bound that no plan exceeds, a fallback for every slot and every wish that had to be left unmet, with the reason.
//!
//! # Rules that hold in every plan
//!
//! * Nothing is shown that is worth 0 there, by a blocked telescope, or before a telescope is ready.
//! * A target is on no more telescopes at a time than [its room](TargetRules::room).
//! * A stay, the slots without a break that a telescope spends on one target, lasts at least the longer of
//!   [`TargetRules::stay_slots`] and [`TelescopeOptions::stay_slots`]. It may be shorter only where there is no more time for it: the
//!   telescope can show the target neither in the slot before nor in the one after (below the skyline, blocked, the
//!   organiser wishes another target, the session begins or ends).
//! * A telescope begins at most one stay more than [`TelescopeOptions::repointings_at_most`]. To come back to a target after
//!   a slot without one is a re-pointing too: an undriven mount has lost it.
//! * [Wishes](TelescopeOptions::wishes) and [musts](TargetRules::must) are met, but for those the answer names as unmet.
//!
//! ```
//! use skyworthy::plan::assignment::{Problem, TargetRules, TelescopeOptions, assignment};
//!
//! // Two telescopes, three slots; target 0 sets after the second, target 1 stays.
//! let worth = |of_setting: f64, of_staying: f64| vec![
//!     vec![of_setting, of_staying],
//!     vec![of_setting, of_staying],
//!     vec![0.0, of_staying],
//! ];
//! let answer = assignment(&Problem {
//!     n_slots: 3,
//!     telescopes: vec![
//!         TelescopeOptions::unrestricted(worth(4.0, 2.0)),
//!         TelescopeOptions::unrestricted(worth(4.0, 4.0)),
//!     ],
//!     targets: vec![TargetRules::ordinary(3); 2],
//! })
//! .expect("tables that fit");
//! assert_eq!(answer.shown[0], [Some(0), Some(0), None]);
//! assert_eq!(answer.shown[1], [Some(1), Some(1), Some(1)]);
//! assert_eq!((answer.total, answer.gap()), (20.0, 0.0));
//! ```
//!
//! # How
//!
//! Without the limit of telescopes a target every telescope could be planned alone, exactly, by a walk backwards
//! through the slots (`route`). So the limit is replaced by prices on crowded targets, which are moved until
//! telescopes demand no more than there is (`price`, a Lagrangian dual by subgradients): total worth at those prices
//! bounds every plan from above. What repeats cost is priced likewise, one price a target. (Since a stay grows stale,
//! the walk goes over whole stays.) What the telescopes ask for is repaired to plans (`repair`), better ones are
//! looked for among a few telescopes at a time, and branch and bound (`exact`) closes what is left. Where a plan is known
//! that is to be kept as far as it can ([`assignment_kept`]), the same search goes over the telescopes that change. Work is limited by
//! counted steps, never by a clock: the same problem has the same answer everywhere.

mod problem;

mod answer;

mod effort;

mod urgency;

mod board;

mod repeats;

mod route;

mod excess;

mod price;

mod repair;

mod exact;

mod wishes;

mod fallback;

mod steady;

mod taken_home;

use crate::plan::assignment::exact::Search;

pub use self::answer::{Assignment, Fallback, OrganiserWish, Refuge, UnmetWish, WhyUnmet};
pub use self::effort::Effort;
pub use self::problem::{Misfit, Problem, TargetRules, TelescopeOptions};
pub use self::steady::{Steady, assignment_kept};
pub use self::taken_home::Crowd;
pub use self::urgency::setting_first;

/// The best plan found with the usual [`Effort`]; an error only where the tables of the problem do not fit together.
pub fn assignment(problem: &Problem) -> Result<Assignment, Misfit> {
    assignment_within(problem, Effort::default())
}

/// As [`assignment`], then bettered by what those visitors take home: total and bound stay those of worth, of which a plan that
/// sends more home may have less.
pub fn assignment_for(problem: &Problem, crowd: &Crowd) -> Result<Assignment, Misfit> {
    planned(problem, Effort::default(), Some(crowd))
}

/// As [`assignment`], with as much work as is said. However little that is, every rule holds in the answer;
/// wishes that could neither be met nor refuted within it are named as such.
pub fn assignment_within(problem: &Problem, effort: Effort) -> Result<Assignment, Misfit> {
    planned(problem, effort, None)
}

fn planned(problem: &Problem, effort: Effort, crowd: Option<&Crowd>) -> Result<Assignment, Misfit> {
    problem.check()?;
    let mut left = effort;
    let granted = wishes::granted(problem, &mut left);
    let mut search = Search::new(&granted.board, Some(granted.plan.clone()), left);
    search.run();
    let (plan, bound) = search.into_best();
    let mut plan = plan.unwrap_or(granted.plan);
    if let Some(crowd) = crowd {
        plan = taken_home::sent_home(&granted.board, crowd, plan);
    }
    Ok(Assignment {
        total: granted.board.total(&plan),
        bound,
        fallbacks: fallback::fallbacks(problem, &plan),
        shown: plan,
        unmet: granted.unmet,
    })
}
