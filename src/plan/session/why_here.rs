//! Why a telescope and no other shows a target: what each would have shown of it then.

use std::ops::Range;

use crate::plan::assignment::{Assignment, Problem};

/// Why this telescope. Telescopes and targets by their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Chosen {
    /// No other could show it then.
    Only,
    /// It shows it better than any other.
    Best,
    /// It shows it as well as any.
    AsGood,
    /// One that would show it better does not.
    BetterBusy {
        /// The one that would show it best.
        telescope: usize,
        /// What it shows meanwhile; `None`: it rests.
        with: Option<usize>,
    },
    /// One shows it better, and shows it too.
    Shared,
}

/// Whoever would bring this much more to the same turn would show it better: a tenth, as nobody notices less.
const BETTER: f64 = 1.1;

/// Of one stay. By what a look is worth in each telescope, on the mean of its slots.
pub(super) fn chosen(
    problem: &Problem,
    assignment: &Assignment,
    telescope: usize,
    target: usize,
    slots: Range<usize>,
) -> Chosen {
    let worth = |telescope: usize| -> f64 {
        let shows = |slot: &usize| problem.is_showable(telescope, *slot, target);
        let in_slots = slots.clone().filter(shows);
        in_slots
            .map(|slot| problem.telescopes[telescope].worth[slot][target])
            .sum()
    };
    let others = (0..problem.telescopes.len()).filter(|other| *other != telescope);
    let able: Vec<(usize, f64)> = (others.map(|other| (other, worth(other))))
        .filter(|(_, worth)| 0.0 < *worth)
        .collect();
    let best = able.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
    match best {
        None => Chosen::Only,
        Some((_, most)) if BETTER * most < worth(telescope) => Chosen::Best,
        Some((_, most)) if most <= BETTER * worth(telescope) => Chosen::AsGood,
        Some((better, _)) => {
            let mut shown = assignment.shown[better][slots].iter().flatten();
            match shown.clone().any(|shown| *shown == target) {
                true => Chosen::Shared,
                false => Chosen::BetterBusy {
                    telescope: better,
                    with: shown.next().copied(),
                },
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    #[test]
    fn each_reason_where_it_holds() {
        let of = |worth: [f64; 3]| TelescopeOptions::unrestricted(vec![worth.to_vec(); 2]);
        let problem = Problem {
            n_slots: 2,
            telescopes: vec![
                of([50.0, 40.0, 0.0]),
                of([54.0, 80.0, 0.0]),
                of([0.0, 20.0, 9.0]),
            ],
            targets: vec![TargetRules::ordinary(2); 3],
        };
        let assignment = Assignment {
            shown: vec![vec![Some(0); 2], vec![Some(0); 2], vec![Some(1); 2]],
            fallbacks: Vec::new(),
            total: 0.0,
            bound: 0.0,
            unmet: Vec::new(),
        };
        let chosen = |telescope, target| chosen(&problem, &assignment, telescope, target, 0..2);
        assert_eq!(chosen(2, 2), Chosen::Only);
        // 54 is no tenth more than 50; 80 is more than that.
        assert_eq!(chosen(0, 0), Chosen::AsGood);
        assert_eq!(chosen(1, 1), Chosen::Best);
        let on_the_other = Chosen::BetterBusy {
            telescope: 1,
            with: Some(0),
        };
        assert_eq!((chosen(0, 1), chosen(2, 1)), (on_the_other, on_the_other));
    }
}
