//! What a telescope is pointed at: a body of the solar system, or something beyond it.

use crate::sky::Appearance;
use crate::sky::Body;
use crate::targets::details::detail;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Subject {
    /// The Moon or a planet.
    Body(Body),
}

/// The subject on which something of that id is to be seen; `None` where nothing is called so.
pub fn subject_of(id: &str) -> Option<Subject> {
    detail(id).map(|detail| Subject::Body(detail.body))
}

impl Subject {
    /// Lower case, stable: `jupiter`, `albireo`.
    pub fn id(&self) -> &str {
        match self {
            Subject::Body(body) => body.id(),
        }
    }

    /// As written in a list for people.
    pub fn name(&self) -> &str {
        match self {
            Subject::Body(body) => body.name(),
        }
    }

    /// The body of the solar system with a face and details of its own.
    pub fn body(&self) -> Option<Body> {
        match self {
            Subject::Body(body) => Some(*body),
        }
    }
}

/// A subject as it stands at one instant over one place.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// The Moon or a planet.
    Body(Appearance),
}

impl Seen {
    /// With its face, if it is a body that has one.
    pub fn appearance(&self) -> Option<&Appearance> {
        match self {
            Seen::Body(appearance) => Some(appearance),
        }
    }

    /// Topocentric, of its middle, without refraction.
    pub fn altitude_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.altitude_deg,
        }
    }

    /// With refraction.
    pub fn refracted_altitude_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.refracted_altitude_deg,
        }
    }

    /// From north through east.
    pub fn azimuth_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.azimuth_deg,
        }
    }

    /// Topocentric angle from the Sun.
    pub fn elongation_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.elongation_deg,
        }
    }

    /// Apparent visual magnitude above the air.
    pub fn magnitude(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.magnitude,
        }
    }

    /// Topocentric right ascension and declination, true equator and equinox of date.
    pub fn topocentric_deg(&self) -> (f64, f64) {
        match self {
            Seen::Body(appearance) => (
                appearance.topocentric_right_ascension_deg,
                appearance.topocentric_declination_deg,
            ),
        }
    }
}
