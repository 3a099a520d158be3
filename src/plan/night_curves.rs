//! A night as curves: how Moon and planets climb and sink, where each is clear of the skyline, how the
//! twilights follow each other. What a picture of the night is drawn from.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::plan::local::{clock_change, night_window};
use crate::plan::lookout::clear_of_skyline;
use crate::plan::outlook::Absence;
use crate::plan::refusal::NoNight;
use crate::plan::sun::SunTimes;
use crate::plan::time_span::{TimeSpan, utc};
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::{Almanac, SUNRISE_ALTITUDE_DEG, Span, TWILIGHTS_DEG};
use crate::sky::happenings::phases::is_waxing;
use crate::sky::search::{Crossing, Search, crossings};
use crate::sky::time::tt_days;
use crate::targets::subject::Subject;
use crate::units::{HOURS_PER_DAY, MINUTES_PER_DAY};
use crate::workshop::Site;

/// Ten minutes between the points of a curve: straight lines between them leave it by less than 0.1 degrees up to
/// 80 degrees of altitude (refraction bends it near the horizon, its top higher up), by half a degree at the zenith.
pub const POINT_STEP_MINUTES: i64 = 10;

/// This long before sunset and after sunrise a curve is of use: to see what comes down with the Sun.
const BESIDE_THE_NIGHT: TimeDelta = TimeDelta::hours(1);

/// What is up for a shorter time between sunset and sunrise, and never to be looked at, has no curve.
const WORTH_A_CURVE_DAYS: f64 = 0.5 / HOURS_PER_DAY;

/// A tenth of a second: edges nearer than this are one.
const SAME_DAYS: f64 = 0.1 / crate::constants::SECONDS_PER_DAY;

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct NightCurves {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// The local date on which the night begins.
    pub on: NaiveDate,
    /// What is drawn: from an hour before sunset to an hour after sunrise, and the session; from local noon to
    /// noon where the Sun does not both set and rise.
    pub drawn: TimeSpan,
    /// Dusk and dawn.
    pub sun: SunTimes,
    /// In order, one after the other, from the first drawn instant to the last.
    pub spells: Vec<Spell>,
    /// When visitors come, if that was said.
    pub session: Option<TimeSpan>,
    /// The clocks of the place go forward or back meanwhile.
    pub clock_change: Option<DateTime<Utc>>,
    /// About the middle of the night.
    pub moon: LitMoon,
    /// In the order of [`Body::ALL`], without the Sun and those left out.
    pub bodies: Vec<BodyCurve>,
    /// Not up between sunset and sunrise for long enough to be drawn.
    pub left_out: Vec<Body>,
    /// The lowest clear altitude once round, corner by corner.
    pub skyline: Vec<SkylinePoint>,
    /// What the place's people call by a name along it, in the file's order.
    pub marks: Vec<NamedPoint>,
}

/// A tree, a tower on the skyline.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedPoint {
    /// As the people call it.
    pub name: String,
    /// Where, in the turn of [`NightCurves::skyline`].
    pub point: SkylinePoint,
}

/// A stretch of one kind of light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// From when to when.
    pub span: TimeSpan,
    /// Of which kind.
    pub light: Light,
}

/// Where the Sun stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Light {
    /// Its upper limb above the horizon.
    Day,
    /// Its centre above -6 degrees.
    Civil,
    /// Above -12 degrees.
    Nautical,
    /// Above -18 degrees.
    Astronomical,
    /// Lower still.
    Dark,
}

impl Light {
    fn of(sun_altitude_deg: f64) -> Light {
        let [civil_deg, nautical_deg, astronomical_deg] = TWILIGHTS_DEG;
        match sun_altitude_deg {
            deg if SUNRISE_ALTITUDE_DEG < deg => Light::Day,
            deg if civil_deg < deg => Light::Civil,
            deg if nautical_deg < deg => Light::Nautical,
            deg if astronomical_deg < deg => Light::Astronomical,
            _ => Light::Dark,
        }
    }
}

