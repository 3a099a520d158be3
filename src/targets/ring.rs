//! What shows of Saturn: the ring by its opening, the globe, the moons.

use std::f64::consts::FRAC_PI_2;

use crate::eye::detect::Pattern;
use crate::sky::{Appearance, Face};
use crate::targets::details::{Detail, Shape};
use crate::targets::fading::oblong;
use crate::targets::luminance;
use crate::targets::pattern::{Foreshortening, arcsec_of_km, bar, plain_sight, recognition};
use crate::targets::sight::{Sight, Today};

/// Equatorial radius of Saturn's globe, km. IAU 2015.
const SATURN_RADIUS_KM: f64 = 60_268.0;

/// Inner edge of the bright ring B, km; outer edge of ring A is the row's own.
const RING_B_INNER_KM: f64 = 92_000.0;

/// Inner and outer edge of ring A, km.
const RING_A_INNER_KM: f64 = 122_170.0;
const RING_A_OUTER_KM: f64 = 136_775.0;

pub(super) fn today(detail: &Detail, seen: &Appearance) -> Option<Today> {
    let sight = match detail.shape {
        shape if shape.is_of_the_ring() => of_the_ring(detail, seen)?,
        _ => plain_sight(detail, seen, Foreshortening::NONE)?,
    };
    let luminance_cd_m2 = luminance::saturn_cd_m2(detail.shape);
    Some(Today {
        sight,
        luminance_cd_m2,
        sun_altitude_deg: None,
        recognition: recognition(detail.shape, seen),
    })
}

/// Patterns of the ring at its ends, where a gap keeps its full width.
///
/// A circle of radius `a` seen at the opening `B` is an ellipse, and a gap of width `W` in it is
/// `W sin B / sqrt(sin² t + sin² B cos² t)` wide at the eccentric angle `t` from the end: `W` at
/// the very end, `W sin B` in front. The signal of a thin line goes as its width squared times its
/// length, so that one half of the ring counts as a straight bar of width `W` and of the length
/// `2 a sin² B K(cos B)`, K the complete elliptic integral: for the Cassini Division 1.9" at
/// 7 degrees, 11" at 20. One end is judged: the eye looks at one at a time. Where the end is shorter than the gap is
/// wide, the length is the narrow way, so that what shows of it shrinks as fast as its area.
fn of_the_ring(detail: &Detail, seen: &Appearance) -> Option<Sight> {
    let Face::Saturn {
        ring_opening_earth_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let opening_rad = ring_opening_earth_deg.abs().to_radians();
    let across_sin = opening_rad.sin();
    let km = |length_km: f64| arcsec_of_km(length_km, seen);
    let contrast = detail.contrast?.likely;
    let (size_km, radius_km) = (detail.extent.across, detail.extent.along);
    let end_arcsec =
        km(2.0 * radius_km * across_sin.powi(2) * elliptic_k_of_complement(across_sin));
    let stunted = contrast * (end_arcsec / km(size_km)).min(1.0).sqrt();
    let within_arcsec = km(surroundings_km(detail.shape, radius_km));
    let beside_globe_arcsec = km(size_km - SATURN_RADIUS_KM);
    // Halfway between globe and ring the opening is 0.56 of ring B's inner minor axis.
    let gap_arcsec = km(2.0 * RING_B_INNER_KM * across_sin * 0.56);
    Some(match detail.shape {
        // A line through the globe is a ring as far as one sees the sky between them.
        // Its arms stand clear of the globe on both sides: nothing there could be taken for it.
        Shape::Ring => oblong(gap_arcsec, beside_globe_arcsec, contrast).within(f64::INFINITY),
        Shape::RingHole => oblong(gap_arcsec, beside_globe_arcsec, contrast),
        // Beside the globe the ring is on the mean 0.7 of its minor axis thick.
        Shape::RingLine => oblong(
            km(2.0 * size_km * across_sin * 0.7),
            beside_globe_arcsec,
            contrast,
        ),
        Shape::RingStep => Sight::Marking {
            pattern: Pattern::Edge {
                length_arcsec: end_arcsec,
            },
            contrast: stunted,
            within_arcsec,
        },
        Shape::RingDip => Sight::Marking {
            pattern: Pattern::Dip {
                width_arcsec: km(size_km),
                length_arcsec: end_arcsec,
            },
            contrast: stunted,
            within_arcsec,
        },
        Shape::RingShadow => {
            let offset = km(size_km * seen.phase_angle_deg.to_radians().sin());
            let tall = km((2.0 * size_km - 2.0 * RING_B_INNER_KM).max(0.0) + 30_000.0) * across_sin;
            oblong(offset, tall, contrast)
        }
        _ => bar(km(size_km), end_arcsec, stunted).within(within_arcsec),
    })
}

/// Width of what a detail of the ring at that radius lies in: the bright ring, A and B together; for a gap within ring A that
/// ring alone, as the blur of its rim and of the Division passes for a thin line in it; or the dark space between
/// ring and globe, counted twice, as what lies in it leans on one side only.
fn surroundings_km(shape: Shape, radius_km: f64) -> f64 {
    if radius_km < RING_B_INNER_KM {
        2.0 * (RING_B_INNER_KM - SATURN_RADIUS_KM)
    } else if shape == Shape::RingGap && RING_A_INNER_KM < radius_km {
        RING_A_OUTER_KM - RING_A_INNER_KM
    } else {
        RING_A_OUTER_KM - RING_B_INNER_KM
    }
}

/// Complete elliptic integral of the first kind by its complementary modulus, by the
/// arithmetic-geometric mean: K = π / (2 agm(1, k')).
fn elliptic_k_of_complement(complement: f64) -> f64 {
    let (mut a, mut b) = (1.0f64, complement.max(1e-6));
    while (a - b).abs() > 1e-12 {
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
    }
    FRAC_PI_2 / a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elliptic_integral_as_tabled() {
        // Abramowitz & Stegun 1964, table 17.1: K for m = 0, 0.5 and 0.9.
        for (m, want) in [
            (0.0, std::f64::consts::FRAC_PI_2),
            (0.5, 1.854_074_68),
            (0.9, 2.578_092_11),
        ] {
            let got = elliptic_k_of_complement((1.0f64 - m).sqrt());
            assert!((got - want).abs() < 5e-9, "m = {m}: want {want}, got {got}");
        }
    }
}
