//! Peak to valley, RMS and Strehl ratio with their intervals, whatever they rest on.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;
use crate::optics::figure::FigureFound;
use crate::optics::pupil::Quality;
use crate::workshop::{Figure, Stated, StatedAmount};

/// The three figures with their intervals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// Peak to valley, nm, tilt and focus removed.
    pub wavefront_pv_nm: Interval,
    /// Root mean square, nm, the same.
    pub wavefront_rms_nm: Interval,
    /// At the tilt and focus of the highest peak.
    pub strehl: Interval,
}

/// Peak to valley over RMS of a rough surface: four standard deviations and more either way of many
/// small zones; common practice, no source.
const ROUGH_PV_OVER_RMS: f64 = 6.0;

impl Figures {
    /// Of what was found, or where that is nothing but the wavefront, of that.
    pub(super) fn of(figure: &Figure, found: &FigureFound, quality: &Quality) -> Figures {
        if let Some(evidence) = found.evidence() {
            return Figures {
                wavefront_pv_nm: evidence.wavefront_pv_nm,
                wavefront_rms_nm: evidence.wavefront_rms_nm,
                strehl: evidence.strehl,
            };
        }
        let sure = |value: f64| Interval {
            value,
            low: value,
            high: value,
        };
        let smooth = Figures {
            wavefront_pv_nm: sure(quality.wavefront_pv_nm),
            wavefront_rms_nm: sure(quality.wavefront_rms_nm),
            strehl: sure(quality.strehl),
        };
        match figure {
            Figure::Stated(stated) => smooth.or_rough(stated),
            _ => smooth,
        }
    }

    /// One stated number has no shape: the smooth case is given, the rough one bounds it.
    fn or_rough(mut self, stated: &Stated) -> Figures {
        match stated.amount {
            StatedAmount::PeakToValleyWaves(_) => {
                let rms_nm = self.wavefront_pv_nm.value / ROUGH_PV_OVER_RMS;
                self.wavefront_rms_nm.low = rms_nm.min(self.wavefront_rms_nm.low);
                let sigma = std::f64::consts::TAU * rms_nm / REFERENCE_WAVELENGTH_NM;
                self.strehl.high = self.strehl.high.max((-sigma * sigma).exp());
            }
            StatedAmount::RmsWaves(_) => {
                let pv_nm = self.wavefront_rms_nm.value * ROUGH_PV_OVER_RMS;
                self.wavefront_pv_nm.high = self.wavefront_pv_nm.high.max(pv_nm);
            }
        }
        self
    }
}
