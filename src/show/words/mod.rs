//! # words: what all pages say alike
//!
//! Clocks, numbers and directions are handed on here (`words::clock`, `words::two_digits`); each reason and each warning
//! has a file of its own, called by its name (`unmet::words`).

mod times;

mod numbers;

mod directions;

mod sentences;

// What a promise rests on.
pub mod assumed;

pub mod figure;

pub mod doubt;

pub(super) mod coat;

mod eyes;

// Why something does not show.
pub mod why;

pub mod unmet;

pub mod too_far;

// What else many pages name.
pub mod caption;

pub(super) mod range_end;

pub mod satellite;

mod moon;

pub mod caution;

pub use self::directions::{FIST_DEG, fists, n_fists, wind, wind_in_words};
pub use self::eyes::observer_margin;
pub use self::moon::moon_phase;
pub use self::numbers::{crossing, field, glass_nm, rounded, short, to_two_digits, two_digits};
pub(super) use self::sentences::JOINED;
pub use self::sentences::{capitalised, list, nth_letter, together, wrapped};
pub use self::times::{
    clock, clock_beside, clock_or_never, date, date_and_clock, day_and_month, evening,
    local_minute, plain_date, rfc3339, sunset_and_sunrise, the_night_of, utc_offset, utc_offsets,
};
