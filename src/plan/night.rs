//! One night at one place: for each telescope what it will show, how surely, when, and what limits it.

use chrono::{DateTime, DurationRound, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;
use rayon::prelude::*;

use crate::optics::instrument::Instrument;
use crate::plan::faces::{FaceTonight, face_tonight};
use crate::plan::fill_in::Evening;
use crate::plan::happenings::{Listed, MoonFields, happenings_between, moon_fields};
use crate::plan::local::{NightWindow, night_window};
use crate::plan::tube::CoolDown;
use crate::plan::watch::{Onlooker, Watch};
use crate::sky::Body;
use crate::sky::moons::view::SatelliteView;
use crate::sky::satellite_events::SatelliteEvent;
use crate::sky::small_bodies::TooFar;
use crate::sky::time::tt_days;
use crate::targets::asked::Asked;
use crate::targets::subject::{Seen, Subject};
use crate::targets::verdict::{Look, ThreeAirs, Verdict};
use crate::workshop::{Assumed, RedSpot, Workshop};

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wish {
    /// The local date on which the night begins.
    pub on: NaiveDate,
    /// Bodies in daylight too: only for those who know what they do.
    pub daylight: bool,
}

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Night {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// The local date on which it begins.
    pub on: NaiveDate,
    /// Local noon to local noon.
    pub window: NightWindow,
    /// Dusk and dawn.
    pub sun: SunTimes,
    /// The Moon about the middle of the window.
    pub moon_lit: f64,
    /// Air at the zenith, FWHM in arcseconds.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// Moonless zenith.
    pub dark_zenith_mag_arcsec2: f64,
    /// All nine bodies, in the order of [`Body::ALL`].
    pub bodies: Vec<BodyTimes>,
    /// In the file's order.
    pub telescopes: Vec<TelescopeNight>,
    /// Bodies that are not on the list, and why.
    pub not_tonight: Vec<NotTonight>,
    /// Asteroids and comets whose elements no longer say where they are.
    pub too_far: Vec<TooFar>,
    /// How well the Great Red Spot's times hold.
    pub red_spot: RedSpotTonight,
    /// Contacts of Jupiter's moons with its limb and shadow in the window, in order.
    pub satellite_events: Vec<SatelliteEvent>,
    /// What happens in the window: phases, pairings, eclipses, occultations.
    pub happenings: Vec<Listed>,
    /// What each telescope takes in of the Moon, for an eclipse of it; empty without one.
    pub moon_fields: Vec<MoonFields>,
    /// What can hurt, tonight.
    pub cautions: Vec<Caution>,
    /// Defaults that were used.
    pub assumed: Vec<Assumed>,
    /// As the file has it: every promise is shifted by so many powers of ten.
    pub observer_margin_dex: f64,
}

/// First event of each kind in the window; `None` when it does not happen.
#[derive(Debug, Clone, PartialEq)]
pub struct SunTimes {
    /// Upper limb on the horizon.
    pub set: Option<DateTime<Utc>>,
    /// Upper limb on the horizon.
    pub rise: Option<DateTime<Utc>>,
    /// Sun at -6, -12, -18 degrees: civil, nautical, astronomical.
    pub twilights: [Twilight; 3],
    /// Whether it is above the horizon when nothing happens at all.
    pub up_at_noon: bool,
}

/// The Sun passing one of the twilights' altitudes.
#[derive(Debug, Clone, PartialEq)]
pub struct Twilight {
    /// Going down.
    pub dusk: Option<DateTime<Utc>>,
    /// Coming up.
    pub dawn: Option<DateTime<Utc>>,
}

/// All horizon events of a body in the window.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyTimes {
    /// Which.
    pub body: Body,
    /// Risings.
    pub rises: Vec<DateTime<Utc>>,
    /// Upper transits.
    pub transits: Vec<DateTime<Utc>>,
    /// Settings.
    pub sets: Vec<DateTime<Utc>>,
}

/// One telescope's list.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeNight {
    /// As in the workshop file.
    pub name: String,
    /// The telescope, or why it cannot be judged.
    pub instrument: Result<Instrument, String>,
    /// When to put it outside; `None` without targets or without the mirror's thickness.
    pub put_out: Option<PutOut>,
    /// In the order of their first stretch.
    pub targets: Vec<Target>,
    /// Some of what the evening has beyond the solar system.
    pub beyond: Vec<Target>,
}

/// When a telescope has to be outside to be cool at its first look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PutOut {
    /// At the latest, in still air; whole ten minutes.
    pub by: DateTime<Utc>,
    /// The Sun is still up then.
    pub by_day: bool,
    /// How long it takes, and from what.
    pub cooling: CoolDown,
}

