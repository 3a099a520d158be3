//! From a detail above the air to its visibility at an eyepiece: air, telescope, eye, link by link.
//!
//! A [`Chain`] is one telescope with its eyepieces under one air. [`Chain::visibilities`] says how
//! far a detail stands above a practised observer's 50 % threshold: markings on discs through
//! Barten's index, points and glows against the sky through Crumey's thresholds, both with the
//! glare of the bright body beside them, if there is one; pairs of stars through both.

pub(super) mod pair;
pub(super) mod smear;

use std::f64::consts::{FRAC_PI_4, PI};
use std::sync::OnceLock;

use crate::constants::{ARCSEC_PER_RAD, REFERENCE_WAVELENGTH_NM};
use crate::eye::contrast::THRESHOLD_SNR;
use crate::eye::crumey::DARKEST_GROUND_CD_M2;
use crate::eye::detect::Pattern;
use crate::eye::glare::GlaringLight;
use crate::eye::pupil::REFERENCE_PUPIL_MM;
use crate::eye::{Eyes, PRACTISED, age, crumey, detect, glare, pupil};
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::sky::Appearance;
use crate::sky::seeing::{Blur, GOOD_MOMENTS, fwhm_arcsec};
use crate::targets::chain::pair::{NEAREST_ARCSEC, Stars};
use crate::targets::chain::smear::{smear_arcsec, smear_mtf};
use crate::targets::sight::{Sight, Today};

/// What one link after another does to the light.
#[derive(Debug, Clone, PartialEq)]
pub struct Links {
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Diagonal over aperture.
    pub obstruction: f64,
    /// Contrast kept by mirror and diagonal.
    pub mtf: Mtf,
    /// Share of the light that reaches the eyepiece, 0 to 1.
    pub transmission: f64,
    /// Magnifications at hand, rising.
    pub magnifications: Vec<f64>,
    /// FWHM of a star at the zenith, 550 nm, arcseconds.
    pub seeing_zenith_arcsec: f64,
    /// Toward the body.
    pub airmass: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag_airmass: f64,
    /// Sky around the body, V mag/arcsec², as seen from the ground.
    pub sky_brightness_mag_arcsec2: f64,
    /// Of the observer.
    pub age_years: f64,
    /// By how much the figure widens a star, added as the root of the sum of squares, arcseconds; 0 of a perfect one.
    pub figure_blur_arcsec: f64,
}

/// The body that the details belong to, as a source of glare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glaring {
    /// Above the air, whole body.
    pub magnitude: f64,
    /// Equatorial, arcseconds.
    pub diameter_arcsec: f64,
}

impl Glaring {
    /// Of a body as it looks; of the Moon what the Earth's shadow leaves.
    pub fn of(seen: &Appearance) -> Glaring {
        let left = seen.shadow.map_or(1.0, |shadow| shadow.light_left());
        Glaring {
            magnitude: seen.magnitude - 2.5 * left.log10(),
            diameter_arcsec: seen.diameter_arcsec,
        }
    }

    /// Its light all in the middle: for what lies on the body itself.
    fn as_point(&self) -> Glaring {
        Glaring {
            diameter_arcsec: 0.0,
            ..*self
        }
    }
}

/// One telescope, all its magnifications, one air: everything that does not depend on the detail.
#[derive(Debug, Clone)]
pub struct Chain {
    links: Links,
    seeing_arcsec: f64,
    powers: Vec<Power>,
}

/// One magnification.
#[derive(Debug, Clone)]
struct Power {
    magnification: f64,
    /// Through which the light enters the eye: exit pupil or the eye's own.
    pupil_mm: f64,
    /// Worked out when the first marking or pair asks for it: stars and glows by themselves never do.
    eye: OnceLock<detect::AidedEye>,
}

impl Chain {
    /// Carries the links together.
    pub fn new(links: Links) -> Chain {
        let dark_pupil_mm = pupil::dark_adapted_pupil_mm(links.age_years);
        let power = |&magnification: &f64| Power {
            magnification,
            pupil_mm: (links.aperture_mm / magnification).min(dark_pupil_mm),
            eye: OnceLock::new(),
        };
        let powers = links.magnifications.iter().map(power).collect();
        let seeing_arcsec = fwhm_arcsec(
            links.seeing_zenith_arcsec,
            links.airmass,
            REFERENCE_WAVELENGTH_NM,
        );
        Chain {
            seeing_arcsec,
            links,
            powers,
        }
    }

