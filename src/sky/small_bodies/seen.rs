//! How a small body looks from a place, and how bright it is.

use serde::Serialize;

use crate::sky::appearance::{ApparentPlace, Scene};
use crate::sky::magnitude::{Circumstances, asteroid_mag, comet_mag};
use crate::sky::vector::{angle_rad, length};

use super::{Brightness, Course, SmallBodyKind};

/// One small body as seen from one place at one instant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SmallBodySighting {
    /// Of the body.
    pub id: String,
    /// As written in a list for people.
    pub name: String,
    /// Asteroid or comet.
    pub kind: SmallBodyKind,
    /// Of its middle.
    #[serde(flatten)]
    pub place: ApparentPlace,
    /// Topocentric.
    pub distance_au: f64,
    /// From the Sun.
    pub sun_distance_au: f64,
    /// Angle Sun-body-observer.
    pub phase_angle_deg: f64,
    /// Outside the atmosphere; of a comet, coma and all.
    pub magnitude: f64,
    /// How far from there it may stand.
    pub error_arcsec: f64,
}

impl Scene {
    /// How a small body looks from here, now. `None` outside its course or the ephemeris.
    pub fn small_body(&self, course: &Course) -> Option<SmallBodySighting> {
        let body = course.body();
        let geocentric = course.sighting(self.geocentre, self.tt_days)?;
        let seen = course.sighting(self.observer, self.tt_days)?;
        let circumstances = Circumstances {
            sun_distance_au: length(seen.heliocentric_au),
            distance_au: seen.distance_au,
            phase_angle_deg: angle_rad(seen.heliocentric_au, seen.astrometric_au).to_degrees(),
        };
        Some(SmallBodySighting {
            id: body.id.clone(),
            name: body.name.clone(),
            kind: body.kind(),
            place: self.apparent_place(geocentric.apparent_au, seen.apparent_au),
            distance_au: circumstances.distance_au,
            sun_distance_au: circumstances.sun_distance_au,
            phase_angle_deg: circumstances.phase_angle_deg,
            magnitude: match body.brightness {
                Brightness::Asteroid { h_mag, g } => asteroid_mag(circumstances, h_mag, g),
                Brightness::Comet { m1_mag, k1 } => comet_mag(circumstances, m1_mag, k1),
            },
            error_arcsec: course.error_arcsec(self.tt_days)?,
        })
    }
}
