//! Whether a detail on a bright disc shows: the answer of the nerves to any pattern, over their threshold.
//!
//! A pattern of contrast C(x) on a ground is seen through telescope, air and eye; Watson & Ahumada's standard observer
//! ([`super::fovea`]) filters it with the sensitivity of the nerves, looks at it through a window of attention and sums the
//! answer r over the picture with the exponent 2.4081:
//!
//! ```text
//! V = 1.15 / sqrt(2) · (∫ |r|^2.4081 dA)^(1/2.4081)        (one eye)
//! ```
//!
//! The sum is worked out in the frequencies, from the answer's energy and the area it spreads over:
//! (∫|r|^b)^(1/b) = 0.98 sqrt(∫ r²) · area^(1/b - 1/2), within 8 % of the sum in the picture, spots and bars of 0.04 to 3 degrees.
//! A visibility of 1 is the threshold at which half of the looks succeed. Nothing is fitted: the field factor asked for
//! ([`crate::eye`]) and the slope of [`probability_of_seeing`] are published, the small handicap of tiny exit pupils is not.
//!
//! Two stars are lights in the dark and no markings on a ground that the eye is used to: their index is Barten's
//! ([`super::contrast`]), which parts equal pairs at Dawes's limit; the other would at 0.7 of it.
//!
//! What it leaves out: colour, learning, gradients of the ground.

pub use crate::eye::aided::AidedEye;
use crate::eye::contrast::stiles_crawford;
use crate::eye::fovea::SUMMATION;
use crate::eye::pair::Stars;
use crate::eye::spectra::{Answer, Light, Scene, Strip};
use crate::eye::{Eyes, pair, spectra};

/// Shape of a detail, sizes on the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pattern {
    /// Straight and sharp-edged: belt, gap, rille, ray, thin line.
    Bar {
        /// Across.
        width_arcsec: f64,
        /// Along.
        length_arcsec: f64,
    },
    /// Straight, with the smooth profile of a bell: a shallow minimum.
    Dip {
        /// Full width at half depth.
        width_arcsec: f64,
        /// Along.
        length_arcsec: f64,
    },
    /// Where one ground meets another.
    Edge {
        /// Along.
        length_arcsec: f64,
    },
    /// Round and uniform: moon's shadow, dark patch, cap. An oval counts as the circle of its area.
    Spot {
        /// Across.
        diameter_arcsec: f64,
    },
    /// The shadow inside a crater near the terminator: a spot [`SHADOW_OF_CRATER`] times as wide.
    CraterShadow {
        /// Of the crater.
        diameter_arcsec: f64,
    },
    /// A small disc that is to look like one and not like a star of its light. Contrast 1, and the
    /// ground is the disc itself. At the threshold it is merely not a star: ask for twice that
    /// before a visitor calls it a disc.
    DiscNotStar {
        /// Of the disc.
        diameter_arcsec: f64,
    },
    /// Two stars that are not to look like one. Contrast 1, and the ground is the light of
    /// both spread over one square arcsecond. At the threshold it is merely not round.
    Pair {
        /// From star to star.
        separation_arcsec: f64,
        /// Between their magnitudes; 0 for an equal pair.
        difference_mag: f64,
    },
}

/// Width of the shadow in a crater of middling depth under a low Sun over the crater's. An
/// estimate, with which the smallest craters come out as commonly reported.
pub const SHADOW_OF_CRATER: f64 = 0.55;

/// A detail as it reaches the eye's retina.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RetinalDetail {
    /// Shape and size.
    pub pattern: Pattern,
    /// Weber contrast: (detail - ground) / ground, -1 for black, before any blur or veil.
    pub contrast: f64,
    /// Width of the surroundings it has to be told from, arcseconds: the belt with the zones beside it, the two rings
    /// beside a gap; infinite on an endless even ground. Discs and pairs have none.
    pub within_arcsec: f64,
    /// Retinal illuminance of the ground ([`super::glare::retinal_illuminance_td`]), Td.
    pub illuminance_td: f64,
    /// Light spread over ground and detail alike (sky, twilight, glare in the eye), Td.
    pub veil_td: f64,
}

