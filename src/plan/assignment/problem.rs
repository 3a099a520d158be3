//! What is asked: telescopes, targets, slots, and the rules between them.

use std::fmt;

/// A public session in numbers. Telescopes, slots and targets are counted from 0 in the order given.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Slots of equal length, in order.
    pub n_slots: usize,
    /// One to a dozen.
    pub telescopes: Vec<TelescopeOptions>,
    /// Some dozens.
    pub targets: Vec<TargetRules>,
}

/// What one telescope can show and how it may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeOptions {
    /// By slot, then by target: what visitors really see there and then, 0 to 1e6 in any unit. 0: cannot
    /// be shown (below the skyline, not in this telescope's class, unsafe).
    pub worth: Vec<Vec<f64>>,
    /// By slot: not to be used then.
    pub blocked: Vec<bool>,
    /// By slot: the target the organiser wants there.
    pub wishes: Vec<Option<usize>>,
    /// First slot in which it is cool and collimated.
    pub ready_from: usize,
    /// Least slots on one target.
    pub stay_slots: usize,
    /// Most changes of target over the session, the first pointing not counted; `None`: as many as pay.
    pub repointings_at_most: Option<usize>,
    /// What each of them takes from the total, 0 to 1e6 in the unit of worth.
    pub repointing_cost: f64,
}

/// What holds for one target whoever shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct TargetRules {
    /// Telescopes that may show it in the same slot.
    pub at_once: usize,
    /// By slot: how many more may then. Empty: none.
    pub more_in: Vec<usize>,
    /// Least slots a telescope stays on it.
    pub stay_slots: usize,
    /// To be shown at least once.
    pub must: bool,
    /// By slot: the number of the part of the sky it stands in, as one cloud would cover it.
    pub sky_part: Vec<usize>,
    /// By slot: where it stands, a unit vector in any frame that all share. Empty: not known.
    pub toward: Vec<[f64; 3]>,
    /// By slot of a stay, from its first: the share of its worth that is left there, 0 to 1; from the last entry on the last.
    /// Empty: all of it, however long the stay.
    pub fresh: Vec<f64>,
    /// By the number of other stays on it, whichever telescopes make them and when: what one more takes from the
    /// total, 0 to 1e6, never falling; from the last entry on the last. Empty: nothing.
    pub repeat_cost: Vec<f64>,
}

impl TelescopeOptions {
    /// A telescope ready from the start, never blocked, without wishes or limits.
    pub fn unrestricted(worth: Vec<Vec<f64>>) -> Self {
        let n_slots = worth.len();
        TelescopeOptions {
            worth,
            blocked: vec![false; n_slots],
            wishes: vec![None; n_slots],
            ready_from: 0,
            stay_slots: 1,
            repointings_at_most: None,
            repointing_cost: 0.0,
        }
    }
}

impl TargetRules {
    /// One telescope at a time, no least stay, always in part 0 of the sky, as welcome the tenth time as the first.
    pub fn ordinary(n_slots: usize) -> Self {
        TargetRules {
            at_once: 1,
            more_in: Vec::new(),
            stay_slots: 1,
            must: false,
            sky_part: vec![0; n_slots],
            toward: Vec::new(),
            fresh: Vec::new(),
            repeat_cost: Vec::new(),
        }
    }
}

impl TargetRules {
    /// Telescopes that may show it in that slot.
    pub fn room(&self, slot: usize) -> usize {
        self.at_once + self.more_in.get(slot).copied().unwrap_or(0)
    }
}

/// Nearer together than this two targets are lost to one cloud. The project's own choice.
const CLOUD_DEG: f64 = 25.0;

/// Largest worth and cost: sums keep nine digits behind the unit.
const LARGEST: f64 = 1e6;