/// How the Moon is lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LitMoon {
    /// Of its disc, 0 to 1.
    pub lit: f64,
    /// Between new and full.
    pub is_waxing: bool,
}

/// One body's way over the sky.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyCurve {
    /// Which.
    pub body: Body,
    /// While it is above the horizon, in order; neighbours share their point.
    pub pieces: Vec<Piece>,
    /// Why there is nothing to look at, where there is not.
    pub absence: Option<Absence>,
}

/// A part of a curve with one standing.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Throughout.
    pub standing: Standing,
    /// In order of time, two at least.
    pub points: Vec<CurvePoint>,
}

/// Whether a body can be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// One of its stretches: clear of the skyline, dark enough, safe.
    ToLookAt,
    /// Clear of the skyline, but the sky is too bright for it or the Sun too near; or for minutes only.
    NotOffered,
    /// Behind the skyline, or too low to be worth a look.
    Hidden,
}

/// Where a body stands at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// When.
    pub at: DateTime<Utc>,
    /// Of the centre, with refraction.
    pub altitude_deg: f64,
    /// From north through east.
    pub azimuth_deg: f64,
}

/// A corner of the skyline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkylinePoint {
    /// From north through east; grows over one whole turn, from 0 to 360 or, south of the equator where things
    /// culminate in the north, from 180 to 540.
    pub azimuth_deg: f64,
    /// Lowest clear altitude.
    pub altitude_deg: f64,
}

/// The curves of the night that begins on a date; `session`: when visitors come.
///
/// ```
/// use skyworthy::plan::clock_window::ClockWindow;
/// use skyworthy::plan::night_curves::night_curves;
/// use skyworthy::workshop;
///
/// let (site, on) = (workshop::example().site, "2026-12-17".parse()?);
/// let visitors = ClockWindow::said("20:00-22:30")?.on(on, site.time_zone)?;
/// let curves = night_curves(&site, on, Some(visitors))?;
/// assert!(curves.drawn.from < visitors.from);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn night_curves(
    site: &Site,
    on: NaiveDate,
    session: Option<TimeSpan>,
) -> Result<NightCurves, NoNight> {
    let window = night_window(on, site.time_zone).ok_or(NoNight::NoSuchDate)?;
    let watch = Watch::new(site, window)?;
    let sheet = Sheet {
        site,
        almanac: watch.almanac(),
        drawn: drawn(&watch, window, session),
    };
    let mut bodies = Vec::new();
    let mut left_out = Vec::new();
    for body in Body::ALL.into_iter().filter(|body| *body != Body::Sun) {
        let curve = match watch.outlook(Subject::Body(body), false)? {
            Ok(outlook) => {
                let stretches = outlook.stretches.iter();
                let stretches = stretches.map(|stretch| stretch.span().of_sky());
                sheet.curve(body, &stretches.collect::<Vec<_>>(), None)
            }
            Err(absence) => sheet.curve(body, &[], Some(absence)),
        };
        match sheet.is_worth_drawing(&curve) {
            true => bodies.push(curve),
            false => left_out.push(body),
        }
    }
    Ok(NightCurves {
        site_name: site.name.clone(),
        zone: site.time_zone,
        on,
        drawn: sheet.drawn.into(),
        sun: watch.sun_times(),
        spells: sheet.spells(),
        session,
        clock_change: clock_change(sheet.drawn.into(), site.time_zone),
        moon: moon_phase(&watch)?,
        bodies,
        left_out,
        skyline: skyline(site),
        marks: marks(site),
    })
}

/// From the first sunset to the sunrise after it, with an hour on either side, and all of the session.
fn drawn(watch: &Watch, window: TimeSpan, session: Option<TimeSpan>) -> Span {
    let sun = watch.body_times(Body::Sun);
    let night = sun.sets.first().and_then(|set| {
        let rise = sun.rises.iter().find(|rise| set < *rise)?;
        Some((*set - BESIDE_THE_NIGHT, *rise + BESIDE_THE_NIGHT))
    });
    let (mut from, mut until) = night.unwrap_or((window.from, window.until));
    if let Some(session) = session {
        from = from.min(session.from);
        until = until.max(session.until);
    }
    Span {
        from_tt_days: tt_days(from.max(window.from)),
        until_tt_days: tt_days(until.min(window.until)),
    }
}

