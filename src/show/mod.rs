//! # show: finished answers as text, HTML and JSON
//!
//! Words and layout only: every number printed here was computed by `plan`. An answer for reading is made once, as
//! a [`page::Page`], and laid out as text in 80 columns or as HTML; nothing is carried by colour. JSON keeps the names
//! of its fields for good.

pub mod words;

pub mod page;

pub mod json;

pub mod why;

pub mod unmet;

pub mod figure;

mod coat;

mod range_end;

pub mod sky;

pub mod caution;

pub mod night;

mod night_beyond;

mod night_grades;

mod night_moons;

mod night_faces;

pub mod night_json;

pub mod reach;

mod reach_tube;

pub mod reach_json;

pub mod mirror;

pub mod mirror_json;

pub mod assumed;

pub mod bands;

mod bands_stand;

pub mod picture;

pub mod explain;

pub mod happenings;

mod happenings_covered;

pub mod happenings_entry;

mod happenings_eclipse;

pub mod happenings_json;

pub mod dates;

mod dates_words;

pub mod dates_calendar;

pub mod dates_json;

pub mod seen;

pub mod seen_json;

pub mod session;

pub mod session_facts;

pub mod session_advice;

pub mod session_words;

pub mod session_json;

pub mod session_csv;

pub mod session_calendar;

pub mod sheet;
