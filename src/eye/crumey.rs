//! Stars and faint patches on dark ground: Crumey 2014's threshold of contrast.
//!
//! Source: A. Crumey, "Human contrast threshold and astronomical visibility", MNRAS 442, 2600
//! (2014), built on Blackwell's 1946 laboratory thresholds. Uniform achromatic targets, practised
//! eyes fully adapted to the ground they see.
//!
//! Where to distrust it: on skies brighter than about 19 mag/arcsec² it is optimistic for the
//! naked eye (the older Hecht form is a magnitude more cautious at 18), and where night vision
//! hands over to day vision (17 to 15.4) its threshold even falls as the ground brightens; it is
//! held level there. A telescope dims the sky and leaves that range sooner.

use std::f64::consts::FRAC_PI_4;

use crate::constants::ARCSEC_PER_RAD;
use crate::eye::glare::{
    illuminance_lx, luminance_cd_m2, magnitude_of_lx, surface_brightness_mag_arcsec2,
};
use crate::eye::pupil::REFERENCE_PUPIL_MM;
use crate::eye::{Eyes, MOST_PEOPLE};

/// Ground below which no star gets easier: the eye's own darkness, cd/m². Crumey 2014.
pub const DARKEST_GROUND_CD_M2: f64 = 1e-5;

/// How stars are looked for through a telescope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StarSearch {
    /// Sky at that place, V mag/arcsec².
    pub sky_mag_arcsec2: f64,
    /// Luminance added inside the eye or telescope by a bright neighbour, at the eye, cd/m²; 0 in
    /// an empty field.
    pub veil_cd_m2: f64,
    /// Clear aperture.
    pub aperture_mm: f64,
    /// Times.
    pub magnification: f64,
    /// Light that arrives of what fell on the aperture, mirrors and obstruction included, 0 to 1.
    pub transmission: f64,
    /// Of the dark-adapted eye.
    pub eye_pupil_mm: f64,
    /// 1 practised glimpse, 2 most people; see [`crate::eye`].
    pub field_factor: f64,
    /// Usually [`Eyes::One`].
    pub eyes: Eyes,
}

/// Magnitude of the faintest star seen through a telescope, as it arrives below the air (the
/// caller takes extinction off).
///
/// Crumey 2014, section 3. A star is a point: valid while seeing times magnification stays below
/// some 10'. An exit pupil wider than the eye's wastes aperture, as it does at night.
pub fn telescopic_limit_mag(search: &StarSearch) -> f64 {
    let threshold_lx =
        cautious_point_threshold_lx(search.ground_cd_m2(), search.field_factor, search.eyes);
    magnitude_of_lx(threshold_lx / (search.magnification.powi(2) * search.dimming()))
}

/// Magnitudes that a star looked for like that loses for being no point but an even patch, so wide on the sky: beyond the
/// eye's summation area light counts for less ([`cautious_patch_threshold`]).
pub fn spread_cost_mag(search: &StarSearch, width_arcsec: f64) -> f64 {
    let ground_cd_m2 = search.ground_cd_m2().max(DARKEST_GROUND_CD_M2);
    let width_rad = width_arcsec * search.magnification / ARCSEC_PER_RAD;
    let area_sr = FRAC_PI_4 * width_rad * width_rad;
    let q = summation_exponent(ground_cd_m2);
    let point = caution(ground_cd_m2) * ricco_sr(ground_cd_m2);
    let over_point = area_sr * large_patch_threshold(ground_cd_m2) / point;
    2.5 / q * (1.0 + over_point.powf(q)).log10()
}

impl StarSearch {
    /// Surface brightness at the eye over that of the naked eye of reference.
    fn dimming(&self) -> f64 {
        let exit_pupil_mm = self.aperture_mm / self.magnification;
        let filled = (exit_pupil_mm.min(self.eye_pupil_mm) / REFERENCE_PUPIL_MM).powi(2);
        filled * self.transmission
    }

    /// Luminance of the sky as it appears.
    fn ground_cd_m2(&self) -> f64 {
        self.dimming() * luminance_cd_m2(self.sky_mag_arcsec2) + self.veil_cd_m2
    }
}

/// Magnitude no magnification passes with that aperture and eye: sky diluted to black.
/// The sky, veil and magnification of `search` do not matter.
pub fn absolute_cutoff_mag(search: &StarSearch) -> f64 {
    let gain = (search.aperture_mm / REFERENCE_PUPIL_MM).powi(2) * search.transmission;
    magnitude_of_lx(point_threshold_lx(0.0, search.field_factor, search.eyes) / gain)
}

