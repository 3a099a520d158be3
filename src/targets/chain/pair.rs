//! Two stars: how bright together, how far apart, and when nobody doubts that there are two.

use crate::eye::detect::Pattern;

/// Two stars.
pub(super) struct Stars {
    pub(super) separation_arcsec: f64,
    /// Above the air.
    pub(super) bright_mag: f64,
    /// Above the air.
    pub(super) faint_mag: f64,
}

impl Stars {
    /// Both together, above the air.
    pub(super) fn both_mag(&self) -> f64 {
        self.bright_mag - 2.5 * (1.0 + 10f64.powf(-0.4 * self.difference_mag())).log10()
    }

    /// To be told from one longish blob.
    pub(super) fn pattern(&self) -> Pattern {
        Pattern::Pair {
            separation_arcsec: self.separation_arcsec,
            difference_mag: self.difference_mag(),
        }
    }

    /// How clear of each other their images stand, each so wide: 0 touching, 1 beyond doubt.
    pub(super) fn clear_share(&self, image_arcsec: f64) -> f64 {
        smooth_share(self.separation_arcsec / image_arcsec, IMAGES_CLEAR)
    }

    fn difference_mag(&self) -> f64 {
        self.faint_mag - self.bright_mag
    }
}

/// Nothing of this kind parts closer stars, and the wings' asymptotes have no end at 0.
pub(super) const NEAREST_ARCSEC: f64 = 0.05;

/// From how many widths of an image apart two begin to stand clear of each other, and from how many
/// they do. An estimate: the first bright ring lies at 1.6 and is faint, the fourth at 4.7.
pub(in crate::targets) const IMAGES_CLEAR: (f64, f64) = (2.0, 6.0);

/// 0 below the first bound, 1 above the second, smooth between.
fn smooth_share(x: f64, (from, until): (f64, f64)) -> f64 {
    let t = ((x - from) / (until - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
