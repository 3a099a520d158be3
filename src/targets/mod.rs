//! # targets: what there is to see, whether it shows, and why not
//!
//! The only room where telescope, sky and eye meet. From the table of [`details`] and what the sky
//! says of a body follows what each detail looks like [`today`], or which of its [`conditions`] is
//! not met; [`chain`] carries it through air, telescope, eyepiece and eye to a detection index;
//! [`verdict`] grades it in good, typical and poor air and says what limits it.

pub mod details;

pub mod caption;

pub mod conditions;

pub mod deep_sky;

pub mod beyond;

pub mod distance;

pub mod appeal;

pub mod subject;

pub mod asked;

pub mod when;

mod own_hour;

pub mod sight;

mod pattern;

mod fading;

mod facing;

mod before_disc;

mod among_stars;

pub mod today;

pub mod doubles;

pub mod closest_pair;

pub mod moon;

pub mod faces;

mod ring;

pub mod luminance;

pub mod chain;

pub mod grade;

pub mod look;

pub mod by_grade;

mod choice;

pub mod limit;

pub mod verdict;

pub mod tried;

pub mod explain;

pub mod glance;
pub mod small_bodies;

mod aimed;

pub mod typical;

mod middling;

pub mod yardstick;

pub mod merit;

pub mod smallest;

mod at_its_best;

mod why;

pub mod free;
