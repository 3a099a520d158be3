//! How long an answer may be worked at.

/// How much work may be spent: elementary steps, two to three hundred million a second in a release build.
///
/// The default is about two seconds of them. Evenings of ten telescopes, 24 slots and 25 targets with worths in
/// grades were all proven with a fraction of that; forty where worth falls along a stay came within 0.2 % of the bound in the
/// middle and 2.2 % at worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Visits of one target in one slot by the planning of one telescope.
    pub steps: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Effort { steps: 500_000_000 }
    }
}
