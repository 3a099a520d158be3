//! The mean over azimuth of a transfer function, and of the image that belongs to it.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::optics::mtf::Mtf;

/// Mean over azimuth of the transfer function, by frequency as a share of the cutoff.
#[derive(Debug, Clone, PartialEq)]
pub struct RadialOtf {
    /// Of the modulus, at even steps from 0 to the cutoff: the MTF.
    modulus: Vec<f64>,
    /// Of the real part: the spectrum of the image's mean over azimuth.
    real: Vec<f64>,
}

impl RadialOtf {
    /// Of a mirror without error, whose transfer function is real and nowhere negative.
    pub(super) fn without_error(mtf: &Mtf, steps: usize) -> RadialOtf {
        let shares = (0..=steps).map(|step| step as f64 / steps as f64);
        let modulus: Vec<f64> = shares.map(|share| mtf.at(share)).collect();
        RadialOtf::from_tables(modulus.clone(), modulus)
    }

    /// From means of modulus and real part at whole lags, the last of which is the cutoff.
    pub(super) fn from_tables(mut modulus: Vec<f64>, mut real: Vec<f64>) -> RadialOtf {
        for table in [&mut modulus, &mut real] {
            let last = table.len() - 1;
            (table[0], table[last]) = (1.0, 0.0);
        }
        RadialOtf { modulus, real }
    }

    /// Mean of the modulus, 0 from the cutoff on.
    pub fn modulus(&self, share: f64) -> f64 {
        between(&self.modulus, share)
    }

    /// Energy within a circle about the origin of the image, of all that is transmitted; radius in
    /// units of wavelength times focal ratio.
    ///
    /// The integral over the circle of the image, done on its spectrum: exact but for the raster's
    /// own error, whatever the radius.
    pub fn encircled_energy(&self, radius_lambda_n: f64) -> f64 {
        let k = 2.0 * PI * radius_lambda_n;
        (k * self.integral(|f| bessel_j1(k * f))).max(0.0)
    }

    /// Brightness of the image at a distance from its origin, mean over azimuth: energy per square
    /// unit of wavelength times focal ratio, of all that is transmitted.
    pub fn brightness(&self, radius_lambda_n: f64) -> f64 {
        let k = 2.0 * PI * radius_lambda_n;
        2.0 * PI * self.integral(|f| f * bessel_j0(k * f))
    }

    /// Width of the image where its mean over azimuth first falls to half of that in the origin,
    /// in units of wavelength times focal ratio; `None` where it does not within 2.5 of the origin, or
    /// where a wavefront wrong by many waves leaves no light in the origin.
    pub fn fwhm_lambda_n(&self) -> Option<f64> {
        let half = self.brightness(0.0) / 2.0;
        if half <= 0.0 {
            return None;
        }
        let is_below = |radius: f64| self.brightness(radius) < half;
        let steps = (FARTHEST_HALF / HALF_STEP).round() as usize;
        let step = (1..=steps).find(|step| is_below(*step as f64 * HALF_STEP))?;
        let mut outside = step as f64 * HALF_STEP;
        let mut inside = outside - HALF_STEP;
        while outside - inside > HALF_TOLERANCE {
            let middle = (inside + outside) / 2.0;
            if is_below(middle) {
                outside = middle;
            } else {
                inside = middle;
            }
        }
        Some(inside + outside)
    }

    /// Trapezoid over the table of the real part times `weight(frequency)`.
    fn integral(&self, weight: impl Fn(f64) -> f64) -> f64 {
        let step = 1.0 / (self.real.len() - 1) as f64;
        let rows = self.real.iter().enumerate();
        let terms = rows.map(|(row, real)| real * weight(row as f64 * step));
        // The spectrum ends in 0, and the weight begins there.
        terms.sum::<f64>() * step
    }
}

/// Straight lines through a table over 0 to 1; nothing beyond.
fn between(table: &[f64], share: f64) -> f64 {
    if share >= 1.0 {
        return 0.0;
    }
    let row = share.max(0.0) * (table.len() - 1) as f64;
    let whole = row as usize;
    table[whole] + (table[whole + 1] - table[whole]) * row.fract()
}

/// By the trapezoid rule on Bessel's integral, which converges faster than any power: to 1e-13
/// for arguments up to 20.
fn bessel_j0(x: f64) -> f64 {
    CRESTS.iter().map(|sin| (x * sin).cos()).sum::<f64>() / CRESTS.len() as f64
}

fn bessel_j1(x: f64) -> f64 {
    let terms = CRESTS.iter().map(|sin| sin * (x * sin).sin());
    terms.sum::<f64>() / CRESTS.len() as f64
}

/// Sines of the middles of equal parts of a quarter turn; the other quarters repeat them.
static CRESTS: LazyLock<[f64; 16]> =
    LazyLock::new(|| std::array::from_fn(|i| (PI / 2.0 * (i as f64 + 0.5) / 16.0).sin()));

/// How far out half the peak is looked for.
const FARTHEST_HALF: f64 = 2.5;
const HALF_STEP: f64 = 0.1;
const HALF_TOLERANCE: f64 = 1e-7;

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz & Stegun, table 9.1.
    #[test]
    fn bessel_functions_as_tabled() {
        for (x, j0, j1) in [
            (0.0, 1.0, 0.0),
            (1.0, 0.765_197_686_6, 0.440_050_585_7),
            (5.0, -0.177_596_771_3, -0.327_579_137_6),
            (12.0, 0.047_689_310_8, -0.223_447_104_5),
            (17.5, -0.103_110_398_0, -0.163_419_969_4),
        ] {
            assert!((bessel_j0(x) - j0).abs() < 1e-9, "J0({x}) {}", bessel_j0(x));
            assert!((bessel_j1(x) - j1).abs() < 1e-9, "J1({x}) {}", bessel_j1(x));
        }
    }
}
