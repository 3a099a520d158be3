//! What an eyepiece makes of the focus: magnification, exit pupil, field, and how long an
//! undriven telescope keeps an object in it.

use std::f64::consts::TAU;

use crate::units::ARCSEC_PER_ARCMIN;

/// A telescope and an eyepiece, perhaps with a Barlow lens between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combination {
    /// Of the mirror, mm.
    pub telescope_focal_length_mm: f64,
    /// Of the eyepiece, mm.
    pub eyepiece_focal_length_mm: f64,
    /// 1 without a Barlow lens.
    pub barlow_factor: f64,
}

impl Combination {
    /// How much larger a small angle looks.
    pub fn magnification(self) -> f64 {
        self.telescope_focal_length_mm * self.barlow_factor / self.eyepiece_focal_length_mm
    }

    /// Diameter of the sky seen, degrees, from the eyepiece's field stop: exact.
    pub fn true_field_of_stop_deg(self, field_stop_mm: f64) -> f64 {
        let focal_length_mm = self.telescope_focal_length_mm * self.barlow_factor;
        2.0 * (field_stop_mm / (2.0 * focal_length_mm))
            .atan()
            .to_degrees()
    }

    /// Diameter of the sky seen, degrees, as apparent field over magnification.
    ///
    /// An approximation: eyepieces stretch the field toward its edge, so that the printed apparent
    /// field errs by up to 10 % here (common experience; the field stop is better).
    pub fn true_field_of_apparent_deg(self, apparent_field_deg: f64) -> f64 {
        apparent_field_deg / self.magnification()
    }
}

/// Diameter of the pencil of light that leaves the eyepiece, mm.
pub fn exit_pupil_mm(aperture_mm: f64, magnification: f64) -> f64 {
    aperture_mm / magnification
}

/// How long a star takes across the middle of the field of a telescope that stands still, seconds.
///
/// Exact on the sphere; near the equator `field / (15.04 arcsec a second)`, elsewhere longer by
/// `1 / cos(declination)`. `None` where the field is so wide and the pole so near that the star
/// never leaves.
pub fn drift_time_s(true_field_deg: f64, declination_deg: f64) -> Option<f64> {
    let half_field = (true_field_deg.to_radians() / 4.0).sin();
    let half_turn = half_field / declination_deg.to_radians().cos().abs();
    (half_turn < 1.0).then(|| 4.0 * half_turn.asin() / TAU * SIDEREAL_DAY_S)
}

/// Below this magnification light is lost on the iris: aperture over the eye's own pupil.
pub fn lowest_useful_magnification(aperture_mm: f64, eye_pupil_mm: f64) -> f64 {
    aperture_mm / eye_pupil_mm
}

/// The magnification beyond which nothing more is seen, and what sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HighestUseful {
    /// The lower of the two limits.
    pub magnification: f64,
    /// Which it was.
    pub limit: HighLimit,
}

/// What stops the magnification.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HighLimit {
    /// The exit pupil shrinks to [`SMALLEST_EXIT_PUPIL_MM`].
    ExitPupil,
    /// The air's blur grows to [`LARGEST_BLUR_ARCMIN`] at the eye.
    Seeing,
}

/// Exit pupil below which the diffraction disc, specks in the eye and dimness leave nothing to gain,
/// mm: twice the aperture in mm as magnification. Common practice, no source.
pub const SMALLEST_EXIT_PUPIL_MM: f64 = 0.5;

/// Apparent size at which a star's blur looks plainly soft, arcminutes: 300 over the seeing in
/// arcseconds as magnification. Common practice, no source.
pub const LARGEST_BLUR_ARCMIN: f64 = 5.0;

/// The ends of the range of useful magnifications are known no better than this, and eyepieces come in steps: a tenth
/// outside is still of use. Nobody's air or pupil is that regular.
pub const LEEWAY: f64 = 1.1;

/// The same where the air is the limit, which halves and doubles within an evening: up to here the view is soft and yet shows
/// more than one from a weaker eyepiece. Common practice, no source.
const LEEWAY_IN_AIR: f64 = 1.4;

impl HighestUseful {
    /// Whether a magnification is not too high.
    pub fn bears(&self, magnification: f64) -> bool {
        let leeway = match self.limit {
            HighLimit::Seeing => LEEWAY_IN_AIR,
            HighLimit::ExitPupil => LEEWAY,
        };
        magnification <= leeway * self.magnification
    }

