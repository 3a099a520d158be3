//! What happens between two dates, with what this place and its telescopes have of it.

use chrono::DateTime;
use chrono::Days;
use chrono::NaiveDate;
use chrono::NaiveTime;
use chrono::TimeDelta;
use chrono::TimeZone;
use chrono::Utc;
use chrono_tz::Tz;
use rayon::prelude::*;

use crate::optics::instrument::Instrument;
use crate::plan::lookout::LOWEST_USEFUL_ALTITUDE_DEG;
use crate::plan::lookout::NEAR_SUN_DEG;
use crate::plan::lookout::STOP_BEFORE_SUNRISE_MINUTES;
use crate::plan::lookout::sun_must_be_below_deg;
use crate::sky::Appearance;
use crate::sky::Body;
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::Almanac;
use crate::sky::almanac::SUNRISE_ALTITUDE_DEG;
use crate::sky::almanac::Span;
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::happenings::Happening;
use crate::sky::happenings::What;
use crate::sky::happenings::happenings as sky_happenings;
use crate::sky::happenings::lunar_eclipse::LunarEclipse;
use crate::sky::happenings::planets::MeetingKind;
use crate::sky::time::tt_days;
use crate::sky::time::utc_from_tt;
use crate::sky::vector::angle_rad;
use crate::sky::vector::direction;
use crate::sky::vector::position_angle_deg;
use crate::workshop::Site;
use crate::workshop::Workshop;

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
    /// Of a lunar eclipse, contact by contact: whether the Moon stands clear of the skyline.
    pub moon_clear: Vec<bool>,
}

/// Whether there is something to look at here, half a day before or after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Chance {
    /// The best moment.
    Seen(BestMoment),
    /// Within ten degrees of the Sun: not to be pointed at.
    NearSun,
    /// Never above the skyline while the sky is dark enough.
    NeverInTheDark,
}

/// When to look, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BestMoment {
    /// When.
    pub at: DateTime<Utc>,
    /// Of the lower of the bodies, with refraction.
    pub altitude_deg: f64,
    /// Of the same, from north through east.
    pub azimuth_deg: f64,
    /// Of a pair.
    pub apart: Option<Apart>,
    /// Before midnight by the Sun: the evening.
    pub evening: bool,
}

/// How the two of a pair stand to each other as seen from here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Centre to centre.
    pub separation_deg: f64,
    /// Where the first stands as seen from the second: 0 straight above, 90 to the right, 180 below.
    pub clockwise_from_up_deg: f64,
}

/// What one telescope takes in of the Moon.
#[derive(Debug, Clone, PartialEq)]
pub struct MoonFields {
    /// As in the workshop file.
    pub telescope: String,
    /// All eyepieces, from the widest field; empty where the telescope cannot be judged.
    pub fields: Vec<Field>,
}

/// One eyepiece's field.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// As in the workshop file.
    pub eyepiece: String,
    /// How much larger.
    pub magnification: f64,
    /// Diameter of the sky seen.
    pub true_field_deg: f64,
}

impl MoonFields {
    /// The strongest magnification that has all of a Moon of that diameter in the field at once.
    pub fn whole_moon(&self, diameter_deg: f64) -> Option<&Field> {
        (self.fields.iter())
            .filter(|field| diameter_deg <= field.true_field_deg)
            .max_by(|a, b| a.magnification.total_cmp(&b.magnification))
    }

