//! One night at one place: for each telescope what it will show, how surely, when, and what limits it.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use rayon::prelude::*;

use crate::optics::figure::NotJudged;
use crate::optics::instrument::Instrument;
use crate::plan::assumed::assumed;
use crate::plan::beyond_tonight::BeyondTonight;
use crate::plan::caution::Caution;
use crate::plan::happenings::{Listed, MoonFields, happenings_between, moon_fields};
use crate::plan::local::night_window;
use crate::plan::night_table::{Given, TableRow, table};
use crate::plan::outlook::{NotTonight, Target};
use crate::plan::put_out::{PutOut, put_out};
use crate::plan::refusal::NoNight;
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;
use crate::plan::tube::CoolDown;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::satellite_events::SatelliteEvent;
use crate::sky::small_bodies::TooFar;
use crate::targets::subject::Subject;
use crate::targets::verdict::ThreeAirs;
use crate::units::MINUTES_PER_DAY;
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
    pub window: TimeSpan,
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
    /// How surely each of them shows each target.
    pub table: Vec<TableRow>,
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
    pub instrument: Result<Instrument, NotJudged>,
    /// When to put it outside; `None` without targets or without the mirror's thickness.
    pub put_out: Option<PutOut>,
    /// In the order of their first stretch.
    pub targets: Vec<Target>,
    /// Some of what the evening has beyond the solar system.
    pub beyond: Vec<Target>,
}

impl TelescopeNight {
    fn given(&self) -> Given<'_> {
        Given {
            instrument: self.instrument.as_ref().ok(),
            planets: &self.targets,
            beyond: &self.beyond,
        }
    }
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
const SYSTEM_2_DEG_PER_MIN: f64 = 870.27 / MINUTES_PER_DAY;

/// Plans the night that begins on a date.
///
/// ```
/// use skyworthy::plan::night::{Wish, night};
/// use skyworthy::workshop;
///
/// let wish = Wish { on: "2026-12-17".parse()?, daylight: false };
/// let night = night(&workshop::example(), wish)?;
/// let first = &night.telescopes[0].targets[0];
/// println!("{} from {}", first.outlook.subject().name(), first.outlook.stretches[0].from);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
    let beyond_tonight = BeyondTonight::of(&watch, workshop)?;
    let onlooker = watch.onlooker(workshop.observer);
    let happenings =
        happenings_between(site, window.from, window.until).ok_or(NoNight::OutsideEphemeris)?;
    let sun = watch.sun_times();
    // A mirror's images take tens of milliseconds: worth a thread each.
    let telescopes: Vec<TelescopeNight> = workshop
        .telescopes
        .par_iter()
        .map(|telescope| {
            let instrument = Instrument::of(workshop, telescope, wish.on);
            let targets = watch.targets(instrument.as_ref().ok(), &outlooks, &onlooker);
            let beyond = instrument.as_ref().map_or_else(
                |_| Vec::new(),
                |instrument| beyond_tonight.targets(instrument, &targets, &onlooker),
            );
            TelescopeNight {
                name: telescope.name.clone(),
                instrument,
                put_out: put_out(CoolDown::of(telescope), first_look(&targets), &sun),
                targets,
                beyond,
            }
        })
        .collect();
    let given: Vec<Given> = telescopes.iter().map(TelescopeNight::given).collect();
    Ok(Night {
        table: table(&outlooks, &given, &onlooker),
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
        too_far: beyond_tonight.too_far,
        moon_fields: if happenings.iter().any(Listed::is_lunar_eclipse_here) {
            moon_fields(workshop, wish.on)
        } else {
            Vec::new()
        },
        happenings,
        assumed: assumed(
            workshop,
            telescopes
                .iter()
                .flat_map(|telescope| &telescope.instrument),
        ),
        telescopes,
        not_tonight,
        observer_margin_dex: workshop.observer.margin_dex,
    })
}

fn first_look(targets: &[Target]) -> Option<DateTime<Utc>> {
    Some(targets.first()?.outlook.stretches[0].from)
}
