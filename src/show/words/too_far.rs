//! Why a comet or an asteroid has no place on a night, in words.

use crate::constants::JULIAN_YEAR_DAYS;
use crate::sky::small_bodies::TooFar;

/// Younger elements that say no better were typed with few digits, or come from few observations.
const YOUNG_YEARS: f64 = 0.5;

/// `Vesta: its elements are of 2026-06-09, 9.0 years before that night; ...`, and what would help.
pub fn words(too_far: &TooFar) -> String {
    let of = (too_far.epoch_date()).map_or(String::new(), |epoch| format!("of {epoch}, "));
    let years = too_far.age_days.abs() / JULIAN_YEAR_DAYS;
    let side = match too_far.age_days < 0.0 {
        true => "after",
        false => "before",
    };
    let needed = match years < YOUNG_YEARS {
        true => "elements with more digits, or better ones, are needed",
        false => "newer elements are needed",
    };
    let then = match too_far.error_arcsec {
        Some(error) if error < 3600.0 => format!(
            "by then it may stand {:.0} arcminutes off: {needed}",
            error / 60.0
        ),
        Some(_) => format!("by then it may stand degrees off: {needed}"),
        None => String::from("no place can be computed from them"),
    };
    format!(
        "{}: its elements are {of}{years:.1} years {side} that night; {then}",
        too_far.name
    )
}
