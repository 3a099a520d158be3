//! Where on its orbit a body is: Kepler's equation, for ellipses by the eccentric anomaly, for any conic
//! by universal variables.

use std::f64::consts::{PI, TAU};

use crate::sky::vector::{Vec3, dot, length, scaled, sum};

/// Eccentric anomaly, radians, on an ellipse: E of E - e sin E = M.
///
/// Any mean anomaly (the answer keeps its full turns), 0 <= `eccentricity` < 1; outside there is no
/// eccentric anomaly and the number returned means nothing. Solved to the last digits of f64: the
/// residual stays below 1e-15 rad per turn of M also at eccentricities of 0.99 and more, near
/// periastron, where E itself is then known as well as M and 1 - e are.
///
/// Newton's iteration from above: between periastron and apastron E - e sin E - M bends upward only, so
/// that every step from a value too large stays too large and nears the root. The start is the least of
/// four bounds: π, M + e, M / (1 - e), and the cube root of π² M / e, since E - sin E >= E³ / π² there.
pub fn eccentric_anomaly_rad(mean_anomaly_rad: f64, eccentricity: f64) -> f64 {
    let turns_rad = TAU * (mean_anomaly_rad / TAU).round();
    let from_periastron_rad = mean_anomaly_rad - turns_rad;
    let half = on_first_half_rad(from_periastron_rad.abs().min(PI), eccentricity);
    turns_rad + half.copysign(from_periastron_rad)
}

/// The same for a mean anomaly of 0 to π.
fn on_first_half_rad(m: f64, e: f64) -> f64 {
    let mut anomaly = PI
        .min(m + e)
        .min(m / (1.0 - e))
        .min((PI * PI * m / e).cbrt());
    for _ in 0..MOST_STEPS {
        let excess = (1.0 - e) * anomaly + e * less_its_sine(anomaly) - m;
        let slope = 1.0 - e + 2.0 * e * (0.5 * anomaly).sin().powi(2);
        let next = anomaly - excess / slope;
        // Also where rounding turns the last step round, and at M = 0, where nothing is to be done.
        if !(0.0 < next && next < anomaly) {
            break;
        }
        anomaly = next;
    }
    anomaly
}

/// Far more than are ever taken: six or seven are.
const MOST_STEPS: usize = 50;

/// x - sin x, without the loss of digits that the difference has for small x.
fn less_its_sine(x: f64) -> f64 {
    if 1.0 < x {
        return x - x.sin();
    }
    // The sine's own series less its first term, to x¹⁷.
    let x2 = x * x;
    let inner = (2..=8).rev().fold(1.0, |rest, k: i32| {
        let n = 2.0 * f64::from(k);
        1.0 - x2 / (n * (n + 1.0)) * rest
    });
    x * x2 / 6.0 * inner
}

/// Position and velocity after so many days on a conic about an attracting centre.
///
/// Ellipse, parabola, hyperbola and whatever lies between are one case: universal variables with the
/// functions of Stumpff. `pull_au3_day2` is the centre's gravitational parameter. Any time, forward or
/// back; good to about 1e-14 of the way travelled. `None` where there is no orbit: in the centre, or
/// when a number is not finite.
///
/// Source: Danby, Fundamentals of Celestial Mechanics, 2nd ed., chapter 6 (universal variables).
pub fn two_body(start: Motion, pull_au3_day2: f64, days: f64) -> Option<Motion> {
    if days < 0.0 {
        return two_body(start.reversed(), pull_au3_day2, -days).map(Motion::reversed);
    }
    let distance_au = length(start.position_au);
    let conic = Conic {
        distance_au,
        radial: dot(start.position_au, start.velocity_au_day),
        binding: 2.0 * pull_au3_day2 / distance_au
            - dot(start.velocity_au_day, start.velocity_au_day),
        pull_au3_day2,
    };
    if !(0.0 < distance_au && conic.binding.is_finite() && days.is_finite()) {
        return None;
    }
    let [g0, g1, g2] = conic.after(conic.rest_of_a_turn(days))?;
    let later_au = conic.distance_after([g0, g1, g2]);
    let place = [
        1.0 - pull_au3_day2 * g2 / distance_au,
        distance_au * g1 + conic.radial * g2,
    ];
    let speed = [
        -pull_au3_day2 * g1 / (later_au * distance_au),
        1.0 - pull_au3_day2 * g2 / later_au,
    ];
    let blend = |[a, b]: [f64; 2]| {
        sum(
            scaled(start.position_au, a),
            scaled(start.velocity_au_day, b),
        )
    };
    Some(Motion {
        position_au: blend(place),
        velocity_au_day: blend(speed),
    })
}

