//! How the moving air blurs: the width of a star, what it does to contrast, and observers' scales.
//!
//! Kolmogorov turbulence without an outer scale. Sources: Fried 1966 (transfer functions), the
//! usual FWHM = 0.98 λ/r₀; data/seeing_scales.tsv for the scales.

use std::f64::consts::LN_2;
use std::sync::LazyLock;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::tables;
use crate::units::rad_from_arcsec;

/// Blur of the air in one direction and colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blur {
    /// Fried's parameter: the aperture the air leaves nearly whole.
    pub fried_mm: f64,
    /// Colour it holds for.
    pub wavelength_nm: f64,
}

impl Blur {
    /// From the zenith FWHM at 550 nm, toward an airmass: FWHM grows as airmass^0.6.
    pub fn toward(zenith_fwhm_arcsec: f64, airmass: f64) -> Blur {
        let fwhm_arcsec = fwhm_arcsec(zenith_fwhm_arcsec, airmass, REFERENCE_WAVELENGTH_NM);
        Blur {
            fried_mm: fried_mm(fwhm_arcsec, REFERENCE_WAVELENGTH_NM),
            wavelength_nm: REFERENCE_WAVELENGTH_NM,
        }
    }

    /// Contrast kept by the air at a frequency in cycles per arcsecond on the sky, 0 to 1, in a
    /// long exposure: what a camera records.
    pub fn long_exposure_mtf(&self, cycles_per_arcsec: f64) -> f64 {
        let baseline_mm = self.baseline_mm(cycles_per_arcsec);
        (-3.44 * (baseline_mm / self.fried_mm).powf(5.0 / 3.0)).exp()
    }

    /// The same to an eye, which adds up the light of a twentieth of a second and follows slower wander: what counts as image
    /// motion is only what happens within that time.
    ///
    /// Fried 1966, near field: the exponent of a long exposure times 1 - a (b/D)^(1/3), b the distance in the aperture and
    /// `a` the share of the tilt's variance that is taken out, 0 in a long exposure and 1 in a moment. As `a` goes about with
    /// the cube root of the aperture, the aperture falls out: larger ones follow better, and so a larger
    /// mirror never shows less. The expression turns up again far out; it is held level there, so that worse air never shows
    /// more. And it is the good moments that count: [`GOOD_MOMENTS`].
    pub fn glimpse_mtf(&self, cycles_per_arcsec: f64) -> f64 {
        let root = (self.baseline_mm(cycles_per_arcsec) / DRIFT_MM).cbrt();
        let root = root.min(5.0 / (6.0 * FOLLOWED));
        let blurred = (DRIFT_MM / (GOOD_MOMENTS * self.fried_mm)).powf(5.0 / 3.0) * root.powi(5);
        (-3.44 * blurred * (1.0 - FOLLOWED * root)).exp()
    }

    /// Distance in the aperture of the two rays whose interference carries that frequency.
    fn baseline_mm(&self, cycles_per_arcsec: f64) -> f64 {
        self.wavelength_nm * 1e-6 * cycles_per_arcsec / rad_from_arcsec(1.0)
    }
}

/// Way of the air over the aperture in the time the eye adds up, mm. In bright light that is some 0.05 s (critical duration
/// of Roufs 1972 at 100 Td and more, from memory); the air near the ground, which does most of the harm at low sites, drifts
/// by 5 m/s on a quiet night (from memory: 2 to 10).
pub const DRIFT_MM: f64 = 250.0;

/// Fried's length in the moments that an observer waits for, over its usual one: seeing scatters by some 0.1 dex within
/// minutes, and the better half of the moments is better by 0.08 on the mean. From memory; of the values between 1 and 1.3 that
/// this leaves open, taken with the reports of observers in view.
pub const GOOD_MOMENTS: f64 = 1.2;

/// Share of the tilt's variance that its mean over the drift still has, over the cube root of (aperture over drift).
///
/// Computed: ∫ k^(-8/3) (J2(kR)/kR)² sinc²(k · drift) dk over the same without the last factor, mean over the wind's
/// directions: Kolmogorov's spectrum through the filter of an aperture's tilt (Noll 1976) and of the time (Taylor's frozen
/// flow). The share is 0.66 for 60 mm, 0.75 for 100 mm, 0.87 for 200 mm, 0.92 for 300 mm; the cube root is within 11 % of it.
const FOLLOWED: f64 = 0.95;

/// Width of a star, arcseconds, away from the zenith and from 550 nm: as airmass^0.6 and
/// wavelength^-0.2.
pub fn fwhm_arcsec(zenith_fwhm_arcsec: f64, airmass: f64, wavelength_nm: f64) -> f64 {
    let colour = (wavelength_nm / REFERENCE_WAVELENGTH_NM).powf(-0.2);
    zenith_fwhm_arcsec * airmass.powf(0.6) * colour
}