/// One subject for one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// What it shares with the other telescopes.
    pub outlook: Outlook,
    /// On every detail that can be asked for tonight, at the best time.
    pub verdicts: Vec<Verdict>,
}

/// When and where something is to be looked at, whatever the telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// All stretches, in order; never empty.
    pub stretches: Vec<Stretch>,
    /// The best time, inside one of them.
    pub best: DateTime<Utc>,
    /// How it stands then.
    pub at_best: Seen,
    /// The moons of Jupiter or Saturn then.
    pub moons: Vec<SatelliteView>,
    /// What its face has besides.
    pub face: FaceTonight,
    /// Everything that can be asked of it in its stretches.
    pub asked: Vec<Asked>,
    /// How the sky is there then.
    pub sky: SkyThere,
}

impl Outlook {
    /// Fills in what a night's page says of the face; whoever compares many nights does without.
    fn look_at_face(&mut self) {
        if let Some(seen) = self.at_best.appearance() {
            self.face = face_tonight(seen, tt_days(self.best));
        }
    }

    /// What is to be looked at.
    pub fn subject(&self) -> Subject {
        self.at_best.subject()
    }

    /// The look at the best time.
    pub(super) fn look(&self, onlooker: &Onlooker) -> Look<'_> {
        Look {
            appearance: self.at_best.appearance(),
            altitude_deg: self.at_best.altitude_deg(),
            sun_altitude_deg: self.sky.sun_altitude_deg,
            airmass: self.sky.airmass,
            extinction_mag_airmass: self.sky.extinction_mag_airmass,
            sky_brightness_mag_arcsec2: self.sky.brightness_mag_arcsec2,
            seeing_zenith_arcsec: onlooker.seeing_zenith_arcsec,
            observer: onlooker.observer,
            red_spot_longitude_deg: onlooker.red_spot_longitude_deg,
        }
    }
}

/// One stretch of time in which a body can be looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// From when.
    pub from: DateTime<Utc>,
    /// Until when.
    pub until: DateTime<Utc>,
    /// What begins it.
    pub begins: Edge,
    /// What ends it.
    pub ends: Edge,
    /// Of the body at the start, from north through east.
    pub azimuth_from_deg: f64,
    /// Of the body at the end.
    pub azimuth_until_deg: f64,
}

/// What bounds a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// Dusk or dawn: the Sun's depression.
    Twilight,
    /// A quarter of an hour before sunrise.
    BeforeSunrise,
    /// The skyline of the place.
    Skyline,
    /// Too low in the air.
    TooLow,
    /// Noon: the end of the window.
    Noon,
}

/// The air and the sky toward a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyThere {
    /// Airmasses.
    pub airmass: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag_airmass: f64,
    /// Site, Moon and twilight together, V.
    pub brightness_mag_arcsec2: f64,
    /// Of the Sun.
    pub sun_altitude_deg: f64,
}

/// A body that is not on the list.
#[derive(Debug, Clone, PartialEq)]
pub struct NotTonight {
    /// Which.
    pub body: Body,
    /// Why.
    pub reason: Absence,
}

/// Why a body is not on the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Absence {
    /// Never above the skyline and out of the thick air.
    NeverClear {
        /// Its greatest altitude in the window, degrees.
        highest_deg: f64,
    },
    /// Above the skyline only by day or in twilight too bright for it.
    OnlyInDaylight {
        /// When it sets, if it does between sunset and sunrise.
        sets: Option<DateTime<Utc>>,
        /// When it rises, if it does between sunset and sunrise.
        rises: Option<DateTime<Utc>>,
    },
    /// Too near the Sun to be pointed at.
    NearSun {
        /// Angle from the Sun, degrees.
        elongation_deg: f64,
    },
}

/// A caution, to be worded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Caution {
    /// Always.
    Sun,
    /// A list that reaches into daylight.
    Daylight,
    /// A body in the morning sky: when to stop.
    MorningStop {
        /// Mercury or Venus.
        body: Body,
        /// When to stop.
        stop: DateTime<Utc>,
        /// When the Sun comes.
        sunrise: DateTime<Utc>,
    },
    /// A body low in the evening twilight near the Sun: begin after sunset.
    EveningStart {
        /// Mercury or Venus.
        body: Body,
        /// When the Sun is gone.
        sunset: DateTime<Utc>,
    },
    /// Dark terrace.
    Terrace,
}

/// From which measurement the Great Red Spot is placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RedSpotTonight {
    /// The measurement.
    pub measured: RedSpot,
    /// Its age, months.
    pub age_months: f64,
    /// How far the Spot's times may be off, either way, minutes.
    pub uncertain_min: f64,
}

