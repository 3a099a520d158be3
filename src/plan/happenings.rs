//! What happens between two dates, with what this place and its telescopes have of it.

use chrono::{DateTime, Days, NaiveDate, Utc};
use chrono_tz::Tz;
use rayon::prelude::*;

use crate::optics::instrument::Instrument;
use crate::plan::best_moment::{Aim, Chance, chance};
use crate::plan::local::local_midnight;
use crate::plan::lookout::{LOWEST_USEFUL_ALTITUDE_DEG, sun_must_be_below_deg};
use crate::plan::refusal::NoHappenings;
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::CIVIL_TWILIGHT_DEG;
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::happenings::lunar_eclipse::LunarEclipse;
use crate::sky::happenings::planets::MeetingKind;
use crate::sky::happenings::{Happening, What, happenings as sky_happenings};
use crate::sky::occultations::{Occultation, Occulted};
use crate::sky::{Appearance, Body};
use crate::workshop::{Site, Workshop};

/// With less of the Moon's diameter in the penumbra nobody sees a shading. Common practice, no source.
pub const FAINTEST_PENUMBRAL_MAGNITUDE: f64 = 0.6;

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Happenings {
    /// Of the place.
    pub site_name: String,
    /// For local times.
    pub zone: Tz,
    /// First local date.
    pub from: NaiveDate,
    /// Last local date.
    pub to: NaiveDate,
    /// In order of time.
    pub listed: Vec<Listed>,
    /// What each telescope takes in of the Moon, in the file's order; empty without a lunar eclipse here.
    pub telescopes: Vec<MoonFields>,
}

/// One happening as the place has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// What happens, and when.
    pub happening: Happening,
    /// The planet at that moment; `None` where no single planet is meant.
    pub planet: Option<Appearance>,
    /// Whether and when to look; `None` for what has no view of its own: phases, conjunctions, eclipses of the Sun.
    pub chance: Option<Chance>,
    /// Of a lunar eclipse, contact by contact: whether the Moon stands clear of the skyline; of an
    /// occultation, of its beginning and its end: whether that in a dark enough sky.
    pub moon_clear: Vec<bool>,
}

/// What one telescope takes in of the Moon.
#[derive(Debug, Clone, PartialEq)]
pub struct MoonFields {
    /// As in the workshop file.
    pub telescope: String,
    /// All eyepieces, from the widest field; empty where the telescope cannot be judged.
    pub fields: Vec<FieldOfView>,
}

/// One eyepiece's field.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldOfView {
    /// As in the workshop file.
    pub eyepiece: String,
    /// How much larger.
    pub magnification: f64,
    /// Diameter of the sky seen.
    pub true_field_deg: f64,
}

impl MoonFields {
    /// The strongest magnification that has all of a Moon of that diameter in the field at once.
    pub fn whole_moon(&self, diameter_deg: f64) -> Option<&FieldOfView> {
        (self.fields.iter())
            .filter(|field| diameter_deg <= field.true_field_deg)
            .max_by(|a, b| a.magnification.total_cmp(&b.magnification))
    }

    /// The widest field.
    pub fn widest(&self) -> Option<&FieldOfView> {
        self.fields.first()
    }
}

/// Everything that happens from the start of one local date to the end of another.
///
/// ```
/// use skyworthy::plan::happenings::happenings;
/// use skyworthy::workshop;
///
/// let happenings = happenings(&workshop::example(), "2026-12-01".parse()?, "2026-12-07".parse()?)?;
/// for listed in &happenings.listed {
///     println!("{}", listed.happening.at);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn happenings(
    workshop: &Workshop,
    from: NaiveDate,
    to: NaiveDate,
) -> Result<Happenings, NoHappenings> {
    if to < from {
        return Err(NoHappenings::Backwards { from, to });
    }
    let site = &workshop.site;
    let midnight = |date| local_midnight(date, site.time_zone);
    let after = to.checked_add_days(Days::new(1));
    let (start, end) = (midnight(from))
        .zip(after.and_then(midnight))
        .ok_or(NoHappenings::OutsideEphemeris)?;
    let listed = happenings_between(site, start, end).ok_or(NoHappenings::OutsideEphemeris)?;
    let any_eclipse = listed.iter().any(Listed::is_lunar_eclipse_here);
    Ok(Happenings {
        site_name: site.name.clone(),
        zone: site.time_zone,
        from,
        to,
        telescopes: if any_eclipse {
            moon_fields(workshop, from)
        } else {
            Vec::new()
        },
        listed,
    })
}

