//! One look: what is looked at, from where, through which air, by whom.

use crate::sky::Appearance;
use crate::targets::conditions::Told;
use crate::targets::grade::ThreeAirs;
use crate::targets::today::KnownOfLook;
use crate::workshop::Observer;

/// Differences of air and sky that change a visibility by a few hundredths: natural logarithm, and magnitudes.
const SAME_AIRMASS_LN: f64 = 0.05;
const SAME_SKY_MAG: f64 = 0.1;

/// Where something stands at one instant, and the air and the sky before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Days of TT since J2000.0.
    pub at_tt_days: f64,
    /// Degrees, as if there were no air.
    pub altitude_deg: f64,
    /// Of the Sun, degrees, negative below the horizon.
    pub sun_altitude_deg: f64,
    /// Toward it.
    pub airmass: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag_airmass: f64,
    /// Toward it, V mag/arcsec²: site, Moon and twilight together.
    pub sky_brightness_mag_arcsec2: f64,
}

/// What is looked at, from where, through which air, by whom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look<'a> {
    /// The body tonight; `None` for what has no face to turn: double stars, clusters, nebulae.
    pub appearance: Option<&'a Appearance>,
    /// When, days of TT since J2000.0, where somebody says so.
    pub at_tt_days: Option<f64>,
    /// Of what is looked at, degrees.
    pub altitude_deg: f64,
    /// As high as it gets at this place on this date (Mercury and Venus: with the Sun down), degrees; `None` where nobody
    /// says so: only a reason needs it.
    pub highest_deg: Option<f64>,
    /// Of the Sun, degrees, negative below the horizon: only chooses the words when the sky is
    /// too bright; how bright it is stands below.
    pub sun_altitude_deg: f64,
    /// Toward the body.
    pub airmass: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag_airmass: f64,
    /// Toward the body, V mag/arcsec²: site, Moon and twilight together.
    pub sky_brightness_mag_arcsec2: f64,
    /// FWHM at the zenith, 550 nm, arcseconds.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// By whom.
    pub observer: Observer,
    /// System II longitude of the Great Red Spot, where somebody knows it.
    pub red_spot_longitude_deg: Option<f64>,
}

impl Look<'static> {
    /// At whatever stands overhead and has no face, in the dark.
    pub fn overhead(
        extinction_mag_airmass: f64,
        sky_brightness_mag_arcsec2: f64,
        seeing_zenith_arcsec: ThreeAirs<f64>,
        observer: Observer,
    ) -> Self {
        Look {
            appearance: None,
            at_tt_days: None,
            altitude_deg: 90.0,
            highest_deg: None,
            sun_altitude_deg: -90.0,
            airmass: 1.0,
            extinction_mag_airmass,
            sky_brightness_mag_arcsec2,
            seeing_zenith_arcsec,
            observer,
            red_spot_longitude_deg: None,
        }
    }
}

impl Look<'_> {
    /// The same at another hour of the night.
    pub(super) fn at(&self, hour: &Hour) -> Self {
        Look {
            at_tt_days: Some(hour.at_tt_days),
            altitude_deg: hour.altitude_deg,
            sun_altitude_deg: hour.sun_altitude_deg,
            airmass: hour.airmass,
            extinction_mag_airmass: hour.extinction_mag_airmass,
            sky_brightness_mag_arcsec2: hour.sky_brightness_mag_arcsec2,
            ..*self
        }
    }

    /// Through air and before a sky that nobody tells apart from the other's.
    pub(super) fn is_like(&self, other: &Look) -> bool {
        let of_sky = self.sky_brightness_mag_arcsec2 - other.sky_brightness_mag_arcsec2;
        (self.airmass / other.airmass).ln().abs() < SAME_AIRMASS_LN && of_sky.abs() < SAME_SKY_MAG
    }

    pub(super) fn told(&self) -> Told {
        Told {
            red_spot_longitude_deg: self.red_spot_longitude_deg,
            at_tt_days: self.at_tt_days,
            ..Told::default()
        }
    }

    pub(super) fn stated(&self) -> KnownOfLook {
        self.told().stated()
    }
}
