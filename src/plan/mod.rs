//! # plan: finished answers
//!
//! Brings the rooms below together into what somebody asked: the sky at an instant ([`sky_now`]), what a
//! telescope can reach ([`reach`]), what a night will show ([`night`]). Everything a page or a JSON field
//! needs is in these answers; `show` only words them.

pub mod assignment;

pub mod time_span;

pub mod local;

pub mod clock_window;

pub mod sky_now;

pub mod happenings;

pub mod dates;

pub mod best_moment;

pub mod refusal;

pub mod onlooker;

pub mod outlook;

pub mod caution;

pub mod sun;

pub mod put_out;

pub mod night;

pub mod faces;

pub mod night_curves;

mod watch;

mod times;

mod lookout;

mod fill_in;

mod conditions;

mod assumed;

pub mod reach;

pub mod mirror;

pub mod week;

pub mod tube;

pub mod bands;

pub mod pictures;

pub mod explain;

pub mod session;

pub mod seen;

pub mod record;
