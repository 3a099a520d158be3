//! The window on the clock of the place, and the slots in it.

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::plan::clock_window::showings_in_night;
use crate::plan::local::showings;
use crate::plan::put_out::AIMING;
use crate::plan::refusal::{NoHours, NoSession};
use crate::plan::session::ask::Ask;
use crate::plan::time_span::TimeSpan;
use crate::workshop::EveningRules;

/// People meet so long before the first look where nothing is settled. Common practice, no source.
const GATHER_BEFORE: TimeDelta = TimeDelta::minutes(15);

/// Nobody waits longer for the first look: hours stated for an evening do not hold for a morning. The project's own choice.
const LONGEST_GATHERING: TimeDelta = TimeDelta::hours(5);

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
    pub(super) slots: Vec<TimeSpan>,
}

impl Clock {
    pub(super) fn of(ask: &Ask, evening: &EveningRules, zone: Tz) -> Result<Clock, NoSession> {
        let TimeSpan { from, until } = ask.window.on(ask.on, zone)?;
        let tonight = |time| Ok::<_, NoHours>(showings_in_night(time, ask.on, zone)?.0);
        let stated_gather = evening.gather.map(tonight).transpose()?;
        // Whoever meets after the first look, or half a night before it, means another evening.
        let is_of_this =
            |gather: &DateTime<Utc>| (from - LONGEST_GATHERING..=from).contains(gather);
        let stated_gather = stated_gather.filter(is_of_this);
        // The weather is judged in that night, or in the morning before it.
        let decide = evening.decide_at.map(|time| {
            let tonight = tonight(time)?;
            let in_the_morning = || Some(showings(ask.on.and_time(time), zone)?.0);
            Ok::<_, NoHours>(match tonight <= from {
                true => tonight,
                false => in_the_morning().unwrap_or(tonight),
            })
        });
        Ok(Clock {
            from,
            until,
            gather: stated_gather.unwrap_or(from - GATHER_BEFORE),
            stated_gather,
            decide: decide.transpose()?,
            slots: slots(from, until, ask.slot_minutes)?,
        })
    }

    /// The first slot in which telescopes that people put out when they meet are aimed.
    pub(super) fn aimed_from(&self) -> usize {
        let is_aimed = |slot: &TimeSpan| {
            let gather = self.stated_gather;
            gather.is_none_or(|gather| gather + AIMING <= slot.from)
        };
        (self.slots.iter().position(is_aimed)).unwrap_or(self.slots.len())
    }
}

fn slots(
    from: DateTime<Utc>,
    until: DateTime<Utc>,
    minutes: u32,
) -> Result<Vec<TimeSpan>, NoSession> {
    let minutes = i64::from(minutes.max(1));
    let n_slots = (until - from).num_minutes() / minutes;
    match n_slots {
        0 => Err(NoSession::WindowTooShort {
            slot_minutes: minutes as u32,
        }),
        n if n > MOST_SLOTS => Err(NoSession::TooManySlots {
            slots: n as usize,
            most: MOST_SLOTS as usize,
        }),
        _ => Ok((0..n_slots)
            .map(|idx| TimeSpan {
                from: from + TimeDelta::minutes(idx * minutes),
                until: from + TimeDelta::minutes((idx + 1) * minutes),
            })
            .collect()),
    }
}
