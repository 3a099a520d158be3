//! When the Sun sets and rises, and the twilights between.

use chrono::{DateTime, Utc};

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

/// The Sun passing one of the twilights' altitudes.
#[derive(Debug, Clone, PartialEq)]
pub struct Twilight {
    /// Going down.
    pub dusk: Option<DateTime<Utc>>,
    /// Coming up.
    pub dawn: Option<DateTime<Utc>>,
}
