//! One target in one telescope: what the sheet says of it.

use chrono::{DateTime, Utc};

use crate::optics::eyepiece::drift_time_s;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Edge;
use crate::plan::refusal::NoNight;
use crate::plan::session::answer::{Path, ShownTarget};
use crate::plan::session::candidates::CandidateTarget;
use crate::plan::session::direction::{Direction, near_mark};
use crate::plan::session::facts::facts;
use crate::plan::session::telescopes::EveningTelescope;
use crate::plan::session::worth::HARD_TO_HOLD_DEG;
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::time::tt_days;
use crate::targets::details::{Shape, detail};
use crate::targets::subject::Seen;
use crate::targets::verdict::{Grade, Verdict, verdicts_on};
use crate::units::wrap_180_deg;
use crate::workshop::Mark;

/// What goes down so near to a mark goes behind it.
const BEHIND_DEG: f64 = 8.0;

/// Where what is said of a shown target come from.
#[derive(Clone, Copy)]
pub(super) struct Finder<'a> {
    pub(super) watch: &'a Watch<'a>,
    pub(super) onlooker: Onlooker,
    pub(super) marks: &'a [Mark],
}

impl Finder<'_> {
    /// `None` where the telescope is not judged, the target not clear from end to end, or nothing on it shows.
    pub(super) fn shown_target(
        &self,
        scope: &EveningTelescope,
        candidate: &CandidateTarget,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Result<Option<ShownTarget>, NoNight> {
        let at = from + (until - from) / 2;
        let outlook = self
            .watch
            .outlook_during(candidate.subject.clone(), TimeSpan { from, until })?;
        let (Some(instrument), Some(limits)) = (scope.instrument(), candidate.limits(from, until))
        else {
            return Ok(None);
        };
        let onlooker = scope.onlooker(self.onlooker, &outlook);
        let verdicts = verdicts_on(instrument, &outlook.look(&onlooker), &outlook.asked);
        let Some((look_for, others)) = ranked(verdicts, from) else {
            return Ok(None);
        };
        let view = instrument.views[look_for.view].clone();
        let seen = &outlook.at_best;
        let altitude_deg = seen.place().refracted_altitude_deg;
        Ok(Some(ShownTarget {
            subject: candidate.subject.clone(),
            at,
            direction: self.direction(seen),
            path: self.path(candidate, from, until)?,
            drift_s: drift_time_s(
                view.true_field_deg,
                seen.place().topocentric_declination_deg,
            ),
            eyepiece_height_m: scope.height_m(altitude_deg),
            is_hard_to_hold: HARD_TO_HOLD_DEG < altitude_deg,
            ends_behind: self.ends_behind(candidate, from, until),
            warmth: scope.warmth(at),
            facts: facts(&onlooker, instrument, &outlook, &view),
            look_for,
            others,
            limits,
            view,
            outlook,
        }))
    }
}

