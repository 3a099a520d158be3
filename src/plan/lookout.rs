//! When a body can be looked at from a place: clear of the skyline, and the Sun far enough down.

use crate::sky::Body;
use crate::sky::air::refracted_altitude_deg;
use crate::sky::almanac::{
    Almanac, CIVIL_TWILIGHT_DEG, NAUTICAL_TWILIGHT_DEG, SUNRISE_ALTITUDE_DEG, Span,
};
use crate::sky::search::{Search, crossings};
use crate::sky::spans::{above_zero, common};
use crate::sky::track::Track;
use crate::units::MINUTES_PER_DAY;
use crate::workshop::Horizon;

/// Nothing is worth a look lower than this, even over an open sea: the air there is ten times as
/// thick as overhead. Common practice, no source.
pub const LOWEST_USEFUL_ALTITUDE_DEG: f64 = 5.0;

/// Nearer to the Sun than this, nothing is listed unless asked for outright: a slip of the tube or
/// a sunrise brings the Sun into it.
pub const NEAR_SUN_DEG: f64 = 10.0;

/// While the Sun is up, nothing nearer than this is listed even when asked for. Common practice
/// among those who observe by day, no source.
pub const DAYLIGHT_SEPARATION_DEG: f64 = 25.0;

/// Fainter bodies cannot be found by day with an undriven telescope. Common practice, no source: Moon, Venus,
/// Jupiter, Mercury and Mars at their best.
pub const FAINTEST_BY_DAY_MAG: f64 = 0.0;

/// In the morning the Sun comes to the observer: everything is given up this long before sunrise. Common practice, no source.
pub const STOP_BEFORE_SUNRISE_MINUTES: f64 = 15.0;

/// Five minutes: corners of a skyline are wider than the sky turns in that time, or do not matter.
const SKYLINE_STEP_DAYS: f64 = 5.0 / MINUTES_PER_DAY;

/// A second is finer than any skyline is known.
const SKYLINE_TOLERANCE_DAYS: f64 = 1.0 / crate::constants::SECONDS_PER_DAY;

/// Shorter glimpses are not offered.
pub const SHORTEST_DAYS: f64 = 10.0 / MINUTES_PER_DAY;

/// The Sun's altitude below which a body of that magnitude can be found and looked at, degrees.
///
/// Common practice, no source: Moon, Venus, Jupiter from sunset; the planets of the first magnitude as
/// twilight deepens; Uranus and Neptune when it is nearly dark.
pub fn sun_must_be_below_deg(magnitude: f64) -> f64 {
    match magnitude {
        m if m <= -1.5 => SUNRISE_ALTITUDE_DEG,
        m if m <= 1.5 => -4.0,
        m if m <= 4.0 => CIVIL_TWILIGHT_DEG,
        _ => NAUTICAL_TWILIGHT_DEG,
    }
}

/// The stretches in which the Sun's centre is lower than an altitude.
pub fn sun_below(almanac: &Almanac, altitude_deg: f64) -> Vec<Span> {
    let whole = almanac.span();
    let mut crossings = almanac.altitude_crossings(Body::Sun, altitude_deg);
    // Below the line is above zero of its negative.
    for crossing in &mut crossings {
        crossing.rising = !crossing.rising;
    }
    let at_start = almanac
        .horizontal(Body::Sun, whole.from_tt_days)
        .altitude_deg
        < altitude_deg;
    above_zero(whole, &crossings, at_start)
}

/// How far a path stands above the skyline (or above the lowest useful altitude), as seen through
/// the refracting air, degrees.
fn over_skyline_deg(almanac: &Almanac, horizon: &Horizon, track: &Track, tt_days: f64) -> f64 {
    let at = track.horizontal(almanac.place(), tt_days);
    let lowest_deg = horizon
        .altitude_deg(at.azimuth_deg)
        .max(LOWEST_USEFUL_ALTITUDE_DEG);
    refracted_altitude_deg(at.altitude_deg, almanac.place().elevation_m) - lowest_deg
}

