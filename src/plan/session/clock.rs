//! The window on the clock of the place, and the slots in it.

use chrono::{
    DateTime, Days, LocalResult, NaiveDate, NaiveTime, TimeDelta, TimeZone, Timelike, Utc,
};
use chrono_tz::Tz;

use crate::plan::refusal::NoNight;
use crate::plan::session::answer::Slot;
use crate::plan::session::ask::{Ask, Refused};
use crate::workshop::EveningRules;

/// People meet so long before the first look where nothing is settled. Common practice, no source.
const GATHER_BEFORE: TimeDelta = TimeDelta::minutes(15);

/// Ten hours of slots of three minutes.
const MOST_SLOTS: i64 = 200;

/// When it begins, ends, and is called off.
pub(super) struct Clock {
    pub(super) from: DateTime<Utc>,
    pub(super) until: DateTime<Utc>,
    pub(super) gather: DateTime<Utc>,
    /// When people meet, where the file says so.
    pub(super) stated_gather: Option<DateTime<Utc>>,
    pub(super) decide: Option<DateTime<Utc>>,
    pub(super) slots: Vec<Slot>,
}

impl Clock {
    pub(super) fn of(ask: &Ask, evening: &EveningRules, zone: Tz) -> Result<Clock, Refused> {
        let local = Local { zone, on: ask.on };
        let from = local.instant(ask.from)?;
        let mut until = local.instant(ask.until)?;
        if until <= from {
            until = local.next_day()?.instant(ask.until)?;
        }
        let stated_gather = evening
            .gather
            .map(|gather| local.instant(gather))
            .transpose()?;
        // Whoever meets after the first look means another evening.
        let stated_gather = stated_gather.filter(|gather| *gather <= from);
        let decide = evening.decide_at.map(|time| local.at_or_before(time, from));
        Ok(Clock {
            from,
            until,
            gather: stated_gather.unwrap_or(from - GATHER_BEFORE),
            stated_gather,
            decide: decide.transpose()?,
            slots: slots(from, until, ask.slot_minutes)?,
        })
    }
}

fn slots(from: DateTime<Utc>, until: DateTime<Utc>, minutes: u32) -> Result<Vec<Slot>, Refused> {
    let minutes = i64::from(minutes.max(1));
    let n_slots = (until - from).num_minutes() / minutes;
    match n_slots {
        0 => Err(Refused::WindowTooShort),
        n if n > MOST_SLOTS => Err(Refused::TooManySlots { slots: n as usize }),
        _ => Ok((0..n_slots)
            .map(|idx| Slot {
                from: from + TimeDelta::minutes(idx * minutes),
                until: from + TimeDelta::minutes((idx + 1) * minutes),
            })
            .collect()),
    }
}

/// The night that begins on a date.
#[derive(Clone, Copy)]
struct Local {
    zone: Tz,
    on: NaiveDate,
}

impl Local {
    fn next_day(self) -> Result<Local, Refused> {
        let next = self.on.checked_add_days(Days::new(1));
        Ok(Local {
            on: next.ok_or(Refused::Night(NoNight::OutsideEphemeris))?,
            ..self
        })
    }

    /// A time of that night: before noon it is the next day's.
    fn instant(self, time: NaiveTime) -> Result<DateTime<Utc>, Refused> {
        let day = if time.hour() < 12 {
            self.next_day()?
        } else {
            self
        };
        day.of_the_day(time)
    }

    /// The last such time before an instant: the weather is judged on the same day or in the morning before.
    fn at_or_before(self, time: NaiveTime, limit: DateTime<Utc>) -> Result<DateTime<Utc>, Refused> {
        let tonight = self.instant(time)?;
        if tonight <= limit {
            Ok(tonight)
        } else {
            self.of_the_day(time)
        }
    }

    fn of_the_day(self, time: NaiveTime) -> Result<DateTime<Utc>, Refused> {
        let refused = |twice| Refused::NoSuchTime { time, twice };
        match self.zone.from_local_datetime(&self.on.and_time(time)) {
            LocalResult::Single(at) => Ok(at.to_utc()),
            LocalResult::Ambiguous(..) => Err(refused(true)),
            LocalResult::None => Err(refused(false)),
        }
    }
}
