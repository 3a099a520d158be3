//! When to look at one body or at two together: dark enough, clear of the skyline, never at the Sun.

use chrono::{DateTime, Utc};

use crate::plan::lookout::{
    LOWEST_USEFUL_ALTITUDE_DEG, NEAR_SUN_DEG, safe_until, sun_must_be_below_deg,
};
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::{Almanac, SUNRISE_ALTITUDE_DEG, Span};
use crate::sky::earth::Place;
use crate::sky::time::{tt_days, utc_from_tt};
use crate::sky::vector::{angle_rad, direction, position_angle_deg};
use crate::sky::{Appearance, Body};
use crate::units::MINUTES_PER_DAY;
use crate::workshop::Site;

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

/// When to look, and where: a part of what happens.
///
/// ```
/// use skyworthy::plan::best_moment::Chance;
/// use skyworthy::plan::happenings::happenings;
/// use skyworthy::workshop;
///
/// let all = happenings(&workshop::example(), "2027-02-01".parse()?, "2027-02-28".parse()?)?;
/// let mut seen = 0;
/// for listed in &all.listed {
///     if let Some(Chance::Seen(best)) = listed.chance {
///         println!("{}: {:.0} degrees up", best.at, best.altitude_deg);
///         assert!(5.0 <= best.altitude_deg); // never into the haze
///         seen += 1;
///     }
/// }
/// assert!(0 < seen);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
}

/// How the two of a pair stand to each other as seen from here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Centre to centre.
    pub separation_deg: f64,
    /// Where the first stands as seen from the second: 0 straight above, 90 to the right, 180 below.
    pub clockwise_from_up_deg: f64,
}

/// What makes a moment the best one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    /// The lower body stands highest.
    Highest,
    /// The two stand closest: the Moon leaves a planet in hours.
    Closest,
}

/// Half a day on either side is one night, whatever the place.
const HALF_NIGHT_DAYS: f64 = 0.5;

/// Ten minutes between the moments tried.
const MOMENT_STEP_DAYS: f64 = 10.0 / MINUTES_PER_DAY;

/// Whether and when to look at a body, or at two at once, in the night about an instant. `looks`: how they look then.
///
/// `None` half a day and more outside the ephemeris.
pub(super) fn chance(
    site: &Site,
    place: Place,
    at: DateTime<Utc>,
    looks: &[Appearance],
    aim: Aim,
) -> Option<Chance> {
    if looks
        .iter()
        .any(|look| look.place.elongation_deg < NEAR_SUN_DEG)
    {
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
        let is_up_soon = SUNRISE_ALTITUDE_DEG <= sun_deg(safe_until(tt_days));
        if sun_deg(tt_days) >= self.sun_below_deg || is_up_soon {
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