fn moon_phase(watch: &Watch) -> Result<LitMoon, NoNight> {
    let middle = watch.middle();
    let moon = watch.appearance(Body::Moon, middle)?;
    Ok(LitMoon {
        lit: moon.illuminated_fraction,
        is_waxing: is_waxing(middle),
    })
}

/// Its corners, and both ends of the turn.
fn skyline(site: &Site) -> Vec<SkylinePoint> {
    let from_deg = turn_from_deg(site);
    let corners = site.horizon.corners().iter();
    let mut azimuths: Vec<f64> = corners
        .map(|corner| in_turn_deg(site, corner.0))
        .chain([from_deg, from_deg + 360.0])
        .collect();
    azimuths.sort_by(f64::total_cmp);
    azimuths.dedup();
    let point = |azimuth_deg| skyline_point(site, azimuth_deg);
    azimuths.into_iter().map(point).collect()
}

fn marks(site: &Site) -> Vec<NamedPoint> {
    (site.marks.iter())
        .map(|mark| NamedPoint {
            name: mark.name.clone(),
            point: skyline_point(site, in_turn_deg(site, mark.middle_deg())),
        })
        .collect()
}

/// Where the turn begins: behind who looks toward where things culminate.
fn turn_from_deg(site: &Site) -> f64 {
    if site.latitude_deg < 0.0 { 180.0 } else { 0.0 }
}

fn in_turn_deg(site: &Site, azimuth_deg: f64) -> f64 {
    match azimuth_deg < turn_from_deg(site) {
        true => azimuth_deg + 360.0,
        false => azimuth_deg,
    }
}

fn skyline_point(site: &Site, azimuth_deg: f64) -> SkylinePoint {
    SkylinePoint {
        azimuth_deg,
        altitude_deg: site.horizon.altitude_deg(azimuth_deg),
    }
}

/// What all curves of one picture share.
struct Sheet<'a> {
    site: &'a Site,
    almanac: &'a Almanac,
    drawn: Span,
}

