//! # show: finished answers as text, HTML, JSON, CSV, calendar files, pictures and printed sheets
//!
//! Words and layout only: every number printed here was computed by `plan`. An answer for reading is made once, as
//! a [`page::Page`], and laid out as text in 80 columns or as HTML; nothing is carried by colour. JSON keeps the names
//! of its fields for good.

// Words and layout that all answers share.
pub mod words;

pub mod page;

pub mod json;

pub mod why;

pub mod unmet;

pub mod figure;

pub mod doubt;

mod coat;

mod range_end;

pub mod caption;

pub mod caution;

pub mod assumed;

// Where everything stands at an instant.
pub mod sky;

// What each telescope shows in a night.
pub mod night;

mod night_beyond;

mod night_grades;

mod night_moons;

mod night_faces;

pub mod too_far;

pub mod night_json;

// What happens between two dates.
pub mod happenings;

mod happenings_covered;

mod happenings_eclipse;

pub mod happenings_entry;

pub mod happenings_json;

// Which evenings suit.
pub mod dates;

mod dates_words;

pub mod dates_calendar;

pub mod dates_json;

// A public evening, on the screen and on paper.
pub mod session;

pub mod session_words;

pub mod session_facts;

pub mod session_advice;

pub mod session_json;

pub mod session_csv;

pub mod session_calendar;

pub mod sheet;

// What a telescope can reach, and one detail from the sky to the eye.
pub mod reach;

mod reach_tube;

pub mod reach_json;

pub mod explain;

// What a mirror is worth, and its bands at the bench.
pub mod mirror;

pub mod mirror_json;

pub mod bands;

mod bands_stand;

// Looks, promised and seen.
pub mod seen;

pub mod seen_json;

// Pictures.
pub mod picture;
