//! The Ronchi bands to expect at the tester: for the sphere, for the paraboloid wanted, and for the
//! mirror as measured.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::bands::Blank;
use crate::optics::bands::Cell;
use crate::optics::bands::Figured;
use crate::optics::bands::Grating;
use crate::optics::bands::Setup;
use crate::optics::bands::Surface;
use crate::optics::bands::Tester;
use crate::optics::bands::raster;
use crate::optics::conic::Conic;
use crate::optics::instrument::Instrument;
use crate::workshop::Figure;
use crate::workshop::KnifeSource;
use crate::workshop::Telescope;

/// Pixels across one picture of a mirror.
pub const PIXELS: usize = 400;

/// What stands on the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bench {
    /// Of the grating, 1 to 20.
    pub lines_per_mm: f64,
    /// Of the grating from the centre of curvature, mm, not 0; negative is inside, nearer the mirror.
    pub offset_mm: f64,
    /// A lamp that stands still in the centre of curvature, or one behind the grating itself.
    pub source: KnifeSource,
}

/// The bands of one telescope's mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// As in the workshop file.
    pub name: String,
    /// Clear aperture.
    pub aperture_mm: f64,
    /// At the vertex.
    pub radius_of_curvature_mm: f64,
    /// As asked.
    pub bench: Bench,
    /// Side by side: sphere, paraboloid and, where it is alike all around and measured, the mirror.
    pub panels: Vec<Panel>,
    /// How far apart on the mirror the images of neighbouring orders lie; small against the aperture, the
    /// bands are those of rays.
    pub order_shear_mm: f64,
}

/// One picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What mirror it is.
    pub title: &'static str,
    /// [`PIXELS`] rows of [`PIXELS`], from the top; the grating's lines run up and down.
    pub cells: Vec<Cell>,
    /// Grating periods from rim to rim along the diameter across the bands.
    pub periods_across: f64,
    /// Where light turns to dark or back along that diameter, mm from the middle, to the right.
    pub borders_mm: Vec<f64>,
}

/// Computes the bands.
pub fn bands(telescope: &Telescope, instrument: &Instrument, bench: Bench) -> Bands {
    let radius_of_curvature_mm = 2.0 * instrument.focal_length_mm;
    let aperture_mm = instrument.aperture_mm;
    let tester = Tester {
        radius_of_curvature_mm,
        offset_mm: bench.offset_mm,
        source: bench.source,
    };
    let grating = Grating::of_lines_per_mm(bench.lines_per_mm);
    let blank = Blank {
        radius_of_curvature_mm,
        aperture_mm,
    };
    let mut panels = vec![
        panel(
            "a sphere",
            &Conic::sphere(radius_of_curvature_mm),
            (aperture_mm, tester, grating),
        ),
        panel(
            "the paraboloid wanted",
            &Conic::paraboloid(radius_of_curvature_mm),
            (aperture_mm, tester, grating),
        ),
    ];
    if telescope.figure != Figure::NotGiven
        && let Some(figured) = Figured::new(&instrument.wavefront, blank)
    {
        panels.push(panel(
            "this mirror as measured",
            &figured,
            (aperture_mm, tester, grating),
        ));
    }
    Bands {
        name: instrument.name.clone(),
        aperture_mm,
        radius_of_curvature_mm,
        bench,
        panels,
        order_shear_mm: tester.order_shear_mm(grating, REFERENCE_WAVELENGTH_NM),
    }
}

fn panel<S: Surface>(
    title: &'static str,
    surface: &S,
    (aperture_mm, tester, grating): (f64, Tester, Grating),
) -> Panel {
    let setup = Setup {
        surface,
        aperture_mm,
        tester,
        grating,
    };
    let rim_mm = aperture_mm / 2.0;
    let at_rim_mm = tester.intercept_mm(surface, rim_mm).unwrap_or_default();
    Panel {
        title,
        cells: raster(&setup, PIXELS),
        periods_across: 2.0 * at_rim_mm.abs() / grating.period_mm,
        borders_mm: borders_mm(surface, (rim_mm, tester, grating)),
    }
}

/// Tenths of a millimetre: finer than a band's edge is seen.
const BORDER_STEP_MM: f64 = 0.1;

fn borders_mm<S: Surface>(
    surface: &S,
    (rim_mm, tester, grating): (f64, Tester, Grating),
) -> Vec<f64> {
    let passes = |at_mm: f64| {
        let intercept_mm = tester.intercept_mm(surface, at_mm)?;
        Some(grating.passes(intercept_mm))
    };
    let n_steps = (rim_mm / BORDER_STEP_MM) as usize;
    (1..=n_steps)
        .map(|step| step as f64 * BORDER_STEP_MM)
        .filter(|at_mm| passes(at_mm - BORDER_STEP_MM) != passes(*at_mm))
        .map(|at_mm| at_mm - 0.5 * BORDER_STEP_MM)
        .collect()
}
