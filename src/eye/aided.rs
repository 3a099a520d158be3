//! A telescope, an eyepiece and the air as one filter in front of the nerves.
//!
//! Holds the frequency axis all patterns are judged on: one sampling, no allocation.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::eye::contrast::{INTEGRATION_S, THRESHOLD_SNR, eye_mtf, neural_noise, photon_noise};
use crate::eye::fovea::{measured_at_td, nerve_sensitivity, own_blur_mtf};
use crate::units::ARCSEC_PER_DEG;

/// One telescope, eyepiece and air, ready to be asked about many details.
#[derive(Debug, Clone, PartialEq)]
pub struct AidedEye {
    magnification: f64,
    pupil_mm: f64,
    /// Telescope, air and the mean eye's optics together, at the frequencies of [`FREQUENCIES`]: for markings on bright ground.
    kept: [f64; SAMPLES],
    /// The same with the optics of Barten's eye: for lights in the dark.
    kept_in_dark: [f64; SAMPLES],
    /// [`AidedEye::peak_per_flux`] of a point.
    point_peak: f64,
    /// Area over which the nerves' answer to a point spreads, square degrees.
    point_area_deg2: f64,
}

impl AidedEye {
    /// `pupil_mm` is what the light enters the eye through: the exit pupil, or the eye's own where
    /// that is smaller (the telescope is then stopped down, and so must `mtf` be). `mtf` is the
    /// contrast kept by telescope and air at a frequency in cycles per arcsecond on the sky.
    pub fn new(magnification: f64, pupil_mm: f64, mtf: &dyn Fn(f64) -> f64) -> AidedEye {
        let per_arcsec = magnification / ARCSEC_PER_DEG;
        let axis = &FREQUENCIES.cycles_deg;
        let by_telescope = axis.map(|u| mtf(u * per_arcsec));
        let with = |optics: &dyn Fn(f64) -> f64| {
            std::array::from_fn(|i| by_telescope[i] * optics(axis[i]))
        };
        let kept = with(&|u| own_blur_mtf(u, pupil_mm));
        let kept_in_dark = with(&|u| eye_mtf(u, pupil_mm));
        AidedEye {
            magnification,
            pupil_mm,
            point_peak: peak_per_flux(&kept_in_dark, |_| 1.0),
            point_area_deg2: answer_area_deg2(&kept),
            kept,
            kept_in_dark,
        }
    }

    /// What the light enters the eye through, mm.
    pub fn pupil_mm(&self) -> f64 {
        self.pupil_mm
    }

    /// Times.
    pub fn magnification(&self) -> f64 {
        self.magnification
    }

    /// An angle on the sky as it appears, degrees.
    pub(super) fn at_eye_deg(&self, on_sky_arcsec: f64) -> f64 {
        on_sky_arcsec * self.magnification / ARCSEC_PER_DEG
    }

    /// Area over which the nerves' answer to a point spreads, square degrees.
    pub(super) fn point_area_deg2(&self) -> f64 {
        self.point_area_deg2
    }

    /// Energy of the nerves' answer to a pattern under that illuminance: ∫ |C|² (kept · sensitivity)², with
    /// `spectrum(u)` holding |C|² and whatever the dimensions of the pattern multiply it by. Less light than where the
    /// sensitivity was measured means more noise.
    pub(super) fn integral(&self, illuminance_td: f64, spectrum: impl Fn(f64) -> f64) -> f64 {
        over_noise(&self.kept, &FREQUENCIES.signal, illuminance_td, spectrum)
    }

    /// Barten's index squared, of a light in the dark that stands against its own brightness: T/2 ∫ |C|² kept² / noise over
    /// the threshold's, one eye, with `spectrum(u)` as above.
    pub(super) fn index_in_dark(&self, illuminance_td: f64, spectrum: impl Fn(f64) -> f64) -> f64 {
        let axis = &FREQUENCIES.cycles_deg;
        let sum = over_noise(&self.kept_in_dark, axis, illuminance_td, spectrum);
        0.5 * INTEGRATION_S * sum / (THRESHOLD_SNR * THRESHOLD_SNR)
    }

    /// Peak of the image on the retina of something with that spectrum, per unit of its light, per
    /// square degree.
    pub(super) fn peak_per_flux(&self, spectrum: impl Fn(f64) -> f64) -> f64 {
        peak_per_flux(&self.kept_in_dark, spectrum)
    }

