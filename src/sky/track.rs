//! A body's apparent path over days or years, cheap to ask at any instant.
//!
//! A search for rise, set or transit asks for the same place a hundred thousand times. Here it is
//! computed by the exact chain at a few nodes (the Chebyshev points of each segment) and
//! interpolated between: within 0.1" of the exact chain (tested), far below the 14" of hour angle
//! that UT1 = UTC may cost. Left out: the bending of light near the Sun (1.75" at its limb, under
//! 0.05" beyond ten degrees) and diurnal aberration (0.3"); parallax is in.

use std::f64::consts::PI;

use crate::sky::Body;
use crate::sky::apparent::geocentric_unbent_au;
use crate::sky::earth::{Place, equator, rotation_angle_rad};
use crate::sky::stars::CatalogueStar;
use crate::sky::time::utc_from_tt_days;
use crate::sky::vector::{Vec3, dot, scaled, turned_about_z};

/// Nodes in one segment.
const N_NODES: usize = 7;

/// Length of a segment of the equator's path: the fortnightly nutation (0.2") is the fastest part
/// that matters.
const EQUATOR_SEGMENT_DAYS: f64 = 16.0;

/// Length of a segment of a star's path: the Earth's yearly aberration is all that moves it.
const STAR_SEGMENT_DAYS: f64 = 16.0;

/// Where stars are put, au: far enough for the observer's parallax to vanish (1e-8").
const STAR_DISTANCE_AU: f64 = 1e9;

/// A vector-valued function of time as Chebyshev segments of equal length.
#[derive(Debug, Clone)]
pub(super) struct Segments<const D: usize> {
    from_days: f64,
    segment_days: f64,
    coefficients: Vec<[[f64; D]; N_NODES]>,
}

impl<const D: usize> Segments<D> {
    /// Interpolates `f`; `None` as soon as `f` is.
    pub(super) fn over(
        (from_days, until_days): (f64, f64),
        segment_days: f64,
        mut f: impl FnMut(f64) -> Option<[f64; D]>,
    ) -> Option<Self> {
        let n_segments = ((until_days - from_days) / segment_days).ceil().max(1.0) as usize;
        let segment_days = (until_days - from_days) / n_segments as f64;
        let coefficients = (0..n_segments)
            .map(|idx| {
                let middle = from_days + (idx as f64 + 0.5) * segment_days;
                let mut values = [[0.0; D]; N_NODES];
                for (value, x) in values.iter_mut().zip(nodes()) {
                    *value = f(middle + 0.5 * segment_days * x)?;
                }
                Some(chebyshev_coefficients(&values))
            })
            .collect::<Option<_>>()?;
        Some(Segments {
            from_days,
            segment_days,
            coefficients,
        })
    }

    /// Value at an instant; a little beyond either end the last segment is continued.
    pub(super) fn at(&self, days: f64) -> [f64; D] {
        let position = (days - self.from_days) / self.segment_days;
        let idx = (position.max(0.0) as usize).min(self.coefficients.len() - 1);
        let x = 2.0 * (position - idx as f64) - 1.0;
        let coefficients = &self.coefficients[idx];
        // Clenshaw's recurrence on all components at once.
        let (mut b1, mut b2) = ([0.0; D], [0.0; D]);
        for row in coefficients[1..].iter().rev() {
            for axis in 0..D {
                let b0 = row[axis] + 2.0 * x * b1[axis] - b2[axis];
                (b2[axis], b1[axis]) = (b1[axis], b0);
            }
        }
        std::array::from_fn(|axis| coefficients[0][axis] + x * b1[axis] - b2[axis])
    }
}

/// The Chebyshev points in `(-1, 1)`.
fn nodes() -> [f64; N_NODES] {
    std::array::from_fn(|k| (PI * (k as f64 + 0.5) / N_NODES as f64).cos())
}

