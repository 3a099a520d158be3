//! What a body could show better on another date: each thing about its appearance that holds a detail back, with the detail
//! as it would look with that one thing at its best.
//!
//! Knows nothing of telescopes; which of the things is the limit, the chain decides.

use crate::sky::ring_light::year_ring_opens_to;
use crate::sky::{Appearance, Body, Face};
use crate::targets::details::{Detail, Shape};
use crate::targets::facing;
use crate::targets::limit::Shortcoming;
use crate::targets::moon::{colongitude_of_sunrise_deg, place_of, sun_over_deg};
use crate::targets::sight::Today;
use crate::targets::today::{KnownOfLook, today};

/// Everything that could be better about a detail.
pub(super) struct Bests {
    /// With that one thing at its best.
    pub(super) one_by_one: Vec<(Shortcoming, Today)>,
    /// With all of them at their best; `None` where nothing could be better.
    pub(super) all: Option<Today>,
}

impl Bests {
    /// Nothing could be better.
    pub(super) fn none() -> Bests {
        Bests {
            one_by_one: Vec::new(),
            all: None,
        }
    }
}

/// Saturn's ring near its widest, degrees.
const WIDE_OPEN_DEG: f64 = 25.0;

/// A pole of Mars tipped toward us as far as it gets, degrees: the tilt of its axis.
const WELL_TIPPED_DEG: f64 = 25.0;

/// The Sun over a place whose shadows are to be long, degrees, within its good light; and over one that is to be bright.
const LOW_SUN_DEG: f64 = 5.0;
const HIGH_SUN_DEG: f64 = 45.0;

/// Greatest discs of the bodies whose size changes most, arcseconds. Mars at a close opposition; Mercury while it is half
/// lit and far enough from the Sun, from memory.
fn greatest_arcsec(body: Body) -> Option<f64> {
    match body {
        Body::Mars => Some(24.0),
        Body::Mercury => Some(8.0),
        _ => None,
    }
}

/// Lit share at which a phase, or the night side beside it, shows best. Mars never gets farther, from memory.
fn best_lit(detail: &Detail) -> f64 {
    match (detail.body, detail.shape) {
        (Body::Mars, _) => 0.85,
        (_, Shape::Glow) => 0.1,
        _ => 0.5,
    }
}

/// What could be better about a detail as it is now.
pub(super) fn at_its_best(detail: &Detail, seen: &Appearance, stated: &KnownOfLook) -> Bests {
    let improvements = [
        wider_open,
        larger,
        turned_to_us,
        in_good_light,
        at_good_phase,
    ];
    let mut best = seen.clone();
    let mut one_by_one = Vec::new();
    for improve in improvements {
        let mut one = seen.clone();
        let Some(shortcoming) = improve(detail, &mut one, stated) else {
            continue;
        };
        improve(detail, &mut best, stated);
        one_by_one.extend(today(detail, &one, stated).map(|today| (shortcoming, today)));
    }
    let all = if one_by_one.is_empty() {
        None
    } else {
        today(detail, &best, stated)
    };
    Bests { one_by_one, all }
}

/// The year of a ring wide open is worth looking up only where it is told.
pub(super) fn dated(shortcoming: Shortcoming, stated: &KnownOfLook) -> Shortcoming {
    match shortcoming {
        Shortcoming::RingClosed { opening_deg, .. } => Shortcoming::RingClosed {
            opening_deg,
            opens_in: (stated.at_tt_days).and_then(|at| year_ring_opens_to(WIDE_OPEN_DEG, at)),
        },
        other => other,
    }
}

fn wider_open(detail: &Detail, seen: &mut Appearance, _: &KnownOfLook) -> Option<Shortcoming> {
    let Face::Saturn {
        ring_opening_earth_deg,
        ..
    } = &mut seen.face
    else {
        return None;
    };
    let opening_deg = ring_opening_earth_deg.abs();
    let is_of_use = detail.shape.is_of_the_ring() && detail.shape != Shape::RingLine;
    if !is_of_use || WIDE_OPEN_DEG <= opening_deg {
        return None;
    }
    *ring_opening_earth_deg = WIDE_OPEN_DEG;
    Some(Shortcoming::RingClosed {
        opening_deg,
        opens_in: None,
    })
}

