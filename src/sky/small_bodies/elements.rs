//! Osculating elements as they are published, and the motion they stand for.

use crate::sky::kepler::{Motion, two_body};
use crate::sky::vector::{Vec3, difference, dot};
use crate::units::ARCSEC_PER_DEG;

use super::forces::SUN_AU3_DAY2;

/// Obliquity of the ecliptic of J2000.0 to which elements are referred, arcseconds. IAU 1976, as the
/// Minor Planet Center and JPL use it (the value of 2006 would turn orbits by 0.04").
const OBLIQUITY_ARCSEC: f64 = 84_381.448;

/// Heliocentric osculating elements, ecliptic and equinox of J2000.0. Also used for the small amounts
/// by which each of them may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Elements {
    /// The instant whose motion they describe, days of TT (taken as TDB) since J2000.0.
    pub epoch_tt_days: f64,
    /// How large the orbit is.
    pub size: Size,
    /// 0 circle, below 1 ellipse, 1 parabola, above hyperbola.
    pub eccentricity: f64,
    /// Of the orbit to the ecliptic.
    pub inclination_deg: f64,
    /// Longitude of the ascending node.
    pub node_deg: f64,
    /// From the node to the perihelion.
    pub argument_of_perihelion_deg: f64,
    /// Where on the orbit it is.
    pub timing: Timing,
}

/// The size of an orbit, whichever is published.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// Half the long axis; only ellipses have one here.
    SemiMajorAxisAu(f64),
    /// From the Sun at the nearest point.
    PerihelionDistanceAu(f64),
}

/// Where on its orbit the body is, whichever is published.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Timing {
    /// At the epoch; only on ellipses.
    MeanAnomalyDeg(f64),
    /// Passage through the perihelion, days of TT since J2000.0.
    PerihelionTtDays(f64),
}

impl Elements {
    /// From the Sun at the nearest point.
    pub fn perihelion_distance_au(&self) -> f64 {
        match self.size {
            Size::SemiMajorAxisAu(axis_au) => axis_au * (1.0 - self.eccentricity),
            Size::PerihelionDistanceAu(distance_au) => distance_au,
        }
    }

    /// When it passes or passed the perihelion nearest the epoch, days of TT since J2000.0.
    pub fn perihelion_tt_days(&self) -> f64 {
        match self.timing {
            Timing::PerihelionTtDays(tt_days) => tt_days,
            Timing::MeanAnomalyDeg(anomaly_deg) => {
                let axis_au = self.perihelion_distance_au() / (1.0 - self.eccentricity);
                let per_day = (SUN_AU3_DAY2 / axis_au.powi(3)).sqrt().to_degrees();
                self.epoch_tt_days - crate::units::wrap_180_deg(anomaly_deg) / per_day
            }
        }
    }

    /// Motion on the unperturbed orbit, heliocentric, ICRF axes. `None` where the elements are no orbit.
    pub(super) fn unperturbed(&self, tt_days: f64) -> Option<Motion> {
        let distance_au = self.perihelion_distance_au();
        if !(distance_au > 0.0 && self.eccentricity >= 0.0) {
            return None;
        }
        let speed = (SUN_AU3_DAY2 * (1.0 + self.eccentricity) / distance_au).sqrt();
        let start = Motion {
            position_au: self.orbit_to_icrf([distance_au, 0.0]),
            velocity_au_day: self.orbit_to_icrf([0.0, speed]),
        };
        two_body(start, SUN_AU3_DAY2, tt_days - self.perihelion_tt_days())
    }

    /// From axes in the orbit's plane (to the perihelion, and a quarter turn onward) to ICRF.
    fn orbit_to_icrf(&self, [x, y]: [f64; 2]) -> Vec3 {
        let flat = turned_back([x, y, 0.0], 2, self.argument_of_perihelion_deg);
        let tilted = turned_back(flat, 0, self.inclination_deg);
        let ecliptic = turned_back(tilted, 2, self.node_deg);
        turned_back(ecliptic, 0, OBLIQUITY_ARCSEC / ARCSEC_PER_DEG)
    }

    /// Square of how far the unperturbed places differ when each element is off by its amount in `by`:
    /// what rounding does, au².
    pub(super) fn spread_au2(&self, by: &Elements, tt_days: f64) -> Option<f64> {
        let here = self.unperturbed(tt_days)?.position_au;
        let mut spread_au2 = 0.0;
        for moved in self.each_moved(by) {
            let gap = difference(moved.unperturbed(tt_days)?.position_au, here);
            spread_au2 += dot(gap, gap);
        }
        Some(spread_au2)
    }

