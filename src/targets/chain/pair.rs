//! Two stars through air, telescope and eye: the fainter in the light of the brighter, and both as two.

use crate::constants::ARCSEC_PER_RAD;
use crate::eye::detect::Pattern;
use crate::eye::glare;
use crate::targets::chain::{Chain, DUSTY_MIRROR, Ground, Power};

/// Two stars.
pub(super) struct Stars {
    pub(super) separation_arcsec: f64,
    /// Above the air.
    pub(super) bright_mag: f64,
    /// Above the air.
    pub(super) faint_mag: f64,
}

impl Chain {
    /// Two stars. Both must be seen, the fainter in the light of the brighter; as long as their images
    /// touch, the eye must also tell the two from one longish star. Where the images stand clear
    /// nobody doubts that there are two, and seeing them is enough: day vision's index, which knows no
    /// dark-adapted eye, fades out.
    pub(super) fn pair_visibility(&self, power: &Power, stars: &Stars) -> f64 {
        let seen = self.companion_visibility(power, stars);
        let split = self.split_visibility(power, stars).min(seen);
        let image_arcsec = power.view.light_at_centre_per_arcsec2().sqrt().recip();
        let clear = smooth_share(stars.separation_arcsec / image_arcsec, IMAGES_CLEAR);
        split.powf(1.0 - clear) * seen.powf(clear)
    }

    /// Two images and not one: Barten's index of the pair against one longish blob.
    fn split_visibility(&self, power: &Power, stars: &Stars) -> f64 {
        let difference_mag = stars.faint_mag - stars.bright_mag;
        let both_mag = stars.bright_mag - 2.5 * (1.0 + 10f64.powf(-0.4 * difference_mag)).log10();
        let pattern = Pattern::Pair {
            separation_arcsec: stars.separation_arcsec,
            difference_mag,
        };
        let over_one_arcsec2_cd_m2 = glare::luminance_cd_m2(both_mag);
        self.pattern_visibility(power, (pattern, 1.0), over_one_arcsec2_cd_m2)
    }

    /// The fainter star as a point in the light of the brighter: its image's rings and halo, full of
    /// structure, and the even veils of dust and of the eye.
    fn companion_visibility(&self, power: &Power, stars: &Stars) -> f64 {
        let bright_lx = glare::illuminance_lx(stars.bright_mag) * self.through_air();
        let apart_arcsec = stars.separation_arcsec.max(NEAREST_ARCSEC);
        let at_eye = bright_lx * ARCSEC_PER_RAD.powi(2) * self.dimming(power);
        let beside_per_arcsec2 = power.view.light_beside_per_arcsec2(apart_arcsec);
        let image_cd_m2 = at_eye * beside_per_arcsec2;
        let dust = (DUSTY_MIRROR - 1.0) / DUSTY_MIRROR;
        let dust_cd_m2 = at_eye * dust * self.scattered_per_arcsec2(apart_arcsec);
        let ground = Ground {
            veil_cd_m2: self.in_eye_cd_m2(power, apart_arcsec, bright_lx)
                + image_cd_m2
                + dust_cd_m2,
            speckles_over_star: 10f64.powf(0.4 * (stars.faint_mag - stars.bright_mag))
                * beside_per_arcsec2
                / power.view.light_at_centre_per_arcsec2(),
        };
        self.point_visibility(power, stars.faint_mag, &ground)
    }
}

/// Nothing of this kind parts closer stars, and the wings' asymptotes have no end at 0.
const NEAREST_ARCSEC: f64 = 0.05;

/// From how many widths of an image apart two begin to stand clear of each other, and from how many
/// they do. An estimate: the first bright ring lies at 1.6 and is faint, the fourth at 4.7.
pub(in crate::targets) const IMAGES_CLEAR: (f64, f64) = (2.0, 6.0);

/// 0 below the first bound, 1 above the second, smooth between.
fn smooth_share(x: f64, (from, until): (f64, f64)) -> f64 {
    let t = ((x - from) / (until - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
