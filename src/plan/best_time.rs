//! The hour of a night in which something shows best.

use crate::plan::outlook::TriedHour;
use crate::plan::watch::{Watch, airmass};
use crate::sky::almanac::Span;
use crate::sky::glow::{Moonlight, sky_brightness_mag_arcsec2};
use crate::sky::track::{Horizontal, Track};
use crate::sky::vector::{angle_rad, direction};
use crate::sky::{Body, air};
use crate::targets::look::Hour;
use crate::targets::subject::Seen;
use crate::targets::yardstick::Yardstick;
use crate::units::MINUTES_PER_DAY;

/// Twilight still shows above this altitude of the Sun, and the eyes of who was just indoors are not yet used to the dark:
/// what has to be found among stars is for later. Common practice, no source.
pub const DARK_SUN_DEG: f64 = -15.0;

/// How much height the dark is worth at least, whatever the thresholds say of the last of a twilight: the sky's model has
/// none of the light and of the eye's slow adaptation that make it the worse hour.
const WORTH_OF_DARK_DEG: f64 = 10.0;

impl Watch<'_> {
    /// When it shows best, by object, Sun, Moon and height together; what lies among the stars in the dark where it has a
    /// dark hour hardly lower. `seen`: about the middle of the night.
    pub(super) fn best_time(&self, seen: &Seen, tried: &[TriedHour]) -> f64 {
        let best = best_of(tried, |_| true).expect("a lookout has at least one stretch");
        if seen.appearance().is_some() || best.hour.sun_altitude_deg <= DARK_SUN_DEG {
            return best.hour.at_tt_days;
        }
        let is_dark_and_high = |it: &TriedHour| {
            it.hour.sun_altitude_deg <= DARK_SUN_DEG
                && best.hour.altitude_deg - WORTH_OF_DARK_DEG <= it.hour.altitude_deg
        };
        best_of(tried, is_dark_and_high)
            .unwrap_or(best)
            .hour
            .at_tt_days
    }

    /// How it shows through its stretches. `seen`: about the middle of the night.
    pub(super) fn tried(&self, seen: &Seen, track: &Track, stretches: &[Span]) -> Vec<TriedHour> {
        let yardstick = Yardstick::of(seen, self.middle(), self.seeing_zenith_arcsec.poor);
        let mut tried = Vec::new();
        for stretch in stretches {
            let instants: Vec<f64> = self.instants(*stretch).collect();
            let last = instants.len() - 1;
            let step_minutes = stretch.days() * MINUTES_PER_DAY / last as f64;
            tried.extend(instants.into_iter().enumerate().map(|(idx, at)| {
                let hour = self.hour(seen, track, at);
                let is_end = idx == 0 || idx == last;
                TriedHour {
                    ln_visibility: yardstick.ln_visibility(&hour) + self.ln_in_eclipse(seen, at),
                    minutes: if is_end {
                        0.5 * step_minutes
                    } else {
                        step_minutes
                    },
                    hour,
                }
            }));
        }
        tried
    }

    /// What an eclipse takes of the Moon's own markings: contrast shows by the square root of the light (de Vries and Rose).
    fn ln_in_eclipse(&self, seen: &Seen, at: f64) -> f64 {
        match seen.subject().body() {
            Some(Body::Moon) => 0.5 * self.eclipse_light().left(at).ln(),
            _ => 0.0,
        }
    }

    /// Quickly, from the paths over the night; how the body looks otherwise it takes from `seen`.
    pub(super) fn hour(&self, seen: &Seen, track: &Track, at_tt_days: f64) -> Hour {
        let there = track.horizontal(self.almanac().place(), at_tt_days);
        let sun = self.almanac().horizontal(Body::Sun, at_tt_days);
        let is_moon = (seen.appearance()).is_some_and(|seen| seen.body == Body::Moon);
        let moon = (!is_moon).then(|| self.moonlight(&there, &sun, at_tt_days));
        let glow = self.glow(sun.altitude_deg, moon);
        Hour {
            at_tt_days,
            altitude_deg: there.altitude_deg,
            sun_altitude_deg: sun.altitude_deg,
            airmass: airmass(air::refracted_altitude_deg(
                there.altitude_deg,
                self.almanac().place().elevation_m,
            )),
            extinction_mag_airmass: glow.extinction_mag,
            sky_brightness_mag_arcsec2: sky_brightness_mag_arcsec2(&glow, there.altitude_deg),
        }
    }

    /// The phase angle is taken as what the Moon's distance from the Sun lacks of 180 degrees: right within a degree.
    fn moonlight(&self, there: &Horizontal, sun: &Horizontal, at: f64) -> Moonlight {
        let moon = self.almanac().horizontal(Body::Moon, at);
        let toward = |it: &Horizontal| direction(it.azimuth_deg, it.altitude_deg);
        Moonlight {
            phase_angle_deg: 180.0 - angle_rad(toward(&moon), toward(sun)).to_degrees(),
            altitude_deg: moon.altitude_deg,
            separation_deg: angle_rad(toward(&moon), toward(there)).to_degrees(),
            left: self.eclipse_light().left(at),
        }
    }
}

fn best_of(tried: &[TriedHour], is_wanted: impl Fn(&TriedHour) -> bool) -> Option<TriedHour> {
    (tried.iter().copied())
        .filter(is_wanted)
        .max_by(|a, b| a.ln_visibility.total_cmp(&b.ln_visibility))
}
