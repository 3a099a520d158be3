//! How a body's axis lies and how far it has turned: IAU WGCCRE 2015.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::constants::JULIAN_CENTURY_DAYS;
use crate::sky::Body;
use crate::sky::vector::{Vec3, direction, longitude_latitude_deg};
use crate::tables;
use crate::units::wrap_360_deg;

/// Which angle a row of the table adds to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
enum Angle {
    #[serde(rename = "ra")]
    PoleRightAscension,
    #[serde(rename = "dec")]
    PoleDeclination,
    /// Of the body's own system (Jupiter: System III).
    #[serde(rename = "w")]
    PrimeMeridian,
    #[serde(rename = "w1")]
    System1,
    #[serde(rename = "w2")]
    System2,
}

/// How it depends on time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
enum Form {
    #[serde(rename = "poly0")]
    Constant,
    #[serde(rename = "poly1")]
    Linear,
    #[serde(rename = "poly2")]
    Square,
    #[serde(rename = "sin")]
    Sine,
    #[serde(rename = "cos")]
    Cosine,
}

/// In what time is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum TimeUnit {
    Day,
    Century,
}

/// One row of data/rotation.tsv.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
struct Term {
    body: Body,
    angle: Angle,
    form: Form,
    amplitude_deg: f64,
    phase_deg: f64,
    rate_deg: f64,
    per: TimeUnit,
}

impl Term {
    fn value_deg(&self, tdb_days: f64) -> f64 {
        let t = match self.per {
            TimeUnit::Day => tdb_days,
            TimeUnit::Century => tdb_days / JULIAN_CENTURY_DAYS,
        };
        let argument_rad = (self.phase_deg + self.rate_deg * t).to_radians();
        self.amplitude_deg
            * match self.form {
                Form::Constant => 1.0,
                Form::Linear => t,
                Form::Square => t * t,
                Form::Sine => argument_rad.sin(),
                Form::Cosine => argument_rad.cos(),
            }
    }
}

static TERMS: LazyLock<Vec<Term>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/rotation.tsv")));

fn angle_deg(body: Body, angle: Angle, tdb_days: f64) -> f64 {
    let terms = TERMS
        .iter()
        .filter(|term| (term.body, term.angle) == (body, angle));
    terms.map(|term| term.value_deg(tdb_days)).sum()
}

/// A body's axes at one instant. Only for Moon, Mars, Jupiter, Saturn, Uranus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotation {
    /// Unit vector of the north pole, ICRF.
    pub pole: Vec3,
    pole_right_ascension_deg: f64,
    pole_declination_deg: f64,
    body: Body,
    tdb_days: f64,
}

/// The rotation of a body at so many days of TDB since J2000.0; for what an observer sees now, the
/// instant the light left the body.
pub fn rotation(body: Body, tdb_days: f64) -> Rotation {
    let pole_right_ascension_deg = angle_deg(body, Angle::PoleRightAscension, tdb_days);
    let pole_declination_deg = angle_deg(body, Angle::PoleDeclination, tdb_days);
    Rotation {
        pole: direction(pole_right_ascension_deg, pole_declination_deg),
        pole_right_ascension_deg,
        pole_declination_deg,
        body,
        tdb_days,
    }
}

impl Rotation {
    /// East longitude, `[0, 360)`, and planetocentric latitude, degrees, of the point of the body
    /// that has the given direction (ICRF, from the body's centre) overhead.
    pub fn longitude_latitude_deg(&self, from_centre: Vec3) -> (f64, f64) {
        self.in_system(Angle::PrimeMeridian, from_centre)
    }

    /// West longitudes of that point in Jupiter's Systems I, II and III.
    pub fn west_longitudes_of_three_systems_deg(&self, from_centre: Vec3) -> [f64; 3] {
        [Angle::System1, Angle::System2, Angle::PrimeMeridian]
            .map(|system| wrap_360_deg(-self.in_system(system, from_centre).0))
    }

    fn in_system(&self, system: Angle, from_centre: Vec3) -> (f64, f64) {
        let (along_deg, latitude_deg) = longitude_latitude_deg(self.equatorial(from_centre));
        let turned_deg = angle_deg(self.body, system, self.tdb_days);
        (wrap_360_deg(along_deg - turned_deg), latitude_deg)
    }

    /// Axes: ascending node of the body's equator on the ICRF equator, 90 degrees on, the pole.
    fn equatorial(&self, v: Vec3) -> Vec3 {
        let (sin_a, cos_a) = self.pole_right_ascension_deg.to_radians().sin_cos();
        let (sin_d, cos_d) = self.pole_declination_deg.to_radians().sin_cos();
        let node = cos_a * v[1] - sin_a * v[0];
        let toward_pole = cos_a * v[0] + sin_a * v[1];
        [
            node,
            cos_d * v[2] - sin_d * toward_pole,
            cos_d * toward_pole + sin_d * v[2],
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_whole() {
        assert_eq!(TERMS.len(), 87);
        for body in [
            Body::Moon,
            Body::Mars,
            Body::Jupiter,
            Body::Saturn,
            Body::Uranus,
        ] {
            for angle in [
                Angle::PoleRightAscension,
                Angle::PoleDeclination,
                Angle::PrimeMeridian,
            ] {
                let has_row = TERMS
                    .iter()
                    .any(|term| (term.body, term.angle) == (body, angle));
                assert!(has_row, "{body:?} has no {angle:?}");
            }
        }
    }

    #[test]
    fn the_pole_has_the_pole_overhead() {
        let rotation = rotation(Body::Mars, 9_000.0);
        let (_, latitude_deg) = rotation.longitude_latitude_deg(rotation.pole);
        assert!((latitude_deg - 90.0).abs() < 1e-6);
    }
}
