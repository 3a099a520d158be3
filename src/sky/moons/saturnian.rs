//! Enceladus, Tethys, Dione, Rhea, Titan, Iapetus: theory TASS 1.7.
//!
//! Source: Vienne & Duriez 1995, Astron. Astrophys. 297, 588; table in data/, its larger terms.

use std::sync::LazyLock;

use crate::constants::{J2000_JD, JULIAN_YEAR_DAYS};
use crate::sky::moons::Satellite;
use crate::sky::moons::orbit::{Orbit, SeriesRow, Wave, power_of, rows, waves_at, waves_of};
use crate::sky::vector::{Mat3, Vec3, rotated};

/// The theory's epoch, days of TDB since J2000.0.
const EPOCH_DAYS: f64 = 2_444_240.0 - J2000_JD;

/// The Sun's mass over Saturn's in the theory.
const SUN_OVER_SATURN: f64 = 3_498.790;

/// Gauss's constant: square root of the Sun's attraction, au^1.5 a day.
const GAUSS: f64 = 0.017_202_098_95;

/// Moons whose mean longitudes have slow parts, in the order of the table's multiples.
const SLOW: [&str; 7] = [
    "mimas",
    "enceladus",
    "tethys",
    "dione",
    "rhea",
    "titan",
    "iapetus",
];
const N_SLOW: usize = SLOW.len();

/// One moon's series.
struct Theory {
    moon: Satellite,
    /// Which of the slow parts is its own.
    own: usize,
    mean_motion_rad_day: f64,
    mass: f64,
    motion_correction: f64,
    longitude_rad: f64,
    pace_rad_year: f64,
    motion: Vec<Wave<N_SLOW>>,
    longitude: Vec<Wave<N_SLOW>>,
    eccentric: Vec<Wave<N_SLOW>>,
    inclined: Vec<Wave<N_SLOW>>,
}

struct Table {
    to_icrf: Mat3,
    slow: [Vec<Wave<N_SLOW>>; N_SLOW],
    moons: Vec<Theory>,
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let rows = rows(include_str!("../../../data/saturn_tass17.tsv"));
    let mut plane = rows.iter().filter(|row| row.part == "plane");
    Table {
        to_icrf: std::array::from_fn(|_| plane.next().map_or([0.0; 3], |row| row.numbers)),
        slow: SLOW.map(|moon| waves_of(&rows, moon, "slow")),
        moons: Satellite::ALL
            .into_iter()
            .filter_map(|moon| {
                let own = SLOW.iter().position(|id| *id == moon.id())?;
                Some(theory(&rows, moon, own))
            })
            .collect(),
    }
});

fn theory(rows: &[SeriesRow<N_SLOW>], moon: Satellite, own: usize) -> Theory {
    let power = |part, degree| power_of(rows, moon.id(), part, degree);
    let waves = |part| waves_of(rows, moon.id(), part);
    Theory {
        moon,
        own,
        mean_motion_rad_day: power("n", 0.0),
        mass: power("mass", 0.0),
        motion_correction: power("p", 0.0),
        longitude_rad: power("l", 0.0),
        pace_rad_year: power("l", 1.0),
        motion: waves("p"),
        longitude: waves("l"),
        eccentric: waves("z"),
        inclined: waves("zeta"),
    }
}

impl Theory {
    fn orbit(&self, years: f64, slow_rad: &[f64; N_SLOW]) -> Orbit {
        let wave = |waves: &[Wave<N_SLOW>]| waves_at(waves, years, slow_rad);
        let correction = self.motion_correction + wave(&self.motion)[0];
        let motion_rad_day = self.mean_motion_rad_day * (1.0 + correction);
        // Kepler's third law.
        let attraction = GAUSS * GAUSS * (1.0 + self.mass) / SUN_OVER_SATURN;
        Orbit {
            axis_au: (attraction / (motion_rad_day * motion_rad_day)).cbrt(),
            mean_longitude_rad: self.longitude_rad
                + self.pace_rad_year * years
                + slow_rad[self.own]
                + wave(&self.longitude)[1],
            eccentric: wave(&self.eccentric),
            inclined: wave(&self.inclined),
        }
    }
}

