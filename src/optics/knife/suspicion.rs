//! Looks for what may be wrong with readings that can be used.

use crate::optics::knife::bench::Bench;
use crate::optics::knife::tolerance::reading_tolerance_mm;
use crate::optics::knife::{CrossCheck, Doubt, ReadingErrorFrom, Reduction};
use crate::workshop::{KnifeSource, MirrorEdge};

impl Bench {
    pub(super) fn raise_doubts(
        &self,
        edge: MirrorEdge,
        rings_likely: f64,
        reduction: &mut Reduction,
    ) {
        let mut doubts = Vec::new();
        doubts.extend(self.doubt_of_edge(edge));
        doubts.extend(self.doubt_of_lamp(reduction.reading_error_mm));
        doubts.extend(self.doubt_of_scatter(reduction));
        if self.zones.len() == 2 {
            doubts.push(Doubt::TwoZones);
        } else if rings_likely > ALL_BUT_CERTAIN {
            doubts.push(Doubt::Rings);
        }
        doubts.extend(held_by_wider_intervals(reduction));
        reduction.doubts = doubts;
    }

    fn doubt_of_edge(&self, edge: MirrorEdge) -> Option<Doubt> {
        let last_mm = self.zones[self.zones.len() - 1].inner_mm;
        let hidden_share = 1.0 - last_mm / (self.mirror.aperture_mm / 2.0);
        match edge {
            MirrorEdge::Turned => Some(Doubt::EdgeTurned),
            MirrorEdge::NotLooked if hidden_share > WIDEST_OPEN_EDGE => {
                Some(Doubt::EdgeNotLookedAt { hidden_share })
            }
            _ => None,
        }
    }

    /// Only where the correction stands well above the reading error.
    fn doubt_of_lamp(&self, reading_error_mm: f64) -> Option<Doubt> {
        let correction_ratio = self.correction_ratio();
        if self.ideal_span_mm() < CLEAR_OF_ERROR * reading_error_mm {
            return None;
        }
        let other = match self.source {
            KnifeSource::Fixed => 0.5,
            KnifeSource::Moving => 2.0,
        };
        if (correction_ratio / other - 1.0).abs() < LAMP_RANGE {
            return Some(Doubt::OtherLamp { correction_ratio });
        }
        (correction_ratio < REVERSED).then_some(Doubt::ScaleReversed { correction_ratio })
    }

    fn doubt_of_scatter(&self, reduction: &Reduction) -> Option<Doubt> {
        let rim_mm = self.mirror.aperture_mm / 2.0;
        let tolerance_mm = reading_tolerance_mm(&self.mirror, self.source, rim_mm);
        let reading_error_mm = reduction.reading_error_mm;
        let is_measured = reduction.reading_error_from == ReadingErrorFrom::Repeats;
        (is_measured && reading_error_mm > tolerance_mm).then_some(Doubt::TooScattered {
            reading_error_mm,
            tolerance_mm,
        })
    }
}

/// Widens the intervals to hold the cross-checks, and says so.
fn held_by_wider_intervals(reduction: &mut Reduction) -> Option<Doubt> {
    let checks = [reduction.by_straight_lines, reduction.by_polynomial];
    let is_inside = |check: &CrossCheck| {
        let rms = reduction.wavefront_rms_nm;
        rms.low <= check.wavefront_rms_nm && check.wavefront_rms_nm <= rms.high
    };
    if checks.iter().all(is_inside) {
        return None;
    }
    for check in checks {
        reduction.wavefront_pv_nm.hold(check.wavefront_pv_nm);
        reduction.wavefront_rms_nm.hold(check.wavefront_rms_nm);
        reduction.strehl.hold(check.strehl);
    }
    Some(Doubt::WaysDisagree {
        wavefront_rms_nm: [
            reduction.wavefront_rms_nm.value,
            checks[0].wavefront_rms_nm,
            checks[1].wavefront_rms_nm,
        ],
    })
}

/// Beyond this, departures from every conic are taken as seen.
const ALL_BUT_CERTAIN: f64 = 0.95;

/// A window narrower than that share of the radius leaves no room for a turned edge to hide.
const WIDEST_OPEN_EDGE: f64 = 0.03;

/// How near to the other lamp's correction is suspicious. A mirror half way from sphere to
/// paraboloid falls into it; it is a question, not an error.
const LAMP_RANGE: f64 = 0.15;

/// Oblate mirrors read backward too, but never that far.
const REVERSED: f64 = -0.35;

/// Of the correction, in reading errors.
const CLEAR_OF_ERROR: f64 = 6.0;
