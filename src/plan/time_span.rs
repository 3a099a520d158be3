//! A stretch of time between two instants.

use chrono::{DateTime, Utc};

use crate::sky::almanac::Span;
use crate::sky::time::{tt_days, utc_from_tt};

/// A stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimeSpan {
    /// Its start, included.
    pub from: DateTime<Utc>,
    /// Its end, later; not included.
    pub until: DateTime<Utc>,
}

impl TimeSpan {
    /// Length in minutes.
    pub fn minutes(&self) -> f64 {
        (self.until - self.from).num_seconds() as f64 / 60.0
    }

    /// Half way.
    pub fn middle(&self) -> DateTime<Utc> {
        self.from + (self.until - self.from) / 2
    }

    /// The same for the sky, which counts days of TT since J2000.0.
    pub(super) fn of_sky(&self) -> Span {
        Span {
            from_tt_days: tt_days(self.from),
            until_tt_days: tt_days(self.until),
        }
    }
}

/// An instant of a night's span in UTC.
pub(super) fn utc(at: f64) -> DateTime<Utc> {
    utc_from_tt(at).expect("every instant of the span came from UTC")
}

impl From<Span> for TimeSpan {
    fn from(span: Span) -> TimeSpan {
        TimeSpan {
            from: utc(span.from_tt_days),
            until: utc(span.until_tt_days),
        }
    }
}