/// From Saturn's centre, ICRF, au; `moon` must be one of Saturn's.
pub(super) fn position_au(moon: Satellite, tdb_days: f64) -> Vec3 {
    let years = (tdb_days - EPOCH_DAYS) / JULIAN_YEAR_DAYS;
    let none_slower = [0.0; N_SLOW];
    let slow_rad = std::array::from_fn(|k| waves_at(&TABLE.slow[k], years, &none_slower)[1]);
    let theory = (TABLE.moons.iter())
        .find(|theory| theory.moon == moon)
        .expect("Jupiter's moons are asked for elsewhere");
    rotated(&TABLE.to_icrf, theory.orbit(years, &slow_rad).position_au())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::vector::{cross, difference, dot, length};

    #[test]
    fn table_is_whole() {
        let waves = |theory: &Theory| {
            let parts = [
                &theory.motion,
                &theory.longitude,
                &theory.eccentric,
                &theory.inclined,
            ];
            parts.map(Vec::len)
        };
        let counts: Vec<_> = (TABLE.moons.iter())
            .map(|theory| (theory.moon, waves(theory)))
            .collect();
        // As the carrier of the numbers has them.
        let want = [
            (Satellite::Titan, [1, 0, 7, 5]),
            (Satellite::Rhea, [1, 2, 4, 3]),
            (Satellite::Tethys, [0, 0, 6, 7]),
            (Satellite::Dione, [0, 0, 3, 2]),
            (Satellite::Iapetus, [19, 36, 47, 26]),
            (Satellite::Enceladus, [0, 0, 3, 1]),
        ];
        assert_eq!(counts, want);
        let slow = TABLE.slow.each_ref().map(Vec::len);
        assert_eq!(slow, [15, 2, 3, 2, 5, 7, 22]);
    }

    #[test]
    fn axes_are_a_rotation() {
        let [x, y, z] = TABLE.to_icrf;
        let gap = length(difference(cross(x, y), z));
        assert!(gap < 1e-12 && dot(x, y).abs() < 1e-12 && (length(x) - 1.0).abs() < 1e-12);
    }

    #[track_caller]
    fn check(moon: Satellite, jd: f64, want_au: Vec3) {
        let got_au = position_au(moon, jd - J2000_JD);
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
            Satellite::Titan,
            2440000.5,
            [-0.006261922551, 0.005601341672, 0.000155626105],
        );
        check(
            Satellite::Rhea,
            2440000.5,
            [0.003504812837, 0.000054679594, -0.000325848506],
        );
        check(
            Satellite::Tethys,
            2440000.5,
            [-0.001733257003, -0.000903448434, 0.000245540759],
        );
        check(
            Satellite::Dione,
            2440000.5,
            [0.000550362416, -0.002463801413, 0.000134291216],
        );
        check(
            Satellite::Iapetus,
            2440000.5,
            [0.019342523798, 0.012662254547, -0.001667110725],
        );
        check(
            Satellite::Enceladus,
            2440000.5,
            [-0.001449154082, -0.000651414097, 0.000172336030],
        );
        check(
            Satellite::Titan,
            2465000.25,
            [0.001345396957, 0.008008936692, -0.000654152938],
        );
        check(
            Satellite::Rhea,
            2465000.25,
            [0.003474646902, -0.000483808333, -0.000282772373],
        );
        check(
            Satellite::Tethys,
            2465000.25,
            [-0.001219132821, 0.001546730131, -0.000041189741],
        );
        check(
            Satellite::Dione,
            2465000.25,
            [0.002308421208, 0.000967258189, -0.000268877484],
        );
        check(
            Satellite::Iapetus,
            2465000.25,
            [0.003705308632, 0.022969112355, 0.003572911013],
        );
        check(
            Satellite::Enceladus,
            2465000.25,
            [-0.000857229476, -0.001326084856, 0.000171262498],
        );
    }
}
