//! What was taken for a mirror's figure, in words.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::figure::{Basis, FigureTaken};
use crate::show::words::doubt;

/// `left spherical: 0.26 wave peak to valley at best focus`; and what has to be settled before readings
/// can be relied on.
pub fn words(figure: &FigureTaken) -> String {
    let taken = format!("{}{}", taken_words(figure), open_words(figure));
    match &figure.doubt {
        Some(doubt) => format!("{taken}; not to be relied on: {}", doubt::words(doubt)),
        None => taken,
    }
}

/// What the test leaves open, where it is more than anybody would pass over.
fn open_words(figure: &FigureTaken) -> String {
    match figure.strehl {
        Some(strehl) if WIDE_STREHL < strehl.high - strehl.low => format!(
            "; the test leaves a Strehl ratio of {:.2} to {:.2} open",
            strehl.low, strehl.high
        ),
        _ => String::new(),
    }
}

const WIDE_STREHL: f64 = 0.1;

fn taken_words(figure: &FigureTaken) -> String {
    let peak_to_valley = format!("{} peak to valley", waves(figure.wavefront_pv_nm));
    let rms = format!("{} RMS", waves(figure.wavefront_rms_nm));
    match figure.basis {
        Basis::NotGiven => "not given: a perfect paraboloid is assumed".to_string(),
        Basis::Sphere => format!("left spherical: {peak_to_valley} at best focus"),
        Basis::BandsSeen => format!("by the look of the bands: {peak_to_valley} at best focus"),
        Basis::KnifeEdge { n_zones } => format!(
            "from knife-edge readings of {n_zones} zones: {peak_to_valley}, {rms} on the wavefront"
        ),
        Basis::StatedPeakToValley => format!(
            "as stated, {peak_to_valley} on the wavefront; smooth (spherical aberration) assumed, \
             so {rms}"
        ),
        Basis::StatedRms => format!(
            "as stated, {rms} on the wavefront; smooth (spherical aberration) assumed, so \
             {peak_to_valley}"
        ),
        Basis::Zernike { n_terms } => {
            let plural = if n_terms == 1 { "" } else { "s" };
            format!("from {n_terms} Zernike term{plural}: {rms} on the wavefront at best focus")
        }
        Basis::Profile => {
            format!("from a radial profile: {peak_to_valley}, {rms} on the wavefront at best focus")
        }
    }
}

/// In waves of green light, no finer than anybody measures.
fn waves(wavefront_nm: f64) -> String {
    let waves = wavefront_nm / REFERENCE_WAVELENGTH_NM;
    if 0.0 < waves && waves < 0.005 {
        "under 0.01 wave".to_string()
    } else {
        format!("{waves:.2} wave")
    }
}