    /// Copies with one element moved in each; those that do not move left out.
    fn each_moved(&self, by: &Elements) -> Vec<Elements> {
        let size = match (self.size, by.size) {
            (Size::SemiMajorAxisAu(a), Size::SemiMajorAxisAu(b)) => Size::SemiMajorAxisAu(a + b),
            (Size::PerihelionDistanceAu(a), Size::PerihelionDistanceAu(b)) => {
                Size::PerihelionDistanceAu(a + b)
            }
            (own, _) => own,
        };
        let timing = match (self.timing, by.timing) {
            (Timing::MeanAnomalyDeg(a), Timing::MeanAnomalyDeg(b)) => Timing::MeanAnomalyDeg(a + b),
            (Timing::PerihelionTtDays(a), Timing::PerihelionTtDays(b)) => {
                Timing::PerihelionTtDays(a + b)
            }
            (own, _) => own,
        };
        // Toward the rounder orbit: an ellipse stays one.
        let eccentricity = (self.eccentricity - by.eccentricity).max(0.0);
        let argument_of_perihelion_deg =
            self.argument_of_perihelion_deg + by.argument_of_perihelion_deg;
        let mut moved = vec![
            Elements { size, ..*self },
            Elements { timing, ..*self },
            Elements {
                eccentricity,
                ..*self
            },
            Elements {
                argument_of_perihelion_deg,
                ..*self
            },
            Elements {
                inclination_deg: self.inclination_deg + by.inclination_deg,
                ..*self
            },
            Elements {
                node_deg: self.node_deg + by.node_deg,
                ..*self
            },
        ];
        moved.retain(|elements| elements != self);
        moved
    }
}

/// A vector from axes that were turned by an angle about one of the three back to those before.
fn turned_back(a: Vec3, about: usize, angle_deg: f64) -> Vec3 {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    let (j, k) = ((about + 1) % 3, (about + 2) % 3);
    let mut turned = a;
    turned[j] = cos * a[j] - sin * a[k];
    turned[k] = sin * a[j] + cos * a[k];
    turned
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::J2000_JD;
    use crate::sky::vector::length;

    /// By others; its head says how.
    const REFERENCE: &str = include_str!("../../../tests/reference/small_bodies.tsv");

    #[test]
    fn unperturbed_orbits_are_those_of_another_library() {
        // skyfield takes the Sun's parameter of another year, 5e-12 of it more: 1e-9 au in eight years.
        let mut n_rows = 0;
        for line in REFERENCE.lines().filter(|l| l.starts_with("two-body")) {
            let cells: Vec<&str> = line.split('\t').collect();
            let number = |idx: usize| cells[idx].parse::<f64>().expect("a number");
            let elements = Elements {
                epoch_tt_days: number(8) - J2000_JD,
                size: Size::PerihelionDistanceAu(number(2)),
                eccentricity: number(3),
                inclination_deg: number(4),
                node_deg: number(5),
                argument_of_perihelion_deg: number(6),
                timing: Timing::PerihelionTtDays(number(7) - J2000_JD),
            };
            let got = elements
                .unperturbed(number(9) - J2000_JD)
                .expect("an orbit");
            let want = [number(10), number(11), number(12)];
            let gap_au = length(difference(got.position_au, want));
            assert!(gap_au < 3e-9, "{line}: off by {gap_au} au");
            n_rows += 1;
        }
        assert_eq!(n_rows, 63);
    }

    #[test]
    fn both_ways_of_giving_an_ellipse_agree() {
        let by_anomaly = Elements {
            epoch_tt_days: 9655.0,
            size: Size::SemiMajorAxisAu(2.5),
            eccentricity: 0.2,
            inclination_deg: 10.0,
            node_deg: 20.0,
            argument_of_perihelion_deg: 30.0,
            timing: Timing::MeanAnomalyDeg(300.0),
        };
        let by_perihelion = Elements {
            size: Size::PerihelionDistanceAu(2.0),
            timing: Timing::PerihelionTtDays(by_anomaly.perihelion_tt_days()),
            ..by_anomaly
        };
        let place =
            |elements: Elements| elements.unperturbed(9700.0).expect("an orbit").position_au;
        assert!(length(difference(place(by_anomaly), place(by_perihelion))) < 1e-12);
        // 60 degrees of mean anomaly before the perihelion: a sixth of 3.95 years.
        let wait_days = by_anomaly.perihelion_tt_days() - 9655.0;
        assert!(
            (wait_days - 2.5f64.powf(1.5) * 365.2569 / 6.0).abs() < 0.01,
            "{wait_days}"
        );
    }

    #[test]
    fn no_orbit_no_motion() {
        let nothing = Elements {
            epoch_tt_days: 0.0,
            size: Size::PerihelionDistanceAu(0.0),
            eccentricity: 0.0,
            inclination_deg: 0.0,
            node_deg: 0.0,
            argument_of_perihelion_deg: 0.0,
            timing: Timing::PerihelionTtDays(0.0),
        };
        assert_eq!(nothing.unperturbed(0.0), None);
    }
}
