//! Whether a point of light can be known from the stars about it by where it stands.

use std::f64::consts::PI;

use crate::targets::sight::Sight;
use crate::units::ARCSEC_PER_DEG;

/// One time in so many a star as bright is at hand: then nobody can be sure without a chart. A round number.
const TAKEN_FOR_A_STAR: f64 = 0.3;

/// Whether a star as bright is to be expected as near to its body as it stands itself. A moon close by is known at once,
/// and so is a bright one farther out.
pub(super) fn is_among_stars(sight: &Sight) -> bool {
    match *sight {
        Sight::Point {
            magnitude,
            from_body_arcsec,
        } => {
            let radius_deg = from_body_arcsec / ARCSEC_PER_DEG;
            TAKEN_FOR_A_STAR <= stars_as_bright_per_deg2(magnitude) * PI * radius_deg.powi(2)
        }
        _ => false,
    }
}

/// On the mean of the whole sky: one at magnitude 8, eight at 10, sixty at 12. From memory, within a factor of two between
/// magnitudes 5 and 13; in the Milky Way three times as many.
fn stars_as_bright_per_deg2(magnitude: f64) -> f64 {
    10f64.powf(0.45 * (magnitude - 8.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From memory: nobody takes Callisto or Titan for a star, everybody Iapetus, which strays to nine minutes of arc.
    #[test]
    fn a_faint_moon_far_out_is_among_stars() {
        let is_lost = |magnitude, from_body_arcsec| {
            is_among_stars(&Sight::Point {
                magnitude,
                from_body_arcsec,
            })
        };
        assert!(!is_lost(5.7, 600.0), "Callisto");
        assert!(!is_lost(8.4, 195.0), "Titan");
        assert!(!is_lost(9.7, 85.0), "Rhea");
        assert!(!is_lost(13.5, 16.0), "Triton");
        assert!(is_lost(10.2, 540.0) && is_lost(11.9, 540.0), "Iapetus");
        assert!(!is_lost(11.0, 60.0), "Iapetus passing close by Saturn");
        assert!(is_lost(7.2, f64::INFINITY), "an asteroid");
    }
}
