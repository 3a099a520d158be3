//! Following the Moon past stars and planets: who comes near, when its limb meets them, and where.

use crate::constants::{ARCSEC_PER_RAD, AU_KM, LIGHT_TIME_AU_DAYS, SECONDS_PER_DAY};
use crate::sky::Body;
use crate::sky::earth::{Place, rotation_angle_rad};
use crate::sky::ephemeris::geocentric_moon_au;
use crate::sky::occultations::occultation::{Contact, EdgePoint, Occultation, Occulted};
use crate::sky::search::{Search, crossings, minimum_between};
use crate::sky::time::utc_from_tt_days;
use crate::sky::track::{EquatorTrack, Track};
use crate::sky::vector::{
    Vec3, angle_rad, difference, dot, length, position_angle_deg, scaled, sum, turned_about_z, unit,
};
use crate::sky::zodiac::{ZodiacStar, zodiac_stars};
use crate::units::wrap_360_deg;

/// Radius of the Moon's mean limb, km: k = 0.2725076 of the Earth's equatorial radius (6378.137 km),
/// 0.7 km more than the mean radius, since of the ground along the edge the highest counts. Source: IAU
/// 1982, as the almanacs use it.
const MEAN_LIMB_KM: f64 = 0.272_507_6 * 6378.137;

/// How far the true limb strays from the mean one, arcseconds: typical, either way. Source: limb
/// profiles as commonly printed, from memory.
const LIMB_RELIEF_ARCSEC: f64 = 2.0;

/// Nearer to the mean limb than this at its deepest, a star is called grazing, arcseconds.
const GRAZING_DEPTH_ARCSEC: f64 = 10.0;

/// Length of a segment of the Moon's path: interpolated within 0.01".
const MOON_SEGMENT_DAYS: f64 = 2.0;

/// Coarse look for who comes near the Moon: it moves 1.7 degrees meanwhile.
const COARSE_STEP_DAYS: f64 = 0.125;

/// Nearer to the geocentric Moon than this at a coarse look, something may be covered somewhere: parallax
/// (1.03), the Moon's radius (0.28), half a coarse step's way (1.0).
const NEAR_DEG: f64 = 2.4;

/// Fine look: the Moon moves five arcminutes meanwhile, a third of its radius.
pub(super) const STEP_DAYS: f64 = 1.0 / 144.0;

/// A fiftieth of a second.
const TOLERANCE_DAYS: f64 = 0.02 / SECONDS_PER_DAY;

/// Paths over one span, intermediate frame, geocentric.
pub(super) struct Passages<'a> {
    place: &'a Place,
    from: f64,
    until: f64,
    equators: EquatorTrack,
    moon: Track,
    sun: Track,
}

/// What may be covered, with what the coarse look needs.
enum Candidate {
    /// Its direction at the middle of the span.
    Star(&'static ZodiacStar, Vec3),
    Planet(Body, Track),
}

/// What may be covered, over the hours of one meeting, geocentric.
enum Aim<'a> {
    /// Unit vectors at two instants, straight between them.
    Star([(f64, Vec3); 2]),
    Planet(&'a Track),
}

/// Seen from the place, intermediate frame.
struct View {
    moon_au: Vec3,
    /// Of what is covered; not of unit length.
    toward: Vec3,
}

impl View {
    /// How far outside the Moon's mean limb, radians; negative behind it.
    fn outside_limb_rad(&self) -> f64 {
        let radius_rad = (MEAN_LIMB_KM / AU_KM / length(self.moon_au)).asin();
        angle_rad(self.moon_au, self.toward) - radius_rad
    }
}

impl<'a> Passages<'a> {
    pub(super) fn over(place: &'a Place, from: f64, until: f64) -> Option<Self> {
        // Passages across either end are followed to their own ends.
        let margin_days = 1.0;
        let equators = EquatorTrack::over(from - margin_days, until + margin_days);
        Some(Passages {
            place,
            from,
            until,
            moon: Track::over(&equators, MOON_SEGMENT_DAYS, moon_au)?,
            sun: Track::of(Body::Sun, &equators)?,
            equators,
        })
    }

