//! How squarely a marking of a turning globe faces us.

use crate::sky::{Appearance, Face};
use crate::targets::details::Detail;
use crate::units::wrap_180_deg;

/// Longitude of a marking that the globe carries round; the Red Spot's is what somebody stated.
pub(super) fn longitude_deg(detail: &Detail, red_spot_longitude_deg: Option<f64>) -> Option<f64> {
    if detail.conditions.needs_red_spot {
        red_spot_longitude_deg
    } else {
        detail.longitude_deg
    }
}

/// Longitude and latitude of the middle of the disc, in the system of the markings' longitudes.
fn middle_deg(seen: &Appearance) -> Option<(f64, f64)> {
    match seen.face {
        Face::Mars {
            central_meridian_deg,
            sub_earth_latitude_deg,
            ..
        } => Some((central_meridian_deg, sub_earth_latitude_deg)),
        Face::Jupiter {
            central_meridian_2_deg,
            sub_earth_latitude_deg,
            ..
        } => Some((central_meridian_2_deg, sub_earth_latitude_deg)),
        _ => None,
    }
}

/// How far from the central meridian a longitude stands, degrees, at most 180; `None` where the disc's turning is not known.
pub(super) fn from_meridian_deg(longitude_deg: f64, seen: &Appearance) -> Option<f64> {
    let (meridian_deg, _) = middle_deg(seen)?;
    Some(wrap_180_deg(longitude_deg - meridian_deg).abs())
}

/// Cosine of the angle between a place and the middle of the disc: 1 there, 0 at the limb, negative beyond it.
pub(super) fn facing(detail: &Detail, longitude_deg: f64, seen: &Appearance) -> Option<f64> {
    let (_, middle_latitude_deg) = middle_deg(seen)?;
    let apart_deg = from_meridian_deg(longitude_deg, seen)?;
    Some(cosine_between(
        [detail.latitude_deg?, middle_latitude_deg],
        apart_deg,
    ))
}

/// Cosine of the angle between two places of those latitudes whose longitudes lie so far apart, degrees.
pub(super) fn cosine_between(latitudes_deg: [f64; 2], apart_deg: f64) -> f64 {
    let [(sin_b, cos_b), (sin_c, cos_c)] = latitudes_deg.map(|deg| deg.to_radians().sin_cos());
    sin_b * sin_c + cos_b * cos_c * apart_deg.to_radians().cos()
}
