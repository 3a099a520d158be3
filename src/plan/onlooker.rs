//! Who looks, and through which air: the same for all telescopes of a night.

use crate::targets::verdict::ThreeAirs;
use crate::workshop::Observer;

/// Who looks, and through which air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Onlooker {
    pub(super) seeing_zenith_arcsec: ThreeAirs<f64>,
    pub(super) observer: Observer,
    pub(super) red_spot_longitude_deg: Option<f64>,
}
