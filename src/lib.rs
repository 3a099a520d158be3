//! # skyworthy: from a finished telescope mirror to what it will show
//!
//! One chain of computation, a room a link:
//!
//! 1. [`workshop`]: what the user brings, checked: place, eyepieces, telescopes, figures;
//! 2. [`optics`]: what the finished mirror does to a point of light;
//! 3. [`sky`]: where Sun, Moon and planets are, how they face us, what the air does to their light;
//! 4. [`eye`]: what an observer at the eyepiece can detect;
//! 5. [`targets`]: what there is to see, whether it shows, and why not;
//! 6. [`plan`]: finished answers: a telescope's reach, a night;
//! 7. [`show`]: those answers as text and JSON.
//!
//! Each room uses only rooms above it in this list; `optics`, `sky` and `eye` do not know each
//! other. Nothing here reads a file, the clock or the environment.

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod constants;
pub mod units;

pub mod tables;

pub mod linear;

#[cfg(test)]
mod testing;

pub mod workshop;

pub mod optics;

pub mod sky;

pub mod eye;

pub mod targets;

pub mod plan;

pub mod show;
