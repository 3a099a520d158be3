//! Ground floor: conversions, and the few newtypes for values that are easily and silently confused.
//!
//! Everything else is an `f64` with its unit at the end of the name.

use crate::constants::ARCSEC_PER_RAD;

/// Nanometres in a millimetre.
pub const NM_PER_MM: f64 = 1e6;

/// Millimetres in a metre.
pub const MM_PER_M: f64 = 1e3;

/// Millimetres in an inch (exact).
pub const MM_PER_INCH: f64 = 25.4;

/// Metres in a kilometre.
pub const M_PER_KM: f64 = 1e3;

/// Arcseconds in an arcminute.
pub const ARCSEC_PER_ARCMIN: f64 = 60.0;

/// Arcseconds in a degree.
pub const ARCSEC_PER_DEG: f64 = 3600.0;

/// Arcminutes in a degree.
pub const ARCMIN_PER_DEG: f64 = 60.0;

/// Seconds in a minute.
pub const SECONDS_PER_MINUTE: f64 = 60.0;

/// Seconds in an hour.
pub const SECONDS_PER_HOUR: f64 = 3600.0;

/// Minutes in a day.
pub const MINUTES_PER_DAY: f64 = 1440.0;

/// Hours in a day.
pub const HOURS_PER_DAY: f64 = 24.0;

/// Height error of a mirror's surface, nm, positive toward the light. Half of what it does to the
/// wavefront.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SurfaceNm(pub f64);

/// Error of the reflected wavefront (optical path), nm, positive where the path is too long.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct WavefrontNm(pub f64);

impl SurfaceNm {
    /// Light passes a surface error twice: size of the wavefront error it causes.
    /// Sign is not carried: a high surface shortens the path.
    pub fn magnitude_on_wavefront(self) -> WavefrontNm {
        WavefrontNm(2.0 * self.0)
    }
}

/// Arcseconds from radians.
pub fn arcsec_from_rad(angle_rad: f64) -> f64 {
    angle_rad * ARCSEC_PER_RAD
}

/// Radians from arcseconds.
pub fn rad_from_arcsec(angle_arcsec: f64) -> f64 {
    angle_arcsec / ARCSEC_PER_RAD
}

/// The same direction in `[0, 360)` degrees.
pub fn wrap_360_deg(angle_deg: f64) -> f64 {
    let wrapped = angle_deg.rem_euclid(360.0);
    if wrapped >= 360.0 { 0.0 } else { wrapped }
}

/// The same direction in `[-180, 180)` degrees.
pub fn wrap_180_deg(angle_deg: f64) -> f64 {
    wrap_360_deg(angle_deg + 180.0) - 180.0
}
