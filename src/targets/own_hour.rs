//! The hour of a night at which one detail shows best, where that is another than its body's: a faint moon waits for the
//! dark, a spot comes round, a crater's Sun rises.

use std::cell::RefCell;

use crate::sky::almanac::Span;
use crate::sky::time::{tt_from_utc_days, utc_from_tt_days};
use crate::targets::chain::{Chain, Glaring};
use crate::targets::grade::{PLAIN_FROM, SAME_TO_ANYONE};
use crate::targets::middling::middling_telescope;
use crate::targets::sight::{Sight, Today};
use crate::targets::when::Tonight;
use crate::units::{HOURS_PER_DAY, MINUTES_PER_DAY};

/// Between the instants tried in the windows of a detail.
const STEP_DAYS: f64 = 15.0 / MINUTES_PER_DAY;

/// The same in a night in which it never stands well.
const LONG_STEP_DAYS: f64 = 1.0 / HOURS_PER_DAY;

/// Nobody waits for more than this, not with a mirror half as large either.
const SURE_ENOUGH: f64 = 6.0 * PLAIN_FROM;

/// A body's night through a middling telescope in typical air, instant by instant, each worked out when first asked for.
///
/// In poor air most of what has an hour of its own is out of reach at any; so this is not the yardstick's.
pub(super) struct OwnHours<'a> {
    tonight: &'a Tonight<'a>,
    chains: RefCell<Vec<(f64, Chain)>>,
}

impl<'a> OwnHours<'a> {
    pub(super) fn of(tonight: &'a Tonight<'a>) -> Self {
        OwnHours {
            tonight,
            chains: RefCell::default(),
        }
    }

    /// When in those spans something shows best: of all hours between which nobody would notice a difference, the nearest to
    /// the body's own. Without spans, in all of the night. `None` where it is never there.
    pub(super) fn best(
        &self,
        spans: &[Span],
        today_at: &dyn Fn(f64) -> Option<Today>,
    ) -> Option<f64> {
        let look = self.tonight.at_tt_days;
        let stands_well = !spans.is_empty();
        let (spans, instants) = match stands_well {
            true => (spans, quarters as fn(&Span) -> Vec<f64>),
            false => (self.tonight.stretches, hourly as fn(&Span) -> Vec<f64>),
        };
        let is_seen_then = spans.iter().any(|span| span.contains(look));
        let at_look = is_seen_then.then(|| today_at(look)).flatten();
        // The hour of the body was chosen for markings in their good light.
        let is_marking = |today: &Today| matches!(today.sight, Sight::Marking { .. });
        if stands_well && at_look.as_ref().is_some_and(is_marking) {
            return Some(look);
        }
        let others = spans.iter().flat_map(instants);
        let tried: Vec<(f64, f64)> = (at_look.into_iter().map(|today| (look, today)))
            .chain(others.filter_map(|at| Some((at, today_at(at)?))))
            .map(|(at, today)| (at, self.seen(at, &today)))
            .collect();
        let most = tried.iter().map(|(_, seen)| *seen).fold(0.0, f64::max);
        let serving = (tried.iter()).filter(|(_, seen)| SAME_TO_ANYONE * most <= *seen);
        let away = |at: f64| (at - look).abs();
        (serving.map(|(at, _)| *at)).min_by(|a, b| away(*a).total_cmp(&away(*b)))
    }

    /// Of several windows those in which something shows at least half as well as in the best of them, and when it shows best
    /// of `best`, which is in one of them, and the middles of all.
    pub(super) fn worth_a_look(
        &self,
        best: f64,
        mut windows: Vec<Span>,
        today_at: &dyn Fn(f64) -> Option<Today>,
    ) -> (f64, Vec<Span>) {
        let seen = |at: f64| today_at(at).map_or(0.0, |today| self.seen(at, &today));
        let middle = |span: &Span| 0.5 * (span.from_tt_days + span.until_tt_days);
        let in_window = |span: &Span| match span.contains(best) {
            true => (best, seen(best)),
            false => (middle(span), seen(middle(span))),
        };
        let most = (windows.iter().map(in_window))
            .reduce(|a, b| if a.1 < b.1 { b } else { a })
            .unwrap_or((best, 0.0));
        windows.retain(|span| 0.5 * most.1 <= in_window(span).1);
        (most.0, windows)
    }

    fn seen(&self, at: f64, today: &Today) -> f64 {
        let mut chains = self.chains.borrow_mut();
        let known = chains.iter().position(|(then, _)| *then == at);
        let idx = known.unwrap_or_else(|| {
            let hours = self.tonight.hours;
            let chain = middling_telescope(&hours.hour(at), hours.seeing_zenith_arcsec());
            chains.push((at, chain));
            chains.len() - 1
        });
        let glaring = Glaring::of(self.tonight.seen);
        let visibility = chains[idx].1.best_visibility(today, Some(&glaring));
        visibility.min(SURE_ENOUGH)
    }
}

/// The clock's full quarters in a span, which are the same for all spans of a night; its middle, where it holds none.
fn quarters(span: &Span) -> Vec<f64> {
    let first = (utc_from_tt_days(span.from_tt_days) / STEP_DAYS).ceil() as i64;
    let last = (utc_from_tt_days(span.until_tt_days) / STEP_DAYS).floor() as i64;
    let at = |step: i64| tt_from_utc_days(step as f64 * STEP_DAYS);
    match first <= last {
        true => (first..=last).map(at).collect(),
        false => vec![0.5 * (span.from_tt_days + span.until_tt_days)],
    }
}

/// Both ends of a span and hours between.
fn hourly(span: &Span) -> Vec<f64> {
    span.instants(LONG_STEP_DAYS).collect()
}
