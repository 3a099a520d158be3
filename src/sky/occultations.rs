//! Stars and planets covered by the Moon, seen from one place.
//!
//! The limb is a circle: the mountains and valleys of its edge (2" up or down) are not in it, so that
//! instants stand within some seconds; every contact says how many. A star that only brushes the edge is
//! flagged as grazing, one that passes outside the mean limb is not listed though a mountain may hide it.
//!
//! Worked in the frame that moves with the Earth's centre: there the Moon stands where it was when its
//! light left, without aberration, and the star where the yearly aberration puts it; the daily one
//! moves both alike.

mod occultation;

mod passages;

use crate::sky::earth::Place;

use self::passages::{Passages, STEP_DAYS};

pub use self::occultation::{Contact, Cusp, EdgePoint, Limb, Occultation, Occulted};

/// All occultations of which at least one contact lies in the span and above the horizon, in the order of
/// their disappearances. `None` where the span leaves the ephemeris, 1950-2100.
///
/// By day too: the caller judges the Sun's altitude. Accuracy: 0.2 s for the mean limb; UT1 = UTC, up to
/// half a second; the true limb: [`Contact::uncertain_s`].
pub fn occultations(
    place: &Place,
    from_tt_days: f64,
    until_tt_days: f64,
) -> Option<Vec<Occultation>> {
    let mut found = Vec::new();
    let mut from = from_tt_days;
    while from < until_tt_days {
        let until = (from + CHUNK_DAYS).min(until_tt_days);
        found.extend(Passages::over(place, from, until)?.all()?);
        from = until;
    }
    // A passage across the seam of two chunks is found from both sides.
    found.sort_by(|a: &Occultation, b| a.disappearance.tt_days.total_cmp(&b.disappearance.tt_days));
    found.dedup_by(|b, a| {
        a.occulted == b.occulted
            && (a.disappearance.tt_days - b.disappearance.tt_days).abs() < STEP_DAYS
    });
    Some(found)
}

/// Longest stretch done at once: precession moves no star by more than an arcminute meanwhile.
const CHUNK_DAYS: f64 = 400.0;
