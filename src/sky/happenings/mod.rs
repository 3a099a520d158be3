//! What happens in the sky between two instants: phases, meetings, eclipses.
//!
//! Everything is apparent and geocentric unless a field says `here`; eclipses and pairings carry what the place
//! sees. Each kind has its file: [`phases`], [`planets`], [`pairings`], [`lunar_eclipse`], [`solar_eclipse`],
//! [`ring_plane`]; all together are found by [`happenings()`].
//!
//! Against the same definitions applied to JPL DE440 every instant agrees within a minute
//! (tests/it/sky/happenings.rs has the figures); contacts of lunar eclipses with the published canon likewise.

pub mod phases;

pub mod planets;

pub mod pairings;

pub mod lunar_eclipse;

pub mod solar_eclipse;

pub mod ring_plane;

mod happening;

mod all;

mod frame;

pub use self::all::happenings;
pub use self::happening::{Happening, What};
