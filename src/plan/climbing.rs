//! Whether something stands clearly higher after an evening than at any time of it.

use crate::plan::watch::{BEST_STEP_DAYS, Watch};
use crate::sky::almanac::Span;
use crate::sky::track::Track;

/// A fist: who is told "higher later" has to see the difference.
const CLEARLY_HIGHER_DEG: f64 = 10.0;

impl Watch<'_> {
    /// Whether it climbs clearly higher, still open to view, after the end of what was asked for, where its best time is at
    /// that end. `open`: when it can be looked at, of the whole night.
    pub(super) fn is_still_climbing(
        &self,
        track: &Track,
        open: &[Span],
        within: Span,
        best: f64,
    ) -> bool {
        let is_cut_short = within.until_tt_days - best < BEST_STEP_DAYS;
        let altitude_deg = |at: f64| track.horizontal(self.almanac().place(), at).altitude_deg;
        let higher_deg = altitude_deg(best) + CLEARLY_HIGHER_DEG;
        let mut later = (open.iter().flat_map(|span| self.instants(*span)))
            .filter(|at| within.until_tt_days < *at);
        is_cut_short && later.any(|at| higher_deg <= altitude_deg(at))
    }
}
