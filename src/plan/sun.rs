//! When the Sun sets and rises, and the twilights between.

use chrono::{DateTime, Utc};

use crate::plan::time_span::TimeSpan;

/// First event of each kind in the window; `None` when it does not happen.
#[derive(Debug, Clone, PartialEq)]
pub struct SunTimes {
    /// Upper limb on the horizon.
    pub set: Option<DateTime<Utc>>,
    /// Upper limb on the horizon.
    pub rise: Option<DateTime<Utc>>,
    /// Sun at -6, -12, -18 degrees: civil, nautical, astronomical.
    pub twilights: [Twilight; 3],
    /// Whether it is above the horizon when nothing happens at all.
    pub up_at_noon: bool,
}

/// What becomes of the Sun between two noons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SunCourse {
    /// Above the horizon all the time.
    NeverSets,
    /// Below it.
    NeverRises,
    /// One of the two at least.
    Crosses {
        /// The first.
        set: Option<DateTime<Utc>>,
        /// The first.
        rise: Option<DateTime<Utc>>,
    },
}

impl SunTimes {
    /// Whether it crosses the horizon, and when.
    pub fn course(&self) -> SunCourse {
        match (self.set, self.rise) {
            (None, None) if self.up_at_noon => SunCourse::NeverSets,
            (None, None) => SunCourse::NeverRises,
            (set, rise) => SunCourse::Crosses { set, rise },
        }
    }

    /// From the end of astronomical dusk to its dawn; `None` where one of the two does not come.
    pub fn dark(&self) -> Option<TimeSpan> {
        let [_, _, astronomical] = &self.twilights;
        Some(TimeSpan {
            from: astronomical.dusk?,
            until: astronomical.dawn?,
        })
    }
}

/// The Sun passing one of the twilights' altitudes.
#[derive(Debug, Clone, PartialEq)]
pub struct Twilight {
    /// Going down.
    pub dusk: Option<DateTime<Utc>>,
    /// Coming up.
    pub dawn: Option<DateTime<Utc>>,
}