/// A table that does not fit the problem it stands in.
#[derive(Debug, Clone, PartialEq)]
pub enum Misfit {
    /// A table of a telescope has not one entry a slot (or, inside `worth`, one a target).
    TelescopeTable {
        /// Whose.
        telescope: usize,
        /// Its field.
        table: &'static str,
        /// Entries found.
        found: usize,
        /// Entries wanted.
        wanted: usize,
    },
    /// `sky_part` of a target has not one entry a slot.
    SkyPart {
        /// Whose.
        target: usize,
        /// Entries found.
        found: usize,
        /// Entries wanted.
        wanted: usize,
    },
    /// `more_in` of a target has neither no entry nor one a slot.
    MoreIn {
        /// Whose.
        target: usize,
        /// Entries found.
        found: usize,
        /// Entries wanted.
        wanted: usize,
    },
    /// A share that is no number from 0 to 1.
    Share {
        /// Whose.
        target: usize,
        /// As given.
        found: f64,
    },
    /// A repeat cost that is no number from 0 to 1e6, or less than the one before.
    RepeatCost {
        /// Whose.
        target: usize,
        /// As given.
        found: f64,
    },
    /// A worth or a cost that is no number from 0 to 1e6.
    Number {
        /// Whose.
        telescope: usize,
        /// Its field.
        table: &'static str,
        /// As given.
        found: f64,
    },
    /// A wish for a target that does not exist.
    UnknownTarget {
        /// Whose wish.
        telescope: usize,
        /// When.
        slot: usize,
        /// What was wished.
        found: usize,
        /// How many targets there are.
        n_targets: usize,
    },
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Misfit::TelescopeTable {
                telescope,
                table,
                found,
                wanted,
            } => write!(
                f,
                "telescope {telescope}: `{table}` has {found} entries, {wanted} are needed"
            ),
            Misfit::SkyPart {
                target,
                found,
                wanted,
            } => write!(
                f,
                "target {target}: `sky_part` has {found} entries, {wanted} are needed"
            ),
            Misfit::MoreIn {
                target,
                found,
                wanted,
            } => write!(
                f,
                "target {target}: `more_in` has {found} entries, {wanted} or none are needed"
            ),
            Misfit::Share { target, found } => write!(
                f,
                "target {target}: `fresh` holds {found}; a number from 0 to 1 is needed"
            ),
            Misfit::RepeatCost { target, found } => write!(
                f,
                "target {target}: `repeat_cost` holds {found}; numbers from 0 to {LARGEST} that do not fall are needed"
            ),
            Misfit::Number {
                telescope,
                table,
                found,
            } => write!(
                f,
                "telescope {telescope}: `{table}` holds {found}; a number from 0 to {LARGEST} is needed"
            ),
            Misfit::UnknownTarget {
                telescope,
                slot,
                found,
                n_targets,
            } => write!(
                f,
                "telescope {telescope}, slot {slot}: target {found} is wished, but there are only {n_targets}, \
                 counted from 0"
            ),
        }
    }
}

impl std::error::Error for Misfit {}

impl Problem {
    /// Whether the telescope can show the target in the slot at all, wishes and other telescopes aside.
    pub fn is_showable(&self, telescope: usize, slot: usize, target: usize) -> bool {
        let at = &self.telescopes[telescope];
        at.is_usable(slot) && 0.0 < at.worth[slot][target]
    }

    /// Whether one cloud would cover both: they stand in one part of the sky, or near each other on both sides of its rim.
    pub fn is_under_one_cloud(&self, slot: usize, one: usize, other: usize) -> bool {
        let [one, other] = [one, other].map(|target| &self.targets[target]);
        let toward = (one.toward.get(slot)).zip(other.toward.get(slot));
        let cosine = toward.map(|(a, b)| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>());
        one.sky_part[slot] == other.sky_part[slot]
            || cosine.is_some_and(|cosine| CLOUD_DEG.to_radians().cos() < cosine)
    }

    /// The longer of telescope's and target's, at least one.
    pub(super) fn stay_slots(&self, telescope: usize, target: usize) -> usize {
        let of_telescope = self.telescopes[telescope].stay_slots;
        of_telescope.max(self.targets[target].stay_slots).max(1)
    }

    /// Whether all tables have the right lengths and legal numbers.
    pub(super) fn check(&self) -> Result<(), Misfit> {
        for (idx, target) in self.targets.iter().enumerate() {
            let found = target.more_in.len();
            if found != self.n_slots && found != 0 {
                return Err(Misfit::MoreIn {
                    target: idx,
                    found,
                    wanted: self.n_slots,
                });
            }
            let found = target.sky_part.len();
            if found != self.n_slots {
                return Err(Misfit::SkyPart {
                    target: idx,
                    found,
                    wanted: self.n_slots,
                });
            }
            let is_share = |share: &f64| (0.0..=1.0).contains(share);
            if let Some(found) = target.fresh.iter().copied().find(|share| !is_share(share)) {
                return Err(Misfit::Share { target: idx, found });
            }
            let mut before = 0.0;
            for found in target.repeat_cost.iter().copied() {
                if !(before..=LARGEST).contains(&found) {
                    return Err(Misfit::RepeatCost { target: idx, found });
                }
                before = found;
            }
        }
        let mut telescopes = self.telescopes.iter().enumerate();
        telescopes.try_for_each(|(idx, telescope)| self.check_telescope(idx, telescope))
    }