    /// The same of a point.
    pub(super) fn point_peak_per_flux(&self) -> f64 {
        self.point_peak
    }

    /// Share of a point's light on the retina outside a hole of soft edge, `1 - exp(-r² / 2 s²)`
    /// clear at radius r, for s degrees at the eye: 1 for a hole of no size.
    pub(super) fn outside(&self, hole_deg: f64) -> f64 {
        let axis = FREQUENCIES.cycles_deg.iter().zip(&self.kept_in_dark);
        let within = |(u, kept): (&f64, &f64)| {
            let x2 = (2.0 * PI * hole_deg * u).powi(2);
            (1.0 - kept) * x2 * (-0.5 * x2).exp()
        };
        let sampled: f64 = axis.map(within).sum();
        // Beyond the finest sample nothing is kept.
        let finest2 = (2.0 * PI * hole_deg * HIGHEST_CYCLES_DEG).powi(2);
        (sampled * *STEP + (-0.5 * finest2).exp()).min(1.0)
    }
}

/// ∫ |C|² kept² · weight / noise over the frequency axis under that illuminance.
fn over_noise(
    kept: &[f64; SAMPLES],
    weights: &[f64; SAMPLES],
    illuminance_td: f64,
    spectrum: impl Fn(f64) -> f64,
) -> f64 {
    let axis = &*FREQUENCIES;
    let photons = photon_noise(illuminance_td);
    let mut sum = 0.0;
    for i in 0..SAMPLES {
        if kept[i] > 1e-6 {
            let signal = spectrum(axis.cycles_deg[i]) * kept[i] * kept[i] * weights[i];
            sum += signal / (photons + axis.neural[i]);
        }
    }
    sum * *STEP
}

fn peak_per_flux(kept: &[f64; SAMPLES], spectrum: impl Fn(f64) -> f64) -> f64 {
    let axis = FREQUENCIES.cycles_deg.iter().zip(kept);
    axis.map(|(u, kept)| 2.0 * PI * u * u * *STEP * spectrum(*u) * kept)
        .sum()
}

/// Twice the energy over the square of the peak: the area of a bell's square, and about that of any such spot.
fn answer_area_deg2(kept: &[f64; SAMPLES]) -> f64 {
    let axis = &*FREQUENCIES;
    let (mut peak, mut energy) = (0.0, 0.0);
    for ((u, kept), nerve) in axis.cycles_deg.iter().zip(kept).zip(&axis.nerve) {
        let answer = kept * nerve;
        let ring = 2.0 * PI * u * u * *STEP;
        peak += ring * answer;
        energy += ring * answer * answer;
    }
    if 0.0 < peak {
        2.0 * energy / (peak * peak)
    } else {
        f64::INFINITY
    }
}

/// Samples of the frequency axis.
const SAMPLES: usize = 80;

/// The frequency axis: equal steps of its logarithm, between what lateral inhibition removes and
/// what the eye cannot resolve.
struct Frequencies {
    cycles_deg: [f64; SAMPLES],
    neural: [f64; SAMPLES],
    /// Sensitivity of the nerves where it was measured.
    nerve: [f64; SAMPLES],
    /// Its square times the noise there, times the frequency.
    signal: [f64; SAMPLES],
}

const LOWEST_CYCLES_DEG: f64 = 0.03;
const HIGHEST_CYCLES_DEG: f64 = 64.0;

/// Step of ln u.
pub(super) static STEP: LazyLock<f64> =
    LazyLock::new(|| (HIGHEST_CYCLES_DEG / LOWEST_CYCLES_DEG).ln() / SAMPLES as f64);

static FREQUENCIES: LazyLock<Frequencies> = LazyLock::new(|| {
    let cycles_deg = std::array::from_fn(|i| LOWEST_CYCLES_DEG * (*STEP * (i as f64 + 0.5)).exp());
    let measured_at = photon_noise(measured_at_td());
    let signal = |u: f64| nerve_sensitivity(u).powi(2) * (measured_at + neural_noise(u)) * u;
    Frequencies {
        cycles_deg,
        neural: cycles_deg.map(neural_noise),
        nerve: cycles_deg.map(nerve_sensitivity),
        signal: cycles_deg.map(signal),
    }
});
