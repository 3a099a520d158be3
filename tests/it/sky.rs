//! Positions, faces and events against JPL DE440 and published worked examples.

/// Reading the tables of tests/reference and summing up errors.
mod table;

/// Where bodies appear, how large and bright, against DE440.
mod places;

/// How Moon and planets are turned, against DE421 and SPICE.
mod faces;

/// Rising, setting, dusk, dawn and transit against DE440.
mod events;

/// Stars, and what the Moon covers, against DE440.
mod occultations;

/// Nights that never get dark, days that never come: facts everybody knows.
mod seasons;

/// Worked examples of a textbook.
mod examples;

/// Phases, meetings, eclipses against DE440 and the published canons.
mod happenings;
/// Moons of Jupiter and Saturn: another theory, worked examples, and what never fails to happen.
mod moons;
