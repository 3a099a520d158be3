//! # skyworthy: from a finished telescope mirror to what it will show
//!
//! One chain of computation, a room a link:
//!
//! 1. [`workshop`]: what the user brings, checked: place, eyepieces, telescopes, figures;
//! 2. [`optics`]: what the finished mirror does to a point of light;
//! 3. [`sky`]: where Sun, Moon and planets are, how they face us, what the air does to their light;
//! 4. [`eye`]: what an observer at the eyepiece can detect;
//! 5. [`targets`]: what there is to see, whether it shows, why not, and what a look is worth;
//! 6. [`plan`]: finished answers: a mirror's verdict, a telescope's reach, a night, the evenings of a year, a public
//!    evening, what was really seen;
//! 7. [`show`]: those answers for reading (text, HTML, pictures, printed sheets) and for programs (JSON, CSV, calendar).
//!
//! Each room uses only rooms above it in this list; `optics`, `sky` and `eye` do not know each
//! other. Below them all stand [`constants`], [`units`], [`tables`] and [`linear`]. Nothing here reads a file, the clock
//! or the environment.
//!
//! ```
//! use skyworthy::plan::night::{Wish, night};
//! use skyworthy::{show, workshop};
//!
//! let on = "2027-02-20".parse()?;
//! let night = night(&workshop::example(), Wish { on, daylight: false })?;
//! assert!(show::night::page(&night).text().contains("the night of Saturday 20 February 2027"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

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
