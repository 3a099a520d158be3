//! What a telescope is pointed at: a body of the solar system, or something beyond it.

use crate::sky::Appearance;
use crate::sky::Body;
use crate::sky::stars::StarAppearance;
use crate::targets::asked::Asked;
use crate::targets::asked::asked_of;
use crate::targets::beyond::Beyond;
use crate::targets::beyond::beyond;
use crate::targets::conditions::Told;
use crate::targets::details::detail;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Subject {
    /// The Moon or a planet.
    Body(Body),
    /// Something among the stars.
    Beyond(Beyond),
}

/// The subject on which something of that id is to be seen; `None` where nothing is called so.
pub fn subject_of(id: &str) -> Option<Subject> {
    let of_body = detail(id).map(|detail| Subject::Body(detail.body));
    let has_it = |there: &Beyond| there.asked(0.0).iter().any(|asked| asked.caption.id == id);
    of_body.or_else(|| beyond().find(has_it).map(Subject::Beyond))
}

impl Subject {
    /// Lower case, stable: `jupiter`, `albireo`.
    pub fn id(&self) -> &str {
        match self {
            Subject::Body(body) => body.id(),
            Subject::Beyond(there) => there.id(),
        }
    }

    /// As written in a list for people.
    pub fn name(&self) -> &str {
        match self {
            Subject::Body(body) => body.name(),
            Subject::Beyond(there) => there.name(),
        }
    }

    /// The body of the solar system with a face and details of its own.
    pub fn body(&self) -> Option<Body> {
        match self {
            Subject::Body(body) => Some(*body),
            Subject::Beyond(_) => None,
        }
    }
}

/// A subject as it stands at one instant over one place.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// The Moon or a planet.
    Body(Appearance),
    /// Something among the stars.
    Beyond(Beyond, StarAppearance),
}

impl Seen {
    /// What is seen.
    pub fn subject(&self) -> Subject {
        match self {
            Seen::Body(appearance) => Subject::Body(appearance.body),
            Seen::Beyond(there, _) => Subject::Beyond(*there),
        }
    }

    /// What can be asked of it then, at days of TT since J2000.0.
    pub fn asked(&self, tt_days: f64, told: &Told) -> Vec<Asked> {
        match self {
            Seen::Body(appearance) => asked_of(appearance, told),
            Seen::Beyond(there, _) => there.asked(tt_days),
        }
    }

    /// With its face, if it is a body that has one.
    pub fn appearance(&self) -> Option<&Appearance> {
        match self {
            Seen::Body(appearance) => Some(appearance),
            Seen::Beyond(..) => None,
        }
    }

    /// Topocentric, of its middle, without refraction.
    pub fn altitude_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.altitude_deg,
            Seen::Beyond(_, star) => star.altitude_deg,
        }
    }

    /// With refraction.
    pub fn refracted_altitude_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.refracted_altitude_deg,
            Seen::Beyond(_, star) => star.refracted_altitude_deg,
        }
    }

    /// From north through east.
    pub fn azimuth_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.azimuth_deg,
            Seen::Beyond(_, star) => star.azimuth_deg,
        }
    }

    /// Topocentric angle from the Sun.
    pub fn elongation_deg(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.elongation_deg,
            Seen::Beyond(_, star) => star.elongation_deg,
        }
    }

    /// Apparent visual magnitude above the air.
    pub fn magnitude(&self) -> f64 {
        match self {
            Seen::Body(appearance) => appearance.magnitude,
            Seen::Beyond(there, _) => there.magnitude(),
        }
    }

    /// Topocentric right ascension and declination, true equator and equinox of date.
    pub fn topocentric_deg(&self) -> (f64, f64) {
        match self {
            Seen::Body(appearance) => (
                appearance.topocentric_right_ascension_deg,
                appearance.topocentric_declination_deg,
            ),
            Seen::Beyond(_, star) => (
                star.topocentric_right_ascension_deg,
                star.topocentric_declination_deg,
            ),
        }
    }
}
