//! The best plan of a small problem by trying all.

use skyworthy::plan::assignment::{OrganiserWish, Problem};

use super::rules;

type Path = Vec<Option<usize>>;

/// Every path of one telescope that breaks no rule.
fn paths(problem: &Problem, granted: &[OrganiserWish], telescope: usize) -> Vec<Path> {
    let mut all: Vec<Path> = vec![Vec::new()];
    for _ in 0..problem.n_slots {
        all = all
            .into_iter()
            .flat_map(|path| {
                let choices = [None]
                    .into_iter()
                    .chain((0..problem.targets.len()).map(Some));
                choices.map(move |choice| path.iter().copied().chain([choice]).collect())
            })
            .collect();
    }
    all.retain(|path| rules::broken_by_path(problem, granted, telescope, path).is_none());
    all
}

/// The largest total with these wishes met, or `None` if they cannot be.
pub fn best_total(problem: &Problem, granted: &[OrganiserWish]) -> Option<f64> {
    let by_telescope: Vec<_> = (0..problem.telescopes.len())
        .map(|telescope| paths(problem, granted, telescope))
        .collect();
    let mut best = None;
    try_all(problem, granted, &by_telescope, &mut Vec::new(), &mut best);
    best
}

fn try_all(
    problem: &Problem,
    granted: &[OrganiserWish],
    by_telescope: &[Vec<Path>],
    chosen: &mut Vec<Path>,
    best: &mut Option<f64>,
) {
    let musts_aside: Vec<_> = (granted.iter().copied())
        .filter(|wish| !matches!(wish, OrganiserWish::Must { .. }))
        .collect();
    if rules::broken_together(problem, &musts_aside, chosen).is_some() {
        return;
    }
    if chosen.len() == by_telescope.len() {
        if rules::broken_together(problem, granted, chosen).is_none() {
            let total = rules::total(problem, chosen);
            *best = Some(best.map_or(total, |best: f64| best.max(total)));
        }
        return;
    }
    for path in &by_telescope[chosen.len()] {
        chosen.push(path.clone());
        try_all(problem, granted, by_telescope, chosen, best);
        chosen.pop();
    }
}
