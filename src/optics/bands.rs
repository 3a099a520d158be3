//! Ronchi bands: what a grating near the centre of curvature shows of a mirror, by exact rays.
//!
//! A point of the mirror is bright where its ray passes between the lines of the grating. The
//! picture is what the eye behind the grating sees: `X` across the lines, `Y` along them, from the
//! middle of the mirror.
//!
//! Rays know no diffraction. Real bands are soft; where the grating is lit through its own lines
//! the contrast is that of two gratings, with the bands where they are here for a moving source;
//! and with fine gratings several images of the mirror overlap ([`Tester::order_shear_mm`]).

use crate::optics::conic::Conic;
use crate::optics::wavefront::Wavefront;
use crate::units::NM_PER_MM;
use crate::workshop::KnifeSource;

/// A surface alike all around its axis, vertex in the origin, concave toward the light.
pub trait Surface {
    /// Depth (mm) and tangent of the slope at a distance from the axis; `None` where the surface
    /// does not reach.
    fn depth_and_slope(&self, from_axis_mm: f64) -> Option<(f64, f64)>;
}

impl Surface for Conic {
    fn depth_and_slope(&self, from_axis_mm: f64) -> Option<(f64, f64)> {
        Some((self.sagitta_mm(from_axis_mm)?, self.slope(from_axis_mm)?))
    }
}

/// A mirror as its wavefront tells: the paraboloid less half the path error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figured<'a> {
    wavefront: &'a Wavefront,
    radius_of_curvature_mm: f64,
    aperture_mm: f64,
}

/// What a figured mirror is besides its wavefront.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blank {
    /// At the vertex, mm.
    pub radius_of_curvature_mm: f64,
    /// Clear aperture, mm.
    pub aperture_mm: f64,
}

impl Figured<'_> {
    /// `None` for a wavefront that is not alike all around.
    ///
    /// The focus at which the wavefront is given moves the bands as a shift of the grating would.
    pub fn new(wavefront: &Wavefront, blank: Blank) -> Option<Figured<'_>> {
        wavefront.is_symmetric().then_some(Figured {
            wavefront,
            radius_of_curvature_mm: blank.radius_of_curvature_mm,
            aperture_mm: blank.aperture_mm,
        })
    }
}

impl Surface for Figured<'_> {
    fn depth_and_slope(&self, from_axis_mm: f64) -> Option<(f64, f64)> {
        if let Wavefront::OfConic { conic, .. } = self.wavefront {
            return conic.depth_and_slope(from_axis_mm);
        }
        let radius_mm = self.aperture_mm / 2.0;
        let rho = from_axis_mm / radius_mm;
        let (depth, slope) =
            Conic::paraboloid(self.radius_of_curvature_mm).depth_and_slope(from_axis_mm)?;
        let path_nm = |rho: f64| self.wavefront.path_nm(rho, 0.0);
        let (low, high) = ((rho - STEP).max(0.0), (rho + STEP).min(1.0));
        let path_slope = (path_nm(high) - path_nm(low)) / (high - low) / radius_mm;
        // Path too long: the glass is low, by half.
        let lower = |nm: f64| nm / NM_PER_MM / 2.0;
        (rho <= 1.0).then(|| (depth - lower(path_nm(rho)), slope - lower(path_slope)))
    }
}

/// Where grating and lamp stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tester {
    /// Of the mirror at its vertex, mm.
    pub radius_of_curvature_mm: f64,
    /// Of the grating from the centre of curvature, mm; negative is inside, nearer the mirror.
    pub offset_mm: f64,
    /// A fixed source stays in the centre of curvature; a moving one is in the grating's plane.
    pub source: KnifeSource,
}

