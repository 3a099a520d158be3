//! When a telescope has to be outside to be cool and aimed at its first look.

use chrono::{DateTime, DurationRound, TimeDelta, Utc};

use crate::plan::sun::SunTimes;
use crate::plan::tube::CoolDown;

/// When a telescope has to be outside to be cool and aimed at its first look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PutOut {
    /// At the latest, in still air; whole ten minutes, unless people meet too late for that.
    pub by: DateTime<Utc>,
    /// The Sun is still up then.
    pub by_day: bool,
    /// How long it takes, and from what.
    pub cooling: CoolDown,
}

/// Aiming both mirrors with a cap and a dot. Common practice, no source.
pub(super) const AIMING: TimeDelta = TimeDelta::minutes(10);

/// How long before its first look a telescope is outside: as long as it cools in still air and is then aimed.
pub(super) fn lead(cooling: CoolDown) -> TimeDelta {
    TimeDelta::seconds((60.0 * cooling.still_air_min) as i64) + AIMING
}

/// The first look less the time to cool and to aim, rounded down.
pub(super) fn put_out(
    cooling: Option<CoolDown>,
    first_look: Option<DateTime<Utc>>,
    sun: &SunTimes,
) -> Option<PutOut> {
    let cooling = cooling?;
    let by = first_look? - lead(cooling);
    Some(PutOut::at(to_ten_minutes(by), cooling, sun))
}

/// Whole ten minutes, rounded down.
pub(super) fn to_ten_minutes(by: DateTime<Utc>) -> DateTime<Utc> {
    by.duration_trunc(TimeDelta::minutes(10)).unwrap_or(by)
}

impl PutOut {
    pub(super) fn at(by: DateTime<Utc>, cooling: CoolDown, sun: &SunTimes) -> PutOut {
        PutOut {
            by,
            by_day: sun.set.map_or(sun.up_at_noon, |set| by < set),
            cooling,
        }
    }
}