    /// Whether a plan fits the problem, whatever of it can be shown.
    pub(super) fn check_planned(&self, planned: &[Vec<Option<usize>>]) -> Result<(), Misfit> {
        let length = |telescope: usize, found: usize, wanted: usize| match found == wanted {
            true => Ok(()),
            false => Err(Misfit::TelescopeTable {
                telescope,
                table: "planned",
                found,
                wanted,
            }),
        };
        length(0, planned.len(), self.telescopes.len())?;
        let n_targets = self.targets.len();
        for (telescope, path) in planned.iter().enumerate() {
            length(telescope, path.len(), self.n_slots)?;
            let unknown = |shown: &Option<usize>| shown.is_some_and(|target| n_targets <= target);
            if let Some(slot) = path.iter().position(unknown) {
                return Err(Misfit::UnknownTarget {
                    telescope,
                    slot,
                    found: path[slot].unwrap_or_default(),
                    n_targets,
                });
            }
        }
        Ok(())
    }

    fn check_telescope(&self, idx: usize, telescope: &TelescopeOptions) -> Result<(), Misfit> {
        let length = |table: &'static str, found: usize, wanted: usize| match found == wanted {
            true => Ok(()),
            false => Err(Misfit::TelescopeTable {
                telescope: idx,
                table,
                found,
                wanted,
            }),
        };
        let number = |table: &'static str, found: f64| match (0.0..=LARGEST).contains(&found) {
            true => Ok(()),
            false => Err(Misfit::Number {
                telescope: idx,
                table,
                found,
            }),
        };
        length("worth", telescope.worth.len(), self.n_slots)?;
        length("blocked", telescope.blocked.len(), self.n_slots)?;
        length("wishes", telescope.wishes.len(), self.n_slots)?;
        number("repointing_cost", telescope.repointing_cost)?;
        for row in &telescope.worth {
            length("worth", row.len(), self.targets.len())?;
            row.iter().try_for_each(|worth| number("worth", *worth))?;
        }
        let n_targets = self.targets.len();
        for (slot, wish) in telescope.wishes.iter().enumerate() {
            if let Some(found) = wish.filter(|found| n_targets <= *found) {
                return Err(Misfit::UnknownTarget {
                    telescope: idx,
                    slot,
                    found,
                    n_targets,
                });
            }
        }
        Ok(())
    }
}

impl TelescopeOptions {
    /// Ready and not blocked.
    pub(super) fn is_usable(&self, slot: usize) -> bool {
        self.ready_from <= slot && !self.blocked[slot]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fine() -> Problem {
        Problem {
            n_slots: 2,
            telescopes: vec![TelescopeOptions::unrestricted(vec![vec![1.0, 0.0]; 2])],
            targets: vec![TargetRules::ordinary(2); 2],
        }
    }

    #[track_caller]
    fn check(spoil: impl Fn(&mut Problem), want: &str) {
        let mut problem = fine();
        spoil(&mut problem);
        let misfit = problem.check().expect_err("does not fit");
        assert_eq!(misfit.to_string(), want);
    }

    #[test]
    fn misfits_are_named() {
        assert_eq!(fine().check(), Ok(()));
        check(
            |problem| problem.telescopes[0].worth[1].push(1.0),
            "telescope 0: `worth` has 3 entries, 2 are needed",
        );
        check(
            |problem| problem.telescopes[0].blocked.clear(),
            "telescope 0: `blocked` has 0 entries, 2 are needed",
        );
        check(
            |problem| problem.targets[1].sky_part.push(0),
            "target 1: `sky_part` has 3 entries, 2 are needed",
        );
        check(
            |problem| problem.targets[1].more_in = vec![1],
            "target 1: `more_in` has 1 entries, 2 or none are needed",
        );
        check(
            |problem| problem.targets[1].fresh = vec![1.0, 1.5],
            "target 1: `fresh` holds 1.5; a number from 0 to 1 is needed",
        );
        check(
            |problem| problem.targets[0].repeat_cost = vec![0.0, 2.0, 1.0],
            "target 0: `repeat_cost` holds 1; numbers from 0 to 1000000 that do not fall are needed",
        );
        check(
            |problem| problem.telescopes[0].worth[0][0] = f64::NAN,
            "telescope 0: `worth` holds NaN; a number from 0 to 1000000 is needed",
        );
        check(
            |problem| problem.telescopes[0].repointing_cost = -1.0,
            "telescope 0: `repointing_cost` holds -1; a number from 0 to 1000000 is needed",
        );
        check(
            |problem| problem.telescopes[0].wishes[1] = Some(2),
            "telescope 0, slot 1: target 2 is wished, but there are only 2, counted from 0",
        );
    }
}