impl RedSpotTonight {
    fn of(measured: RedSpot, on: NaiveDate) -> RedSpotTonight {
        RedSpotTonight {
            measured,
            age_months: measured.age_months(on),
            uncertain_min: measured.uncertain_deg_on(on) / SYSTEM_2_DEG_PER_MIN,
        }
    }
}

/// Turn of Jupiter's System II, 870.27 degrees a day.
const SYSTEM_2_DEG_PER_MIN: f64 = 870.27 / 1440.0;

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoNight {
    /// That date does not exist in the zone of the place.
    NoSuchDate,
    /// Outside the ephemeris, 1950-2100.
    OutsideEphemeris,
    /// The stated faintest star fits no sky this side of the model's range.
    DarknessOutOfRange,
    /// The stated seeing does not stand on its scale.
    SeeingOutOfRange,
}

/// Plans the night that begins on a date.
pub fn night(workshop: &Workshop, wish: Wish) -> Result<Night, NoNight> {
    let site = &workshop.site;
    let window = night_window(wish.on, site.time_zone).ok_or(NoNight::NoSuchDate)?;
    let watch = Watch::of(workshop, window)?;
    let mut outlooks = Vec::new();
    let mut not_tonight = Vec::new();
    for body in Body::ALL.into_iter().filter(|body| *body != Body::Sun) {
        match watch.outlook(Subject::Body(body), wish.daylight)? {
            Ok(mut outlook) => {
                outlook.look_at_face();
                outlooks.push(outlook);
            }
            Err(reason) => not_tonight.push(NotTonight { body, reason }),
        }
    }
    outlooks.sort_by_key(|outlook| outlook.stretches[0].from);
    let evening = Evening::of(&watch, workshop)?;
    let onlooker = watch.onlooker(workshop.observer);
    let happenings =
        happenings_between(site, window.from, window.until).ok_or(NoNight::OutsideEphemeris)?;
    let sun = watch.sun_times();
    let mut assumed = workshop.assumed.clone();
    // A mirror's images take tens of milliseconds: worth a thread each.
    let telescopes: Vec<TelescopeNight> = workshop
        .telescopes
        .par_iter()
        .map(|telescope| {
            let instrument = Instrument::of(workshop, telescope, wish.on);
            let targets = watch.targets(instrument.as_ref().ok(), &outlooks, &onlooker);
            let beyond = instrument.as_ref().map_or_else(
                |_| Vec::new(),
                |instrument| evening.targets(instrument, &targets, &onlooker),
            );
            TelescopeNight {
                name: telescope.name.clone(),
                instrument: instrument.map_err(|why| why.to_string()),
                put_out: put_out(CoolDown::of(telescope), &targets, &sun),
                targets,
                beyond,
            }
        })
        .collect();
    for instrument in telescopes
        .iter()
        .flat_map(|telescope| &telescope.instrument)
    {
        remember(&mut assumed, &instrument.assumed);
    }
    Ok(Night {
        site_name: site.name.clone(),
        zone: site.time_zone,
        on: wish.on,
        window,
        sun,
        moon_lit: watch
            .appearance(Body::Moon, watch.middle())?
            .illuminated_fraction,
        seeing_zenith_arcsec: watch.seeing_zenith_arcsec,
        dark_zenith_mag_arcsec2: watch.dark_zenith_mag_arcsec2,
        bodies: Body::ALL.map(|body| watch.body_times(body)).to_vec(),
        cautions: watch.cautions(&outlooks, wish.daylight),
        red_spot: RedSpotTonight::of(workshop.red_spot, wish.on),
        satellite_events: watch.satellite_events().to_vec(),
        too_far: evening.too_far,
        moon_fields: if happenings.iter().any(Listed::is_lunar_eclipse_here) {
            moon_fields(workshop, wish.on)
        } else {
            Vec::new()
        },
        happenings,
        telescopes,
        not_tonight,
        assumed,
        observer_margin_dex: workshop.observer.margin_dex,
    })
}

/// The first look less the time to cool, rounded down.
fn put_out(cooling: Option<CoolDown>, targets: &[Target], sun: &SunTimes) -> Option<PutOut> {
    let cooling = cooling?;
    let first_look = targets.first()?.outlook.stretches[0].from;
    let by = first_look - TimeDelta::seconds((60.0 * cooling.still_air_min) as i64);
    let by = by.duration_trunc(TimeDelta::minutes(10)).unwrap_or(by);
    Some(PutOut {
        by,
        by_day: sun.set.map_or(sun.up_at_noon, |set| by < set),
        cooling,
    })
}

/// Adds what optics filled in; where the file's own reading has left a more general note, it gives way.
fn remember(assumed: &mut Vec<Assumed>, better: &[Assumed]) {
    assumed.retain(|old| better.iter().all(|new| new.key != old.key));
    assumed.extend_from_slice(better);
}
