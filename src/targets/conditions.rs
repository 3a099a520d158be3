//! Whether a detail is there tonight at all: phase, season, face, ring, shadows.
//!
//! Decides from what the sky says of the body; knows nothing of telescopes. Where something is
//! missing the answer is an [`Unmet`] with the number that matters.

use crate::sky::moons::view::SatelliteView;
use crate::sky::ring_light::year_ring_opens_to;
use crate::sky::satellite_events::{Passage, SatelliteEventKind};
use crate::sky::{Appearance, Body, Face, almanac};
use crate::targets::details::{Bounds, Detail, Shape};
use crate::targets::sight::Today;
use crate::targets::today::today;
use crate::units::wrap_180_deg;

/// What one look at a body does not show: what only observers can tell, and what its moons do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// When the look is, days of TT since J2000.0: lets an answer say what comes later.
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
    /// Saturn's ring is too closed for it.
    RingTooClosed {
        /// Opening toward us tonight, either face, degrees.
        opening_deg: f64,
        /// Least opening at which it can be expected.
        needs_deg: f64,
        /// The year in which it opens so far, where somebody said when the look is.
        opens_in: Option<i32>,
    },
    /// Saturn's ring is too open: the detail belongs to the years of the ring seen edge on.
    RingTooOpen {
        /// Opening toward us tonight, degrees.
        opening_deg: f64,
    },
    /// Sun and Earth are on opposite faces of the ring, or one is in its plane.
    RingUnlit,
    /// The body is too small tonight.
    TooSmall {
        /// Tonight, arcseconds.
        diameter_arcsec: f64,
        /// Least diameter at which it can be expected.
        needs_arcsec: f64,
    },
    /// The body is lit too much or too little.
    WrongPhase {
        /// Lit fraction tonight.
        lit: f64,
        /// Where it shows.
        needs: Bounds,
    },
    /// The Sun stands too high or too low over the place.
    NotOnTerminator {
        /// Height of the Sun over the place, degrees, negative in its night.
        sun_altitude_deg: f64,
        /// Where it shows.
        needs: Bounds,
    },
    /// It is on the side turned away, or too near the edge.
    OtherFace,
    /// It belongs to another season of Mars.
    Season {
        /// Solar longitude tonight, degrees.
        solar_longitude_deg: f64,
    },
    /// The Sun shines from right behind us: shadows hide behind what throws them.
    TooNearOpposition {
        /// Angle Sun-body-observer tonight, degrees.
        phase_angle_deg: f64,
    },
    /// The moon is hidden: behind the planet, before its disc or in its shadow.
    MoonHidden,
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

impl Unmet {
    /// Whether a visitor will ask for it tonight all the same, so that it is listed as beyond:
    /// the ring too closed, the disc too small. What is merely on the other side, in another
    /// season or without its shadows is not missed.
    pub fn is_asked_for(&self) -> bool {
        matches!(self, Unmet::RingTooClosed { .. } | Unmet::TooSmall { .. })
    }
}

/// What the detail looks like tonight, before any telescope; or why it is not there.
pub fn shows_tonight(detail: &Detail, seen: &Appearance, told: &Told) -> Result<Today, Unmet> {
    let conditions = &detail.conditions;
    needs_season(detail, seen)?;
    needs_face(detail, seen, told)?;
    needs_phase(detail, seen)?;
    needs_ring(detail, seen, told)?;
    needs_passage(detail, told)?;
    let today = today(detail, seen).ok_or(Unmet::OtherFace)?;
    let today = match moon_of(detail, told) {
        Some(moon) if moon.is_hidden() => {
            return Err(Unmet::MoonHidden);
        }
        Some(moon) => today.at_its_place(moon),
        None => today,
    };
    if let Some(sun_altitude_deg) = today.sun_altitude_deg
        && !conditions.sun_altitude_deg.holds(sun_altitude_deg)
    {
        return Err(Unmet::NotOnTerminator {
            sun_altitude_deg,
            needs: conditions.sun_altitude_deg,
        });
    }
    if let Some(needs_arcsec) = conditions.diameter_arcsec.least
        && seen.diameter_arcsec < needs_arcsec
    {
        return Err(Unmet::TooSmall {
            diameter_arcsec: seen.diameter_arcsec,
            needs_arcsec,
        });
    }
    Ok(today)
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
    let Some(window_deg) = detail.conditions.window_deg else {
        return Ok(());
    };
    let stated_deg = if detail.conditions.needs_red_spot {
        told.red_spot_longitude_deg
    } else {
        detail.longitude_deg
    };
    let longitude_deg = stated_deg.ok_or(Unmet::NotStated(Unstated::RedSpotLongitude))?;
    let meridian_deg = match seen.face {
        Face::Mars {
            central_meridian_deg,
            ..
        } => central_meridian_deg,
        Face::Jupiter {
            central_meridian_2_deg,
            ..
        } => central_meridian_2_deg,
        _ => return Err(Unmet::NotStated(Unstated::Face)),
    };
    if wrap_180_deg(longitude_deg - meridian_deg).abs() <= window_deg {
        Ok(())
    } else {
        Err(Unmet::OtherFace)
    }
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

fn needs_phase(detail: &Detail, seen: &Appearance) -> Result<(), Unmet> {
    let conditions = &detail.conditions;
    if !conditions.lit.holds(seen.illuminated_fraction) {
        return Err(Unmet::WrongPhase {
            lit: seen.illuminated_fraction,
            needs: conditions.lit,
        });
    }
    if !conditions.phase_angle_deg.holds(seen.phase_angle_deg) {
        return Err(Unmet::TooNearOpposition {
            phase_angle_deg: seen.phase_angle_deg,
        });
    }
    Ok(())
}

fn needs_ring(detail: &Detail, seen: &Appearance, told: &Told) -> Result<(), Unmet> {
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
    let needs = detail.conditions.opening_deg;
    if ring_opening_earth_deg * ring_opening_sun_deg <= 0.0 {
        return Err(Unmet::RingUnlit);
    }
    match (needs.least, needs.most) {
        (Some(needs_deg), _) if opening_deg < needs_deg => Err(Unmet::RingTooClosed {
            opening_deg,
            needs_deg,
            opens_in: told
                .at_tt_days
                .and_then(|at| year_ring_opens_to(needs_deg, at)),
        }),
        (_, Some(most_deg)) if most_deg < opening_deg => Err(Unmet::RingTooOpen { opening_deg }),
        _ => Ok(()),
    }
}