/// Fried's parameter, mm, of air that spreads a star to that FWHM at that wavelength:
/// 111 mm for 1" at 550 nm.
pub fn fried_mm(fwhm_arcsec: f64, wavelength_nm: f64) -> f64 {
    0.98 * wavelength_nm * 1e-6 / rad_from_arcsec(fwhm_arcsec)
}

/// Width of a star, arcseconds, in air that keeps half of the contrast at that frequency in a long exposure
/// ([`Blur::long_exposure_mtf`]): 0.375 over it.
pub fn fwhm_keeping_half_arcsec(cycles_per_arcsec: f64) -> f64 {
    0.98 * (LN_2 / 3.44).powf(0.6) / cycles_per_arcsec
}

/// Zenith FWHM, arcseconds, of air judged as that on Pickering's scale (1 worst, 10 best) through
/// that aperture. `None` off the scale.
///
/// The scale describes the diffraction pattern, and with it the aperture over r₀: the same look in
/// half the aperture is twice the blur. Good to perhaps 30 %; values between grades interpolated
/// in the logarithm; the answer kept within 0.3" and 8".
pub fn pickering_fwhm_arcsec(value: f64, aperture_mm: f64) -> Option<f64> {
    scale_fwhm_arcsec("pickering", value, aperture_mm)
}

/// Zenith FWHM, arcseconds, of air judged as that on Antoniadi's scale (1 best, 5 worst) through
/// that aperture. `None` off the scale.
///
/// His words are about the image as a whole, partly absolute, partly against what the aperture
/// can show: the width goes as aperture^-0.5 from 200 mm. Good to perhaps 40 %.
pub fn antoniadi_fwhm_arcsec(value: f64, aperture_mm: f64) -> Option<f64> {
    scale_fwhm_arcsec("antoniadi", value, aperture_mm)
}

fn scale_fwhm_arcsec(scale: &str, value: f64, aperture_mm: f64) -> Option<f64> {
    let rows: Vec<&Grade> = GRADES.iter().filter(|g| g.scale == scale).collect();
    let pair = rows
        .windows(2)
        .find(|p| p[0].value <= value && value <= p[1].value)?;
    let share = (value - pair[0].value) / (pair[1].value - pair[0].value);
    let (low, high) = (pair[0].fwhm_arcsec.ln(), pair[1].fwhm_arcsec.ln());
    let aperture_factor = (pair[0].judged_with_mm / aperture_mm).powf(pair[0].exponent);
    Some(((low + share * (high - low)).exp() * aperture_factor).clamp(0.3, 8.0))
}

/// One row of data/seeing_scales.tsv.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
struct Grade {
    scale: String,
    value: f64,
    fwhm_arcsec: f64,
    judged_with_mm: f64,
    exponent: f64,
    basis: String,
}

