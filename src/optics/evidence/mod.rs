//! # evidence: what is known of a figure, and how surely
//!
//! Whatever was looked at leaves many mirrors that may as well have looked so. They are drawn, each goes through the same
//! arithmetic as a wavefront that is known, and what they come to is the interval of every figure: [`Evidence`]. Glass
//! that nobody read is among what is drawn, by a prior of what mirrors do there: it is no fact.

pub(in crate::optics) mod chance;

pub(in crate::optics) mod disc;

pub(in crate::optics) mod fault;

pub(in crate::optics) mod ensemble;

mod star;

pub mod bands_seen;

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

/// What is known of a figure. Figures are over the mirror less the diagonal's shadow, weighted by area.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
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
    /// Share of the paraboloid's departure from the sphere: 0 sphere, 1 paraboloid; of the primary spherical aberration
    /// in the wavefront over the open mirror.
    pub correction: Interval,
    /// Height of the glass at the rim over where the mirror inside would have gone on, nm: negative where the edge is turned
    /// down.
    pub rim_nm: Interval,
    /// Of the open area, what nobody read, 0 to 1.
    pub unread_area_share: f64,
    /// Of mirrors that may as well have looked so, lowest first.
    pub(in crate::optics) strehls: Vec<f64>,
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

impl Evidence {
    /// The mean wavefront, as the rest of optics takes it.
    pub fn wavefront(&self) -> Wavefront {
        let point = |p: &ProfilePoint| (p.radius_fraction, p.wavefront_nm);
        Wavefront::Profile(self.profile.iter().map(point).collect())
    }

    /// Of mirrors that may as well have looked so, the share whose Strehl ratio is below that.
    pub fn chance_below(&self, strehl: f64) -> f64 {
        let below = self.strehls.partition_point(|drawn| *drawn < strehl);
        below as f64 / self.strehls.len() as f64
    }

    /// A mirror without error is among those that the intervals hold.
    pub(in crate::optics) fn reach_perfection(&mut self) {
        self.wavefront_pv_nm.hold(0.0);
        self.wavefront_rms_nm.hold(0.0);
        self.strehl.hold(1.0);
    }
}

impl Interval {
    pub(in crate::optics) fn hold(&mut self, other: f64) {
        self.low = self.low.min(other);
        self.high = self.high.max(other);
    }
}
