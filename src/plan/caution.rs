//! What can hurt in a night: typed, to be worded by `show`.

use chrono::{DateTime, Utc};

use crate::sky::Body;

/// A caution, to be worded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Caution {
    /// Always.
    Sun,
    /// A list that reaches into daylight.
    Daylight,
    /// A body in the morning sky: when to stop.
    MorningStop {
        /// Mercury or Venus.
        body: Body,
        /// When to stop.
        stop: DateTime<Utc>,
        /// When the Sun comes.
        sunrise: DateTime<Utc>,
    },
    /// A body low in the evening twilight near the Sun: begin after sunset.
    EveningStart {
        /// Mercury or Venus.
        body: Body,
        /// When the Sun is gone.
        sunset: DateTime<Utc>,
    },
    /// Dark terrace.
    Terrace,
}
