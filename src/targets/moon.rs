//! What shows on the Moon: the Sun's height over a place, and the shadows that follow from it.

use std::f64::consts::FRAC_PI_4;

use crate::eye::detect::SHADOW_OF_CRATER;
use crate::eye::glare;
use crate::sky::earth_shadow::EarthShadow;
use crate::sky::earthshine::earthshine_mag_arcsec2;
use crate::sky::{Appearance, Face};
use crate::targets::details::{Detail, Shape};
use crate::targets::facing::cosine_between;
use crate::targets::fading::{
    EARTHSHINE_POWER, LIGHT_POWER, PHASE_POWER, faded_above, faded_below, oblong, weakened,
};
use crate::targets::luminance;
use crate::targets::pattern::{
    Foreshortening, arcsec_of_km, bar, even_ground_arcsec, phase, plain_sight, recognition, spot,
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

/// Colongitude at which the morning Sun stands so high over a place, or as high as it gets there: the same formula
/// solved for it.
pub(super) fn colongitude_of_sunrise_deg(
    place: &MoonPlace,
    sun_altitude_deg: f64,
    subsolar_latitude_deg: f64,
) -> f64 {
    let (sin_b0, cos_b0) = subsolar_latitude_deg.to_radians().sin_cos();
    let (sin_b, cos_b) = place.latitude_deg.to_radians().sin_cos();
    let sin_hour = (sun_altitude_deg.to_radians().sin() - sin_b0 * sin_b) / (cos_b0 * cos_b);
    sin_hour.clamp(-1.0, 1.0).asin().to_degrees() - place.longitude_deg
}

/// Whether the Sun is still rising over a longitude, degrees east.
fn is_morning(longitude_deg: f64, colongitude_deg: f64) -> bool {
    0.0 < (colongitude_deg + longitude_deg).to_radians().cos()
}

/// A place on the Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonPlace {
    /// Selenographic, north positive.
    pub latitude_deg: f64,
    /// Selenographic, east positive.
    pub longitude_deg: f64,
}

