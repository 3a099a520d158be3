//! When Jupiter's moons cross its disc, throw their shadows on it, hide behind it and go dark in its shadow.
//!
//! Definition: the instant, at the Earth's centre, at which the moon's centre is seen on the limb of the
//! spheroid of 71,492 by 66,854 km; transit and occultation along the line from the Earth, shadow and eclipse along
//! the line from the Sun's centre (an eclipse at the middle of the penumbra); every light time its own.
//! A moon's disc takes minutes to cross the limb: 3.5 (Io) to 10 and more (Callisto), half before, half after.

use std::f64::consts::TAU;

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::constants::{LIGHT_TIME_AU_DAYS, SECONDS_PER_DAY};
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::moons::Satellite;
use crate::sky::moons::limb::{Globe, Ray, Seen};
use crate::sky::search::{Crossing, Search, crossings};
use crate::sky::time::utc_from_tt;
use crate::sky::track::Segments;
use crate::sky::vector::{Vec3, length};

/// What happens to a moon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SatelliteEventKind {
    /// It passes before the disc.
    Transit,
    /// Its shadow passes over the disc.
    Shadow,
    /// It is hidden behind the disc.
    Occultation,
    /// It is dark in the planet's shadow.
    Eclipse,
}

/// Which end of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Phase {
    /// It begins.
    Start,
    /// It ends.
    End,
}

/// One contact of a moon of Jupiter with limb or shadow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SatelliteEvent {
    /// When the light of it reaches the Earth's centre, days of TT since J2000.0.
    pub at_tt_days: f64,
    /// Whose.
    pub satellite: Satellite,
    /// What.
    pub kind: SatelliteEventKind,
    /// Its start or its end.
    pub phase: Phase,
    /// There is something to see: not an eclipse's contact hidden behind the disc, nor an occultation's contact of
    /// an eclipsed moon, nor a shadow that never comes to our side of the limb.
    pub observable: bool,
    /// When it is to be seen, days of TT since J2000.0. A shadow's centre meets the planet at the limb that the Sun
    /// sees, and may come round ours (or be lost behind it) a minute or two after (before) that; otherwise
    /// `at_tt_days`. `None` where it is not observable.
    pub visible_tt_days: Option<f64>,
    /// The centre passes the limb so flatly that what the theory may miss ([`POSITION_ERROR_KM`] across the limb) shifts
    /// the instant by more than [`GRAZING_S`].
    pub grazing: bool,
}

impl SatelliteEvent {
    /// When it happens.
    pub fn at(&self) -> DateTime<Utc> {
        utc_from_tt(self.at_tt_days).expect("the ephemeris' years stand in the calendar")
    }

    /// When it is to be seen, if it is.
    pub fn visible_at(&self) -> Option<DateTime<Utc>> {
        utc_from_tt(self.visible_tt_days?)
    }
}

/// What the place of a moon may miss across the limb where grazing is judged, km. Against JPL's ephemeris, 2,700 contacts of
/// 1999-2050: nineteen of twenty within 35 (Io) to 95 (Europa), the worst 141.
pub const POSITION_ERROR_KM: f64 = 120.0;

/// By how much an instant may be off before its contact is called grazing, seconds.
pub const GRAZING_S: f64 = 30.0;

/// All contacts of Jupiter's four moons in a stretch of time, days of TT since J2000.0, in order. `None` where it leaves the
/// ephemeris, 1950-2100.
///
/// Against JPL's ephemeris within 20 s (RMS 1 s for Io, 4 s for the others) over 1999-2050, grazing ones 21 s; before
/// and after that the theory drifts, Callisto's by some 20 s until 1950.
pub fn events(from_tt_days: f64, until_tt_days: f64) -> Option<Vec<SatelliteEvent>> {
    let stage = Stage::over(from_tt_days, until_tt_days)?;
    let mut found: Vec<_> = (Satellite::GALILEAN.into_iter())
        .flat_map(|satellite| stage.events_of(satellite))
        .filter(|event| (from_tt_days..until_tt_days).contains(&event.at_tt_days))
        .collect();
    found.sort_by(|a, b| a.at_tt_days.total_cmp(&b.at_tt_days));
    Some(found)
}

/// A stretch of time in which a moon crosses, hides or is dark, as far as there is something to see.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Whose.
    pub satellite: Satellite,
    /// What.
    pub kind: SatelliteEventKind,
    /// From its start to its end, cut at the ends of what was asked.
    pub span: Span,
}

