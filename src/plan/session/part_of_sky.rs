//! Where a target stands, as one cloud would cover it.

use crate::plan::outlook::Outlook;

/// Higher than this is one part of the sky, whichever way one faces, degrees.
const OVERHEAD_DEG: f64 = 65.0;

/// North, east, south, west, overhead.
pub(super) fn sky_part(outlook: &Outlook) -> usize {
    let seen = &outlook.at_best;
    if is_overhead(outlook) {
        return 4;
    }
    ((seen.place().azimuth_deg + 45.0) / 90.0) as usize % 4
}

/// East, north, up.
pub(super) fn toward(outlook: &Outlook) -> [f64; 3] {
    let place = outlook.at_best.place();
    let (sin_height, cos_height) = place.refracted_altitude_deg.to_radians().sin_cos();
    let (sin_azimuth, cos_azimuth) = place.azimuth_deg.to_radians().sin_cos();
    [
        cos_height * sin_azimuth,
        cos_height * cos_azimuth,
        sin_height,
    ]
}

/// Whether it stands in the part of the sky that has no side.
pub(super) fn is_overhead(outlook: &Outlook) -> bool {
    OVERHEAD_DEG < outlook.at_best.place().refracted_altitude_deg
}
