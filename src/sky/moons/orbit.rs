//! What both theories share: sums of waves for an orbit's elements, and the place they mean.

use crate::sky::vector::{Vec3, scaled, sum};
use crate::tables;

/// An orbit at one instant in the variables that stay smooth for round and flat orbits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Orbit {
    /// Semi-major axis, au.
    pub axis_au: f64,
    /// Node + argument of pericentre + mean anomaly, radians.
    pub mean_longitude_rad: f64,
    /// Eccentricity times cosine and sine of the longitude of the pericentre.
    pub eccentric: [f64; 2],
    /// Sine of half the inclination times cosine and sine of the node's longitude.
    pub inclined: [f64; 2],
}

impl Orbit {
    /// In the axes of the theory, au.
    ///
    /// Source: the definitions in Vienne & Duriez 1995, section 2; Kepler's equation in its form for
    /// longitudes, F - k sin F + h cos F = l, by Newton's method.
    pub(super) fn position_au(&self) -> Vec3 {
        let [k, h] = self.eccentric;
        let [q, p] = self.inclined;
        let (sin, cos) = self.eccentric_longitude_rad().sin_cos();
        // Along and across the longitude from which everything is counted, in the orbit's own plane.
        let share = 1.0 / (1.0 + (1.0 - k * k - h * h).sqrt());
        let equation = k * sin - h * cos;
        let along = self.axis_au * (cos - k + share * h * equation);
        let across = self.axis_au * (sin - h - share * k * equation);
        let tilt = 2.0 * (1.0 - p * p - q * q).sqrt();
        sum(
            scaled([1.0 - 2.0 * p * p, 2.0 * p * q, -tilt * p], along),
            scaled([2.0 * p * q, 1.0 - 2.0 * q * q, tilt * q], across),
        )
    }

    fn eccentric_longitude_rad(&self) -> f64 {
        let [k, h] = self.eccentric;
        let mut longitude_rad = self.mean_longitude_rad;
        // Eccentricities below 0.03: the third step changes nothing but the last digit.
        for _ in 0..3 {
            let (sin, cos) = longitude_rad.sin_cos();
            let excess = longitude_rad - k * sin + h * cos - self.mean_longitude_rad;
            longitude_rad -= excess / (1.0 - k * cos - h * sin);
        }
        longitude_rad
    }
}

/// One term of a series: amplitude times the unit vector at an angle that runs with time, and with
/// `N` slow angles where the theory has them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wave<const N: usize> {
    amplitude: f64,
    phase_rad: f64,
    rate_rad: f64,
    multiples: [f64; N],
}

/// Sums of amplitude x cosine and amplitude x sine.
pub(super) fn waves_at<const N: usize>(
    waves: &[Wave<N>],
    time: f64,
    slow_rad: &[f64; N],
) -> [f64; 2] {
    let (mut cosines, mut sines) = (0.0, 0.0);
    for wave in waves {
        let slow: f64 = (wave.multiples.iter().zip(slow_rad))
            .map(|(multiple, angle)| multiple * angle)
            .sum();
        let (sin, cos) = (wave.phase_rad + wave.rate_rad * time + slow).sin_cos();
        cosines += wave.amplitude * cos;
        sines += wave.amplitude * sin;
    }
    [cosines, sines]
}

/// A row of one of the two tables.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SeriesRow<const N: usize> {
    pub body: String,
    pub part: String,
    pub form: String,
    /// Amplitude, phase, rate.
    pub numbers: [f64; 3],
    multiples: [f64; N],
}

impl<const N: usize> SeriesRow<N> {
    fn wave(&self) -> Wave<N> {
        let [amplitude, phase_rad, rate_rad] = self.numbers;
        Wave {
            amplitude,
            phase_rad,
            rate_rad,
            multiples: self.multiples,
        }
    }
}

/// All rows of a table.
pub(super) fn rows<const N: usize>(table: &str) -> Vec<SeriesRow<N>> {
    let rows: Vec<(String, String, String, Vec<f64>)> = tables::rows(table);
    let named = |(body, part, form, cells): (_, _, _, Vec<f64>)| {
        let (numbers, multiples) = cells.split_at(3);
        SeriesRow {
            body,
            part,
            form,
            numbers: numbers.try_into().expect("three"),
            multiples: multiples.try_into().expect("one a slow angle"),
        }
    };
    rows.into_iter().map(named).collect()
}

/// The waves of one part of one body's motion.
pub(super) fn waves_of<const N: usize>(
    rows: &[SeriesRow<N>],
    body: &str,
    part: &str,
) -> Vec<Wave<N>> {
    rows.iter()
        .filter(|row| row.body == body && row.part == part)
        .filter(|row| matches!(row.form.as_str(), "cos" | "sin" | "exp"))
        .map(SeriesRow::wave)
        .collect()
}

/// The coefficient of a part's power of time; zero where the table has none.
pub(super) fn power_of<const N: usize>(
    rows: &[SeriesRow<N>],
    body: &str,
    part: &str,
    degree: f64,
) -> f64 {
    rows.iter()
        .filter(|row| row.body == body && row.part == part)
        .filter(|row| row.form == "power" && row.numbers[1] == degree)
        .map(|row| row.numbers[0])
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::vector::{difference, length};

    #[test]
    fn place_follows_from_classical_elements() {
        // The textbook's way: eccentric anomaly to plane, then three rotations. Any e, i, node, pericentre.
        let (axis, e, i, node, pericentre, anomaly) = (2.0, 0.11, 0.37, 1.1, 2.9, 4.2f64);
        let mean_anomaly: f64 = anomaly - e * anomaly.sin();
        let x = axis * (anomaly.cos() - e);
        let y = axis * f64::sqrt(1.0 - e * e) * anomaly.sin();
        let argument: f64 = pericentre - node;
        let (u, v) = (
            x * argument.cos() - y * argument.sin(),
            x * argument.sin() + y * argument.cos(),
        );
        let want = [
            u * f64::cos(node) - v * f64::cos(i) * f64::sin(node),
            u * f64::sin(node) + v * f64::cos(i) * f64::cos(node),
            v * f64::sin(i),
        ];
        let half = f64::sin(i / 2.0);
        let orbit = Orbit {
            axis_au: axis,
            mean_longitude_rad: pericentre + mean_anomaly,
            eccentric: [e * f64::cos(pericentre), e * f64::sin(pericentre)],
            inclined: [half * f64::cos(node), half * f64::sin(node)],
        };
        let got = orbit.position_au();
        let gap = length(difference(got, want));
        // Newton's three steps at four times the eccentricity of any moon here.
        assert!(gap < 1e-9, "want {want:?}, got {got:?}");
    }
}
