//! What a log of looks comes to: promised against seen, and what it says of the place's air and of the eyes
//! that looked. Proposes; changes nothing.

mod fit;

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use serde::Serialize;

use crate::plan::conditions::seeing_zenith_arcsec;
use crate::plan::local::night_date;
use crate::plan::refusal::NoNight;
use crate::plan::seen::in_air;
use crate::targets::details::{detail, details};
use crate::targets::small_bodies::small_bodies;
use crate::targets::subject::subject_of;
use crate::targets::verdict::ThreeAirs;
use crate::workshop::Workshop;
use crate::workshop::log::{JudgedAir, LoggedLook, Margins, Promise, PromisedGrade, SeenBy};

use self::fit::{Case, Groups, Prior, fit, is_telling};

pub use self::fit::{Estimate, curve_dex, likelihood};

/// So many looks that tell something are needed before anything is proposed. A judgement, no source: with
/// them the margin is known to a tenth of a power of ten or so.
pub const TELLING_LOOKS_NEEDED: usize = 20;

/// On so many nights: one night's air is not the place's. A judgement, no source.
pub const NIGHTS_NEEDED: usize = 3;

/// Before any look: observers and visitors differ from the published thresholds by about this, powers of
/// ten. A judgement: a third of the spread among observers would be 0.05, nearly all of it 0.15.
const MARGIN_PRIOR_SD_DEX: f64 = 0.15;

/// Before any look: a stated seeing is wrong by about this, natural logarithm. A judgement: scales are good
/// to 30 or 40 %.
const SEEING_PRIOR_SD: f64 = 0.3;

/// Beside the doubt of its contrast, the models are wrong by about this for any one detail, powers of ten.
/// A judgement, no source.
const MODEL_SD_DEX: f64 = 0.06;

/// A night whose air was judged differs from the figure of its word by about this, natural logarithm: the
/// words are some 0.5 apart. A judgement, no source.
const JUDGED_NIGHT_SD: f64 = 0.18;

/// The same where nobody judged the air: the usual figures 1.2, 2.2 and 3.5 lie 0.5 apart.
const UNJUDGED_NIGHT_SD: f64 = 0.5;

/// Exceeded by chance once in ten times by the squared distance of two normal values.
const ONE_IN_TEN: f64 = 4.605;

/// The finished answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// All looks.
    pub looks: usize,
    /// On so many nights.
    pub nights: usize,
    /// The first and the last of them; `None` without looks.
    pub span: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// Those of the workshop in its order, then others by name. None without looks.
    pub telescopes: Vec<TelescopeRecord>,
    /// From the surest promise down; only those that were made.
    pub promises: Vec<PromiseRecord>,
    /// Looks for which nothing was promised: lines written by hand.
    pub unpromised: usize,
    /// What they say of air and eyes.
    pub correction: Correction,
}

/// One telescope's looks.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeRecord {
    /// As in the log.
    pub name: String,
    /// In the order of the table of details, then by name.
    pub details: Vec<DetailRecord>,
}

/// What came of one detail in one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct DetailRecord {
    /// `saturn_cassini`; of the same subject there may be several. At least one, in the alphabet's order.
    pub ids: Vec<String>,
    /// As one would say it; the id where nothing is called so any more.
    pub name: String,
    /// On what it is seen, as one would say it; `None` where that is all there is to say.
    pub on: Option<String>,
    /// Looks.
    pub looks: usize,
    /// How often each grade was promised, from the surest down; only those that were.
    pub promised: Vec<(PromisedGrade, usize)>,
    /// How often each answer came, in the order of [`SeenBy::ALL`].
    pub seen: [usize; 5],
}

/// What came of one promise.
#[derive(Debug, Clone, PartialEq)]
pub struct PromiseRecord {
    /// Which.
    pub grade: PromisedGrade,
    /// Looks.
    pub looks: usize,
    /// Of the looks with visitors: most of them saw it.
    pub by_most: Tally,
    /// Somebody saw it.
    pub by_anyone: Tally,
}

/// How often something came about.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Tally {
    /// It did.
    pub seen: usize,
    /// It could have.
    pub of: usize,
    /// As often as the promises amount to; `None` without figures behind them.
    pub expected: Option<f64>,
}

/// What the log says of the place's air and of the eyes that looked.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Looks that tell something: their answer was open, or came otherwise than was sure.
    pub telling_looks: usize,
    /// Nights with such looks.
    pub telling_nights: usize,
    /// `None` until there are enough.
    pub found: Option<Found>,
}

/// What was found, in the terms of the workshop file.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The observer's margin, all of it, not what to add.
    pub margin_dex: Estimate,
    /// In the file now.
    pub margin_now_dex: f64,
    /// Logarithm of the true seeing over the file's.
    pub ln_seeing: Estimate,
    /// Of the two, -1 to 1.
    pub correlation: f64,
    /// In the file now.
    pub seeing_now_arcsec: ThreeAirs<f64>,
    /// The two together differ from the file's by more than chance brings about once in ten times.
    pub differs: bool,
    /// To put into the file, to the tenth: within the file's legal range.
    pub proposed_seeing_arcsec: ThreeAirs<f64>,
    /// To put into the file, to the hundredth: within the file's legal range.
    pub proposed_margin_dex: f64,
}