/// The passages that the contacts of a span make up, in the order of their ends. Of a shadow its way over our side of the
/// disc counts.
pub fn passages(events: &[SatelliteEvent], span: Span) -> Vec<Passage> {
    let seen_at = |event: &SatelliteEvent| event.visible_tt_days.unwrap_or(event.at_tt_days);
    let alike =
        |a: &SatelliteEvent, b: &SatelliteEvent| (a.satellite, a.kind) == (b.satellite, b.kind);
    let mut found = Vec::new();
    for (idx, event) in events.iter().enumerate() {
        let (before, after) = (&events[..idx], &events[idx + 1..]);
        let (from_tt_days, until_tt_days) = match event.phase {
            // A start without an end goes on at the end of the span, and the other way round.
            Phase::Start if after.iter().any(|other| alike(other, event)) => continue,
            Phase::Start => (seen_at(event), span.until_tt_days),
            Phase::End => {
                let start = before.iter().rev().find(|other| alike(other, event));
                (start.map_or(span.from_tt_days, seen_at), seen_at(event))
            }
        };
        found.push(Passage {
            satellite: event.satellite,
            kind: event.kind,
            span: Span {
                from_tt_days,
                until_tt_days,
            },
        });
    }
    found
}

/// A fiftieth of a second: far below what the theories know.
const TOLERANCE_DAYS: f64 = 0.02 / SECONDS_PER_DAY;

/// Passages that reach over an end of the span are seen whole: at most 5 hours.
const MARGIN_DAYS: f64 = 0.5;

/// Longest step between looks at where a moon stands, and how far a search looks beyond its ends.
const LOOK_DAYS: f64 = 1.0;

/// Length of a segment of the way from Jupiter to Earth and Sun: the Earth's monthly swing (5,000 km) is the fastest
/// part, and moves the line of sight by nothing.
const SEEN_SEGMENT_DAYS: f64 = 16.0;

/// Length of a segment of a moon's path: the others pull at it with Io's rhythm. Interpolated within 0.2 km.
const PATH_SEGMENT_DAYS: f64 = 0.4;

/// Days from one passage before the disc to the next, and mean distance in equatorial radii of Jupiter: where to look, to
/// 1 %. Common figures.
fn period_days_and_distance(satellite: Satellite) -> (f64, f64) {
    match satellite {
        Satellite::Io => (1.770, 5.90),
        Satellite::Europa => (3.554, 9.39),
        Satellite::Ganymede => (7.166, 14.97),
        _ => (16.75, 26.33),
    }
}

/// Jupiter, Earth and Sun over a span.
struct Stage {
    /// In which passages may have their middles.
    span_tt_days: (f64, f64),
    /// `Seen`'s three vectors, one after the other.
    seen: Segments<9>,
    globe: Globe,
}

impl Stage {
    fn over(from_tt_days: f64, until_tt_days: f64) -> Option<Stage> {
        let span_tt_days = (from_tt_days - MARGIN_DAYS, until_tt_days + MARGIN_DAYS);
        let looked_at = (span_tt_days.0 - LOOK_DAYS, span_tt_days.1 + LOOK_DAYS);
        let seen = Segments::over(looked_at, SEEN_SEGMENT_DAYS, |tt_days| {
            let seen = Seen::at(Body::Jupiter, tt_days)?;
            let vectors = [seen.earth_au, seen.sun_au, seen.velocity_au_day];
            Some(std::array::from_fn(|k| vectors[k / 3][k % 3]))
        })?;
        Some(Stage {
            span_tt_days,
            seen,
            // The pole moves by a thousandth of a degree in a lifetime.
            globe: Globe::of(Body::Jupiter, 0.5 * (from_tt_days + until_tt_days)),
        })
    }

    fn seen_at(&self, tt_days: f64) -> Seen {
        let [ex, ey, ez, sx, sy, sz, vx, vy, vz] = self.seen.at(tt_days);
        let earth_au = [ex, ey, ez];
        Seen {
            earth_au,
            sun_au: [sx, sy, sz],
            velocity_au_day: [vx, vy, vz],
            left_days: tt_days - length(earth_au) * LIGHT_TIME_AU_DAYS,
        }
    }

    fn events_of(&self, satellite: Satellite) -> Vec<SatelliteEvent> {
        let (period_days, distance) = period_days_and_distance(satellite);
        // Light that arrives in the span left up to an hour before.
        let (from, until) = self.span_tt_days;
        let looked_at = (from - LOOK_DAYS - 0.05, until + LOOK_DAYS);
        let path = Segments::over(looked_at, PATH_SEGMENT_DAYS, |days| {
            Some(satellite.position_au(days))
        })
        .expect("a moon has a place at all times");
        let round = Round {
            stage: self,
            satellite,
            path: |days| path.at(days),
            period_days,
            half_passage_days: period_days * (1.0 / distance).asin() / TAU,
        };
        round.events()
    }
}

/// One moon on its way round Jupiter.
struct Round<'a, P: Fn(f64) -> Vec3> {
    stage: &'a Stage,
    satellite: Satellite,
    path: P,
    period_days: f64,
    /// From the limb to the middle of the disc on the longest way across.
    half_passage_days: f64,
}

