//! Where Sun, Moon and planets stand: a table cut from JPL DE440, read by Chebyshev series.
//!
//! Knows geometric positions and velocities, ICRF axes, at an instant of TDB. Light time,
//! aberration and the turning Earth are other people's work.
//!
//! Source: `data/ephemeris.bin`, which tells its own origin and format. Against DE440 the apparent
//! direction from the Earth is off by at most 0.007" over 1950-2100 (10,000 random instants, all
//! bodies).

use crate::constants::J2000_JD;
use std::sync::LazyLock;

/// Start of the promised coverage, days of TDB since J2000.0: 1950 January 1, 0h.
/// The table itself reaches 31 days farther at both ends, for light time and whole nights.
pub const FIRST_TDB_DAYS: f64 = 2_433_282.5 - J2000_JD;

/// End of the promised coverage, days of TDB since J2000.0: 2101 January 1, 0h.
pub const LAST_TDB_DAYS: f64 = 2_488_434.5 - J2000_JD;

/// Worst apparent direction from the Earth against DE440, arcseconds: what the table is held to.
/// Measured: 0.007.
pub const ACCURACY_ARCSEC: f64 = 0.02;

/// What the table gives a position of.
///
/// From Mars outward it is the common centre of gravity of planet and moons, since DE440 has no
/// planet centres. As seen from the Earth the planet's own centre lies off it by at most 0.080"
/// (Jupiter, 227 km), 0.053" (Saturn, 304 km), under 0.004" (Uranus, Neptune); Mars' moons are
/// dust beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EphemerisBody {
    /// The Sun's centre.
    Sun,
    /// Its centre.
    Mercury,
    /// Its centre.
    Venus,
    /// The Earth's centre.
    Earth,
    /// The Moon's centre of mass.
    Moon,
    /// Barycentre of Mars and its moons.
    Mars,
    /// Barycentre of Jupiter and its moons.
    Jupiter,
    /// Barycentre of Saturn and its moons.
    Saturn,
    /// Barycentre of Uranus and its moons.
    Uranus,
    /// Barycentre of Neptune and its moons.
    Neptune,
}

/// Position and velocity from the solar-system barycentre, ICRF axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Astronomical units.
    pub position_au: [f64; 3],
    /// Astronomical units a day of TDB.
    pub velocity_au_day: [f64; 3],
}

/// Position from the solar-system barycentre, ICRF axes, au, at days of TDB since J2000.0
/// (JD 2451545.0 TDB). `None` outside the table.
pub fn barycentric_position_au(target: EphemerisBody, tdb_days_j2000: f64) -> Option<[f64; 3]> {
    let own = |row| Some(stretch(row, tdb_days_j2000)?.position_au());
    let (row, moon_share) = recipe(target);
    match moon_share {
        None => own(row),
        Some(share) => Some(sum(own(row)?, share, own(MOON)?)),
    }
}

/// The same with the velocity, for about twice the work. `None` outside the table.
pub fn barycentric_state(target: EphemerisBody, tdb_days_j2000: f64) -> Option<State> {
    let own = |row| Some(stretch(row, tdb_days_j2000)?.state());
    let (row, moon_share) = recipe(target);
    let Some(share) = moon_share else {
        return own(row);
    };
    let (barycentre, moon) = (own(row)?, own(MOON)?);
    Some(State {
        position_au: sum(barycentre.position_au, share, moon.position_au),
        velocity_au_day: sum(barycentre.velocity_au_day, share, moon.velocity_au_day),
    })
}

/// The Moon from the Earth's centre at the same instant, geometric, ICRF axes, au: the series as
/// tabulated, without the detour over the barycentre. `None` outside the table.
pub fn geocentric_moon_au(tdb_days_j2000: f64) -> Option<[f64; 3]> {
    Some(stretch(MOON, tdb_days_j2000)?.position_au())
}

/// Earth's mass over the Moon's, DE440 (Park et al. 2021, Astron. J. 161, 105).
const EARTH_MOON_MASS_RATIO: f64 = 81.300_568_221_497_22;

/// Rows of the table, in its order.
const NAMES: [&str; 10] = [
    "sun",
    "mercury",
    "venus",
    "earth_moon_barycentre",
    "mars",
    "jupiter",
    "saturn",
    "uranus",
    "neptune",
    "moon",
];
const EARTH_MOON_BARYCENTRE: usize = 3;
const MOON: usize = 9;

/// Which row, and how much of the geocentric Moon to add.
fn recipe(target: EphemerisBody) -> (usize, Option<f64>) {
    match target {
        EphemerisBody::Sun => (0, None),
        EphemerisBody::Mercury => (1, None),
        EphemerisBody::Venus => (2, None),
        EphemerisBody::Earth => (
            EARTH_MOON_BARYCENTRE,
            Some(-1.0 / (1.0 + EARTH_MOON_MASS_RATIO)),
        ),
        EphemerisBody::Moon => (
            EARTH_MOON_BARYCENTRE,
            Some(EARTH_MOON_MASS_RATIO / (1.0 + EARTH_MOON_MASS_RATIO)),
        ),
        EphemerisBody::Mars => (4, None),
        EphemerisBody::Jupiter => (5, None),
        EphemerisBody::Saturn => (6, None),
        EphemerisBody::Uranus => (7, None),
        EphemerisBody::Neptune => (8, None),
    }
}