/// Magnitude of the faintest star seen with both eyes and no telescope on that sky, as Crumey 2014
/// has it: optimistic on skies brighter than 19.
pub fn naked_eye_limit_mag(sky_mag_arcsec2: f64, field_factor: f64) -> f64 {
    let ground_cd_m2 = luminance_cd_m2(sky_mag_arcsec2);
    magnitude_of_lx(point_threshold_lx(ground_cd_m2, field_factor, Eyes::Two))
}

/// The same, or by Hecht's form where that is the more cautious: on skies brighter than 20.
///
/// The two cross at 20 mag/arcsec². Hecht's form, with Schaefer's constants, is stated for people
/// of field factor 2 and is shifted for others.
pub fn cautious_naked_eye_limit_mag(sky_mag_arcsec2: f64, field_factor: f64) -> f64 {
    let keener_mag = -2.5 * (field_factor / MOST_PEOPLE).log10();
    naked_eye_limit_mag(sky_mag_arcsec2, field_factor)
        .min(hecht_limit_mag(sky_mag_arcsec2) + keener_mag)
}

/// Hecht 1947 as Schaefer 1990 rewrote it.
fn hecht_limit_mag(sky_mag_arcsec2: f64) -> f64 {
    7.93 - 5.0 * (1.0 + 10f64.powf(4.316 - sky_mag_arcsec2 / 5.0)).log10()
}

/// Skies [`sky_from_faintest_star_mag_arcsec2`] answers with: from bright twilight to darker than
/// any natural night.
const SKIES_MAG_ARCSEC2: (f64, f64) = (14.0, 23.0);

/// Surface brightness of the sky, V mag/arcsec², on which that star is the faintest seen overhead
/// with the naked eye: [`cautious_naked_eye_limit_mag`] turned round by bisection, to 1e-9 mag.
///
/// `None` when the sky would have to be brighter than 14 or darker than 23 mag/arcsec² (for factor
/// 1.4 stars of 0.7 and 7.1). On dark skies a star 0.1 mag fainter means a sky 0.25 mag darker,
/// and people differ by half a magnitude: a meter is worth far more. Who reports such a limit is
/// seldom a beginner: [`REPORTED_STAR_FIELD_FACTOR`].
pub fn sky_from_faintest_star_mag_arcsec2(star_mag: f64, field_factor: f64) -> Option<f64> {
    let (mut bright, mut dark) = SKIES_MAG_ARCSEC2;
    let limit = |sky| cautious_naked_eye_limit_mag(sky, field_factor);
    if !(limit(bright) <= star_mag && star_mag <= limit(dark)) {
        return None;
    }
    while dark - bright > 1e-9 {
        let middle = 0.5 * (bright + dark);
        if limit(middle) < star_mag {
            bright = middle
        } else {
            dark = middle
        }
    }
    Some(0.5 * (bright + dark))
}

/// Field factor of people who count faint stars and report a limit: between a glimpse (1) and
/// [`MOST_PEOPLE`]. With it 6.4 overhead means 21.5 mag/arcsec². Common practice, no source.
pub const REPORTED_STAR_FIELD_FACTOR: f64 = 1.4;

/// Magnitude a visitor can be promised through an aperture: the handbooks' 2 + 5 log₁₀ D(mm).
/// A magnitude more cautious than [`telescopic_limit_mag`] and blind to sky and magnification.
pub fn rule_of_thumb_limit_mag(aperture_mm: f64) -> f64 {
    2.0 + 5.0 * aperture_mm.log10()
}

/// Illuminance at the eye, lx, of the faintest point on a ground of that luminance.
pub fn point_threshold_lx(ground_cd_m2: f64, field_factor: f64, eyes: Eyes) -> f64 {
    let ground_cd_m2 = ground_cd_m2.max(DARKEST_GROUND_CD_M2);
    let practised_lx = if ground_cd_m2 < HANDOVER_CD_M2 {
        night_lx(ground_cd_m2)
    } else {
        day_lx(ground_cd_m2).max(night_lx(HANDOVER_CD_M2))
    };
    field_factor * eyes.threshold_factor() * practised_lx
}

/// The same, or by Hecht's form where that asks for more light: on grounds brighter than a sky of 20 mag/arcsec².
pub fn cautious_point_threshold_lx(ground_cd_m2: f64, field_factor: f64, eyes: Eyes) -> f64 {
    point_threshold_lx(ground_cd_m2, field_factor, eyes) * caution(ground_cd_m2)
}

