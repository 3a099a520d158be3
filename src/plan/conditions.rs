//! What the workshop file says of sky and air, turned into the figures that models take.

use crate::eye::crumey;
use crate::sky::seeing::{antoniadi_fwhm_arcsec, pickering_fwhm_arcsec};
use crate::targets::verdict::ThreeAirs;
use crate::workshop::{Darkness, Seeing, SeeingScale};

/// Darkness of the moonless zenith, V mag/arcsec²; `None` when no sky shows that faintest star.
pub(super) fn dark_zenith_mag_arcsec2(darkness: Darkness) -> Option<f64> {
    match darkness {
        Darkness::MagArcsec2(mag_arcsec2) => Some(mag_arcsec2),
        Darkness::FaintestStarMag(mag) => {
            crumey::sky_from_faintest_star_mag_arcsec2(mag, crumey::REPORTED_STAR_FIELD_FACTOR)
        }
    }
}

/// Three airs from the site's own figures; a single judgement on a scale is taken as the
/// typical air, good and poor in proportion.
pub(super) fn seeing_zenith_arcsec(seeing: Seeing) -> Option<ThreeAirs<f64>> {
    match seeing {
        Seeing::Arcsec {
            good,
            typical,
            poor,
        } => Some(ThreeAirs {
            good,
            typical,
            poor,
        }),
        Seeing::Scale {
            scale,
            value,
            aperture_mm,
        } => {
            let typical = match scale {
                SeeingScale::Pickering => pickering_fwhm_arcsec(value, aperture_mm)?,
                SeeingScale::Antoniadi => antoniadi_fwhm_arcsec(value, aperture_mm)?,
            };
            let [usual_good, usual, usual_poor] = Seeing::USUAL_ARCSEC;
            Some(ThreeAirs {
                good: typical * usual_good / usual,
                typical,
                poor: typical * usual_poor / usual,
            })
        }
    }
}