impl Finder<'_> {
    fn direction(&self, seen: &Seen) -> Direction {
        Direction {
            azimuth_deg: seen.place().azimuth_deg,
            altitude_deg: seen.place().refracted_altitude_deg,
            mark: near_mark(self.marks, seen.place().azimuth_deg),
        }
    }

    fn path(
        &self,
        candidate: &CandidateTarget,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Result<Path, NoNight> {
        let [start, end] = [from, until].map(|at| self.watch.seen(&candidate.subject, tt_days(at)));
        Ok(path(self.direction(&start?), self.direction(&end?)))
    }

    fn ends_behind(
        &self,
        candidate: &CandidateTarget,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Option<String> {
        let stretch = candidate.stretch(from, until)?;
        let mark = near_mark(self.marks, stretch.azimuth_until_deg)?;
        let is_behind = stretch.ends == Edge::Skyline && mark.right_of_it_deg.abs() <= BEHIND_DEG;
        is_behind.then_some(mark.name)
    }
}

/// The one thing to look for, and what else a patient eye sees.
fn ranked(mut verdicts: Vec<Verdict>, from: DateTime<Utc>) -> Option<(Verdict, Vec<Verdict>)> {
    verdicts.retain(|verdict| Grade::Fleeting <= verdict.grade.typical);
    // What is not there yet when the turn begins is told after what is.
    let comes = |verdict: &Verdict| {
        let first = verdict.during.first().and_then(Span::from_utc);
        first.map_or(from, |first| first.max(from))
    };
    verdicts.sort_by(|a, b| {
        let by_grade = b.grade.typical.cmp(&a.grade.typical);
        by_grade
            .then(is_of_an_eclipse(b).cmp(&is_of_an_eclipse(a)))
            .then(comes(a).cmp(&comes(b)))
            .then(rank(a).cmp(&rank(b)))
            .then(b.margin.typical.total_cmp(&a.margin.typical))
    });
    let mut verdicts = verdicts.into_iter();
    let first = verdicts.next()?;
    let others = verdicts.filter(|verdict| Grade::Patient <= verdict.grade.typical);
    Some((first, others.collect()))
}

/// That is what people have come for.
fn is_of_an_eclipse(verdict: &Verdict) -> bool {
    detail(&verdict.caption.id).is_some_and(|detail| detail.shape.is_of_an_eclipse())
}

/// What to tell a visitor first among things equally sure: the ring, the Moon's line of sunrise, then what is on the disc, then
/// what is beside it; that a planet is no star is seen at once. The project's own choice.
fn rank(verdict: &Verdict) -> u8 {
    let Some(detail) = detail(&verdict.caption.id) else {
        return 0;
    };
    match detail.shape {
        Shape::Ring | Shape::RingLine => 0,
        Shape::Phase if detail.body == Body::Moon => 0,
        Shape::Disc | Shape::Flattening => 4,
        Shape::Glow => 3,
        Shape::Point | Shape::Phase => 2,
        _ => 1,
    }
}

/// From one place of the sky to another: how far, and how much of that is along the horizon.
fn path(start: Direction, end: Direction) -> Path {
    let [low, high] = [&start, &end].map(|there| there.altitude_deg.to_radians());
    let turned_deg = wrap_180_deg(end.azimuth_deg - start.azimuth_deg);
    let turned = turned_deg.to_radians();
    // The haversine formula: good for small angles too.
    let across = low.cos() * high.cos() * (0.5 * turned).sin().powi(2);
    let haversine = (0.5 * (high - low)).sin().powi(2) + across;
    Path {
        moved_deg: 2.0 * haversine.sqrt().min(1.0).asin().to_degrees(),
        right_deg: turned_deg * (0.5 * (low + high)).cos(),
        start,
        end,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(start: (f64, f64), end: (f64, f64), moved_deg: f64, right_deg: f64) {
        let there = |(azimuth_deg, altitude_deg)| Direction {
            azimuth_deg,
            altitude_deg,
            mark: None,
        };
        let got = path(there(start), there(end));
        assert!((got.moved_deg - moved_deg).abs() < 1e-9, "{got:?}");
        assert!((got.right_deg - right_deg).abs() < 1e-9, "{got:?}");
    }

    /// By hand: along the horizon, straight up, over north, a quarter round the zenith (the cosine rule).
    #[test]
    fn ways_over_the_sky() {
        check((170.0, 0.0), (190.0, 0.0), 20.0, 20.0);
        check((180.0, 30.0), (180.0, 75.0), 45.0, 0.0);
        check((355.0, 0.0), (5.0, 0.0), 10.0, 10.0);
        check((5.0, 0.0), (355.0, 0.0), 10.0, -10.0);
        let high = 80f64.to_radians();
        let moved_deg = high.sin().powi(2).acos().to_degrees();
        check((90.0, 80.0), (180.0, 80.0), moved_deg, 90.0 * high.cos());
    }
}