    /// How many of some magnifications, rising, are of use; never none: who has nothing weaker looks through the weakest.
    pub fn n_borne(&self, rising: &[f64]) -> usize {
        rising.partition_point(|&it| self.bears(it)).max(1)
    }

    /// An eyepiece made stronger with the telescope, or as strong as is of use, but no weaker than it was.
    pub fn held(&self, magnification: f64, times: f64) -> f64 {
        (magnification * times).min(self.magnification.max(magnification))
    }
}

/// Highest useful magnification in air of that seeing (FWHM).
pub fn highest_useful_magnification(aperture_mm: f64, seeing_arcsec: f64) -> HighestUseful {
    let by_pupil = aperture_mm / SMALLEST_EXIT_PUPIL_MM;
    let by_air = LARGEST_BLUR_ARCMIN * ARCSEC_PER_ARCMIN / seeing_arcsec;
    if by_air < by_pupil {
        HighestUseful {
            magnification: by_air,
            limit: HighLimit::Seeing,
        }
    } else {
        HighestUseful {
            magnification: by_pupil,
            limit: HighLimit::ExitPupil,
        }
    }
}

/// One turn of the Earth against the stars: 2 pi over 7.292 115 855e-5 rad/s (IAU 2000, rate of
/// sidereal time at J2000.0).
const SIDEREAL_DAY_S: f64 = TAU / 7.292_115_855e-5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    const COMBINATION: Combination = Combination {
        telescope_focal_length_mm: 1200.0,
        eyepiece_focal_length_mm: 10.0,
        barlow_factor: 1.0,
    };

    #[test]
    fn arithmetic_of_an_eyepiece() {
        let barlow = Combination {
            barlow_factor: 2.0,
            ..COMBINATION
        };
        close("magnification", COMBINATION.magnification(), 120.0, 1e-12);
        close("with Barlow", barlow.magnification(), 240.0, 1e-12);
        close("exit pupil", exit_pupil_mm(150.0, 120.0), 1.25, 1e-12);
        close(
            "field",
            COMBINATION.true_field_of_apparent_deg(50.0),
            0.4167,
            5e-5,
        );
        // 8.73 mm is what an undistorted 50 degrees would need: 57.3 x stop / f.
        close(
            "field by stop",
            COMBINATION.true_field_of_stop_deg(8.73),
            0.4168,
            5e-5,
        );
        close(
            "its half",
            barlow.true_field_of_stop_deg(8.73),
            0.2084,
            5e-5,
        );
    }

    /// A field of 20 arcminutes on the equator: 80 s (20 x 60 / 15.041 = 79.782).
    #[test]
    fn drift_through_the_field() {
        close(
            "equator",
            drift_time_s(1.0 / 3.0, 0.0).unwrap(),
            79.78,
            5e-3,
        );
        let at_60 = drift_time_s(1.0 / 3.0, 60.0).unwrap();
        close("twice at 60 degrees", at_60, 159.56, 5e-3);
        close(
            "south as north",
            drift_time_s(1.0 / 3.0, -60.0).unwrap(),
            at_60,
            1e-12,
        );
        assert_eq!(drift_time_s(1.0, 89.9), None);
    }

    #[test]
    fn useful_magnifications() {
        close(
            "lowest",
            lowest_useful_magnification(150.0, 6.0),
            25.0,
            1e-12,
        );
        let poor = highest_useful_magnification(200.0, 2.0);
        assert_eq!((poor.magnification, poor.limit), (150.0, HighLimit::Seeing));
        let good = highest_useful_magnification(60.0, 1.0);
        assert_eq!(
            (good.magnification, good.limit),
            (120.0, HighLimit::ExitPupil)
        );
        // A tenth above is borne; the weakest always is.
        assert_eq!(poor.n_borne(&[40.0, 100.0, 209.9, 210.1, 300.0]), 3);
        assert_eq!(poor.n_borne(&[220.0, 300.0]), 1);
        assert_eq!(good.n_borne(&[60.0, 131.9, 132.1]), 2);
        assert_eq!(poor.held(100.0, 1.2), 120.0);
        assert_eq!(poor.held(100.0, 2.0), 150.0);
        assert_eq!(poor.held(160.0, 2.0), 160.0);
    }
}
