//! What happens while an evening runs, and what becomes of the plan.

use chrono::{DateTime, NaiveTime, Utc};

use crate::plan::time_span::TimeSpan;
use crate::targets::subject::Subject;

/// What has changed, and when that was known. Whatever is said again later stands instead of what was said before.
#[derive(Debug, Clone, PartialEq)]
pub struct Upset {
    /// On the clock of the place, in the night of the evening.
    pub now: NaiveTime,
    /// The first looks come so much later than planned, minutes.
    pub late_minutes: u32,
    /// Telescopes that can no longer be used, by name.
    pub out: Vec<String>,
    /// Telescopes that can be used again.
    pub back: Vec<String>,
    /// What cloud covers, up to where the sky is overhead.
    pub clouds: Vec<Sector>,
    /// The last look, on the clock of the place.
    pub end: Option<NaiveTime>,
}

/// A part of the sky from one azimuth clockwise to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sector {
    /// From north through east, degrees, 0 to 360.
    pub from_deg: f64,
    /// Likewise; where it is less than `from_deg`, north lies within.
    pub until_deg: f64,
}

impl Sector {
    /// Whether it covers that azimuth, degrees.
    ///
    /// ```
    /// use skyworthy::plan::session::Sector;
    ///
    /// let over_north = Sector { from_deg: 300.0, until_deg: 45.0 };
    /// assert!(over_north.covers(10.0) && over_north.covers(300.0) && !over_north.covers(180.0));
    /// ```
    pub fn covers(&self, azimuth_deg: f64) -> bool {
        let from_start = |deg: f64| (deg - self.from_deg).rem_euclid(360.0);
        from_start(azimuth_deg) <= from_start(self.until_deg)
    }
}

/// How a plan was changed by the last upset.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// When that was known.
    pub now: DateTime<Utc>,
    /// The first slot that could change begins then.
    pub from: DateTime<Utc>,
    /// By what.
    pub upset: Upset,
    /// Telescopes that could not go on as planned.
    pub had_to: usize,
    /// Those whose evening is another from then on, in the file's order.
    pub telescopes: Vec<TelescopeChange>,
}

/// What becomes of one telescope's evening.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeChange {
    /// Which.
    pub telescope: String,
    /// In order of time.
    pub stretches: Vec<ChangedStretch>,
}

/// Some slots with another target than planned.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangedStretch {
    /// From when to when.
    pub span: TimeSpan,
    /// What was planned; `None`: rest.
    pub before: Option<Subject>,
    /// What is shown instead.
    pub instead: Option<Subject>,
}
