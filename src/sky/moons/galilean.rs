//! Io, Europa, Ganymede, Callisto: theory L1.2, brought to today's observations.
//!
//! Source: Lainey, Duriez & Vienne 2006, Astron. Astrophys. 456, 783; table in data/, nothing cut.

use std::sync::LazyLock;

use crate::constants::{J2000_JD, JULIAN_YEAR_DAYS};
use crate::sky::moons::Satellite;
use crate::sky::moons::orbit::{self, Orbit, SeriesRow, Wave, power_of, waves_at, waves_of};
use crate::sky::vector::{Mat3, Vec3, unrotated};

/// The theory's epoch, days of TDB since J2000.0.
const EPOCH_DAYS: f64 = 2_433_282.5 - J2000_JD;

/// Years from the epoch between which its slowest parts are Chebyshev series.
const CHEBYSHEV_YEARS: (f64, f64) = (-819.727_638_594_856, 812.721_806_990_360);

/// Degrees 0 to 8.
const N_CHEBYSHEV: usize = 9;

/// What the theory misses of one moon.
///
/// Fitted for this project to places of JPL's satellite ephemeris jup365, which knows observations made since the
/// theory was: longitudes 2020-2035, planes 1999-2050.
#[derive(Debug, Clone, Copy)]
struct Correction {
    /// What its mean longitude has gained, radians: at `GAINED_SINCE_DAYS`, and in each ten years after.
    gained_rad: (f64, f64),
    /// What its `inclined` lacks.
    tilt: [f64; 2],
}

const CORRECTIONS: [Correction; 4] = [
    Correction {
        gained_rad: (-2.947e-4, -1.017e-4),
        tilt: [1.03e-5, -5.01e-5],
    },
    Correction {
        gained_rad: (-1.627e-5, -1.011e-5),
        tilt: [2.01e-5, -5.29e-5],
    },
    Correction {
        gained_rad: (1.2635e-4, 6.09e-6),
        tilt: [3.68e-5, -6.69e-5],
    },
    Correction {
        gained_rad: (8.624e-5, 1.474e-5),
        tilt: [1.01e-5, -1.09e-5],
    },
];
const GAINED_SINCE_DAYS: f64 = 2_461_000.0 - J2000_JD;
const TEN_YEARS_DAYS: f64 = 3_652.5;

/// One moon's series.
struct Theory {
    axis_au: f64,
    longitude_rad: f64,
    motion_rad_day: f64,
    axis: Vec<Wave<0>>,
    longitude: Vec<Wave<0>>,
    eccentric: Vec<Wave<0>>,
    inclined: Vec<Wave<0>>,
    /// Longitude, eccentric (two), inclined (two), by degree.
    slowest: [[f64; 5]; N_CHEBYSHEV],
    correction: Correction,
}

struct Table {
    /// Theory to ICRF: transposed, by rows.
    to_icrf: Mat3,
    moons: Vec<Theory>,
}

fn rows() -> Vec<SeriesRow<0>> {
    orbit::rows(include_str!("../../../data/galilean_l12.tsv"))
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let rows = rows();
    let plane = |degree| power_of(&rows, "jupiter", "plane", degree);
    Table {
        to_icrf: axes(plane(0.0), plane(1.0)),
        moons: (Satellite::GALILEAN.into_iter().zip(CORRECTIONS))
            .map(|(moon, correction)| theory(&rows, moon.id(), correction))
            .collect(),
    }
});

fn theory(rows: &[SeriesRow<0>], moon: &str, correction: Correction) -> Theory {
    let mut slowest = [[0.0; 5]; N_CHEBYSHEV];
    for row in rows.iter().filter(|row| row.body == moon) {
        let component = match (row.part.as_str(), row.form.as_str()) {
            ("l", "re") => 0,
            ("z", "re") => 1,
            ("z", "im") => 2,
            ("zeta", "re") => 3,
            ("zeta", "im") => 4,
            _ => continue,
        };
        slowest[row.numbers[1] as usize][component] = row.numbers[0];
    }
    Theory {
        axis_au: power_of(rows, moon, "a", 0.0),
        longitude_rad: power_of(rows, moon, "l", 0.0),
        motion_rad_day: power_of(rows, moon, "l", 1.0),
        axis: waves_of(rows, moon, "a"),
        longitude: waves_of(rows, moon, "l"),
        eccentric: waves_of(rows, moon, "z"),
        inclined: waves_of(rows, moon, "zeta"),
        slowest,
        correction,
    }
}

/// The plane's own axes (node, 90 degrees on, pole) in ICRF.
fn axes(node_rad: f64, inclination_rad: f64) -> Mat3 {
    let (sin_node, cos_node) = node_rad.sin_cos();
    let (sin_i, cos_i) = inclination_rad.sin_cos();
    [
        [cos_node, sin_node, 0.0],
        [-sin_node * cos_i, cos_node * cos_i, sin_i],
        [sin_node * sin_i, -cos_node * sin_i, cos_i],
    ]
}

