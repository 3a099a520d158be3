//! When of a night a detail is there: a spot that the planet carries across, a crater whose sunrise goes
//! on, a moon's shadow that comes and goes.
//!
//! Within one night only rotation and the Sun over the Moon change a body's face; they are carried
//! from the one look that was computed exactly ([`Appearance::turned`]).

use crate::sky::almanac::{CIVIL_TWILIGHT_DEG, NAUTICAL_TWILIGHT_DEG, Span};
use crate::sky::earth_shadow::EarthShadow;
use crate::sky::moons::view::SatelliteView;
use crate::sky::satellite_events::SatelliteEventKind;
use crate::sky::spans::common;
use crate::sky::{Appearance, Body};
use crate::targets::conditions::{
    Told, is_turned_away, outside_good_light_deg, passage_kind, passages_of, shows_tonight,
};
use crate::targets::details::{Detail, Shape};
use crate::targets::look::Hour;
use crate::units::MINUTES_PER_DAY;

/// Ten minutes: no window is shorter that is worth a line.
const STEP_DAYS: f64 = 10.0 / MINUTES_PER_DAY;

/// Half a minute.
const TOLERANCE_DAYS: f64 = 0.5 / MINUTES_PER_DAY;

/// What the place's sky says of the hours of a night.
pub trait Hours {
    /// Toward the body at an instant of the night, days of TT since J2000.0.
    fn hour(&self, tt_days: f64) -> Hour;
    /// When the Sun's centre is lower than that, degrees.
    fn with_sun_below(&self, altitude_deg: f64) -> Vec<Span>;
    /// While a part of the Moon is in the Earth's umbra.
    fn umbral(&self) -> Vec<Span>;
    /// The body's moons then.
    fn moons(&self, tt_days: f64) -> Vec<SatelliteView>;
    /// FWHM at the zenith, 550 nm, arcseconds: typical.
    fn seeing_zenith_arcsec(&self) -> f64;
}

/// A body at one instant of a night, and the stretches in which it can be looked at.
#[derive(Clone, Copy)]
pub struct Tonight<'a> {
    /// How it looked.
    pub seen: &'a Appearance,
    /// When, days of TT since J2000.0.
    pub at_tt_days: f64,
    /// In order.
    pub stretches: &'a [Span],
    /// Air and sky at other instants.
    pub hours: &'a dyn Hours,
}

impl Tonight<'_> {
    /// How it looks at another instant of the night.
    pub fn seen_at(&self, tt_days: f64) -> Appearance {
        let turned = self.seen.turned(tt_days - self.at_tt_days);
        if turned.body != Body::Moon || self.hours.umbral().is_empty() {
            return turned;
        }
        Appearance {
            shadow: EarthShadow::on_the_moon(tt_days),
            ..turned
        }
    }

    /// When a detail shows well: in its good light, on the side turned to us, while its passage lasts; the stretches
    /// themselves for what neither comes nor goes. Outside it may still show, less and less.
    pub fn spans_of(&self, detail: &Detail, told: &Told) -> Vec<Span> {
        if passage_kind(detail.shape).is_some() {
            let passages = passages_of(detail, told);
            return passages
                .flat_map(|passage| common(self.stretches, &[passage]))
                .collect();
        }
        if detail.shape == Shape::Glow {
            // A night side is not there from sunset on, as the lit one is.
            let sun_deg = night_side_from_deg(self.seen.illuminated_fraction);
            return common(self.stretches, &self.hours.with_sun_below(sun_deg));
        }
        let mut hidden = hidden_spans(detail, told);
        if detail.body == Body::Moon && !detail.shape.is_of_an_eclipse() {
            hidden.extend(self.hours.umbral());
        }
        if !comes_and_goes(detail) && hidden.is_empty() {
            return self.stretches.to_vec();
        }
        let is_there = |tt_days: f64| {
            let seen = || self.seen_at(tt_days);
            !hidden.iter().any(|span| span.contains(tt_days))
                && (!comes_and_goes(detail)
                    || outside_good_light_deg(detail, &seen(), told) == 0.0
                        && shows_tonight(detail, &seen(), told).is_ok())
        };
        let stretches = self.stretches.iter();
        stretches
            .flat_map(|stretch| spans_within(*stretch, &is_there))
            .collect()
    }

    /// When it is turned to us and to the Sun and not in the Earth's shadow, in whatever light, for longer than a moment.
    pub(super) fn spans_there(&self, detail: &Detail, told: &Told) -> Vec<Span> {
        let umbral = match detail.body {
            Body::Moon => self.hours.umbral(),
            _ => Vec::new(),
        };
        let is_there = |at: f64| {
            !umbral.iter().any(|span| span.contains(at))
                && !is_turned_away(detail, &self.seen_at(at), told)
        };
        let stretches = self.stretches.iter();
        stretches
            .flat_map(|stretch| spans_within(*stretch, &is_there))
            .filter(|span| STEP_DAYS <= span.days())
            .collect()
    }
}

/// How far down the Sun is when the night side of a Moon lit so far comes out: as the first stars beside a thin crescent, as
/// the faint ones from two fifths on. Common practice, no source.
fn night_side_from_deg(lit: f64) -> f64 {
    let share = (lit / 0.4).min(1.0);
    CIVIL_TWILIGHT_DEG + share * (NAUTICAL_TWILIGHT_DEG - CIVIL_TWILIGHT_DEG)
}

/// Whether rotation or a moving Sun decides.
fn comes_and_goes(detail: &Detail) -> bool {
    let conditions = &detail.conditions;
    let sun = conditions.good_sun_deg;
    detail.shape.is_of_an_eclipse()
        || conditions.good_window_deg.is_some()
        || sun.least.is_some()
        || sun.most.is_some()
}

/// When a moon of Jupiter is no spark beside it: before it, behind it, in its shadow.
fn hidden_spans(detail: &Detail, told: &Told) -> Vec<Span> {
    if detail.shape != Shape::Point || detail.satellite.is_none() {
        return Vec::new();
    }
    let of_it = told.passages.iter().filter(|passage| {
        Some(passage.satellite) == detail.satellite && passage.kind != SatelliteEventKind::Shadow
    });
    of_it.map(|passage| passage.span).collect()
}

/// The parts of a stretch in which something holds, each edge to half a minute; parts shorter than
/// ten minutes may be missed.
fn spans_within(stretch: Span, holds: &dyn Fn(f64) -> bool) -> Vec<Span> {
    let days = stretch.days();
    let n_steps = (days / STEP_DAYS).ceil().max(1.0) as usize;
    let at = |step: usize| stretch.from_tt_days + days * step as f64 / n_steps as f64;
    let mut spans = Vec::new();
    let mut open = holds(at(0)).then_some(at(0));
    for step in 1..=n_steps {
        match (open, holds(at(step))) {
            (None, true) => open = Some(edge(at(step - 1), at(step), holds)),
            (Some(from_tt_days), false) => {
                spans.push(Span {
                    from_tt_days,
                    until_tt_days: edge(at(step - 1), at(step), holds),
                });
                open = None;
            }
            _ => {}
        }
    }
    spans.extend(open.map(|from_tt_days| Span {
        from_tt_days,
        until_tt_days: stretch.until_tt_days,
    }));
    spans
}

/// Where between two instants the answer changes.
fn edge(mut before: f64, mut after: f64, holds: &dyn Fn(f64) -> bool) -> f64 {
    let at_first = holds(before);
    while TOLERANCE_DAYS < after - before {
        let middle = 0.5 * (before + after);
        if holds(middle) == at_first {
            before = middle;
        } else {
            after = middle;
        }
    }
    0.5 * (before + after)
}