    /// The eye behind one magnification, with what mirror and air keep for it.
    fn eye<'a>(&self, power: &'a Power) -> &'a detect::AidedEye {
        power.eye.get_or_init(|| {
            let links = &self.links;
            let air = Blur::toward(links.seeing_zenith_arcsec, links.airmass);
            let smear_arcsec = smear_arcsec(links.airmass);
            // A wider exit pupil than the eye's stops the telescope down.
            let lit_mm = power.pupil_mm * power.magnification;
            let cutoff = cutoff_cycles_per_arcsec(lit_mm, REFERENCE_WAVELENGTH_NM);
            let kept =
                |f: f64| links.mtf.at(f / cutoff) * air.glimpse_mtf(f) * smear_mtf(f, smear_arcsec);
            detect::AidedEye::new(power.magnification, power.pupil_mm, &kept)
        })
    }

    /// The magnifications, rising.
    pub fn magnifications(&self) -> &[f64] {
        &self.links.magnifications
    }

    /// How far above a practised observer's 50 % threshold the detail stands at each
    /// magnification: 1 is the threshold. `body` is the bright one it belongs to; `None` for what
    /// stands alone in the sky, a pair of stars among it.
    pub fn visibilities(&self, today: &Today, body: Option<&Glaring>) -> Vec<f64> {
        self.powers
            .iter()
            .map(|power| self.visibility(power, today, body))
            .collect()
    }

    /// The best of [`Chain::visibilities`].
    pub fn best_visibility(&self, today: &Today, body: Option<&Glaring>) -> f64 {
        self.powers
            .iter()
            .map(|power| self.visibility(power, today, body))
            .fold(0.0, f64::max)
    }

    fn visibility(&self, power: &Power, today: &Today, body: Option<&Glaring>) -> f64 {
        match today.sight {
            Sight::Marking {
                pattern,
                contrast,
                within_arcsec,
            } => {
                let marking = Marked {
                    pattern,
                    contrast,
                    within_arcsec,
                };
                self.pattern_visibility(power, marking, today.luminance_cd_m2) / today.recognition
            }
            Sight::Point {
                magnitude,
                from_body_arcsec,
            } => {
                let veil_cd_m2 = self.veil_cd_m2(power, from_body_arcsec, body);
                self.point_visibility(power, magnitude, &Ground::even(veil_cd_m2))
            }
            Sight::Glow {
                diameter_arcsec,
                surface_brightness_mag_arcsec2,
            } => {
                let glow_cd_m2 = glare::luminance_cd_m2(surface_brightness_mag_arcsec2);
                self.glow_visibility(power, diameter_arcsec, glow_cd_m2, body)
            }
            Sight::Pair {
                separation_arcsec,
                magnitude_a,
                magnitude_b,
            } => {
                let stars = Stars {
                    separation_arcsec,
                    bright_mag: magnitude_a.min(magnitude_b),
                    faint_mag: magnitude_a.max(magnitude_b),
                };
                self.pair_visibility(power, &stars)
            }
        }
    }

    /// A pattern on a ground of that luminance above the air.
    fn pattern_visibility(&self, power: &Power, marking: Marked, luminance_cd_m2: f64) -> f64 {
        let luminance_cd_m2 = luminance_cd_m2 * self.through_air() * self.links.transmission;
        let sky_cd_m2 = self.sky_cd_m2() * self.links.transmission;
        let detail = detect::RetinalDetail {
            pattern: marking.pattern,
            contrast: marking.contrast,
            within_arcsec: marking.within_arcsec,
            illuminance_td: glare::retinal_illuminance_td(luminance_cd_m2, power.pupil_mm),
            veil_td: glare::retinal_illuminance_td(sky_cd_m2, power.pupil_mm),
        };
        detect::visibility(self.eye(power), &detail) / age::day_loss(self.links.age_years)
    }

    /// A point on a ground: Crumey's threshold, for a star as wide as the air makes it. At small
    /// magnifications, where it is a point to the eye, this is his limiting magnitude of a telescope.
    fn point_visibility(&self, power: &Power, magnitude: f64, ground: &Ground) -> f64 {
        let dimming = self.dimming(power);
        let ground_cd_m2 =
            (dimming * self.sky_cd_m2() + ground.veil_cd_m2).max(DARKEST_GROUND_CD_M2);
        let below_air_mag = magnitude + self.links.extinction_mag_airmass * self.links.airmass;
        let star_lx = crumey::star_at_eye_lx(below_air_mag, dimming * power.magnification.powi(2));
        let star_arcsec = self.seeing_arcsec.hypot(self.links.figure_blur_arcsec);
        let area_sr = area_at_eye_sr(star_arcsec, power);
        let even_lx = ground_cd_m2
            * area_sr
            * self.patch_threshold(power, ground_cd_m2, area_sr)
            * self.night_factor();
        let among_speckles_lx = CLUTTER_CONTRAST * star_lx * ground.speckles_over_star;
        let least_lx = even_lx.hypot(among_speckles_lx);
        star_lx / least_lx * detect::exit_pupil_handicap(power.pupil_mm)
    }

    /// A large faint area beside the bright part of its own body.
    fn glow_visibility(
        &self,
        power: &Power,
        diameter_arcsec: f64,
        glow_cd_m2: f64,
        body: Option<&Glaring>,
    ) -> f64 {
        let veil_cd_m2 = self.veil_cd_m2(
            power,
            0.5 * diameter_arcsec,
            body.map(Glaring::as_point).as_ref(),
        );
        let dimming = self.dimming(power);
        let ground_cd_m2 = (dimming * self.sky_cd_m2() + veil_cd_m2).max(DARKEST_GROUND_CD_M2);
        let contrast = dimming * self.through_air() * glow_cd_m2 / ground_cd_m2;
        let area_sr = area_at_eye_sr(diameter_arcsec, power);
        let threshold = self.patch_threshold(power, ground_cd_m2, area_sr);
        contrast / (threshold * self.night_factor())
    }

    /// Two stars. Both must be seen, the fainter in the light of the brighter; as long as their images
    /// touch, the eye must also tell the two from one longish star. Where the images stand clear
    /// nobody doubts that there are two, and seeing them is enough: day vision's index, which knows no
    /// dark-adapted eye, fades out.
    fn pair_visibility(&self, power: &Power, stars: &Stars) -> f64 {
        let seen = self.companion_visibility(power, stars);
        let over_one_arcsec2_cd_m2 = glare::luminance_cd_m2(stars.both_mag());
        let two_stars = Marked {
            pattern: stars.pattern(),
            contrast: 1.0,
            within_arcsec: f64::INFINITY,
        };
        let split = self.pattern_visibility(power, two_stars, over_one_arcsec2_cd_m2);
        let image_arcsec = self.eye(power).light_at_centre_per_arcsec2().sqrt().recip();
        let clear = stars.clear_share(image_arcsec);
        split.min(seen).powf(1.0 - clear) * seen.powf(clear)
    }

    /// The fainter star as a point in the light of the brighter: its image's rings and halo, full of
    /// structure, and the even veils of dust and of the eye.
    fn companion_visibility(&self, power: &Power, stars: &Stars) -> f64 {
        let bright_lx = glare::illuminance_lx(stars.bright_mag) * self.through_air();
        let apart_arcsec = stars.separation_arcsec.max(NEAREST_ARCSEC);
        let at_eye = bright_lx * ARCSEC_PER_RAD.powi(2) * self.dimming(power);
        // The halo is that of the usual air: good moments sharpen the stars, and hardly dim what lies far out.
        let usual_air = GOOD_MOMENTS.powf(5.0 / 3.0);
        let beside_per_arcsec2 = usual_air * self.eye(power).light_beside_per_arcsec2(apart_arcsec);
        let image_cd_m2 = at_eye * beside_per_arcsec2;
        let dust = (DUSTY_MIRROR - 1.0) / DUSTY_MIRROR;
        let dust_cd_m2 = at_eye * dust * self.scattered_per_arcsec2(apart_arcsec, 0.0);
        let ground = Ground {
            veil_cd_m2: self.in_eye_cd_m2(power, apart_arcsec, bright_lx)
                + image_cd_m2
                + dust_cd_m2,
            speckles_over_star: 10f64.powf(0.4 * (stars.faint_mag - stars.bright_mag))
                * beside_per_arcsec2
                / self.eye(power).light_at_centre_per_arcsec2(),
        };
        self.point_visibility(power, stars.faint_mag, &ground)
    }

    /// Luminance that the body spreads over its surroundings in telescope, air and eye, as it
    /// appears to the eye, cd/m²; none without a body.
    fn veil_cd_m2(&self, power: &Power, from_body_arcsec: f64, body: Option<&Glaring>) -> f64 {
        let Some(body) = body else {
            return 0.0;
        };
        let body_lx = glare::illuminance_lx(body.magnitude) * self.through_air();
        // Never nearer than the body's own limb.
        let apart_arcsec = from_body_arcsec.max(0.5 * body.diameter_arcsec + 1.0);
        let in_telescope = body_lx
            * self.scattered_per_arcsec2(apart_arcsec, 0.5 * body.diameter_arcsec)
            * ARCSEC_PER_RAD.powi(2)
            * self.dimming(power);
        let spread = spread_over_disc(0.5 * body.diameter_arcsec / apart_arcsec);
        self.in_eye_cd_m2(power, apart_arcsec, body_lx) * spread.square + in_telescope
    }

    /// Luminance of the veil that a light of that illuminance outside draws inside the eye.
    fn in_eye_cd_m2(&self, power: &Power, apart_arcsec: f64, body_lx: f64) -> f64 {
        let in_eye = glare::veil_cd_m2(&GlaringLight {
            illuminance_lx: body_lx * self.dimming(power) * power.magnification.powi(2),
            angle_deg: (apart_arcsec * power.magnification / 3600.0).clamp(0.1, 100.0),
            age_years: self.links.age_years,
            eye_pigment: glare::BROWN_EYES,
        });
        in_eye.expect("the angle is clamped into the formula's range")
    }

    /// Share of a body's light on one square arcsecond some way off, scattered by telescope and air.
    fn scattered_per_arcsec2(&self, apart_arcsec: f64, radius_arcsec: f64) -> f64 {
        let open_mm = self.links.aperture_mm * (1.0 - self.links.obstruction);
        let wings = Wings::new(open_mm, self.seeing_arcsec, apart_arcsec);
        let spread = spread_over_disc(radius_arcsec / apart_arcsec);
        DUSTY_MIRROR * (wings.rings * spread.cube + wings.air * spread.air)
    }

    /// Of a practised pair of young eyes; cautious where the sky is bright.
    fn patch_threshold(&self, power: &Power, ground_cd_m2: f64, area_sr: f64) -> f64 {
        let caution = crumey::caution(self.dimming(power) * self.sky_cd_m2());
        crumey::cautious_patch_threshold(ground_cd_m2, area_sr, PRACTISED, caution)
    }

    /// What such thresholds are multiplied with: one eye, and its age.
    fn night_factor(&self) -> f64 {
        Eyes::One.threshold_factor() * age::night_loss(self.links.age_years)
    }

    /// Surface brightness at the eye over that of the naked eye of reference.
    fn dimming(&self, power: &Power) -> f64 {
        (power.pupil_mm / REFERENCE_PUPIL_MM).powi(2) * self.links.transmission
    }

    fn through_air(&self) -> f64 {
        10f64.powf(-0.4 * self.links.extinction_mag_airmass * self.links.airmass)
    }

    fn sky_cd_m2(&self) -> f64 {
        glare::luminance_cd_m2(self.links.sky_brightness_mag_arcsec2)
    }
}

