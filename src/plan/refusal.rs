//! Why there is no answer: one tree of errors for all that `plan` is asked.

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoNight {
    /// That date does not exist in the zone of the place.
    NoSuchDate,
    /// Outside the ephemeris, 1950-2100.
    OutsideEphemeris,
    /// The stated faintest star fits no sky this side of the model's range.
    DarknessOutOfRange,
    /// The stated seeing does not stand on its scale.
    SeeingOutOfRange,
}
