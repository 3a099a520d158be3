//! What visitors take home: sights, each new to them, as surely as it is seen and as much as it is loved.
//!
//! Looks fill by chance: after `n` looks at a target a share exp(-n/V) of V visitors has not seen it, whichever telescopes showed
//! it, and only they take something new home. Finding a target takes its minutes from the looks.

use crate::plan::assignment::Problem;

/// The evening as far as looks go.
#[derive(Clone, Copy)]
pub(super) struct Line {
    pub(super) visitors: u32,
    pub(super) slot_s: f64,
    /// With bringing the target back.
    pub(super) look_s: f64,
    pub(super) pointing_s: f64,
}

impl Line {
    /// Looks in one slot of a telescope: fewer in one in which the target has to be found.
    pub(super) fn looks(&self, is_found_anew: bool) -> f64 {
        let taken_s = if is_found_anew { self.pointing_s } else { 0.0 };
        (self.slot_s - taken_s).max(0.0) / self.look_s
    }

    /// Share of the visitors that has not seen a target after so many looks at it.
    pub(super) fn share_new(&self, looks: f64) -> f64 {
        (-looks / f64::from(self.visitors.max(1))).exp()
    }

    /// Of a plan, per visitor, in points of a look.
    pub(super) fn taken_home(&self, problem: &Problem, shown: &[Vec<Option<usize>>]) -> f64 {
        let mut looks = vec![0.0; problem.targets.len()];
        let mut total = 0.0;
        for slot in 0..problem.n_slots {
            for (telescope, path) in shown.iter().enumerate() {
                let Some(target) = path[slot] else { continue };
                let is_found_anew = slot == 0 || path[slot - 1] != Some(target);
                let n = self.looks(is_found_anew);
                total +=
                    self.gain(looks[target], n) * problem.telescopes[telescope].worth[slot][target];
                looks[target] += n;
            }
        }
        total
    }

    /// New sights per visitor in `n` looks more at a target that had `looks`.
    pub(super) fn gain(&self, looks: f64, n: f64) -> f64 {
        self.share_new(looks) - self.share_new(looks + n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::assignment::{TargetRules, TelescopeOptions};

    const LINE: Line = Line {
        visitors: 30,
        slot_s: 900.0,
        look_s: 60.0,
        pointing_s: 120.0,
    };

    /// By hand: 13 looks in the first slot and 15 in the next, among 30 visitors.
    #[test]
    fn who_has_seen_it_takes_nothing_new() {
        let problem = Problem {
            n_slots: 2,
            telescopes: vec![TelescopeOptions::unrestricted(vec![vec![100.0, 50.0]; 2])],
            targets: vec![TargetRules::ordinary(2); 2],
        };
        let home = |shown: [Option<usize>; 2]| LINE.taken_home(&problem, &[shown.to_vec()]);
        let seen_by = |looks: f64| 1.0 - (-looks / 30.0f64).exp();
        assert!((home([Some(0), Some(0)]) - 100.0 * seen_by(28.0)).abs() < 1e-9);
        assert!((home([Some(0), Some(1)]) - 150.0 * seen_by(13.0)).abs() < 1e-9);
        // To come back after a rest is no new sight.
        assert!((home([None, Some(0)]) - 100.0 * seen_by(13.0)).abs() < 1e-9);
    }
}