/// Sums up the looks of a log.
///
/// ```
/// use skyworthy::plan::record::record;
/// use skyworthy::workshop;
///
/// assert_eq!(record(&workshop::example(), &[])?.looks, 0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn record(workshop: &Workshop, looks: &[LoggedLook]) -> Result<Record, NoNight> {
    let zone = workshop.site.time_zone;
    let nights = looks.iter().map(|look| night_date(look.at, zone));
    let instants = || looks.iter().map(|look| look.at);
    Ok(Record {
        looks: looks.len(),
        nights: nights.collect::<std::collections::BTreeSet<_>>().len(),
        span: instants().min().zip(instants().max()),
        telescopes: telescopes(workshop, looks),
        promises: promises(looks),
        unpromised: (looks.iter()).filter(|look| look.promise.is_none()).count(),
        correction: correction(workshop, looks)?,
    })
}

fn telescopes(workshop: &Workshop, looks: &[LoggedLook]) -> Vec<TelescopeRecord> {
    let place = |name: &str| {
        let mut telescopes = workshop.telescopes.iter();
        telescopes
            .position(|telescope| telescope.name == name)
            .unwrap_or(usize::MAX)
    };
    let mut by_telescope: BTreeMap<(usize, &str), Vec<&LoggedLook>> = BTreeMap::new();
    for look in looks {
        let name = look.telescope.as_str();
        by_telescope
            .entry((place(name), name))
            .or_default()
            .push(look);
    }
    (by_telescope.into_iter())
        .map(|((_, name), looks)| TelescopeRecord {
            name: name.to_string(),
            details: of_details(workshop, &looks),
        })
        .collect()
}

/// What is called alike is one: the glow and the stars of a cluster.
fn of_details(workshop: &Workshop, looks: &[&LoggedLook]) -> Vec<DetailRecord> {
    let place = |id: &str| {
        let mut table = details().iter();
        table.position(|row| row.id == id).unwrap_or(usize::MAX)
    };
    let mut by_detail: BTreeMap<(usize, Said), Vec<&LoggedLook>> = BTreeMap::new();
    for look in looks {
        let id = look.detail.as_str();
        let key = (place(id), said(workshop, id));
        by_detail.entry(key).or_default().push(look);
    }
    (by_detail.into_iter())
        .map(|((_, (name, on)), looks)| {
            let mut ids: Vec<String> = looks.iter().map(|look| look.detail.clone()).collect();
            ids.sort();
            ids.dedup();
            DetailRecord {
                ids,
                name,
                on,
                looks: looks.len(),
                promised: (PromisedGrade::ALL.into_iter())
                    .map(|grade| (grade, count(&looks, |look| grade_of(look) == Some(grade))))
                    .filter(|(_, times)| 0 < *times)
                    .collect(),
                seen: SeenBy::ALL.map(|by| count(&looks, |look| look.by == by)),
            }
        })
        .collect()
}

/// A detail's name and its subject's.
type Said = (String, Option<String>);

fn said(workshop: &Workshop, id: &str) -> Said {
    let subject = subject_of(id).map(|subject| subject.name().to_string());
    let small = || {
        let mut small = small_bodies(workshop).into_iter();
        small.find(|body| body.id == id).map(|body| body.name)
    };
    match (detail(id), subject) {
        (Some(row), subject) => (row.name.clone(), subject),
        (None, Some(subject)) => (subject, None),
        (None, None) => (small().unwrap_or_else(|| id.to_string()), None),
    }
}

fn count(looks: &[&LoggedLook], is_one: impl Fn(&LoggedLook) -> bool) -> usize {
    looks.iter().filter(|look| is_one(look)).count()
}

fn grade_of(look: &LoggedLook) -> Option<PromisedGrade> {
    look.promise.map(|promise| promise.grade)
}

fn promises(looks: &[LoggedLook]) -> Vec<PromiseRecord> {
    let of_grade = |grade: PromisedGrade| {
        let looks = looks.iter();
        let looks: Vec<&LoggedLook> = looks.filter(|look| grade_of(look) == Some(grade)).collect();
        let with_visitors = looks.iter().filter(|look| look.by != SeenBy::Alone);
        PromiseRecord {
            grade,
            looks: looks.len(),
            by_most: tally(with_visitors.copied(), SeenBy::Most, |by| {
                by == SeenBy::Most
            }),
            by_anyone: tally(looks.iter().copied(), SeenBy::Alone, |by| {
                by != SeenBy::Nobody
            }),
        }
    };
    (PromisedGrade::ALL.into_iter())
        .map(of_grade)
        .filter(|record| 0 < record.looks)
        .collect()
}

/// `like` is the answer whose likelihood, reckoned before the look, is that of success.
fn tally<'a>(
    looks: impl Iterator<Item = &'a LoggedLook>,
    like: SeenBy,
    is_success: impl Fn(SeenBy) -> bool,
) -> Tally {
    let mut tally = Tally::default();
    for look in looks {
        tally.of += 1;
        tally.seen += usize::from(is_success(look.by));
        if let Some(dex) = look.promise.and_then(promised_dex) {
            *tally.expected.get_or_insert(0.0) += likelihood(like, dex).0;
        }
    }
    tally
}

