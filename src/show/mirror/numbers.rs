//! Figures with their intervals, as they are written.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;

/// In waves of green light, no finer than anybody measures.
pub(super) fn waves(nm: &Interval) -> String {
    two_places(&in_waves(nm))
}

pub(super) fn in_waves(nm: &Interval) -> Interval {
    Interval {
        value: nm.value / REFERENCE_WAVELENGTH_NM,
        low: nm.low / REFERENCE_WAVELENGTH_NM,
        high: nm.high / REFERENCE_WAVELENGTH_NM,
    }
}

/// `0.38 (0.31 to 0.46)`, without brackets where nothing is left open.
pub(super) fn two_places(interval: &Interval) -> String {
    let [value, low, high] =
        [interval.value, interval.low, interval.high].map(|x| format!("{x:.2}"));
    if low == high {
        value
    } else {
        format!("{value} ({low} to {high})")
    }
}
