//! What a look is worth on one telescope of the evening: by its details, by who stands at the telescope, and by whose eyes
//! reach its eyepiece.

use chrono::TimeDelta;

use crate::optics::instrument::Instrument;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::session::moments::{Moment, MomentKind, of_stay};
use crate::plan::session::telescopes::{CHILD_REACH_M, EveningTelescope, SEATED_EYE_M};
use crate::plan::time_span::TimeSpan;
use crate::sky::Body;
use crate::targets::merit::{self, Merit};
use crate::targets::subject::Subject;
use crate::targets::verdict::{Airs, visibilities_on};
use crate::workshop::Helper;

/// Points of one plain detail of a planet: totals then come in whole numbers, which the proof that a plan is best uses.
const POINTS: f64 = 100.0;

/// What an eclipse of the Moon is worth beside what it leaves to see, a slot: people come for it. The project's own choice.
const ECLIPSE_POINTS: f64 = 400.0;

/// Fainter than this, somebody new does not find it: it hides from the naked eye under a town's sky. Common practice, no
/// source.
const FOUND_BY_ANYBODY_MAG: f64 = 4.5;

/// A target out of a seated eye's reach is kept for when there is nothing else.
const OUT_OF_REACH: f64 = 0.15;

/// Above [`CHILD_REACH_M`] they count less, and above this less again, m.
const HIGH_FOR_A_CHILD_M: f64 = 1.55;

/// Of one look through one telescope, in points.
pub(super) fn points(instrument: &Instrument, outlook: &Outlook, onlooker: &Onlooker) -> Merit {
    let look = outlook.look(onlooker);
    let seen = visibilities_on(instrument, &look, &outlook.asked, Airs::Typical);
    let merit = merit::to_visitors(instrument, &outlook.subject(), seen.concat());
    let points = Merit {
        all: POINTS * merit.all,
        plain: POINTS * merit.plain,
    };
    match is_in_eclipse(outlook) && 0.0 < points.all {
        true => points.raised(ECLIPSE_POINTS),
        false => points,
    }
}

/// However much happens in a slot, it adds no more.
const MOST_FOR_MOMENTS: f64 = 300.0;

/// A part of the Moon in the Earth's umbra.
pub(super) fn is_in_eclipse(outlook: &Outlook) -> bool {
    let shadow = outlook.at_best.appearance().and_then(|seen| seen.shadow);
    shadow.is_some_and(|shadow| 0.0 < shadow.umbral_magnitude())
}

/// What happens at the very end of a slot wants the next one too: nobody leaves with the star.
const LINGER: TimeDelta = TimeDelta::minutes(5);

/// Of what happens on it in a slot.
pub(super) fn of_moments(all: &[Moment], outlook: &Outlook, slot: TimeSpan) -> f64 {
    let slot = TimeSpan {
        from: slot.from - LINGER,
        ..slot
    };
    let of_it = of_stay(all, outlook.subject().body(), slot).into_iter();
    of_it.map(moment_points).sum::<f64>().min(MOST_FOR_MOMENTS)
}

/// Of something that happens then: an eclipse's contact as much as a plain detail, a star that winks out half, what one has
/// to be told of a fifth. The project's own choice.
fn moment_points(moment: Moment) -> f64 {
    POINTS
        * match moment.what {
            MomentKind::Eclipse(_) => 1.0,
            MomentKind::Covered { .. } => 0.5,
            MomentKind::Satellite(_) | MomentKind::RedSpot => 0.2,
            MomentKind::Moonrise
            | MomentKind::Moonset
            | MomentKind::FirstStars
            | MomentKind::SunCovered { .. } => 0.0,
        }
}

/// Whether whoever stands at the telescope finds it.
pub(super) fn is_found(scope: &EveningTelescope, outlook: &Outlook) -> bool {
    let is_bright = outlook.at_best.magnitude() <= FOUND_BY_ANYBODY_MAG;
    is_bright || scope.telescope.stand.helper == Helper::Practised
}

/// What the points are worth on that telescope: less where the right eyes do not reach the eyepiece.
pub(super) fn worth(
    scope: &EveningTelescope,
    outlook: &Outlook,
    points: Merit,
    for_children: bool,
) -> f64 {
    let altitude_deg = outlook.at_best.place().refracted_altitude_deg;
    let height_m = scope.height_m(altitude_deg);
    let held = held_near_zenith(altitude_deg);
    let seated = match height_m {
        Some(height_m) if scope.is_low && !is_seated(height_m) => OUT_OF_REACH,
        _ => 1.0,
    };
    if !for_children && !scope.telescope.stand.for_children {
        return held * seated * points.all;
    }
    let reach = match height_m {
        Some(height_m) if HIGH_FOR_A_CHILD_M < height_m => 0.4,
        Some(height_m) if CHILD_REACH_M < height_m => 0.7,
        _ => 1.0,
    };
    // What is not plain is still better than an idle telescope.
    held * seated * reach * (0.8 * points.plain + 0.2 * points.all)
}

/// Higher than this a tube on a level turntable hardly follows: a small way over the sky is a large turn, degrees. Common
/// practice, no source.
pub(super) const HARD_TO_HOLD_DEG: f64 = 75.0;

/// What is left of a look's worth there: half in the zenith itself.
fn held_near_zenith(altitude_deg: f64) -> f64 {
    let above = (altitude_deg - HARD_TO_HOLD_DEG).max(0.0);
    1.0 - 0.5 * (above / (90.0 - HARD_TO_HOLD_DEG)).min(1.0)
}

/// Whether a seated eye reaches an eyepiece at that height.
pub(super) fn is_seated(height_m: f64) -> bool {
    SEATED_EYE_M.0 <= height_m && height_m <= SEATED_EYE_M.1
}

/// Whether it is at its best with power: the planets, which a mirror for low power does not do justice.
pub(super) fn is_planet(subject: Subject) -> bool {
    subject.body().is_some_and(|body| body != Body::Moon)
}
