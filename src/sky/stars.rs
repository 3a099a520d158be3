//! Catalogue stars: from a place in a catalogue to where the star appears.
//!
//! Serves everything that does not move among the stars: occulted stars, double stars, deep-sky
//! objects (those without proper motion or parallax).

use crate::constants::JULIAN_YEAR_DAYS;
use crate::sky::apparent::{aberrated, bent_by_sun};
use crate::sky::appearance::{ApparentPlace, Scene};
use crate::sky::ephemeris::{EphemerisBody, State, barycentric_position_au, barycentric_state};
use crate::sky::vector::{Vec3, cross, difference, direction, scaled, sum, unit};
use crate::units::rad_from_arcsec;

/// A star as catalogues give it: ICRS, place of the epoch J2000.0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CatalogueStar {
    /// ICRS, epoch J2000.0.
    pub right_ascension_deg: f64,
    /// ICRS, epoch J2000.0.
    pub declination_deg: f64,
    /// On the sky (the cosine of the declination is in), milliarcseconds a year.
    pub proper_motion_ra_mas_yr: f64,
    /// Northward, milliarcseconds a year.
    pub proper_motion_dec_mas_yr: f64,
    /// Annual parallax, milliarcseconds; 0 where it does not matter.
    pub parallax_mas: f64,
}

impl CatalogueStar {
    /// Something that stays where it is: a nebula, a galaxy, a star whose motion is not known.
    pub fn fixed(right_ascension_deg: f64, declination_deg: f64) -> Self {
        CatalogueStar {
            right_ascension_deg,
            declination_deg,
            proper_motion_ra_mas_yr: 0.0,
            proper_motion_dec_mas_yr: 0.0,
            parallax_mas: 0.0,
        }
    }

    /// Unit vector from the solar-system barycentre, ICRF axes, at days of TT since J2000.0.
    ///
    /// Straight and steady motion. The star's own motion along the line of sight is left out: of the
    /// brightest stars it changes the place by less than 0.01" in a century (Groombridge's and Barnard's
    /// stars, some 0.1", are no targets here).
    pub fn barycentric_direction(&self, tt_days: f64) -> Vec3 {
        let from = direction(self.right_ascension_deg, self.declination_deg);
        let (sin_a, cos_a) = self.right_ascension_deg.to_radians().sin_cos();
        let east = [-sin_a, cos_a, 0.0];
        let north = cross(from, east);
        let years = tt_days / JULIAN_YEAR_DAYS;
        let moved_rad = |mas_yr: f64| rad_from_arcsec(mas_yr * 1e-3 * years);
        unit(sum(
            from,
            sum(
                scaled(east, moved_rad(self.proper_motion_ra_mas_yr)),
                scaled(north, moved_rad(self.proper_motion_dec_mas_yr)),
            ),
        ))
    }

    /// Direction in which an observer of that barycentric state looks for the star: proper motion,
    /// parallax, aberration, and the bending of light at the Sun where the Sun's place is given.
    /// Unit vector, GCRS axes.
    fn direction_from(&self, observer: State, sun_au: Option<Vec3>, tt_days: f64) -> Vec3 {
        let parallax_rad = rad_from_arcsec(self.parallax_mas * 1e-3);
        let mut toward = unit(difference(
            self.barycentric_direction(tt_days),
            scaled(observer.position_au, parallax_rad),
        ));
        if let Some(sun_au) = sun_au {
            let sun_to_observer = difference(observer.position_au, sun_au);
            toward = bent_by_sun(toward, toward, sun_to_observer);
        }
        aberrated(toward, observer.velocity_au_day)
    }

    /// Where the star appears from the Earth's centre: unit vector, GCRS axes. `None` outside the
    /// ephemeris, 1950-2100.
    ///
    /// Accuracy: the catalogue's place and some milliarcseconds.
    pub fn geocentric_direction(&self, tt_days: f64) -> Option<Vec3> {
        let earth = barycentric_state(EphemerisBody::Earth, tt_days)?;
        let sun_au = barycentric_position_au(EphemerisBody::Sun, tt_days)?;
        Some(self.direction_from(earth, Some(sun_au), tt_days))
    }

    /// The same but for the bending of light at the Sun (0.004" at 90 degrees from it, 0.02" at 20):
    /// smooth enough to interpolate.
    pub fn geocentric_unbent_direction(&self, tt_days: f64) -> Option<Vec3> {
        let earth = barycentric_state(EphemerisBody::Earth, tt_days)?;
        Some(self.direction_from(earth, None, tt_days))
    }
}

impl Scene {
    /// How a catalogue star looks from here, now.
    pub fn star(&self, star: &CatalogueStar) -> ApparentPlace {
        let geocentric = star.direction_from(self.geocentre, Some(self.sun_au()), self.tt_days);
        self.apparent_place(geocentric, self.star_direction(star))
    }

    /// Where a star appears from the observer's place: unit vector, GCRS axes.
    pub(super) fn star_direction(&self, star: &CatalogueStar) -> Vec3 {
        star.direction_from(self.observer, Some(self.sun_au()), self.tt_days)
    }

    /// The Sun, as it was when its light left, from the solar-system barycentre, au.
    fn sun_au(&self) -> Vec3 {
        sum(self.observer.position_au, self.sun.astrometric_au)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::J2000_JD;
    use crate::sky::earth::equator;
    use crate::sky::vector::{angle_rad, longitude_latitude_deg, rotated};

    #[test]
    fn theta_persei_of_a_worked_example() {
        // Meeus, Astronomical Algorithms 2nd ed., examples 21.b and 23.a (from memory): theta Persei, FK5,
        // 2h 44m 11.986s +49 13' 42.48", +0.03425 s and -0.0895" a year; apparent on 2028 November 13.19
        // TD: 2h 46m 14.390s, +49 21' 07.45". FK5 v. ICRS 0.02", precession of 1976 v. 2006 0.1", the book's
        // low-accuracy nutation and aberration 0.5" and 0.1" (its chapters 22, 23); no parallax in it (0.09").
        let declination_deg = 49.0 + 13.0 / 60.0 + 42.48 / 3600.0;
        let theta = CatalogueStar {
            right_ascension_deg: 15.0 * (2.0 + 44.0 / 60.0 + 11.986 / 3600.0),
            declination_deg,
            proper_motion_ra_mas_yr: 0.034_25e3 * 15.0 * declination_deg.to_radians().cos(),
            proper_motion_dec_mas_yr: -89.5,
            parallax_mas: 0.0,
        };
        let tt_days = 2_462_088.69 - J2000_JD;
        let gcrs = theta.geocentric_direction(tt_days).expect("in range");
        let of_date = rotated(&equator(tt_days).true_of_date, gcrs);
        let want = direction(
            15.0 * (2.0 + 46.0 / 60.0 + 14.390 / 3600.0),
            49.0 + 21.0 / 60.0 + 7.45 / 3600.0,
        );
        let off_arcsec = angle_rad(of_date, want).to_degrees() * 3600.0;
        assert!(
            off_arcsec < 0.7,
            "theta Persei: {off_arcsec}\" off, at {:?}",
            longitude_latitude_deg(of_date)
        );
    }
}
