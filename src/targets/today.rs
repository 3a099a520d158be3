//! What a detail looks like tonight before any telescope: its pattern in arcseconds, its contrast
//! and how bright its surroundings are.
//!
//! Sizes follow the body's distance, the Sun's height over a place on the Moon, the tilt of Mars
//! and the opening of Saturn's ring.

use crate::sky::{Appearance, Body, Face};
use crate::targets::details::{Detail, Shape};
use crate::targets::fading::{oblong, weakened};
use crate::targets::pattern::{Foreshortening, plain_sight, recognition};
use crate::targets::sight::{Sight, Today};
use crate::targets::{before_disc, facing, luminance, moon, ring};

/// What is known of the look beside the body's appearance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct KnownOfLook {
    /// System II longitude of the Great Red Spot.
    pub red_spot_longitude_deg: Option<f64>,
    /// When, days of TT since J2000.0.
    pub at_tt_days: Option<f64>,
}

/// The detail tonight; `None` where it faces away from us (or the face is not known).
pub fn today(detail: &Detail, seen: &Appearance, stated: &KnownOfLook) -> Option<Today> {
    match detail.body {
        Body::Moon => moon::today(detail, seen),
        Body::Saturn => ring::today(detail, seen),
        _ => on_a_disc(detail, seen, stated),
    }
}

fn on_a_disc(detail: &Detail, seen: &Appearance, stated: &KnownOfLook) -> Option<Today> {
    let luminance_cd_m2 = luminance::lit_disc_cd_m2(seen);
    let on = |sight: Sight| Today {
        sight,
        luminance_cd_m2,
        sun_altitude_deg: None,
        recognition: recognition(detail.shape, seen),
    };
    Some(match detail.shape {
        Shape::Cap => on(cap(detail, seen)?),
        Shape::MoonShadow | Shape::MoonBeforeDisc => {
            let whole = on(plain_sight(detail, seen, Foreshortening::NONE)?);
            let facing = (stated.at_tt_days).and_then(|at| before_disc::facing_at(detail, at));
            match facing {
                Some(facing) => before_disc::at_its_place(detail, whole, facing)?,
                None => whole,
            }
        }
        _ => {
            let shortened = foreshortening(detail, seen, stated)?;
            let sight = plain_sight(detail, seen, shortened)?;
            let left = moon::left_of_phase(detail, seen) * left_by_haze(detail.body, shortened);
            on(weakened(sight, left))
        }
    })
}

/// Optical depth of the dust over Mars between its storms. From memory: 0.3 to 0.5 (Lemmon and others 2015, Icarus 251, 96).
const DUST_OF_MARS: f64 = 0.3;

/// What the haze of Mars leaves of a contrast that is known for the middle of the disc: light comes down and goes up through
/// it aslant, 1/cosine as far.
fn left_by_haze(body: Body, shortened: Foreshortening) -> f64 {
    match body {
        Body::Mars => (-2.0 * DUST_OF_MARS * (1.0 / shortened.cosine().max(0.01) - 1.0)).exp(),
        _ => 1.0,
    }
}

/// Of a marking that the globe carries round; none of what belongs to the disc as a whole.
fn foreshortening(
    detail: &Detail,
    seen: &Appearance,
    stated: &KnownOfLook,
) -> Option<Foreshortening> {
    if detail.conditions.good_window_deg.is_none() {
        return Some(Foreshortening::NONE);
    }
    let longitude_deg = facing::longitude_deg(detail, stated.red_spot_longitude_deg)?;
    let cosine = facing::facing(detail, longitude_deg, seen)?;
    (0.0 < cosine).then(|| Foreshortening::of_cosine(cosine))
}

/// Radius of Mars, km. IAU 2015, equator 3396.2, rounded as far as caps care.
const MARS_RADIUS_KM: f64 = 3396.0;

/// What shows of a polar cap: a lens between its near edge and the limb (or its far edge).
fn cap(detail: &Detail, seen: &Appearance) -> Option<Sight> {
    let Face::Mars {
        sub_earth_latitude_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let tilt_rad = (sub_earth_latitude_deg * detail.latitude_deg?.signum()).to_radians();
    let cap_rad = (0.5 * detail.extent.across / MARS_RADIUS_KM)
        .min(1.0)
        .asin();
    if tilt_rad + cap_rad <= 0.0 {
        return None;
    }
    let radius_arcsec = 0.5 * seen.diameter_arcsec;
    let near = (tilt_rad + cap_rad).cos();
    let far = if cap_rad < tilt_rad {
        (tilt_rad - cap_rad).cos()
    } else {
        1.0
    };
    let half_width = if 0.0 <= tilt_rad {
        cap_rad.sin()
    } else {
        (1.0 - (cap_rad.cos() / tilt_rad.cos()).powi(2))
            .max(0.0)
            .sqrt()
    };
    // At the limb, told from the half of the disc that it lies on. A lens covers two thirds of the bar around it.
    let thick = 2.0 / 3.0 * radius_arcsec * (far - near);
    let wide = 2.0 * radius_arcsec * half_width;
    Some(oblong(thick, wide, detail.contrast?.likely).within(0.5 * seen.diameter_arcsec))
}