/// Where something is and how it moves, from the centre that attracts it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// From the centre.
    pub position_au: Vec3,
    /// Against the centre.
    pub velocity_au_day: Vec3,
}

impl Motion {
    fn reversed(self) -> Motion {
        Motion {
            velocity_au_day: scaled(self.velocity_au_day, -1.0),
            ..self
        }
    }
}

/// What universal variables need to know of a start.
struct Conic {
    distance_au: f64,
    /// Scalar product of position and velocity, au² per day.
    radial: f64,
    /// Twice the binding energy, au² per day²: positive on an ellipse, 0 on a parabola.
    binding: f64,
    pull_au3_day2: f64,
}

impl Conic {
    /// A closed orbit's full turns lead nowhere.
    fn rest_of_a_turn(&self, days: f64) -> f64 {
        let turn_days = TAU * self.pull_au3_day2 / self.binding.max(0.0).powf(1.5);
        if days < turn_days {
            days
        } else {
            days % turn_days
        }
    }

    /// G0, G1, G2 at the universal anomaly that belongs to a time of at least 0.
    ///
    /// Time grows with the anomaly, at the rate of the distance: Newton's steps, kept between bounds.
    fn after(&self, days: f64) -> Option<[f64; 3]> {
        let (mut low, mut high) = (0.0, days / self.distance_au + f64::MIN_POSITIVE);
        while self.days_and_distance(high).0 < days {
            (low, high) = (high, 2.0 * high);
            if !high.is_finite() {
                return None;
            }
        }
        let mut anomaly = 0.5 * (low + high);
        for _ in 0..MOST_HALVINGS {
            let (reached_days, distance_au) = self.days_and_distance(anomaly);
            let excess_days = reached_days - days;
            if excess_days < 0.0 {
                low = anomaly;
            } else {
                high = anomaly;
            }
            let newton = anomaly - excess_days / distance_au;
            let next = if low < newton && newton < high {
                newton
            } else {
                0.5 * (low + high)
            };
            let settled = (next - anomaly).abs() <= 1e-15 * next.abs();
            anomaly = next;
            if settled {
                break;
            }
        }
        let [g0, g1, g2, _] = self.powers(anomaly);
        g2.is_finite().then_some([g0, g1, g2])
    }

    fn days_and_distance(&self, anomaly: f64) -> (f64, f64) {
        let [g0, g1, g2, g3] = self.powers(anomaly);
        let days = self.distance_au * g1 + self.radial * g2 + self.pull_au3_day2 * g3;
        (days, self.distance_after([g0, g1, g2]))
    }

    fn distance_after(&self, [g0, g1, g2]: [f64; 3]) -> f64 {
        self.distance_au * g0 + self.radial * g1 + self.pull_au3_day2 * g2
    }

    /// G_k = s^k c_k(binding s²).
    fn powers(&self, anomaly: f64) -> [f64; 4] {
        let [c0, c1, c2, c3] = stumpff(self.binding * anomaly * anomaly);
        let s = anomaly;
        [c0, s * c1, s * s * c2, s * s * s * c3]
    }
}

/// Bisection alone would be done by then.
const MOST_HALVINGS: usize = 100;