/// The stretches in which something stands clear of the skyline, day or night.
pub fn clear_of_skyline(almanac: &Almanac, horizon: &Horizon, track: &Track) -> Vec<Span> {
    let whole = almanac.span();
    let search = Search {
        from: whole.from_tt_days,
        until: whole.until_tt_days,
        step: SKYLINE_STEP_DAYS,
        tolerance: SKYLINE_TOLERANCE_DAYS,
    };
    let over = |tt_days| over_skyline_deg(almanac, horizon, track, tt_days);
    let found = crossings(search, over);
    above_zero(whole, &found, over(whole.from_tt_days) > 0.0)
}

/// Something whose stretches are looked for.
#[derive(Debug, Clone, Copy)]
pub struct Candidate<'a> {
    /// Its path over the span of the almanac.
    pub track: &'a Track,
    /// About the middle of the span: how dark it has to be.
    pub magnitude: f64,
    /// About the middle of the span, from the Sun.
    pub elongation_deg: f64,
}

/// What the stretches of the night are, or why there are none.
#[derive(Debug, Clone, PartialEq)]
pub enum Lookout {
    /// In order, each at least ten minutes long.
    Stretches(Vec<Span>),
    /// Never clear of the skyline or too low, all day and night.
    NeverClear,
    /// Clear only while the Sun is up or the sky too bright for it.
    OnlyInDaylight,
    /// Too near the Sun.
    NearSun,
}

/// Looks for the stretches of one candidate; `daylight`: the user asked outright for bodies in daylight.
pub fn lookout(
    almanac: &Almanac,
    horizon: &Horizon,
    candidate: &Candidate,
    daylight: bool,
) -> Lookout {
    let clear = clear_of_skyline(almanac, horizon, candidate.track);
    if clear.is_empty() {
        return Lookout::NeverClear;
    }
    if !daylight && candidate.elongation_deg < NEAR_SUN_DEG {
        return Lookout::NearSun;
    }
    let findable = candidate.magnitude <= FAINTEST_BY_DAY_MAG
        && DAYLIGHT_SEPARATION_DEG <= candidate.elongation_deg;
    let allowed = if daylight && findable {
        vec![almanac.span()]
    } else {
        sun_low_enough(almanac, candidate)
    };
    let mut stretches = common(&clear, &allowed);
    stretches.retain(|stretch| SHORTEST_DAYS <= stretch.days());
    if stretches.is_empty() {
        return Lookout::OnlyInDaylight;
    }
    Lookout::Stretches(stretches)
}

/// When the Sun is far enough down for that, and not about to rise.
fn sun_low_enough(almanac: &Almanac, candidate: &Candidate) -> Vec<Span> {
    let mut dark = sun_below(almanac, sun_must_be_below_deg(candidate.magnitude));
    for sunrise in sunrises(almanac) {
        let stop = morning_stop(sunrise);
        for stretch in &mut dark {
            if stop < stretch.until_tt_days && stretch.until_tt_days <= sunrise + 1e-6 {
                stretch.until_tt_days = stop;
            }
        }
    }
    dark.retain(|stretch| stretch.from_tt_days < stretch.until_tt_days);
    dark
}

/// When everything is given up before that sunrise.
pub fn morning_stop(sunrise_tt_days: f64) -> f64 {
    sunrise_tt_days - STOP_BEFORE_SUNRISE_MINUTES / MINUTES_PER_DAY
}

/// The other way round: who stops then is safe from a sunrise at this instant or later.
pub fn safe_until(stop_tt_days: f64) -> f64 {
    stop_tt_days + STOP_BEFORE_SUNRISE_MINUTES / MINUTES_PER_DAY
}

/// Sunrises of the span, days of TT since J2000.0.
pub fn sunrises(almanac: &Almanac) -> Vec<f64> {
    let crossings = almanac.risings_and_settings(Body::Sun);
    crossings
        .into_iter()
        .filter(|crossing| crossing.rising)
        .map(|crossing| crossing.at)
        .collect()
}
