//! Moons before Jupiter's disc and their shadows on it: how they look where they stand on it, and where of their way they
//! show best.
//!
//! The disc darkens toward its edge and a moon does not: bright at the limb, it is grey or lost in the middle. A shadow lies
//! on the clouds and is foreshortened with them.

use crate::eye::detect::Pattern;
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::moons::view::{moon_facing, shadow_facing};
use crate::targets::details::{Detail, Shape};
use crate::targets::fading::weakened;
use crate::targets::pattern::{Foreshortening, spot};
use crate::targets::sight::{Sight, Today};
use crate::units::MINUTES_PER_DAY;

/// Reflectance of Jupiter's zones in the middle of the disc, near 550 nm. Measured on the published Cassini map of December
/// 2000 (PIA07782), its scale tied to published reflectances.
const ZONE_REFLECTANCE: f64 = 0.80;

/// How the disc darkens toward the limb: with this power of the cosine of the angle from its middle. Near opposition
/// Minnaert's `2 k - 1` with k = 0.97, from memory.
const DARKENING_POWER: f64 = 0.94;

/// The moon, or where its shadow falls: cosine of the angle from the middle of the disc; `None` outside the ephemeris.
pub(super) fn facing_at(detail: &Detail, tt_days: f64) -> Option<f64> {
    match detail.shape {
        Shape::MoonShadow => shadow_facing(detail.satellite?, tt_days),
        _ => moon_facing(detail.satellite?, tt_days),
    }
}

/// The same moon or shadow where it stands on the disc; `whole` has it in the middle of an even one.
pub(super) fn at_its_place(detail: &Detail, whole: Today, facing: f64) -> Option<Today> {
    let facing = facing.max(least_facing(detail));
    let darkened = facing.powf(DARKENING_POWER);
    // The mean of such a disc is 2 / (2 + power) of its middle.
    let luminance_cd_m2 = whole.luminance_cd_m2 * (1.0 + 0.5 * DARKENING_POWER) * darkened;
    let sight = match detail.shape {
        Shape::MoonShadow => shortened(whole.sight, facing),
        _ => {
            let contrast = detail.albedo? / (ZONE_REFLECTANCE * darkened) - 1.0;
            weakened(whole.sight, contrast / detail.contrast?.likely)
        }
    };
    Some(Today {
        sight,
        luminance_cd_m2,
        ..whole
    })
}

fn shortened(sight: Sight, facing: f64) -> Sight {
    match sight {
        Sight::Marking {
            pattern: Pattern::Spot { diameter_arcsec },
            contrast,
            within_arcsec,
        } => spot(
            diameter_arcsec * Foreshortening::of_cosine(facing).0,
            contrast,
        )
        .within(within_arcsec),
        other => other,
    }
}

/// Nearer to the limb the moon or shadow is not whole on the disc.
fn least_facing(detail: &Detail) -> f64 {
    let radius = 0.5 * detail.extent.across / Body::Jupiter.equatorial_radius_km();
    (1.0 - (1.0 - radius).powi(2)).sqrt()
}

/// A passage is looked at this often, days: limb parts last tens of minutes.
const STEP_DAYS: f64 = 2.0 / MINUTES_PER_DAY;

/// A moon before the disc is worth a look while its signal is at least this share of the best of the passage. From memory.
const WORTH_A_LOOK: f64 = 0.5;

/// When in these spans it shows best, and when at least half as well. A shadow is worth a look all along.
pub(super) fn best_of(detail: &Detail, spans: &[Span]) -> Option<(f64, Vec<Span>)> {
    let samples: Vec<(usize, f64, f64)> = (spans.iter().enumerate())
        .flat_map(|(idx, span)| span.instants(STEP_DAYS).map(move |at| (idx, at)))
        .filter_map(|(idx, at)| Some((idx, at, signal(detail, facing_at(detail, at)?))))
        .collect();
    let &(_, best_tt_days, best) = samples.iter().max_by(|a, b| a.2.total_cmp(&b.2))?;
    if detail.shape == Shape::MoonShadow {
        return Some((best_tt_days, spans.to_vec()));
    }
    let runs = samples.chunk_by(|a, b| a.0 == b.0 && (is_worth(a.2, best) == is_worth(b.2, best)));
    // Of a passage that the night cuts off a minute may be left: nobody is there in time.
    let good = runs.filter(|run| is_worth(run[0].2, best) && 1 < run.len());
    let span = |run: &[(usize, f64, f64)]| Span {
        from_tt_days: run[0].1,
        until_tt_days: run[run.len() - 1].1,
    };
    let good: Vec<Span> = good.map(span).collect();
    (!good.is_empty()).then_some((best_tt_days, good))
}

fn is_worth(signal: f64, best: f64) -> bool {
    WORTH_A_LOOK * best <= signal
}

/// As a small mark's signal goes: contrast times area times the root of the light.
fn signal(detail: &Detail, facing: f64) -> f64 {
    let on_middle = Today::alone(spot(
        1.0,
        detail.contrast.map_or(0.0, |contrast| contrast.likely),
    ));
    let on_even = Today {
        luminance_cd_m2: 1.0,
        ..on_middle
    };
    let there = at_its_place(detail, on_even, facing);
    there.map_or(0.0, |there| match there.sight {
        Sight::Marking {
            pattern: Pattern::Spot { diameter_arcsec },
            contrast,
            ..
        } => contrast.abs() * diameter_arcsec.powi(2) * there.luminance_cd_m2.sqrt(),
        _ => 0.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::details::detail;

    fn contrast(id: &str, facing: f64) -> f64 {
        let row = detail(id).expect("a row of the table");
        let whole = Today::alone(spot(1.0, row.contrast.expect("it has one").likely));
        match at_its_place(row, whole, facing)
            .expect("it has an albedo")
            .sight
        {
            Sight::Marking { contrast, .. } => contrast,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn bright_at_the_limb_and_grey_in_the_middle() {
        // From the albedos p over 0.80 mu^0.94, worked apart: in the middle and at mu 0.4.
        for (id, middle, near_limb) in [
            ("jupiter_io_before", -0.21, 0.86),
            ("jupiter_europa_before", -0.16, 0.98),
            ("jupiter_ganymede_before", -0.43, 0.36),
            ("jupiter_callisto_before", -0.79, -0.50),
        ] {
            let got = [contrast(id, 1.0), contrast(id, 0.4)];
            assert!((got[0] - middle).abs() < 0.006, "{id}: {got:?}");
            assert!((got[1] - near_limb).abs() < 0.006, "{id}: {got:?}");
        }
    }
}
