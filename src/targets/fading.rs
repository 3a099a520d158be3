//! How a detail fades where a table has one number for "from here on": no step anywhere.
//!
//! Nature has few edges. A ring closes, a disc shrinks, the Sun climbs over a wall, and what was plain grows hard little by
//! little. What has no geometry of its own for that (a ray that low sunlight drowns in relief) fades as a power.

use crate::targets::pattern::bar;
use crate::targets::sight::Sight;

/// Steepness of the fade of a marking in low light: at half of the bound 1/257 is left, at one and a half times all but 4 %.
/// From memory.
pub(super) const LIGHT_POWER: i32 = 8;

/// Of a phase as the disc fills, in its dark share.
pub(super) const PHASE_POWER: i32 = 3;

/// Of the Moon's night side as the lit one grows, in its share: the glare goes as the light of that, a tenth of the full
/// Moon's at half (Allen 1973, as every handbook has it).
pub(super) const EARTHSHINE_POWER: i32 = 3;

/// What is left of a contrast that grows with something: half at the bound, all far above it.
pub(super) fn faded_below(value: f64, bound: f64, power: i32) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    1.0 / (1.0 + (bound / value).powi(power))
}

/// What is left of a contrast that falls with something: half at the bound, all far below it.
pub(super) fn faded_above(value: f64, bound: f64, power: i32) -> f64 {
    faded_below(bound, value, power)
}

/// The same with its contrast times that.
pub(super) fn weakened(sight: Sight, left: f64) -> Sight {
    match sight {
        Sight::Marking {
            pattern,
            contrast,
            within_arcsec,
        } => Sight::Marking {
            pattern,
            contrast: contrast * left,
            within_arcsec,
        },
        other => other,
    }
}

/// A bar with its narrow way across, whichever of the two that is today.
pub(super) fn oblong(one_arcsec: f64, other_arcsec: f64, contrast: f64) -> Sight {
    bar(
        one_arcsec.min(other_arcsec),
        one_arcsec.max(other_arcsec),
        contrast,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_is_left_at_the_bound() {
        assert_eq!(faded_below(12.0, 12.0, LIGHT_POWER), 0.5);
        assert_eq!(faded_above(0.35, 0.35, EARTHSHINE_POWER), 0.5);
        assert!((faded_below(6.0, 12.0, LIGHT_POWER) - 1.0 / 257.0).abs() < 1e-12);
        assert!((faded_above(6.0, 12.0, PHASE_POWER) - 8.0 / 9.0).abs() < 1e-12);
        assert_eq!(faded_below(0.0, 12.0, LIGHT_POWER), 0.0);
        assert_eq!(faded_below(-3.0, 12.0, LIGHT_POWER), 0.0);
    }
}
