//! The table of double stars: where they stand, how bright, how far apart in a given year.
//!
//! One row a pair in `data/doubles.csv`, which explains its columns in its head and states the basis
//! of every position, magnitude and placement. Knows nothing of telescopes: [`Double::sight`] is what
//! [`crate::targets::chain`] takes.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::sky::kepler::eccentric_anomaly_rad;
use crate::sky::stars::CatalogueStar;
use crate::tables;
use crate::targets::sight::Sight;

/// Two stars.
#[derive(Debug, Clone, PartialEq)]
pub struct Double {
    /// Unique, stable, lower case: `gamma_leo`.
    pub id: String,
    /// As one would say it: "Albireo (beta Cygni)".
    pub name: String,
    /// What a visitor will really see, in one sentence.
    pub say: String,
    /// Of the brighter star, ICRS, epoch J2000.
    pub right_ascension_deg: f64,
    /// The same, north positive.
    pub declination_deg: f64,
    /// How the brighter star moves; `None` where it is not known.
    pub motion: Option<ProperMotion>,
    /// V of the brighter star.
    pub magnitude_a: f64,
    /// V of the fainter star.
    pub magnitude_b: f64,
    /// How the fainter star stands to the brighter.
    pub placement: Placement,
    /// Where the figures come from.
    pub basis: PairSources,
}

/// Proper motion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProperMotion {
    /// Along the parallel, milliarcseconds of arc a year.
    pub east_mas_yr: f64,
    /// Along the meridian.
    pub north_mas_yr: f64,
}

/// How the fainter star stands to the brighter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placement {
    /// As measured about a year; it hardly moves.
    Measured {
        /// When.
        epoch_year: f64,
        /// Then.
        apart: Separation,
    },
    /// On a computed orbit.
    Orbit(Orbit),
}

/// How far and which way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Separation {
    /// From star to star.
    pub separation_arcsec: f64,
    /// Of the fainter from the brighter, 0 to 360, from north through east.
    pub position_angle_deg: f64,
}

/// Orbit of the fainter star about the brighter as it appears, the usual elements of visual pairs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orbit {
    /// Julian years.
    pub period_years: f64,
    /// Time of periastron, Julian year.
    pub periastron_year: f64,
    /// Half of the long axis.
    pub axis_arcsec: f64,
    /// 0 to below 1.
    pub eccentricity: f64,
    /// Against the sky; above 90 the position angle falls.
    pub inclination_deg: f64,
    /// Position angle of the node, equinox J2000.
    pub node_deg: f64,
    /// From the node to periastron, along the orbit.
    pub periastron_argument_deg: f64,
}

/// Where a pair's figures come from: published (named), computed, or memory.
#[derive(Debug, Clone, PartialEq)]
pub struct PairSources {
    /// Of the place in the sky and its motion.
    pub position: String,
    /// Of the two magnitudes.
    pub magnitude: String,
    /// Of separation and angle, or of the orbit.
    pub placement: String,
}

/// All pairs, in order of right ascension.
pub fn doubles() -> &'static [Double] {
    &TABLE
}

/// The pair of that id.
pub fn double(id: &str) -> Option<&'static Double> {
    TABLE.iter().find(|double| double.id == id)
}

impl Double {
    /// How the pair stands in a Julian year (2027.5). Position angle of equinox J2000: that of date
    /// differs by at most 0.0056° a year over the cosine of the declination. As good as the orbit: grade 1 and 2 orbits within a
    /// few hundredths of an arcsecond for decades; a measured pair is given unchanged.
    pub fn separation_and_angle(&self, year: f64) -> Separation {
        match self.placement {
            Placement::Measured { apart, .. } => apart,
            Placement::Orbit(orbit) => orbit.apart(year),
        }
    }

    /// Magnitude of both together.
    pub fn total_magnitude(&self) -> f64 {
        let light = |magnitude: f64| 10f64.powf(-0.4 * magnitude);
        -2.5 * (light(self.magnitude_a) + light(self.magnitude_b)).log10()
    }

    /// The brighter star, as the sky's chain takes it.
    pub fn star(&self) -> CatalogueStar {
        let fixed = CatalogueStar::fixed(self.right_ascension_deg, self.declination_deg);
        match self.motion {
            None => fixed,
            Some(motion) => CatalogueStar {
                proper_motion_ra_mas_yr: motion.east_mas_yr,
                proper_motion_dec_mas_yr: motion.north_mas_yr,
                ..fixed
            },
        }
    }

    /// What is to be told apart in that year.
    pub fn sight(&self, year: f64) -> Sight {
        Sight::Pair {
            separation_arcsec: self.separation_and_angle(year).separation_arcsec,
            magnitude_a: self.magnitude_a,
            magnitude_b: self.magnitude_b,
        }
    }
}

impl Orbit {
    /// Where the fainter star stands in a Julian year, equinox J2000.
    pub fn apart(&self, year: f64) -> Separation {
        let turns = (year - self.periastron_year) / self.period_years;
        let anomaly_rad = eccentric_anomaly_rad(turns * std::f64::consts::TAU, self.eccentricity);
        let e = self.eccentricity;
        // In the orbit's plane, toward periastron and a quarter turn on.
        let ahead = self.axis_arcsec * (anomaly_rad.cos() - e);
        let aside = self.axis_arcsec * (1.0 - e * e).sqrt() * anomaly_rad.sin();
        let (sin, cos) = self.periastron_argument_deg.to_radians().sin_cos();
        // From the node, and a quarter turn on as seen against the sky.
        let along_node = ahead * cos - aside * sin;
        let across = (ahead * sin + aside * cos) * self.inclination_deg.to_radians().cos();
        let position_angle_deg = self.node_deg + across.atan2(along_node).to_degrees();
        Separation {
            separation_arcsec: along_node.hypot(across),
            position_angle_deg: position_angle_deg.rem_euclid(360.0),
        }
    }
}

