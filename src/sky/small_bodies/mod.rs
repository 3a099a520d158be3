//! Asteroids and comets: where they are by their osculating elements, how bright, how surely.
//!
//! Elements describe the orbit of one instant, the epoch. From there the planets' pull is summed up to
//! the night in question ([`Course`]); how far the result may be off by then is part of every answer,
//! and beyond [`MOST_ERROR_ARCSEC`] there is none. The asteroids of the table keep within 1" of JPL's own
//! places for ten years (tested), an orbit typed with seven digits within what it claims. `elements` turns elements into motion, `forces` and
//! `course` carry it through time, `seen` says how the body looks from a place.

mod course;
mod elements;
mod forces;
mod seen;
mod table;

pub use course::{Course, MOST_ERROR_ARCSEC, TooFar};
pub use elements::{Elements, Size, Timing};
pub use seen::SmallBodySighting;
pub use table::asteroids;

use serde::Serialize;

/// An asteroid or a comet.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallBody {
    /// Lower case, unique in its list.
    pub id: String,
    /// As written in a list for people.
    pub name: String,
    /// Its orbit.
    pub elements: Elements,
    /// By how much each element may be off for its last digit: half a unit of it. All 0 where `error_arcsec`
    /// covers that; the epoch is exact.
    pub rounding: Elements,
    /// How far it may be from where its elements put it at their epoch, seen from the Sun: what the
    /// orbit's own source says.
    pub error_arcsec: f64,
    /// What makes it bright, and by that what kind of body it is.
    pub brightness: Brightness,
}

impl SmallBody {
    /// Asteroid or comet.
    pub fn kind(&self) -> SmallBodyKind {
        match self.brightness {
            Brightness::Asteroid { .. } => SmallBodyKind::Asteroid,
            Brightness::Comet { .. } => SmallBodyKind::Comet,
        }
    }
}

/// What kind of small body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SmallBodyKind {
    /// Rock: moved by gravity alone.
    Asteroid,
    /// Ice: its own vapour pushes it a little.
    Comet,
}

/// The constants of its magnitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Brightness {
    /// H and G of the IAU system of 1985.
    Asteroid {
        /// V magnitude at 1 au from Sun and observer, fully lit.
        h_mag: f64,
        /// How it fades with the phase angle; 0.15 where nobody measured it.
        g: f64,
    },
    /// Total magnitude of coma and nucleus.
    Comet {
        /// At 1 au from Sun and observer.
        m1_mag: f64,
        /// Magnitudes for each factor of ten in the distance from the Sun: 2.5 times the exponent n of
        /// the law r^-n; 10 where nobody measured it.
        k1: f64,
    },
}