/// How far above (or below) a practised observer's 50 % threshold a detail stands: 1 is the
/// threshold, and twice the contrast is twice the visibility. Quadrature within 1 %.
pub fn visibility(eye: &AidedEye, detail: &RetinalDetail) -> f64 {
    let accepted = stiles_crawford(eye.pupil_mm());
    let light = Light {
        ground_td: detail.illuminance_td * accepted,
        veil_td: detail.veil_td * accepted,
    };
    let scene = Scene::new(eye, detail.within_arcsec);
    let seen = match seen(eye, detail.pattern, scene, &light) {
        Seen::Answer(answer) => {
            let summed = answer.energy.sqrt() * answer.area_deg2.powf(1.0 / SUMMATION - 0.5);
            HALF_OF_LOOKS * summed / Eyes::One.threshold_factor()
        }
        Seen::InDark(index_squared) => index_squared.sqrt(),
    };
    detail.contrast.abs() * seen * exit_pupil_handicap(eye.pupil_mm())
}

/// From the measured thresholds to those of every other look.
const HALF_OF_LOOKS: f64 = SUM_IN_PICTURE * EVERY_OTHER * LONGER_LOOK;

/// The sum in the picture over that by energy and area. Computed: two-dimensional sums over spots and bars of 0.02 to 3
/// degrees.
const SUM_IN_PICTURE: f64 = 0.98;

/// 84 % right of two choices there, 75 % here, on a Weibull curve of slope 3.5 (from memory: usual for such experiments).
const EVERY_OTHER: f64 = 1.152;

/// Those patterns came and went within 0.31 s (a bell of 0.125 s); a look through an eyepiece holds still for a second or
/// more. Thresholds fall on as the 1/3.5th power of the time, chance after chance, at least so long (Legge 1978, from
/// memory).
pub const LONGER_LOOK: f64 = 1.397;

/// Of a pattern of contrast 1.
enum Seen {
    /// On bright ground.
    Answer(Answer),
    /// Two stars: the square of Barten's index over its threshold.
    InDark(f64),
}

fn seen(eye: &AidedEye, pattern: Pattern, scene: Scene, light: &Light) -> Seen {
    match pattern {
        Pattern::Bar {
            width_arcsec,
            length_arcsec,
        } => {
            let strip = Strip {
                width_arcsec,
                length_arcsec,
            };
            Seen::Answer(spectra::bar(eye, &strip, scene, light))
        }
        Pattern::Dip {
            width_arcsec,
            length_arcsec,
        } => {
            let strip = Strip {
                width_arcsec,
                length_arcsec,
            };
            Seen::Answer(spectra::dip(eye, &strip, scene, light))
        }
        Pattern::Edge { length_arcsec } => {
            Seen::Answer(spectra::edge(eye, length_arcsec, scene, light))
        }
        Pattern::Spot { diameter_arcsec } => {
            Seen::Answer(spectra::spot(eye, diameter_arcsec, scene, light))
        }
        Pattern::CraterShadow { diameter_arcsec } => {
            let shadow_arcsec = SHADOW_OF_CRATER * diameter_arcsec;
            Seen::Answer(spectra::spot(eye, shadow_arcsec, scene, light))
        }
        Pattern::DiscNotStar { diameter_arcsec } => {
            Seen::Answer(spectra::disc_not_star(eye, diameter_arcsec, light))
        }
        Pattern::Pair {
            separation_arcsec,
            difference_mag,
        } => {
            let stars = Stars {
                separation_arcsec,
                difference_mag,
            };
            Seen::InDark(pair::pair(eye, &stars, light))
        }
    }
}

/// Share of observers, or of tries, that see a detail of that visibility, 0 to 1.
///
/// A normal distribution of log-thresholds around `field_factor` times the practised one. Its
/// width is Blackwell's 1946 as Crumey 2014 quotes it: 90 % at 1.62 times the 50 % contrast.
/// For a star of a margin in magnitudes put [`visibility_of_margin`] in, with factor 1.
pub fn probability_of_seeing(visibility: f64, field_factor: f64) -> f64 {
    if visibility > 0.0 {
        normal_share((visibility / field_factor).log10() / SLOPE_DEX)
    } else {
        0.0
    }
}

/// A star's margin over the limiting magnitude as a ratio of light.
pub fn visibility_of_margin(margin_mag: f64) -> f64 {
    10f64.powf(0.4 * margin_mag)
}

/// Exit pupil at which half of the visibility is left, mm.
pub const NERVOUS_PUPIL_MM: f64 = 0.25;

/// What is left of visibility with a small exit pupil: floaters and dust in the eye, a shaking
/// stand, a dim and nervous image. 0.98 at 1 mm, 0.89 at 0.5, a half at 0.25.
///
/// Common practice, no source: chosen so that threshold detail is best at 0.7 to 1.2 mm.
pub fn exit_pupil_handicap(pupil_mm: f64) -> f64 {
    1.0 / (1.0 + (NERVOUS_PUPIL_MM / pupil_mm).powi(3))
}

