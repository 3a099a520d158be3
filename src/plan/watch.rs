//! A night's watch: everything that is the same for all bodies and telescopes of one night, and the
//! questions a plan asks of it.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

use chrono::{DateTime, Utc};

use crate::optics::instrument::Instrument;
use crate::plan::conditions::{dark_zenith_mag_arcsec2, seeing_zenith_arcsec};
use crate::plan::eclipse_light::EclipseLight;
use crate::plan::faces::FaceTonight;
use crate::plan::lookout::{
    Candidate, LOWEST_USEFUL_ALTITUDE_DEG, Lookout, SHORTEST_DAYS, lookout, morning_stop,
    sun_below, sunrises,
};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Absence, Edge, Outlook, Stretch, Target};
use crate::plan::refusal::NoNight;
use crate::plan::time_span::{TimeSpan, utc};
use crate::sky::almanac::{Almanac, CIVIL_TWILIGHT_DEG, Span};
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::ephemeris::{FIRST_TDB_DAYS, LAST_TDB_DAYS};
use crate::sky::glow::{Glow, Moonlight, sky_brightness_mag_arcsec2};
use crate::sky::moons::view::{SatelliteView, satellite_views};
use crate::sky::satellite_events::{SatelliteEvent, events, passages};
use crate::sky::search::Crossing;
use crate::sky::small_bodies::{Course, SmallBody, TooFar};
use crate::sky::spans::common;
use crate::sky::time::{tt_days, utc_from_tt};
use crate::sky::track::Track;
use crate::sky::vector::angle_rad;
use crate::sky::{Appearance, Body, air};
use crate::targets::asked::Asked;
use crate::targets::conditions::Told;
use crate::targets::look::Hour;
use crate::targets::subject::{Seen, Subject};
use crate::targets::verdict::{ThreeAirs, verdicts_on};
use crate::units::{HOURS_PER_DAY, MINUTES_PER_DAY};
use crate::workshop::{Observer, Site, Workshop};

/// Five minutes between the instants tried for the best look.
pub(super) const BEST_STEP_DAYS: f64 = 5.0 / MINUTES_PER_DAY;

/// Longest piece of a small body's path between nodes.
const SMALL_SEGMENT_DAYS: f64 = 4.0;

/// A minute: an edge of a stretch this near to sunrise or dusk is made by it.
const SAME_EDGE_DAYS: f64 = 1.0 / MINUTES_PER_DAY;

/// One night over one place.
pub(super) struct Watch<'a> {
    site: &'a Site,
    place: Place,
    pub(super) almanac: Almanac,
    pub(super) dark_zenith_mag_arcsec2: f64,
    extinction_mag_airmass: f64,
    pub(super) seeing_zenith_arcsec: ThreeAirs<f64>,
    /// Where the Great Red Spot is expected.
    red_spot_longitude_deg: Option<f64>,
    satellite_events: OnceLock<Vec<SatelliteEvent>>,
    eclipse_light: OnceLock<EclipseLight>,
}

impl<'a> Watch<'a> {
    /// With what the workshop's people say of Jupiter.
    pub(super) fn of(workshop: &'a Workshop, window: TimeSpan) -> Result<Self, NoNight> {
        let on = window.from.date_naive();
        Ok(Watch {
            red_spot_longitude_deg: Some(workshop.red_spot.longitude_deg_on(on)),
            ..Watch::new(&workshop.site, window)?
        })
    }

    pub(super) fn new(site: &'a Site, window: TimeSpan) -> Result<Self, NoNight> {
        let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
        let span = window.of_sky();
        if span.from_tt_days < FIRST_TDB_DAYS || LAST_TDB_DAYS < span.until_tt_days {
            return Err(NoNight::OutsideEphemeris);
        }
        Ok(Watch {
            site,
            place,
            red_spot_longitude_deg: None,
            satellite_events: OnceLock::new(),
            eclipse_light: OnceLock::new(),
            almanac: Almanac::over(place, span).ok_or(NoNight::OutsideEphemeris)?,
            extinction_mag_airmass: air::extinction_mag_per_airmass(
                site.elevation_m,
                air::CLEAR_NIGHT_HAZE_MAG,
            ),
            dark_zenith_mag_arcsec2: dark_zenith_mag_arcsec2(site.darkness)
                .ok_or(NoNight::DarknessOutOfRange)?,
            seeing_zenith_arcsec: seeing_zenith_arcsec(site.seeing)
                .ok_or(NoNight::SeeingOutOfRange)?,
        })
    }

