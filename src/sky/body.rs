//! Sun, Moon and planets: names, sizes, and where the ephemeris keeps them.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::constants::{ARCSEC_PER_RAD, AU_KM};
use crate::sky::ephemeris::EphemerisBody;
use crate::tables;

/// What moves among the stars and is bright enough for a small telescope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Body {
    /// The Sun: a caution, never a target.
    Sun,
    /// The Moon.
    Moon,
    /// Mercury.
    Mercury,
    /// Venus.
    Venus,
    /// Mars.
    Mars,
    /// Jupiter.
    Jupiter,
    /// Saturn.
    Saturn,
    /// Uranus.
    Uranus,
    /// Neptune.
    Neptune,
}

impl Body {
    /// All of them, the Sun first, then the Moon, then outward.
    pub const ALL: [Body; 9] = [
        Body::Sun,
        Body::Moon,
        Body::Mercury,
        Body::Venus,
        Body::Mars,
        Body::Jupiter,
        Body::Saturn,
        Body::Uranus,
        Body::Neptune,
    ];

    /// The planets alone, outward.
    pub const PLANETS: &'static [Body] = Body::ALL.split_at(2).1;

    /// Lower case, as in machine-readable output and in the data tables.
    pub fn id(self) -> &'static str {
        match self {
            Body::Sun => "sun",
            Body::Moon => "moon",
            Body::Mercury => "mercury",
            Body::Venus => "venus",
            Body::Mars => "mars",
            Body::Jupiter => "jupiter",
            Body::Saturn => "saturn",
            Body::Uranus => "uranus",
            Body::Neptune => "neptune",
        }
    }

    /// As written in a list for people.
    pub fn name(self) -> &'static str {
        match self {
            Body::Sun => "Sun",
            Body::Moon => "Moon",
            Body::Mercury => "Mercury",
            Body::Venus => "Venus",
            Body::Mars => "Mars",
            Body::Jupiter => "Jupiter",
            Body::Saturn => "Saturn",
            Body::Uranus => "Uranus",
            Body::Neptune => "Neptune",
        }
    }

    /// The body of an [`id`](Body::id).
    pub fn from_id(id: &str) -> Option<Body> {
        Body::ALL.into_iter().find(|body| body.id() == id)
    }

    /// Where the ephemeris keeps it.
    pub fn target(self) -> EphemerisBody {
        match self {
            Body::Sun => EphemerisBody::Sun,
            Body::Moon => EphemerisBody::Moon,
            Body::Mercury => EphemerisBody::Mercury,
            Body::Venus => EphemerisBody::Venus,
            Body::Mars => EphemerisBody::Mars,
            Body::Jupiter => EphemerisBody::Jupiter,
            Body::Saturn => EphemerisBody::Saturn,
            Body::Uranus => EphemerisBody::Uranus,
            Body::Neptune => EphemerisBody::Neptune,
        }
    }

    /// Equatorial radius, km.
    pub fn equatorial_radius_km(self) -> f64 {
        RADII[self as usize].equatorial_radius_km
    }

    /// Polar radius, km.
    pub fn polar_radius_km(self) -> f64 {
        RADII[self as usize].polar_radius_km
    }

    /// Angular semidiameter of the equator at a distance, radians.
    pub fn semidiameter_rad(self, distance_au: f64) -> f64 {
        (self.equatorial_radius_km() / (distance_au * AU_KM)).asin()
    }

    /// Angular diameter of the equator at a distance, arcseconds.
    pub fn diameter_arcsec(self, distance_au: f64) -> f64 {
        2.0 * self.semidiameter_rad(distance_au) * ARCSEC_PER_RAD
    }
}

/// One row of data/bodies.tsv.
#[derive(Debug, Clone, Copy, Deserialize)]
struct RadiiRow {
    body: Body,
    equatorial_radius_km: f64,
    polar_radius_km: f64,
}

/// In the order of [`Body::ALL`].
static RADII: LazyLock<[RadiiRow; 9]> = LazyLock::new(|| {
    let rows: Vec<RadiiRow> = tables::rows(include_str!("../../data/bodies.tsv"));
    Body::ALL.map(|body| {
        let row = rows.iter().find(|row| row.body == body);
        *row.expect("a test asks for every body's radii")
    })
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_body_has_sane_radii() {
        for body in Body::ALL {
            let (equator, pole) = (body.equatorial_radius_km(), body.polar_radius_km());
            assert!(
                1000.0 < pole && pole <= equator && equator < 700_000.0,
                "{body:?}"
            );
            assert_eq!(Body::from_id(body.id()), Some(body));
        }
    }
}
