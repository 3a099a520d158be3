//! Modulation transfer: how much of a pattern's contrast reaches the focus, by fineness.

use crate::constants::ARCSEC_PER_RAD;
use std::f64::consts::PI;

/// Contrast kept, by spatial frequency as a fraction of the cutoff, mean over azimuth.
///
/// 1 at frequency 0, nothing from the cutoff on. A table with straight lines between its rows:
/// its RMS error against the closed form is below 6e-6 for obstructions up to one half
/// (`tests/it/optics/mtf.rs`).
#[derive(Debug, Clone, PartialEq)]
pub struct Mtf {
    /// At even steps from 0 to 1.
    modulus: Vec<f64>,
}

impl Mtf {
    /// Of a perfect mirror with a round obstruction, `0 <= obstruction < 1` of the diameter.
    ///
    /// The common area of two annuli apart by the frequency, over the area of one: the closed form
    /// of O'Neill 1956 (J. Opt. Soc. Am. 46, 285), which `tests/it/optics/mtf.rs` sets against it.
    /// Spider vanes are left out: four vanes of 1 mm on 150 mm cover 1 to 2 % of the light.
    pub fn annular(obstruction: f64) -> Mtf {
        Mtf::from_fn(|fraction| annular_modulus(obstruction, fraction))
    }

    /// This curve lowered by a wavefront error of that RMS, in waves of the light meant.
    ///
    /// Shannon's factor `1 - (rms / 0.18)^2 (1 - 4 (fraction - 1/2)^2)`, at least 0, so that more
    /// error never gives more contrast. An approximation that knows the size of the error and not
    /// its shape (coefficients from memory); good for smooth errors below about 0.1 wave. Meant
    /// for a perfect curve, once.
    pub fn with_wavefront_rms(&self, wavefront_rms_waves: f64) -> Mtf {
        let loss = (wavefront_rms_waves / SHANNON_RMS_WAVES).powi(2);
        let steps = self.steps();
        let lowered = |(row, modulus): (usize, &f64)| {
            let from_middle = row as f64 / steps - 0.5;
            modulus * (1.0 - loss * (1.0 - 4.0 * from_middle * from_middle)).max(0.0)
        };
        Mtf {
            modulus: self.modulus.iter().enumerate().map(lowered).collect(),
        }
    }

    /// Contrast kept at a fraction of the cutoff frequency; 1 at and below 0, 0 from 1 on.
    pub fn at(&self, fraction: f64) -> f64 {
        if fraction >= 1.0 {
            return 0.0;
        }
        let row = fraction.max(0.0) * self.steps();
        let whole = row as usize;
        let (low, high) = (self.modulus[whole], self.modulus[whole + 1]);
        low + (high - low) * row.fract()
    }

    fn from_fn(modulus: impl Fn(f64) -> f64) -> Mtf {
        Mtf {
            modulus: (0..=STEPS)
                .map(|row| modulus(row as f64 / STEPS as f64))
                .collect(),
        }
    }

    fn steps(&self) -> f64 {
        (self.modulus.len() - 1) as f64
    }
}

/// Finest pattern that passes at all, cycles per arcsecond of sky: aperture over wavelength.
pub fn cutoff_cycles_per_arcsec(aperture_mm: f64, wavelength_nm: f64) -> f64 {
    let cycles_per_rad = aperture_mm * NM_PER_MM / wavelength_nm;
    cycles_per_rad / ARCSEC_PER_RAD
}

fn annular_modulus(obstruction: f64, fraction: f64) -> f64 {
    let apart = 2.0 * fraction;
    let lit = lens_area(1.0, 1.0, apart) - 2.0 * lens_area(1.0, obstruction, apart)
        + lens_area(obstruction, obstruction, apart);
    (lit / (PI * (1.0 - obstruction * obstruction))).clamp(0.0, 1.0)
}

/// Common area of two discs, `large >= small >= 0`, centres `apart`.
fn lens_area(large: f64, small: f64, apart: f64) -> f64 {
    if apart <= large - small {
        return PI * small * small;
    }
    if apart >= large + small {
        return 0.0;
    }
    let toward = |mine: f64, other: f64| {
        let cos = (apart * apart + mine * mine - other * other) / (2.0 * apart * mine);
        cos.clamp(-1.0, 1.0).acos()
    };
    let (a, b) = (toward(large, small), toward(small, large));
    large * large * (a - a.sin() * a.cos()) + small * small * (b - b.sin() * b.cos())
}

/// Of the table; straight lines between them stay within 1e-5 of the curve on the average.
const STEPS: usize = 400;

/// Shannon's scale of error.
const SHANNON_RMS_WAVES: f64 = 0.18;

const NM_PER_MM: f64 = 1e6;
