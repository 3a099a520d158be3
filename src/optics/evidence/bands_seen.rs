//! Bands that somebody looked at: every mirror that would have looked so.
//!
//! An eye notices when a band bows, not by how many nanometres. How far a band bows goes as the correction, as the cube of the
//! mirror's radius and as the lines of the grating; where a paraboloid's bow is less than the eye notices, straight
//! bands are anything from an oblate mirror to an over-corrected one.

use std::f64::consts::FRAC_1_SQRT_2;

use crate::optics::evidence::Evidence;
use crate::optics::evidence::chance::Chance;
use crate::optics::evidence::disc::{Disc, ring_steepness};
use crate::optics::evidence::ensemble::{Ensemble, sphere_nm};
use crate::optics::evidence::fault::{Fault, LastWindow, RING_WIDTHS, rims};
use crate::optics::knife::{Doubt, Mirror};
use crate::units::NM_PER_MM;
use crate::workshop::{BandsLooked, BandsSeen, KnifeSource, MirrorEdge, StarTest};

/// What bands that were looked at come to.
#[derive(Debug, Clone, PartialEq)]
pub struct BandsOutcome {
    /// The figures, and how surely.
    pub evidence: Evidence,
    /// By how many bands a paraboloid's are bowed there: the most that any of them leaves a straight line.
    pub paraboloid_bow_bands: f64,
    /// The grating that would tell sphere from paraboloid, and where to put it.
    pub deciding: Option<DecidingGrating>,
    /// What the reader has to know.
    pub doubts: Vec<Doubt>,
}

/// A grating fine enough that this eye tells sphere from paraboloid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DecidingGrating {
    /// Full periods, lines/mm.
    pub lines_per_mm: f64,
    /// Inside the centre of curvature, where some four bands cross the mirror, mm, negative.
    pub offset_mm: f64,
}

/// Every mirror that would have looked so, weighed by how common it is.
pub fn outcome(seen: &BandsSeen, mirror: Mirror, star: Option<StarTest>) -> BandsOutcome {
    let disc = Disc::of(&mirror);
    let bow_bands = |correction: f64| correction * bow_of_paraboloid(&mirror, seen.lines_per_mm);
    let likely =
        |correction: f64| usual(correction) * looks_so(seen, bow_bands(correction), bow_bands(1.0));
    let mut chance = Chance::new();
    let rims = seen_rims(&disc, seen.edge);
    let steepnesses_nm: Vec<Vec<f64>> = (corrections(likely).into_iter().enumerate())
        .map(|(idx, correction)| {
            drawn(
                &disc,
                &mirror,
                (seen, correction),
                (&rims, idx),
                &mut chance,
            )
        })
        .collect();
    let count = steepnesses_nm.len() as f64;
    let mean = |ring: usize| steepnesses_nm.iter().map(|one| one[ring]).sum::<f64>() / count;
    let mean_nm: Vec<f64> = (0..disc.x.len()).map(mean).collect();
    let looked = Ensemble::of((&disc, &mirror), &mean_nm, &steepnesses_nm);
    let (wavefronts, star_disagrees) = looked.seen_in_a_star(star);
    let whole = wavefronts.evidence(0.0);
    let correction = match seen.edge {
        MirrorEdge::Turned(_) => wavefronts.correction_inside(),
        _ => whole.correction,
    };
    BandsOutcome {
        evidence: Evidence {
            correction,
            ..whole
        },
        paraboloid_bow_bands: bow_bands(1.0),
        deciding: deciding(seen, &mirror),
        doubts: doubts(seen.edge, star, star_disagrees),
    }
}

/// Where a straight line leaves a paraboloid's band farthest, in widths of a band and its gap. The band through X at the
/// middle is off by `X (a^2 - X^2) / (R^2 p)` where it meets the rim: most at `a / sqrt 3`; for either lamp.
pub fn bow_of_paraboloid(mirror: &Mirror, lines_per_mm: f64) -> f64 {
    let rim_mm = mirror.aperture_mm / 2.0;
    let most = 2.0 / (3.0 * 3f64.sqrt());
    most * rim_mm.powi(3) / mirror.radius_of_curvature_mm.powi(2) * lines_per_mm
}

fn deciding(seen: &BandsSeen, mirror: &Mirror) -> Option<DecidingGrating> {
    let per_line = bow_of_paraboloid(mirror, 1.0);
    let least = (PLAINLY * seen.least_bow_bands / per_line).ceil();
    (least <= FINEST_LINES_PER_MM).then(|| {
        let lines_per_mm = least.max(seen.lines_per_mm.ceil());
        let bands_per_mm = mirror.aperture_mm * lines_per_mm / mirror.radius_of_curvature_mm;
        let offset_mm = match seen.source {
            KnifeSource::Fixed => -BANDS_ACROSS / bands_per_mm,
            KnifeSource::Moving => -BANDS_ACROSS / bands_per_mm / 2.0,
        };
        DecidingGrating {
            lines_per_mm,
            offset_mm,
        }
    })
}