/// A pattern, its contrast and the surroundings it has to be told from.
struct Marked {
    pattern: Pattern,
    contrast: f64,
    within_arcsec: f64,
}

/// What lies under a point beside the sky's own light.
struct Ground {
    /// Luminance, as it appears to the eye.
    veil_cd_m2: f64,
    /// How bright the rings and speckles in it are, which are as large as a star's image, over the
    /// middle of the point's own image.
    speckles_over_star: f64,
}

impl Ground {
    fn even(veil_cd_m2: f64) -> Ground {
        Ground {
            veil_cd_m2,
            speckles_over_star: 0.0,
        }
    }
}

/// Contrast of a star against the rings and speckles around a brighter one at which it is told from
/// them every other time.
///
/// A speckle's brightness scatters by its mean (Goodman 1985). The eye adds up 0.1 s (Barten),
/// some ten lifetimes of speckles (10 ms, common practice, no source), so that their mean still
/// scatters by 1/√10; three times that is the threshold of everything else here. A planet is too wide to make speckles.
pub(super) const CLUTTER_CONTRAST: f64 = THRESHOLD_SNR / 3.162_277_66;

/// Solid angle of a round patch of sky as it appears at the eye.
fn area_at_eye_sr(diameter_arcsec: f64, power: &Power) -> f64 {
    let width_rad = diameter_arcsec * power.magnification / ARCSEC_PER_RAD;
    FRAC_PI_4 * width_rad * width_rad
}

