//! Rising, culminating, setting, dusk and dawn over a place, by the one search of `search`.
//!
//! Definitions: the centre of the body, topocentric, without refraction, at -34' (planets), -50'
//! (Sun), -34' minus the semidiameter of the hour (Moon: upper limb); twilights with the Sun's
//! centre at -6, -12, -18 degrees; upper transit at topocentric hour angle zero. The height of the
//! place moves its parallax, not its horizon.

use chrono::{DateTime, Utc};

use crate::sky::Body;
use crate::sky::earth::Place;
use crate::sky::search::{Crossing, Search, crossings};
use crate::sky::time::utc_from_tt;
use crate::sky::track::{EquatorTrack, Horizontal, Track};
use crate::units::ARCMIN_PER_DEG;

/// Refraction at the horizon, by convention of the almanacs.
const HORIZON_REFRACTION_DEG: f64 = 34.0 / ARCMIN_PER_DEG;

/// The Sun's altitude when its upper limb is seen on the horizon, by the same convention.
pub const SUNRISE_ALTITUDE_DEG: f64 = -50.0 / ARCMIN_PER_DEG;

/// The Sun's altitude when civil twilight ends in the evening: lamps are lit, the first stars come out.
pub const CIVIL_TWILIGHT_DEG: f64 = -6.0;

/// When nautical twilight ends: the horizon of the sea is lost.
pub const NAUTICAL_TWILIGHT_DEG: f64 = -12.0;

/// When astronomical twilight ends: the sky grows no darker.
pub const ASTRONOMICAL_TWILIGHT_DEG: f64 = -18.0;

/// All three, in the order of the evening.
pub const TWILIGHTS_DEG: [f64; 3] = [
    CIVIL_TWILIGHT_DEG,
    NAUTICAL_TWILIGHT_DEG,
    ASTRONOMICAL_TWILIGHT_DEG,
];

/// Steps of four hours: altitudes and hour angles go round once a day, and the search finds shorter
/// appearances between two looks.
const STEP_DAYS: f64 = 1.0 / 6.0;

/// A twentieth of a second.
const TOLERANCE_DAYS: f64 = 0.05 / crate::constants::SECONDS_PER_DAY;

/// A stretch of time, days of TT since J2000.0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Included.
    pub from_tt_days: f64,
    /// Not included.
    pub until_tt_days: f64,
}

impl Span {
    /// Length in days.
    pub fn days(&self) -> f64 {
        self.until_tt_days - self.from_tt_days
    }

    /// Both ends and even steps between, none longer than that.
    pub fn instants(&self, longest_step_days: f64) -> impl Iterator<Item = f64> + use<> {
        let (from, days) = (self.from_tt_days, self.days());
        let n_steps = (days / longest_step_days).ceil().max(1.0);
        (0..=n_steps as usize).map(move |step| from + days * step as f64 / n_steps)
    }

    /// Whether an instant lies inside, ends included.
    pub fn contains(&self, tt_days: f64) -> bool {
        self.from_tt_days <= tt_days && tt_days <= self.until_tt_days
    }

    /// When it begins.
    pub fn from_utc(&self) -> Option<DateTime<Utc>> {
        utc_from_tt(self.from_tt_days)
    }

    /// When it ends.
    pub fn until_utc(&self) -> Option<DateTime<Utc>> {
        utc_from_tt(self.until_tt_days)
    }

    fn search(self) -> Search {
        Search {
            from: self.from_tt_days,
            until: self.until_tt_days,
            step: STEP_DAYS,
            tolerance: TOLERANCE_DAYS,
        }
    }
}

/// The paths of bodies over one place and one span of time.
#[derive(Debug, Clone)]
pub struct Almanac {
    place: Place,
    span: Span,
    equators: EquatorTrack,
    /// In the order of [`Body::ALL`]; those asked for.
    tracks: Vec<Option<Track>>,
}

impl Almanac {
    /// `None` where the span leaves the ephemeris, 1950-2100.
    pub fn over(place: Place, span: Span) -> Option<Almanac> {
        Almanac::of(&Body::ALL, place, span)
    }

    /// The same for a few bodies, in proportionally less time; asking for another one panics.
    pub fn of(bodies: &[Body], place: Place, span: Span) -> Option<Almanac> {
        // Searches look one step beyond either end.
        let margin_days = 2.0 * STEP_DAYS;
        let equators = EquatorTrack::over(
            span.from_tt_days - margin_days,
            span.until_tt_days + margin_days,
        );
        let tracks = Body::ALL
            .into_iter()
            .map(|body| match bodies.contains(&body) {
                true => Track::of(body, &equators).map(Some),
                false => Some(None),
            })
            .collect::<Option<_>>()?;
        Some(Almanac {
            place,
            span,
            equators,
            tracks,
        })
    }

    /// The path of a body it was made of.
    pub fn track(&self, body: Body) -> &Track {
        self.tracks[body as usize]
            .as_ref()
            .expect("an almanac is asked only for the bodies it was made of")
    }

    /// The equator over the span, for paths of other things.
    pub fn equators(&self) -> &EquatorTrack {
        &self.equators
    }

    /// The place it was made for.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The span it was made for.
    pub fn span(&self) -> Span {
        self.span
    }

    /// Where a body stands at an instant of the span.
    pub fn horizontal(&self, body: Body, tt_days: f64) -> Horizontal {
        self.track(body).horizontal(&self.place, tt_days)
    }

    /// All risings (`rising`) and settings of a body.
    pub fn risings_and_settings(&self, body: Body) -> Vec<Crossing> {
        crossings(self.span.search(), |tt_days| {
            self.over_horizon(body, tt_days)
        })
    }

    /// Sine of the altitude above the conventional horizon of risings and settings.
    fn over_horizon(&self, body: Body, tt_days: f64) -> f64 {
        let track = self.track(body);
        let (sin_altitude, distance_au) = track.sin_altitude_and_distance_au(&self.place, tt_days);
        let horizon_rad = match body {
            Body::Sun => SUNRISE_ALTITUDE_DEG.to_radians(),
            Body::Moon => -HORIZON_REFRACTION_DEG.to_radians() - body.semidiameter_rad(distance_au),
            _ => -HORIZON_REFRACTION_DEG.to_radians(),
        };
        sin_altitude - horizon_rad.sin()
    }

    /// Whether a body is above the conventional horizon at an instant of the span.
    pub fn is_up(&self, body: Body, tt_days: f64) -> bool {
        self.over_horizon(body, tt_days) > 0.0
    }

    /// Passages of a body's centre through an airless altitude.
    pub fn altitude_crossings(&self, body: Body, altitude_deg: f64) -> Vec<Crossing> {
        let sin_wanted = altitude_deg.to_radians().sin();
        let track = self.track(body);
        crossings(self.span.search(), |tt_days| {
            track.sin_altitude_and_distance_au(&self.place, tt_days).0 - sin_wanted
        })
    }

    /// Upper transits of a body, days of TT since J2000.0.
    pub fn upper_transits(&self, body: Body) -> Vec<f64> {
        let track = self.track(body);
        crossings(self.span.search(), |tt_days| {
            track.west_of_meridian(&self.place, tt_days)
        })
        .into_iter()
        // West of the meridian from below to above: the upper branch.
        .filter(|crossing| crossing.rising)
        .map(|crossing| crossing.at)
        .collect()
    }
}
