//! The wavefront that a mirror sends to its focus: path error over the pupil, for the shapes in
//! which a figure can be known.

use crate::optics::conic::{Conic, Ray};
use crate::optics::opening::Opening;
use crate::optics::pupil::{Grid, Quality, quality};
use crate::optics::zernike::zernike;

/// A wavefront over the pupil; positive where the path is too long.
#[derive(Debug, Clone, PartialEq)]
pub enum Wavefront {
    /// Without error.
    Perfect,
    /// A star on the axis of a conic mirror, at the focus where it is sharpest: exact.
    OfConic {
        /// The surface.
        conic: Conic,
        /// Clear aperture, mm; the rim must lie on the conic.
        aperture_mm: f64,
    },
    /// Primary spherical aberration at best focus over this annulus, of a given size.
    Balanced {
        /// Over the annulus, nm.
        wavefront_rms_nm: f64,
        /// Its inner edge as a fraction of the radius.
        obstruction: f64,
    },
    /// Zernike terms over the full disc.
    Terms(Vec<WavefrontTerm>),
    /// Straight lines between `(rho, path nm)`, rho strictly increasing from 0 to 1.
    Profile(Vec<(f64, f64)>),
}

/// One Zernike term of a wavefront, OSA/ANSI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WavefrontTerm {
    /// Radial order.
    pub n: u32,
    /// Azimuthal order.
    pub m: i32,
    /// Coefficient, nm RMS over the full disc.
    pub wavefront_nm: f64,
}

/// Peak to valley over RMS of primary spherical aberration at best focus, whatever the
/// obstruction: in `rho^2` the residue is Legendre's second polynomial, which runs from -1/2 to 1
/// with a mean square of 1/5.
pub fn pv_over_rms_of_balanced_spherical() -> f64 {
    1.5 * 5f64.sqrt()
}

impl Wavefront {
    /// Path error at a point of the pupil, nm.
    pub fn path_nm(&self, rho: f64, theta_rad: f64) -> f64 {
        match self {
            Wavefront::Perfect => 0.0,
            Wavefront::OfConic { conic, aperture_mm } => {
                let ray = Ray {
                    from_axis_mm: rho * aperture_mm / 2.0,
                    focus_shift_mm: conic.best_focus_shift_mm(*aperture_mm),
                };
                conic.path_nm(ray).unwrap_or(0.0)
            }
            Wavefront::Balanced {
                wavefront_rms_nm,
                obstruction,
            } => {
                let inner = obstruction * obstruction;
                let t = (2.0 * rho * rho - 1.0 - inner) / (1.0 - inner);
                wavefront_rms_nm * 5f64.sqrt() * (1.5 * t * t - 0.5)
            }
            Wavefront::Terms(terms) => terms
                .iter()
                .map(|t| t.wavefront_nm * zernike(t.n, t.m, rho, theta_rad))
                .sum(),
            Wavefront::Profile(points) => on_straight_lines(points, rho),
        }
    }

    /// Its figures over the transmitting pupil; a plain number is an obstruction without vanes.
    ///
    /// RMS exact but for rounding; peak to valley sampled (low by at most 0.5 %); Strehl ratio by
    /// quadrature, good to 1e-4. Zernike terms of more than two waves RMS leave no image: their
    /// ratio (a few hundredths at most) is given as 0.
    pub fn quality(&self, opening: impl Into<Opening>, wavelength_nm: f64) -> Quality {
        let path_nm = |rho, theta| self.path_nm(rho, theta);
        let quality = quality(&self.grid(opening.into()), wavelength_nm, path_nm);
        let is_hopeless = quality.wavefront_rms_nm > MOST_WAVES_RMS * wavelength_nm;
        match self {
            Wavefront::Terms(_) if is_hopeless => Quality {
                strehl: 0.0,
                ..quality
            },
            _ => quality,
        }
    }

    /// The wavefront's error of path is the same all around.
    pub fn is_symmetric(&self) -> bool {
        match self {
            Wavefront::Terms(terms) => terms.iter().all(|term| term.m == 0),
            _ => true,
        }
    }

    fn grid(&self, opening: Opening) -> Grid {
        let (highest_n, highest_m) = match self {
            Wavefront::Terms(terms) => terms.iter().fold((0, 0), |(n, m), term| {
                (n.max(term.n), m.max(term.m.unsigned_abs()))
            }),
            _ => (0, 0),
        };
        let corners = match self {
            Wavefront::Profile(points) => points.iter().map(|(rho, _)| *rho).collect(),
            _ => Vec::new(),
        };
        let (rings, spokes) = if self.is_symmetric() {
            (RINGS_ALONE, 1)
        } else {
            let harmonics = (HARMONICS * highest_m as usize).min(MOST_SPOKES);
            (
                RINGS,
                SPOKES + harmonics.max(FEWEST_TO_A_CYCLE * highest_m as usize),
            )
        };
        Grid {
            opening,
            corners,
            rings: rings + highest_n as usize,
            spokes,
        }
    }
}

fn on_straight_lines(points: &[(f64, f64)], rho: f64) -> f64 {
    let after = points.partition_point(|(r, _)| *r < rho);
    match (after.checked_sub(1).map(|i| points[i]), points.get(after)) {
        (Some((r0, p0)), Some((r1, p1))) => p0 + (p1 - p0) * (rho - r0) / (r1 - r0),
        (Some((_, path)), None) => path,
        (None, Some((_, path))) => *path,
        (None, None) => 0.0,
    }
}

/// Where there is no azimuth to pay for.
const RINGS_ALONE: usize = 256;
const RINGS: usize = 40;
const SPOKES: usize = 48;

/// Points to a cycle: the exponential of two waves of error has two dozen harmonics of its own.
const HARMONICS: usize = 24;
const MOST_SPOKES: usize = 512;
const FEWEST_TO_A_CYCLE: usize = 8;

/// Beyond this the grid would miss those harmonics.
const MOST_WAVES_RMS: f64 = 2.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_lines_between_points_and_level_beyond() {
        let points = [(0.0, 1.0), (0.5, 3.0), (1.0, -1.0)];
        for (rho, want) in [
            (0.0, 1.0),
            (0.25, 2.0),
            (0.5, 3.0),
            (0.75, 1.0),
            (1.0, -1.0),
        ] {
            assert_eq!(on_straight_lines(&points, rho), want);
        }
        assert_eq!(on_straight_lines(&points, 1.5), -1.0);
        assert_eq!(on_straight_lines(&[], 0.5), 0.0);
    }
}