/// How well a bow fits what was seen, 0 to 1.
fn looks_so(seen: &BandsSeen, bow: f64, paraboloid: f64) -> f64 {
    let least = seen.least_bow_bands;
    let below = |by: f64| normal_below((least - by) / (SOFT * least));
    match seen.looked {
        BandsLooked::Straight => below(bow.abs()),
        BandsLooked::LikeParaboloid => below((bow - paraboloid).abs()),
        BandsLooked::BowedMore => 1.0 - below(bow - paraboloid),
        BandsLooked::BowedLess => 1.0 - below(paraboloid - bow),
    }
}

/// How common corrections are on the bench: paraboloids and what is nearly one, spheres, and all between and beyond.
fn usual(correction: f64) -> f64 {
    let bell =
        |middle: f64, width: f64| (-((correction - middle) / width).powi(2) / 2.0).exp() / width;
    0.5 * bell(1.0, 0.3) + 0.25 * bell(0.0, 0.2) + 0.25
}

/// Equally likely corrections, from the least to the most.
fn corrections(likely: impl Fn(f64) -> f64) -> Vec<f64> {
    let grid: Vec<f64> = (0..=GRID)
        .map(|idx| {
            LEAST_CORRECTION + (MOST_CORRECTION - LEAST_CORRECTION) * idx as f64 / GRID as f64
        })
        .collect();
    let weights: Vec<f64> = grid.iter().map(|correction| likely(*correction)).collect();
    let step = weights.iter().sum::<f64>() / DRAWS as f64;
    let (mut so_far, mut taken) = (0.0, Vec::with_capacity(DRAWS));
    for (correction, weight) in grid.iter().zip(&weights) {
        so_far += weight;
        while taken.len() < DRAWS && (taken.len() as f64 + 0.5) * step <= so_far {
            taken.push(*correction);
        }
    }
    taken
}

/// Steepness of one mirror: its correction, a ring too low to be noticed, and its rim.
fn drawn(
    disc: &Disc,
    mirror: &Mirror,
    (seen, correction): (&BandsSeen, f64),
    (rims, idx): (&[Fault], usize),
    chance: &mut Chance,
) -> Vec<f64> {
    let off_nm = (1.0 - correction) * sphere_nm(mirror);
    let (at, width) = (chance.even(), RING_WIDTHS[idx % RING_WIDTHS.len()]);
    let ring_nm = chance.normal() * unnoticed_nm(seen, mirror, width).min(RING_NM);
    let ring = ring_steepness(&disc.x, at, width);
    let mut steepness: Vec<f64> = (disc.x.iter().zip(&ring))
        .map(|(x, ring)| -2.0 * off_nm * x + ring_nm * ring)
        .collect();
    if let Some(rim) = which(rims, chance.even()) {
        let nm = rim.drawn_nm(chance.normal());
        let all = steepness.iter_mut().zip(&rim.unit);
        all.for_each(|(steepness, unit)| *steepness += nm * unit);
    }
    steepness
}

fn which(rims: &[Fault], chance: f64) -> Option<&Fault> {
    let all: f64 = rims.iter().map(|rim| rim.share).sum();
    let mut so_far = 0.0;
    rims.iter().find(|rim| {
        so_far += rim.share / all;
        chance < so_far
    })
}

/// Half the wavefront on a ring whose flanks shift a band by as much as this eye notices: a flank of 0.61 of the height
/// over the width shifts it by that slope times the radius of curvature.
fn unnoticed_nm(seen: &BandsSeen, mirror: &Mirror, width: f64) -> f64 {
    let width_mm = width * mirror.aperture_mm / 2.0;
    let shift_mm = seen.least_bow_bands / seen.lines_per_mm;
    0.5 * shift_mm * width_mm / (0.61 * mirror.radius_of_curvature_mm) * NM_PER_MM
}

/// Bands run to the very rim: what was looked at there is known.
fn seen_rims(disc: &Disc, edge: MirrorEdge) -> Vec<Fault> {
    let last = LastWindow {
        inner: LAST_BAND,
        outer: 1.0,
    };
    let mut rims = rims(disc, edge, last);
    rims.retain(|rim| rim.is_none() || !rim.is_read);
    rims
}

