//! The transfer function of a field along any meridian.

use std::f64::consts::PI;

use crate::optics::wave::field::Field;
use crate::optics::wave::radial::RadialOtf;
use crate::optics::wave::rings::Rings;
use crate::optics::wave::transform::Transform;

/// The whole transfer function, at lags of whole pixels: half of it, the rest being conjugate.
#[derive(Debug, Clone, PartialEq)]
pub struct Otf {
    samples: usize,
    /// Moduli, row by row in `y`; a row runs over lags in `x` from `-samples` to `samples`.
    modulus: Vec<f64>,
    /// Of the same.
    radial: RadialOtf,
}

impl Otf {
    /// In light of one wavelength.
    pub fn of(transform: &mut Transform, field: &Field, wavelength_nm: f64) -> Otf {
        let samples = field.samples();
        let width = 2 * samples + 1;
        let mut modulus = vec![0.0; width * (samples + 1)];
        let mut rings = Rings::new(transform, field);
        let unit = rings.unit();
        transform.autocorrelation(field, wavelength_nm, |lag, line| {
            rings.add(lag, line);
            let row = &mut modulus[lag * width..(lag + 1) * width];
            for (x, value) in line.iter().take(samples + 1).enumerate() {
                row[samples + x] = f64::from(value.norm()) / unit;
                let mirrored = if field.is_even() {
                    *value
                } else {
                    line[(line.len() - x) % line.len()]
                };
                row[samples - x] = f64::from(mirrored.norm()) / unit;
            }
        });
        modulus[samples] = 1.0;
        Otf {
            samples,
            modulus,
            radial: rings.otf(),
        }
    }

    /// Its mean over azimuth.
    pub fn radial(&self) -> &RadialOtf {
        &self.radial
    }

    /// Contrast kept of a grating whose lines stand across that direction, by frequency as a share
    /// of the cutoff.
    pub fn modulus(&self, share: f64, azimuth_rad: f64) -> f64 {
        if share >= 1.0 {
            return 0.0;
        }
        let (sin, cos) = azimuth_rad.sin_cos();
        let lag = share * self.samples as f64;
        let turn = if sin < 0.0 { -1.0 } else { 1.0 };
        let x = lag * cos * turn + self.samples as f64;
        let y = lag * sin * turn;
        let (column, row) = (x as usize, y as usize);
        let at = |dx: usize, dy: usize| {
            let width = 2 * self.samples + 1;
            let in_row = (column + dx).min(width - 1);
            self.modulus[(row + dy).min(self.samples) * width + in_row]
        };
        let along = |dy: usize| at(0, dy) + (at(1, dy) - at(0, dy)) * x.fract();
        along(0) + (along(1) - along(0)) * y.fract()
    }

    /// The direction in which least contrast is kept, radians from `+x`, 0 to below pi; the first
    /// of equals.
    ///
    /// By the sum over frequencies, in steps of 5 degrees.
    pub fn worst_azimuth_rad(&self) -> f64 {
        let kept = |azimuth: f64| -> f64 {
            let shares = (1..20).map(|i| f64::from(i) / 20.0);
            shares.map(|share| self.modulus(share, azimuth)).sum()
        };
        let azimuths = (0..MERIDIANS).map(|i| PI * i as f64 / MERIDIANS as f64);
        let (worst, _) = azimuths.map(|azimuth| (azimuth, kept(azimuth))).fold(
            (0.0, f64::INFINITY),
            |worst, here| {
                if here.1 < worst.1 - TIE { here } else { worst }
            },
        );
        worst
    }
}

const MERIDIANS: usize = 36;
/// Of the sum over frequencies: below this, meridians are alike.
const TIE: f64 = 1e-6;
