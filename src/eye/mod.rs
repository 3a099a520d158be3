//! # eye: what an observer at the eyepiece can detect
//!
//! Knows luminances, contrasts, angles and ages. Does not know telescopes, dates or planets.
//!
//! Two published thresholds carry this room, each where it was measured: [`crumey`] for stars on
//! dark ground, [`fovea`] (Watson & Ahumada) for detail on bright discs, with the noise of light from [`contrast`]
//! (Barten). Both speak of a *field factor*
//! F: how much more contrast than a practised observer's 50 % threshold is asked for.
//! [`PRACTISED`] and [`MOST_PEOPLE`] are the two that matter; what else is open stands in `targets::free`.

pub mod glare;

pub mod pupil;

pub mod crumey;

pub mod schaefer;

pub mod contrast;

pub mod fovea;

pub mod age;

pub mod detect;

mod aided;

mod spectra;

mod pair;

mod bessel;

/// Field factor of a practised observer who knows what to look for and sees it half of the time.
pub const PRACTISED: f64 = 1.0;

/// Field factor of most people with a quiet minute at the eyepiece (Crumey 2014's typical value).
pub const MOST_PEOPLE: f64 = 2.0;

/// How many eyes look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    /// At an eyepiece.
    One,
    /// Without a telescope.
    Two,
}

impl Eyes {
    /// By how much a threshold rises against two eyes: √2 for one (Crumey 2014; Barten 1999).
    pub fn threshold_factor(self) -> f64 {
        match self {
            Eyes::One => std::f64::consts::SQRT_2,
            Eyes::Two => 1.0,
        }
    }
}
