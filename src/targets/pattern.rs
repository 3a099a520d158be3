//! The patterns that a body's details make on its disc: sizes in arcseconds from kilometres, bars and
//! spots from the table's shapes.

use std::f64::consts::FRAC_2_PI;

use crate::constants::{ARCSEC_PER_RAD, AU_KM};
use crate::eye::detect::Pattern;
use crate::sky::{Appearance, Body};
use crate::targets::details::{Detail, Shape, SizeUnit};
use crate::targets::sight::Sight;

/// Angle subtended by a length at the body, arcseconds.
pub(super) fn arcsec_of_km(length_km: f64, seen: &Appearance) -> f64 {
    length_km / (seen.distance_au * AU_KM) * ARCSEC_PER_RAD
}

fn extent_arcsec(detail: &Detail, seen: &Appearance) -> (f64, f64) {
    let unit_arcsec = match detail.extent.unit {
        SizeUnit::Km => arcsec_of_km(1.0, seen),
        SizeUnit::Diameter => seen.diameter_arcsec,
    };
    (
        detail.extent.across * unit_arcsec,
        detail.extent.along * unit_arcsec,
    )
}

/// By how much a length on the ground shortens. The direction of shortening is not followed
/// through: both ways shrink alike, so that the area is right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Foreshortening(pub(super) f64);

impl Foreshortening {
    pub(super) const NONE: Self = Self(1.0);

    pub(super) fn of_cosine(cosine: f64) -> Self {
        Self(cosine.max(0.0).sqrt())
    }

    /// Of the angle between the place and the middle of the disc.
    pub(super) fn cosine(self) -> f64 {
        self.0 * self.0
    }
}

/// That a disc is wider than tall, or not quite full, is recognised at about twice the contrast at which a difference is
/// noticed. Common practice, no source.
pub(super) const SHAPE_RECOGNITION: f64 = 2.0;

/// A half disc is told from a round one as soon as the dark half is noticed; the fuller it is, the more its shape counts.
pub(super) fn recognition(shape: Shape, seen: &Appearance) -> f64 {
    match shape {
        Shape::Flattening => SHAPE_RECOGNITION,
        Shape::Phase => {
            let fullness = (2.0 * seen.illuminated_fraction - 1.0).max(0.0);
            1.0 + (SHAPE_RECOGNITION - 1.0) * fullness
        }
        _ => 1.0,
    }
}

/// Distance of a planet at mean opposition, au: to which magnitudes of moons refer. Semi-major
/// axes of the orbits less one; the body's own distance from the Sun is left at its mean, which
/// costs at most 0.2 mag.
fn mean_opposition_au(body: Body) -> f64 {
    match body {
        Body::Jupiter => 4.20,
        Body::Saturn => 8.54,
        Body::Uranus => 18.19,
        Body::Neptune => 29.07,
        _ => 1.0,
    }
}

/// A long patch is judged as a bar when it is at least this many times as long as wide.
const BAR_FROM_RATIO: f64 = 2.0;

/// How far the horns of a phase, or the flattened ends, reach along the disc. From memory: the
/// straight part of a lune.
pub(super) const LUNE_LENGTH_DIAMETERS: f64 = 0.7;

pub(super) fn plain_sight(
    detail: &Detail,
    seen: &Appearance,
    shortened: Foreshortening,
) -> Option<Sight> {
    let (across, along) = extent_arcsec(detail, seen);
    let (across, along) = (across * shortened.0, along * shortened.0);
    let contrast = detail.contrast.map(|contrast| contrast.likely);
    let even_arcsec = even_ground_arcsec(seen);
    Some(match detail.shape {
        Shape::Belt | Shape::Line => bar(across, along, contrast?).in_ground(even_arcsec),
        Shape::Flattening => bar(across, along, contrast?).within(seen.diameter_arcsec),
        Shape::Patch => blob(across, along, contrast?).in_ground(even_arcsec),
        Shape::Shade => Sight::Marking {
            pattern: Pattern::Dip {
                width_arcsec: across,
                length_arcsec: along,
            },
            contrast: contrast?,
            // At the limb, as a polar cap: told from the half of the disc that it lies on.
            within_arcsec: 0.5 * seen.diameter_arcsec,
        },
        Shape::MoonShadow => {
            // Darker than anything else there, it is not taken for a belt or for a zone: for both together, perhaps.
            let both_arcsec = 2.0 * ZONE_OVER_DIAMETER * seen.diameter_arcsec;
            spot(across, contrast?).within(both_arcsec)
        }
        // As bright as a zone near the limb, as dark as a belt before the middle: it may be taken for either.
        Shape::MoonBeforeDisc => {
            spot(across, contrast?).within(ZONE_OVER_DIAMETER * seen.diameter_arcsec)
        }
        Shape::Phase => phase(across, seen.illuminated_fraction, contrast?),
        Shape::Disc => Sight::Marking {
            pattern: Pattern::DiscNotStar {
                diameter_arcsec: across,
            },
            contrast: contrast?,
            within_arcsec: f64::INFINITY,
        },
        Shape::Glow => Sight::Glow {
            diameter_arcsec: across,
            surface_brightness_mag_arcsec2: detail.magnitude?,
        },
        Shape::Point => point(detail, seen)?,
        _ => return None,
    })
}