/// The same between two instants, for a night's page; `None` outside the ephemeris.
pub fn happenings_between(
    site: &Site,
    from: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Option<Vec<Listed>> {
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let found = sky_happenings(from, until, &place)?;
    let listed = found.into_par_iter().map(|it| listed(site, place, it));
    Some(listed.collect())
}

impl Listed {
    /// An eclipse of the Moon that is seen from here.
    pub fn is_lunar_eclipse_here(&self) -> bool {
        match &self.happening.what {
            What::LunarEclipse(eclipse) => is_up(eclipse),
            _ => false,
        }
    }
}

/// Whether any of an eclipse's contacts happens above the horizon.
fn is_up(eclipse: &LunarEclipse) -> bool {
    eclipse.contacts.iter().any(|contact| contact.is_up)
}

/// What the place has of a happening.
fn listed(site: &Site, place: Place, happening: Happening) -> Listed {
    let scene = Scene::new(place, happening.at);
    let look = |body| scene.and_then(|scene| scene.appearance(body));
    let (planet, bodies, aim) = match &happening.what {
        What::Meeting(meeting) if meeting.kind == MeetingKind::Opposition => {
            (look(meeting.body), vec![meeting.body], Aim::Highest)
        }
        What::Meeting(meeting) => (look(meeting.body), vec![], Aim::Highest),
        What::Elongation(greatest) => (look(greatest.body), vec![greatest.body], Aim::Highest),
        What::Nearest(nearest) => (look(nearest.body), vec![nearest.body], Aim::Highest),
        What::Station(station) => (look(station.body), vec![], Aim::Highest),
        What::RingPlane(_) => (look(Body::Saturn), vec![Body::Saturn], Aim::Highest),
        What::Pairing(pair) if pair.first == Body::Moon => {
            (None, vec![pair.first, pair.second], Aim::Closest)
        }
        What::Pairing(pair) => (None, vec![pair.first, pair.second], Aim::Highest),
        What::Phase(_) | What::LunarEclipse(_) | What::SolarEclipse(_) | What::Occultation(_) => {
            (None, vec![], Aim::Highest)
        }
    };
    let looks: Option<Vec<Appearance>> = bodies.iter().map(|body| look(*body)).collect();
    let chance = looks
        .filter(|looks| !looks.is_empty())
        .and_then(|looks| chance(site, place, happening.at, &looks, aim));
    Listed {
        moon_clear: match &happening.what {
            What::LunarEclipse(eclipse) => moon_clear(site, eclipse),
            What::Occultation(occultation) => contacts_seen(site, occultation),
            _ => Vec::new(),
        },
        happening,
        planet,
        chance,
    }
}

fn moon_clear(site: &Site, eclipse: &LunarEclipse) -> Vec<bool> {
    (eclipse.contacts.iter())
        .map(|contact| {
            let altitude_deg = refracted_altitude_deg(contact.moon_altitude_deg, site.elevation_m);
            contact.is_up && site.horizon.altitude_deg(contact.moon_azimuth_deg) <= altitude_deg
        })
        .collect()
}

fn contacts_seen(site: &Site, occultation: &Occultation) -> Vec<bool> {
    // A star beside the Moon can be followed when civil twilight ends, a bright planet from sunset. Common practice,
    // no source.
    let sun_below_deg = match occultation.occulted {
        Occulted::Star(_) => CIVIL_TWILIGHT_DEG,
        Occulted::Planet(body) => sun_must_be_below_deg(match body {
            Body::Venus | Body::Jupiter => -2.0,
            Body::Uranus | Body::Neptune => 6.0,
            _ => 1.0,
        }),
    };
    [occultation.disappearance, occultation.reappearance]
        .map(|contact| {
            let altitude_deg = refracted_altitude_deg(contact.altitude_deg, site.elevation_m);
            let skyline_deg = site.horizon.altitude_deg(contact.azimuth_deg);
            contact.sun_altitude_deg < sun_below_deg
                && skyline_deg.max(LOWEST_USEFUL_ALTITUDE_DEG) <= altitude_deg
        })
        .to_vec()
}

/// The fields of all telescopes; one that cannot be judged has none.
pub fn moon_fields(workshop: &Workshop, on: NaiveDate) -> Vec<MoonFields> {
    (workshop.telescopes.par_iter())
        .map(|telescope| {
            let views = Instrument::of(workshop, telescope, on).map_or(Vec::new(), |it| it.views);
            let mut fields: Vec<FieldOfView> = (views.into_iter())
                .map(|view| FieldOfView {
                    eyepiece: view.eyepiece,
                    magnification: view.magnification,
                    true_field_deg: view.true_field_deg,
                })
                .collect();
            fields.sort_by(|a, b| b.true_field_deg.total_cmp(&a.true_field_deg));
            MoonFields {
                telescope: telescope.name.clone(),
                fields,
            }
        })
        .collect()
}