/// By how much Hecht's threshold of a point on that ground exceeds Crumey's, at least 1.
///
/// On grounds brighter than 16 mag/arcsec² (bright twilight) both are outside what they were made for: there it stays what
/// it has become.
pub fn caution(ground_cd_m2: f64) -> f64 {
    let ground_cd_m2 = ground_cd_m2.max(DARKEST_GROUND_CD_M2);
    let sky_mag_arcsec2 = surface_brightness_mag_arcsec2(ground_cd_m2).max(16.0);
    if CAUTIOUS_BELOW_MAG_ARCSEC2 <= sky_mag_arcsec2 {
        return 1.0;
    }
    let hecht_lx = illuminance_lx(hecht_limit_mag(sky_mag_arcsec2));
    let ground_cd_m2 = luminance_cd_m2(sky_mag_arcsec2);
    (hecht_lx / point_threshold_lx(ground_cd_m2, MOST_PEOPLE, Eyes::Two)).max(1.0)
}

/// Where the two forms cross; far darker than that they would again, where Hecht's knows only his own eye's darkness.
const CAUTIOUS_BELOW_MAG_ARCSEC2: f64 = 20.0;

/// The paper's branch for the night, which its own examples use: B R(B) for grounds below
/// 0.07 cd/m², lx.
fn night_lx(ground_cd_m2: f64) -> f64 {
    ground_cd_m2 * (NIGHT_SLOPE * ground_cd_m2.powf(-0.25) - NIGHT_OFFSET).powi(2)
}

const NIGHT_SLOPE: f64 = 6.505e-4;
const NIGHT_OFFSET: f64 = 8.461e-4;

/// Where the night branch is highest, (slope / (2 · offset))⁴ cd/m². From here to where the day
/// branch overtakes it (0.11) the threshold is held level: a brighter sky never helps.
const HANDOVER_CD_M2: f64 = 0.021836;

/// The paper's branch for the day, lx.
fn day_lx(ground_cd_m2: f64) -> f64 {
    ground_cd_m2 * (1.772e-4 * ground_cd_m2.powf(-0.25) + 7.167e-5).powi(2)
}

/// Weber contrast of the faintest uniform round patch: `area_sr` as it appears at the eye, on a
/// ground of that luminance; two eyes. Crumey 2014's fit of Blackwell 1946 (positive contrasts),
/// within about 0.1 dex of the laboratory data. Too lenient for detail on planets: there it is
/// [`crate::eye::detect`] that counts.
pub fn patch_threshold(ground_cd_m2: f64, area_sr: f64, field_factor: f64) -> f64 {
    cautious_patch_threshold(ground_cd_m2, area_sr, field_factor, 1.0)
}

/// The same with the threshold of points, and of patches as far as they are like points, raised by that [`caution`].
pub fn cautious_patch_threshold(
    ground_cd_m2: f64,
    area_sr: f64,
    field_factor: f64,
    caution: f64,
) -> f64 {
    let ground_cd_m2 = ground_cd_m2.max(DARKEST_GROUND_CD_M2);
    let q = summation_exponent(ground_cd_m2);
    let point = caution * ricco_sr(ground_cd_m2) / area_sr;
    field_factor * (point.powf(q) + large_patch_threshold(ground_cd_m2).powf(q)).powf(1.0 / q)
}

/// Angular diameter at the eye, arcminutes, from which a patch stops adding up all its light:
/// where the small-target and large-target thresholds meet.
pub fn critical_diameter_arcmin(ground_cd_m2: f64) -> f64 {
    let area_sr = ricco_sr(ground_cd_m2) / large_patch_threshold(ground_cd_m2);
    (2.0 * (area_sr / std::f64::consts::PI).sqrt()).to_degrees() * 60.0
}

/// The paper's R(B) for day and night in one: threshold illuminance of a point over the luminance
/// of its ground, sr.
fn ricco_sr(ground_cd_m2: f64) -> f64 {
    const A: [f64; 5] = [5.949e-8, -2.389e-7, 2.459e-7, 4.120e-4, -4.225e-4];
    fitted_root(ground_cd_m2, &A).powi(2)
}

/// The paper's C∞(B): threshold contrast of a very large patch.
fn large_patch_threshold(ground_cd_m2: f64) -> f64 {
    const B: [f64; 5] = [9.606e-6, -4.112e-5, 5.019e-5, 4.837e-3, -4.884e-3];
    fitted_root(ground_cd_m2, &B)
}