impl<P: Fn(f64) -> Vec3> Round<'_, P> {
    fn ray(&self, kind: SatelliteEventKind, tt_days: f64) -> Ray {
        let seen = self.stage.seen_at(tt_days);
        match kind {
            SatelliteEventKind::Transit | SatelliteEventKind::Occultation => seen.sight(&self.path),
            SatelliteEventKind::Shadow => seen.shadow(&self.path),
            SatelliteEventKind::Eclipse => seen.sunlight(&self.path),
        }
    }

    fn clearance_km(&self, kind: SatelliteEventKind, tt_days: f64) -> f64 {
        self.stage.globe.clearance_km(&self.ray(kind, tt_days))
    }

    fn events(&self) -> Vec<SatelliteEvent> {
        let lines = [
            (SatelliteEventKind::Transit, SatelliteEventKind::Occultation),
            (SatelliteEventKind::Shadow, SatelliteEventKind::Eclipse),
        ];
        let mut found = Vec::new();
        for (before, behind) in lines {
            // Where the eclipses' light times hold, a shadow's middle is seconds off: its contacts are sought anew.
            for middle in self.middles(behind) {
                let kind = if middle.rising { before } else { behind };
                found.extend(self.contacts(kind, middle.at));
            }
        }
        found
    }

    /// When the moon passes the planet's axis, before it (rising) or behind it.
    fn middles(&self, kind: SatelliteEventKind) -> Vec<Crossing> {
        let (from, until) = self.stage.span_tt_days;
        let search = Search {
            from,
            until,
            step: LOOK_DAYS.min(0.23 * self.period_days),
            tolerance: 0.01 * self.half_passage_days,
        };
        crossings(search, |tt_days| {
            self.stage.globe.westing(&self.ray(kind, tt_days))
        })
    }

    /// Start and end of what happens about a middle, if anything does.
    fn contacts(&self, kind: SatelliteEventKind, middle_tt_days: f64) -> Vec<SatelliteEvent> {
        let reach_days = 1.3 * self.half_passage_days;
        let search = Search {
            from: middle_tt_days - reach_days,
            until: middle_tt_days + reach_days,
            step: 0.7 * reach_days,
            tolerance: TOLERANCE_DAYS,
        };
        let contacts = crossings(search, |tt_days| self.clearance_km(kind, tt_days));
        let [start, end] = contacts[..] else {
            return Vec::new();
        };
        vec![
            self.event(kind, Phase::Start, start.at, end.at),
            self.event(kind, Phase::End, end.at, start.at),
        ]
    }

    fn event(
        &self,
        kind: SatelliteEventKind,
        phase: Phase,
        at_tt_days: f64,
        other_end_tt_days: f64,
    ) -> SatelliteEvent {
        let visible_tt_days = match kind {
            SatelliteEventKind::Transit => Some(at_tt_days),
            SatelliteEventKind::Shadow => self.shadow_on_our_side(at_tt_days, other_end_tt_days),
            SatelliteEventKind::Occultation => {
                (!self.is_behind(SatelliteEventKind::Eclipse, at_tt_days)).then_some(at_tt_days)
            }
            SatelliteEventKind::Eclipse => {
                (!self.is_behind(SatelliteEventKind::Occultation, at_tt_days)).then_some(at_tt_days)
            }
        };
        SatelliteEvent {
            at_tt_days,
            satellite: self.satellite,
            kind,
            phase,
            observable: visible_tt_days.is_some(),
            visible_tt_days,
            grazing: self.limb_speed_km_s(kind, at_tt_days) * GRAZING_S < POSITION_ERROR_KM,
        }
    }

    /// Behind the disc (`Occultation`) or in the shadow (`Eclipse`).
    fn is_behind(&self, kind: SatelliteEventKind, tt_days: f64) -> bool {
        let ray = self.ray(kind, tt_days);
        !ray.is_before() && self.stage.globe.clearance_km(&ray) < 0.0
    }

    /// The instant nearest to a shadow's contact at which its centre is on our side of the limb.
    fn shadow_on_our_side(&self, at_tt_days: f64, other_end_tt_days: f64) -> Option<f64> {
        let facing = |tt_days| {
            let seen = self.stage.seen_at(tt_days);
            let ray = seen.shadow(&self.path);
            self.stage.globe.faces_earth(&ray, seen.earth_au)
        };
        if facing(at_tt_days) > 0.0 {
            return Some(at_tt_days);
        }
        let search = Search {
            from: at_tt_days.min(other_end_tt_days),
            until: at_tt_days.max(other_end_tt_days),
            step: 0.25 * (other_end_tt_days - at_tt_days).abs(),
            tolerance: TOLERANCE_DAYS,
        };
        let found = crossings(search, facing);
        let nearest = found.iter().min_by(|a, b| {
            let away = |crossing: &Crossing| (crossing.at - at_tt_days).abs();
            away(a).total_cmp(&away(b))
        });
        nearest.map(|crossing| crossing.at)
    }

    /// How fast the centre passes the limb.
    fn limb_speed_km_s(&self, kind: SatelliteEventKind, at_tt_days: f64) -> f64 {
        const STEP_S: f64 = 10.0;
        let clearance_km =
            |s: f64| self.clearance_km(kind, at_tt_days + s * STEP_S / SECONDS_PER_DAY);
        (clearance_km(1.0) - clearance_km(-1.0)).abs() / (2.0 * STEP_S)
    }
}