    /// That observer under the site's air.
    pub(super) fn onlooker(&self, observer: Observer) -> Onlooker {
        Onlooker {
            seeing_zenith_arcsec: self.seeing_zenith_arcsec,
            observer,
            red_spot_longitude_deg: self.red_spot_longitude_deg,
        }
    }

    /// System II longitude at which the Great Red Spot is expected.
    pub(super) fn red_spot_longitude_deg(&self) -> Option<f64> {
        self.red_spot_longitude_deg
    }

    /// The paths of all bodies over the window.
    pub(super) fn almanac(&self) -> &Almanac {
        &self.almanac
    }

    /// The middle of the window.
    pub(super) fn middle(&self) -> f64 {
        let span = self.almanac.span();
        0.5 * (span.from_tt_days + span.until_tt_days)
    }

    /// How a body looks at an instant, days of TT since J2000.0.
    pub(super) fn appearance(&self, body: Body, at: f64) -> Result<Appearance, NoNight> {
        self.scene(at)
            .and_then(|scene| scene.appearance(body))
            .ok_or(NoNight::OutsideEphemeris)
    }

    fn scene(&self, at: f64) -> Option<Scene> {
        Scene::new(self.place, utc_from_tt(at)?)
    }

    /// How a subject stands at an instant, days of TT since J2000.0.
    pub(super) fn seen(&self, subject: &Subject, at: f64) -> Result<Seen, NoNight> {
        match subject {
            Subject::Body(body) => Ok(Seen::Body(self.appearance(*body, at)?)),
            Subject::Beyond(there) => {
                let scene = self.scene(at).ok_or(NoNight::OutsideEphemeris)?;
                Ok(Seen::Beyond(*there, scene.star(&there.star())))
            }
            Subject::Small(course) => {
                let seen = self.scene(at).and_then(|scene| scene.small_body(course));
                let seen = seen.ok_or(NoNight::OutsideEphemeris)?;
                Ok(Seen::Small(Arc::clone(course), seen))
            }
        }
    }

    /// When a subject can be looked at and how it stands at its best; or why it can not.
    pub(super) fn outlook(
        &self,
        subject: Subject,
        daylight: bool,
    ) -> Result<Result<Outlook, Absence>, NoNight> {
        self.outlook_within(self.almanac.span(), subject, daylight)
    }

    /// The same between two instants.
    pub(super) fn outlook_within(
        &self,
        within: Span,
        subject: Subject,
        daylight: bool,
    ) -> Result<Result<Outlook, Absence>, NoNight> {
        let mid_night = self.seen(&subject, self.middle())?;
        let track = self.track(&subject).ok_or(NoNight::OutsideEphemeris)?;
        let candidate = Candidate {
            track: &track,
            magnitude: mid_night.magnitude(),
            elongation_deg: mid_night.place().elongation_deg,
        };
        let stretches = match lookout(&self.almanac, &self.site.horizon, &candidate, daylight) {
            Lookout::Stretches(stretches) => stretches,
            Lookout::NeverClear => return Ok(Err(self.never_clear(&track, within))),
            Lookout::OnlyInDaylight => return Ok(Err(self.only_in_daylight(&subject))),
            Lookout::NearSun => {
                let elongation_deg = mid_night.place().elongation_deg;
                return Ok(Err(Absence::NearSun { elongation_deg }));
            }
        };
        let open = stretches;
        let mut stretches = common(&open, &[within]);
        stretches.retain(|stretch| SHORTEST_DAYS <= stretch.days());
        if stretches.is_empty() {
            return Ok(Err(self.only_in_daylight(&subject)));
        }
        let tried = self.tried(&mid_night, &track, &stretches);
        let best = self.best_time(&mid_night, &tried);
        let at_best = self.seen(&subject, best)?;
        let told = self.told(&subject, best);
        let mut asked = match &at_best {
            Seen::Body(_) => self.asked_in_the_night(&at_best, &track, best, &stretches, &told),
            Seen::Beyond(..) | Seen::Small(..) => at_best.asked(best, &told),
        };
        self.look_closely(&subject, &mut asked)?;
        Ok(Ok(Outlook {
            stretches: stretches
                .iter()
                .map(|stretch| self.stretch(&candidate, stretch))
                .collect(),
            best: utc(best),
            tried,
            still_climbing: self.is_still_climbing(&track, &open, within, best),
            sky: self.sky_toward(&at_best, best)?,
            asked,
            face: FaceTonight::Plain,
            moons: told.moons,
            highest_deg: self.highest_deg(&at_best, Some((&track, &stretches))),
            at_best,
        }))
    }