fn chebyshev_coefficients<const D: usize>(values: &[[f64; D]; N_NODES]) -> [[f64; D]; N_NODES] {
    std::array::from_fn(|j| {
        let weight = if j == 0 { 1.0 } else { 2.0 } / N_NODES as f64;
        std::array::from_fn(|axis| {
            let cosine = |k: usize| (PI * j as f64 * (k as f64 + 0.5) / N_NODES as f64).cos();
            weight
                * (0..N_NODES)
                    .map(|k| values[k][axis] * cosine(k))
                    .sum::<f64>()
        })
    })
}

/// The Earth's equator over a span: shared by the tracks of all bodies.
#[derive(Debug, Clone)]
pub struct EquatorTrack {
    span_tt_days: (f64, f64),
    /// GCRS to the intermediate frame of date, row by row.
    rows: Segments<9>,
}

impl EquatorTrack {
    /// Over a span of days of TT since J2000.0.
    pub fn over(from_tt_days: f64, until_tt_days: f64) -> Self {
        let span_tt_days = (from_tt_days, until_tt_days);
        let rows = Segments::over(span_tt_days, EQUATOR_SEGMENT_DAYS, |tt_days| {
            let rows = equator(tt_days).intermediate();
            Some(std::array::from_fn(|k| rows[k / 3][k % 3]))
        })
        .expect("precession and nutation are defined at all times");
        EquatorTrack { span_tt_days, rows }
    }

    pub(super) fn intermediate(&self, gcrs: Vec3, tt_days: f64) -> Vec3 {
        let rows = self.rows.at(tt_days);
        std::array::from_fn(|k| dot([rows[3 * k], rows[3 * k + 1], rows[3 * k + 2]], gcrs))
    }
}

/// Where a body stands over a place's horizon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizontal {
    /// Of the centre, without refraction.
    pub altitude_deg: f64,
    /// From north through east.
    pub azimuth_deg: f64,
    /// From the place.
    pub distance_au: f64,
}

/// The apparent geocentric path of one body in the intermediate frame, au.
#[derive(Debug, Clone)]
pub struct Track {
    path: Segments<3>,
}

impl Track {
    /// Over the span of `equators`; `None` outside the ephemeris.
    pub fn of(body: Body, equators: &EquatorTrack) -> Option<Self> {
        // Short enough for the fastest motion: the Moon's, Mercury's, the Earth's own.
        let segment_days = match body {
            Body::Moon => 4.0,
            Body::Mercury => 6.0,
            _ => 16.0,
        };
        Track::over(equators, segment_days, |tt_days| {
            geocentric_unbent_au(body.target(), tt_days)
        })
    }

    /// Of a catalogue star, over the span of `equators`; `None` outside the ephemeris. The distance
    /// of such a track means nothing.
    pub fn of_star(star: &CatalogueStar, equators: &EquatorTrack) -> Option<Self> {
        Track::over(equators, STAR_SEGMENT_DAYS, |tt_days| {
            let toward = star.geocentric_unbent_direction(tt_days)?;
            Some(scaled(toward, STAR_DISTANCE_AU))
        })
    }

    /// Of whatever has an apparent place from the Earth's centre in GCRS axes, au, as a smooth function of
    /// time: segments of that length must be short against its turns. `None` as soon as the place is.
    pub fn over(
        equators: &EquatorTrack,
        segment_days: f64,
        place_gcrs_au: impl Fn(f64) -> Option<Vec3>,
    ) -> Option<Self> {
        let path = Segments::over(equators.span_tt_days, segment_days, |tt_days| {
            Some(equators.intermediate(place_gcrs_au(tt_days)?, tt_days))
        })?;
        Some(Track { path })
    }

    /// Geocentric, intermediate frame of date, au.
    pub(super) fn intermediate_au(&self, tt_days: f64) -> Vec3 {
        self.path.at(tt_days)
    }

    /// East, north and up from the place, au.
    fn east_north_up_au(&self, place: &Place, tt_days: f64) -> Vec3 {
        place.east_north_up_of(self.fixed_au(tt_days))
    }

