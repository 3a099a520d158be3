//! The bright asteroids that the program knows by itself.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::constants::J2000_JD;
use crate::tables;

use super::{Brightness, Elements, Size, SmallBody, Timing};

static ASTEROIDS: LazyLock<Vec<SmallBody>> = LazyLock::new(|| {
    let rows = tables::rows(include_str!("../../../data/asteroids.csv"));
    rows.into_iter().map(asteroid_of).collect()
});

/// Twenty-two asteroids that reach magnitude 10 at a middling opposition, in the order of discovery.
pub fn asteroids() -> &'static [SmallBody] {
    &ASTEROIDS
}

/// What the program uses of a row of data/asteroids.csv.
#[derive(Deserialize)]
struct AsteroidRow {
    name: String,
    epoch_jd: f64,
    semi_major_axis_au: f64,
    eccentricity: f64,
    inclination_deg: f64,
    node_deg: f64,
    argument_of_perihelion_deg: f64,
    mean_anomaly_deg: f64,
    h_mag: f64,
    g: f64,
    error_arcsec: f64,
}

fn asteroid_of(row: AsteroidRow) -> SmallBody {
    SmallBody {
        id: row.name.to_lowercase(),
        name: row.name,
        elements: Elements {
            epoch_tt_days: row.epoch_jd - J2000_JD,
            size: Size::SemiMajorAxisAu(row.semi_major_axis_au),
            eccentricity: row.eccentricity,
            inclination_deg: row.inclination_deg,
            node_deg: row.node_deg,
            argument_of_perihelion_deg: row.argument_of_perihelion_deg,
            timing: Timing::MeanAnomalyDeg(row.mean_anomaly_deg),
        },
        // Nine digits are given: what the orbit itself is worth counts, not its rounding.
        rounding: Elements {
            epoch_tt_days: 0.0,
            size: Size::SemiMajorAxisAu(0.0),
            eccentricity: 0.0,
            inclination_deg: 0.0,
            node_deg: 0.0,
            argument_of_perihelion_deg: 0.0,
            timing: Timing::MeanAnomalyDeg(0.0),
        },
        error_arcsec: row.error_arcsec,
        brightness: Brightness::Asteroid {
            h_mag: row.h_mag,
            g: row.g,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_an_orbit_in_the_belt() {
        assert_eq!(asteroids().len(), 22);
        for body in asteroids() {
            let elements = body.elements;
            let Size::SemiMajorAxisAu(axis_au) = elements.size else {
                panic!("{}: the table gives half axes", body.name);
            };
            assert!((2.1..3.3).contains(&axis_au), "{}", body.name);
            assert!((0.0..0.3).contains(&elements.eccentricity), "{}", body.name);
            assert!(
                (0.0..40.0).contains(&elements.inclination_deg),
                "{}",
                body.name
            );
            assert!(elements.unperturbed(elements.epoch_tt_days).is_some());
        }
    }

    #[test]
    fn elements_are_those_of_the_minor_planet_center() {
        // MPCORB row of (1) Ceres, epoch K2669, orbit MPO980521: five decimals in angles, seven in axis.
        let ceres = asteroids()[0].elements;
        assert_eq!(ceres.epoch_tt_days + J2000_JD, 2_461_200.5);
        let Timing::MeanAnomalyDeg(anomaly_deg) = ceres.timing else {
            panic!("the table gives mean anomalies");
        };
        for (got, want) in [
            (anomaly_deg, 274.41935),
            (ceres.argument_of_perihelion_deg, 73.29420),
            (ceres.node_deg, 80.24863),
            (ceres.inclination_deg, 10.58803),
        ] {
            // Two fits of the same observations: a tenth of an arcsecond is 3e-5 degrees.
            assert!((got - want).abs() < 3e-5, "want {want}, got {got}");
        }
    }
}