static GRADES: LazyLock<Vec<Grade>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/seeing_scales.tsv")));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    #[test]
    fn widths_and_fried() {
        close("r0 at 1\"", fried_mm(1.0, 550.0), 111.0, 0.5); // 0.98 λ/FWHM by hand
        let x30 = crate::sky::air::airmass(30.0).unwrap();
        close("30 degrees", fwhm_arcsec(1.0, x30, 550.0), 1.513, 5e-4); // airmass^0.6 by hand
        // r₀ grows as wavelength^1.2.
        let red = fried_mm(fwhm_arcsec(1.0, 1.0, 700.0), 700.0) / fried_mm(1.0, 550.0);
        close("red", red, (700.0f64 / 550.0).powf(1.2), 1e-9);
        let half = Blur::toward(fwhm_keeping_half_arcsec(0.2), 1.0).long_exposure_mtf(0.2);
        close("half", half, 0.5, 1e-9);
    }

    #[test]
    fn transfer_as_fried() {
        // 200 mm in 2" air, an independent evaluation of Fried's expressions at 0.2 and half of the
        // cutoff: a long exposure, and a short one in which all of the tilt is taken out.
        let blur = Blur::toward(2.0, 1.0);
        let cutoff = 200.0 / 550e-6 * rad_from_arcsec(1.0);
        for (share, long, short) in [(0.2, 0.137, 0.438), (0.5, 0.0001, 0.151)] {
            let got = blur.long_exposure_mtf(share * cutoff);
            close("long", got, long, 5e-4);
            // A glimpse lies between the two.
            let usual_moments = Blur {
                fried_mm: blur.fried_mm / GOOD_MOMENTS,
                ..blur
            };
            let glimpse = usual_moments.glimpse_mtf(share * cutoff);
            assert!(got < glimpse && glimpse < short, "{share}: {glimpse}");
        }
    }

    /// J2 by Bessel's integral.
    fn j2(x: f64) -> f64 {
        let n = 24 + 2 * x as usize;
        let term = |k: usize| {
            let t = std::f64::consts::PI * (k as f64 + 0.5) / n as f64;
            (2.0 * t - x * t.sin()).cos()
        };
        (0..n).map(term).sum::<f64>() / n as f64
    }

    #[test]
    fn the_mean_tilt_of_a_twentieth_of_a_second() {
        // The integrals of the doc, worked out here.
        for aperture_mm in [60.0, 100.0, 200.0, 300.0] {
            let drift = DRIFT_MM / (0.5 * aperture_mm);
            let (mut all, mut mean) = (0.0, 0.0);
            for step in 0..600 {
                let k = 1e-4 * 1.0257f64.powi(step);
                let tilt = k.powf(-8.0 / 3.0) * (j2(k) / k).powi(2) * k;
                let sinc2 = |i: i32| {
                    let angle = std::f64::consts::FRAC_PI_2 * (f64::from(i) + 0.5) / 60.0;
                    let x = 0.5 * k * drift * angle.cos();
                    (x.sin() / x).powi(2)
                };
                all += tilt;
                mean += tilt * (0..60).map(sinc2).sum::<f64>() / 60.0;
            }
            let want = FOLLOWED * (aperture_mm / DRIFT_MM).cbrt();
            let got = mean / all;
            assert!(
                (want / got - 1.0).abs() < 0.11,
                "{aperture_mm}: {got} {want}"
            );
        }
    }

    #[test]
    fn a_long_exposure_star_is_as_wide_as_said() {
        // The Fourier transform of the long-exposure transfer function, half of the peak at half of
        // the FWHM: an independent road to 0.98 λ/r₀.
        let blur = Blur::toward(2.0, 1.0);
        let profile = |radius_arcsec: f64| -> f64 {
            let df = 1e-3;
            let ring = |i: i32| {
                let f = (f64::from(i) + 0.5) * df;
                let z = 2.0 * std::f64::consts::PI * f * radius_arcsec;
                let n = 64;
                let cosine = |k: i32| {
                    (z * (std::f64::consts::PI * (f64::from(k) + 0.5) / f64::from(n)).sin()).cos()
                };
                let j0 = (0..n).map(cosine).sum::<f64>() / f64::from(n);
                f * blur.long_exposure_mtf(f) * j0 * df
            };
            (0..3000).map(ring).sum()
        };
        close("half", profile(1.0) / profile(0.0), 0.5, 0.01);
    }

    #[test]
    fn transfer_never_turns_up() {
        let blur = Blur::toward(3.0, 2.0);
        let kept = (0..400).map(|i| blur.glimpse_mtf(f64::from(i) * 0.01));
        assert!(
            kept.collect::<Vec<_>>()
                .is_sorted_by(|now, then| then <= now)
        );
        // Nor does worse air ever keep more.
        let worse = Blur::toward(3.3, 2.0);
        assert!((0..400).all(
            |i| worse.glimpse_mtf(f64::from(i) * 0.01) <= blur.glimpse_mtf(f64::from(i) * 0.01)
        ));
    }

    #[test]
    fn scales_in_arcseconds() {
        for grade in GRADES.iter() {
            assert!(
                0.3 <= grade.fwhm_arcsec && grade.fwhm_arcsec <= 8.0,
                "{grade:?}"
            );
            assert!(
                !grade.basis.is_empty() && grade.judged_with_mm > 0.0,
                "{grade:?}"
            );
        }
        assert_eq!(GRADES.len(), 15);
        // Half of the image's diameter in the scale's definition.
        close(
            "Pickering 1",
            pickering_fwhm_arcsec(1.0, 127.0).unwrap(),
            6.5,
            1e-9,
        );
        close(
            "Pickering 3",
            pickering_fwhm_arcsec(3.0, 127.0).unwrap(),
            3.4,
            0.051,
        );
        close(
            "twice the aperture",
            pickering_fwhm_arcsec(5.0, 254.0).unwrap(),
            0.95,
            1e-9,
        );
        for value in [0.5, 10.5, f64::NAN] {
            assert_eq!(pickering_fwhm_arcsec(value, 127.0), None);
        }
        assert_eq!(antoniadi_fwhm_arcsec(5.5, 200.0), None);
        for i in 10..100 {
            let (v, next) = (f64::from(i) / 10.0, f64::from(i + 1) / 10.0);
            assert!(pickering_fwhm_arcsec(v, 127.0) > pickering_fwhm_arcsec(next, 127.0));
            if next <= 5.0 {
                assert!(antoniadi_fwhm_arcsec(v, 200.0) < antoniadi_fwhm_arcsec(next, 200.0));
            }
        }
    }
}