static TABLE: LazyLock<Vec<Double>> = LazyLock::new(|| {
    let rows = tables::rows(include_str!("../../data/doubles.csv"));
    rows.into_iter().map(|row: DoubleRow| row.into()).collect()
});

/// A row of the table as it stands.
#[derive(Deserialize)]
struct DoubleRow {
    id: String,
    name: String,
    right_ascension_deg: f64,
    declination_deg: f64,
    east_mas_yr: Option<f64>,
    north_mas_yr: Option<f64>,
    magnitude_a: f64,
    magnitude_b: f64,
    separation_arcsec: Option<f64>,
    position_angle_deg: Option<f64>,
    epoch_year: Option<f64>,
    period_years: Option<f64>,
    periastron_year: Option<f64>,
    axis_arcsec: Option<f64>,
    eccentricity: Option<f64>,
    inclination_deg: Option<f64>,
    node_deg: Option<f64>,
    periastron_argument_deg: Option<f64>,
    say: String,
    position_basis: String,
    magnitude_basis: String,
    placement_basis: String,
}

impl DoubleRow {
    fn orbit(&self) -> Option<Orbit> {
        Some(Orbit {
            period_years: self.period_years?,
            periastron_year: self.periastron_year?,
            axis_arcsec: self.axis_arcsec?,
            eccentricity: self.eccentricity?,
            inclination_deg: self.inclination_deg?,
            node_deg: self.node_deg?,
            periastron_argument_deg: self.periastron_argument_deg?,
        })
    }

    fn measured(&self) -> Option<Placement> {
        Some(Placement::Measured {
            epoch_year: self.epoch_year?,
            apart: Separation {
                separation_arcsec: self.separation_arcsec?,
                position_angle_deg: self.position_angle_deg?,
            },
        })
    }

    fn motion(&self) -> Option<ProperMotion> {
        Some(ProperMotion {
            east_mas_yr: self.east_mas_yr?,
            north_mas_yr: self.north_mas_yr?,
        })
    }
}

impl From<DoubleRow> for Double {
    fn from(row: DoubleRow) -> Double {
        let placement = row.orbit().map(Placement::Orbit).or(row.measured());
        Double {
            motion: row.motion(),
            placement: placement.expect("a pair has an orbit or a measurement, and all of it"),
            id: row.id,
            name: row.name,
            say: row.say,
            right_ascension_deg: row.right_ascension_deg,
            declination_deg: row.declination_deg,
            magnitude_a: row.magnitude_a,
            magnitude_b: row.magnitude_b,
            basis: PairSources {
                position: row.position_basis,
                magnitude: row.magnitude_basis,
                placement: row.placement_basis,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orbit_as_worked_by_meeus() {
        // Meeus, Astronomical Algorithms, 2nd ed., chapter 57: eta Coronae Borealis, 1980.0.
        let orbit = Orbit {
            period_years: 41.623,
            periastron_year: 1934.008,
            axis_arcsec: 0.907,
            eccentricity: 0.2763,
            inclination_deg: 59.025,
            node_deg: 23.717,
            periastron_argument_deg: 219.907,
        };
        let apart = orbit.apart(1980.0);
        assert!(
            (apart.position_angle_deg - 318.4).abs() <= 0.05,
            "{apart:?}"
        );
        assert!((apart.separation_arcsec - 0.411).abs() <= 5e-4, "{apart:?}");
    }

    #[test]
    fn every_row_is_a_pair() {
        let mut ids: Vec<&str> = doubles().iter().map(|double| double.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), doubles().len(), "an id twice");
        assert!(doubles().is_sorted_by_key(|double| double.right_ascension_deg));
        for double in doubles() {
            let id = &double.id;
            assert!((0.0..360.0).contains(&double.right_ascension_deg), "{id}");
            assert!((-90.0..=90.0).contains(&double.declination_deg), "{id}");
            assert!(double.magnitude_a <= double.magnitude_b, "{id}");
            assert!((-2.0..10.0).contains(&double.magnitude_b), "{id}");
            assert!(double.say.ends_with('.') && double.name.len() > 4, "{id}");
            let basis = &double.basis;
            for text in [&basis.position, &basis.magnitude, &basis.placement] {
                let known = ["published: ", "computed: ", "from memory"];
                assert!(
                    known.iter().any(|start| text.starts_with(start)),
                    "{id}: {text}"
                );
            }
            for year in [1950.0, 2027.0, 2100.0] {
                let apart = double.separation_and_angle(year);
                assert!((0.0..90.0).contains(&apart.separation_arcsec), "{id}");
                assert!((0.0..360.0).contains(&apart.position_angle_deg), "{id}");
            }
        }
        assert_eq!(double("albireo").unwrap().name, "Albireo (beta Cygni)");
        assert_eq!(double("no_such_pair"), None);
    }
}