    /// The hours of details were chosen by the quick light of the Moon: what is graded has the exact one.
    fn look_closely(&self, subject: &Subject, asked: &mut [Asked]) -> Result<(), NoNight> {
        let mut known: Vec<Hour> = Vec::new();
        for hour in asked.iter_mut().filter_map(|it| it.hour.as_mut()) {
            let at = hour.at_tt_days;
            let found = known.iter().find(|it| it.at_tt_days == at).copied();
            *hour = match found {
                Some(found) => found,
                None => self.sky_toward(&self.seen(subject, at)?, at)?,
            };
            known.push(*hour);
        }
        Ok(())
    }

    /// How a subject stands at one chosen instant of the window; without stretches, as nobody asked for them.
    pub(super) fn outlook_at(
        &self,
        subject: Subject,
        at: DateTime<Utc>,
    ) -> Result<Outlook, NoNight> {
        let at_best = self.seen(&subject, tt_days(at))?;
        let told = self.told(&subject, tt_days(at));
        Ok(Outlook {
            stretches: Vec::new(),
            best: at,
            tried: Vec::new(),
            still_climbing: false,
            sky: self.sky_toward(&at_best, tt_days(at))?,
            asked: at_best.asked(tt_days(at), &told),
            face: FaceTonight::Plain,
            moons: told.moons,
            highest_deg: self.highest_deg(&at_best, None),
            at_best,
        })
    }

    /// How a subject stands in the middle of a part of the window throughout which it can be looked at; what is asked of it is
    /// there within that part, at the hour at which it shows best there. Without stretches, as nobody asked for them.
    pub(super) fn outlook_during(
        &self,
        subject: Subject,
        during: TimeSpan,
    ) -> Result<Outlook, NoNight> {
        let outlook = self.outlook_at(subject.clone(), during.middle())?;
        if subject.body().is_none() {
            return Ok(outlook);
        }
        let middle = tt_days(outlook.best);
        let track = self.track(&subject).ok_or(NoNight::OutsideEphemeris)?;
        let told = self.told(&subject, middle);
        let within = [during.of_sky()];
        let mut asked = self.asked_in_the_night(&outlook.at_best, &track, middle, &within, &told);
        self.look_closely(&subject, &mut asked)?;
        Ok(Outlook { asked, ..outlook })
    }

    /// As high as a subject gets here on this date. Mercury and Venus culminate by day: of them counts how high they stand
    /// in the stretches in which they are looked at.
    fn highest_deg(&self, seen: &Seen, shown: Option<(&Track, &[Span])>) -> Option<f64> {
        if matches!(seen.subject().body(), Some(Body::Mercury | Body::Venus)) {
            let (track, stretches) = shown?;
            let instants = stretches.iter().flat_map(|stretch| self.instants(*stretch));
            let altitudes = instants.map(|at| track.horizontal(&self.place, at).altitude_deg);
            return altitudes.reduce(f64::max);
        }
        let from_zenith_deg = self.site.latitude_deg - seen.place().declination_deg;
        Some(90.0 - from_zenith_deg.abs())
    }

    /// What the look itself does not show of a subject.
    fn told(&self, subject: &Subject, at: f64) -> Told {
        let Some(body) = subject.body() else {
            return Told::default();
        };
        Told {
            at_tt_days: Some(at),
            red_spot_longitude_deg: self.red_spot_longitude_deg,
            moons: moons_of(body, at),
            passages: match body {
                Body::Jupiter => passages(self.satellite_events(), self.almanac.span()),
                _ => Vec::new(),
            },
        }
    }

