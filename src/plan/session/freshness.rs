//! Whoever saw a target has little from seeing it again: worth falls along a stay, and a second stay on the same costs.

use crate::plan::assignment::{Crowd, Problem};

/// However many have seen it, it is worth so much of its points: more than a telescope at rest.
const LEAST_FRESH: f64 = 0.1;

/// A second telescope on a target, or a second stay, loses so much of what showing it all along would bring; less where targets
/// are few. The project's own choice.
const AGAIN_SHARE: f64 = 0.5;
const AGAIN_SHARE_OF_FEW: f64 = 0.2;

/// As lines fill by chance, a share exp(-n/V) of V visitors has not seen a target after n looks. Worths are whole tens already.
/// `are_few`: there are fewer targets than telescopes for a while.
pub(super) fn set_freshness(problem: &mut Problem, crowd: &Crowd, are_few: bool) {
    // Visitors who get their look in one slot of one telescope, of all that are there.
    let turnover = crowd.slot_s / crowd.look_s / f64::from(crowd.visitors.max(1));
    let fresh: Vec<f64> = (0..problem.n_slots)
        .map(|nth| (-(nth as f64) * turnover).exp())
        .map(|share| to_tenths(share).max(LEAST_FRESH))
        .collect();
    for target in 0..problem.targets.len() {
        let (worth, n_open) = at_its_best(problem, target);
        let of = &mut problem.targets[target];
        let share = match are_few {
            false => AGAIN_SHARE,
            true => AGAIN_SHARE_OF_FEW,
        };
        let is_anchor = crowd.anchor == Some(target);
        let n_free = match is_anchor {
            true => (0..problem.n_slots)
                .map(|slot| of.room(slot))
                .max()
                .unwrap_or(0),
            false => 1,
        };
        of.repeat_cost = vec![0.0; n_free];
        of.repeat_cost
            .push(to_tens(share * worth * fresh[..n_open].iter().sum::<f64>()));
        if !is_anchor {
            of.fresh = fresh.clone();
        }
    }
}

/// What a target is worth in the telescope that shows it best, the mean of the slots in which any does, and how many those are.
fn at_its_best(problem: &Problem, target: usize) -> (f64, usize) {
    let at_best = |slot: usize| {
        let worth = problem.telescopes.iter().map(|of| of.worth[slot][target]);
        worth.fold(0.0, f64::max)
    };
    let open = (0..problem.n_slots).map(at_best);
    let open: Vec<f64> = open.filter(|worth| 0.0 < *worth).collect();
    let mean = open.iter().sum::<f64>() / open.len().max(1) as f64;
    (mean, open.len())
}

/// Tens of points, as shares are tenths: totals then come in whole steps, which the proof that a plan is best uses.
pub(super) fn round(problem: &mut Problem) {
    let rows = (problem.telescopes.iter_mut()).flat_map(|telescope| &mut telescope.worth);
    for worth in rows.flatten().filter(|worth| 0.0 < **worth) {
        *worth = to_tens(*worth).max(10.0);
    }
}

fn to_tens(points: f64) -> f64 {
    10.0 * (points / 10.0).round()
}

fn to_tenths(share: f64) -> f64 {
    (10.0 * share).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    /// By hand: a tenth of the visitors a slot leaves 1, 0.905, 0.819, 0.741; all along is worth 100 times 3.4, half of it 170.
    #[test]
    fn a_tenth_of_the_visitors_a_slot() {
        let mut problem = Problem {
            n_slots: 4,
            telescopes: vec![TelescopeOptions::unrestricted(vec![vec![104.0, 96.0]; 4])],
            targets: vec![TargetRules::ordinary(4); 2],
        };
        round(&mut problem);
        let crowd = Crowd {
            visitors: 150,
            slot_s: 900.0,
            look_s: 60.0,
            pointing_s: vec![120.0],
            anchor: Some(1),
        };
        set_freshness(&mut problem, &crowd, false);
        let [target, anchor] = &problem.targets[..] else {
            panic!("two targets")
        };
        assert_eq!(target.fresh, [1.0, 0.9, 0.8, 0.7]);
        assert_eq!(target.repeat_cost, [0.0, 170.0]);
        assert!(anchor.fresh.is_empty());
    }
}