    /// Geocentric, Earth-fixed, au.
    fn fixed_au(&self, tt_days: f64) -> Vec3 {
        turned_about_z(
            self.path.at(tt_days),
            rotation_angle_rad(utc_from_tt_days(tt_days)),
        )
    }

    /// Sine of the topocentric altitude without refraction, and the topocentric distance in au.
    pub fn sin_altitude_and_distance_au(&self, place: &Place, tt_days: f64) -> (f64, f64) {
        place.up_and_distance_au(self.fixed_au(tt_days))
    }

    /// Topocentric altitude, azimuth, distance.
    pub fn horizontal(&self, place: &Place, tt_days: f64) -> Horizontal {
        let [east, north, up] = self.east_north_up_au(place, tt_days);
        Horizontal {
            altitude_deg: up.atan2(east.hypot(north)).to_degrees(),
            azimuth_deg: crate::units::wrap_360_deg(east.atan2(north).to_degrees()),
            distance_au: (east * east + north * north + up * up).sqrt(),
        }
    }

    /// Sine of the topocentric local hour angle times a positive length: rises through zero at the
    /// upper transit.
    pub fn west_of_meridian(&self, place: &Place, tt_days: f64) -> f64 {
        place.west_of_meridian(self.fixed_au(tt_days))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::ARCSEC_PER_RAD;
    use crate::sky::apparent::geocentric_sighting;
    use crate::sky::vector::{angle_rad, rotated};

    #[test]
    fn interpolation_stays_within_its_claim() {
        let (from, until) = (9_800.0, 9_800.0 + 365.0);
        let equators = EquatorTrack::over(from, until);
        for body in Body::ALL {
            let track = Track::of(body, &equators).expect("2026 is inside the ephemeris");
            let mut worst_arcsec = 0f64;
            for idx in 0..500 {
                let tt_days = from + (until - from) * (idx as f64 * 0.618_034).fract();
                let sighting = geocentric_sighting(body.target(), tt_days).expect("in range");
                let exact = rotated(&equator(tt_days).intermediate(), sighting.apparent_au);
                let sun = geocentric_sighting(Body::Sun.target(), tt_days).expect("in range");
                let elongation_rad = angle_rad(sun.apparent_au, sighting.apparent_au);
                if body != Body::Sun && elongation_rad.to_degrees() < 10.0 {
                    continue;
                }
                let error_rad = angle_rad(track.path.at(tt_days), exact);
                worst_arcsec = worst_arcsec.max(error_rad * ARCSEC_PER_RAD);
            }
            assert!(worst_arcsec < 0.1, "{body:?}: off by {worst_arcsec}\"");
        }
    }

    #[test]
    fn a_stars_path_is_interpolated_as_well() {
        let (from, until) = (9_800.0, 9_800.0 + 365.0);
        let equators = EquatorTrack::over(from, until);
        let regulus = CatalogueStar {
            right_ascension_deg: 152.093,
            declination_deg: 11.967,
            proper_motion_ra_mas_yr: -249.0,
            proper_motion_dec_mas_yr: 5.0,
            parallax_mas: 41.0,
        };
        let track = Track::of_star(&regulus, &equators).expect("2026 is inside the ephemeris");
        for idx in 0..500 {
            let tt_days = from + (until - from) * (idx as f64 * 0.618_034).fract();
            let exact = regulus.geocentric_direction(tt_days).expect("in range");
            let sun = geocentric_sighting(Body::Sun.target(), tt_days).expect("in range");
            if angle_rad(sun.apparent_au, exact).to_degrees() < 10.0 {
                continue;
            }
            let exact = rotated(&equator(tt_days).intermediate(), exact);
            let error_arcsec = angle_rad(track.path.at(tt_days), exact) * ARCSEC_PER_RAD;
            assert!(error_arcsec < 0.1, "off by {error_arcsec}\"");
        }
    }
}