fn sum(a: [f64; 3], share: f64, b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|axis| a[axis] + share * b[axis])
}

/// One body's Chebyshev segments.
struct Series {
    first_tdb_days: f64,
    segment_days: f64,
    quantum_au: f64,
    /// Bytes of one segment.
    stride: usize,
    /// All segments, end to end.
    bytes: &'static [u8],
}

/// One segment, and where in it the instant lies: -1 at its start, 1 at its end.
struct Stretch<'a> {
    series: &'a Series,
    bytes: &'a [u8],
    x: f64,
}

fn stretch(row: usize, tdb_days_j2000: f64) -> Option<Stretch<'static>> {
    let series = &TABLE[row];
    let segments = (tdb_days_j2000 - series.first_tdb_days) / series.segment_days;
    // Also turns away NaN.
    if !(0.0..f64::from(u32::MAX)).contains(&segments) {
        return None;
    }
    let start = segments as usize * series.stride;
    Some(Stretch {
        series,
        bytes: series.bytes.get(start..start + series.stride)?,
        x: 2.0 * (segments - segments.floor()) - 1.0,
    })
}

impl Stretch<'_> {
    /// Coefficients from the highest degree down to T1, and apart from them T0.
    fn coefficients(&self) -> (impl Iterator<Item = [f64; 3]>, [f64; 3]) {
        let (constant, others) = self.bytes.split_at(TRIPLE);
        (
            others.rchunks_exact(TRIPLE).map(whole_numbers),
            whole_numbers(constant),
        )
    }

    /// Clenshaw's recurrence, the three axes abreast.
    fn position_au(&self) -> [f64; 3] {
        let (others, constant) = self.coefficients();
        let (mut b1, mut b2) = ([0.0; 3], [0.0; 3]);
        for c in others {
            let b = std::array::from_fn(|i| 2.0 * self.x * b1[i] - b2[i] + c[i]);
            (b1, b2) = (b, b1);
        }
        let quantum = self.series.quantum_au;
        std::array::from_fn(|i| (self.x * b1[i] - b2[i] + constant[i]) * quantum)
    }

    /// The same, and the recurrence differentiated term by term.
    fn state(&self) -> State {
        let (others, constant) = self.coefficients();
        let (mut b1, mut b2) = ([0.0; 3], [0.0; 3]);
        let (mut d1, mut d2) = ([0.0; 3], [0.0; 3]);
        for c in others {
            let d = std::array::from_fn(|i| 2.0 * (b1[i] + self.x * d1[i]) - d2[i]);
            let b = std::array::from_fn(|i| 2.0 * self.x * b1[i] - b2[i] + c[i]);
            (b1, b2, d1, d2) = (b, b1, d, d1);
        }
        let quantum = self.series.quantum_au;
        let per_day = quantum * 2.0 / self.series.segment_days;
        State {
            position_au: std::array::from_fn(|i| (self.x * b1[i] - b2[i] + constant[i]) * quantum),
            velocity_au_day: std::array::from_fn(|i| (b1[i] + self.x * d1[i] - d2[i]) * per_day),
        }
    }
}

/// Bytes of one coefficient on three axes.
const TRIPLE: usize = 3 * size_of::<i32>();

fn whole_numbers(bytes: &[u8]) -> [f64; 3] {
    std::array::from_fn(|axis| {
        let at = axis * size_of::<i32>();
        let four = [bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]];
        f64::from(i32::from_le_bytes(four))
    })
}

/// Only the small table is parsed at the first call; coefficients stay as they are in the file.
static TABLE: LazyLock<[Series; NAMES.len()]> =
    LazyLock::new(|| parsed(FILE).expect("data/ephemeris.bin is built in and parsed by a test"));

const FILE: &[u8] = include_bytes!("../../data/ephemeris.bin");

fn parsed(file: &'static [u8]) -> Option<[Series; NAMES.len()]> {
    let (_, rest) = split_at_empty_line(file)?;
    let (table, coefficients) = split_at_empty_line(rest)?;
    let lines = std::str::from_utf8(table).ok()?.lines().skip(1);
    let series: Vec<Series> = lines
        .zip(NAMES)
        .map(|(line, name)| series(line, name, coefficients))
        .collect::<Option<_>>()?;
    series.try_into().ok()
}

fn split_at_empty_line(text: &[u8]) -> Option<(&[u8], &[u8])> {
    let at = text.windows(2).position(|pair| pair == b"\n\n")?;
    Some((&text[..at], &text[at + 2..]))
}

