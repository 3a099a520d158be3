//! What readings come to.

use serde::Serialize;

use crate::optics::knife::doubt::Doubt;
use crate::optics::knife::repeats::ReadingErrorFrom;
use crate::optics::wavefront::Wavefront;

/// A figure and what it may as well be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Of the mean wavefront.
    pub value: f64,
    /// The truth is below this one time in twenty.
    pub low: f64,
    /// The truth is above this one time in twenty.
    pub high: f64,
}

/// What readings come to. Figures are over the mirror less the diagonal's shadow, weighted by
/// area.
#[derive(Debug, Clone, PartialEq)]
pub struct Reduction {
    /// Wavefront from the middle to the rim at the focus of least RMS, positive where the path is
    /// too long (the glass low): every hundredth of the radius.
    pub profile: Vec<ProfilePoint>,
    /// Highest less lowest, at the focus of least RMS, nm.
    pub wavefront_pv_nm: Interval,
    /// Root mean square, at the focus of least RMS, nm.
    pub wavefront_rms_nm: Interval,
    /// Peak of a star's image over that of the same pupil without error, at the focus that makes
    /// it highest; spider vanes left out.
    pub strehl: Interval,
    /// As read, from the middle outward.
    pub zones: Vec<ZoneOutcome>,
    /// The zone whose glass is farthest from the best paraboloid: index into `zones`.
    pub worst_zone_idx: usize,
    /// Correction found over that of a paraboloid: 1 paraboloid, 0 sphere; a straight line through
    /// the readings.
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

/// One radius of the wavefront.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// 0 middle, 1 rim.
    pub radius_fraction: f64,
    /// Mean of what fits, nm.
    pub wavefront_nm: f64,
    /// Below this one time in twenty, nm.
    pub wavefront_low_nm: f64,
    /// Above this one time in twenty, nm.
    pub wavefront_high_nm: f64,
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
}

impl ZoneOutcome {
    /// There is glass too much.
    pub fn is_high(&self) -> bool {
        self.surface_nm.value > 0.0
    }
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
    /// The mean wavefront, as the rest of optics takes it.
    pub fn wavefront(&self) -> Wavefront {
        let point = |p: &ProfilePoint| (p.radius_fraction, p.wavefront_nm);
        Wavefront::Profile(self.profile.iter().map(point).collect())
    }

    /// The zone whose glass is farthest from the best paraboloid.
    pub fn worst_zone(&self) -> &ZoneOutcome {
        &self.zones[self.worst_zone_idx]
    }

    /// A mirror without error is among those that the intervals hold.
    pub(super) fn reach_perfection(&mut self) {
        self.wavefront_pv_nm.hold(0.0);
        self.wavefront_rms_nm.hold(0.0);
        self.strehl.hold(1.0);
    }

    /// Why no verdict should be built on these readings, if so.
    pub fn bars_to_a_verdict(&self) -> impl Iterator<Item = &Doubt> {
        self.doubts.iter().filter(|doubt| doubt.bars_a_verdict())
    }
}

impl Interval {
    pub(super) fn hold(&mut self, other: f64) {
        self.low = self.low.min(other);
        self.high = self.high.max(other);
    }
}
