//! What the coating sends back.

use crate::workshop::Coating;

/// Reflectivity of a fresh coat at 550 nm, each mirror, 0 to 1.
///
/// - Silver 0.95: chemically deposited, measured 0.90 at 450 nm and 0.95 at 700 nm (Nature 133,
///   552, 1934); ideal silver 0.98 (Johnson & Christy's constants).
/// - Aluminium 0.88: coaters' figures for protected aluminium run from 0.87 to 0.89; ideal 0.915
///   (Rakic's constants).
///
/// Age is not counted: silver tarnishes within months in town air, aluminium loses a few percent
/// in years.
pub fn fresh_reflectivity(coating: Coating) -> f64 {
    match coating {
        Coating::Silver => 0.95,
        Coating::Aluminium => 0.88,
        Coating::Reflectivity(stated) => stated,
    }
}

/// What was taken, in words; `None` where the user stated it.
pub fn assumed_words(coating: Coating) -> Option<String> {
    let kind = match coating {
        Coating::Silver => "silver",
        Coating::Aluminium => "aluminium",
        Coating::Reflectivity(_) => return None,
    };
    let percent = fresh_reflectivity(coating) * 100.0;
    Some(format!(
        "{percent:.0} % each mirror, as fresh {kind}; age not counted"
    ))
}
