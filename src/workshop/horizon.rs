//! The skyline of the place: how low one can see in each direction.

use crate::units::wrap_360_deg;

use super::Horizon;

impl Horizon {
    /// Open down to the mathematical horizon all round.
    pub fn flat() -> Horizon {
        Horizon {
            corners: Vec::new(),
        }
    }

    /// From `(azimuth_deg, altitude_deg)` pairs; `None` unless the azimuths increase strictly
    /// within `[0, 360)` and the altitudes lie within -90 to 90.
    ///
    /// ```
    /// use skyworthy::workshop::Horizon;
    ///
    /// let wall = Horizon::from_corners(vec![(90.0, 0.0), (100.0, 30.0), (200.0, 0.0)]).unwrap();
    /// assert_eq!(wall.altitude_deg(95.0), 15.0);
    /// ```
    pub fn from_corners(corners: Vec<(f64, f64)>) -> Option<Horizon> {
        let rising = corners.windows(2).all(|pair| pair[0].0 < pair[1].0);
        let legal = corners
            .iter()
            .all(|&(azimuth, altitude)| (0.0..360.0).contains(&azimuth) && altitude.abs() <= 90.0);
        (rising && legal).then_some(Horizon { corners })
    }

    /// Its corners, azimuths strictly increasing in `[0, 360)`; empty = flat.
    pub fn corners(&self) -> &[(f64, f64)] {
        &self.corners
    }

    /// Lowest clear altitude at that azimuth (north 0, east 90, any turn), degrees: straight
    /// lines between the corners, the last one joined to the first through north.
    pub fn altitude_deg(&self, azimuth_deg: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.corners.first(), self.corners.last()) else {
            return 0.0;
        };
        let azimuth = wrap_360_deg(azimuth_deg);
        let after = self.corners.partition_point(|corner| corner.0 <= azimuth);
        let left = match after {
            0 => (last.0 - 360.0, last.1),
            _ => self.corners[after - 1],
        };
        let right = match self.corners.get(after) {
            Some(&corner) => corner,
            None => (first.0 + 360.0, first.1),
        };
        left.1 + (right.1 - left.1) * (azimuth - left.0) / (right.0 - left.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(corners: &[(f64, f64)], azimuth_deg: f64, want_deg: f64) {
        let horizon = Horizon::from_corners(corners.to_vec()).expect("legal corners");
        let got = horizon.altitude_deg(azimuth_deg);
        assert!((got - want_deg).abs() < 1e-12, "want {want_deg}, got {got}");
    }

    #[test]
    fn straight_lines_that_close_through_north() {
        let wall = [(30.0, 10.0), (90.0, 40.0), (330.0, 4.0)];
        check(&wall, 30.0, 10.0);
        check(&wall, 60.0, 25.0);
        check(&wall, 90.0, 40.0);
        check(&wall, 210.0, 22.0);
        check(&wall, 0.0, 7.0); // half-way from 330 to 390
        check(&wall, 360.0, 7.0);
        check(&wall, -15.0, 5.5);
        check(&wall, 705.0, 5.5);
        check(&[(200.0, 12.0)], 10.0, 12.0); // one corner: the same all round
        check(&[], 123.0, 0.0);
    }

    #[test]
    fn corners_out_of_order_are_no_horizon() {
        assert_eq!(Horizon::from_corners(vec![(90.0, 1.0), (90.0, 2.0)]), None);
        assert_eq!(Horizon::from_corners(vec![(0.0, 1.0), (360.0, 1.0)]), None);
        assert_eq!(Horizon::from_corners(vec![(0.0, f64::NAN)]), None);
    }
}
