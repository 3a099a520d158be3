//! What another week of figuring would buy: the same telescope with a better mirror, under the
//! site's own air and the planets of the coming twelve months.

use chrono::{Days, NaiveDate};

use crate::optics::instrument::Instrument;
use crate::optics::knife::{Reduction, ZoneOutcome};
use crate::optics::wavefront::Wavefront;
use crate::plan::local::night_window;
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::refusal::NoNight;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::targets::details::Detail;
use crate::targets::subject::Subject;
use crate::targets::verdict::{Grade, ThreeAirs, grades};
use crate::workshop::Workshop;

/// Nights between two samples of the year: planets change little in a fortnight.
const STEP_DAYS: u64 = 15;

/// Samples in twelve months.
const N_SAMPLES: u64 = 24;

/// The bodies whose detail a figure can spoil.
const BODIES: [Body; 4] = [Body::Moon, Body::Mars, Body::Jupiter, Body::Saturn];

/// How often each air comes, shares of the nights. A default, common practice and no source: the
/// workshop file has no key for it yet.
pub const AIR_SHARES: ThreeAirs<f64> = ThreeAirs {
    good: 0.2,
    typical: 0.5,
    poor: 0.3,
};

/// Fewer evenings more than these nobody would notice, nor does a year sampled every fortnight tell.
const WORTH_SAYING_EVENINGS: f64 = 8.0;

/// The year's looks at the planets from one site, the same for all telescopes.
pub(super) struct Year {
    outlooks: Vec<Outlook>,
    pub(super) onlooker: Onlooker,
}

impl Year {
    /// From a date on; nights that cannot be planned (outside the ephemeris) are left out.
    pub(super) fn beginning(workshop: &Workshop, from: NaiveDate) -> Result<Year, NoNight> {
        let site = &workshop.site;
        let mut outlooks = Vec::new();
        let mut onlooker = None;
        for step in 0..N_SAMPLES {
            let night = from.checked_add_days(Days::new(step * STEP_DAYS));
            let Some(window) = night.and_then(|on| night_window(on, site.time_zone)) else {
                continue;
            };
            let watch = match Watch::of(workshop, window) {
                Err(NoNight::OutsideEphemeris) => continue,
                watch => watch?,
            };
            onlooker = Some(watch.onlooker(workshop.observer));
            for body in BODIES {
                outlooks.extend(watch.outlook(Subject::Body(body), false)?);
            }
        }
        Ok(Year {
            outlooks,
            onlooker: onlooker.ok_or(NoNight::OutsideEphemeris)?,
        })
    }

    /// Evenings of the year, if clear, on which each detail is at least `patient`, every air at its
    /// share; in the order of the table of details.
    fn evenings(&self, instrument: &Instrument) -> Vec<(&'static Detail, f64)> {
        let mut evenings: Vec<(&'static Detail, f64)> = Vec::new();
        for outlook in &self.outlooks {
            let look = outlook.look(&self.onlooker);
            for (detail, grade) in grades(instrument, &look) {
                let here = STEP_DAYS as f64 * share_shown(&grade);
                match evenings.iter_mut().find(|(known, _)| known.id == detail.id) {
                    Some((_, sum)) => *sum += here,
                    None => evenings.push((detail, here)),
                }
            }
        }
        evenings
    }
}

/// Share of the nights, by their air, on which a detail is at least `patient`.
fn share_shown(grade: &ThreeAirs<Grade>) -> f64 {
    let shown = |grade: Grade, share: f64| if Grade::Patient <= grade { share } else { 0.0 };
    shown(grade.good, AIR_SHARES.good)
        + shown(grade.typical, AIR_SHARES.typical)
        + shown(grade.poor, AIR_SHARES.poor)
}

/// What a better mirror would add.
#[derive(Debug, Clone, PartialEq)]
pub struct WeekGain {
    /// Strehl ratio it would have.
    pub strehl: f64,
    /// Details seen on at least eight evenings more, the most gained first.
    pub details: Vec<DetailGain>,
}

/// One detail that would be seen more often.
#[derive(Debug, Clone, PartialEq)]
pub struct DetailGain {
    /// Which.
    pub detail: &'static Detail,
    /// Evenings of the coming twelve months, if all were clear, on which it is at least `patient`.
    pub evenings_now: f64,
    /// With the better mirror.
    pub evenings_then: f64,
}

/// What another week would buy: a part of the verdict on a mirror.
///
/// ```
/// use skyworthy::plan::mirror::mirrors;
/// use skyworthy::workshop;
///
/// let answer = mirrors(&workshop::example(), "2026-12-17".parse()?)?;
/// let judged = answer.mirrors[0].judged.as_ref().map_err(Clone::clone)?;
/// for gained in &judged.week.perfect.details {
///     println!("{}: {:.0} evenings more", gained.detail.name, gained.evenings_then - gained.evenings_now);
///     assert!(gained.evenings_now < gained.evenings_then);
/// }
/// assert!(judged.figures.strehl.value <= judged.week.perfect.strehl);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Week {
    /// With the worst zone brought to its neighbours; `None` where no zones were read, or
    /// all are within what is allowed, or that zone is low: nobody adds
    /// glass.
    pub worst_zone_corrected: Option<WeekGain>,
    /// With a perfect mirror.
    pub perfect: WeekGain,
}

