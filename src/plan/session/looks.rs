//! How many people get a look, and how long they wait: the evening look by look, from the telescopes that work then.
//!
//! A look takes as long as the organiser reckons; the Earth turns meanwhile, so after some looks the helper brings the target
//! back, and each new target has to be found. Everybody goes where the line is shortest: it is as if one line fed all
//! telescopes, and whoever is first in it takes the one that is free first. After a look one joins the line again, to the end
//! of the evening. The wait of a look is the time from joining the line to the look; the first lines form when the first
//! telescope begins.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use chrono::{DateTime, TimeDelta, Utc};

use crate::plan::session::answer::{Station, Turn};
use crate::plan::session::queue::{Queue, SlotQueue};
use crate::plan::time_span::TimeSpan;
use crate::workshop::{Arrival, Helper};

/// Share of the way across the field over which a target is well seen. The project's own choice: the edge is soft.
const GOOD_SHARE: f64 = 0.6;

/// Bringing a target back, and finding a new one, s. Common practice, no source.
fn recentring_s(helper: Helper) -> f64 {
    match helper {
        Helper::Practised => 10.0,
        Helper::New => 20.0,
    }
}

pub(super) fn pointing_s(helper: Helper) -> f64 {
    match helper {
        Helper::Practised => 120.0,
        Helper::New => 240.0,
    }
}

/// What is asked of the lines.
#[derive(Clone, Copy)]
pub(super) struct People {
    pub(super) visitors: u32,
    pub(super) arrival: Arrival,
    pub(super) seconds_per_look: f64,
}

/// The evening's looks.
pub(super) struct Looks {
    people: People,
    /// From the first turn's start to the last one's end.
    open: Option<TimeSpan>,
    /// By station.
    pointing_s: Vec<f64>,
    n_turns: Vec<usize>,
    /// As they begin.
    looks: Vec<Look>,
}

struct Look {
    station: usize,
    visitor: u32,
    at: DateTime<Utc>,
    wait_s: f64,
    recentre_s: f64,
}

/// A target in the eyepiece.
struct Opening {
    station: usize,
    from: DateTime<Utc>,
    until: DateTime<Utc>,
    recentre_s: f64,
}

impl Looks {
    pub(super) fn of(stations: &[Station], people: People) -> Looks {
        let openings = stations.iter().enumerate().flat_map(|(idx, station)| {
            let opening = move |turn: &Turn| Opening {
                station: idx,
                from: turn.from + duration(pointing_s(station.helper)),
                until: turn.until,
                recentre_s: recentre_s(turn.shown.drift_s, station.helper, people.seconds_per_look),
            };
            station.turns.iter().map(opening)
        });
        let turns = || stations.iter().flat_map(|station| &station.turns);
        let from = turns().map(|turn| turn.from).min();
        let open = from.zip(turns().map(|turn| turn.until).max());
        let open = open.map(|(from, until)| TimeSpan { from, until });
        let openings: Vec<Opening> = openings.collect();
        Looks {
            people,
            open,
            pointing_s: stations.iter().map(|of| pointing_s(of.helper)).collect(),
            n_turns: stations.iter().map(|of| of.turns.len()).collect(),
            looks: open.map_or(Vec::new(), |open| people.looks(&openings, open)),
        }
    }

    /// Of one telescope over its turns.
    pub(super) fn of_station(&self, station: usize) -> Queue {
        let queue = self.queue(|look| look.station == station);
        let look_s = queue.seconds_per_look + queue.recentre_s;
        Queue {
            pointing_s: self.pointing_s[station],
            looks_per_hour: if queue.looks > 0 {
                // A half stays a half, whoever rounds it.
                (3600.0 / look_s * 1e6).round() / 1e6
            } else {
                0.0
            },
            ..queue
        }
    }

    /// All telescopes together.
    pub(super) fn of_session(&self) -> Queue {
        let n_turns: usize = self.n_turns.iter().sum();
        let of_each = self.pointing_s.iter().zip(&self.n_turns);
        let pointing_s: f64 = of_each.map(|(each_s, n)| each_s * *n as f64).sum();
        let queue = self.queue(|_| true);
        let hours = self.open.map_or(0.0, |open| open.minutes() / 60.0);
        Queue {
            pointing_s: pointing_s / n_turns.max(1) as f64,
            looks_per_hour: if hours > 0.0 {
                f64::from(queue.looks) / hours
            } else {
                0.0
            },
            ..queue
        }
    }

    /// Those that begin in a slot.
    pub(super) fn of_slot(&self, slot: TimeSpan, n_telescopes: usize) -> SlotQueue {
        let queue = self.queue(|look| slot.from <= look.at && look.at < slot.until);
        SlotQueue {
            telescopes: n_telescopes,
            looks: queue.looks,
            wait_min: (0 < queue.looks).then_some(queue.expected_wait_min),
        }
    }