/// Height of the Sun over a detail's place, degrees; `None` where it has none or the Moon's face is not known.
pub(super) fn sun_over_deg(detail: &Detail, seen: &Appearance) -> Option<f64> {
    let Face::Moon {
        colongitude_deg,
        subsolar_latitude_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let place = place_of(detail)?;
    Some(sun_altitude_on_moon_deg(
        &place,
        colongitude_deg,
        subsolar_latitude_deg,
    ))
}

pub(super) fn place_of(detail: &Detail) -> Option<MoonPlace> {
    Some(MoonPlace {
        latitude_deg: detail.latitude_deg?,
        longitude_deg: detail.longitude_deg?,
    })
}

pub(super) fn today(detail: &Detail, seen: &Appearance) -> Option<Today> {
    let Some(place) = place_of(detail) else {
        return whole_disc(detail, seen);
    };
    let Face::Moon {
        libration_longitude_deg,
        libration_latitude_deg,
        colongitude_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let facing = cosine_between(
        [place.latitude_deg, libration_latitude_deg],
        place.longitude_deg - libration_longitude_deg,
    );
    if facing <= 0.0 {
        return None;
    }
    let sun_altitude_deg = sun_over_deg(detail, seen)?;
    let light = Light {
        sun_altitude_deg,
        phase_angle_deg: seen.phase_angle_deg,
        facing,
        is_morning: is_morning(place.longitude_deg, colongitude_deg),
    };
    let shortened = Foreshortening::of_cosine(facing);
    let sight = match detail.shape {
        Shape::Crater => crater(detail, seen, light, shortened)?,
        Shape::Mountain => mountain(detail, seen, light, shortened)?,
        Shape::Line => trench(detail, seen, light, shortened)?,
        Shape::WestScarp | Shape::EastScarp => scarp(detail, seen, light, shortened)?,
        _ => plain_sight(detail, seen, shortened)?,
    };
    let sun_on_it_deg = sun_altitude_deg + toward_the_sun_deg(detail);
    let sight = weakened(sight, left_in_this_light(detail, sun_on_it_deg.min(90.0)));
    let sun_cosine = sun_altitude_deg.to_radians().sin();
    let ground_cd_m2 = luminance::moon_ground_cd_m2(seen, sun_cosine, facing);
    let (sight, luminance_cd_m2) = match seen.shadow {
        Some(shadow) => in_shadow(sight, ground_cd_m2, &shadow, disc_place(&place, seen)?),
        None => (sight, ground_cd_m2),
    };
    Some(Today {
        sight,
        luminance_cd_m2,
        sun_altitude_deg: Some(sun_altitude_deg),
        recognition: 1.0,
    })
}

/// Share of the light of what is still lit that telescope and eye spread over what is not: half of a disc 25 degrees wide
/// at the eye throws so much on the middle of the other half (CIE 146:2002's ten over the angle squared, from 3 degrees on,
/// by hand).
const SPREAD_OVER_THE_UMBRA: f64 = 0.01;

/// Under the Earth's shadow: less light, and what is left of the contrast beneath the light of the rest.
fn in_shadow(
    sight: Sight,
    ground_cd_m2: f64,
    shadow: &EarthShadow,
    (east_radii, north_radii): (f64, f64),
) -> (Sight, f64) {
    let light = shadow.light_on(east_radii, north_radii);
    let with_veil = light + SPREAD_OVER_THE_UMBRA * shadow.light_left();
    (weakened(sight, light / with_veil), ground_cd_m2 * with_veil)
}

/// Where a place stands on the disc, in its radii from the middle: east and north on the sky. Selenographic east is the
/// sky's west.
fn disc_place(place: &MoonPlace, seen: &Appearance) -> Option<(f64, f64)> {
    let Face::Moon {
        libration_longitude_deg,
        libration_latitude_deg,
        axis_position_angle_deg,
        ..
    } = seen.face
    else {
        return None;
    };
    let (sin_b, cos_b) = place.latitude_deg.to_radians().sin_cos();
    let (sin_b0, cos_b0) = libration_latitude_deg.to_radians().sin_cos();
    let (sin_l, cos_l) = (place.longitude_deg - libration_longitude_deg)
        .to_radians()
        .sin_cos();
    let moons_east = cos_b * sin_l;
    let moons_north = sin_b * cos_b0 - cos_b * sin_b0 * cos_l;
    let (sin_p, cos_p) = axis_position_angle_deg.to_radians().sin_cos();
    Some((
        moons_north * sin_p - moons_east * cos_p,
        moons_north * cos_p + moons_east * sin_p,
    ))
}

/// What belongs to the disc as a whole: its phase and its night side.
fn whole_disc(detail: &Detail, seen: &Appearance) -> Option<Today> {
    let lit = seen.illuminated_fraction;
    let half_lit = detail.conditions.half_contrast_lit;
    if detail.shape.is_of_an_eclipse() {
        return of_an_eclipse(detail, seen);
    }
    let mut sight = plain_sight(detail, seen, Foreshortening::NONE)?;
    match &mut sight {
        Sight::Glow {
            surface_brightness_mag_arcsec2,
            ..
        } => {
            let elongation_deg = seen.place.elongation_deg;
            let left =
                half_lit.map_or(1.0, |half_lit| faded_above(lit, half_lit, EARTHSHINE_POWER));
            *surface_brightness_mag_arcsec2 =
                earthshine_mag_arcsec2(elongation_deg, seen.distance_au, 1.0)?
                    - 2.5 * left.max(f64::MIN_POSITIVE).log10();
        }
        _ => sight = weakened(sight, left_of_phase(detail, seen)),
    }
    Some(Today {
        sight,
        luminance_cd_m2: luminance::lit_disc_cd_m2(seen),
        sun_altitude_deg: None,
        recognition: recognition(detail.shape, seen),
    })
}

/// The bite that the umbra takes, as a phase of that depth; or all of the Moon in it, as a glow.
fn of_an_eclipse(detail: &Detail, seen: &Appearance) -> Option<Today> {
    let shadow = seen.shadow?;
    let lit_cd_m2 = luminance::lit_disc_cd_m2(seen);
    let left = shadow.light_left();
    if detail.shape == Shape::InEarthShadow {
        return Some(Today::alone(Sight::Glow {
            diameter_arcsec: seen.diameter_arcsec,
            surface_brightness_mag_arcsec2: glare::surface_brightness_mag_arcsec2(lit_cd_m2 * left),
        }));
    }
    let lit = 1.0 - shadow.umbral_magnitude();
    let sight = phase(seen.diameter_arcsec, lit, detail.contrast?.likely);
    Some(Today {
        sight,
        luminance_cd_m2: lit_cd_m2 * left,
        sun_altitude_deg: None,
        recognition: recognition(detail.shape, seen),
    })
}

/// What is left of the contrast of a phase as the disc fills.
///
/// The ground darkens toward the line of shadow, so that a narrow lune lacks less than its width says.
pub(super) fn left_of_phase(detail: &Detail, seen: &Appearance) -> f64 {
    let dark = 1.0 - seen.illuminated_fraction;
    let half_lit = detail.conditions.half_contrast_lit;
    half_lit.map_or(1.0, |half_lit| {
        faded_below(dark, 1.0 - half_lit, PHASE_POWER)
    })
}

/// How much higher the Sun stands over the middle of those rays that run toward it, degrees: they begin at the place of
/// their crater and leave it on all sides.
fn toward_the_sun_deg(detail: &Detail) -> f64 {
    if detail.shape != Shape::Line || detail.relief_km.is_some() {
        return 0.0;
    }
    let half_km = 0.5 * detail.extent.along;
    (half_km / detail.body.equatorial_radius_km()).to_degrees()
}

/// What is left of a marking's contrast under that Sun. Where relief makes a shadow, the shadow's size tells all; what is
/// merely darker or brighter drowns in the shadows of a low Sun.
fn left_in_this_light(detail: &Detail, sun_altitude_deg: f64) -> f64 {
    if detail.relief_km.is_some() {
        return 1.0;
    }
    let good = detail.conditions.good_sun_deg;
    let morning = (good.least).map_or(1.0, |least| {
        faded_below(sun_altitude_deg, least, LIGHT_POWER)
    });
    let noon = (good.most).map_or(1.0, |most| faded_above(sun_altitude_deg, most, LIGHT_POWER));
    morning * noon
}

/// Slope of walls on the Moon, degrees: at a higher Sun they are lit and throw no shadow. From memory.
pub(super) const WALL_SLOPE_DEG: f64 = 28.0;

/// How far the slopes of one wall scatter, as the scale of a logistic distribution of their cotangents: two walls in three
/// between 23 and 35 degrees. From memory.
pub(super) const WALL_SPREAD: f64 = 0.26;

/// The light on a place and how we look at it.
#[derive(Debug, Clone, Copy)]
struct Light {
    sun_altitude_deg: f64,
    /// Angle between the sunlight and our line of sight.
    phase_angle_deg: f64,
    /// Cosine of the place's angle from the middle of the disc.
    facing: f64,
    /// The Sun is rising there.
    is_morning: bool,
}

impl Light {
    /// How far it is dark behind a rim, km along level ground, as far as we see it.
    ///
    /// A wall steeper than the sunlight lies in its own shadow and throws it on over its foot, relief times the Sun's
    /// cotangent; what is less steep is lit, and of one wall some is. From the rim to the tip of its shadow runs a ray of
    /// the Sun: across our line of sight it measures relief times the sine of the phase angle over that of the Sun's height,
    /// and what of the shadow is beyond that hides behind the rim, all of it at full Moon. What little is left is broken up,
    /// as no rim is straight: its share counts squared (from memory: the full Moon knows no Maginus).
    fn shadow_km(&self, relief_km: f64) -> f64 {
        let cot = |deg: f64| deg.to_radians().tan().recip();
        let sun_deg = self.sun_altitude_deg.clamp(0.1, 89.9);
        let gentler = (cot(WALL_SLOPE_DEG) - cot(sun_deg)) / WALL_SPREAD;
        let share_in_shadow = 1.0 / (1.0 + gentler.exp());
        let on_ground = sun_deg.to_radians().cos() * self.facing;
        let in_view = (self.phase_angle_deg.to_radians().sin() / on_ground).min(1.0);
        relief_km * cot(sun_deg) * share_in_shadow * in_view.powi(2)
    }
}

/// The dark shape inside a crater never counts for more than this share of its diameter: the lit
/// far wall must stay, or it reads as a hole in the ground and no ring. From the published
/// visibility of craterlets on Plato's floor.
pub(super) const CRATER_SHADOW_SHARE: f64 = SHADOW_OF_CRATER;

/// A short shadow along the wall is a lune about this share of the diameter long. From memory.
pub(super) const CRATER_LUNE_SHARE: f64 = 0.6;

/// From this width on the lune along a crater's wall is longer than any blur, km: 10 km are 5". Below it counts as a spot.
const LONG_LUNE_KM: f64 = 10.0;

fn crater(
    detail: &Detail,
    seen: &Appearance,
    light: Light,
    shortened: Foreshortening,
) -> Option<Sight> {
    let diameter_km = detail.extent.across;
    let contrast = detail.contrast?.likely;
    let arcsec = |km: f64| arcsec_of_km(km, seen) * shortened.0;
    let length_km = CRATER_LUNE_SHARE * diameter_km;
    let most_km2 = FRAC_PI_4 * (CRATER_SHADOW_SHARE * diameter_km).powi(2);
    let shadow_km2 = (length_km * light.shadow_km(detail.relief_km?)).min(most_km2);
    let shadow = if diameter_km < LONG_LUNE_KM {
        spot(arcsec((shadow_km2 / FRAC_PI_4).sqrt()), contrast)
    } else {
        oblong(arcsec(shadow_km2 / length_km), arcsec(length_km), contrast)
    };
    // The ground that a shadow is told from is the crater itself.
    Some(shadow.in_ground(even_ground_arcsec(seen).max(arcsec(diameter_km))))
}

fn mountain(
    detail: &Detail,
    seen: &Appearance,
    light: Light,
    shortened: Foreshortening,
) -> Option<Sight> {
    let shadow_arcsec = arcsec_of_km(light.shadow_km(detail.relief_km?), seen);
    // A mountain's shadow tapers: half the width of the foot on the mean.
    let width_arcsec = 0.5 * arcsec_of_km(detail.extent.across, seen);
    let shadow = oblong(
        width_arcsec * shortened.0,
        shadow_arcsec * shortened.0,
        detail.contrast?.likely,
    );
    Some(shadow.in_ground(even_ground_arcsec(seen)))
}

/// A valley is as wide as its shadow, and never wider than itself.
fn trench(
    detail: &Detail,
    seen: &Appearance,
    light: Light,
    shortened: Foreshortening,
) -> Option<Sight> {
    let width_km = match detail.relief_km {
        Some(relief_km) => light.shadow_km(relief_km).min(detail.extent.across),
        None => detail.extent.across,
    };
    let width_arcsec = arcsec_of_km(width_km, seen) * shortened.0;
    let length_arcsec = arcsec_of_km(detail.extent.along, seen) * shortened.0;
    let trench = bar(width_arcsec, length_arcsec, detail.contrast?.likely);
    Some(trench.in_ground(even_ground_arcsec(seen)))
}

/// Twice as bright as the plain: no slope is even, nor as white as the rule would have it. From memory.
const BRIGHTEST: f64 = 1.0;

/// A shadow longer than this has swallowed the plain, km.
const LONGEST_SHADOW_KM: f64 = 10.0;

/// A slope that falls away from the Sun: as long as that is lower than the slope is steep it lies in its own shadow
/// and throws it on; with a higher one it is a dim stripe. Half a month away it faces the Sun and is brighter than the plain.
/// Sunlight falls on each as the sine of its height over it (Lambert).
fn scarp(
    detail: &Detail,
    seen: &Appearance,
    light: Light,
    shortened: Foreshortening,
) -> Option<Sight> {
    let (relief_km, across_km) = (detail.relief_km?, detail.extent.across);
    let slope_deg = (relief_km / across_km).atan().to_degrees();
    let sun_deg = light.sun_altitude_deg.clamp(0.1, 89.9);
    let sine = |deg: f64| deg.to_radians().sin();
    let against_plain = |over_slope_deg: f64| sine(over_slope_deg) / sine(sun_deg) - 1.0;
    let most = detail.contrast?.likely.abs();
    let is_turned_away = light.is_morning == (detail.shape == Shape::WestScarp);
    let (width_km, contrast) = match (is_turned_away, sun_deg < slope_deg) {
        (true, true) => {
            let thrown_km = relief_km / sun_deg.to_radians().tan();
            (thrown_km.min(LONGEST_SHADOW_KM), -most)
        }
        (true, false) => (across_km, most * against_plain(sun_deg - slope_deg)),
        (false, _) => {
            let over_slope_deg = (sun_deg + slope_deg).min(90.0);
            (
                across_km,
                most * against_plain(over_slope_deg).min(BRIGHTEST),
            )
        }
    };
    let arcsec = |km: f64| arcsec_of_km(km, seen) * shortened.0;
    let stripe = bar(arcsec(width_km), arcsec(detail.extent.along), contrast);
    Some(stripe.in_ground(even_ground_arcsec(seen)))
}
