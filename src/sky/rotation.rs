//! How a body's axis lies and how far it has turned: IAU WGCCRE 2015.

use std::sync::LazyLock;

use crate::constants::JULIAN_CENTURY_DAYS;
use crate::sky::Body;
use crate::sky::vector::{Vec3, direction, longitude_latitude_deg};
use crate::units::wrap_360_deg;

/// Which angle a row of the table adds to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Angle {
    PoleRightAscension,
    PoleDeclination,
    /// Of the body's own system (Jupiter: System III).
    PrimeMeridian,
    System1,
    System2,
}

/// How it depends on time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Power(i32),
    Sine,
    Cosine,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Term {
    body: Body,
    angle: Angle,
    form: Form,
    amplitude_deg: f64,
    phase_deg: f64,
    rate_deg: f64,
    unit_days: f64,
}

impl Term {
    fn value_deg(&self, tdb_days: f64) -> f64 {
        let t = tdb_days / self.unit_days;
        let argument_rad = (self.phase_deg + self.rate_deg * t).to_radians();
        self.amplitude_deg
            * match self.form {
                Form::Power(power) => t.powi(power),
                Form::Sine => argument_rad.sin(),
                Form::Cosine => argument_rad.cos(),
            }
    }
}

static TERMS: LazyLock<Vec<Term>> = LazyLock::new(|| {
    parsed_terms(include_str!("../../data/rotation.tsv"))
        .expect("the table of rotations in data/ is checked by a test")
});

fn parsed_terms(table: &str) -> Option<Vec<Term>> {
    let rows = table
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("body\t"));
    rows.map(parsed_term).collect()
}

fn parsed_term(line: &str) -> Option<Term> {
    let mut cells = line.split('\t');
    Some(Term {
        body: Body::from_id(cells.next()?)?,
        angle: match cells.next()? {
            "ra" => Angle::PoleRightAscension,
            "dec" => Angle::PoleDeclination,
            "w" => Angle::PrimeMeridian,
            "w1" => Angle::System1,
            "w2" => Angle::System2,
            _ => return None,
        },
        form: match cells.next()? {
            "poly0" => Form::Power(0),
            "poly1" => Form::Power(1),
            "poly2" => Form::Power(2),
            "sin" => Form::Sine,
            "cos" => Form::Cosine,
            _ => return None,
        },
        amplitude_deg: cells.next()?.parse().ok()?,
        phase_deg: cells.next()?.parse().ok()?,
        rate_deg: cells.next()?.parse().ok()?,
        unit_days: match cells.next()? {
            "day" => 1.0,
            "century" => JULIAN_CENTURY_DAYS,
            _ => return None,
        },
    })
}

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
