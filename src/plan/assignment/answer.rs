//! The answer: who shows what when, how good that is, and what could not be had.

use serde::Serialize;

/// A plan that keeps every rule, and how far from the best it can be.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// By telescope, then by slot: the target; `None`: at rest.
    pub shown: Vec<Vec<Option<usize>>>,
    /// By telescope, then by slot: what to turn to when cloud covers the part of the sky the target stands in.
    /// `None` where nothing is shown or the telescope has no other target then.
    pub fallbacks: Vec<Vec<Option<Fallback>>>,
    /// Worth of all showings less the cost of all re-pointings and repeats.
    pub total: f64,
    /// No plan that keeps the rules and the wishes not named in [`Assignment::unmet`] has a larger total.
    pub bound: f64,
    /// Wishes that are not met, in the order telescopes, slots, targets.
    pub unmet: Vec<UnmetWish>,
}

impl Assignment {
    /// How much a better plan could gain at most, in the unit of worth; 0 where the plan is proven best (to one part
    /// in a thousand million).
    pub fn gap(&self) -> f64 {
        self.bound - self.total
    }

    /// No plan is better.
    pub fn is_proven_best(&self) -> bool {
        self.gap() <= 0.0
    }
}

/// What a telescope turns to under cloud; never the target it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fallback {
    /// Can be shown by this telescope in this slot.
    pub target: usize,
    /// How well it serves.
    pub refuge: Refuge,
}

/// How well a fallback serves, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Refuge {
    /// In another part of the sky, and no more telescopes on it than may be: counting those that keep it and
    /// those that flee from the same part.
    Elsewhere,
    /// In another part of the sky, but with more telescopes on it than wanted.
    Crowded,
    /// In the same part of the sky: good for a small cloud only.
    SamePart,
}

/// A wish of the organiser.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OrganiserWish {
    /// This telescope shows this target in this slot.
    Fixed {
        /// Which one.
        telescope: usize,
        /// When.
        slot: usize,
        /// What.
        target: usize,
    },
    /// This target is shown at least once.
    Must {
        /// Which one.
        target: usize,
    },
}

/// A wish that is not met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnmetWish {
    /// Which one.
    pub wish: OrganiserWish,
    /// And why not.
    pub why: WhyUnmet,
}

/// Why a wish is not met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyUnmet {
    /// Worth nothing on that telescope in that slot, or to be on no telescope at all.
    CannotBeShown,
    /// The telescope is blocked then.
    Blocked,
    /// The telescope is not ready yet.
    NotReady {
        /// First slot in which it is.
        ready_from: usize,
    },
    /// A must that no telescope can show in any slot, or that is to be on none.
    NobodyCan,
    /// As many telescopes as may show the target at once are wished on it already.
    Crowded {
        /// Those telescopes.
        by: Vec<usize>,
    },
    /// With the earlier wishes for this telescope it would be turned too often.
    TooManyRepointings {
        /// As many as it may.
        at_most: usize,
    },
    /// Proven: together with these wishes, which are met, no plan keeps all rules.
    Clashes {
        /// Enough of them for the clash.
        with: Vec<OrganiserWish>,
    },
    /// No plan that meets it with the others was found in the steps allowed; there may be one.
    NotFound,
}
