//! Whether a detail on a bright disc shows: Barten's signal-to-noise ratio for any pattern.
//!
//! A pattern of contrast C(x) on a ground is seen through telescope, air and eye with the index
//!
//! ```text
//! d'² = (T/2) ∫ |C(u)|² [MTF(u) · MTF_eye(u)]² / [photon noise + neural noise(u)] du    (one eye)
//! ```
//!
//! with u in cycles/degree at the eye and every constant Barten's own ([`super::contrast`]); for a
//! grating this is exactly his contrast sensitivity. [`visibility`] is d' over his threshold, 3.
//! Nothing is fitted: the field factor asked for ([`crate::eye`]) and the slope of
//! [`probability_of_seeing`] are published, the small handicap of tiny exit pupils is not.
//!
//! What it leaves out: colour, learning, clutter (a rille in busy terrain), gradients of the
//! ground. Long lines come out a little too easy, belts too.

pub use crate::eye::aided::AidedEye;
use crate::eye::contrast::{INTEGRATION_S, THRESHOLD_SNR, stiles_crawford};
use crate::eye::pair::Stars;
use crate::eye::spectra::{Light, Strip};
use crate::eye::{pair, spectra};

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
    let index = (0.5 * INTEGRATION_S * integral_of(eye, detail.pattern, &light)).sqrt();
    detail.contrast.abs() * index / THRESHOLD_SNR * exit_pupil_handicap(eye.pupil_mm())
}

/// The integral of the index, for a pattern of contrast 1.
fn integral_of(eye: &AidedEye, pattern: Pattern, light: &Light) -> f64 {
    match pattern {
        Pattern::Bar {
            width_arcsec,
            length_arcsec,
        } => spectra::bar(
            eye,
            &Strip {
                width_arcsec,
                length_arcsec,
            },
            light,
        ),
        Pattern::Dip {
            width_arcsec,
            length_arcsec,
        } => spectra::dip(
            eye,
            &Strip {
                width_arcsec,
                length_arcsec,
            },
            light,
        ),
        Pattern::Edge { length_arcsec } => spectra::edge(eye, length_arcsec, light),
        Pattern::Spot { diameter_arcsec } => spectra::spot(eye, diameter_arcsec, light),
        Pattern::CraterShadow { diameter_arcsec } => {
            spectra::spot(eye, SHADOW_OF_CRATER * diameter_arcsec, light)
        }
        Pattern::DiscNotStar { diameter_arcsec } => {
            spectra::disc_not_star(eye, diameter_arcsec, light)
        }
        Pattern::Pair {
            separation_arcsec,
            difference_mag,
        } => pair::pair(
            eye,
            &Stars {
                separation_arcsec,
                difference_mag,
            },
            light,
        ),
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
    use std::f64::consts::PI;

    use super::*;
    use crate::eye::contrast::eye_mtf;
    use crate::eye::{MOST_PEOPLE, PRACTISED};

    fn eye(magnification: f64) -> AidedEye {
        // A soft telescope: a bell-shaped MTF that falls to 1/e at 0.6 cycles per arcsecond.
        AidedEye::new(magnification, 1.0, &|f| (-(f / 0.6f64).powi(2)).exp())
    }

    fn detail(pattern: Pattern) -> RetinalDetail {
        RetinalDetail {
            pattern,
            contrast: -0.3,
            illuminance_td: 300.0,
            veil_td: 0.0,
        }
    }

    /// The index written out a second time: linear axis, 60 000 steps, sines and Bessel functions
    /// by their integrals or plain formulas.
    fn brute_force(magnification: f64, spectrum: impl Fn(f64) -> f64) -> f64 {
        let noise = |u: f64| {
            1.0 / (0.03 * 1.2274e6 * 300.0 * stiles_crawford(1.0))
                + 3e-8 / (1.0 - (-(u / 7.0) * (u / 7.0)).exp())
        };
        let du = 0.001;
        let sum: f64 = (0..64_000)
            .map(|i| {
                let u = (f64::from(i) + 0.5) * du;
                let soft = (-(u * magnification / 3600.0 / 0.6).powi(2)).exp();
                spectrum(u) * (soft * eye_mtf(u, 1.0)).powi(2) / noise(u) * du
            })
            .sum();
        0.3 * (0.05 * sum).sqrt() / 3.0 * exit_pupil_handicap(1.0)
    }

    #[track_caller]
    fn check(got: f64, want: f64) {
        assert!(
            (got / want - 1.0).abs() < 0.01,
            "want {want} within 1 %, got {got}"
        );
    }

    #[test]
    fn bars_by_brute_force() {
        for magnification in [40.0, 120.0, 300.0] {
            for (width_arcsec, length_arcsec) in [(0.4, 20.0), (4.5, 40.0), (60.0, 300.0)] {
                let w = width_arcsec * magnification / 3600.0;
                let y = length_arcsec * magnification / 3600.0;
                let want = brute_force(magnification, |u| {
                    let section = ((PI * w * u).sin() / (PI * u)).powi(2);
                    2.0 * section / (1.0 / (y * y) + 1.0 / 144.0 + u * u / 225.0).sqrt()
                });
                let bar = Pattern::Bar {
                    width_arcsec,
                    length_arcsec,
                };
                check(visibility(&eye(magnification), &detail(bar)), want);
            }
        }
    }

    #[test]
    fn spots_by_brute_force() {
        // J1 from Bessel's integral, so that the polynomial is judged too.
        let j1 = |x: f64| {
            let n = 60;
            let term = |k: i32| {
                let t = PI * (f64::from(k) + 0.5) / f64::from(n);
                (t - x * t.sin()).cos()
            };
            (0..n).map(term).sum::<f64>() / f64::from(n)
        };
        for (magnification, diameter_arcsec) in [(100.0, 1.2), (200.0, 3.2), (60.0, 20.0)] {
            let w = diameter_arcsec * magnification / 3600.0;
            let want = brute_force(magnification, |u| {
                let c = w * j1(PI * w * u) / (2.0 * u);
                2.0 * PI * u * c * c / (1.0 + (w / 12.0).powi(2) + (u * w / 15.0).powi(2)).sqrt()
            });
            let spot = Pattern::Spot { diameter_arcsec };
            check(visibility(&eye(magnification), &detail(spot)), want);
        }
    }

    #[test]
    fn edges_and_dips_by_brute_force() {
        let y: f64 = 20.0 * 150.0 / 3600.0;
        let weight = |u: f64| 2.0 / (1.0 / (y * y) + 1.0 / 144.0 + u * u / 225.0).sqrt();
        let edge = Pattern::Edge {
            length_arcsec: 20.0,
        };
        let want = brute_force(150.0, |u| weight(u) / (2.0 * PI * u).powi(2));
        check(visibility(&eye(150.0), &detail(edge)), want);
        let dip = Pattern::Dip {
            width_arcsec: 1.3,
            length_arcsec: 20.0,
        };
        let s = 1.3 * 150.0 / 3600.0 / (8.0 * 2f64.ln()).sqrt();
        let want = brute_force(150.0, |u| {
            weight(u) * 2.0 * PI * s * s * (-4.0 * PI * PI * s * s * u * u).exp()
        });
        check(visibility(&eye(150.0), &detail(dip)), want);
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
