//! Ground floor: conversions, and the few newtypes for values that are easily and silently confused.
//!
//! Everything else is an `f64` with its unit at the end of the name.

use crate::constants::ARCSEC_PER_RAD;

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

/// Degrees from radians, arcseconds from radians, and the other way: one line each.
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