/// Visibility as it was promised, the observer's own margin included.
fn promised_dex(promise: Promise) -> Option<f64> {
    Some(promise.margins?.margin_dex + promise.observer_dex)
}

/// A look with figures behind its promise.
struct Reckoned<'a> {
    look: &'a LoggedLook,
    margins: Margins,
    seeing_then_arcsec: f64,
    night: (NaiveDate, Option<JudgedAir>),
}

fn correction(workshop: &Workshop, looks: &[LoggedLook]) -> Result<Correction, NoNight> {
    let seeing_now_arcsec =
        seeing_zenith_arcsec(workshop.site.seeing).ok_or(NoNight::SeeingOutOfRange)?;
    let zone = workshop.site.time_zone;
    let reckoned: Vec<Reckoned> = (looks.iter())
        .filter_map(|look| {
            let promise = look.promise?;
            Some(Reckoned {
                look,
                margins: promise.margins?,
                seeing_then_arcsec: promise.seeing_arcsec,
                night: (night_date(look.at, zone), look.air),
            })
        })
        .collect();
    let telling = || {
        (reckoned.iter()).filter(|one| {
            let promised = one.look.promise.and_then(promised_dex);
            promised.is_some_and(|dex| is_telling(one.look.by, dex))
        })
    };
    let nights: std::collections::BTreeSet<NaiveDate> = telling().map(|one| one.night.0).collect();
    let telling_looks = telling().count();
    let is_enough = TELLING_LOOKS_NEEDED <= telling_looks && NIGHTS_NEEDED <= nights.len();
    Ok(Correction {
        telling_looks,
        telling_nights: nights.len(),
        found: is_enough.then(|| found(workshop, &reckoned, seeing_now_arcsec)),
    })
}

fn found(workshop: &Workshop, reckoned: &[Reckoned], seeing_now_arcsec: ThreeAirs<f64>) -> Found {
    let ln_now_over_then =
        |one: &Reckoned| (in_air(&seeing_now_arcsec, one.look.air) / one.seeing_then_arcsec).ln();
    // What the file said at the first look was all that was known before any: a correction that was
    // applied meanwhile came from these same looks and must not be counted twice.
    let first = reckoned.iter().min_by_key(|one| one.look.at);
    let prior = Prior {
        margin_dex: Estimate {
            value: 0.0,
            sd: MARGIN_PRIOR_SD_DEX,
        },
        ln_seeing: Estimate {
            value: first.map_or(0.0, |one| -ln_now_over_then(one)),
            sd: SEEING_PRIOR_SD,
        },
    };
    let (cases, groups) = cases(reckoned, ln_now_over_then);
    let fit = fit(&cases, &groups, &prior).with_slack(&prior);
    let margin_now_dex = workshop.observer.margin_dex;
    let tenth = |arcsec: &f64| {
        let corrected = arcsec * fit.ln_seeing.value.exp();
        ((10.0 * corrected).round() / 10.0).clamp(0.3, 15.0)
    };
    Found {
        margin_dex: fit.margin_dex,
        margin_now_dex,
        ln_seeing: fit.ln_seeing,
        correlation: fit.correlation,
        seeing_now_arcsec,
        differs: ONE_IN_TEN < fit.distance2(margin_now_dex, 0.0),
        proposed_seeing_arcsec: seeing_now_arcsec.map(tenth),
        // No minus before a zero.
        proposed_margin_dex: ((100.0 * fit.margin_dex.value).round() / 100.0 + 0.0)
            .clamp(-0.5, 0.5),
    }
}

fn cases(
    reckoned: &[Reckoned],
    ln_now_over_then: impl Fn(&Reckoned) -> f64,
) -> (Vec<Case>, Groups) {
    let mut details: BTreeMap<&str, usize> = BTreeMap::new();
    let mut nights: BTreeMap<(NaiveDate, Option<JudgedAir>), usize> = BTreeMap::new();
    let mut groups = Groups {
        detail_sd_dex: Vec::new(),
        night_sd: Vec::new(),
    };
    let mut cases = Vec::new();
    for one in reckoned {
        let detail = *details.entry(&one.look.detail).or_insert_with(|| {
            let sd_dex = one.margins.doubt_dex.hypot(MODEL_SD_DEX);
            groups.detail_sd_dex.push(sd_dex);
            groups.detail_sd_dex.len() - 1
        });
        let night = *nights.entry(one.night).or_insert_with(|| {
            groups.night_sd.push(match one.night.1 {
                Some(_) => JUDGED_NIGHT_SD,
                None => UNJUDGED_NIGHT_SD,
            });
            groups.night_sd.len() - 1
        });
        cases.push(Case {
            margins: one.margins,
            ln_now_over_then: ln_now_over_then(one),
            by: one.look.by,
            detail,
            night,
        });
    }
    (cases, groups)
}
