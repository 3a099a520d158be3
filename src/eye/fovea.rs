//! The middle of the eye in daylight: how well it sees contrast, nerve and optics apart.
//!
//! Watson & Ahumada 2005, "A standard model for foveal detection of spatial contrast", Journal of Vision 5(9):6: a
//! contrast sensitivity, a window of attention and a rule of summation with one set of constants, fitted by them to the
//! public thresholds of 16 people for 43 patterns (gratings, lines, edges, blobs). It holds for two eyes, 30 cd/m² and the
//! natural pupil. What a telescope changes is the pupil, so the eye's optics are taken out with the formula of Watson 2013
//! (Journal of Vision 13(6):18, the mean of 200 eyes) and those of a small exit pupil put in; for other light the noise of
//! the photons is that of [`super::contrast`].

use std::f64::consts::PI;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::eye::contrast::effective_illuminance_td;

/// Exponent of the summation over the picture.
pub const SUMMATION: f64 = 2.4081;

/// Standard deviation of the window of attention, degrees.
pub const WINDOW_DEG: f64 = 0.6273;

/// Luminance of the ground in those measurements, cd/m².
const MEASURED_AT_CD_M2: f64 = 30.0;

/// Natural pupil of a young eye at that luminance, mm: between 3.9 for a field of 30 degrees and 5.1 for one of 10, by
/// [`super::pupil::pupil_mm`].
const MEASURED_WITH_MM: f64 = 4.5;

/// Retinal illuminance at which those measurements were made, the cones' acceptance in it, Td.
pub fn measured_at_td() -> f64 {
    effective_illuminance_td(MEASURED_AT_CD_M2, MEASURED_WITH_MM)
}

/// Contrast sensitivity at a frequency in cycles per degree at the eye: a difference of two hyperbolic secants.
pub fn sensitivity(cycles_deg: f64) -> f64 {
    const GAIN: f64 = 373.08;
    const FINE_CYCLES_DEG: f64 = 4.1726;
    const COARSE_CYCLES_DEG: f64 = 1.3625;
    const COARSE_SHARE: f64 = 0.8493;
    const STEEPNESS: f64 = 0.7786;
    let fine = sech((cycles_deg / FINE_CYCLES_DEG).powf(STEEPNESS));
    GAIN * (fine - COARSE_SHARE * sech(cycles_deg / COARSE_CYCLES_DEG))
}

fn sech(x: f64) -> f64 {
    x.cosh().recip()
}

/// What is left of it behind the eye's optics: the sensitivity to contrast on the retina.
pub fn nerve_sensitivity(cycles_deg: f64) -> f64 {
    sensitivity(cycles_deg) / optics_mtf(cycles_deg, MEASURED_WITH_MM)
}

/// Contrast kept by the optics of the mean eye, best corrected, diffraction included: Watson 2013. Stated for pupils of 2 to
/// 6 mm; carried on to 1 mm, where it is within an eighth of diffraction alone up to 16 cycles/degree.
pub fn optics_mtf(cycles_deg: f64, pupil_mm: f64) -> f64 {
    let bend_cycles_deg = 21.95 - 5.512 * pupil_mm + 0.3922 * pupil_mm * pupil_mm;
    let aberrations = (1.0 + (cycles_deg / bend_cycles_deg).powi(2)).powf(-0.62);
    aberrations * diffraction_mtf(cycles_deg, pupil_mm).sqrt()
}

/// Pupil of an eye that looks at something as bright as a disc, mm: wider exit pupils don't get in. From memory; the same
/// eye's pupil for a full field of 100 cd/m² is 2.9 mm by [`super::pupil::pupil_mm`].
const BRIGHT_PUPIL_MM: f64 = 3.0;

/// The same without the diffraction of that pupil, which is the telescope's: 1 for an eye that adds nothing. Pupils below
/// 1 mm count as 1 mm: there the eye is nearly perfect; wider ones than 3 mm as 3 mm.
pub fn own_blur_mtf(cycles_deg: f64, pupil_mm: f64) -> f64 {
    let pupil_mm = pupil_mm.clamp(1.0, BRIGHT_PUPIL_MM);
    let perfect = diffraction_mtf(cycles_deg, pupil_mm);
    let kept = optics_mtf(cycles_deg, pupil_mm);
    if perfect <= kept { 1.0 } else { kept / perfect }
}

/// Of a round pupil.
fn diffraction_mtf(cycles_deg: f64, pupil_mm: f64) -> f64 {
    let cutoff_cycles_deg = pupil_mm / (REFERENCE_WAVELENGTH_NM * 1e-6) * PI / 180.0;
    let x = (cycles_deg / cutoff_cycles_deg).min(1.0);
    2.0 / PI * (x.acos() - x * (1.0 - x * x).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sensitivity_as_the_formula_says() {
        // Watson & Ahumada 2005 with their constants, worked by hand: 373.08 (1 - 0.8493) at 0; at 4.1726 cycles/degree
        // 373.08 (sech 1 - 0.8493 sech 3.06246) = 373.08 (0.648054 - 0.079252).
        assert!((sensitivity(0.0) - 56.223).abs() < 1e-3);
        assert!((sensitivity(4.1726) - 212.21).abs() < 0.02);
    }

    #[test]
    fn optics_of_the_mean_eye() {
        // Watson 2013 at 3 mm and 11.9 cycles/degree, worked by hand from his formula: 0.49.
        assert!((optics_mtf(11.9, 3.0) - 0.49).abs() < 0.005);
        for cycles_deg in [2.0, 4.0, 8.0, 12.0, 16.0] {
            let ratio = optics_mtf(cycles_deg, 1.0) / diffraction_mtf(cycles_deg, 1.0);
            assert!((0.95..1.12).contains(&ratio), "{cycles_deg}: {ratio}");
        }
        // A wide pupil spoils the image.
        assert!(own_blur_mtf(10.0, 3.0) < 0.75 * own_blur_mtf(10.0, 1.0));
        assert_eq!(own_blur_mtf(5.0, 0.4), own_blur_mtf(5.0, 1.0));
    }
}