    /// The widest field.
    pub fn widest(&self) -> Option<&Field> {
        self.fields.first()
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoHappenings {
    /// The last date lies before the first.
    Backwards {
        /// As asked.
        from: NaiveDate,
        /// As asked.
        to: NaiveDate,
    },
    /// Outside the ephemeris, 1950-2100.
    OutsideEphemeris,
}

/// Everything that happens from the start of one local date to the end of another.
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

/// The first moment of a local date; of the next one that exists where the zone skipped it.
fn local_midnight(date: NaiveDate, zone: Tz) -> Option<DateTime<Utc>> {
    let midnight = date.and_time(NaiveTime::MIN);
    // Clocks that spring forward at midnight begin the day at one; whole days were skipped in the Pacific.
    (0..=48).find_map(|half_hours| {
        let local = midnight.checked_add_signed(TimeDelta::minutes(30 * half_hours))?;
        Some(zone.from_local_datetime(&local).earliest()?.to_utc())
    })
}

impl Listed {
    fn is_lunar_eclipse_here(&self) -> bool {
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
        What::Phase(_) | What::LunarEclipse(_) | What::SolarEclipse(_) => {
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

/// What makes a moment the best one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Aim {
    /// The lower body stands highest.
    Highest,
    /// The two stand closest: the Moon leaves a planet in hours.
    Closest,
}

/// Half a day on either side is one night, whatever the place.
const HALF_NIGHT_DAYS: f64 = 0.5;

/// Ten minutes between the moments tried.
const MOMENT_STEP_DAYS: f64 = 10.0 / 1440.0;

/// Within a span shorter than the ephemeris' own margin this always is an answer.
fn chance(
    site: &Site,
    place: Place,
    at: DateTime<Utc>,
    looks: &[Appearance],
    aim: Aim,
) -> Option<Chance> {
    if looks.iter().any(|look| look.elongation_deg < NEAR_SUN_DEG) {
        return Some(Chance::NearSun);
    }
    let mut bodies: Vec<Body> = looks.iter().map(|look| look.body).collect();
    let faintest_mag = looks
        .iter()
        .map(|look| look.magnitude)
        .fold(-30.0, f64::max);
    bodies.push(Body::Sun);
    let middle = tt_days(at);
    let span = Span {
        from_tt_days: middle - HALF_NIGHT_DAYS,
        until_tt_days: middle + HALF_NIGHT_DAYS,
    };
    let moments = Moments {
        almanac: Almanac::of(&bodies, place, span)?,
        site,
        bodies: &bodies[..bodies.len() - 1],
        sun_below_deg: sun_must_be_below_deg(faintest_mag),
    };
    let n_steps = (2.0 * HALF_NIGHT_DAYS / MOMENT_STEP_DAYS) as usize;
    let best = (0..n_steps)
        .filter_map(|idx| moments.moment(span.from_tt_days + MOMENT_STEP_DAYS * idx as f64))
        .max_by(|a, b| a.merit(aim).total_cmp(&b.merit(aim)));
    Some(best.map_or(Chance::NeverInTheDark, Chance::Seen))
}

/// The moments of one night.
struct Moments<'a> {
    almanac: Almanac,
    site: &'a Site,
    bodies: &'a [Body],
    sun_below_deg: f64,
}

impl Moments<'_> {
    /// `None` while the Sun is too high or about to rise, or a body not clear of the skyline.
    fn moment(&self, tt_days: f64) -> Option<BestMoment> {
        let sun_deg = |tt_days| self.almanac.horizontal(Body::Sun, tt_days).altitude_deg;
        let later = tt_days + STOP_BEFORE_SUNRISE_MINUTES / 1440.0;
        if sun_deg(tt_days) >= self.sun_below_deg || sun_deg(later) >= SUNRISE_ALTITUDE_DEG {
            return None;
        }
        let mut lowest: Option<(f64, f64)> = None;
        for body in self.bodies {
            let at = self.almanac.horizontal(*body, tt_days);
            let skyline_deg = self.site.horizon.altitude_deg(at.azimuth_deg);
            let altitude_deg = refracted_altitude_deg(at.altitude_deg, self.site.elevation_m);
            if altitude_deg < skyline_deg.max(LOWEST_USEFUL_ALTITUDE_DEG) {
                return None;
            }
            if lowest.is_none_or(|(lowest_deg, _)| altitude_deg < lowest_deg) {
                lowest = Some((altitude_deg, at.azimuth_deg));
            }
        }
        let (altitude_deg, azimuth_deg) = lowest?;
        Some(BestMoment {
            at: utc_from_tt(tt_days)?,
            altitude_deg,
            azimuth_deg,
            apart: self.apart(tt_days),
            // The Sun goes down before midnight and comes up after it.
            evening: sun_deg(later) < sun_deg(tt_days),
        })
    }

    fn apart(&self, tt_days: f64) -> Option<Apart> {
        let [first, second] = *self.bodies else {
            return None;
        };
        let [toward_first, toward_second] = [first, second].map(|body| {
            let at = self.almanac.horizontal(body, tt_days);
            direction(at.azimuth_deg, at.altitude_deg)
        });
        Some(Apart {
            separation_deg: angle_rad(toward_first, toward_second).to_degrees(),
            // Azimuths grow to the right where right ascensions grow to the left.
            clockwise_from_up_deg: position_angle_deg(toward_second, toward_first),
        })
    }
}

impl BestMoment {
    fn merit(&self, aim: Aim) -> f64 {
        match (aim, self.apart) {
            (Aim::Closest, Some(apart)) => -apart.separation_deg,
            _ => self.altitude_deg,
        }
    }
}

/// The fields of all telescopes; one that cannot be judged has none.
pub fn moon_fields(workshop: &Workshop, on: NaiveDate) -> Vec<MoonFields> {
    (workshop.telescopes.par_iter())
        .map(|telescope| {
            let views = Instrument::of(workshop, telescope, on).map_or(Vec::new(), |it| it.views);
            let mut fields: Vec<Field> = (views.into_iter())
                .map(|view| Field {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(date: &str, zone: Tz, want: &str) {
        let got = local_midnight(date.parse().unwrap(), zone);
        assert_eq!(got, Some(want.parse::<DateTime<Utc>>().unwrap()), "{date}");
    }

    #[test]
    fn a_date_begins_when_its_clocks_say() {
        // IANA time zone database: Beirut springs forward at midnight, Samoa skipped a day.
        check(
            "2026-12-01",
            chrono_tz::Europe::Madrid,
            "2026-11-30T23:00:00Z",
        );
        check(
            "2026-03-29",
            chrono_tz::Asia::Beirut,
            "2026-03-28T22:00:00Z",
        );
        check(
            "2011-12-30",
            chrono_tz::Pacific::Apia,
            "2011-12-30T10:00:00Z",
        );
    }
}