/// Compares a telescope with itself after more work, over a year of planets.
pub(super) fn week(year: &Year, instrument: &Instrument) -> Week {
    let now = year.evenings(instrument);
    let gain = |better: &Instrument| {
        let then = year.evenings(better);
        let mut details: Vec<DetailGain> = now
            .iter()
            .zip(&then)
            .map(|((detail, evenings_now), (_, evenings_then))| DetailGain {
                detail,
                evenings_now: *evenings_now,
                evenings_then: *evenings_then,
            })
            .filter(|gain| WORTH_SAYING_EVENINGS <= gain.evenings_then - gain.evenings_now)
            .collect();
        let gained = |gain: &DetailGain| gain.evenings_then - gain.evenings_now;
        details.sort_by(|a, b| gained(b).total_cmp(&gained(a)));
        WeekGain {
            strehl: better.strehl,
            details,
        }
    };
    Week {
        worst_zone_corrected: (instrument.found.reduction())
            .filter(|reduction| {
                reduction.worst_zone().is_high() && !reduction.is_within_tolerance()
            })
            .map(|reduction| {
                gain(&instrument.with_wavefront(zone_corrected(reduction, instrument)))
            }),
        perfect: gain(&instrument.with_wavefront(Wavefront::Perfect)),
    }
}

/// The wavefront with the worst zone brought to a straight line between its neighbours; a zone at the
/// middle or the rim, level with the one neighbour it has.
fn zone_corrected(reduction: &Reduction, instrument: &Instrument) -> Wavefront {
    let ZoneOutcome {
        inner_mm, outer_mm, ..
    } = *reduction.worst_zone();
    let radius_mm = instrument.aperture_mm / 2.0;
    let (inner, outer) = (inner_mm / radius_mm, outer_mm / radius_mm);
    let profile = &reduction.evidence.profile;
    let before = profile
        .iter()
        .rev()
        .find(|point| point.radius_fraction < inner);
    let after = profile.iter().find(|point| outer < point.radius_fraction);
    let level = |at: f64| match (before, after) {
        (Some(left), Some(right)) => {
            let share =
                (at - left.radius_fraction) / (right.radius_fraction - left.radius_fraction);
            left.wavefront_nm + share * (right.wavefront_nm - left.wavefront_nm)
        }
        (Some(only), None) | (None, Some(only)) => only.wavefront_nm,
        (None, None) => 0.0,
    };
    let points = profile.iter().map(|point| {
        let at = point.radius_fraction;
        let inside = inner <= at && at <= outer;
        (
            at,
            if inside {
                level(at)
            } else {
                point.wavefront_nm
            },
        )
    });
    Wavefront::Profile(points.collect())
}
