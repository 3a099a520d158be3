//! # show: finished answers as text, HTML, JSON, CSV, calendar files, pictures and printed sheets
//!
//! Words and layout only: every number printed here was computed by `plan`. An answer for reading is made once, as
//! a [`page::Page`], and laid out as text in 80 columns or as HTML; nothing is carried by colour. JSON keeps the names
//! of its fields for good.
//!
//! An answer is found under the name of the command that gives it: its page in the folder's `mod.rs`, what else it is
//! written as (`json`, `csv`, `ics`) beside it.

// What all answers share: words, the page they stand on, JSON, calendar files.
pub mod words;

pub mod page;

pub mod json;

mod calendar;

// Where everything stands at an instant.
pub mod sky;

// What each telescope shows in a night.
pub mod night;

// What happens between two dates.
pub mod happenings;

// Which evenings suit.
pub mod dates;

// A public evening on the screen; on paper.
pub mod session;

pub mod sheet;

// What a telescope can reach, and one detail from the sky to the eye.
pub mod reach;

pub mod explain;

// What to take to the tester.
pub mod bench;

// What a mirror is worth, and its bands at the bench.
pub mod mirror;

pub mod bands;

// Looks, promised and seen.
pub mod seen;

// Pictures of any of these.
pub mod picture;
