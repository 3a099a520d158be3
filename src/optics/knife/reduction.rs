//! What readings come to.

use serde::Serialize;

use crate::optics::evidence::{Evidence, Interval};
use crate::optics::knife::doubt::Doubt;
use crate::optics::knife::repeats::ReadingErrorFrom;

/// What readings come to. Figures are over the mirror less the diagonal's shadow, weighted by
/// area.
#[derive(Debug, Clone, PartialEq)]
pub struct Reduction {
    /// The figures, and how surely.
    pub evidence: Evidence,
    /// As read, from the middle outward.
    pub zones: Vec<ZoneOutcome>,
    /// Stretches of the open mirror that no window shows, from the middle outward, mm.
    pub unread_mm: Vec<(f64, f64)>,
    /// The zone whose glass is farthest from the best paraboloid: index into `zones`.
    pub worst_zone_idx: usize,
    /// Strehl ratio if the ring were there that these windows would hide best.
    pub with_hidden_ring: HiddenRing,
    /// Of the paraboloid's departure, by a straight line through the readings.
    pub correction_ratio: f64,
    /// Standard error of a single reading, mm.
    pub reading_error_mm: f64,
    /// Where that is known from.
    pub reading_error_from: ReadingErrorFrom,
    /// The same readings by straight lines in r^2 from zone to zone.
    pub by_straight_lines: CrossCheck,
    /// The same readings by a low-order polynomial in r^2.
    pub by_polynomial: CrossCheck,
    /// What the reader has to know.
    pub doubts: Vec<Doubt>,
}

/// One window of the mask.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZoneOutcome {
    /// Inner edge, mm from the axis.
    pub inner_mm: f64,
    /// Outer edge, mm.
    pub outer_mm: f64,
    /// The radius that the readings belong to, mm.
    pub reading_radius_mm: f64,
    /// Mean of the readings, mm.
    pub reading_mm: f64,
    /// Mean of the readings less what a paraboloid would read, mm, the free constant chosen so that the
    /// largest `transverse_ratio` is smallest.
    pub residual_mm: f64,
    /// How large `residual_mm` may be, mm either way: at that, `transverse_ratio` is 1.
    pub tolerance_mm: f64,
    /// How far from the axis the zone's light passes at that focus, over the radius of the first
    /// dark ring; from the readings as they are. Danjon & Couder ask for at most 1.
    pub transverse_ratio: f64,
    /// Mean height of the glass over the window above the best paraboloid, nm: minus half the
    /// wavefront at the focus of least RMS.
    pub surface_nm: Interval,
    /// Mean height of the glass over the window above the best of the paraboloids that need no added glass, nm, at
    /// least 0: what would have to come off.
    pub remove_nm: f64,
}

impl ZoneOutcome {
    /// What a paraboloid would read there from the same zero, mm.
    pub fn wanted_mm(&self) -> f64 {
        self.reading_mm - self.residual_mm
    }

    /// There is glass too much.
    pub fn is_high(&self) -> bool {
        self.surface_nm.value > 0.0
    }
}

/// A ring as high as mirrors have them, where the readings would pass over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HiddenRing {
    /// Inside which window: index into the zones.
    pub zone_idx: usize,
    /// Of the mean wavefront with that ring.
    pub strehl: f64,
}

/// Figures by another way, without interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CrossCheck {
    /// Highest less lowest, nm.
    pub wavefront_pv_nm: f64,
    /// Root mean square, nm.
    pub wavefront_rms_nm: f64,
    /// At the focus that makes it highest.
    pub strehl: f64,
}

impl Reduction {
    /// Every zone that was read is within what is allowed.
    pub fn is_within_tolerance(&self) -> bool {
        self.zones.iter().all(|zone| zone.transverse_ratio <= 1.0)
    }

    /// The zone whose glass is farthest from the best paraboloid.
    pub fn worst_zone(&self) -> &ZoneOutcome {
        &self.zones[self.worst_zone_idx]
    }

    /// Why no verdict should be built on these readings, if so.
    pub fn bars_to_a_verdict(&self) -> impl Iterator<Item = &Doubt> {
        self.doubts.iter().filter(|doubt| doubt.bars_a_verdict())
    }
}