/// Dust and roughness of an honest workshop mirror scatter about as much again twice over beside
/// a bright planet. From memory: a factor of 2 to 5 is usual.
pub(super) const DUSTY_MIRROR: f64 = 3.0;

/// Share of a star's light that falls on one square arcsecond at a distance from it.
///
/// Asymptotes of the rings, `λ / (π³ D (1 - obstruction) θ³)`, and of a Kolmogorov long exposure,
/// `0.02288 (λ/r0)^(5/3) θ^(-11/3)`, derived from its transfer function; lengths over apertures in
/// arcseconds, `r0` from the FWHM as `0.98 λ/r0`.
struct Wings {
    /// Rings of the aperture, far from the centre.
    rings: f64,
    /// Wings of the air.
    air: f64,
}

impl Wings {
    fn new(open_mm: f64, seeing_arcsec: f64, from_star_arcsec: f64) -> Wings {
        let per_aperture_arcsec = REFERENCE_WAVELENGTH_NM * 1e-6 / open_mm * ARCSEC_PER_RAD;
        let per_r0_arcsec = seeing_arcsec / 0.98;
        let rings = per_aperture_arcsec / (PI.powi(3) * from_star_arcsec.powi(3));
        let air = 0.02288 * per_r0_arcsec.powf(5.0 / 3.0) * from_star_arcsec.powf(-11.0 / 3.0);
        Wings { rings, air }
    }
}