    pub(super) fn all(&self) -> Option<Vec<Occultation>> {
        let mut found = Vec::new();
        for candidate in self.candidates()? {
            for (from, until) in self.meetings(&candidate) {
                found.extend(self.passages(&candidate, from, until)?);
            }
        }
        Some(found)
    }

    fn candidates(&self) -> Option<Vec<Candidate>> {
        let middle = 0.5 * (self.from + self.until);
        let mut candidates = Vec::new();
        for star in zodiac_stars() {
            let toward = self.star_direction(star, middle)?;
            candidates.push(Candidate::Star(star, toward));
        }
        let is_planet = |body: &Body| !matches!(body, Body::Sun | Body::Moon);
        for body in Body::ALL.into_iter().filter(is_planet) {
            candidates.push(Candidate::Planet(body, Track::of(body, &self.equators)?));
        }
        Some(candidates)
    }

    /// Geocentric, intermediate frame.
    fn star_direction(&self, star: &ZodiacStar, tt_days: f64) -> Option<Vec3> {
        let toward = star.place.geocentric_direction(tt_days)?;
        Some(self.equators.intermediate(toward, tt_days))
    }

    /// Stretches of time in which the Moon's centre, from the Earth's, is near.
    fn meetings(&self, candidate: &Candidate) -> Vec<(f64, f64)> {
        let near_cosine = NEAR_DEG.to_radians().cos();
        let from = self.from - 2.0 * COARSE_STEP_DAYS;
        let until = self.until + 2.0 * COARSE_STEP_DAYS;
        let n_steps = ((until - from) / COARSE_STEP_DAYS).ceil() as usize;
        let mut meetings: Vec<(f64, f64)> = Vec::new();
        for idx in 0..=n_steps {
            let at = from + COARSE_STEP_DAYS * idx as f64;
            let toward = match candidate {
                Candidate::Star(_, toward) => *toward,
                Candidate::Planet(_, track) => unit(track.intermediate_au(at)),
            };
            if dot(unit(self.moon.intermediate_au(at)), toward) < near_cosine {
                continue;
            }
            let stretch = (at - COARSE_STEP_DAYS, at + COARSE_STEP_DAYS);
            match meetings.last_mut() {
                Some(last) if stretch.0 <= last.1 => last.1 = stretch.1,
                _ => meetings.push(stretch),
            }
        }
        meetings
    }

    /// All passages behind the limb within one meeting.
    fn passages(&self, candidate: &Candidate, from: f64, until: f64) -> Option<Vec<Occultation>> {
        let (occulted, aim) = match candidate {
            Candidate::Star(star, _) => {
                let end = |at| Some((at, self.star_direction(star, at)?));
                (Occulted::Star(star), Aim::Star([end(from)?, end(until)?]))
            }
            Candidate::Planet(body, track) => (Occulted::Planet(*body), Aim::Planet(track)),
        };
        let search = Search {
            from,
            until,
            step: STEP_DAYS,
            tolerance: TOLERANCE_DAYS,
        };
        let found = crossings(search, |at| self.view(&aim, at).outside_limb_rad());
        let pairs = found.windows(2).filter(|two| !two[0].rising);
        let all = pairs.map(|two| self.occultation(occulted, &aim, two[0].at, two[1].at));
        Some(all.filter(|one| self.is_wanted(one)).collect())
    }

    fn is_wanted(&self, occultation: &Occultation) -> bool {
        let is_seen = |contact: &Contact| {
            0.0 < contact.altitude_deg
                && self.from <= contact.tt_days
                && contact.tt_days < self.until
        };
        is_seen(&occultation.disappearance) || is_seen(&occultation.reappearance)
    }

    fn rotation_rad(&self, tt_days: f64) -> f64 {
        rotation_angle_rad(utc_from_tt_days(tt_days))
    }

    fn view(&self, aim: &Aim, tt_days: f64) -> View {
        let observer_au = self.place.position_au(self.rotation_rad(tt_days));
        View {
            moon_au: difference(self.moon.intermediate_au(tt_days), observer_au),
            toward: match aim {
                Aim::Star([(first, a), (last, b)]) => {
                    let share = (tt_days - first) / (last - first);
                    sum(scaled(*a, 1.0 - share), scaled(*b, share))
                }
                Aim::Planet(track) => difference(track.intermediate_au(tt_days), observer_au),
            },
        }
    }