fn larger(_: &Detail, seen: &mut Appearance, _: &KnownOfLook) -> Option<Shortcoming> {
    let best_arcsec = greatest_arcsec(seen.body)?;
    let diameter_arcsec = seen.diameter_arcsec;
    if best_arcsec <= diameter_arcsec {
        return None;
    }
    let nearer = best_arcsec / diameter_arcsec;
    seen.diameter_arcsec = best_arcsec;
    seen.distance_au /= nearer;
    seen.magnitude -= 5.0 * nearer.log10();
    Some(Shortcoming::SmallDisc {
        diameter_arcsec,
        best_arcsec,
    })
}

fn turned_to_us(
    detail: &Detail,
    seen: &mut Appearance,
    stated: &KnownOfLook,
) -> Option<Shortcoming> {
    if detail.shape == Shape::Cap {
        return tipped_to_us(detail, seen);
    }
    detail.conditions.good_window_deg?;
    let longitude_deg = facing::longitude_deg(detail, stated.red_spot_longitude_deg)?;
    let from_middle_deg = facing::facing(detail, longitude_deg, seen)?
        .acos()
        .to_degrees();
    match &mut seen.face {
        Face::Mars {
            central_meridian_deg: meridian_deg,
            ..
        }
        | Face::Jupiter {
            central_meridian_2_deg: meridian_deg,
            ..
        } => *meridian_deg = longitude_deg,
        _ => return None,
    }
    Some(Shortcoming::NearLimb { from_middle_deg })
}

fn tipped_to_us(detail: &Detail, seen: &mut Appearance) -> Option<Shortcoming> {
    let Face::Mars {
        sub_earth_latitude_deg,
        ..
    } = &mut seen.face
    else {
        return None;
    };
    let pole = detail.latitude_deg?.signum();
    let tipped_deg = *sub_earth_latitude_deg * pole;
    *sub_earth_latitude_deg = WELL_TIPPED_DEG * pole;
    (tipped_deg < WELL_TIPPED_DEG).then_some(Shortcoming::PoleTipped {
        tipped_deg,
        best_deg: WELL_TIPPED_DEG,
    })
}

fn in_good_light(detail: &Detail, seen: &mut Appearance, _: &KnownOfLook) -> Option<Shortcoming> {
    let sun_altitude_deg = sun_over_deg(detail, seen)?;
    let good = detail.conditions.good_sun_deg;
    let best_deg = match (good.least, good.most) {
        (_, Some(most)) => LOW_SUN_DEG.min(most),
        (Some(_), None) => HIGH_SUN_DEG,
        (None, None) => return None,
    };
    let Face::Moon {
        colongitude_deg,
        subsolar_latitude_deg,
        ..
    } = &mut seen.face
    else {
        return None;
    };
    let place = place_of(detail)?;
    *colongitude_deg = colongitude_of_sunrise_deg(&place, best_deg, *subsolar_latitude_deg);
    Some(if best_deg < sun_altitude_deg {
        Shortcoming::HighSun { sun_altitude_deg }
    } else {
        Shortcoming::LowSun { sun_altitude_deg }
    })
}

fn at_good_phase(detail: &Detail, seen: &mut Appearance, _: &KnownOfLook) -> Option<Shortcoming> {
    detail.conditions.half_contrast_lit?;
    let (lit, best_lit) = (seen.illuminated_fraction, best_lit(detail));
    if lit <= best_lit {
        return None;
    }
    seen.illuminated_fraction = best_lit;
    seen.phase_angle_deg = (2.0 * best_lit - 1.0).acos().to_degrees();
    // As bright as before where it is lit.
    seen.magnitude -= 2.5 * (best_lit / lit).log10();
    seen.place.elongation_deg = if seen.body == Body::Moon {
        180.0 - seen.phase_angle_deg
    } else {
        seen.place.elongation_deg
    };
    Some(Shortcoming::TooFull { lit, best_lit })
}
