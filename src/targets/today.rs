//! What a detail looks like tonight before any telescope: its pattern in arcseconds, its contrast
//! and how bright its surroundings are.
//!
//! Sizes follow the body's distance, the Sun's height over a place on the Moon, the tilt of Mars
//! and the opening of Saturn's ring.

use std::f64::consts::FRAC_2_PI;

use crate::constants::{ARCSEC_PER_RAD, AU_KM};
use crate::eye::detect::Pattern;
use crate::sky::moons::view::SatelliteView;
use crate::sky::{Appearance, Body, Face};
use crate::targets::details::{Detail, Shape, SizeUnit};
use crate::targets::{luminance, moon, ring};

/// A detail tonight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Today {
    /// What is to be told from its surroundings.
    pub sight: Sight,
    /// Luminance of the surroundings above the air, cd/m²; of the body itself for what stands
    /// against the sky.
    pub luminance_cd_m2: f64,
    /// Height of the Sun over the place, degrees (Moon only).
    pub sun_altitude_deg: Option<f64>,
    /// How many times the threshold of "something is there" is asked for before it counts as
    /// recognised.
    pub recognition: f64,
}

/// What has to be told from its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// A pattern on a bright ground.
    Marking {
        /// Shape and size, arcseconds.
        pattern: Pattern,
        /// Weber: -1 black, +1 twice as bright; +1 also for what stands bright against the sky,
        /// reckoned on its own luminance.
        contrast: f64,
    },
    /// A point beside a bright body, or alone in the sky.
    Point {
        /// Tonight, above the air.
        magnitude: f64,
        /// From the middle of the body, arcseconds, a usual value; without a body it means nothing.
        from_body_arcsec: f64,
    },
    /// A large faint area against the sky, beside the bright part of its body or alone.
    Glow {
        /// Diameter, arcseconds.
        diameter_arcsec: f64,
        /// Above the air.
        surface_brightness_mag_arcsec2: f64,
    },
    /// Two stars that are to be seen as two.
    Pair {
        /// From star to star, arcseconds.
        separation_arcsec: f64,
        /// Above the air.
        magnitude_a: f64,
        /// Above the air; which of the two is the brighter does not matter.
        magnitude_b: f64,
    },
}

impl Sight {
    /// The narrow way across, arcseconds; 0 for points and glows, which have no stripes.
    pub fn width_arcsec(&self) -> f64 {
        match *self {
            Sight::Point { .. } | Sight::Glow { .. } => 0.0,
            Sight::Pair {
                separation_arcsec, ..
            } => separation_arcsec,
            Sight::Marking { pattern, .. } => match pattern {
                Pattern::Bar {
                    width_arcsec,
                    length_arcsec,
                }
                | Pattern::Dip {
                    width_arcsec,
                    length_arcsec,
                } => width_arcsec.min(length_arcsec),
                _ => self.span_arcsec(),
            },
        }
    }

    /// The long way across, arcseconds; 0 for a point.
    pub fn span_arcsec(&self) -> f64 {
        match *self {
            Sight::Point { .. } => 0.0,
            Sight::Glow {
                diameter_arcsec, ..
            } => diameter_arcsec,
            Sight::Pair {
                separation_arcsec, ..
            } => separation_arcsec,
            Sight::Marking { pattern, .. } => match pattern {
                Pattern::Bar {
                    width_arcsec,
                    length_arcsec,
                }
                | Pattern::Dip {
                    width_arcsec,
                    length_arcsec,
                } => width_arcsec.max(length_arcsec),
                Pattern::Edge { length_arcsec } => length_arcsec,
                Pattern::Spot { diameter_arcsec }
                | Pattern::CraterShadow { diameter_arcsec }
                | Pattern::DiscNotStar { diameter_arcsec } => diameter_arcsec,
                Pattern::Pair {
                    separation_arcsec, ..
                } => separation_arcsec,
            },
        }
    }
}

impl Today {
    /// The same moon of a planet where it stands, and as bright as it is.
    pub(super) fn at_its_place(self, moon: &SatelliteView) -> Today {
        Today {
            sight: Sight::Point {
                magnitude: moon.magnitude,
                from_body_arcsec: moon.east_arcsec.hypot(moon.north_arcsec),
            },
            ..self
        }
    }

    /// Something that stands alone in the sky: on no disc and beside none.
    pub fn alone(sight: Sight) -> Today {
        Today {
            sight,
            luminance_cd_m2: 0.0,
            sun_altitude_deg: None,
            recognition: 1.0,
        }
    }
}

/// The detail tonight; `None` where it faces away from us (or the face is not known).
pub fn today(detail: &Detail, seen: &Appearance) -> Option<Today> {
    match detail.body {
        Body::Moon => moon::today(detail, seen),
        Body::Saturn => ring::today(detail, seen),
        _ => {
            let sight = match detail.shape {
                Shape::Cap => cap(detail, seen)?,
                _ => plain_sight(detail, seen, Foreshortening::NONE)?,
            };
            let luminance_cd_m2 = luminance::lit_disc_cd_m2(seen);
            Some(Today {
                sight,
                luminance_cd_m2,
                sun_altitude_deg: None,
                recognition: recognition(detail.shape),
            })
        }
    }
}

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
}

/// A shape is recognised (a disc, and not merely "no star"; a half moon, and not merely "not
/// round") at about twice the contrast at which a difference is noticed. Without it the discs of
/// Uranus and Neptune come out a good deal too easy. Common practice, no source.
pub(super) const SHAPE_RECOGNITION: f64 = 2.0;

pub(super) fn recognition(shape: Shape) -> f64 {
    match shape {
        Shape::Disc | Shape::Phase | Shape::Flattening => SHAPE_RECOGNITION,
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
    Some(match detail.shape {
        Shape::Belt | Shape::Line | Shape::Flattening => bar(across, along, contrast?),
        Shape::Patch => blob(across, along, contrast?),
        Shape::MoonShadow | Shape::MoonBeforeDisc => spot(across, contrast?),
        Shape::Phase => {
            let lit = seen.illuminated_fraction;
            bar(
                across * lit.min(1.0 - lit),
                across * LUNE_LENGTH_DIAMETERS,
                contrast?,
            )
        }
        Shape::Disc => Sight::Marking {
            pattern: Pattern::DiscNotStar {
                diameter_arcsec: across,
            },
            contrast: contrast?,
        },
        Shape::Glow => Sight::Glow {
            diameter_arcsec: across,
            surface_brightness_mag_arcsec2: detail.magnitude?,
        },
        Shape::Point => point(detail, seen)?,
        _ => return None,
    })
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
    }
}

pub(super) fn spot(diameter_arcsec: f64, contrast: f64) -> Sight {
    Sight::Marking {
        pattern: Pattern::Spot { diameter_arcsec },
        contrast,
    }
}

/// A moon, at its mean apparent distance from the planet (2/π of the orbit's radius for an orbit
/// seen from the side) and with the magnitude that the planet's distance gives it tonight.
fn point(detail: &Detail, seen: &Appearance) -> Option<Sight> {
    let nearer = seen.distance_au / mean_opposition_au(detail.body);
    Some(Sight::Point {
        magnitude: detail.magnitude? + 5.0 * nearer.log10(),
        from_body_arcsec: FRAC_2_PI * arcsec_of_km(detail.orbit_km?, seen),
    })
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
    // A lens covers two thirds of the bar around it.
    let thick = 2.0 / 3.0 * radius_arcsec * (far - near);
    let wide = 2.0 * radius_arcsec * half_width;
    Some(blob(thick, wide, detail.contrast?.likely))
}