fn series(line: &str, name: &str, coefficients: &'static [u8]) -> Option<Series> {
    let fields: Vec<&str> = line.split('\t').collect();
    let &[found, _, first_jd, days, terms, quantum, offset, count] = fields.as_slice() else {
        return None;
    };
    let stride = terms.parse::<usize>().ok()?.checked_mul(TRIPLE)?;
    let offset: usize = offset.parse().ok()?;
    let length = count.parse::<usize>().ok()?.checked_mul(stride)?;
    (found == name && stride >= TRIPLE).then_some(Series {
        first_tdb_days: first_jd.parse::<f64>().ok()? - J2000_JD,
        segment_days: days.parse().ok()?,
        quantum_au: quantum.parse().ok()?,
        stride,
        bytes: coefficients.get(offset..offset.checked_add(length)?)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::{ARCSEC_PER_RAD, LIGHT_TIME_AU_DAYS};
    use crate::tables;
    use std::collections::HashMap;

    /// Straight from DE440 by another reader; its head says how.
    const REFERENCE: &str = include_str!("../../tests/reference/ephemeris.tsv");

    const TARGETS: [(&str, EphemerisBody); 10] = [
        ("sun", EphemerisBody::Sun),
        ("mercury", EphemerisBody::Mercury),
        ("venus", EphemerisBody::Venus),
        ("earth", EphemerisBody::Earth),
        ("moon", EphemerisBody::Moon),
        ("mars", EphemerisBody::Mars),
        ("jupiter", EphemerisBody::Jupiter),
        ("saturn", EphemerisBody::Saturn),
        ("uranus", EphemerisBody::Uranus),
        ("neptune", EphemerisBody::Neptune),
    ];

    /// Instants, each with DE440's state of all ten.
    fn reference() -> Vec<(f64, HashMap<String, State>)> {
        let mut instants: Vec<(f64, HashMap<_, _>)> = Vec::new();
        for (tdb_days, body, position_au, velocity_au_day) in tables::rows(REFERENCE) {
            let state = State {
                position_au,
                velocity_au_day,
            };
            if instants.last().is_none_or(|(t, _)| *t != tdb_days) {
                instants.push((tdb_days, HashMap::new()));
            }
            instants.last_mut().unwrap().1.insert(body, state);
        }
        instants
    }

    fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
        sum(a, -1.0, b)
    }

    fn length(a: [f64; 3]) -> f64 {
        a.iter().map(|x| x * x).sum::<f64>().sqrt()
    }

    fn unit(a: [f64; 3]) -> [f64; 3] {
        a.map(|x| x / length(a))
    }

    #[track_caller]
    fn check(what: &str, t: f64, error: f64, tolerance: f64) {
        assert!(
            error <= tolerance,
            "{what} at {t} days: off by {error:e}, allowed {tolerance:e}"
        );
    }

    #[test]
    fn directions_from_the_earth_are_those_of_de440() {
        for (t, truth) in reference() {
            let earth = barycentric_position_au(EphemerisBody::Earth, t).unwrap();
            for (name, target) in TARGETS.iter().filter(|(name, _)| *name != "earth") {
                let ours = difference(barycentric_position_au(*target, t).unwrap(), earth);
                let theirs = difference(truth[*name].position_au, truth["earth"].position_au);
                let error = length(difference(unit(ours), unit(theirs))) * ARCSEC_PER_RAD;
                check(name, t, error, ACCURACY_ARCSEC);
            }
        }
    }

    #[test]
    fn the_moon_by_itself_is_that_of_de440() {
        for (t, truth) in reference() {
            let theirs = difference(truth["moon"].position_au, truth["earth"].position_au);
            let error = length(difference(geocentric_moon_au(t).unwrap(), theirs));
            check(
                "moon",
                t,
                error,
                ACCURACY_ARCSEC / ARCSEC_PER_RAD * length(theirs),
            );
        }
    }

    /// What matters of a velocity is the aberration it makes: an angle of v/c.
    #[test]
    fn velocities_are_those_of_de440() {
        const ABERRATION_ARCSEC: f64 = 0.001;
        let tolerance_au_day = ABERRATION_ARCSEC / ARCSEC_PER_RAD / LIGHT_TIME_AU_DAYS;
        for (t, truth) in reference() {
            for (name, target) in TARGETS {
                let ours = barycentric_state(target, t).unwrap();
                let gap = difference(ours.velocity_au_day, truth[name].velocity_au_day);
                check(name, t, length(gap), tolerance_au_day);
                let alone = barycentric_position_au(target, t);
                assert_eq!(Some(ours.position_au), alone, "{name}");
            }
        }
    }

    #[test]
    fn ends_of_the_table() {
        for (_, target) in TARGETS {
            for inside in [FIRST_TDB_DAYS - 30.0, LAST_TDB_DAYS + 30.0] {
                assert!(barycentric_position_au(target, inside).is_some());
            }
            for outside in [FIRST_TDB_DAYS - 32.0, 4e4, 1e300, f64::NAN, f64::INFINITY] {
                assert_eq!(barycentric_position_au(target, outside), None);
                assert_eq!(barycentric_state(target, outside), None);
            }
        }
    }
}