    fn queue(&self, is_meant: impl Fn(&Look) -> bool) -> Queue {
        let looks: Vec<&Look> = self.looks.iter().filter(|look| is_meant(look)).collect();
        let n_looks = looks.len().max(1) as f64;
        let mean = |of: fn(&Look) -> f64| looks.iter().map(|look| of(look)).sum::<f64>() / n_looks;
        let mut visitors: Vec<u32> = looks.iter().map(|look| look.visitor).collect();
        visitors.sort_unstable();
        visitors.dedup();
        Queue {
            seconds_per_look: self.people.seconds_per_look,
            recentre_s: mean(|look| look.recentre_s),
            looks: looks.len() as u32,
            served: visitors.len() as u32,
            looks_per_visitor: looks.len() as f64 / f64::from(self.people.visitors.max(1)),
            expected_wait_min: mean(|look| look.wait_s) / 60.0,
            ..Queue::default()
        }
    }
}

impl People {
    /// Whoever is first in line takes the telescope that is free first.
    fn looks(&self, openings: &[Opening], open: TimeSpan) -> Vec<Look> {
        let arrivals = (0..self.visitors).map(|visitor| (self.arrives(visitor, open), visitor));
        let mut line: BinaryHeap<_> = arrivals.map(Reverse).collect();
        let free = openings.iter().enumerate().map(|(idx, it)| (it.from, idx));
        let mut free: BinaryHeap<_> = free.map(Reverse).collect();
        let mut looks = Vec::new();
        while let Some(Reverse((free_at, idx))) = free.pop() {
            let Some(Reverse((joined, visitor))) = line.peek().copied() else {
                break;
            };
            let opening = &openings[idx];
            let at = free_at.max(joined);
            let end = at + duration(self.seconds_per_look + opening.recentre_s);
            if opening.until < end {
                continue;
            }
            line.pop();
            looks.push(Look {
                station: opening.station,
                visitor,
                at,
                wait_s: seconds(joined, at),
                recentre_s: opening.recentre_s,
            });
            free.push(Reverse((end, idx)));
            line.push(Reverse((end, visitor)));
        }
        looks
    }

    fn arrives(&self, visitor: u32, open: TimeSpan) -> DateTime<Utc> {
        match self.arrival {
            Arrival::Together => open.from,
            Arrival::OverTime => {
                let share = f64::from(visitor + 1) / f64::from(self.visitors + 1);
                open.from + duration(share * seconds(open.from, open.until))
            }
        }
    }
}

/// Added to each look: one recentring for as many looks as the drift allows, at least one each.
fn recentre_s(drift_s: Option<f64>, helper: Helper, seconds_per_look: f64) -> f64 {
    let Some(drift_s) = drift_s else { return 0.0 };
    let looks = (GOOD_SHARE * drift_s / seconds_per_look).floor().max(1.0);
    recentring_s(helper) / looks
}

fn seconds(from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
    (until - from).num_milliseconds() as f64 / 1000.0
}

fn duration(seconds: f64) -> TimeDelta {
    TimeDelta::milliseconds((1000.0 * seconds).round() as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(drift_s: Option<f64>, helper: Helper, want_s: f64) {
        let got_s = recentre_s(drift_s, helper, 50.0);
        assert!((got_s - want_s).abs() < 1e-12, "want {want_s}, got {got_s}");
    }

    /// By hand: 80 s is a field of 20' at the equator, of which 48 s are good: not one look of 50 s without recentring.
    #[test]
    fn recentring_by_the_drift() {
        check(Some(80.0), Helper::Practised, 10.0);
        check(Some(80.0), Helper::New, 20.0);
        check(Some(180.0), Helper::Practised, 5.0);
        check(Some(500.0), Helper::New, 20.0 / 6.0);
        check(None, Helper::New, 0.0);
    }

    /// By hand, looks of a minute. One telescope for ten minutes and three people: they wait 0, 1, 2 minutes, then 2 each time.
    /// A second telescope for the last five: from then on there is one in line, for half a minute at each look.
    #[test]
    fn lines_by_hand() {
        let at = |minutes: i64| DateTime::UNIX_EPOCH + TimeDelta::minutes(minutes);
        let opening = |station, from, until| Opening {
            station,
            from: at(from),
            until: at(until),
            recentre_s: 10.0,
        };
        let people = People {
            visitors: 3,
            arrival: Arrival::Together,
            seconds_per_look: 50.0,
        };
        let open = TimeSpan {
            from: at(0),
            until: at(10),
        };
        let waits = |people: People, openings: &[Opening]| -> Vec<f64> {
            let looks = people.looks(openings, open);
            looks.iter().map(|look| look.wait_s / 60.0).collect()
        };
        let one = [opening(0, 0, 10)];
        let two = [opening(0, 0, 10), opening(1, 5, 10)];
        assert_eq!(
            waits(people, &one),
            [0.0, 1.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0]
        );
        let both = waits(people, &two);
        assert_eq!(both.len(), 15);
        assert_eq!(both[..5], [0.0, 1.0, 2.0, 2.0, 2.0]);
        let after: f64 = both[7..].iter().sum::<f64>() / 8.0;
        assert!((after - 0.5).abs() < 0.1, "{both:?}");
        // One by one, a minute and 40 seconds, five minutes, eight minutes and 20 seconds after the first: nobody waits before there are two.
        let spread = People {
            arrival: Arrival::OverTime,
            ..people
        };
        assert_eq!(waits(spread, &one)[..3], [0.0, 0.0, 0.0]);
    }
}
