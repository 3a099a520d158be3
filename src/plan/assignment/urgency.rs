//! Setting things first: a bonus on what will not be there later.

use crate::plan::assignment::problem::Problem;

/// Raises the worth of what a telescope loses before the session ends (it sets, or goes behind a wall), so that it is
/// shown while it still can be.
///
/// The worth in every slot is multiplied by `1 + bonus * lost`, where `lost` is the share of the session's slots after
/// the last in which that telescope can show the target. Among equals the one that goes first comes first; what
/// stays to the end, or what cannot be shown at all, is left as it was. `bonus` 0.5 makes a target that
/// is gone for half the session worth a quarter more. Totals are then in raised worth: keep the original to
/// say what visitors see.
pub fn setting_first(problem: &mut Problem, bonus: f64) {
    let n_slots = problem.n_slots;
    for telescope in &mut problem.telescopes {
        for target in 0..problem.targets.len() {
            let last = telescope.worth.iter().rposition(|row| 0.0 < row[target]);
            let Some(last) = last else { continue };
            let lost = (n_slots - 1 - last) as f64 / n_slots as f64;
            for row in &mut telescope.worth {
                row[target] *= 1.0 + bonus * lost;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions, assignment};

    #[test]
    fn what_sets_is_shown_while_it_can_be() {
        // Target 0 is there all the time and a little better; target 1 sets after the fourth of eight slots.
        let worth = |slot| vec![1.1, if slot < 4 { 1.0 } else { 0.0 }];
        let mut problem = Problem {
            n_slots: 8,
            telescopes: vec![TelescopeOptions::unrestricted((0..8).map(worth).collect())],
            targets: vec![TargetRules::ordinary(8); 2],
        };
        let before = assignment(&problem).expect("fits");
        assert_eq!(before.shown[0], [Some(0); 8]);
        setting_first(&mut problem, 0.5);
        assert_eq!(problem.telescopes[0].worth[0], [1.1, 1.25]);
        let after = assignment(&problem).expect("fits");
        let want = [1, 1, 1, 1, 0, 0, 0, 0].map(Some);
        assert_eq!(after.shown[0], want);
    }
}
