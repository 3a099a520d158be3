//! Where on its orbit a body is: Kepler's equation.

use std::f64::consts::PI;
use std::f64::consts::TAU;

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
}
