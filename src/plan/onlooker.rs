//! Who looks, and through which air: the same for all telescopes of a night.

use crate::optics::cooling::through_both_arcsec;
use crate::targets::conditions::Told;
use crate::targets::verdict::ThreeAirs;
use crate::workshop::Observer;

/// Who looks, and through which air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Onlooker {
    pub(super) seeing_zenith_arcsec: ThreeAirs<f64>,
    pub(super) observer: Observer,
    pub(super) red_spot_longitude_deg: Option<f64>,
}

impl Onlooker {
    /// The same before a mirror that stirs the air in front of itself, looking through so much air. That layer is the same
    /// whichever way the telescope points; what is widened here grows toward the horizon, with the airmass to the power of 3/5.
    pub(super) fn before_mirror(self, mirror_seeing_arcsec: f64, airmass: f64) -> Onlooker {
        let at_zenith_arcsec = mirror_seeing_arcsec / airmass.powf(0.6);
        let widened = |air: &f64| through_both_arcsec(*air, at_zenith_arcsec);
        Onlooker {
            seeing_zenith_arcsec: self.seeing_zenith_arcsec.map(widened),
            ..self
        }
    }

    /// What no look by itself shows.
    pub(super) fn told(&self) -> Told {
        Told {
            red_spot_longitude_deg: self.red_spot_longitude_deg,
            ..Told::default()
        }
    }
}
