//! The bright asteroids that the program knows by itself.

use std::sync::LazyLock;

use crate::constants::J2000_JD;

use super::{Brightness, Elements, Size, SmallBody, Timing};

static ASTEROIDS: LazyLock<Vec<SmallBody>> = LazyLock::new(|| {
    parsed(include_str!("../../../data/asteroids.csv"))
        .expect("the table of asteroids in data/ is checked by a test")
});

/// Twenty-two asteroids that reach magnitude 10 at a middling opposition, in the order of discovery.
pub fn asteroids() -> &'static [SmallBody] {
    &ASTEROIDS
}

fn parsed(table: &str) -> Option<Vec<SmallBody>> {
    table
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(row)
        .collect()
}

fn row(line: &str) -> Option<SmallBody> {
    let cells: Vec<&str> = line.split(',').collect();
    let number = |idx: usize| cells.get(idx)?.trim().parse::<f64>().ok();
    let name = cells.get(1)?.trim();
    let elements = Elements {
        epoch_tt_days: number(2)? - J2000_JD,
        size: Size::SemiMajorAxisAu(number(3)?),
        eccentricity: number(4)?,
        inclination_deg: number(5)?,
        node_deg: number(6)?,
        argument_of_perihelion_deg: number(7)?,
        timing: Timing::MeanAnomalyDeg(number(8)?),
    };
    Some(SmallBody {
        id: name.to_lowercase(),
        name: name.to_string(),
        elements,
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
        error_arcsec: number(11)?,
        brightness: Brightness::Asteroid {
            h_mag: number(9)?,
            g: number(10)?,
        },
    })
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
