//! Whether a detail is there tonight at all: season, side turned to us, lit face, shadows.
//!
//! Decides from what the sky says of the body; knows nothing of telescopes. What is there but small, foreshortened or in
//! a bad light is for the chain to grade. Where something is missing the answer is an [`Unmet`] with the number that
//! matters.

use crate::eye::detect::Pattern;
use crate::sky::moons::view::SatelliteView;
use crate::sky::satellite_events::{Passage, SatelliteEventKind};
use crate::sky::{Appearance, Body, Face, almanac};
use crate::targets::details::{Detail, Shape};
use crate::targets::facing;
use crate::targets::moon::sun_over_deg;
use crate::targets::sight::{Sight, Today};
use crate::targets::today::{KnownOfLook, today};

/// What one look at a body does not show: what only observers can tell, and what its moons do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// When the look is, days of TT since J2000.0: says how far across the disc a moon or its shadow has come.
    pub at_tt_days: Option<f64>,
    /// System II longitude of the Great Red Spot this month, degrees; it drifts by a degree or
    /// two a month and cannot be computed.
    pub red_spot_longitude_deg: Option<f64>,
    /// The body's moons as they stand at the look; one that is not among them is taken to stand at
    /// its usual distance.
    pub moons: Vec<SatelliteView>,
    /// What Jupiter's moons do tonight.
    pub passages: Vec<Passage>,
}

/// Why a detail is not there tonight, whatever the telescope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unmet {
    /// Saturn's ring is too open: the detail belongs to the years of the ring seen edge on.
    RingTooOpen {
        /// Opening toward us tonight, degrees.
        opening_deg: f64,
    },
    /// Sun and Earth are on opposite faces of the ring, or one is in its plane.
    RingUnlit,
    /// The body is lit too much for what it is called.
    WrongPhase {
        /// Lit fraction tonight.
        lit: f64,
        /// Up to which it is called so.
        most: f64,
    },
    /// The Sun is down over the place, or so high that its walls throw no shadow, or so low that shadows drown it.
    NotOnTerminator {
        /// Height of the Sun over the place, degrees, negative in its night.
        sun_altitude_deg: f64,
        /// It is known by its shadows.
        by_shadows: bool,
    },
    /// Nothing is left of it: no size or no contrast.
    Vanished,
    /// It is on the side turned away.
    OtherFace,
    /// It belongs to another season of Mars.
    Season {
        /// Solar longitude tonight, degrees.
        solar_longitude_deg: f64,
    },
    /// The moon is hidden: behind the planet, before its disc or in its shadow.
    MoonHidden,
    /// The Earth's shadow is not so on the Moon.
    NoEclipse,
    /// No moon of its throws its shadow or crosses the disc tonight.
    NoPassage,
    /// Something that cannot be computed was not stated.
    NotStated(Unstated),
}

/// What a detail needs to be known and cannot be computed without being told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unstated {
    /// The longitude of the Great Red Spot.
    RedSpotLongitude,
    /// How the disc is turned.
    Face,
    /// How Saturn's ring is turned.
    Ring,
}

/// What the detail looks like tonight, before any telescope; or why it is not there.
pub fn shows_tonight(detail: &Detail, seen: &Appearance, told: &Told) -> Result<Today, Unmet> {
    needs_season(detail, seen)?;
    needs_face(detail, seen, told)?;
    needs_phase(detail, seen)?;
    needs_ring(detail, seen)?;
    needs_passage(detail, told)?;
    needs_eclipse(detail, seen)?;
    let today = today(detail, seen, &told.stated()).ok_or(Unmet::OtherFace)?;
    let today = match moon_of(detail, told) {
        Some(moon) if moon.is_hidden() => {
            return Err(Unmet::MoonHidden);
        }
        Some(moon) => today.at_its_place(moon),
        None => today,
    };
    match today.sun_altitude_deg {
        Some(sun_altitude_deg) if sun_altitude_deg <= 0.0 || is_nothing(&today.sight) => {
            Err(Unmet::NotOnTerminator {
                sun_altitude_deg,
                by_shadows: detail.relief_km.is_some(),
            })
        }
        None if is_nothing(&today.sight) => Err(Unmet::Vanished),
        _ => Ok(today),
    }
}

/// Whether it is turned away, from us or from the Sun.
pub(super) fn is_turned_away(detail: &Detail, seen: &Appearance, told: &Told) -> bool {
    match shows_tonight(detail, seen, told) {
        Err(Unmet::NotOnTerminator {
            sun_altitude_deg, ..
        }) => sun_altitude_deg <= 0.0,
        Err(unmet) => unmet == Unmet::OtherFace,
        Ok(_) => false,
    }
}

impl Told {
    pub(super) fn stated(&self) -> KnownOfLook {
        KnownOfLook {
            red_spot_longitude_deg: self.red_spot_longitude_deg,
            at_tt_days: self.at_tt_days,
        }
    }
}

/// Narrower than this nothing is worth a line among what does not show, arcseconds: a black line of it stays below every
/// threshold in half a metre of mirror.
const LEAST_WIDTH_ARCSEC: f64 = 0.01;

/// The same of contrasts: a quarter of the faintest stripe that the eye finds.
const LEAST_CONTRAST: f64 = 0.001;