    /// What the Earth's shadow leaves to the Moon through the night.
    pub(super) fn eclipse_light(&self) -> &EclipseLight {
        (self.eclipse_light).get_or_init(|| EclipseLight::of(&self.almanac))
    }

    /// Contacts of Jupiter's moons with its limb and shadow in the window.
    pub(super) fn satellite_events(&self) -> &[SatelliteEvent] {
        self.satellite_events.get_or_init(|| {
            let span = self.almanac.span();
            events(span.from_tt_days, span.until_tt_days).unwrap_or_default()
        })
    }

    fn track(&self, subject: &Subject) -> Option<Cow<'_, Track>> {
        match subject {
            Subject::Body(body) => Some(Cow::Borrowed(self.almanac.track(*body))),
            Subject::Beyond(there) => {
                Track::of_star(&there.star(), self.almanac.equators()).map(Cow::Owned)
            }
            Subject::Small(course) => {
                let apparent_au = |tt_days| course.geocentric_unbent_au(tt_days);
                let track = Track::over(self.almanac.equators(), SMALL_SEGMENT_DAYS, apparent_au);
                track.map(Cow::Owned)
            }
        }
    }

    /// As high as it gets in those hours.
    fn never_clear(&self, track: &Track, within: Span) -> Absence {
        let highest_deg = self
            .instants(within)
            .map(|at| track.horizontal(&self.place, at).altitude_deg)
            .fold(f64::NEG_INFINITY, f64::max);
        Absence::NeverClear { highest_deg }
    }

    fn only_in_daylight(&self, subject: &Subject) -> Absence {
        let Some(body) = subject.body() else {
            return Absence::OnlyInDaylight {
                sets: None,
                rises: None,
            };
        };
        let at_night = |crossing: &&Crossing| !self.almanac.is_up(Body::Sun, crossing.at);
        let crossings = self.almanac.risings_and_settings(body);
        let first = |rising| {
            let mut of_kind = crossings
                .iter()
                .filter(|crossing| crossing.rising == rising);
            of_kind.find(at_night).map(|crossing| utc(crossing.at))
        };
        Absence::OnlyInDaylight {
            sets: first(false),
            rises: first(true),
        }
    }

    /// The way of a small body over the window and what lies about it.
    pub(super) fn course(&self, body: &SmallBody) -> Result<Course, TooFar> {
        let span = self.almanac.span();
        body.course(span.from_tt_days - 1.0, span.until_tt_days + 1.0)
    }

    /// From civil dusk for so many hours; `None` where the Sun does not go down so far.
    pub(super) fn evening(&self, hours: f64) -> Option<Span> {
        let dusk = sun_below(&self.almanac, CIVIL_TWILIGHT_DEG)
            .first()?
            .from_tt_days;
        Some(Span {
            from_tt_days: dusk,
            until_tt_days: (dusk + hours / HOURS_PER_DAY).min(self.almanac.span().until_tt_days),
        })
    }

    /// The stretches in which the Sun's centre is lower than that, degrees.
    pub(super) fn with_sun_below(&self, altitude_deg: f64) -> Vec<Span> {
        sun_below(&self.almanac, altitude_deg)
    }

    /// Instants of a stretch, five minutes apart at most, both ends included.
    pub(super) fn instants(&self, stretch: Span) -> impl Iterator<Item = f64> {
        stretch.instants(BEST_STEP_DAYS)
    }

    fn stretch(&self, candidate: &Candidate, stretch: &Span) -> Stretch {
        let at_end = (candidate.track).horizontal(&self.place, stretch.until_tt_days);
        Stretch {
            from: utc(stretch.from_tt_days),
            until: utc(stretch.until_tt_days),
            begins: self.edge(candidate, stretch.from_tt_days),
            ends: self.edge(candidate, stretch.until_tt_days),
            azimuth_until_deg: at_end.azimuth_deg,
        }
    }

    /// What makes an edge of a stretch: the skyline if it stands on it, else the Sun.
    fn edge(&self, candidate: &Candidate, at: f64) -> Edge {
        let span = self.almanac.span();
        if (at - span.from_tt_days).abs() < 1e-6 || (at - span.until_tt_days).abs() < 1e-6 {
            return Edge::Noon;
        }
        let place = candidate.track.horizontal(&self.place, at);
        let seen_deg = air::refracted_altitude_deg(place.altitude_deg, self.site.elevation_m);
        let skyline_deg = self.site.horizon.altitude_deg(place.azimuth_deg);
        if (seen_deg - skyline_deg.max(LOWEST_USEFUL_ALTITUDE_DEG)).abs() < 0.05 {
            return if LOWEST_USEFUL_ALTITUDE_DEG < skyline_deg {
                Edge::Skyline
            } else {
                Edge::TooLow
            };
        }
        let stops = |sunrise: f64| (at - morning_stop(sunrise)).abs() < SAME_EDGE_DAYS;
        if sunrises(&self.almanac).into_iter().any(stops) {
            Edge::BeforeSunrise
        } else {
            Edge::Twilight
        }
    }

    /// All that lights the sky then.
    pub(super) fn glow(&self, sun_altitude_deg: f64, moon: Option<Moonlight>) -> Glow {
        Glow {
            dark_zenith_mag_arcsec2: self.dark_zenith_mag_arcsec2,
            extinction_mag: self.extinction_mag_airmass,
            sun_altitude_deg,
            moon,
        }
    }

    fn sky_toward(&self, seen: &Seen, at: f64) -> Result<Hour, NoNight> {
        let sun_altitude_deg = self.almanac.horizontal(Body::Sun, at).altitude_deg;
        let moon = match seen.appearance() {
            Some(moon) if moon.body == Body::Moon => None,
            _ => Some(self.moonlight_toward(seen, at)?),
        };
        let glow = self.glow(sun_altitude_deg, moon);
        Ok(Hour {
            at_tt_days: at,
            altitude_deg: seen.place().altitude_deg,
            airmass: airmass(seen.place().refracted_altitude_deg),
            extinction_mag_airmass: self.extinction_mag_airmass,
            sky_brightness_mag_arcsec2: sky_brightness_mag_arcsec2(
                &glow,
                seen.place().altitude_deg,
            ),
            sun_altitude_deg,
        })
    }

    fn moonlight_toward(&self, seen: &Seen, at: f64) -> Result<Moonlight, NoNight> {
        let moon = self.appearance(Body::Moon, at)?;
        let to_moon = moon.place.topocentric_direction();
        let there = seen.place().topocentric_direction();
        Ok(Moonlight {
            phase_angle_deg: moon.phase_angle_deg,
            altitude_deg: moon.place.altitude_deg,
            separation_deg: angle_rad(to_moon, there).to_degrees(),
            left: moon.shadow.map_or(1.0, |shadow| shadow.light_left()),
        })
    }

    /// What one telescope shows of each body at its best time. Empty for a telescope that cannot be
    /// judged.
    pub(super) fn targets(
        &self,
        instrument: Option<&Instrument>,
        outlooks: &[Outlook],
        onlooker: &Onlooker,
    ) -> Vec<Target> {
        let Some(instrument) = instrument else {
            return Vec::new();
        };
        let target = |outlook: &Outlook| Target {
            verdicts: verdicts_on(instrument, &outlook.look(onlooker), &outlook.asked),
            outlook: outlook.clone(),
        };
        outlooks.iter().map(target).collect()
    }
}

/// The moons of Jupiter or Saturn at an instant; none of any other body.
pub(super) fn moons_of(body: Body, at_tt_days: f64) -> Vec<SatelliteView> {
    let views = match body {
        Body::Jupiter | Body::Saturn => satellite_views(at_tt_days).unwrap_or_default(),
        _ => Vec::new(),
    };
    views.into_iter().filter(|moon| moon.of == body).collect()
}

/// Stretches end well above the horizon: the formula holds.
pub(super) fn airmass(refracted_altitude_deg: f64) -> f64 {
    air::airmass(refracted_altitude_deg.clamp(0.0, 90.0)).unwrap_or(38.0)
}

pub(super) fn comes_with_the_sun(subject: &Subject) -> bool {
    matches!(subject, Subject::Body(Body::Mercury | Body::Venus))
}
