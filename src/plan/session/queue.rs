//! Looks and waits as the answer has them; `looks` works them out.

use serde::Serialize;

/// Looks and people. Of one telescope: over its turns; of the session: all telescopes together.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Queue {
    /// One look, stepping up and down included.
    pub seconds_per_look: f64,
    /// Added to each look for bringing the target back, on the average over the turns.
    pub recentre_s: f64,
    /// Taken from each turn for finding the target; for the session the average over all turns.
    pub pointing_s: f64,
    /// While a target is in the eyepiece; for the session looks over the time from its first look to its last.
    pub looks_per_hour: f64,
    /// Over all turns, whole looks.
    pub looks: u32,
    /// Visitors that get at least one look here.
    pub served: u32,
    /// Looks for each visitor, if all queue alike.
    pub looks_per_visitor: f64,
    /// Time from joining a line to the look, the mean over all looks; 0 without looks. Everybody stays to the end and goes where
    /// the line is shortest.
    pub expected_wait_min: f64,
}

/// Looks that begin in one slot, of all telescopes together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotQueue {
    /// Telescopes that show something.
    pub telescopes: usize,
    /// Whole looks.
    pub looks: u32,
    /// How long those who look then were in line, the mean; `None` without looks.
    pub wait_min: Option<f64>,
}

impl Queue {
    /// That time in whole minutes, as it is told everywhere.
    pub fn wait_minutes(&self) -> u32 {
        self.expected_wait_min.round() as u32
    }
}