/// Whether nothing is left of a pattern.
fn is_nothing(sight: &Sight) -> bool {
    match sight {
        Sight::Marking {
            contrast, pattern, ..
        } => {
            contrast.abs() < LEAST_CONTRAST
                || sight.width_arcsec() < LEAST_WIDTH_ARCSEC
                    && !matches!(pattern, Pattern::Edge { .. })
        }
        _ => false,
    }
}

fn needs_season(detail: &Detail, seen: &Appearance) -> Result<(), Unmet> {
    let (
        Some((from_deg, until_deg)),
        Face::Mars {
            solar_longitude_deg,
            ..
        },
    ) = (detail.conditions.season_deg, seen.face)
    else {
        return Ok(());
    };
    let since_deg = (solar_longitude_deg - from_deg).rem_euclid(360.0);
    let season_deg = (until_deg - from_deg).rem_euclid(360.0);
    if since_deg <= season_deg {
        Ok(())
    } else {
        Err(Unmet::Season {
            solar_longitude_deg,
        })
    }
}

fn needs_face(detail: &Detail, seen: &Appearance, told: &Told) -> Result<(), Unmet> {
    if detail.conditions.good_window_deg.is_none() {
        return Ok(());
    }
    let longitude_deg = facing::longitude_deg(detail, told.red_spot_longitude_deg)
        .ok_or(Unmet::NotStated(Unstated::RedSpotLongitude))?;
    let facing = facing::facing(detail, longitude_deg, seen);
    if facing.ok_or(Unmet::NotStated(Unstated::Face))? > 0.0 {
        Ok(())
    } else {
        Err(Unmet::OtherFace)
    }
}

/// How far outside its good light a detail stands, degrees: of the Sun over the place on the Moon, of longitude from the
/// middle of a turning disc; 0 within, and for whatever is always as good.
pub fn outside_good_light_deg(detail: &Detail, seen: &Appearance, told: &Told) -> f64 {
    let conditions = &detail.conditions;
    let turned_away = || {
        let longitude_deg = facing::longitude_deg(detail, told.red_spot_longitude_deg)?;
        let away_deg = facing::from_meridian_deg(longitude_deg, seen)?;
        Some((away_deg - conditions.good_window_deg?).max(0.0))
    };
    let sun_off = || Some(conditions.good_sun_deg.outside(sun_over_deg(detail, seen)?));
    turned_away().or_else(sun_off).unwrap_or(0.0)
}

/// The moon that a point is, where it stands.
fn moon_of<'a>(detail: &Detail, told: &'a Told) -> Option<&'a SatelliteView> {
    let satellite = detail.satellite.filter(|_| detail.shape == Shape::Point)?;
    told.moons.iter().find(|moon| moon.name == satellite)
}

/// The passages that a shadow on the disc or a moon before it needs; empty for all else.
pub(super) fn passages_of(detail: &Detail, told: &Told) -> impl Iterator<Item = almanac::Span> {
    let kind = passage_kind(detail.shape);
    let satellite = detail.satellite;
    told.passages
        .iter()
        .filter(move |passage| Some(passage.kind) == kind && Some(passage.satellite) == satellite)
        .map(|passage| passage.span)
}

/// What has to happen for a detail of that shape to be there.
pub(super) fn passage_kind(shape: Shape) -> Option<SatelliteEventKind> {
    match shape {
        Shape::MoonShadow => Some(SatelliteEventKind::Shadow),
        Shape::MoonBeforeDisc => Some(SatelliteEventKind::Transit),
        _ => None,
    }
}

fn needs_passage(detail: &Detail, told: &Told) -> Result<(), Unmet> {
    match passage_kind(detail.shape) {
        Some(_) if passages_of(detail, told).next().is_none() => Err(Unmet::NoPassage),
        _ => Ok(()),
    }
}

fn needs_eclipse(detail: &Detail, seen: &Appearance) -> Result<(), Unmet> {
    let in_umbra = seen.shadow.map_or(0.0, |shadow| shadow.umbral_magnitude());
    match detail.shape {
        Shape::EarthShadow if in_umbra <= 0.0 || 1.0 <= in_umbra => Err(Unmet::NoEclipse),
        Shape::InEarthShadow if in_umbra < 1.0 => Err(Unmet::NoEclipse),
        _ => Ok(()),
    }
}

fn needs_phase(detail: &Detail, seen: &Appearance) -> Result<(), Unmet> {
    match detail.conditions.most_lit {
        Some(most) if most < seen.illuminated_fraction => Err(Unmet::WrongPhase {
            lit: seen.illuminated_fraction,
            most,
        }),
        _ => Ok(()),
    }
}

fn needs_ring(detail: &Detail, seen: &Appearance) -> Result<(), Unmet> {
    if seen.body != Body::Saturn || !detail.shape.is_of_the_ring() {
        return Ok(());
    }
    let Face::Saturn {
        ring_opening_earth_deg,
        ring_opening_sun_deg,
        ..
    } = seen.face
    else {
        return Err(Unmet::NotStated(Unstated::Ring));
    };
    let opening_deg = ring_opening_earth_deg.abs();
    if ring_opening_earth_deg * ring_opening_sun_deg <= 0.0 {
        return Err(Unmet::RingUnlit);
    }
    match detail.conditions.most_opening_deg {
        Some(most_deg) if most_deg < opening_deg => Err(Unmet::RingTooOpen { opening_deg }),
        _ => Ok(()),
    }
}
