//! Ground floor: what nature, or an international resolution, fixes.

use std::f64::consts::PI;

/// Astronomical unit, km. IAU 2012 Resolution B2 (exact).
pub const AU_KM: f64 = 149_597_870.7;

/// Speed of light, km/s. SI definition (exact).
pub const SPEED_OF_LIGHT_KM_S: f64 = 299_792.458;

/// Light time for one astronomical unit, days.
pub const LIGHT_TIME_AU_DAYS: f64 = AU_KM / SPEED_OF_LIGHT_KM_S / SECONDS_PER_DAY;

/// Seconds in a day.
pub const SECONDS_PER_DAY: f64 = 86_400.0;

/// Julian date of the epoch J2000.0, 2000 January 1, 12h TT.
pub const J2000_JD: f64 = 2_451_545.0;

/// Julian date of the Unix epoch, 1970 January 1, 0h UTC.
pub const UNIX_EPOCH_JD: f64 = 2_440_587.5;

/// Days in a Julian century.
pub const JULIAN_CENTURY_DAYS: f64 = 36_525.0;

/// Days in a Julian year.
pub const JULIAN_YEAR_DAYS: f64 = 365.25;

/// Arcseconds in one radian.
pub const ARCSEC_PER_RAD: f64 = 180.0 * 3600.0 / PI;

/// The wavelength for which figures are stated unless said otherwise, nm: near the peak of
/// daylight vision (555 nm) and the trade's customary round number.
pub const REFERENCE_WAVELENGTH_NM: f64 = 550.0;