/// A disc lit in part, told from an even one of its size.
pub(super) fn phase(diameter_arcsec: f64, lit: f64, contrast: f64) -> Sight {
    bar(
        diameter_arcsec * lit.min(1.0 - lit),
        diameter_arcsec * LUNE_LENGTH_DIAMETERS,
        contrast,
    )
    .within(diameter_arcsec)
}

pub(super) fn blob(across_arcsec: f64, along_arcsec: f64, contrast: f64) -> Sight {
    let (narrow, long) = (
        across_arcsec.min(along_arcsec),
        across_arcsec.max(along_arcsec),
    );
    if BAR_FROM_RATIO * narrow <= long {
        return bar(narrow, long, contrast);
    }
    spot((narrow * long).sqrt(), contrast)
}

pub(super) fn bar(width_arcsec: f64, length_arcsec: f64, contrast: f64) -> Sight {
    Sight::Marking {
        pattern: Pattern::Bar {
            width_arcsec,
            length_arcsec,
        },
        contrast,
        within_arcsec: LIKE_ON_BOTH_SIDES * width_arcsec,
    }
}

/// How far the ground of a body is even at all, arcseconds: over the width of Jupiter's and Saturn's zones, over the deserts
/// of Mars, between the hills of the Moon's plains; 0 where nothing of the kind is known.
pub(super) fn even_ground_arcsec(seen: &Appearance) -> f64 {
    match seen.body {
        Body::Jupiter => ZONE_OVER_DIAMETER * seen.diameter_arcsec,
        Body::Saturn => ZONE_OF_SATURN_OVER_DIAMETER * seen.diameter_arcsec,
        Body::Mars => DESERT_OVER_DIAMETER * seen.diameter_arcsec,
        Body::Moon => arcsec_of_km(BETWEEN_HILLS_KM, seen),
        _ => 0.0,
    }
}

/// Width of Saturn's bright equatorial zone, and of the open deserts of Mars, over the diameter. From memory: 15 degrees of
/// latitude either way; the classical map.
const ZONE_OF_SATURN_OVER_DIAMETER: f64 = 0.25;
const DESERT_OVER_DIAMETER: f64 = 1.0 / 3.0;

/// Distance of craterlets, ridges and hills on the Moon's plains, km. From memory.
pub(super) const BETWEEN_HILLS_KM: f64 = 8.0;

/// A detail has surroundings as wide as itself on both sides before something else begins: a belt between zones, a spot
/// within a belt, a crater among others. An estimate; where the surroundings are known they are used.
pub(super) const LIKE_ON_BOTH_SIDES: f64 = 3.0;

/// Width of Jupiter's bright zones over its diameter, on which moons and shadows pass. Measured on the published Cassini
/// map of December 2000 (PIA07782).
const ZONE_OVER_DIAMETER: f64 = 0.1;

pub(super) fn spot(diameter_arcsec: f64, contrast: f64) -> Sight {
    Sight::Marking {
        pattern: Pattern::Spot { diameter_arcsec },
        contrast,
        within_arcsec: LIKE_ON_BOTH_SIDES * diameter_arcsec,
    }
}

/// A moon, at its mean apparent distance from the planet (2/π of the orbit's radius for an orbit
/// seen from the side) and with the magnitude that the planet's distance gives it tonight; or, without an orbit, the planet
/// itself, alone among the stars.
fn point(detail: &Detail, seen: &Appearance) -> Option<Sight> {
    let nearer = seen.distance_au / mean_opposition_au(detail.body);
    let off_arcsec = |orbit_km| FRAC_2_PI * arcsec_of_km(orbit_km, seen);
    Some(Sight::Point {
        magnitude: detail.magnitude? + 5.0 * nearer.log10(),
        from_body_arcsec: detail.orbit_km.map_or(f64::INFINITY, off_arcsec),
    })
}
