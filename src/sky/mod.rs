//! # sky: where things are, how they face us, and what the air does to their light
//!
//! Knows times, directions, discs and the atmosphere. Does not know telescopes or observers' eyes.
//!
//! In the order of the light: where bodies are ([`ephemeris`]), at which instant ([`time`]), from which
//! turning place ([`earth`]), where they appear ([`apparent`]) and how they look ([`appearance`]:
//! [`magnitude`], [`rotation`]); what the air does on the way ([`air`], [`seeing`], [`glow`]); when
//! bodies rise and set ([`search`], [`track`], [`almanac`]), and what else happens ([`happenings`]).

pub mod ephemeris;

pub mod body;

pub mod time;

pub mod vector;

pub mod earth;

pub mod apparent;

pub mod rotation;

pub mod magnitude;

pub mod air;

pub mod seeing;

pub mod glow;

pub mod appearance;

pub mod search;

pub mod track;

pub mod almanac;

pub mod happenings;

pub use appearance::Appearance;
pub use appearance::Face;
pub use body::Body;
