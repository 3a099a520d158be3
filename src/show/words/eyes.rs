//! Whose eyes a promise is made for, in words.

use crate::show::words::two_digits;

/// What an observer's margin does to every promise; `None` where it does nothing.
pub fn observer_margin(margin_dex: f64) -> Option<String> {
    (margin_dex != 0.0).then(|| {
        format!(
            "Eyes: the file's margin_dex of {margin_dex:+.2} shifts every promise: all shows {} times as strongly as \
             to the practised eyes these grades are made for.",
            two_digits(10f64.powf(margin_dex))
        )
    })
}