fn doubts(edge: MirrorEdge, star: Option<StarTest>, star_disagrees: bool) -> Vec<Doubt> {
    let of_edge = match edge {
        MirrorEdge::Turned(turned) => Some(Doubt::EdgeTurned(turned)),
        MirrorEdge::NotLooked => Some(Doubt::EdgeNotLookedAt {
            hidden_share: 1.0 - LAST_BAND,
        }),
        MirrorEdge::Sound => None,
    };
    of_edge
        .into_iter()
        .chain(star.and_then(Doubt::of_star))
        .chain(star.filter(|_| star_disagrees).map(Doubt::StarDisagrees))
        .collect()
}

/// The normal distribution, by the error function's series of Abramowitz & Stegun 7.1.26 (1.5e-7).
fn normal_below(deviations: f64) -> f64 {
    let x = deviations.abs() * FRAC_1_SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series = [
        0.254_829_592,
        -0.284_496_736,
        1.421_413_741,
        -1.453_152_027,
        1.061_405_429,
    ];
    let sum = series.iter().rev().fold(0.0, |sum, term| t * (term + sum));
    let above = sum * (-x * x).exp() / 2.0;
    if deviations < 0.0 { above } else { 1.0 - above }
}

/// How sharply an eye notices: of the least bow.
const SOFT: f64 = 0.3;

/// Of the least bow: what leaves no doubt.
const PLAINLY: f64 = 3.0;

/// Finer ones blur the bands by diffraction (common practice, no source).
const FINEST_LINES_PER_MM: f64 = 12.0;
const BANDS_ACROSS: f64 = 4.0;

const LEAST_CORRECTION: f64 = -0.5;
const MOST_CORRECTION: f64 = 2.5;
const GRID: usize = 600;
const DRAWS: usize = 800;

const RING_NM: f64 = 40.0;

/// Of the radius: where the last bands still tell the rim from the rest.
const LAST_BAND: f64 = 0.93;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::evidence::Interval;
    use crate::testing::close;

    fn mirror(aperture_mm: f64, focal_ratio: f64) -> Mirror {
        Mirror {
            aperture_mm,
            radius_of_curvature_mm: 2.0 * aperture_mm * focal_ratio,
            obstruction: 0.2,
            wavelength_nm: 550.0,
        }
    }

    fn straight(lines_per_mm: f64) -> BandsSeen {
        BandsSeen {
            source: KnifeSource::Moving,
            lines_per_mm,
            offset_mm: -5.0,
            looked: BandsLooked::Straight,
            edge: MirrorEdge::Sound,
            least_bow_bands: 0.1,
        }
    }

    fn holds(interval: Interval, value: f64) -> bool {
        interval.low <= value && value <= interval.high
    }

    /// A small, long mirror: straight to the eye is a sphere as well as a paraboloid.
    #[test]
    fn straight_bands_leave_a_small_long_mirror_open() {
        let seen = outcome(&straight(4.0), mirror(114.0, 8.0), None);
        let evidence = &seen.evidence;
        assert!(
            seen.paraboloid_bow_bands < 0.1,
            "{}",
            seen.paraboloid_bow_bands
        );
        assert!(holds(evidence.correction, 0.0) && holds(evidence.correction, 1.0));
        assert!(0.2 < evidence.strehl.high - evidence.strehl.low || evidence.strehl.low < 0.9);
    }

    /// A large, short one: straight is a sphere, and nothing near a paraboloid.
    #[test]
    fn straight_bands_decide_on_a_large_short_mirror() {
        let seen = outcome(&straight(10.0), mirror(300.0, 4.5), None);
        let correction = seen.evidence.correction;
        assert!(
            holds(correction, 0.0) && correction.high < 0.4,
            "{correction:?}"
        );
        assert!(seen.evidence.strehl.high < 0.3);
    }

    #[test]
    fn like_the_paraboloid_is_near_it() {
        let seen = BandsSeen {
            looked: BandsLooked::LikeParaboloid,
            ..straight(10.0)
        };
        let found = outcome(&seen, mirror(200.0, 5.0), None).evidence;
        assert!(
            holds(found.correction, 1.0) && 0.6 < found.correction.low,
            "{:?}",
            found.correction
        );
        let less = BandsSeen {
            looked: BandsLooked::BowedLess,
            ..seen
        };
        assert!(
            outcome(&less, mirror(200.0, 5.0), None)
                .evidence
                .correction
                .high
                < 1.0
        );
    }

    /// Abramowitz & Stegun, table 26.1.
    #[test]
    fn the_normal_distribution() {
        for (x, want) in [
            (0.0, 0.5),
            (1.0, 0.841_344_75),
            (-1.96, 0.024_997_9),
            (3.0, 0.998_650_1),
        ] {
            close("normal", normal_below(x), want, 2e-7);
        }
    }
}