/// By how much more light a wide source throws on a place beside it than a point of its light in its middle would, for light
/// that falls with the square of the distance, with its cube, and as the air's wings do.
struct Spread {
    square: f64,
    cube: f64,
    air: f64,
}

/// For an even disc of that radius over the distance of its middle, below 1: the mean of distance^-2a over a disc is
/// 2F1(a, a; 2; x²), taken at a = 1 in closed form, at 3/2 and 11/6 as (1 - x²)^(2 - 2a) times a series that hardly rises
/// (its first term; within 6 %).
fn spread_over_disc(radius_over_distance: f64) -> Spread {
    let x2 = radius_over_distance.powi(2).min(0.999);
    let left = 1.0 - x2;
    Spread {
        square: if x2 < 1e-6 { 1.0 } else { -left.ln() / x2 },
        cube: (1.0 + x2 / 8.0) / left,
        air: (1.0 + x2 / 72.0) * left.powf(-5.0 / 3.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wings_as_worked_by_hand() {
        // D = 200 mm, a fifth obstructed, 2" at airmass 1.2, 10" away: 4.2e-5, an independent hand
        // computation.
        let wings = Wings::new(0.8 * 200.0, 2.0 * 1.2f64.powf(0.6), 10.0);
        let got = wings.rings + wings.air;
        assert!((got - 4.2e-5).abs() < 0.05e-5, "want 4.2e-5, got {got}");
    }
}
