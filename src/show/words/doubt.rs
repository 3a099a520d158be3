//! What knife-edge readings leave in doubt, in words.

use crate::optics::knife::Doubt;

/// In one sentence, with the numbers that raise it.
pub fn words(doubt: &Doubt) -> String {
    match doubt {
        Doubt::EdgeNotLookedAt { hidden_share } => format!(
            "a turned edge in the last {:.0} % of the radius would not show in these readings: \
             look at the rim with the bands or a star",
            100.0 * hidden_share
        ),
        Doubt::EdgeTurned => String::from(
            "the turned edge is not in these figures: the mirror is worse than they say",
        ),
        Doubt::OtherLamp { correction_ratio } => format!(
            "{correction_ratio:.2} times the correction of a paraboloid: was the lamp fixed and \
             the file says moving, or the other way round?"
        ),
        Doubt::ScaleReversed { correction_ratio } => format!(
            "{correction_ratio:.2} times the correction of a paraboloid: does the scale run \
             toward the mirror? Readings have to grow away from it"
        ),
        Doubt::TooScattered {
            reading_error_mm,
            tolerance_mm,
        } => format!(
            "one reading is off by {reading_error_mm:.2} mm, and {tolerance_mm:.2} mm at the rim \
             is all that a good mirror may have: read again, and more often"
        ),
        Doubt::TwoZones => String::from(
            "two zones show how far the mirror is corrected and nothing of rings: use more windows",
        ),
        Doubt::Rings => String::from(
            "the zones differ by more than a smooth mirror's: it has rings, and one narrower than \
             a window would hide between readings: use more windows",
        ),
        Doubt::WaysDisagree {
            wavefront_rms_nm: [spline, lines, polynomial],
        } => format!(
            "ways to reduce these readings differ ({spline:.0}, {lines:.0} and {polynomial:.0} nm \
             RMS on the wavefront); the interval holds them all"
        ),
    }
}
