//! How wide a mirror makes a star by itself, put as the air that would keep as little contrast; from which power on that
//! looks soft, and what it costs a faint star.
//!
//! A tenth of a magnitude and more for a spoiled mirror: of a Strehl ratio of 0.24 in 2.2" air at 136x 0.16 mag at 114 mm,
//! 0.11 at 150 and 0.04 at 300, of 0.82 never over 0.02 (sky 21.5). What the air alone costs, 0.03 to 0.08 mag, is left out
//! as in Crumey's own limits of telescopes, where a star is a point.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::eye::crumey::{StarSearch, spread_cost_mag};
use crate::optics::Instrument;
use crate::optics::eyepiece::{HighLimit, HighestUseful, LEEWAY, highest_useful_magnification};
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::sky::seeing::fwhm_keeping_half_arcsec;

/// Widths of a star in still air, arcseconds.
pub(super) struct Blur {
    aperture_mm: f64,
    own_arcsec: f64,
    perfect_arcsec: f64,
}

/// From where on a mirror's own image looks soft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoftFrom {
    /// Times.
    pub magnification: f64,
    /// FWHM of the air that would blur as much, arcseconds.
    pub like_air_arcsec: f64,
}

impl Blur {
    pub(super) fn of(instrument: &Instrument) -> Blur {
        let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
        let like_air = |mtf: &Mtf| fwhm_keeping_half_arcsec(cutoff * mtf.half_kept());
        Blur {
            aperture_mm: instrument.aperture_mm,
            own_arcsec: like_air(&instrument.image.photopic_mtf),
            perfect_arcsec: like_air(&instrument.mtf_of_perfect_figure),
        }
    }

    /// Where the figure's blur looks as large as the air's at the highest power; `None` where that power comes first.
    ///
    /// It ends no range: air blurs everything alike, but a mirror leaves a sharp core in its haze, and the chain still
    /// parts closer pairs at 300x with a mirror whose image is soft from 70x on. So nothing is chosen by it.
    pub(super) fn soft_from(&self, highest: HighestUseful) -> Option<SoftFrom> {
        let soft = highest_useful_magnification(self.aperture_mm, self.own_arcsec);
        let by_figure = LEEWAY * self.perfect_arcsec < self.own_arcsec
            && soft.limit == HighLimit::Seeing
            && LEEWAY * soft.magnification < highest.magnification;
        by_figure.then_some(SoftFrom {
            magnification: soft.magnification,
            like_air_arcsec: self.own_arcsec,
        })
    }

    /// By how much a star must be brighter than with a perfect mirror, in that air: its light lies on more sky than the eye
    /// adds up as a point.
    pub(super) fn cost_mag(&self, search: &StarSearch, seeing_arcsec: f64) -> f64 {
        let cost = |own_arcsec: f64| spread_cost_mag(search, own_arcsec.hypot(seeing_arcsec));
        cost(self.own_arcsec) - cost(self.perfect_arcsec)
    }
}
