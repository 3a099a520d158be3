//! How many telescopes may show one target at once.

use crate::plan::assignment::Problem;

/// One telescope, or a fifth of many: the steady anchor of the evening, but not all of it.
pub(super) fn most_on_the_moon(n_telescopes: usize) -> usize {
    (n_telescopes / 5).max(1)
}

/// What the organiser wants on several telescopes at once is shown on as many.
pub(super) fn make_room_for_wishes(problem: &mut Problem) {
    for slot in 0..problem.n_slots {
        for target in 0..problem.targets.len() {
            let wishes = problem.telescopes.iter().map(|it| it.wishes[slot]);
            let n_wanted = wishes.filter(|wish| *wish == Some(target)).count();
            let of = &mut problem.targets[target];
            if of.room(slot) < n_wanted {
                of.more_in.resize(problem.n_slots, 0);
                of.more_in[slot] = n_wanted - of.at_once;
            }
        }
    }
}