/// c0 to c3 of Stumpff: c_k(z) = 1/k! - z/(k+2)! + z²/(k+4)! - ...
fn stumpff(z: f64) -> [f64; 4] {
    if z.abs() < 1.0 {
        // To z⁹: the next term is below 1e-18.
        let series = |first: f64| {
            (1..=9).rev().fold(1.0, |rest, k: i32| {
                let n = first + 2.0 * f64::from(k);
                1.0 - z / (n * (n - 1.0)) * rest
            })
        };
        let (c2, c3) = (series(2.0) / 2.0, series(3.0) / 6.0);
        return [1.0 - z * c2, 1.0 - z * c3, c2, c3];
    }
    let x = z.abs().sqrt();
    if z > 0.0 {
        let (sin, cos) = x.sin_cos();
        let half = (0.5 * x).sin() / x;
        [cos, sin / x, 2.0 * half * half, less_its_sine(x) / (x * z)]
    } else {
        let (sinh, cosh) = (x.sinh(), x.cosh());
        let half = (0.5 * x).sinh() / x;
        [cosh, sinh / x, 2.0 * half * half, (sinh - x) / (x * -z)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_deg(mean_anomaly_deg: f64, eccentricity: f64, want_deg: f64) {
        let got = eccentric_anomaly_rad(mean_anomaly_deg.to_radians(), eccentricity).to_degrees();
        assert!(
            (got - want_deg).abs() <= 5e-7,
            "M = {mean_anomaly_deg}, e = {eccentricity}: want {want_deg}, got {got}"
        );
    }

    #[test]
    fn as_worked_by_meeus() {
        // Meeus, Astronomical Algorithms, 2nd ed., chapter 30: example 30.a and the table of E by
        // eccentricity, to its last digit.
        check_deg(5.0, 0.1, 5.554589);
        check_deg(5.0, 0.2, 6.246908);
        check_deg(5.0, 0.3, 7.134960);
        check_deg(5.0, 0.4, 8.313903);
        check_deg(5.0, 0.5, 9.950063);
        check_deg(5.0, 0.6, 12.356653);
        check_deg(5.0, 0.7, 16.167990);
        check_deg(5.0, 0.8, 22.656579);
        check_deg(5.0, 0.9, 33.344447);
        check_deg(5.0, 0.99, 45.361023);
        check_deg(1.0, 0.99, 24.725822);
        check_deg(33.0, 0.99, 89.722155);
    }

    /// E - e sin E - M, in a form that keeps its digits near periastron.
    fn residual_rad(anomaly: f64, m: f64, e: f64) -> f64 {
        (1.0 - e) * anomaly + e * less_its_sine(anomaly) - m
    }

    #[test]
    fn solves_the_equation_everywhere() {
        let eccentricities = [
            0.0,
            1e-9,
            0.1,
            0.5,
            0.9,
            0.99,
            0.999,
            0.999_999,
            1.0 - 1e-12,
        ];
        for e in eccentricities {
            for step in 0..=2000 {
                // Dense near periastron, where the equation is stiff.
                let m = PI * (f64::from(step) / 2000.0).powi(4);
                let anomaly = eccentric_anomaly_rad(m, e);
                let residual = residual_rad(anomaly, m, e);
                assert!(residual.abs() <= 1e-15, "M {m}, e {e}: off by {residual}");
                assert!(m <= anomaly && anomaly <= PI, "M {m}, e {e}: {anomaly}");
                assert_eq!(eccentric_anomaly_rad(-m, e), -anomaly, "M -{m}, e {e}");
            }
        }
    }

    #[test]
    fn keeps_full_turns() {
        for turns in [-40.0, -1.0, 1.0, 7.0] {
            let here = eccentric_anomaly_rad(0.3 + turns * TAU, 0.8);
            let want = eccentric_anomaly_rad(0.3, 0.8) + turns * TAU;
            assert!((here - want).abs() < 1e-12, "{turns} turns: {here}");
        }
    }

    #[test]
    fn the_small_difference_keeps_its_digits() {
        // Where the plain difference still has twelve digits, and by the first term where it has none.
        for x in [0.5, 0.8, 1.0] {
            let plain: f64 = x - f64::sin(x);
            assert!((less_its_sine(x) / plain - 1.0).abs() < 1e-14, "{x}");
        }
        assert!((less_its_sine(1e-6) / (1e-18 / 6.0) - 1.0).abs() < 1e-12);
    }

    /// Square of the Gaussian constant, au³ per day².
    const PULL: f64 = 0.017_202_098_95 * 0.017_202_098_95;

    fn at_perihelion(distance_au: f64, eccentricity: f64) -> Motion {
        let speed = (PULL * (1.0 + eccentricity) / distance_au).sqrt();
        Motion {
            position_au: [distance_au, 0.0, 0.0],
            velocity_au_day: [0.0, speed, 0.0],
        }
    }

    #[track_caller]
    fn check_conic([q, e, days]: [f64; 3], want_deg: f64, want_au: f64) {
        let place = two_body(at_perihelion(q, e), PULL, days)
            .unwrap()
            .position_au;
        let deg = place[1].atan2(place[0]).to_degrees().rem_euclid(360.0);
        let au = length(place);
        assert!(
            (deg - want_deg).abs() <= 5.1e-6 && (au - want_au).abs() <= 5.1e-7,
            "q {q}, e {e}, {days} days: want {want_deg} at {want_au}, got {deg} at {au}"
        );
    }

    #[test]
    fn conics_of_all_kinds_as_published() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 34.a and the table of chapter 35 (from memory).
        check_conic([1.487469, 1.0, 112.5642], 66.78862, 2.133911);
        check_conic([0.921326, 1.0, 138.4783], 102.74426, 2.364192);
        check_conic([0.1, 0.987, 254.9], 164.50029, 4.063777);
        check_conic([0.123456, 0.99997, -30.47], 221.91190, 0.965053);
        check_conic([3.363943, 1.05731, 1237.1], 109.40598, 10.668551);
        check_conic([0.5871018, 0.9672746, 20.0], 52.85331, 0.729116);
        check_conic([0.5871018, 0.9672746, 0.0], 0.0, 0.5871018);
    }

    #[test]
    fn ellipses_agree_with_the_eccentric_anomaly() {
        for e in [0.0f64, 0.1, 0.5, 0.9, 0.99] {
            let a = 1.0 / (1.0 - e);
            let per_day = (PULL / a.powi(3)).sqrt();
            for days in [-1000.0, -3.0, 0.5, 40.0, 5000.0] {
                let anomaly = eccentric_anomaly_rad(days * per_day, e);
                let want = [
                    a * (anomaly.cos() - e),
                    a * (1.0 - e * e).sqrt() * anomaly.sin(),
                ];
                let got = two_body(at_perihelion(1.0, e), PULL, days)
                    .unwrap()
                    .position_au;
                let gap_au = (got[0] - want[0]).hypot(got[1] - want[1]);
                assert!(gap_au < 1e-11 * a, "e {e}, {days} days: off by {gap_au} au");
            }
        }
    }

    #[test]
    fn there_and_back() {
        for (q, e) in [
            (0.01, 0.9999),
            (0.3, 1.0),
            (1.0, 1.0 + 1e-9),
            (2.0, 3.0),
            (2.3, 0.1),
        ] {
            let start = two_body(at_perihelion(q, e), PULL, -500.0).unwrap();
            for days in [1e-3, 30.0, 1000.0, 20_000.0] {
                let there = two_body(start, PULL, days).unwrap();
                let back = two_body(there, PULL, -days).unwrap();
                let gap_au = length(crate::sky::vector::difference(
                    back.position_au,
                    start.position_au,
                ));
                assert!(
                    gap_au < 1e-8,
                    "q {q}, e {e}, {days} days: off by {gap_au} au"
                );
            }
        }
    }

    #[test]
    fn no_orbit_no_answer() {
        let lost = Motion {
            position_au: [0.0; 3],
            velocity_au_day: [0.0, 0.01, 0.0],
        };
        assert_eq!(two_body(lost, PULL, 1.0), None);
        assert_eq!(two_body(at_perihelion(1.0, f64::NAN), PULL, 1.0), None);
        assert_eq!(two_body(at_perihelion(1.0, 0.5), PULL, f64::INFINITY), None);
    }
}