impl Sheet<'_> {
    /// The stretches between edges, in order; those outside what is drawn left out.
    fn between(&self, edges: impl IntoIterator<Item = f64>) -> Vec<Span> {
        let inside = |at: &f64| self.drawn.from_tt_days < *at && *at < self.drawn.until_tt_days;
        let mut edges: Vec<f64> = edges.into_iter().filter(inside).collect();
        edges.extend([self.drawn.from_tt_days, self.drawn.until_tt_days]);
        edges.sort_by(f64::total_cmp);
        edges.dedup_by(|later, earlier| *later - *earlier < SAME_DAYS);
        let pairs = edges.windows(2);
        pairs
            .map(|pair| Span {
                from_tt_days: pair[0],
                until_tt_days: pair[1],
            })
            .collect()
    }

    fn spells(&self) -> Vec<Spell> {
        let at = |crossings: Vec<Crossing>| crossings.into_iter().map(|crossing| crossing.at);
        let twilights = TWILIGHTS_DEG.into_iter();
        let edges = twilights
            .flat_map(|deg| at(self.almanac.altitude_crossings(Body::Sun, deg)))
            .chain(at(self.almanac.risings_and_settings(Body::Sun)));
        let mut spells: Vec<Spell> = Vec::new();
        for stretch in self.between(edges) {
            let middle = 0.5 * (stretch.from_tt_days + stretch.until_tt_days);
            let light = Light::of(self.almanac.horizontal(Body::Sun, middle).altitude_deg);
            match spells.last_mut() {
                Some(last) if last.light == light => last.span.until = utc(stretch.until_tt_days),
                _ => spells.push(Spell {
                    span: stretch.into(),
                    light,
                }),
            }
        }
        spells
    }

    fn curve(&self, body: Body, stretches: &[Span], absence: Option<Absence>) -> BodyCurve {
        let track = self.almanac.track(body);
        let clear = clear_of_skyline(self.almanac, &self.site.horizon, track);
        let ends = |list: &[Span]| -> Vec<f64> {
            let both = list
                .iter()
                .flat_map(|each| [each.from_tt_days, each.until_tt_days]);
            both.collect()
        };
        let edges = [ends(stretches), ends(&clear), self.horizon_crossings(body)].concat();
        let holds = |list: &[Span], at: f64| list.iter().any(|each| each.contains(at));
        let mut pieces: Vec<Piece> = Vec::new();
        for stretch in self.between(edges) {
            let middle = 0.5 * (stretch.from_tt_days + stretch.until_tt_days);
            let standing = match () {
                () if self.altitude_deg(body, middle) < 0.0 => continue,
                () if holds(stretches, middle) => Standing::ToLookAt,
                () if holds(&clear, middle) => Standing::NotOffered,
                () => Standing::Hidden,
            };
            let points = self.points(body, stretch);
            match pieces.last_mut() {
                Some(last) if last.standing == standing && last.points.last() == points.first() => {
                    last.points.extend(points.into_iter().skip(1));
                }
                _ => pieces.push(Piece { standing, points }),
            }
        }
        BodyCurve {
            body,
            pieces,
            absence,
        }
    }

    fn altitude_deg(&self, body: Body, at: f64) -> f64 {
        let there = self.almanac.horizontal(body, at);
        refracted_altitude_deg(there.altitude_deg, self.site.elevation_m)
    }

    /// When its centre is seen on the mathematical horizon.
    fn horizon_crossings(&self, body: Body) -> Vec<f64> {
        let search = Search {
            from: self.drawn.from_tt_days,
            until: self.drawn.until_tt_days,
            step: POINT_STEP_MINUTES as f64 / MINUTES_PER_DAY,
            tolerance: SAME_DAYS,
        };
        let found = crossings(search, |at| self.altitude_deg(body, at));
        found.into_iter().map(|crossing| crossing.at).collect()
    }

    /// Both ends and every whole ten minutes between.
    fn points(&self, body: Body, stretch: Span) -> Vec<CurvePoint> {
        let step_s = 60 * POINT_STEP_MINUTES;
        let (from, until) = (utc(stretch.from_tt_days), utc(stretch.until_tt_days));
        // Before 1970 too.
        let first = (from.timestamp().div_euclid(step_s) + 1) * step_s;
        let grid = (0..).map(|idx| first + idx * step_s);
        let grid = grid.take_while(|second| *second < until.timestamp());
        let grid = grid.filter_map(|second| DateTime::from_timestamp(second, 0));
        let instants = std::iter::once(from).chain(grid).chain([until]);
        let point = |at: DateTime<Utc>| {
            let there = self.almanac.horizontal(body, tt_days(at));
            CurvePoint {
                at,
                altitude_deg: refracted_altitude_deg(there.altitude_deg, self.site.elevation_m),
                azimuth_deg: there.azimuth_deg,
            }
        };
        instants.map(point).collect()
    }

    /// There is something to look at, or at least it is up in the night.
    fn is_worth_drawing(&self, curve: &BodyCurve) -> bool {
        let is_offered = |piece: &Piece| piece.standing == Standing::ToLookAt;
        let night_days: f64 = (curve
            .pieces
            .iter()
            .flat_map(|piece| piece.points.windows(2)))
        .map(|pair| (tt_days(pair[0].at), tt_days(pair[1].at)))
        .filter(|(from, until)| !self.almanac.is_up(Body::Sun, 0.5 * (from + until)))
        .map(|(from, until)| until - from)
        .sum();
        curve.pieces.iter().any(is_offered) || WORTH_A_CURVE_DAYS <= night_days
    }
}
