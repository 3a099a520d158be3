//! How many people get a look, and how long they wait.
//!
//! A look takes as long as the organiser reckons; the Earth turns meanwhile, so after some looks the helper brings the target
//! back, and each new target has to be found.

use chrono::{DateTime, Utc};

use crate::plan::session::answer::{Queue, Turn};
use crate::workshop::Helper;

/// Share of the way across the field over which a target is well seen. The project's own choice: the edge is soft.
const GOOD_SHARE: f64 = 0.6;

/// Bringing a target back, and finding a new one, s. Common practice, no source.
fn recentring_s(helper: Helper) -> f64 {
    match helper {
        Helper::Practised => 10.0,
        Helper::New => 20.0,
    }
}

fn pointing_s(helper: Helper) -> f64 {
    match helper {
        Helper::Practised => 120.0,
        Helper::New => 240.0,
    }
}

/// Of one telescope over its turns.
pub(super) fn of_station(
    turns: &[Turn],
    helper: Helper,
    seconds_per_look: f64,
    visitors: u32,
) -> Queue {
    let of_turn = |turn: &Turn| {
        let recentre_s = recentre_s(turn.shown.drift_s, helper, seconds_per_look);
        let open_s = (seconds(turn.from, turn.until) - pointing_s(helper)).max(0.0);
        let looks = (open_s / (seconds_per_look + recentre_s)).floor();
        (looks, recentre_s)
    };
    let turns: Vec<(f64, f64)> = turns.iter().map(of_turn).collect();
    let looks: f64 = turns.iter().map(|(looks, _)| looks).sum();
    let spent_s: f64 = turns
        .iter()
        .map(|(looks, recentre_s)| looks * recentre_s)
        .sum();
    let recentre_s = if looks > 0.0 { spent_s / looks } else { 0.0 };
    Queue {
        seconds_per_look,
        recentre_s,
        pointing_s: pointing_s(helper),
        looks_per_hour: match looks > 0.0 {
            true => 3600.0 / (seconds_per_look + recentre_s),
            false => 0.0,
        },
        ..people(looks as u32, visitors)
    }
}

/// All telescopes together; waits are set by [`shared`].
pub(super) fn of_session(
    queues: &[(Queue, usize)],
    seconds_per_look: f64,
    open: Option<(DateTime<Utc>, DateTime<Utc>)>,
    visitors: u32,
) -> Queue {
    let looks: u32 = queues.iter().map(|(queue, _)| queue.looks).sum();
    let mean = |of: fn(&Queue) -> f64, weight: fn(&(Queue, usize)) -> f64| {
        let weights: f64 = queues.iter().map(weight).sum();
        let sum: f64 = queues
            .iter()
            .map(|queue| weight(queue) * of(&queue.0))
            .sum();
        if weights > 0.0 { sum / weights } else { 0.0 }
    };
    let hours = open.map_or(0.0, |(from, until)| seconds(from, until) / 3600.0);
    let queue = Queue {
        seconds_per_look,
        recentre_s: mean(|queue| queue.recentre_s, |(queue, _)| queue.looks.into()),
        pointing_s: mean(|queue| queue.pointing_s, |(_, n_turns)| *n_turns as f64),
        looks_per_hour: if hours > 0.0 {
            f64::from(looks) / hours
        } else {
            0.0
        },
        ..people(looks, visitors)
    };
    let n_open = queues.iter().filter(|(queue, _)| queue.looks > 0).count();
    Queue {
        expected_wait_min: wait_min(&queue, n_open, visitors),
        ..queue
    }
}

/// The wait at one of so many open telescopes over which the visitors spread.
pub(super) fn shared(queue: Queue, n_open: usize, visitors: u32) -> Queue {
    Queue {
        expected_wait_min: wait_min(&queue, n_open, visitors),
        ..queue
    }
}

/// With V visitors in N lines everybody stands behind V/N - 1 others.
fn wait_min(queue: &Queue, n_open: usize, visitors: u32) -> f64 {
    if queue.looks == 0 || n_open == 0 {
        return 0.0;
    }
    let ahead = (f64::from(visitors) / n_open as f64 - 1.0).max(0.0);
    ahead * (queue.seconds_per_look + queue.recentre_s) / 60.0
}

/// Added to each look: one recentring for as many looks as the drift allows, at least one each.
fn recentre_s(drift_s: Option<f64>, helper: Helper, seconds_per_look: f64) -> f64 {
    let Some(drift_s) = drift_s else { return 0.0 };
    let looks = (GOOD_SHARE * drift_s / seconds_per_look).floor().max(1.0);
    recentring_s(helper) / looks
}

fn people(looks: u32, visitors: u32) -> Queue {
    Queue {
        seconds_per_look: 0.0,
        recentre_s: 0.0,
        pointing_s: 0.0,
        looks_per_hour: 0.0,
        looks,
        served: looks.min(visitors),
        looks_per_visitor: f64::from(looks) / f64::from(visitors.max(1)),
        expected_wait_min: 0.0,
    }
}

fn seconds(from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
    (until - from).num_milliseconds() as f64 / 1000.0
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
}
