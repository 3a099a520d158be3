//! How much of its light the Earth's shadow leaves to the Moon through a night.

use crate::constants::SECONDS_PER_DAY;
use crate::sky::Body;
use crate::sky::almanac::{Almanac, Span};
use crate::sky::earth_shadow::EarthShadow;
use crate::sky::search::{Search, crossings};
use crate::sky::spans::above_zero;
use crate::sky::vector::{angle_rad, direction};
use crate::units::MINUTES_PER_DAY;

/// The Moon needs an hour for its own width.
const STEP_DAYS: f64 = 2.0 / MINUTES_PER_DAY;

/// Twenty minutes: what grazes the umbra for less is missed.
const SEARCH_STEP_DAYS: f64 = 20.0 / MINUTES_PER_DAY;

const TOLERANCE_DAYS: f64 = 1.0 / SECONDS_PER_DAY;

/// Half a day from the deepest moment the Moon stands at most so far from opposite to the Sun, degrees.
const WITHIN_DEG: f64 = 9.0;

/// The Moon's light through a night in steps.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct EclipseLight {
    from_tt_days: f64,
    /// Of the whole disc; empty without an eclipse.
    left: Vec<f64>,
    /// While a part of the Moon is in the umbra.
    pub(super) umbral: Vec<Span>,
}

impl EclipseLight {
    /// Over the span of an almanac.
    pub(super) fn of(almanac: &Almanac) -> EclipseLight {
        let span = almanac.span();
        let none = EclipseLight {
            from_tt_days: span.from_tt_days,
            left: Vec::new(),
            umbral: Vec::new(),
        };
        if !is_near_full(almanac) {
            return none;
        }
        let left = |step: usize| {
            let shadow = EarthShadow::on_the_moon(span.from_tt_days + STEP_DAYS * step as f64);
            shadow.map_or(1.0, |shadow| shadow.light_left())
        };
        let left: Vec<f64> = (0..=(span.days() / STEP_DAYS) as usize).map(left).collect();
        if left.iter().all(|left| *left == 1.0) {
            return none;
        }
        let depth =
            |tt_days: f64| EarthShadow::at(tt_days).map_or(-1.0, |it| it.umbral_magnitude());
        let search = Search {
            from: span.from_tt_days,
            until: span.until_tt_days,
            step: SEARCH_STEP_DAYS,
            tolerance: TOLERANCE_DAYS,
        };
        let at_start = 0.0 < depth(span.from_tt_days);
        EclipseLight {
            umbral: above_zero(span, &crossings(search, depth), at_start),
            left,
            ..none
        }
    }

    /// Of the whole disc, 0 to 1.
    pub(super) fn left(&self, tt_days: f64) -> f64 {
        let step = (tt_days - self.from_tt_days) / STEP_DAYS;
        if self.left.is_empty() || step < 0.0 {
            return 1.0;
        }
        let before = (step as usize).min(self.left.len() - 1);
        let after = (before + 1).min(self.left.len() - 1);
        let share = (step - before as f64).min(1.0);
        self.left[before] * (1.0 - share) + self.left[after] * share
    }
}

fn is_near_full(almanac: &Almanac) -> bool {
    let span = almanac.span();
    let middle = 0.5 * (span.from_tt_days + span.until_tt_days);
    let [moon, sun] = [Body::Moon, Body::Sun].map(|body| {
        let there = almanac.horizontal(body, middle);
        direction(there.azimuth_deg, there.altitude_deg)
    });
    180.0 - WITHIN_DEG < angle_rad(moon, sun).to_degrees()
}