impl Theory {
    fn orbit(&self, tdb_days: f64) -> Orbit {
        let t = tdb_days - EPOCH_DAYS;
        let wave = |waves: &[Wave<0>]| waves_at(waves, t, &[]);
        let [longitude_rad, k, h, q, p] = self.slowest_at(t);
        let (eccentric, inclined) = (wave(&self.eccentric), wave(&self.inclined));
        let Correction { gained_rad, tilt } = self.correction;
        let ten_years = (tdb_days - GAINED_SINCE_DAYS) / TEN_YEARS_DAYS;
        Orbit {
            axis_au: self.axis_au + wave(&self.axis)[0],
            mean_longitude_rad: self.longitude_rad
                + self.motion_rad_day * t
                + wave(&self.longitude)[1]
                + longitude_rad
                - (gained_rad.0 + gained_rad.1 * ten_years),
            eccentric: [eccentric[0] + k, eccentric[1] + h],
            inclined: [inclined[0] + q + tilt[0], inclined[1] + p + tilt[1]],
        }
    }

    /// The Chebyshev series, by Clenshaw's recurrence on all five abreast.
    fn slowest_at(&self, t_days: f64) -> [f64; 5] {
        let (first, last) = CHEBYSHEV_YEARS;
        let x = (t_days / JULIAN_YEAR_DAYS - 0.5 * (last + first)) / (0.5 * (last - first));
        let (mut b1, mut b2) = ([0.0; 5], [0.0; 5]);
        for row in self.slowest[1..].iter().rev() {
            let b: [f64; 5] = std::array::from_fn(|i| row[i] + 2.0 * x * b1[i] - b2[i]);
            (b1, b2) = (b, b1);
        }
        std::array::from_fn(|i| self.slowest[0][i] + x * b1[i] - b2[i])
    }
}

/// From Jupiter's centre, ICRF, au.
pub(super) fn position_au(moon: Satellite, tdb_days: f64) -> Vec3 {
    let theory = &TABLE.moons[moon as usize];
    unrotated(&TABLE.to_icrf, theory.orbit(tdb_days).position_au())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::vector::{difference, length};

    #[test]
    fn table_is_whole() {
        // Terms published for each moon's axis, longitude, eccentricity and inclination.
        let counts: Vec<_> = (TABLE.moons.iter())
            .map(|moon| {
                let waves = [&moon.axis, &moon.longitude, &moon.eccentric, &moon.inclined];
                waves.map(Vec::len)
            })
            .collect();
        let want = [
            [37, 32, 23, 15],
            [37, 36, 41, 25],
            [37, 31, 50, 18],
            [21, 19, 46, 18],
        ];
        assert_eq!(counts, want);
        for moon in &TABLE.moons {
            assert!(moon.slowest.as_flattened().iter().all(|c| *c != 0.0));
        }
    }

    #[test]
    fn io_europa_and_ganymede_keep_step() {
        // Laplace's relation between the published mean motions: n1 - 3 n2 + 2 n3 = 0.
        let motion = |idx: usize| TABLE.moons[idx].motion_rad_day;
        let sum_rad_day = motion(0) - 3.0 * motion(1) + 2.0 * motion(2);
        assert!(sum_rad_day.abs() < 1e-8, "{sum_rad_day}");
    }

    /// Place by the theory as published, without the correction.
    #[track_caller]
    fn check(moon: Satellite, jd: f64, want_au: Vec3) {
        let none = Correction {
            gained_rad: (0.0, 0.0),
            tilt: [0.0; 2],
        };
        let orbit = theory(&rows(), moon.id(), none).orbit(jd - J2000_JD);
        let got_au = unrotated(&TABLE.to_icrf, orbit.position_au());
        let gap_au = length(difference(got_au, want_au));
        assert!(
            gap_au < 2e-12,
            "{moon:?} at {jd}: want {want_au:?}, got {got_au:?}"
        );
    }

    #[test]
    fn series_are_summed_as_elsewhere() {
        // The crate rkepler 0.4.2, from which the numbers come: shows that they were read and summed right, not that
        // the theory is. Twelve decimals.
        check(
            Satellite::Io,
            2440000.5,
            [-0.002660656239, -0.000832108869, -0.000440326632],
        );
        check(
            Satellite::Europa,
            2440000.5,
            [-0.001315086188, -0.003901652135, -0.001845527085],
        );
        check(
            Satellite::Ganymede,
            2440000.5,
            [0.007078403851, 0.000920286608, 0.000526581589],
        );
        check(
            Satellite::Callisto,
            2440000.5,
            [-0.012537559818, 0.001727986494, 0.000655070309],
        );
        check(
            Satellite::Io,
            2465000.25,
            [-0.002349814345, -0.001375525728, -0.000694686695],
        );
        check(
            Satellite::Europa,
            2465000.25,
            [-0.004381324764, -0.001018333291, -0.000516088843],
        );
        check(
            Satellite::Ganymede,
            2465000.25,
            [-0.000771822497, 0.006423604503, 0.003060215682],
        );
        check(
            Satellite::Callisto,
            2465000.25,
            [-0.012159079246, 0.003260081631, 0.001354813798],
        );
    }
}
