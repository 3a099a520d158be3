//! # moons: the satellites of Jupiter and Saturn that a small telescope shows
//!
//! In the order of the work: who they are (`satellite`), an orbit's elements turned into a place (`orbit`), the two
//! theories that give the elements (`galilean`, `saturnian`), a moon's place by the one that is its own (`position`),
//! the lines of sight and of sunlight past the planet (`limb`), brightness ([`light`]), how a moon looks from the
//! Earth ([`view`]). When Jupiter's moons cross, hide and go dark:
//! [`satellite_events`](crate::sky::satellite_events).

mod satellite;

mod orbit;

mod galilean;

mod saturnian;

mod position;

pub(super) mod limb;

pub mod light;

pub mod view;

pub use self::satellite::Satellite;
