//! The stay with which a want would best be met.

use crate::plan::assignment::Problem;

/// A stay that would meet a want.
pub(super) struct Run {
    pub(super) telescope: usize,
    pub(super) from: usize,
    pub(super) until: usize,
    pub(super) worth: f64,
}

/// The stay of the usual length, or the longest there is, that is worth most; other wants keep their slots.
pub(super) fn best_run(problem: &Problem, telescope: usize, target: usize) -> Option<Run> {
    let at = &problem.telescopes[telescope];
    let is_free =
        |slot: usize| problem.is_showable(telescope, slot, target) && at.wishes[slot].is_none();
    let run_from = |from: usize| {
        let end = (from + at.stay_slots.max(1)).min(problem.n_slots);
        let until = (from..end).find(|slot| !is_free(*slot)).unwrap_or(end);
        Run {
            telescope,
            from,
            until,
            worth: (from..until).map(|slot| at.worth[slot][target]).sum(),
        }
    };
    let runs = (0..problem.n_slots)
        .filter(|from| is_free(*from))
        .map(run_from);
    runs.max_by(|a, b| {
        let by_length = (a.until - a.from).cmp(&(b.until - b.from));
        // Of equals the first.
        by_length
            .then(a.worth.total_cmp(&b.worth))
            .then(b.from.cmp(&a.from))
    })
}
