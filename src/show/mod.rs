//! # show: finished answers as text and JSON
//!
//! Words and layout only: every number printed here was computed by `plan`. Text fits 80 columns and
//! carries nothing by colour; JSON keeps the names of its fields for good.

pub mod words;

pub mod table;

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

pub mod picture;

pub mod explain;

pub mod happenings;

mod happenings_covered;

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
