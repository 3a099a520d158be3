//! A mask over the rim: what it gives and what it costs, beside going on with the edge.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::instrument::Instrument;
use crate::optics::opening::Opening;
use crate::optics::resolution::airy_radius_arcsec;
use crate::optics::wavefront::Wavefront;

/// The mirror with its rim covered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Masked {
    /// Diameter left open, mm.
    pub aperture_mm: f64,
    /// Of what is left.
    pub strehl: f64,
    /// Of the light of the whole mirror, 0 to 1.
    pub light_share: f64,
    /// Radius of the first dark ring, 550 nm.
    pub airy_radius_arcsec: f64,
}

/// The mask that puts most light into the core of a star's image, if one does better than none.
///
/// For mirrors that are alike all around. Light in the core: Strehl ratio times open area.
/// An edge whose width was measured is covered whole, whatever that gains.
pub(super) fn best_mask(instrument: &Instrument, edge_mm: Option<f64>) -> Option<Masked> {
    instrument.wavefront.is_symmetric().then_some(())?;
    let full = masked(instrument, instrument.aperture_mm);
    let in_core = |masked: &Masked| masked.strehl * masked.light_share;
    let narrowest_mm = NARROWEST * instrument.aperture_mm;
    let widest_mm = instrument.aperture_mm - 2.0 * edge_mm.unwrap_or(0.0);
    let each = (1..)
        .map(|step| instrument.aperture_mm - STEP_MM * f64::from(step))
        .skip_while(|mm| widest_mm < *mm)
        .take_while(|mm| narrowest_mm <= *mm)
        .map(|mm| masked(instrument, mm));
    let best = each.max_by(|a, b| in_core(a).total_cmp(&in_core(b)))?;
    (edge_mm.is_some() || WORTH_A_MASK * in_core(&full) < in_core(&best)).then_some(best)
}

fn masked(instrument: &Instrument, aperture_mm: f64) -> Masked {
    let share = aperture_mm / instrument.aperture_mm;
    let points = (0..=POINTS)
        .map(|step| f64::from(step) / f64::from(POINTS))
        .map(|rho| (rho, instrument.wavefront.path_nm(rho * share, 0.0)));
    let inside = Wavefront::Profile(points.collect());
    let hidden = (instrument.obstruction / share).min(LARGEST_OBSTRUCTION);
    let area = |open: f64, hidden: f64| open * open * (1.0 - hidden * hidden);
    Masked {
        aperture_mm,
        strehl: (inside.quality(Opening::from(hidden), REFERENCE_WAVELENGTH_NM)).strehl,
        light_share: area(share, hidden) / area(1.0, instrument.obstruction),
        airy_radius_arcsec: airy_radius_arcsec(aperture_mm, REFERENCE_WAVELENGTH_NM),
    }
}

const STEP_MM: f64 = 2.0;

/// Of the aperture: who covers more makes another telescope.
const NARROWEST: f64 = 0.8;

/// Less gain than this no eye sees.
const WORTH_A_MASK: f64 = 1.03;

const POINTS: u32 = 100;
const LARGEST_OBSTRUCTION: f64 = 0.9;