/// Standard deviation of log-threshold: log₁₀ 1.62 / 1.2816 (the normal distribution's 90 %).
pub const SLOPE_DEX: f64 = 0.1635;

/// Share of a normal distribution below `x` standard deviations, within 1e-7.
/// Abramowitz & Stegun 1964, 7.1.26.
fn normal_share(x: f64) -> f64 {
    const A: [f64; 5] = [
        0.254829592,
        -0.284496736,
        1.421413741,
        -1.453152027,
        1.061405429,
    ];
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.3275911 * z);
    let tail = 0.5 * t * A.iter().rev().fold(0.0, |sum, a| sum * t + a) * (-z * z).exp();
    if x < 0.0 { tail } else { 1.0 - tail }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::{MOST_PEOPLE, PRACTISED};

    fn eye(magnification: f64) -> AidedEye {
        // A soft telescope: a bell-shaped MTF that falls to 1/e at 0.6 cycles per arcsecond.
        AidedEye::new(magnification, 1.0, &|f| (-(f / 0.6f64).powi(2)).exp())
    }

    fn detail(pattern: Pattern) -> RetinalDetail {
        RetinalDetail {
            pattern,
            contrast: -0.3,
            within_arcsec: f64::INFINITY,
            illuminance_td: 300.0,
            veil_td: 0.0,
        }
    }

    #[test]
    fn a_narrow_scene_hides_what_fills_it() {
        let bar = |width_arcsec: f64, within_arcsec: f64| RetinalDetail {
            within_arcsec,
            ..detail(Pattern::Bar {
                width_arcsec,
                length_arcsec: 20.0,
            })
        };
        let seen = |detail: &RetinalDetail| visibility(&eye(150.0), detail);
        let alone = seen(&bar(1.5, f64::INFINITY));
        assert!((seen(&bar(1.5, 3000.0)) / alone - 1.0).abs() < 0.01);
        let within = [30.0, 15.0, 8.0, 4.5, 3.0].map(|arcsec| seen(&bar(1.5, arcsec)));
        assert!(
            within.is_sorted_by(|wide, narrow| narrow < wide),
            "{within:?}"
        );
        // A bar as wide as its scene differs from a bell by its corners alone, which this telescope blurs away.
        assert!(seen(&bar(1.5, 1.5)) < 0.1 * alone);
    }

    #[test]
    fn probability_by_the_published_slope() {
        let close = |got: f64, want: f64| assert!((got - want).abs() < 2e-4, "{want}: {got}");
        close(probability_of_seeing(1.0, PRACTISED), 0.5);
        close(probability_of_seeing(1.62, PRACTISED), 0.9);
        close(probability_of_seeing(2.0, MOST_PEOPLE), 0.5);
        // One standard deviation is 0.41 mag to its two digits.
        let below = probability_of_seeing(visibility_of_margin(-0.41), 1.0);
        assert!((below - 0.1587).abs() < 3e-3, "{below}");
        assert_eq!(probability_of_seeing(0.0, PRACTISED), 0.0);
    }

    #[test]
    fn a_veil_only_hurts() {
        let spot = detail(Pattern::Spot {
            diameter_arcsec: 1.5,
        });
        let clear = visibility(&eye(150.0), &spot);
        let veiled = visibility(
            &eye(150.0),
            &RetinalDetail {
                veil_td: 300.0,
                ..spot
            },
        );
        // Half the contrast, and more photons: between a half and a half times √2.
        assert!(
            0.5 * clear < veiled && veiled < 0.7072 * clear,
            "{clear} {veiled}"
        );
    }

    #[test]
    fn nothing_shows_without_light_or_size() {
        let (width_arcsec, length_arcsec) = (0.0, 0.0);
        let patterns = [
            Pattern::Bar {
                width_arcsec,
                length_arcsec,
            },
            Pattern::Dip {
                width_arcsec,
                length_arcsec,
            },
            Pattern::Edge { length_arcsec },
            Pattern::Spot {
                diameter_arcsec: 0.0,
            },
            Pattern::DiscNotStar {
                diameter_arcsec: 0.0,
            },
            Pattern::Pair {
                separation_arcsec: 0.0,
                difference_mag: 0.0,
            },
        ];
        for pattern in patterns {
            let lit = detail(pattern);
            assert!(visibility(&eye(100.0), &lit) < 1e-9, "{pattern:?}");
            let dark = RetinalDetail {
                illuminance_td: 0.0,
                ..lit
            };
            assert_eq!(visibility(&eye(100.0), &dark), 0.0, "{pattern:?}");
        }
    }
}
