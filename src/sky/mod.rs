//! # sky: where things are, how they face us, and what the air does to their light
//!
//! Knows times, directions, discs and the atmosphere. Does not know telescopes or observers' eyes.
//!
//! In the order of the light: where bodies are ([`ephemeris`]), at which instant ([`time`]), from which
//! turning place ([`earth`]), where they appear ([`apparent`]) and how they look ([`appearance`]:
//! [`magnitude`], [`rotation`], [`stars`], [`moons`]); what the air does on the way ([`air`], [`seeing`],
//! [`glow`]); when bodies rise and set ([`search`], [`spans`], [`track`], [`almanac`]); how orbits run that have
//! elements ([`kepler`]); when Jupiter's moons cross, hide and go dark ([`satellite_events`]); what the Moon covers
//! ([`occultations`], [`zodiac`]), when markings come round ([`meridian`]), how light falls on ring and Moon
//! ([`ring_light`], [`terminator`], [`earthshine`]); and what else happens ([`happenings`]).

pub mod ephemeris;

pub mod body;

pub mod time;

pub mod vector;

pub mod earth;

pub mod apparent;

pub mod rotation;

pub mod magnitude;

pub mod earth_shadow;

pub mod earthshine;
pub mod kepler;

pub mod air;

pub mod seeing;

pub mod glow;

pub mod appearance;

pub mod moons;
pub mod stars;

pub mod zodiac;

pub mod search;

pub mod spans;

pub mod meridian;

pub mod ring_light;

pub mod terminator;

pub mod track;

pub mod almanac;

pub mod happenings;
pub mod occultations;
pub mod satellite_events;
pub mod small_bodies;

pub use appearance::{Appearance, Face};
pub use body::Body;
