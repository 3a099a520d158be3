//! What ends the range of useful magnifications, in words.

use crate::plan::reach::RangeEnd;

/// One sentence without the magnification.
pub(in crate::show) fn words(end: RangeEnd) -> String {
    match end {
        RangeEnd::EyePupil {
            pupil_mm,
            age_years,
        } => format!(
            "below it the light leaves the eyepiece wider than your pupil in the dark (about \
             {pupil_mm:.1} mm at {age_years:.0} years) and part of the mirror is wasted"
        ),
        RangeEnd::Air { seeing_arcsec } => {
            format!("above it typical {seeing_arcsec:.1}\" air only looks softer")
        }
        RangeEnd::ExitPupil { least_mm } => format!(
            "above it the light leaves the eyepiece narrower than {least_mm} mm: dimmer, and the \
             spots in your eye show before more detail does"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_upper_ends_in_words() {
        let narrow = words(RangeEnd::ExitPupil { least_mm: 0.5 });
        assert!(narrow.contains("narrower than 0.5 mm"), "{narrow}");
        assert_eq!(
            words(RangeEnd::Air { seeing_arcsec: 2.5 }),
            "above it typical 2.5\" air only looks softer"
        );
    }
}