impl Tester {
    /// Where the ray by a point of the mirror meets the plane of the grating: its distance from
    /// the axis, mm, negative on the other side of it. `None` where there is no mirror.
    pub fn intercept_mm(&self, surface: &impl Surface, from_axis_mm: f64) -> Option<f64> {
        let (depth, slope) = surface.depth_and_slope(from_axis_mm)?;
        let grating = self.radius_of_curvature_mm + self.offset_mm;
        let source = match self.source {
            KnifeSource::Fixed => self.radius_of_curvature_mm,
            KnifeSource::Moving => grating,
        };
        let comes_at = (from_axis_mm / (source - depth)).atan();
        let leaves_at = 2.0 * slope.atan() - comes_at;
        Some(from_axis_mm - (grating - depth) * leaves_at.tan())
    }

    /// How far apart, on the mirror, the images of neighbouring orders of diffraction lie, mm.
    ///
    /// Small against the aperture, the bands are those of rays.
    pub fn order_shear_mm(&self, grating: RonchiGrating, wavelength_nm: f64) -> f64 {
        wavelength_nm / NM_PER_MM * self.radius_of_curvature_mm / grating.period_mm
    }
}

/// A grating of opaque lines as wide as the spaces between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RonchiGrating {
    /// From line to line, mm.
    pub period_mm: f64,
    /// What lies on the axis.
    pub middle: Middle,
}

/// What of the grating lies on the axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Middle {
    /// The middle of a space: a bright band through the middle of the mirror.
    Space,
    /// The middle of a line: a dark band there.
    Line,
}

impl RonchiGrating {
    /// With a space on the axis.
    pub fn of_lines_per_mm(lines_per_mm: f64) -> RonchiGrating {
        RonchiGrating {
            period_mm: 1.0 / lines_per_mm,
            middle: Middle::Space,
        }
    }

    /// Light passes at that distance from the axis, across the lines.
    pub fn passes(self, across_mm: f64) -> bool {
        let periods = across_mm / self.period_mm;
        let from_space = match self.middle {
            Middle::Space => periods,
            Middle::Line => periods + 0.5,
        };
        (from_space - from_space.round()).abs() < 0.25
    }
}

/// A grating, a tester and what is tested.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup<'a, S> {
    /// The mirror.
    pub surface: &'a S,
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Where grating and lamp stand.
    pub tester: Tester,
    /// Its lines run along `Y`.
    pub grating: RonchiGrating,
}

/// A point of the mirror is bright; `None` off the mirror. `x_mm` across the lines of the grating.
pub fn bright<S: Surface>(setup: &Setup<'_, S>, x_mm: f64, y_mm: f64) -> Option<bool> {
    let from_axis_mm = x_mm.hypot(y_mm);
    if from_axis_mm > setup.aperture_mm / 2.0 {
        return None;
    }
    let intercept_mm = setup.tester.intercept_mm(setup.surface, from_axis_mm)?;
    let across_mm = if from_axis_mm > 0.0 {
        intercept_mm * x_mm / from_axis_mm
    } else {
        0.0
    };
    Some(setup.grating.passes(across_mm))
}

/// One pixel of a picture of the mirror.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cell {
    /// Off the mirror.
    Outside,
    /// Its ray meets a line.
    Dark,
    /// Its ray passes.
    Bright,
}

/// The picture, `pixels` across the aperture both ways: rows from the top (`Y` largest) down,
/// each from the left (`X` smallest) to the right.
pub fn raster<S: Surface>(setup: &Setup<'_, S>, pixels: usize) -> Vec<Cell> {
    let at_mm = |pixel: usize| {
        let share = (2 * pixel + 1) as f64 / pixels as f64 - 1.0;
        share * setup.aperture_mm / 2.0
    };
    let mut cells = Vec::with_capacity(pixels * pixels);
    for row in (0..pixels).rev() {
        for column in 0..pixels {
            cells.push(match bright(setup, at_mm(column), at_mm(row)) {
                None => Cell::Outside,
                Some(false) => Cell::Dark,
                Some(true) => Cell::Bright,
            });
        }
    }
    cells
}

/// Of the radius, for the slope of a wavefront: a corner in a profile is rounded by as much.
const STEP: f64 = 1e-5;
