//! How far a reading may be off: the light of every zone has to reach the star's image.
//!
//! The first condition of Danjon & Couder, "Lunettes et telescopes" (1935): at the best focus no
//! zone throws its light farther from the axis than the radius of the first dark ring. Turned
//! into limits on the readings themselves by Millies-Lacroix (Sky & Telescope, February 1976).

use crate::optics::knife::Mirror;
use crate::optics::knife::geometry::normal_per_knife;
use crate::units::NM_PER_MM;
use crate::workshop::KnifeSource;

/// First zero of the Airy pattern over `lambda F`: 3.8317 / pi.
const AIRY_ZERO: f64 = 1.219_669_9;

/// How far a reading at a radius may be off, mm either way; the readings' free zero is to be
/// chosen so that it suits them best.
///
/// At the rim 9.757 lambda F^2 with a fixed lamp, half of that with a moving one.
pub fn reading_tolerance_mm(mirror: &Mirror, source: KnifeSource, from_axis_mm: f64) -> f64 {
    let per_knife = normal_per_knife(source) * from_axis_mm / mirror.radius_of_curvature_mm;
    airy_radius_mm(mirror) / per_knife
}

/// Of a star's image in the focal plane, mm.
fn airy_radius_mm(mirror: &Mirror) -> f64 {
    let focal_ratio = mirror.radius_of_curvature_mm / 2.0 / mirror.aperture_mm;
    AIRY_ZERO * mirror.wavelength_nm / NM_PER_MM * focal_ratio
}

/// The offset of `off` that makes the largest of `lever * |off - offset|` smallest.
///
/// The best offset balances the two worst zones against each other, so it is found among the pairs.
pub(super) fn best_offset(lever: &[f64], off: &[f64]) -> f64 {
    let mut worst = (0.0, off.first().copied().unwrap_or(0.0));
    for i in 0..off.len() {
        for j in 0..i {
            let sum = lever[i] + lever[j];
            let reach = lever[i] * lever[j] * (off[i] - off[j]).abs() / sum;
            if reach > worst.0 {
                worst = (reach, (lever[i] * off[i] + lever[j] * off[j]) / sum);
            }
        }
    }
    worst.1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 9.757 lambda F^2: 0.193 mm at f/6 and 550 nm; half of it with a moving lamp.
    #[test]
    fn tolerance_at_the_rim() {
        let mirror = Mirror {
            aperture_mm: 200.0,
            radius_of_curvature_mm: 2400.0,
            obstruction: 0.2,
            wavelength_nm: 550.0,
        };
        let fixed = reading_tolerance_mm(&mirror, KnifeSource::Fixed, 100.0);
        assert!((fixed - 0.193).abs() < 5e-4, "{fixed}");
        let moving = reading_tolerance_mm(&mirror, KnifeSource::Moving, 100.0);
        assert!((moving * 2.0 - fixed).abs() < 1e-12, "{moving}");
    }

    #[test]
    fn offset_between_the_worst_two() {
        let (lever, off) = ([1.0, 2.0, 3.0], [0.5, -0.4, 0.6]);
        let best = best_offset(&lever, &off);
        let worst = |offset: f64| {
            let reach = lever.iter().zip(&off).map(|(l, o)| l * (o - offset).abs());
            reach.fold(0.0, f64::max)
        };
        for step in -100..=100 {
            assert!(worst(best) <= worst(f64::from(step) * 0.01) + 1e-12);
        }
    }
}
