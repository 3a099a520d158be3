//! What shows on the Moon: the Sun's height over a place, and the shadows that follow from it.

use std::f64::consts::PI;

use crate::eye::detect::SHADOW_OF_CRATER;
use crate::sky::earthshine::earthshine_mag_arcsec2;
use crate::sky::{Appearance, Face};
use crate::targets::details::{Detail, Shape};
use crate::targets::luminance;
use crate::targets::pattern::{
    Foreshortening, arcsec_of_km, bar, blob, even_ground_arcsec, plain_sight, recognition, spot,
};
use crate::targets::sight::{Sight, Today};

/// Height of the Sun over a place on the Moon, degrees.
///
/// `sin h = sin b0 sin b + cos b0 cos b sin(colongitude + longitude)`, longitude east positive:
/// the colongitude is 90 degrees minus the longitude below the Sun.
/// Source: Meeus, Astronomical Algorithms, 2nd edition, ch. 53.
pub fn sun_altitude_on_moon_deg(
    place: &MoonPlace,
    colongitude_deg: f64,
    subsolar_latitude_deg: f64,
) -> f64 {
    let (sin_b0, cos_b0) = subsolar_latitude_deg.to_radians().sin_cos();
    let (sin_b, cos_b) = place.latitude_deg.to_radians().sin_cos();
    let sin_hour = (colongitude_deg + place.longitude_deg).to_radians().sin();
    (sin_b0 * sin_b + cos_b0 * cos_b * sin_hour)
        .clamp(-1.0, 1.0)
        .asin()
        .to_degrees()
}

/// A place on the Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonPlace {
    /// Selenographic, north positive.
    pub latitude_deg: f64,
    /// Selenographic, east positive.
    pub longitude_deg: f64,
}

/// Places nearer the limb than this (cosine of the angle from the disc's centre) are not judged:
/// about 7 degrees.
const LIMB_COSINE: f64 = 0.12;

pub(super) fn today(detail: &Detail, seen: &Appearance) -> Option<Today> {
    let (Some(latitude_deg), Some(longitude_deg)) = (detail.latitude_deg, detail.longitude_deg)
    else {
        let mut sight = plain_sight(detail, seen, Foreshortening::NONE)?;
        if let Sight::Glow {
            surface_brightness_mag_arcsec2,
            ..
        } = &mut sight
        {
            *surface_brightness_mag_arcsec2 =
                earthshine_mag_arcsec2(seen.place.elongation_deg, seen.distance_au, 1.0)?;
        }
        let luminance_cd_m2 = luminance::lit_disc_cd_m2(seen);
        return Some(Today {
            sight,
            luminance_cd_m2,
            sun_altitude_deg: None,
            recognition: recognition(detail.shape),
        });
    };
    let Face::Moon {
        libration_longitude_deg,
        libration_latitude_deg,
        colongitude_deg,
        subsolar_latitude_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let place = MoonPlace {
        latitude_deg,
        longitude_deg,
    };
    let centre = MoonPlace {
        latitude_deg: libration_latitude_deg,
        longitude_deg: libration_longitude_deg,
    };
    let facing = cosine_between(&place, &centre);
    if facing < LIMB_COSINE {
        return None;
    }
    let sun_altitude_deg = sun_altitude_on_moon_deg(&place, colongitude_deg, subsolar_latitude_deg);
    let shortened = Foreshortening::of_cosine(facing);
    let sight = match detail.shape {
        Shape::Crater => crater(detail, seen, sun_altitude_deg, shortened)?,
        Shape::Mountain => mountain(detail, seen, sun_altitude_deg, shortened)?,
        Shape::Line => trench(detail, seen, sun_altitude_deg, shortened)?,
        _ => plain_sight(detail, seen, shortened)?,
    };
    let sun_cosine = sun_altitude_deg.to_radians().sin();
    let luminance_cd_m2 = luminance::moon_ground_cd_m2(seen, sun_cosine, facing);
    Some(Today {
        sight,
        luminance_cd_m2,
        sun_altitude_deg: Some(sun_altitude_deg),
        recognition: 1.0,
    })
}

fn cosine_between(place: &MoonPlace, centre: &MoonPlace) -> f64 {
    let (sin_b, cos_b) = place.latitude_deg.to_radians().sin_cos();
    let (sin_c, cos_c) = centre.latitude_deg.to_radians().sin_cos();
    let apart_rad = (place.longitude_deg - centre.longitude_deg).to_radians();
    sin_b * sin_c + cos_b * cos_c * apart_rad.cos()
}

/// How far a shadow reaches over level ground, km.
fn shadow_km(relief_km: f64, sun_altitude_deg: f64) -> f64 {
    relief_km / sun_altitude_deg.max(0.1).to_radians().tan()
}

/// The dark shape inside a crater never counts for more than this share of its diameter: the lit
/// far wall must stay, or it reads as a hole in the ground and no ring. From the published
/// visibility of craterlets on Plato's floor.
pub(super) const CRATER_SHADOW_SHARE: f64 = SHADOW_OF_CRATER;

/// A short shadow along the wall is a lune about this share of the diameter long. From memory.
pub(super) const CRATER_LUNE_SHARE: f64 = 0.6;

fn crater(
    detail: &Detail,
    seen: &Appearance,
    sun_altitude_deg: f64,
    shortened: Foreshortening,
) -> Option<Sight> {
    let diameter_km = detail.extent.across;
    let share = shadow_km(detail.relief_km?, sun_altitude_deg) / diameter_km;
    // The round spot of the same area as the lune.
    let spot_share = (4.0 / PI * CRATER_LUNE_SHARE * share).sqrt();
    let width_km = diameter_km * spot_share.min(CRATER_SHADOW_SHARE);
    let width_arcsec = arcsec_of_km(width_km, seen) * shortened.0;
    Some(spot(width_arcsec, detail.contrast?.likely).in_ground(even_ground_arcsec(seen)))
}

fn mountain(
    detail: &Detail,
    seen: &Appearance,
    sun_altitude_deg: f64,
    shortened: Foreshortening,
) -> Option<Sight> {
    let shadow_arcsec = arcsec_of_km(shadow_km(detail.relief_km?, sun_altitude_deg), seen);
    // A mountain's shadow tapers: half the width of the foot on the mean.
    let width_arcsec = 0.5 * arcsec_of_km(detail.extent.across, seen);
    let contrast = detail.contrast?.likely;
    let shadow = blob(
        width_arcsec * shortened.0,
        shadow_arcsec * shortened.0,
        contrast,
    );
    Some(shadow.in_ground(even_ground_arcsec(seen)))
}

/// A valley or cliff is as wide as its shadow, and never wider than itself.
fn trench(
    detail: &Detail,
    seen: &Appearance,
    sun_altitude_deg: f64,
    shortened: Foreshortening,
) -> Option<Sight> {
    let width_km = match detail.relief_km {
        Some(relief_km) => shadow_km(relief_km, sun_altitude_deg).min(detail.extent.across),
        None => detail.extent.across,
    };
    let width_arcsec = arcsec_of_km(width_km, seen) * shortened.0;
    let length_arcsec = arcsec_of_km(detail.extent.along, seen) * shortened.0;
    let trench = bar(width_arcsec, length_arcsec, detail.contrast?.likely);
    Some(trench.in_ground(even_ground_arcsec(seen)))
}