/// The form both fits share: one hyperbola in B^(-1/4) from starlight to daylight.
fn fitted_root(ground_cd_m2: f64, c: &[f64; 5]) -> f64 {
    let x = ground_cd_m2.powf(-0.25);
    (c[0] * x * x + c[1] * x + c[2]).sqrt() + c[3] * x + c[4]
}

/// How sharply small targets turn into large ones.
fn summation_exponent(ground_cd_m2: f64) -> f64 {
    match ground_cd_m2 {
        b if b < 0.193 => 0.6,
        b if b < 3.4 => 0.8861 + 0.4 * b.log10(),
        b => 1.146 - 0.0885 * b.log10(),
    }
}

/// Illuminance at the eye of a star of that magnitude through a telescope that gains that factor
/// (`magnification² · dimming` as in [`telescopic_limit_mag`]), lx.
pub fn star_at_eye_lx(magnitude: f64, gain: f64) -> f64 {
    illuminance_lx(magnitude) * gain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::PRACTISED;
    use std::f64::consts::PI;

    #[track_caller]
    fn check(what: &str, got: f64, want: f64, tolerance: f64) {
        assert!(
            (got - want).abs() <= tolerance,
            "{what}: want {want} ± {tolerance}, got {got}"
        );
    }

    fn search(aperture_mm: f64, magnification: f64, sky_mag_arcsec2: f64) -> StarSearch {
        StarSearch {
            sky_mag_arcsec2,
            veil_cd_m2: 0.0,
            aperture_mm,
            magnification,
            transmission: 1.0 / 1.33, // the paper's F_t
            eye_pupil_mm: 7.0,
            field_factor: MOST_PEOPLE,
            eyes: Eyes::One,
        }
    }

    #[test]
    fn naked_eye_as_published() {
        let dark = surface_brightness_mag_arcsec2(2e-4); // the paper's example, B = 2e-4 cd/m²
        check("F = 1", naked_eye_limit_mag(dark, PRACTISED), 6.93, 5e-3);
        check("F = 2", naked_eye_limit_mag(dark, MOST_PEOPLE), 6.18, 5e-3);
        // Its linear form for 20 to 22 mag/arcsec² (from memory), good to 0.03.
        for sky in [20.0, 21.0, 22.0] {
            let linear = 0.3834 * sky - 1.4400 - 2.5 * MOST_PEOPLE.log10();
            check(
                "linear",
                naked_eye_limit_mag(sky, MOST_PEOPLE),
                linear,
                0.04,
            );
        }
    }

    #[test]
    fn naked_eye_as_evaluated_independently() {
        let rows = [
            (22.0, 6.26),
            (21.0, 5.87),
            (20.0, 5.51),
            (19.0, 5.21),
            (18.0, 4.98),
        ];
        for (sky, want) in rows {
            // from the one curve, up to 0.06 mag above the night branch at 18
            let tolerance = if sky < 19.5 { 0.065 } else { 0.03 };
            check(
                "F = 2",
                naked_eye_limit_mag(sky, MOST_PEOPLE),
                want,
                tolerance,
            );
        }
    }

    #[test]
    fn optimistic_on_bright_skies() {
        let rows = [
            (22.0, 6.62),
            (21.0, 6.12),
            (20.0, 5.49),
            (19.0, 4.77),
            (18.0, 3.97),
        ];
        for (sky, want) in rows {
            check("Hecht", hecht_limit_mag(sky), want, 6e-3); // worked by hand
        }
        let gap = naked_eye_limit_mag(18.0, 2.0) - cautious_naked_eye_limit_mag(18.0, 2.0);
        check("at 18 they differ", gap, 1.0, 0.1);
        check(
            "at 22 they do not",
            cautious_naked_eye_limit_mag(22.0, 2.0),
            6.26,
            0.01,
        );
    }

    #[test]
    fn telescope_as_published() {
        // Equation 73: 5 log D(cm) + 8.45 - 2.5 log F; 12.7 at 100 mm also in its figure 13.
        let published = 5.0 + 8.45 - 2.5 * MOST_PEOPLE.log10();
        check(
            "cutoff",
            absolute_cutoff_mag(&search(100.0, 50.0, 21.5)),
            published,
            0.01,
        );
        check(
            "figure 13",
            absolute_cutoff_mag(&search(100.0, 50.0, 21.5)),
            12.7,
            0.05,
        );
        // Evaluated independently from the same equations.
        check(
            "21.5, 100x",
            telescopic_limit_mag(&search(200.0, 100.0, 21.5)),
            13.95,
            0.01,
        );
        check(
            "21.5, 200x",
            telescopic_limit_mag(&search(200.0, 200.0, 21.5)),
            14.20,
            0.01,
        );
        check(
            "18, 200x",
            telescopic_limit_mag(&search(200.0, 200.0, 18.0)),
            13.07,
            0.01,
        );
    }

    #[test]
    fn one_curve_and_two_branches() {
        // The paper fits day and night in one curve and each in a branch of its own.
        let night_sr = night_lx(1.7e-4) / 1.7e-4;
        check("night branch", night_sr, 2.353e-5, 5e-9); // an independent evaluation
        check("one curve", ricco_sr(1.7e-4), 2.337e-5, 5e-9); // an independent evaluation
        let day_sr = day_lx(100.0) / 100.0;
        check("day", ricco_sr(100.0), day_sr, 0.02 * day_sr);
        let handover = (NIGHT_SLOPE / (2.0 * NIGHT_OFFSET)).powi(4);
        check("handover", HANDOVER_CD_M2, handover, 1e-6);
    }

    #[test]
    fn patches_as_blackwell() {
        let disc = |diameter_arcmin: f64| PI / 4.0 * (diameter_arcmin / 60.0).to_radians().powi(2);
        let sky = luminance_cd_m2(21.5);
        check(
            "10' on a dark sky",
            patch_threshold(sky, disc(10.0), 1.0),
            3.08,
            0.01,
        );
        check(
            "10' on 1 cd/m²",
            patch_threshold(1.0, disc(10.0), 1.0),
            0.01462,
            5e-6,
        );
        check(
            "10' on 100 cd/m²",
            patch_threshold(100.0, disc(10.0), 1.0),
            0.00539,
            5e-6,
        );
        check(
            "1' on 100 cd/m²",
            patch_threshold(100.0, disc(1.0), 1.0),
            0.249,
            5e-4,
        );
        check("critical", critical_diameter_arcmin(sky), 72.5, 0.1);
        // The paper's separate night and day forms of C∞: two fits of data good to about 5 %.
        let night = 7.633e-3 * 1.7e-4f64.powf(-0.25) - 7.174e-3;
        check("large", large_patch_threshold(1.7e-4), night, 0.05 * night);
        check(
            "large, day",
            large_patch_threshold(100.0),
            2.720e-3,
            0.05 * 2.720e-3,
        );
    }

    /// A wide star by its patch's own threshold, as everything wide.
    #[test]
    fn a_spread_star_is_a_patch() {
        let search = search(150.0, 100.0, 21.5);
        assert_eq!(spread_cost_mag(&search, 0.0), 0.0);
        let ground = search.ground_cd_m2().max(DARKEST_GROUND_CD_M2);
        let area = PI / 4.0 * (10.0f64 / 60.0).to_radians().powi(2); // 6" at 100x
        let patch_lx = ground * area * patch_threshold(ground, area, PRACTISED);
        let want = 2.5 * (patch_lx / (ground * ricco_sr(ground))).log10();
        check("10' wide", spread_cost_mag(&search, 6.0), want, 1e-6);
        assert!(0.05 < want && want < 0.2, "{want}");
    }

    #[test]
    fn rule_of_thumb() {
        for (aperture_mm, want) in [
            (60.0, 10.89),
            (114.0, 12.28),
            (200.0, 13.51),
            (300.0, 14.39),
        ] {
            check("rule", rule_of_thumb_limit_mag(aperture_mm), want, 6e-3);
        }
    }

    #[test]
    fn sky_from_a_star_and_back() {
        for sky in [14.1, 17.0, 19.5, 21.3, 22.5] {
            let star = cautious_naked_eye_limit_mag(sky, 1.4);
            check(
                "back",
                sky_from_faintest_star_mag_arcsec2(star, 1.4).unwrap(),
                sky,
                1e-6,
            );
        }
        for star in [-5.0, 8.0, f64::NAN] {
            assert_eq!(sky_from_faintest_star_mag_arcsec2(star, 1.4), None);
        }
        let reported = sky_from_faintest_star_mag_arcsec2(6.4, REPORTED_STAR_FIELD_FACTOR);
        check("6.4 overhead", reported.unwrap(), 21.5, 0.15); // common practice, no source
    }
}
