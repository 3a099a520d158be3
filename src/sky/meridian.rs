//! When a marking of Jupiter or Mars crosses the middle of the disc.
//!
//! Geometric central meridians as in [`Face`](crate::sky::Face), seen from the Earth's centre: a place on its
//! surface sees the same within 0.1 s. The phase is not in: what an observer calls the middle of the lit disc
//! lies up to 0.5 degrees (Jupiter) from it.

use crate::constants::{LIGHT_TIME_AU_DAYS, SECONDS_PER_DAY};
use crate::sky::Body;
use crate::sky::apparent::geocentric_sighting;
use crate::sky::rotation::rotation;
use crate::sky::search::{Search, crossings};
use crate::sky::vector::scaled;
use crate::units::{wrap_180_deg, wrap_360_deg};

/// What turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meridian {
    /// Jupiter's equatorial zone, 9 h 50 min.
    Jupiter1,
    /// The rest of Jupiter's clouds, the Great Red Spot among them, 9 h 56 min.
    Jupiter2,
    /// Mars, 24 h 37 min.
    Mars,
}

impl Meridian {
    /// West longitude of the disc's centre, `[0, 360)`. `None` outside the ephemeris, 1950-2100.
    pub fn west_longitude_deg(self, tt_days: f64) -> Option<f64> {
        let body = match self {
            Meridian::Jupiter1 | Meridian::Jupiter2 => Body::Jupiter,
            Meridian::Mars => Body::Mars,
        };
        let seen = geocentric_sighting(body.target(), tt_days)?;
        let rotation = rotation(body, tt_days - seen.distance_au * LIGHT_TIME_AU_DAYS);
        let to_earth = scaled(seen.astrometric_au, -1.0);
        Some(match self {
            Meridian::Jupiter1 => rotation.west_longitudes_of_three_systems_deg(to_earth)[0],
            Meridian::Jupiter2 => rotation.west_longitudes_of_three_systems_deg(to_earth)[1],
            Meridian::Mars => wrap_360_deg(-rotation.longitude_latitude_deg(to_earth).0),
        })
    }

    /// A look every so often: less than a third of a turn.
    fn step_days(self) -> f64 {
        match self {
            Meridian::Jupiter1 | Meridian::Jupiter2 => 0.1,
            Meridian::Mars => 0.25,
        }
    }

    /// When a west longitude is in the middle of the disc: all instants in `[from, until)`, days of TT since
    /// J2000.0. `None` outside the ephemeris.
    ///
    /// Accuracy: that of the central meridian, 0.02 degrees: 2 s (Jupiter), 5 s (Mars).
    pub fn transits(
        self,
        west_longitude_deg: f64,
        from_tt_days: f64,
        until_tt_days: f64,
    ) -> Option<Vec<f64>> {
        let step = self.step_days();
        // The search looks a step beyond either end.
        self.west_longitude_deg(from_tt_days - 2.0 * step)?;
        self.west_longitude_deg(until_tt_days + 2.0 * step)?;
        let search = Search {
            from: from_tt_days,
            until: until_tt_days,
            step,
            tolerance: TOLERANCE_DAYS,
        };
        // A sine is smooth where the angle itself jumps; it rises where the longitude arrives.
        let found = crossings(search, |tt_days| {
            let meridian_deg = self.west_longitude_deg(tt_days).unwrap_or(f64::NAN);
            wrap_180_deg(meridian_deg - west_longitude_deg)
                .to_radians()
                .sin()
        });
        let arriving = found.into_iter().filter(|crossing| crossing.rising);
        Some(arriving.map(|crossing| crossing.at).collect())
    }
}

/// A tenth of a second.
const TOLERANCE_DAYS: f64 = 0.1 / SECONDS_PER_DAY;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::time::tt_days;

    /// Instants in UTC, against all transits of a span of days.
    #[track_caller]
    fn check(
        (meridian, west_longitude_deg): (Meridian, f64),
        (from, n_days): (&str, f64),
        want: &[&str],
        tolerance_s: f64,
    ) {
        let at = |utc: &str| tt_days(utc.parse().expect("an RFC 3339 instant"));
        let got = meridian
            .transits(west_longitude_deg, at(from), at(from) + n_days)
            .expect("in range");
        assert_eq!(got.len(), want.len(), "{got:?}");
        for (got, want) in got.iter().zip(want) {
            let late_s = (got - at(want)) * SECONDS_PER_DAY;
            assert!(late_s.abs() <= tolerance_s, "{late_s} s after {want}");
        }
    }

    #[test]
    fn the_red_spot_as_printed() {
        // Sky & Telescope, January 2019, p. 53: "17, 6:27, 16:23; 18, 2:19, 12:15, 22:10; 19, 8:06, 18:02" UT,
        // for System II longitude 294. Half a minute, and 0.05 degrees (5 s) by which the report rounds
        // where System II stood in 2000. Magazines count the phase in: 0.1 degrees then, 10 s.
        check(
            (Meridian::Jupiter2, 294.0),
            ("2019-01-17T00:00:00Z", 3.0),
            &[
                "2019-01-17T06:27:00Z",
                "2019-01-17T16:23:00Z",
                "2019-01-18T02:19:00Z",
                "2019-01-18T12:15:00Z",
                "2019-01-18T22:10:00Z",
                "2019-01-19T08:06:00Z",
                "2019-01-19T18:02:00Z",
            ],
            30.0 + 5.0 + 10.0,
        );
    }

    #[test]
    fn meridians_turn_as_fast_as_they_should() {
        // Textbook periods: System I 9h 50m 30.003s, System II 9h 55m 40.632s, Mars 24h 37m 22.66s. As seen from
        // the Earth they are a few seconds shorter or longer: over a year the mean is the sidereal period
        // less the way round the Sun.
        for (meridian, period_s) in [
            (Meridian::Jupiter1, 35_430.003),
            (Meridian::Jupiter2, 35_740.632),
            (Meridian::Mars, 88_642.66),
        ] {
            let transits = meridian
                .transits(100.0, 9_800.0, 10_200.0)
                .expect("in range");
            for two in transits.windows(2) {
                let apart_s = (two[1] - two[0]) * SECONDS_PER_DAY;
                // At most 1.2 degrees a day by which the Earth is seen to move (Mars), 0.25 (Jupiter).
                let strays = match meridian {
                    Meridian::Mars => 1.2 / 350.0,
                    _ => 0.25 / 870.0,
                };
                assert!(
                    (apart_s / period_s - 1.0).abs() < strays,
                    "{meridian:?}: {apart_s}"
                );
            }
        }
        assert_eq!(Meridian::Mars.transits(0.0, 40_000.0, 40_001.0), None);
    }
}
