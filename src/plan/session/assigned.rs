//! The plan in indices: the best, or the nearest to one that is known; what is left out goes one target after the other.

use crate::plan::assignment::{Assignment, Crowd, Problem};
use crate::plan::session::ask::{Pin, Skip};
use crate::plan::session::assign::{Assigning, PointsTable, Solved};
use crate::plan::session::idle::{Rest, Sight, rests_of_all};
use crate::plan::session::impossible::Impossible;
use crate::targets::merit::Merit;

/// The plan in indices, and what could not be had.
pub(super) struct Assigned {
    pub(super) problem: Problem,
    pub(super) assignment: Assignment,
    pub(super) impossible: Vec<Impossible>,
    /// By telescope.
    pub(super) rests: Vec<Vec<Rest>>,
    /// By telescope.
    pub(super) sights: Vec<Sight>,
    /// What was planned and taken out again.
    pub(super) skipped: Vec<Skip>,
    pub(super) crowd: Crowd,
}

/// The plan that is asked for.
///
/// Where a plan is to be kept, what is left out is so from the start. Otherwise the evening is planned with all of it, and
/// then without one after the other as far as the plan shows them, each time keeping the plan before: one more left out changes
/// little, and what the plan does not show anyway changes nothing.
pub(super) fn assigned(assigning: &Assigning) -> Assigned {
    let mut points = assigning.points();
    let skips: Vec<(&Skip, (usize, usize))> = (assigning.settled.skips.iter())
        .filter_map(|skip| Some((skip, assigning.indices(&skip.telescope, &skip.target)?)))
        .collect();
    if let Some(pins) = assigning.settled.planned {
        for (_, out) in &skips {
            leave_out(&mut points, *out);
        }
        let solved = assigning.solved(&points, Some(&in_indices(assigning, pins)));
        return finished(assigning, solved, &points, Vec::new());
    }
    let mut solved = assigning.solved(&points, None);
    let mut skipped: Vec<Skip> = Vec::new();
    while let Some((skip, out)) = skips.iter().find(|(_, (telescope, target))| {
        solved.assignment.shown[*telescope].contains(&Some(*target))
    }) {
        leave_out(&mut points, *out);
        skipped.push((*skip).clone());
        solved = assigning.solved(&points, Some(&solved.assignment.shown));
    }
    finished(assigning, solved, &points, skipped)
}

fn leave_out(points: &mut PointsTable, (telescope, target): (usize, usize)) {
    for row in &mut points[telescope] {
        row[target] = Merit::NONE;
    }
}

/// By telescope and slot; what is no longer there is at rest.
fn in_indices(assigning: &Assigning, pins: &[Pin]) -> Vec<Vec<Option<usize>>> {
    let n_slots = assigning.slots.len();
    let mut planned = vec![vec![None; n_slots]; assigning.telescopes.len()];
    for pin in pins {
        if let Some((telescope, target)) = assigning.indices(&pin.telescope, &pin.target) {
            let slots = pin.slots.start.min(n_slots)..pin.slots.end.min(n_slots);
            planned[telescope][slots].fill(Some(target));
        }
    }
    planned
}

fn finished(
    assigning: &Assigning,
    solved: Solved,
    points: &PointsTable,
    skipped: Vec<Skip>,
) -> Assigned {
    let Solved {
        problem,
        assignment,
        mut impossible,
        crowd,
    } = solved;
    impossible.extend(assigning.unmet(&assignment));
    let telescopes = 0..assigning.telescopes.len();
    let sights: Vec<Sight> = telescopes.map(|idx| assigning.sight(idx, points)).collect();
    Assigned {
        rests: rests_of_all(&problem, &assignment, &sights),
        sights,
        problem,
        assignment,
        impossible,
        skipped,
        crowd,
    }
}
