//! When a mirror has to be outside to be cool at its first look.

use chrono::{DateTime, DurationRound, TimeDelta, Utc};

use crate::plan::outlook::Target;
use crate::plan::sun::SunTimes;
use crate::plan::tube::CoolDown;

/// When a telescope has to be outside to be cool at its first look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PutOut {
    /// At the latest, in still air; whole ten minutes.
    pub by: DateTime<Utc>,
    /// The Sun is still up then.
    pub by_day: bool,
    /// How long it takes, and from what.
    pub cooling: CoolDown,
}

/// The first look less the time to cool, rounded down.
pub(super) fn put_out(
    cooling: Option<CoolDown>,
    targets: &[Target],
    sun: &SunTimes,
) -> Option<PutOut> {
    let cooling = cooling?;
    let first_look = targets.first()?.outlook.stretches[0].from;
    let by = first_look - TimeDelta::seconds((60.0 * cooling.still_air_min) as i64);
    let by = by.duration_trunc(TimeDelta::minutes(10)).unwrap_or(by);
    Some(PutOut {
        by,
        by_day: sun.set.map_or(sun.up_at_noon, |set| by < set),
        cooling,
    })
}
