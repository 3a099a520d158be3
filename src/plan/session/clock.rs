//! The window on the clock of the place, and the slots in it.

use chrono::{DateTime, DurationRound, NaiveTime, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::plan::clock_window::showings_in_night;
use crate::plan::local::showings;
use crate::plan::put_out::AIMING;
use crate::plan::refusal::{NoHours, NoSession};
use crate::plan::session::ask::Ask;
use crate::plan::session::candidates::CLOSE;
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
    /// When the file says that they meet, where that is not of this window.
    pub(super) other_gather: Option<NaiveTime>,
    pub(super) decide: Option<DateTime<Utc>>,
    pub(super) slots: Vec<TimeSpan>,
    /// End of the last slot that the window holds.
    pub(super) closes: DateTime<Utc>,
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
        let slots = slots(from, until, ask.slot_minutes)?;
        Ok(Clock {
            from,
            until,
            gather: stated_gather.unwrap_or(from - GATHER_BEFORE),
            stated_gather,
            other_gather: evening.gather.filter(|_| stated_gather.is_none()),
            decide: decide.transpose()?,
            closes: slots[slots.len() - 1].until,
            slots,
        })
    }

    /// The same with slots that end at a morning's stop, where that falls among them: nothing is shown after it, and what comes
    /// up late has all its minutes before it. The first slot is longer by what is left over.
    pub(super) fn ending_at(self, stop: DateTime<Utc>) -> Clock {
        let length = self.slots[0].until - self.slots[0].from;
        let is_among_slots = |end: &DateTime<Utc>| self.from + length <= *end && *end < self.closes;
        let whole_minute = (stop - CLOSE).duration_trunc(TimeDelta::minutes(1));
        let Some(end) = whole_minute.ok().filter(is_among_slots) else {
            return self;
        };
        let n_slots = (end - self.from).num_seconds() / length.num_seconds();
        let from_end = |idx: i64| TimeSpan {
            from: end - length * (idx as i32 + 1),
            until: end - length * idx as i32,
        };
        let mut slots: Vec<TimeSpan> = (0..n_slots).rev().map(from_end).collect();
        slots[0].from = self.from;
        Clock { slots, ..self }
    }

    /// Where the evening would end with that slot; the last one but for a morning's stop later.
    pub(super) fn closes_at(&self, slot: usize) -> DateTime<Utc> {
        match slot + 1 == self.slots.len() {
            true => self.closes,
            false => self.slots[slot].until,
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 03:30 to 06:30 in quarters of an hour, and a stop at 06:10 and some seconds.
    #[test]
    fn slots_of_a_morning_end_at_its_stop() {
        let at = |time: &str| {
            format!("2027-03-13T{time}Z")
                .parse::<DateTime<Utc>>()
                .expect("an instant")
        };
        let whole = || {
            let slots = slots(at("03:30:00"), at("06:30:00"), 15).expect("slots");
            Clock {
                from: at("03:30:00"),
                until: at("06:30:00"),
                gather: at("03:15:00"),
                stated_gather: None,
                other_gather: None,
                decide: None,
                closes: slots[slots.len() - 1].until,
                slots,
            }
        };
        let stopped = |stop: &str| whole().ending_at(at(stop)).slots;
        for (stop, end, first_until, n_slots) in [
            ("06:10:07", "06:10:00", "03:55:00", 10),
            ("06:10:02", "06:09:00", "03:54:00", 10),
            ("06:15:30", "06:15:00", "03:45:00", 11),
            ("03:45:30", "03:45:00", "03:45:00", 1),
        ] {
            let slots = stopped(stop);
            assert_eq!(slots.len(), n_slots, "{stop}");
            assert_eq!(
                (slots[0].from, slots[0].until),
                (at("03:30:00"), at(first_until))
            );
            assert_eq!(slots[n_slots - 1].until, at(end));
            let follow =
                |pair: &[TimeSpan]| pair[0].until == pair[1].from && pair[1].minutes() == 15.0;
            assert!(slots.windows(2).all(follow), "{slots:?}");
        }
        // Before the first slot is over, or after the last: as it was.
        for stop in ["02:00:00", "03:44:00", "06:31:00", "09:00:00"] {
            assert_eq!(stopped(stop), whole().slots, "{stop}");
        }
    }
}