    fn occultation(&self, occulted: Occulted, aim: &Aim, from: f64, until: f64) -> Occultation {
        let mut outside_rad = |at| self.view(aim, at).outside_limb_rad();
        let deepest = minimum_between(from, until, 100.0 * TOLERANCE_DAYS, &mut outside_rad);
        let depth_arcsec = -outside_rad(deepest) * ARCSEC_PER_RAD;
        let contact = |at| self.contact(occulted, aim, at, until - from);
        Occultation {
            occulted,
            disappearance: contact(from),
            reappearance: contact(until),
            grazing: depth_arcsec < GRAZING_DEPTH_ARCSEC,
        }
    }

    fn contact(&self, occulted: Occulted, aim: &Aim, tt_days: f64, covered_days: f64) -> Contact {
        let View { moon_au, toward } = self.view(aim, tt_days);
        let edge = self.edge(moon_au, toward, tt_days);
        let seconds_of = |width_arcsec: f64| {
            let rate_arcsec_s = self.rate_arcsec_s(aim, tt_days).abs();
            (width_arcsec / rate_arcsec_s).min(covered_days * SECONDS_PER_DAY)
        };
        let disc_arcsec = match occulted {
            Occulted::Star(_) => 0.0,
            Occulted::Planet(body) => body.diameter_arcsec(length(toward)),
        };
        let (altitude_deg, azimuth_deg) = self.altitude_azimuth_deg(toward, tt_days);
        let sun = self.sun.horizontal(self.place, tt_days);
        Contact {
            tt_days,
            uncertain_s: seconds_of(LIMB_RELIEF_ARCSEC),
            disc_takes_s: seconds_of(disc_arcsec),
            altitude_deg,
            azimuth_deg,
            sun_altitude_deg: sun.altitude_deg,
            edge,
        }
    }

    /// Change of the distance from the limb, by a difference over ten seconds.
    fn rate_arcsec_s(&self, aim: &Aim, tt_days: f64) -> f64 {
        let half_days = 5.0 / SECONDS_PER_DAY;
        let outside_arcsec = |at| self.view(aim, at).outside_limb_rad() * ARCSEC_PER_RAD;
        (outside_arcsec(tt_days + half_days) - outside_arcsec(tt_days - half_days)) / 10.0
    }

    fn altitude_azimuth_deg(&self, toward: Vec3, tt_days: f64) -> (f64, f64) {
        let fixed = turned_about_z(toward, self.rotation_rad(tt_days));
        let [east, north, up] = self.place.east_north_up(fixed);
        (
            up.atan2(east.hypot(north)).to_degrees(),
            wrap_360_deg(east.atan2(north).to_degrees()),
        )
    }

    fn edge(&self, moon_au: Vec3, toward: Vec3, tt_days: f64) -> EdgePoint {
        let sun_au = self.sun.intermediate_au(tt_days);
        let phase_angle_rad = angle_rad(difference(sun_au, moon_au), scaled(moon_au, -1.0));
        EdgePoint::new(
            position_angle_deg(moon_au, toward),
            position_angle_deg(moon_au, sun_au),
            0.5 * (1.0 + phase_angle_rad.cos()),
        )
    }
}

/// The Moon where it was when its light left, from the Earth's centre (then), GCRS axes, au.
fn moon_au(tt_days: f64) -> Option<Vec3> {
    let distance_au = length(geocentric_moon_au(tt_days)?);
    geocentric_moon_au(tt_days - distance_au * LIGHT_TIME_AU_DAYS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::earth::equator;
    use crate::sky::vector::rotated;

    #[test]
    fn the_moons_path_is_interpolated_within_its_claim() {
        let place = Place::new(43.2, -2.9, 40.0);
        let (from, until) = (9_800.0, 10_200.0);
        let passages = Passages::over(&place, from, until).expect("in range");
        for idx in 0..500 {
            let at = from + (until - from) * (idx as f64 * 0.618_034).fract();
            let exact = rotated(&equator(at).intermediate(), moon_au(at).expect("in range"));
            let off_arcsec = angle_rad(passages.moon.intermediate_au(at), exact) * ARCSEC_PER_RAD;
            assert!(off_arcsec < 0.01, "off by {off_arcsec}\"");
        }
    }
}
