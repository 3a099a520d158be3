//! Saturn's ring edge on: Earth or Sun passing through its plane.

use serde::Serialize;

use crate::constants::LIGHT_TIME_AU_DAYS;
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::apparent::Sighting;
use crate::sky::happenings::frame::{search_over, seen};
use crate::sky::rotation::rotation;
use crate::sky::search::crossings;
use crate::sky::vector::{Vec3, dot, length};

/// Who passes through the plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Passer {
    /// The Earth: the ring is a line.
    Earth,
    /// The Sun, as seen from Saturn when the light left it: day changes sides.
    Sun,
}

/// One passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingPlaneCrossing {
    /// Who.
    pub passer: Passer,
    /// To the northern side of the ring; else to the southern.
    pub northward: bool,
    /// Geocentric angle of Saturn from the Sun.
    pub elongation_deg: f64,
}

/// The Earth passes up to three times in a year, weeks apart at least.
const STEP_DAYS: f64 = 5.0;

/// All passages of a span: days of TT since J2000.0, and which.
///
/// Pole of the ring: IAU WGCCRE 2015 (table in data/); an error of 0.001 degrees of it moves a passage by
/// a quarter of an hour.
pub fn ring_plane_crossings(span: Span, passer: Passer) -> Vec<(f64, RingPlaneCrossing)> {
    let found = crossings(search_over(span, STEP_DAYS), |tt_days| {
        let saturn = seen(Body::Saturn, tt_days);
        let from_saturn = match passer {
            Passer::Earth => saturn.astrometric_au,
            Passer::Sun => saturn.heliocentric_au,
        };
        -sine_of_height(&saturn, from_saturn, tt_days)
    });
    (found.into_iter())
        .map(|crossing| {
            let passage = RingPlaneCrossing {
                passer,
                northward: crossing.rising,
                elongation_deg: super::frame::separation_rad(Body::Saturn, Body::Sun, crossing.at)
                    .to_degrees(),
            };
            (crossing.at, passage)
        })
        .collect()
}

/// Sine of a direction's height over the ring plane as it was when the light left Saturn.
fn sine_of_height(saturn: &Sighting, direction: Vec3, tt_days: f64) -> f64 {
    let then_days = tt_days - saturn.distance_au * LIGHT_TIME_AU_DAYS;
    let pole = rotation(Body::Saturn, then_days).pole;
    dot(pole, direction) / length(direction)
}
